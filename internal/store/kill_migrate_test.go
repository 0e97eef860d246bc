package store_test

import (
	"context"
	"database/sql/driver"
	"path/filepath"
	"testing"

	"longspell/internal/store"
	"longspell/internal/testkit/db"
)

// mortal wraps a driver so that after runs after each statement that is executed.
func mortal(after func()) func(driver.Connector) driver.Connector {
	return func(c driver.Connector) driver.Connector { return mortalConnector{c, after} }
}

type mortalConnector struct {
	driver.Connector
	after func()
}

func (m mortalConnector) Connect(ctx context.Context) (driver.Conn, error) {
	c, err := m.Connector.Connect(ctx)
	return mortalConn{c, m.after}, err
}

type mortalConn struct {
	driver.Conn
	after func()
}

func (m mortalConn) ExecContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Result, error) {
	defer m.after()
	return m.Conn.(driver.ExecerContext).ExecContext(ctx, query, args)
}

func (m mortalConn) QueryContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Rows, error) {
	return m.Conn.(driver.QueryerContext).QueryContext(ctx, query, args)
}

func (m mortalConn) BeginTx(ctx context.Context, o driver.TxOptions) (driver.Tx, error) {
	return m.Conn.(driver.ConnBeginTx).BeginTx(ctx, o)
}

// A migration that is killed at any statement can be run again, and leads to the same schema as one that was not.
func TestMigrationKilledAtAnyStatement(t *testing.T) {
	t.Parallel()
	const step = 11 // statements between one kill and the next
	t.Run("sqlite", func(t *testing.T) {
		t.Parallel()
		want := dumpSQLite(t, db.SQLite(t).Pool())
		killed := 0
		for e := (errand{Role: "none", KillAfter: 1}); ; e.KillAfter += step {
			file := filepath.Join(t.TempDir(), "killed.db")
			e.URL = "sqlite:" + file
			if !e.send(t) {
				break
			}
			killed++
			migrateAgain(t, e.URL, "", e.URL)
			if got := dumpSQLite(t, open(t, "sqlite", file)); got != want {
				t.Errorf("killed after statement %d: another schema:\n%s", e.KillAfter, got)
			}
		}
		if killed < 5 {
			t.Errorf("killed %d times only", killed)
		}
	})
	t.Run("postgres", func(t *testing.T) {
		t.Parallel()
		want := dumpPostgres(t, open(t, "pgx", db.PostgresURLs(t).Admin))
		killed := 0
		for e := (errand{Role: db.RuntimeRole(t), KillAfter: 1}); ; e.KillAfter += step {
			u := db.EmptyPostgres(t)
			e.URL = u.Owner
			if !e.send(t) {
				break
			}
			killed++
			migrateAgain(t, u.Owner, e.Role, u.Runtime)
			if got := dumpPostgres(t, open(t, "pgx", u.Admin)); got != want {
				t.Errorf("killed after statement %d: another schema:\n%s", e.KillAfter, got)
			}
		}
		if killed < 5 {
			t.Errorf("killed %d times only", killed)
		}
	})
}

func migrateAgain(t *testing.T, owner, role, runtime string) {
	t.Helper()
	if err := store.Migrate(t.Context(), owner, role); err != nil {
		t.Fatal(err)
	}
	if err := openOnly(runtime); err != nil {
		t.Error(err)
	}
}
