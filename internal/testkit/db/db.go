// Package db gives a test a database of its own, SQLite or PostgreSQL, as the service meets it: migrated, and on PostgreSQL reached
// as a runtime role that owns nothing. A test binary migrates once and copies; PostgreSQL is never skipped.
package db

import (
	"context"
	"crypto/rand"
	"database/sql"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/jackc/pgx/v5"
	_ "github.com/jackc/pgx/v5/stdlib" // the driver that makes databases

	"longspell/internal/store"
	"longspell/internal/testkit/pgcluster"
)

// Each runs a test on both databases, as subtests "sqlite" and "postgres" that may run at the same time.
func Each(t *testing.T, test func(t *testing.T, s *store.Store)) {
	t.Helper()
	t.Run("sqlite", func(t *testing.T) {
		t.Parallel()
		test(t, SQLite(t))
	})
	t.Run("postgres", func(t *testing.T) {
		t.Parallel()
		test(t, Postgres(t))
	})
}

// SQLite opens a fresh database in a file of the test's own.
func SQLite(t testing.TB) *store.Store {
	t.Helper()
	return open(t, "sqlite:"+SQLiteFile(t))
}

// SQLiteFile is the path of a fresh database.
func SQLiteFile(t testing.TB) string {
	t.Helper()
	content, err := sqliteTemplate()
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "longspell.db")
	if err := os.WriteFile(file, content, 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// Postgres opens a fresh database as the runtime role.
func Postgres(t testing.TB) *store.Store {
	t.Helper()
	return open(t, PostgresURLs(t).Runtime)
}

// URLs are the addresses of one PostgreSQL database: for the service, for its owner, and for the server's administrator, whom no
// wall binds.
type URLs struct{ Runtime, Owner, Admin string }

// PostgresURLs makes a fresh database; it goes when the test ends.
func PostgresURLs(t testing.TB) URLs {
	t.Helper()
	return fresh(t, true)
}

// EmptyPostgres makes a database without any table; it goes when the test ends. RuntimeRole names the role of its runtime address.
func EmptyPostgres(t testing.TB) URLs {
	t.Helper()
	return fresh(t, false)
}

// RuntimeRole is the name of the role behind URLs.Runtime in this test binary.
func RuntimeRole(t testing.TB) string {
	t.Helper()
	return template(t).runtime
}

func open(t testing.TB, address string) *store.Store {
	t.Helper()
	s, err := store.Open(context.Background(), store.Config{URL: address, Conns: 4})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

var sqliteTemplate = sync.OnceValues(func() ([]byte, error) {
	dir, err := os.MkdirTemp("", "longspell-template-")
	if err != nil {
		return nil, err
	}
	defer func() { _ = os.RemoveAll(dir) }()
	file := filepath.Join(dir, "template.db")
	if err := store.Migrate(context.Background(), "sqlite:"+file, ""); err != nil {
		return nil, err
	}
	return os.ReadFile(file) // the last connection is closed, so the log is in it
})

// pgTemplate is a migrated database that others are copied from. Names are random, because a server may be shared between test
// binaries.
type pgTemplate struct {
	admin                string
	name, owner, runtime string
}

var (
	templateOnce sync.Once
	templateMade pgTemplate
	templateErr  error
	copying      sync.Mutex // PostgreSQL copies a database only while nobody is in it
)

func template(t testing.TB) pgTemplate {
	t.Helper()
	admin := pgcluster.ForTests(t)
	templateOnce.Do(func() { templateMade, templateErr = makeTemplate(context.Background(), admin) })
	if templateErr != nil {
		t.Fatal(templateErr)
	}
	return templateMade
}

func makeTemplate(ctx context.Context, admin string) (pgTemplate, error) {
	tag := randomTag()
	p := pgTemplate{admin: admin, name: "longspell_template_" + tag, owner: "longspell_owner_" + tag, runtime: "longspell_app_" + tag}
	for _, q := range []string{
		"CREATE ROLE " + quote(p.owner) + " LOGIN",
		"CREATE ROLE " + quote(p.runtime) + " LOGIN",
		"CREATE DATABASE " + quote(p.name) + " OWNER " + quote(p.owner),
	} {
		if err := run(ctx, admin, q); err != nil {
			return p, err
		}
	}
	owner, err := pgcluster.WithDatabase(admin, p.name, p.owner)
	if err != nil {
		return p, err
	}
	return p, store.Migrate(ctx, owner, p.runtime)
}

func fresh(t testing.TB, migrated bool) URLs {
	t.Helper()
	p := template(t)
	name := "longspell_test_" + randomTag()
	create := "CREATE DATABASE " + quote(name) + " OWNER " + quote(p.owner)
	if migrated {
		create += " TEMPLATE " + quote(p.name) + " STRATEGY FILE_COPY" // measured faster than WAL_LOG where nothing is synced
	}
	copying.Lock()
	err := run(context.Background(), p.admin, create)
	copying.Unlock()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := run(context.Background(), p.admin, "DROP DATABASE "+quote(name)+" WITH (FORCE)"); err != nil {
			t.Error(err)
		}
	})
	address := func(user string) string {
		u, err := pgcluster.WithDatabase(p.admin, name, user)
		if err != nil {
			t.Fatal(err)
		}
		return u
	}
	return URLs{Runtime: address(p.runtime), Owner: address(p.owner), Admin: address("")}
}

func run(ctx context.Context, address, statement string) error {
	db, err := sql.Open("pgx", address)
	if err != nil {
		return fmt.Errorf("testkit/db: %w", err)
	}
	defer func() { _ = db.Close() }()
	if _, err := db.ExecContext(ctx, statement); err != nil {
		return fmt.Errorf("testkit/db: %s: %w", statement, err)
	}
	return nil
}

func quote(name string) string { return pgx.Identifier{name}.Sanitize() }

func randomTag() string {
	var b [6]byte
	if _, err := rand.Read(b[:]); err != nil {
		panic("testkit/db: " + err.Error())
	}
	return hex.EncodeToString(b[:])
}
