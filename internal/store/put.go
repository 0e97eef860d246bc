package store

import (
	"context"
	"reflect"

	"gorm.io/gorm"
	"gorm.io/gorm/clause"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// versioned is a pointer to a row that has an id in its region and a version.
type versioned[R any] interface {
	*R
	stamp() (id domain.ID, version *int)
}

func (r *seasonRow) stamp() (domain.ID, *int)       { return r.ID, &r.Version }
func (r *adoptionRow) stamp() (domain.ID, *int)     { return r.ID, &r.Version }
func (r *clubRow) stamp() (domain.ID, *int)         { return r.ID, &r.Version }
func (r *squadRow) stamp() (domain.ID, *int)        { return r.ID, &r.Version }
func (r *playerRow) stamp() (domain.ID, *int)       { return r.ID, &r.Version }
func (r *registrationRow) stamp() (domain.ID, *int) { return r.ID, &r.Version }
func (r *appointmentRow) stamp() (domain.ID, *int)  { return r.ID, &r.Version }
func (r *outingRow) stamp() (domain.ID, *int)       { return r.ID, &r.Version }
func (r *overRow) stamp() (domain.ID, *int)         { return r.ID, &r.Version }
func (r *spellRow) stamp() (domain.ID, *int)        { return r.ID, &r.Version }
func (r *practiceRow) stamp() (domain.ID, *int)     { return r.ID, &r.Version }
func (r *noticeRow) stamp() (domain.ID, *int)       { return r.ID, &r.Version }

// putRule is how rows of one table are stored.
type putRule struct {
	seen  condition // stored rows that the caller sees
	taken error     // what to say where another row has the natural key
	fixed []string  // columns that stay as they were first stored
}

// put stores a row by the rule for versions that the contract of Tx states.
func put[R comparable, P versioned[R]](ctx context.Context, t *Tx, row R, rule putRule) (R, error) {
	id, version := P(&row).stamp()
	if *version < 0 {
		return row, domain.Invalid("version", "A version is 0 for something new, or the one that was read.")
	}
	if *version == 0 {
		return create[R, P](ctx, t, row, rule)
	}
	set, err := columns(ctx, t.db, &row, rule.fixed)
	if err != nil {
		return row, err
	}
	set["version"] = *version + 1
	res := rule.seen.on(t.all(ctx, new(R))).Where("id = ? AND version = ?", id, *version).Updates(set)
	if err := normal(res.Error); err != nil {
		if rule.taken != nil && domain.ErrorCodeOf(err) == "already_there" {
			err = rule.taken
		}
		return row, err
	}
	stored, err := find[R](rule.seen.on(t.all(ctx, new(R))).Where("id = ?", id))
	if err == nil && res.RowsAffected == 0 {
		err = stale()
	}
	return stored, err
}

// create inserts, and where the row is there already finds out why. It never lets the database refuse a double key, because
// PostgreSQL would give up the whole transaction.
func create[R comparable, P versioned[R]](ctx context.Context, t *Tx, row R, rule putRule) (R, error) {
	id, version := P(&row).stamp()
	*version = 1
	res := t.fresh(ctx).Clauses(clause.OnConflict{DoNothing: true}).Create(&row)
	if res.Error != nil || res.RowsAffected == 1 {
		return row, normal(res.Error)
	}
	stored, err := find[R](rule.seen.on(t.all(ctx, new(R))).Where("id = ?", id))
	if err == nil {
		_, v := P(&stored).stamp()
		if *version = *v; row != stored {
			return stored, stale()
		}
		return stored, nil
	}
	if domain.ErrorKindOf(err) != domain.KindNotFound {
		return row, err
	}
	if _, err := find[R](t.all(ctx, new(R)).Where("id = ?", id)); domain.ErrorKindOf(err) != domain.KindNotFound || rule.taken == nil {
		if err == nil {
			err = domain.NotFound()
		}
		return row, err
	}
	return row, rule.taken
}

// find reads the one row that a statement names; not_found if there is none.
func find[R any](db *gorm.DB) (R, error) {
	var rows []R
	if err := db.Limit(1).Find(&rows).Error; err != nil {
		var none R
		return none, normal(err)
	}
	if len(rows) == 0 {
		var none R
		return none, domain.NotFound()
	}
	return rows[0], nil
}

// columns are a row's columns with their values, without its key, its version and those that never change.
func columns(ctx context.Context, db *gorm.DB, row any, fixed []string) (map[string]any, error) {
	stmt := &gorm.Statement{DB: db}
	if err := stmt.Parse(row); err != nil {
		return nil, normal(err)
	}
	v := reflect.ValueOf(row)
	set := make(map[string]any, len(stmt.Schema.Fields))
	for _, f := range stmt.Schema.Fields {
		if f.PrimaryKey || f.DBName == "version" {
			continue
		}
		set[f.DBName], _ = f.ValueOf(ctx, v)
	}
	for _, c := range fixed {
		delete(set, c)
	}
	return set, nil
}

// mayPut reports not_found unless the scope covers the whole region: what is the region's own is changed for all.
func mayPut(s access.Scope) error {
	if !s.All() {
		return domain.NotFound()
	}
	return nil
}
