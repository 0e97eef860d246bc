package store

import (
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"strings"

	gormsqlite "gorm.io/driver/sqlite"
	"gorm.io/gorm"
	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

const sqliteScheme = "sqlite:"

// sqliteAddress turns "sqlite:FILE" into the driver's address. The settings stand in the address because each connection needs
// them: foreign keys are off by default, WAL lets readers go on beside the one writer, and FULL keeps what was committed through a
// power cut. The writer has 32 MB of pages at hand (in KiB, negative), or an import reads its own indexes again and again. A
// transaction takes the writer's lock when it begins, so that it cannot fail half-way for want of it.
func sqliteAddress(address string, readOnly bool) (string, error) {
	file := sqliteFile(address)
	if file == "" || strings.HasPrefix(file, ":memory:") || strings.ContainsAny(file, "?\x00") {
		return "", fmt.Errorf("store: %q is not sqlite:FILE", address)
	}
	pragmas := []string{"busy_timeout(10000)", "foreign_keys(1)", "journal_mode(WAL)", "synchronous(FULL)", "trusted_schema(0)"}
	if readOnly {
		pragmas = append(pragmas, "cache_size(-8192)", "query_only(1)")
	} else {
		pragmas = append(pragmas, "cache_size(-32768)")
	}
	q := url.Values{"mode": {"rw"}, "_txlock": {"immediate"}, "_pragma": pragmas}
	return "file:" + (&url.URL{Path: file}).EscapedPath() + "?" + q.Encode(), nil
}

// sqliteFile is the path in "sqlite:FILE".
func sqliteFile(address string) string { return strings.TrimPrefix(address, sqliteScheme) }

// makeSQLiteFile makes an empty database that only its owner may read, unless there is one. SQLite gives the files it puts
// beside it the same rights.
func makeSQLiteFile(address string) error {
	if _, err := sqliteAddress(address, false); err != nil {
		return err
	}
	f, err := os.OpenFile(sqliteFile(address), os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return fmt.Errorf("store: %w", err)
	}
	return f.Close()
}

func openSQLite(address string, readOnly bool, conns int) (*sql.DB, error) {
	dsn, err := sqliteAddress(address, readOnly)
	if err != nil {
		return nil, err
	}
	if _, err := os.Stat(sqliteFile(address)); err != nil {
		return nil, fmt.Errorf("store: there is no database yet: run longspell migrate (%w)", err)
	}
	db, err := sql.Open("sqlite", dsn)
	if err != nil {
		return nil, fmt.Errorf("store: %w", err)
	}
	db.SetMaxOpenConns(conns)
	db.SetMaxIdleConns(conns)
	return db, nil
}

// sqliteDialector is gorm's own, on a driver without cgo whose errors it does not know.
type sqliteDialector struct{ gormsqlite.Dialector }

func newSQLiteDialector(pool *sql.DB) gorm.Dialector {
	return sqliteDialector{gormsqlite.Dialector{DriverName: "sqlite", Conn: pool}}
}

// Translate names the errors that normal looks for.
func (sqliteDialector) Translate(err error) error {
	var lite *sqlite.Error
	if !errors.As(err, &lite) {
		return err
	}
	switch lite.Code() {
	case sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY, sqlite3.SQLITE_CONSTRAINT_UNIQUE:
		return fmt.Errorf("%w: %w", gorm.ErrDuplicatedKey, err)
	case sqlite3.SQLITE_CONSTRAINT_FOREIGNKEY:
		return fmt.Errorf("%w: %w", gorm.ErrForeignKeyViolated, err)
	case sqlite3.SQLITE_CONSTRAINT_CHECK, sqlite3.SQLITE_CONSTRAINT_DATATYPE:
		return fmt.Errorf("%w: %w", gorm.ErrCheckConstraintViolated, err)
	}
	return err
}
