package store_test

import (
	"context"
	"database/sql"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"longspell/internal/store"
	"longspell/internal/testkit/db"
)

// Of eight processes that start at once one migrates; all find the database ready, and it is the same as any other.
func TestMigrateByManyAtOnce(t *testing.T) {
	t.Parallel()
	t.Run("sqlite", func(t *testing.T) {
		t.Parallel()
		file := filepath.Join(t.TempDir(), "new.db")
		together(t, 8, func(int) (bool, error) { return true, store.Migrate(context.Background(), "sqlite:"+file, "") })
		if info, err := os.Stat(file); err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("others may read the database: %v, %v", info.Mode(), err)
		}
		want := dumpSQLite(t, db.SQLite(t).Pool())
		pool := open(t, "sqlite", file)
		if got := dumpSQLite(t, pool); got != want {
			t.Errorf("another schema:\n%s", got)
		}
		applied(t, pool)
	})
	t.Run("postgres", func(t *testing.T) {
		t.Parallel()
		u := db.EmptyPostgres(t)
		together(t, 8, func(int) (bool, error) { return true, store.Migrate(context.Background(), u.Owner, db.RuntimeRole(t)) })
		pool := open(t, "pgx", u.Admin)
		if got, want := dumpPostgres(t, pool), dumpPostgres(t, open(t, "pgx", db.PostgresURLs(t).Admin)); got != want {
			t.Errorf("another schema:\n%s", got)
		}
		applied(t, pool)
	})
}

func applied(t *testing.T, pool *sql.DB) {
	t.Helper()
	for _, r := range rowsOf(t, pool, "SELECT version_id, count(*) FROM goose_db_version GROUP BY version_id") {
		if r[1] != "1" {
			t.Errorf("version %s was applied %s times", r[0], r[1])
		}
	}
}

func wantRefusal(t *testing.T, what string, err error, says ...string) {
	t.Helper()
	for _, s := range says {
		if err == nil || !strings.Contains(err.Error(), s) {
			t.Errorf("%s: %v, want it to say %q", what, err, s)
		}
	}
}

func openOnly(address string) error {
	s, err := store.Open(context.Background(), store.Config{URL: address})
	if err == nil {
		err = s.Close()
	}
	return err
}

// The store opens no database but one that this program has prepared, and says what to do instead.
func TestOpenRefusesAnotherVersion(t *testing.T) {
	t.Parallel()
	newer := "INSERT INTO goose_db_version (version_id, is_applied) VALUES (99999, true)"
	t.Run("sqlite", func(t *testing.T) {
		t.Parallel()
		none := filepath.Join(t.TempDir(), "none.db")
		wantRefusal(t, "none", openOnly("sqlite:"+none), "longspell migrate")
		if _, err := os.Stat(none); err == nil {
			t.Error("opening makes a database")
		}
		if err := os.WriteFile(none, nil, 0o600); err != nil {
			t.Fatal(err)
		}
		wantRefusal(t, "empty", openOnly("sqlite:"+none), "longspell migrate")
		file := db.SQLiteFile(t)
		execute(t, open(t, "sqlite", file), newer)
		wantRefusal(t, "open newer", openOnly("sqlite:"+file), "99999", "newer program")
		wantRefusal(t, "migrate newer", store.Migrate(t.Context(), "sqlite:"+file, ""), "99999", "newer program")
		older := db.SQLiteFile(t)
		execute(t, open(t, "sqlite", older), "DELETE FROM goose_db_version WHERE version_id > 0")
		wantRefusal(t, "open older", openOnly("sqlite:"+older), "version 0", "backup", "longspell migrate")
	})
	t.Run("postgres", func(t *testing.T) {
		t.Parallel()
		u := db.EmptyPostgres(t)
		wantRefusal(t, "empty", openOnly(u.Runtime), "longspell migrate")
		u = db.PostgresURLs(t)
		execute(t, open(t, "pgx", u.Admin), newer)
		wantRefusal(t, "open newer", openOnly(u.Runtime), "99999", "newer program")
		wantRefusal(t, "migrate newer", store.Migrate(t.Context(), u.Owner, db.RuntimeRole(t)), "99999", "newer program")
	})
	for what, address := range map[string]string{"none": "", "another": "mysql://x", "memory": "sqlite::memory:", "no file": "sqlite:",
		"options": "sqlite:x?mode=ro"} {
		if openOnly(address) == nil || store.Migrate(t.Context(), address, "x") == nil {
			t.Errorf("%s: an address that is none is taken", what)
		}
	}
	wantRefusal(t, "no role named", store.Migrate(t.Context(), "postgres://x/y", ""), "name the role")
	wantRefusal(t, "unknown role", store.Migrate(t.Context(), db.EmptyPostgres(t).Owner, "no such role"), `CREATE ROLE "no such role"`)
}

func execute(t *testing.T, pool *sql.DB, statement string) {
	t.Helper()
	if _, err := pool.ExecContext(context.Background(), statement); err != nil {
		t.Fatalf("%s: %v", statement, err)
	}
}

// The settings that SQLite has for each connection by itself hold on every one of both pools.
func TestSQLiteSettings(t *testing.T) {
	t.Parallel()
	file := db.SQLiteFile(t)
	s, err := store.Open(t.Context(), store.Config{URL: "sqlite:" + file, Conns: 3})
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = s.Close() }()
	for pragma, want := range map[string]string{"foreign_keys": "1", "journal_mode": "wal", "synchronous": "2", "busy_timeout": "10000",
		"trusted_schema": "0"} {
		for i, pool := range s.Pools() {
			conns := []*sql.Conn{}
			for range pool.Stats().MaxOpenConnections {
				c, err := pool.Conn(t.Context())
				if err != nil {
					t.Fatal(err)
				}
				conns = append(conns, c)
				var got string
				if err := c.QueryRowContext(t.Context(), "PRAGMA "+pragma).Scan(&got); err != nil || got != want {
					t.Errorf("pool %d: %s = %q, %v", i, pragma, got, err)
				}
			}
			for _, c := range conns {
				_ = c.Close()
			}
		}
	}
	if n := s.Pools()[0].Stats().MaxOpenConnections; n != 1 {
		t.Errorf("%d writers", n)
	}
	if err := s.Ready(t.Context()); err != nil {
		t.Error(err)
	}
}
