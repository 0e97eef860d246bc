package store

import (
	"context"

	"gorm.io/gorm"

	"longspell/internal/domain"
)

// all reads every row of a statement, nil for none.
func all[R, T any](db *gorm.DB, convert func(R) T) ([]T, error) {
	var rows []R
	if err := db.Find(&rows).Error; err != nil {
		return nil, normal(err)
	}
	var out []T
	for _, r := range rows {
		out = append(out, convert(r))
	}
	return out, nil
}

// exists reports whether a statement has a row.
func exists(db *gorm.DB) (bool, error) {
	var n int64
	err := db.Limit(1).Count(&n).Error
	return n > 0, normal(err)
}

// accountNames looks up how the holders of accounts are shown. Accounts are global and say nothing of a child.
func (t *Tx) accountNames(ctx context.Context, ids []domain.ID) (map[domain.ID]string, error) {
	var rows []accountRow
	db := t.fresh(ctx).Model(&accountRow{}).Select("id", "display_name")
	if err := t.d.among("account.id", ids).on(db).Find(&rows).Error; err != nil {
		return nil, normal(err)
	}
	names := make(map[domain.ID]string, len(rows))
	for _, r := range rows {
		names[r.ID] = r.DisplayName
	}
	return names, nil
}

// clubNames looks up the names of clubs that a row inside the scope names.
func (t *Tx) clubNames(ctx context.Context, ids []domain.ID) (map[domain.ID]string, error) {
	var rows []clubRow
	if err := t.d.among("club.id", ids).on(t.all(ctx, &clubRow{}).Select("id", "name")).Find(&rows).Error; err != nil {
		return nil, normal(err)
	}
	names := make(map[domain.ID]string, len(rows))
	for _, r := range rows {
		names[r.ID] = r.Name
	}
	return names, nil
}

// squadNames looks up the names of squads that a row inside the scope names.
func (t *Tx) squadNames(ctx context.Context, ids []domain.ID) (map[domain.ID]string, error) {
	var rows []squadRow
	if err := t.d.among("squad.id", ids).on(t.all(ctx, &squadRow{}).Select("id", "name")).Find(&rows).Error; err != nil {
		return nil, normal(err)
	}
	names := make(map[domain.ID]string, len(rows))
	for _, r := range rows {
		names[r.ID] = r.Name
	}
	return names, nil
}

// given are the ids that are not blank, each once.
func given[T any](items []T, id func(T) domain.ID) []domain.ID {
	seen := make(map[domain.ID]bool, len(items))
	var out []domain.ID
	for _, it := range items {
		if v := id(it); v != "" && !seen[v] {
			seen[v] = true
			out = append(out, v)
		}
	}
	return out
}

// bulk is how many rows go into one insert: few enough for the number of values that either database takes in a statement.
const bulk = 500

// insert adds rows in bulk; every one must be new.
func insert[R any](db *gorm.DB, rows []R) error {
	if len(rows) == 0 {
		return nil
	}
	return normal(db.CreateInBatches(rows, bulk).Error)
}
