package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"
	"gorm.io/gorm"
	"modernc.org/sqlite"

	"longspell/internal/domain"
)

// What the tests of the walls need to see of the inside.

type (
	PlayerRow       = playerRow
	RegistrationRow = registrationRow
	AccountRow      = accountRow
)

var (
	ErrRefused = errRefused
	ErrScope   = errScope
	ErrReach   = errReach
)

// Gorm is the write handle with the guard on it.
func (s *Store) Gorm() *gorm.DB { return s.write }

// Pool is a pool of connections past gorm and its guard.
func (s *Store) Pool() *sql.DB { return s.pools[0] }

// Pools are all pools, the writer's first.
func (s *Store) Pools() []*sql.DB { return s.pools }

// Dialect is the folder of the migrations.
func (s *Store) Dialect() string { return s.d.name() }

// MigrateThrough migrates as Migrate does, over connections that wrap has its hands on.
func MigrateThrough(ctx context.Context, address, role string, wrap func(driver.Connector) driver.Connector) error {
	if isPostgres(address) {
		cfg, err := pgx.ParseConfig(address)
		if err != nil {
			return err
		}
		return migratePostgres(ctx, sql.OpenDB(wrap(stdlib.GetConnector(*cfg))), role)
	}
	if err := makeSQLiteFile(address); err != nil {
		return err
	}
	dsn, err := sqliteAddress(address, false)
	if err != nil {
		return err
	}
	c, err := sqlite.NewConnector(dsn)
	if err != nil {
		return err
	}
	pool := sql.OpenDB(wrap(c))
	pool.SetMaxOpenConns(1)
	return upSQLite(ctx, pool)
}

// WithRegion names the region of the statements made with the context.
func WithRegion(ctx context.Context, region domain.ID) context.Context {
	return withRegion(ctx, region)
}

// Gorm is the transaction's handle.
func (t *Tx) Gorm() *gorm.DB { return t.db }

// TenantTables are the names of the tables of a region.
func TenantTables() []string {
	var out []string
	for _, t := range tables {
		if t.tenant {
			out = append(out, t.name)
		}
	}
	return out
}

// Grants are the rights of the runtime role by table.
func Grants() map[string]string {
	out := map[string]string{}
	for _, t := range tables {
		out[t.name] = t.grants
	}
	return out
}

// AfterWrite calls fn after each statement of the write handle that changes something.
func (s *Store) AfterWrite(fn func()) error {
	hook := func(*gorm.DB) { fn() }
	cb := s.write.Callback()
	return errors.Join(
		cb.Create().After("*").Register("test:after_create", hook),
		cb.Update().After("*").Register("test:after_update", hook),
		cb.Delete().After("*").Register("test:after_delete", hook))
}
