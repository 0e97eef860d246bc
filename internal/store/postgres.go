package store

import (
	"context"
	"database/sql"
	"fmt"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"
)

// openPostgres opens a pool. behindPooler is for a pooler that gives a connection for one transaction at a time: nothing is
// then kept prepared on a connection. The address's own default_query_exec_mode does the same.
func openPostgres(address string, behindPooler bool, conns int) (*sql.DB, error) {
	cfg, err := pgx.ParseConfig(address)
	if err != nil {
		return nil, fmt.Errorf("store: address of the database: %w", err)
	}
	if behindPooler {
		cfg.DefaultQueryExecMode = pgx.QueryExecModeDescribeExec
	}
	if cfg.RuntimeParams["application_name"] == "" {
		cfg.RuntimeParams["application_name"] = "longspell"
	}
	cfg.RuntimeParams["timezone"] = "UTC"
	db := stdlib.OpenDB(*cfg)
	db.SetMaxOpenConns(conns)
	db.SetMaxIdleConns(conns)
	db.SetConnMaxIdleTime(5 * time.Minute)
	return db, nil
}

// checkPostgres refuses to work where the database's own wall would not hold: as a role that it does not bind, or with a
// tenant table that is not walled.
func checkPostgres(ctx context.Context, db *sql.DB) error {
	var role string
	var super, bypass, owns bool
	err := db.QueryRowContext(ctx, `
		SELECT r.rolname, r.rolsuper, r.rolbypassrls, EXISTS (
			SELECT 1 FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace
			WHERE n.nspname = current_schema() AND c.relkind IN ('r', 'p') AND pg_has_role(r.oid, c.relowner, 'MEMBER'))
		FROM pg_roles r WHERE r.rolname = current_user`).Scan(&role, &super, &bypass, &owns)
	if err != nil {
		return fmt.Errorf("store: reading the rights of the database role: %w", err)
	}
	switch {
	case super:
		return fmt.Errorf("store: role %s is a superuser, which row-level security does not bind: "+
			"connect as the runtime role that longspell migrate was given", role)
	case bypass:
		return fmt.Errorf("store: role %s has BYPASSRLS: take it away with ALTER ROLE %s NOBYPASSRLS", role, pgx.Identifier{role}.Sanitize())
	case owns:
		return fmt.Errorf("store: role %s owns the tables: connect as the runtime role that longspell migrate was given, "+
			"and keep the owner for longspell migrate alone", role)
	}
	return checkWalls(ctx, db)
}

// wallsQuery lists tables of a region, by their column, that lack a wall.
const wallsQuery = `
	SELECT c.relname FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace
	WHERE n.nspname = current_schema() AND c.relkind IN ('r', 'p') AND c.relname <> 'account_region'
	AND EXISTS (SELECT 1 FROM pg_attribute a WHERE a.attrelid = c.oid AND a.attname = 'region_id' AND NOT a.attisdropped)
	AND NOT (c.relrowsecurity AND c.relforcerowsecurity
		AND (SELECT count(*) FROM pg_policy p WHERE p.polrelid = c.oid AND p.polpermissive) = 1)
	ORDER BY c.relname`

func checkWalls(ctx context.Context, db *sql.DB) error {
	open, err := textColumn(ctx, db, wallsQuery)
	if err != nil {
		return err
	}
	if len(open) > 0 {
		return fmt.Errorf("store: no forced row-level security with exactly one permissive policy on %s: "+
			"run longspell migrate as the owner, or undo by hand what was changed by hand", strings.Join(open, ", "))
	}
	return nil
}

func textColumn(ctx context.Context, db *sql.DB, query string, args ...any) ([]string, error) {
	rows, err := db.QueryContext(ctx, query, args...)
	if err != nil {
		return nil, fmt.Errorf("store: %w", err)
	}
	defer func() { _ = rows.Close() }()
	var out []string
	for rows.Next() {
		var s string
		if err := rows.Scan(&s); err != nil {
			return nil, fmt.Errorf("store: %w", err)
		}
		out = append(out, s)
	}
	return out, rows.Err()
}
