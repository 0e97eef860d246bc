package store_test

import (
	"context"
	"database/sql"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"longspell/internal/store"
	"longspell/internal/testkit/db"
	"longspell/migrations"
)

// shape is what both dialects must agree on.
type shape struct {
	Columns map[string][]string // table -> "name" or "name null", in order
	Keys    map[string][]string // table -> "primary a,b", "unique a,b", "unique a,b where"
	Foreign map[string][]string // table -> "a,b -> other(c,d)"
	Checks  map[string][]string // table -> names of its checks
	Indexes map[string][]string // table -> "a,b"
}

func newShape() shape {
	return shape{map[string][]string{}, map[string][]string{}, map[string][]string{}, map[string][]string{}, map[string][]string{}}
}

func (s shape) sort() shape {
	for _, m := range []map[string][]string{s.Keys, s.Foreign, s.Checks, s.Indexes} {
		for k := range m {
			slices.Sort(m[k])
		}
	}
	return s
}

// rowsOf reads a query whose columns are all text.
func rowsOf(t *testing.T, pool *sql.DB, query string, args ...any) [][]string {
	t.Helper()
	rows, err := pool.QueryContext(context.Background(), query, args...)
	if err != nil {
		t.Fatalf("%s: %v", query, err)
	}
	defer func() { _ = rows.Close() }()
	cols, err := rows.Columns()
	if err != nil {
		t.Fatal(err)
	}
	var out [][]string
	for rows.Next() {
		cells, into := make([]sql.NullString, len(cols)), make([]any, len(cols))
		for i := range cells {
			into[i] = &cells[i]
		}
		if err := rows.Scan(into...); err != nil {
			t.Fatal(err)
		}
		line := make([]string, len(cols))
		for i, c := range cells {
			line[i] = c.String
		}
		out = append(out, line)
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	return out
}

func postgresShape(t *testing.T, pool *sql.DB) shape {
	s := newShape()
	for _, r := range rowsOf(t, pool, `SELECT c.relname, a.attname || CASE WHEN a.attnotnull THEN '' ELSE ' null' END
		FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum > 0 AND NOT a.attisdropped
		WHERE c.relnamespace = 'public'::regnamespace AND c.relkind = 'r' AND c.relname <> 'goose_db_version' ORDER BY c.relname, a.attnum`) {
		s.Columns[r[0]] = append(s.Columns[r[0]], r[1])
	}
	const cols = `(SELECT string_agg(a.attname, ',' ORDER BY k.n) FROM unnest(%s) WITH ORDINALITY k(att, n) JOIN pg_attribute a ON a.attrelid = %s AND a.attnum = k.att)`
	for _, r := range rowsOf(t, pool, `SELECT c.conrelid::regclass::text, c.contype::text, c.conname, `+fmt.Sprintf(cols, "c.conkey", "c.conrelid")+`,
		c.confrelid::regclass::text, `+fmt.Sprintf(cols, "c.confkey", "c.confrelid")+`
		FROM pg_constraint c WHERE c.connamespace = 'public'::regnamespace AND c.conrelid::regclass::text <> 'goose_db_version'`) {
		switch r[1] {
		case "p":
			s.Keys[r[0]] = append(s.Keys[r[0]], "primary "+r[3])
		case "u":
			s.Keys[r[0]] = append(s.Keys[r[0]], "unique "+r[3])
		case "f":
			s.Foreign[r[0]] = append(s.Foreign[r[0]], r[3]+" -> "+r[4]+"("+r[5]+")")
		case "c":
			s.Checks[r[0]] = append(s.Checks[r[0]], r[2])
		}
	}
	for _, r := range rowsOf(t, pool, `SELECT i.indrelid::regclass::text, i.indisunique::text, (i.indpred IS NOT NULL)::text, `+fmt.Sprintf(cols, "i.indkey::int2[]", "i.indrelid")+`
		FROM pg_index i JOIN pg_class c ON c.oid = i.indrelid WHERE c.relnamespace = 'public'::regnamespace AND c.relname <> 'goose_db_version'
		AND NOT EXISTS (SELECT 1 FROM pg_constraint k WHERE k.conindid = i.indexrelid AND k.contype IN ('p', 'u'))`) {
		s.index(r[0], r[1] == "true", r[2] == "true", r[3])
	}
	return s.sort()
}

func (s shape) index(table string, unique, partial bool, columns string) {
	switch {
	case unique && partial:
		s.Keys[table] = append(s.Keys[table], "unique "+columns+" where")
	case unique:
		s.Keys[table] = append(s.Keys[table], "unique "+columns)
	default:
		s.Indexes[table] = append(s.Indexes[table], columns)
	}
}

var checkName = regexp.MustCompile(`CONSTRAINT (\w+) CHECK`)

func sqliteShape(t *testing.T, pool *sql.DB) shape {
	s := newShape()
	for _, tab := range rowsOf(t, pool, `SELECT name, sql FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' AND name <> 'goose_db_version'`) {
		name := tab[0]
		for _, c := range rowsOf(t, pool, `SELECT name || CASE WHEN "notnull" THEN '' ELSE ' null' END FROM pragma_table_info(?) ORDER BY cid`, name) {
			s.Columns[name] = append(s.Columns[name], c[0])
		}
		pk := rowsOf(t, pool, `SELECT group_concat(name, ',') FROM (SELECT name FROM pragma_table_info(?) WHERE pk > 0 ORDER BY pk)`, name)
		s.Keys[name] = append(s.Keys[name], "primary "+pk[0][0])
		for _, i := range rowsOf(t, pool, `SELECT l."unique", l.partial, (SELECT group_concat(name, ',') FROM (SELECT name FROM pragma_index_info(l.name) ORDER BY seqno)), l.origin
			FROM pragma_index_list(?) l`, name) {
			if i[3] != "pk" {
				s.index(name, i[0] == "1", i[1] == "1", i[2])
			}
		}
		for _, f := range rowsOf(t, pool, `SELECT group_concat("from", ',') || ' -> ' || "table" || '(' || group_concat("to", ',') || ')'
			FROM (SELECT * FROM pragma_foreign_key_list(?) ORDER BY id, seq) GROUP BY id`, name) {
			s.Foreign[name] = append(s.Foreign[name], f[0])
		}
		for _, m := range checkName.FindAllStringSubmatch(tab[1], -1) {
			if !strings.HasSuffix(m[1], "_form") { // these stand for PostgreSQL's types
				s.Checks[name] = append(s.Checks[name], m[1])
			}
		}
	}
	return s.sort()
}

func open(t *testing.T, driver, address string) *sql.DB {
	t.Helper()
	pool, err := sql.Open(driver, address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = pool.Close() })
	return pool
}

