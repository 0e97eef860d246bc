package store_test

import (
	"context"
	"database/sql"
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5/pgconn"

	"longspell/internal/domain"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
)

// walls is one PostgreSQL database with two regions, reached past the store as each of its roles. Nothing here goes through
// gorm, the guard or a scope: what holds, PostgreSQL holds alone.
type walls struct {
	a, b                  *realm
	urls                  db.URLs
	runtime, owner, admin *sql.DB
}

func newWalls(t *testing.T) walls {
	t.Helper()
	u := db.PostgresURLs(t)
	s, err := store.Open(t.Context(), store.Config{URL: u.Runtime})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	w := walls{urls: u, runtime: open(t, "pgx", u.Runtime), owner: open(t, "pgx", u.Owner), admin: open(t, "pgx", u.Admin)}
	w.runtime.SetMaxOpenConns(1) // one connection: what a transaction leaves behind meets the next
	w.a, w.b = newRealm(t, s, "A"), newRealm(t, s, "B")
	return w
}

// as runs fn in a transaction of a pool with the region set for it, and rolls back.
func (w walls) as(t *testing.T, pool *sql.DB, region domain.ID, fn func(tx *sql.Tx)) {
	t.Helper()
	tx, err := pool.BeginTx(t.Context(), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = tx.Rollback() }()
	if _, err := tx.ExecContext(t.Context(), "SELECT set_config('app.region', $1, true)", string(region)); err != nil {
		t.Fatal(err)
	}
	fn(tx)
}

type queryer interface {
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
	ExecContext(ctx context.Context, query string, args ...any) (sql.Result, error)
}

func count(t *testing.T, q queryer, table string) int {
	t.Helper()
	var n int
	if err := q.QueryRowContext(t.Context(), "SELECT count(*) FROM "+table).Scan(&n); err != nil {
		t.Fatalf("%s: %v", table, err)
	}
	return n
}

func sqlState(err error) string {
	var pg *pgconn.PgError
	if errors.As(err, &pg) {
		return pg.Code
	}
	return ""
}

// Of every tenant table each role sees its region's rows in a transaction that says so, and none without.
func TestRowSecurityShowsOneRegion(t *testing.T) {
	t.Parallel()
	w := newWalls(t)
	for _, table := range store.TenantTables() {
		all := count(t, w.admin, table)
		for name, pool := range map[string]*sql.DB{"runtime": w.runtime, "owner": w.owner} {
			if n := count(t, pool, table); n != 0 {
				t.Errorf("%s, %s: %d rows without a region", name, table, n)
			}
			seen := 0
			for _, r := range []*realm{w.a, w.b} {
				w.as(t, pool, r.Region.ID, func(tx *sql.Tx) {
					n := count(t, tx, table)
					seen += n
					if n == all && all > 0 {
						t.Errorf("%s, %s: all %d rows in one region", name, table, n)
					}
				})
			}
			if seen != all {
				t.Errorf("%s, %s: %d of %d rows seen in both regions together", name, table, seen, all)
			}
			// The connection has had a region: the setting is empty now, not missing, and must be no error and no row.
			if n := count(t, pool, table); n != 0 {
				t.Errorf("%s, %s: %d rows after another's transaction", name, table, n)
			}
		}
	}
	if n := count(t, w.admin, "player"); n != 8 {
		t.Errorf("%d players in all", n)
	}
}

func TestRowSecurityRefusesOtherRegions(t *testing.T) {
	t.Parallel()
	w := newWalls(t)
	p := w.b.One.Player
	for what, c := range map[string]struct {
		statement string
		args      []any
		state     string // SQLSTATE; "" = no row is changed
	}{
		"insert": {"INSERT INTO club (region_id, id, name, name_search, short_name, version) VALUES ($1, $2, 'x', 'x', '', 1)",
			[]any{w.b.Region.ID, newID()}, "42501"},
		"move":   {"UPDATE club SET region_id = $1", []any{w.b.Region.ID}, "42501"},
		"update": {"UPDATE player SET name = 'x' WHERE id = $1", []any{p.ID}, ""},
		"delete": {"DELETE FROM over_log WHERE id = $1", []any{w.b.One.Over.ID}, ""},
	} {
		w.as(t, w.runtime, w.a.Region.ID, func(tx *sql.Tx) {
			for i, a := range c.args {
				if id, ok := a.(domain.ID); ok {
					c.args[i] = string(id)
				}
			}
			res, err := tx.ExecContext(t.Context(), c.statement, c.args...)
			if sqlState(err) != c.state {
				t.Errorf("%s: %v, want SQLSTATE %q", what, err, c.state)
			}
			if err == nil {
				if n, _ := res.RowsAffected(); n != 0 {
					t.Errorf("%s: %d rows", what, n)
				}
			}
		})
	}
}

