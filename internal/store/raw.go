package store

import (
	"context"

	"gorm.io/gorm"
)

type rawKey struct{}

func rawAllowed(ctx context.Context) bool {
	ok, _ := ctx.Value(rawKey{}).(bool)
	return ok
}

// raw runs SQL text. It is the only place that gets text past the guard; nothing that reads or writes a tenant table
// may use it.
func raw(ctx context.Context, db *gorm.DB, text string, args ...any) error {
	return db.WithContext(context.WithValue(ctx, rawKey{}, true)).Exec(text, args...).Error
}