// Both dialects have the same tables, columns, keys, foreign keys, checks and indexes.
func TestDialectsHaveTheSameShape(t *testing.T) {
	t.Parallel()
	pg := postgresShape(t, open(t, "pgx", db.PostgresURLs(t).Admin))
	lite := sqliteShape(t, db.SQLite(t).Pool())
	if len(pg.Columns) != len(store.Grants()) {
		t.Errorf("%d tables, %d row types", len(pg.Columns), len(store.Grants()))
	}
	if d := cmp.Diff(pg, lite); d != "" {
		t.Errorf("-postgres +sqlite:\n%s", d)
	}
}

// The region leads every key, foreign key and index of a tenant table. What is global is named here.
func TestRegionLeadsEveryKey(t *testing.T) {
	t.Parallel()
	s := postgresShape(t, open(t, "pgx", db.PostgresURLs(t).Admin))
	for _, table := range store.TenantTables() {
		for _, kinds := range []map[string][]string{s.Keys, s.Foreign, s.Indexes} {
			for _, k := range kinds[table] {
				columns := strings.TrimPrefix(strings.TrimPrefix(k, "primary "), "unique ")
				if !strings.HasPrefix(columns, "region_id") && columns != "account_id -> account(id)" {
					t.Errorf("%s: %s is not led by the region", table, k)
				}
			}
		}
		if len(s.Foreign[table]) == 0 {
			t.Errorf("%s hangs on nothing", table)
		}
	}
}

func TestMigrationsHaveEqualNumbersAndNames(t *testing.T) {
	t.Parallel()
	list := func(dialect string) []string {
		files, err := migrations.For(dialect)
		if err != nil {
			t.Fatal(err)
		}
		names, err := fs.Glob(files, "*.sql")
		if err != nil {
			t.Fatal(err)
		}
		return names
	}
	if d := cmp.Diff(list("postgres"), list("sqlite")); d != "" || len(list("sqlite")) == 0 {
		t.Errorf("-postgres +sqlite:\n%s", d)
	}
	if _, err := migrations.For("another"); err == nil {
		t.Error("there are migrations for a dialect that there is not")
	}
}