// A key that another region has is free here, and a parent of another region cannot be told from one that is nowhere.
func TestKeysAreNoOracle(t *testing.T) {
	t.Parallel()
	w := newWalls(t)
	player := "INSERT INTO player (region_id, id, reference, name, name_search, sex, arm, kind, version) VALUES ($1, $2, $3, 'x', 'x', '', '', '', 1)"
	reg := "INSERT INTO registration (region_id, id, player_id, club_id, season_id, first_club, from_day, version) VALUES ($1, $2, $3, $4, $5, true, '2026-05-01', 1)"
	a, b := w.a, w.b
	w.as(t, w.runtime, a.Region.ID, func(tx *sql.Tx) {
		for what, args := range map[string][]any{
			"id":        {string(a.Region.ID), string(b.One.Player.ID), "fresh"},
			"reference": {string(a.Region.ID), string(newID()), b.One.Player.Reference},
		} {
			if _, err := tx.ExecContext(t.Context(), player, args...); err != nil {
				t.Errorf("another region's %s is taken here: %v", what, err)
			}
		}
	})
	var told []string
	for _, id := range []domain.ID{b.One.Player.ID, newID()} {
		w.as(t, w.runtime, a.Region.ID, func(tx *sql.Tx) {
			_, err := tx.ExecContext(t.Context(), reg, string(a.Region.ID), string(newID()), string(id), string(a.One.Club.ID), string(a.Season.ID))
			var pg *pgconn.PgError
			if !errors.As(err, &pg) || pg.Code != "23503" {
				t.Fatalf("child of %s: %v", id, err)
			}
			told = append(told, strings.ReplaceAll(pg.Message+pg.Detail+pg.ConstraintName, string(id), "ID"))
		})
	}
	if told[0] != told[1] {
		t.Errorf("the two can be told apart:\n%s\n%s", told[0], told[1])
	}
}

// The catalogue: every table with a region is walled in the one way there is, and nothing leads round the walls.
func TestCatalogueOfWalls(t *testing.T) {
	t.Parallel()
	w := newWalls(t)
	const using = "(region_id = ( SELECT (NULLIF(current_setting('app.region'::text, true), ''::text))::uuid AS \"nullif\"))"
	var walled []string
	for _, r := range rowsOf(t, w.admin, `SELECT c.relname, c.relrowsecurity::text, c.relforcerowsecurity::text, count(p.polname)::text, min(p.polpermissive::text), min(p.polcmd::text),
		min(pg_get_expr(p.polqual, p.polrelid)), min(pg_get_expr(p.polwithcheck, p.polrelid)), min(p.polroles::text)
		FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid AND a.attname = 'region_id' LEFT JOIN pg_policy p ON p.polrelid = c.oid
		WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'p') AND c.relname <> 'account_region' GROUP BY c.oid ORDER BY 1`) {
		walled = append(walled, r[0])
		if want := []string{r[0], "true", "true", "1", "true", "*", using, using, "{0}"}; !slices.Equal(r, want) {
			t.Errorf("%q, want %q", r, want)
		}
	}
	want := store.TenantTables()
	slices.Sort(want)
	if !slices.Equal(walled, want) {
		t.Errorf("walled %v, want %v", walled, want)
	}
	for what, query := range map[string]string{
		"views":                      `SELECT relname FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind IN ('v', 'm', 'f')`,
		"functions":                  `SELECT proname FROM pg_proc WHERE pronamespace = 'public'::regnamespace`,
		"sequences of ours":          `SELECT relname FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = 'S' AND relname NOT LIKE 'goose_%'`,
		"triggers":                   `SELECT tgname FROM pg_trigger WHERE NOT tgisinternal`,
		"rights of everybody":        `SELECT table_name FROM information_schema.role_table_grants WHERE grantee = 'PUBLIC' AND table_schema = 'public'`,
		"column rights of everybody": `SELECT table_name FROM information_schema.column_privileges WHERE grantee = 'PUBLIC' AND table_schema = 'public'`,
	} {
		if found := rowsOf(t, w.admin, query); len(found) != 0 {
			t.Errorf("%s: %v", what, found)
		}
	}
}

// Whoever asks not to be walled, as a backup must, is told that the rows would be walled instead of being given some of them.
func TestRowSecurityOffIsAnError(t *testing.T) {
	t.Parallel()
	w := newWalls(t)
	w.as(t, w.runtime, w.a.Region.ID, func(tx *sql.Tx) {
		if _, err := tx.ExecContext(t.Context(), "SET LOCAL row_security = off"); err != nil {
			t.Fatal(err)
		}
		if err := tx.QueryRowContext(t.Context(), "SELECT count(*) FROM player").Scan(new(int)); sqlState(err) != "42501" {
			t.Errorf("%v, want it refused", err)
		}
	})
}

// With the guard and the scopes out of the way (a statement of the text of an attacker), the database's wall still stands; with
// the database's wall out of the way (SQLite), TestIsolation and TestGuardStopsEveryKnownLeak do.
func TestDatabaseWallAlone(t *testing.T) {
	t.Parallel()
	w := newWalls(t)
	w.as(t, w.runtime, w.a.Region.ID, func(tx *sql.Tx) {
		for _, query := range []string{
			"SELECT count(*) FROM player WHERE region_id <> $1 OR 1 = 1 AND region_id <> $1",
			"SELECT count(*) FROM player p JOIN registration r ON r.player_id = p.id WHERE p.region_id <> $1 OR r.region_id <> $1",
			"SELECT count(*) FROM (SELECT region_id FROM notice UNION ALL SELECT region_id FROM audit) u WHERE region_id <> $1",
		} {
			var n int
			if err := tx.QueryRowContext(t.Context(), query, string(w.a.Region.ID)).Scan(&n); err != nil || n != 0 {
				t.Errorf("%s: %d rows of others, %v", query, n, err)
			}
		}
	})
}
