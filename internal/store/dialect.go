package store

import (
	"context"
	"database/sql"
	"strings"

	"gorm.io/gorm"

	"longspell/internal/domain"
)

// dialect is what the two databases do differently.
type dialect interface {
	// name is the folder of the migrations.
	name() string
	// among is the condition that a column holds one of ids; one parameter, however many they are.
	among(column string, ids []domain.ID) condition
	// options are those of a transaction.
	options(readOnly bool) *sql.TxOptions
	// enter is the first statement of every transaction in a region.
	enter(ctx context.Context, tx *gorm.DB, region domain.ID) error
}

type sqliteDialect struct{}

func (sqliteDialect) name() string { return "sqlite" }

func (sqliteDialect) among(column string, ids []domain.ID) condition {
	if len(ids) == 0 {
		return nothing
	}
	var b strings.Builder
	for i, id := range ids {
		b.WriteString([]string{`["`, `","`}[min(i, 1)])
		b.WriteString(string(plain(id)))
	}
	b.WriteString(`"]`)
	return condition{sql: column + " IN (SELECT value FROM json_each(?))", args: []any{b.String()}}
}

func (sqliteDialect) options(readOnly bool) *sql.TxOptions { return &sql.TxOptions{ReadOnly: readOnly} }

func (sqliteDialect) enter(context.Context, *gorm.DB, domain.ID) error { return nil }

type postgresDialect struct{}

func (postgresDialect) name() string { return "postgres" }

func (postgresDialect) among(column string, ids []domain.ID) condition {
	if len(ids) == 0 {
		return nothing
	}
	var b strings.Builder
	for i, id := range ids {
		b.WriteByte("{,"[min(i, 1)])
		b.WriteString(string(plain(id)))
	}
	b.WriteByte('}')
	return condition{sql: column + " = ANY(CAST(? AS uuid[]))", args: []any{b.String()}}
}

func (postgresDialect) options(readOnly bool) *sql.TxOptions {
	return &sql.TxOptions{Isolation: sql.LevelRepeatableRead, ReadOnly: readOnly}
}

// enter tells PostgreSQL the region for the length of this transaction. It is the only place that does.
func (postgresDialect) enter(ctx context.Context, tx *gorm.DB, region domain.ID) error {
	return raw(ctx, tx, "SELECT set_config('app.region', ?, true)", string(region))
}

// plain is an id that can be written into a list; what is no id becomes one that nothing has.
func plain(id domain.ID) domain.ID {
	if v, ok := domain.ParseID(string(id)); ok {
		return v
	}
	return "00000000-0000-0000-0000-000000000000"
}