// The snapshots in migrations/ are what the migrations lead to. UPDATE_SNAPSHOTS=1 writes them.
func TestSchemaSnapshots(t *testing.T) {
	t.Parallel()
	for dialect, dump := range map[string]string{
		"postgres": dumpPostgres(t, open(t, "pgx", db.PostgresURLs(t).Admin)),
		"sqlite":   dumpSQLite(t, db.SQLite(t).Pool()),
	} {
		file := filepath.Join("..", "..", "migrations", dialect, "schema.sql")
		if os.Getenv("UPDATE_SNAPSHOTS") == "1" {
			if err := os.WriteFile(file, []byte(dump), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(dump, "\n")); d != "" {
			t.Errorf("%s is not what the migrations lead to; look at the difference, then run the test with UPDATE_SNAPSHOTS=1 (-file +database):\n%s", file, d)
		}
	}
}

const snapshotHead = "-- What the migrations in this folder lead to; written by the tests of internal/store, never by hand.\n"

func dumpSQLite(t *testing.T, pool *sql.DB) string {
	out := snapshotHead
	for _, r := range rowsOf(t, pool, `SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite_%' AND tbl_name <> 'goose_db_version' ORDER BY tbl_name, type DESC, name`) {
		out += "\n" + r[0] + ";\n"
	}
	return out
}

func dumpPostgres(t *testing.T, pool *sql.DB) string {
	lines := map[string][]string{}
	for _, r := range rowsOf(t, pool, `SELECT c.relname, '    ' || a.attname || ' ' || format_type(a.atttypid, a.atttypmod)
		|| CASE WHEN a.attcollation <> 0 AND l.collname <> 'default' THEN ' COLLATE "' || l.collname || '"' ELSE '' END
		|| CASE WHEN a.attnotnull THEN ' NOT NULL' ELSE '' END
		FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum > 0 AND NOT a.attisdropped LEFT JOIN pg_collation l ON l.oid = a.attcollation
		WHERE c.relnamespace = 'public'::regnamespace AND c.relkind = 'r' AND c.relname <> 'goose_db_version' ORDER BY c.relname, a.attnum`) {
		lines[r[0]] = append(lines[r[0]], r[1])
	}
	for _, r := range rowsOf(t, pool, `SELECT conrelid::regclass::text, '    CONSTRAINT ' || conname || ' ' || pg_get_constraintdef(oid)
		FROM pg_constraint WHERE connamespace = 'public'::regnamespace AND conrelid::regclass::text <> 'goose_db_version'
		ORDER BY conrelid::regclass::text, position(contype::text in 'pufc'), conname COLLATE "C"`) {
		lines[r[0]] = append(lines[r[0]], r[1])
	}
	after := map[string][]string{}
	for _, r := range rowsOf(t, pool, `SELECT tablename, indexdef || ';' FROM pg_indexes i WHERE schemaname = 'public' AND tablename <> 'goose_db_version'
		AND NOT EXISTS (SELECT 1 FROM pg_constraint k WHERE k.conname = i.indexname) ORDER BY indexname COLLATE "C"`) {
		after[r[0]] = append(after[r[0]], r[1])
	}
	for _, r := range rowsOf(t, pool, `SELECT relname, relrowsecurity::text, relforcerowsecurity::text FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = 'r'`) {
		if r[1] == "true" {
			after[r[0]] = append(after[r[0]], "ALTER TABLE "+r[0]+" ENABLE ROW LEVEL SECURITY;")
		}
		if r[2] == "true" {
			after[r[0]] = append(after[r[0]], "ALTER TABLE "+r[0]+" FORCE ROW LEVEL SECURITY;")
		}
	}
	for _, r := range rowsOf(t, pool, `SELECT tablename, format(E'CREATE POLICY %s ON %s AS %s FOR %s TO %s\n    USING (%s)\n    WITH CHECK (%s);', policyname, tablename, permissive, cmd,
		array_to_string(roles, ', '), qual, with_check) FROM pg_policies WHERE schemaname = 'public' ORDER BY policyname`) {
		after[r[0]] = append(after[r[0]], r[1])
	}
	out := snapshotHead
	for _, table := range sorted(lines) {
		out += "\nCREATE TABLE " + table + " (\n" + strings.Join(lines[table], ",\n") + "\n);\n" + strings.Join(after[table], "\n")
		out = strings.TrimRight(out, "\n") + "\n"
	}
	return out
}
