package store

import (
	"context"
	"errors"
	"fmt"

	"github.com/jackc/pgx/v5/pgconn"
	"gorm.io/gorm"
	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"longspell/internal/domain"
)

// errScope is a scope that nobody made, or one of another region than the transaction's: a fault of ours.
var errScope = errors.New("store: the scope is not of this transaction's region")

// errReach is a scope that is not made for what the method does: a fault of ours.
var errReach = errors.New("store: the scope does not reach this")

// normal is the one place where errors of gorm and the drivers become errors of the domain. What a caller may be told is a
// *domain.Error; a clash with a concurrent transaction stays recognisable to again; all else is a fault with its cause.
func normal(err error) error {
	var told *domain.Error
	switch {
	case err == nil:
		return nil
	case errors.As(err, &told), errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return err
	case errors.Is(err, gorm.ErrRecordNotFound), errors.Is(err, gorm.ErrForeignKeyViolated):
		return &domain.Error{Kind: domain.KindNotFound, Code: "not_found", Message: domain.NotFound().Message, Err: err}
	case errors.Is(err, gorm.ErrDuplicatedKey):
		return &domain.Error{Kind: domain.KindConflict, Code: "already_there", Message: "There is one already.", Err: err}
	case errors.Is(err, gorm.ErrCheckConstraintViolated), pgCode(err, "22001", "22003", "22021"):
		return &domain.Error{Kind: domain.KindInvalid, Code: "not_storable", Message: "A value is too long, too large or not of those allowed.", Err: err}
	case pgCode(err, "22P02"): // text that is no UUID, which therefore nothing has as its id
		return &domain.Error{Kind: domain.KindNotFound, Code: "not_found", Message: domain.NotFound().Message, Err: err}
	}
	return fmt.Errorf("store: %w", err)
}

// again reports whether the database gave up a transaction because of a concurrent one, so that it may be run once more.
func again(err error) bool {
	if pgCode(err, "40001", "40P01") {
		return true
	}
	var lite *sqlite.Error
	return errors.As(err, &lite) && lite.Code()&0xff == sqlite3.SQLITE_BUSY
}

func pgCode(err error, codes ...string) bool {
	var pg *pgconn.PgError
	if !errors.As(err, &pg) {
		return false
	}
	for _, c := range codes {
		if pg.Code == c {
			return true
		}
	}
	return false
}

func stale() error {
	return domain.Conflict("version_stale", "This was changed in the meantime. Load it again and repeat the change.")
}
