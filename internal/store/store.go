package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math/rand/v2"
	"runtime"
	"strings"
	"time"

	"gorm.io/driver/postgres"
	"gorm.io/gorm"
	"gorm.io/gorm/logger"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// Config says where the data are.
type Config struct {
	// URL is sqlite:FILE or postgres://USER@HOST/DATABASE; on PostgreSQL the runtime role's, never the owner's.
	URL string
	// Conns is the most connections that are open at a time; 0 is four for each processor (measured: more wait in the database
	// instead of here).
	Conns int
	// BehindPooler keeps nothing prepared on a connection, as a pooler in transaction mode needs; PostgreSQL only.
	BehindPooler bool
}

// Store is the database. It is safe for concurrent use.
type Store struct {
	write, read *gorm.DB
	d           dialect
	pools       []*sql.DB
}

// Tx is one transaction in one region. It is for one goroutine, and of no use once the function it was given to has returned.
type Tx struct {
	db     *gorm.DB
	region domain.ID
	d      dialect
}

// Open connects to a database that Migrate has prepared. It refuses one of another version, and on PostgreSQL a role that
// row-level security does not bind or a table that is not walled; the message says what to do.
func Open(ctx context.Context, cfg Config) (*Store, error) {
	conns := cfg.Conns
	if conns <= 0 {
		conns = 4 * runtime.GOMAXPROCS(0)
	}
	s, err := connect(cfg, conns)
	if err != nil {
		return nil, err
	}
	if err := s.check(ctx); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

func connect(cfg Config, conns int) (*Store, error) {
	if strings.HasPrefix(cfg.URL, sqliteScheme) {
		return connectSQLite(cfg, conns)
	}
	if !isPostgres(cfg.URL) {
		return nil, errors.New("store: the address of the database must begin with sqlite: or postgres://")
	}
	pool, err := openPostgres(cfg.URL, cfg.BehindPooler, conns)
	if err != nil {
		return nil, err
	}
	db, err := openGorm(postgres.New(postgres.Config{Conn: pool}))
	if err != nil {
		return nil, errors.Join(err, pool.Close())
	}
	return &Store{write: db, read: db, d: postgresDialect{}, pools: []*sql.DB{pool}}, nil
}

func connectSQLite(cfg Config, conns int) (*Store, error) {
	s := &Store{d: sqliteDialect{}}
	for _, readOnly := range []bool{false, true} {
		n := 1 // one writer: more would only wait for each other inside SQLite
		if readOnly {
			n = conns
		}
		pool, err := openSQLite(cfg.URL, readOnly, n)
		if err != nil {
			return nil, errors.Join(err, s.Close())
		}
		s.pools = append(s.pools, pool)
		db, err := openGorm(newSQLiteDialector(pool))
		if err != nil {
			return nil, errors.Join(err, s.Close())
		}
		if readOnly {
			s.read = db
		} else {
			s.write = db
		}
	}
	return s, nil
}

func isPostgres(address string) bool {
	return strings.HasPrefix(address, "postgres://") || strings.HasPrefix(address, "postgresql://")
}

// openGorm has no logger, because statements hold data of children, and prepares nothing: the drivers do that better.
func openGorm(d gorm.Dialector) (*gorm.DB, error) {
	db, err := gorm.Open(d, &gorm.Config{
		Logger: logger.Discard, SkipDefaultTransaction: true, TranslateError: true, DisableAutomaticPing: true,
	})
	if err != nil {
		return nil, fmt.Errorf("store: %w", err)
	}
	if err := db.Use(guard{}); err != nil {
		return nil, fmt.Errorf("store: %w", err)
	}
	return db, nil
}

func (s *Store) check(ctx context.Context) error {
	if err := checkVersion(ctx, s.pools[0], s.d); err != nil {
		return err
	}
	if s.d.name() == "postgres" {
		return checkPostgres(ctx, s.pools[0])
	}
	return nil
}

// Close closes the connections; running transactions are given up.
func (s *Store) Close() error {
	var errs []error
	for _, p := range s.pools {
		errs = append(errs, p.Close())
	}
	return errors.Join(errs...)
}

// Ready reports whether the database answers and is still of this program's version.
func (s *Store) Ready(ctx context.Context) error { return checkVersion(ctx, s.pools[0], s.d) }

// InRegion runs fn in one read-write transaction that is confined to the scope's region. If the database gives the
// transaction up because of a concurrent one, fn is run again: it must have no effect outside the transaction.
func (s *Store) InRegion(ctx context.Context, sc access.Scope, fn func(*Tx) error) error {
	return s.inRegion(ctx, s.write, sc, false, fn)
}

// ReadRegion runs fn in one read-only transaction that is confined to the scope's region and sees one snapshot.
func (s *Store) ReadRegion(ctx context.Context, sc access.Scope, fn func(*Tx) error) error {
	return s.inRegion(ctx, s.read, sc, true, fn)
}

func (s *Store) inRegion(ctx context.Context, db *gorm.DB, sc access.Scope, readOnly bool, fn func(*Tx) error) error {
	if !sc.Valid() {
		return errScope
	}
	region := sc.Region()
	return s.retry(ctx, func() (own, all error) {
		all = db.WithContext(withRegion(ctx, region)).Transaction(func(tx *gorm.DB) error {
			if err := s.d.enter(ctx, tx, region); err != nil {
				return err
			}
			own = fn(&Tx{db: tx, region: region, d: s.d})
			return own
		}, s.d.options(readOnly))
		return own, all
	})
}

// global runs fn in one transaction that has no region and so reaches nothing of any.
func (s *Store) global(ctx context.Context, fn func(*gorm.DB) error) error {
	return s.retry(ctx, func() (own, all error) {
		return nil, s.write.WithContext(ctx).Transaction(fn)
	})
}

const attempts = 10

// retry runs a transaction again while the database gives it up because of a concurrent one. run returns the caller's own
// error, which is handed on as it is, and the outcome of the whole.
func (s *Store) retry(ctx context.Context, run func() (own, all error)) error {
	var own, err error
	for i := range attempts {
		if own, err = run(); !again(err) {
			if own != nil {
				return own
			}
			if cause := ctx.Err(); err != nil && cause != nil {
				// The request is over; whether the database says so or only that the transaction is gone is a matter of timing.
				return fmt.Errorf("store: %w: %w", cause, err)
			}
			return normal(err)
		}
		pause := time.NewTimer(time.Duration(rand.Int64N(int64(2*time.Millisecond) << i))) // some wait longer than others, or they meet again
		select {
		case <-ctx.Done():
			pause.Stop()
			return ctx.Err()
		case <-pause.C:
		}
	}
	return &domain.Error{Kind: domain.KindUnavailable, Code: "busy", Message: "Too many changes at the same time. Try again shortly.", Err: err}
}
