package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"github.com/jackc/pgx/v5"
	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"

	"longspell/migrations"
)

const versionTable = "goose_db_version"

// Migrate brings the database at ownerURL (the owner's role on PostgreSQL) to this program's version and, on PostgreSQL, gives
// runtimeRole what it needs and no more. It may run in several processes at once: one does the work, the others wait. It refuses
// a database that a newer program has been at. There is no way back but the backup made before.
func Migrate(ctx context.Context, ownerURL, runtimeRole string) error {
	if strings.HasPrefix(ownerURL, sqliteScheme) {
		return migrateSQLite(ctx, ownerURL)
	}
	if !isPostgres(ownerURL) {
		return errors.New("store: the address of the database must begin with sqlite: or postgres://")
	}
	if runtimeRole == "" {
		return errors.New("store: name the role that the service connects as")
	}
	pool, err := openPostgres(ownerURL, false, 4)
	if err != nil {
		return err
	}
	defer func() { _ = pool.Close() }()
	return migratePostgres(ctx, pool, runtimeRole)
}

func migratePostgres(ctx context.Context, pool *sql.DB, runtimeRole string) error {
	locker, err := lock.NewPostgresSessionLocker(lock.WithLockTimeout(1, 300)) // asks every second, for five minutes
	if err != nil {
		return fmt.Errorf("store: %w", err)
	}
	if err := up(ctx, pool, postgresDialect{}, goose.WithSessionLocker(locker)); err != nil {
		return err
	}
	return grant(ctx, pool, runtimeRole)
}

// migrateSQLite has no lock that outlives a transaction. Each migration is a transaction that takes the writer's lock as it
// begins, so of several processes one gets through; the others fail on what it made, find that the database moved on, and go on
// from there.
func migrateSQLite(ctx context.Context, address string) error {
	if err := makeSQLiteFile(address); err != nil {
		return err
	}
	pool, err := openSQLite(address, false, 1)
	if err != nil {
		return err
	}
	defer func() { _ = pool.Close() }()
	return upSQLite(ctx, pool)
}

func upSQLite(ctx context.Context, pool *sql.DB) error {
	for {
		before := versionNow(ctx, pool)
		err := up(ctx, pool, sqliteDialect{})
		if err == nil || (versionNow(ctx, pool) == before && !again(err)) {
			return err
		}
		if ctx.Err() != nil {
			return ctx.Err()
		}
	}
}

func up(ctx context.Context, pool *sql.DB, d dialect, options ...goose.ProviderOption) error {
	p, err := provider(pool, d, options...)
	if err != nil {
		return err
	}
	has, want, err := p.GetVersions(ctx)
	if err != nil {
		return fmt.Errorf("store: reading the version of the database: %w", err)
	}
	if has > want {
		return newer(has, want)
	}
	if _, err := p.Up(ctx); err != nil {
		return fmt.Errorf("store: migrating: %w", err)
	}
	return nil
}

func provider(pool *sql.DB, d dialect, options ...goose.ProviderOption) (*goose.Provider, error) {
	files, err := migrations.For(d.name())
	if err != nil {
		return nil, err
	}
	kind := goose.DialectSQLite3
	if d.name() == "postgres" {
		kind = goose.DialectPostgres
	}
	p, err := goose.NewProvider(kind, pool, files, append(options, goose.WithDisableGlobalRegistry(true))...)
	if err != nil {
		return nil, fmt.Errorf("store: reading the migrations: %w", err)
	}
	return p, nil
}

// newestVersion is the version that this program's migrations lead to.
func newestVersion(d dialect) (int64, error) {
	p, err := provider(&sql.DB{}, d)
	if err != nil {
		return 0, err
	}
	sources := p.ListSources()
	return sources[len(sources)-1].Version, nil
}

// versionNow is the version of the database; -1 where there is none to be read.
func versionNow(ctx context.Context, pool *sql.DB) int64 {
	var v sql.NullInt64
	if err := pool.QueryRowContext(ctx, "SELECT max(version_id) FROM "+versionTable).Scan(&v); err != nil || !v.Valid {
		return -1
	}
	return v.Int64
}

func checkVersion(ctx context.Context, pool *sql.DB, d dialect) error {
	if err := pool.PingContext(ctx); err != nil {
		return fmt.Errorf("store: the database does not answer: %w", err)
	}
	want, err := newestVersion(d)
	if err != nil {
		return err
	}
	switch has := versionNow(ctx, pool); {
	case has > want:
		return newer(has, want)
	case has < want && has < 0:
		return errors.New("store: the database is not prepared: run longspell migrate")
	case has < want:
		return fmt.Errorf("store: the database is at version %d and this program needs %d: make a backup, then run longspell migrate", has, want)
	}
	return nil
}

func newer(has, want int64) error {
	return fmt.Errorf("store: the database is at version %d and this program knows %d at most: use the newer program, or restore the backup made before it", has, want)
}

// grant gives the runtime role its rights, and takes away any that it had beside them.
func grant(ctx context.Context, pool *sql.DB, role string) error {
	var there bool
	if err := pool.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM pg_roles WHERE rolname = $1)", role).Scan(&there); err != nil {
		return fmt.Errorf("store: looking for the runtime role: %w", err)
	}
	name := pgx.Identifier{role}.Sanitize()
	if !there {
		return fmt.Errorf("store: there is no role %s: make it with CREATE ROLE %s LOGIN PASSWORD '...' and run longspell migrate again", role, name)
	}
	statements := []string{
		"REVOKE ALL ON ALL TABLES IN SCHEMA public FROM " + name,
		"GRANT USAGE ON SCHEMA public TO " + name,
		"GRANT SELECT ON " + versionTable + " TO " + name,
	}
	for _, t := range tables {
		statements = append(statements, "GRANT "+t.grants+" ON "+t.name+" TO "+name)
	}
	tx, err := pool.BeginTx(ctx, nil)
	if err != nil {
		return fmt.Errorf("store: %w", err)
	}
	defer func() { _ = tx.Rollback() }()
	// Two processes that grant at once would clash on the catalogue's rows.
	if _, err := tx.ExecContext(ctx, "SELECT pg_advisory_xact_lock(hashtext('longspell grants'))"); err != nil {
		return fmt.Errorf("store: %w", err)
	}
	for _, s := range statements {
		if _, err := tx.ExecContext(ctx, s); err != nil {
			return fmt.Errorf("store: %s: %w", s, err)
		}
	}
	if err := tx.Commit(); err != nil {
		return fmt.Errorf("store: %w", err)
	}
	return nil
}
