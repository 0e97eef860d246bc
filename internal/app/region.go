package app

import (
	"context"
	"time"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/limits"
)

// Region reads the region with its own today.
func (a *App) Region(ctx context.Context, c Call) (RegionView, error) {
	var v RegionView
	err := a.read(ctx, c, access.RegionRead, func(tx Tx, s access.Scope) (err error) {
		v.Region, err = tx.Region(ctx, s)
		return err
	})
	v.Today = a.today(v.Region)
	return v, err
}

// UpdateRegion changes name, time zone and the start of the season.
func (a *App) UpdateRegion(ctx context.Context, c Call, r domain.Region) (RegionView, error) {
	if _, err := time.LoadLocation(r.TimeZone); err != nil || r.TimeZone == "" || r.TimeZone == "Local" {
		return RegionView{}, domain.Invalid("time_zone", "There is no such time zone. Use a name like Europe/London.",
			domain.FieldError{Pointer: "/timeZone", Detail: "not a name of the IANA time zone database"})
	}
	// 2023 has no 29 February: a season must start on a day that every year has.
	if _, err := domain.NewDate(2023, r.SeasonStartMonth, r.SeasonStartDay); err != nil {
		return RegionView{}, domain.Invalid("season_start", "There is no such day in every year. Choose another day for the start of the season.",
			domain.FieldError{Pointer: "/seasonStartDay", Detail: "no such day in every year"})
	}
	var v RegionView
	err := a.write(ctx, c, access.RegionWrite, func(tx Tx, s access.Scope) (err error) {
		r.ID = c.Region
		if v.Region, err = tx.UpdateRegion(ctx, s, r); err != nil {
			return err
		}
		return a.trail(ctx, tx, s, "changed", "region", r.ID, nil)
	})
	a.forgetRegions()
	v.Today = a.today(v.Region)
	return v, err
}

// Seasons lists seasons, newest first.
func (a *App) Seasons(ctx context.Context, c Call, p domain.Page) (out domain.Slice[domain.Season], err error) {
	err = a.read(ctx, c, access.RegionRead, func(tx Tx, s access.Scope) (err error) {
		out, err = tx.Seasons(ctx, s, p)
		return err
	})
	return out, err
}

// PutSeason creates or changes a season.
func (a *App) PutSeason(ctx context.Context, c Call, v domain.Season) (domain.Season, error) {
	if v.LastDay.Before(v.FirstDay) {
		return v, domain.Invalid("season_days", "The season ends before it begins. Check both days.",
			domain.FieldError{Pointer: "/lastDay", Detail: "before the first day"})
	}
	was := v.Version
	err := a.write(ctx, c, access.RegionWrite, func(tx Tx, s access.Scope) (err error) {
		if v, err = tx.PutSeason(ctx, s, v); err != nil {
			return err
		}
		return a.trail(ctx, tx, s, action(was), "season", v.ID, nil)
	})
	return v, err
}

// Adoptions lists the limit sets that the region has adopted.
func (a *App) Adoptions(ctx context.Context, c Call) (out []domain.Adoption, err error) {
	err = a.read(ctx, c, access.RegionRead, func(tx Tx, s access.Scope) (err error) {
		out, err = tx.Adoptions(ctx, s)
		return err
	})
	return out, err
}

// PutAdoption adopts a limit set from a day on, or ends an adoption. The set and its settings must exist.
func (a *App) PutAdoption(ctx context.Context, c Call, v domain.Adoption) (domain.Adoption, error) {
	set, ok := limits.Lookup(v.LimitSet)
	if !ok {
		return v, domain.Invalid("limit_set", "There is no such limit set. The list of limit sets has their names.",
			domain.FieldError{Pointer: "/limitSet", Detail: "not a limit set"})
	}
	if _, err := set.ResolveSettings(v.Settings); err != nil {
		return v, domain.Invalid("settings", "A setting does not fit this limit set: "+err.Error()+".",
			domain.FieldError{Pointer: "/settings", Detail: err.Error()})
	}
	if !v.To.IsZero() && v.To.Before(v.From) {
		return v, domain.Invalid("adoption_days", "The adoption ends before it begins. Check both days.",
			domain.FieldError{Pointer: "/to", Detail: "before from"})
	}
	was := v.Version
	err := a.write(ctx, c, access.RegionWrite, func(tx Tx, s access.Scope) (err error) {
		if v, err = tx.PutAdoption(ctx, s, v); err != nil {
			return err
		}
		return a.trail(ctx, tx, s, action(was), "adoption", v.ID, map[string]string{"limit_set": v.LimitSet})
	})
	return v, err
}

// Clubs lists the clubs inside the caller's scope.
func (a *App) Clubs(ctx context.Context, c Call, p domain.Page) (out domain.Slice[domain.Club], err error) {
	err = a.read(ctx, c, access.ClubList, func(tx Tx, s access.Scope) (err error) {
		out, err = tx.Clubs(ctx, s, p)
		return err
	})
	return out, err
}

// PutClub creates or changes a club.
func (a *App) PutClub(ctx context.Context, c Call, v domain.Club) (domain.Club, error) {
	was := v.Version
	err := a.write(ctx, c, access.ClubWrite, func(tx Tx, s access.Scope) (err error) {
		if v, err = tx.PutClub(ctx, s, v); err != nil {
			return err
		}
		return a.trail(ctx, tx, s, action(was), "club", v.ID, nil)
	})
	return v, err
}

// Audit lists the trail, newest first.
func (a *App) Audit(ctx context.Context, c Call, p domain.Page) (out domain.Slice[domain.AuditEntry], err error) {
	err = a.read(ctx, c, access.AuditRead, func(tx Tx, s access.Scope) (err error) {
		out, err = tx.Audit(ctx, s, p)
		return err
	})
	return out, err
}
