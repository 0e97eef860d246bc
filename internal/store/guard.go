package store

import (
	"context"
	"errors"
	"fmt"
	"reflect"

	"gorm.io/gorm"
	"gorm.io/gorm/clause"

	"longspell/internal/domain"
)

// errRefused is the cause of everything that the guard refuses: always a fault of ours, never of a caller.
var errRefused = errors.New("store: statement refused")

func refuse(why string) error { return fmt.Errorf("%w: %s", errRefused, why) }

type regionKey struct{}

// withRegion names the region that every statement made with the context is confined to.
func withRegion(ctx context.Context, region domain.ID) context.Context {
	return context.WithValue(ctx, regionKey{}, region)
}

func regionOf(ctx context.Context) domain.ID {
	r, _ := ctx.Value(regionKey{}).(domain.ID)
	return r
}

// guard is the gorm plugin that lets no statement reach a tenant table without a region. It refuses what it cannot confine
// (text, table names, joins, row types that are not of tables.go, updates that replace or have no WHERE) and adds the region to what
// it can.
type guard struct{}

// Name is the plugin's name to gorm.
func (guard) Name() string { return "longspell:guard" }

// Initialize puts the guard before everything else that gorm does with a statement.
func (guard) Initialize(db *gorm.DB) error {
	cb := db.Callback()
	return errors.Join(
		cb.Query().Before("*").Register("longspell:guard_query", guardRead),
		cb.Row().Before("*").Register("longspell:guard_row", guardRead),
		cb.Raw().Before("*").Register("longspell:guard_raw", guardRaw),
		cb.Create().Before("*").Register("longspell:guard_create", guardCreate),
		cb.Update().Before("*").Register("longspell:guard_update", guardUpdate),
		cb.Delete().Before("*").Register("longspell:guard_delete", guardDelete),
	)
}

func guardRaw(db *gorm.DB) {
	if !rawAllowed(db.Statement.Context) {
		_ = db.AddError(refuse("SQL text"))
	}
}

func guardRead(db *gorm.DB) {
	if db.Statement.SQL.Len() > 0 {
		guardRaw(db)
		return
	}
	confine(db)
}

func guardUpdate(db *gorm.DB) {
	if db.Statement.SQL.Len() > 0 {
		guardRaw(db)
		return
	}
	set, ok := db.Statement.Dest.(map[string]any)
	if !ok {
		_ = db.AddError(refuse("update of a whole row; name the columns"))
		return
	}
	if _, moved := set["region_id"]; moved {
		_ = db.AddError(refuse("update of the region"))
		return
	}
	if !hasWhere(db.Statement) {
		_ = db.AddError(refuse("update without WHERE"))
		return
	}
	confine(db)
}

func guardDelete(db *gorm.DB) {
	if db.Statement.SQL.Len() > 0 {
		guardRaw(db)
		return
	}
	if !hasWhere(db.Statement) {
		_ = db.AddError(refuse("delete without WHERE"))
		return
	}
	confine(db)
}

func guardCreate(db *gorm.DB) {
	stmt := db.Statement
	if stmt.SQL.Len() > 0 {
		guardRaw(db)
		return
	}
	t, err := known(stmt)
	if err != nil {
		_ = db.AddError(err)
		return
	}
	if c, ok := stmt.Clauses["ON CONFLICT"]; ok {
		if oc, ok := c.Expression.(clause.OnConflict); !ok || !oc.DoNothing {
			_ = db.AddError(refuse("insert that replaces what is there"))
			return
		}
	}
	if t.tenant {
		_ = db.AddError(ownRows(stmt))
	}
}

// ownRows reports an error unless every row to be inserted says the region of the context itself.
func ownRows(stmt *gorm.Statement) error {
	region := regionOf(stmt.Context)
	if region == "" {
		return refuse("no region")
	}
	v := reflect.Indirect(stmt.ReflectValue)
	if v.Kind() != reflect.Slice && v.Kind() != reflect.Array {
		return ownRow(v, region)
	}
	for i := range v.Len() {
		if err := ownRow(reflect.Indirect(v.Index(i)), region); err != nil {
			return err
		}
	}
	return nil
}

func ownRow(v reflect.Value, region domain.ID) error {
	if v.Kind() != reflect.Struct {
		return refuse("insert of something that is no row type")
	}
	if got, ok := v.FieldByName("RegionID").Interface().(domain.ID); !ok || got != region {
		return refuse("insert into another region")
	}
	return nil
}

// known finds the table of a statement, if it is reached by its own row type and nothing else.
func known(stmt *gorm.Statement) (table, error) {
	if stmt.Schema == nil {
		return table{}, refuse("no row type")
	}
	t, ok := tableOf[stmt.Schema.ModelType]
	switch {
	case !ok:
		return table{}, refuse("unknown row type " + stmt.Schema.Name)
	case stmt.TableExpr != nil || stmt.Table != t.name:
		return table{}, refuse("table by name")
	case len(stmt.Joins) > 0:
		return table{}, refuse("join")
	}
	if c, ok := stmt.Clauses["FROM"]; ok {
		if from, ok := c.Expression.(clause.From); !ok || len(from.Joins) > 0 || len(from.Tables) > 0 {
			return table{}, refuse("FROM of one's own")
		}
	}
	return t, nil
}

// confine adds the region to the statement's WHERE, behind parentheses around all that is there, so that no OR gets past it.
func confine(db *gorm.DB) {
	stmt := db.Statement
	t, err := known(stmt)
	if err != nil {
		_ = db.AddError(err)
		return
	}
	if !t.tenant {
		return
	}
	region := regionOf(stmt.Context)
	if region == "" {
		_ = db.AddError(refuse("no region"))
		return
	}
	if c, ok := stmt.Clauses["WHERE"]; ok {
		where, ok := c.Expression.(clause.Where)
		if !ok {
			_ = db.AddError(refuse("WHERE of an unknown form"))
			return
		}
		if len(where.Exprs) > 0 {
			c.Expression = clause.Where{Exprs: []clause.Expression{enclosed{where}}}
			stmt.Clauses["WHERE"] = c
		}
	}
	stmt.AddClause(clause.Where{Exprs: []clause.Expression{
		clause.Eq{Column: clause.Column{Table: clause.CurrentTable, Name: "region_id"}, Value: region},
	}})
}

func hasWhere(stmt *gorm.Statement) bool {
	c, ok := stmt.Clauses["WHERE"]
	if !ok {
		return false
	}
	where, ok := c.Expression.(clause.Where)
	return ok && len(where.Exprs) > 0
}

// enclosed is a condition in parentheses of its own. gorm adds parentheses only where it sees an OR, and it does not see all.
type enclosed struct{ where clause.Where }

// Build writes the condition.
func (e enclosed) Build(b clause.Builder) {
	_ = b.WriteByte('(')
	e.where.Build(b)
	_ = b.WriteByte(')')
}
