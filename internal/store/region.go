package store

import (
	"context"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// Region returns the scope's region.
func (t *Tx) Region(ctx context.Context, s access.Scope) (domain.Region, error) {
	if _, _, err := t.rows(ctx, s, &seasonRow{}); err != nil {
		return domain.Region{}, err
	}
	row, err := find[regionRow](t.fresh(ctx).Model(&regionRow{}).Where("id = ?", t.region))
	return row.domain(), err
}

// UpdateRegion changes the region's settings if r.Version is still its version. The day it was made and whether its data are
// invented never change. Only a scope that covers the region may.
func (t *Tx) UpdateRegion(ctx context.Context, s access.Scope, r domain.Region) (domain.Region, error) {
	if _, _, err := t.rows(ctx, s, &seasonRow{}); err != nil {
		return domain.Region{}, err
	}
	if err := mayPut(s); err != nil {
		return domain.Region{}, err
	}
	if r.ID != t.region {
		return domain.Region{}, domain.NotFound()
	}
	res := t.fresh(ctx).Model(&regionRow{}).Where("id = ? AND version = ?", t.region, r.Version).Updates(map[string]any{
		"name": r.Name, "time_zone": r.TimeZone, "season_start_month": r.SeasonStartMonth, "season_start_day": r.SeasonStartDay,
		"version": r.Version + 1})
	if res.Error != nil {
		return domain.Region{}, normal(res.Error)
	}
	if res.RowsAffected == 0 {
		return domain.Region{}, stale()
	}
	return t.Region(ctx, s)
}

// Seasons lists the region's seasons, the newest first. Everybody with a scope in the region may see them.
func (t *Tx) Seasons(ctx context.Context, s access.Scope, p domain.Page) (domain.Slice[domain.Season], error) {
	db, _, err := t.rows(ctx, s, &seasonRow{})
	if err != nil {
		return domain.Slice[domain.Season]{}, err
	}
	l := listing{name: "seasons", sort: []string{"first_day", "id"}, newest: true}
	return slice(db, l, p, func(r seasonRow) []string { return []string{string(r.FirstDay), string(r.ID)} }, seasonRow.domain)
}

// PutSeason stores a season. Only a scope that covers the region may.
func (t *Tx) PutSeason(ctx context.Context, s access.Scope, v domain.Season) (domain.Season, error) {
	if _, _, err := t.rows(ctx, s, &seasonRow{}); err != nil {
		return domain.Season{}, err
	}
	if err := mayPut(s); err != nil {
		return domain.Season{}, err
	}
	row, err := put[seasonRow](ctx, t, seasonRowOf(t.region, v), putRule{})
	return row.domain(), err
}

// Adoptions lists which limit sets the region follows, by first day, then limit set. Everybody with a scope in the region may
// see them.
func (t *Tx) Adoptions(ctx context.Context, s access.Scope) ([]domain.Adoption, error) {
	db, _, err := t.rows(ctx, s, &adoptionRow{})
	if err != nil {
		return nil, err
	}
	return all(db.Order("from_day").Order("limit_set"), adoptionRow.domain)
}

// PutAdoption stores an adoption; conflict adoption_taken where the region adopted that set on that day already. Only a scope
// that covers the region may.
func (t *Tx) PutAdoption(ctx context.Context, s access.Scope, v domain.Adoption) (domain.Adoption, error) {
	if _, _, err := t.rows(ctx, s, &adoptionRow{}); err != nil {
		return domain.Adoption{}, err
	}
	if err := mayPut(s); err != nil {
		return domain.Adoption{}, err
	}
	taken := domain.Conflict("adoption_taken", "The region adopted this limit set from that day already. Change that adoption instead.")
	row, err := put[adoptionRow](ctx, t, adoptionRowOf(t.region, v), putRule{taken: taken})
	return row.domain(), err
}

// Clubs lists the clubs inside the scope by name.
func (t *Tx) Clubs(ctx context.Context, s access.Scope, p domain.Page) (domain.Slice[domain.Club], error) {
	db, sight, err := t.rows(ctx, s, &clubRow{})
	if err != nil {
		return domain.Slice[domain.Club]{}, err
	}
	l := listing{name: "clubs", sort: []string{"name_search", "id"}}
	return slice(sight.clubs("club.id").on(db), l, p,
		func(r clubRow) []string { return []string{r.NameSearch, string(r.ID)} }, clubRow.domain)
}

// PutClub stores a club. Only a scope that covers the region may.
func (t *Tx) PutClub(ctx context.Context, s access.Scope, v domain.Club) (domain.Club, error) {
	if _, _, err := t.rows(ctx, s, &clubRow{}); err != nil {
		return domain.Club{}, err
	}
	if err := mayPut(s); err != nil {
		return domain.Club{}, err
	}
	row, err := put[clubRow](ctx, t, clubRowOf(t.region, v), putRule{})
	return row.domain(), err
}
