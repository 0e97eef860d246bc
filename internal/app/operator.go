package app

import (
	"context"
	"strings"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// The operator's use cases: what has to be there before the first person can sign in. They are called by commands on the
// machine, never by a request, and they show nobody's record.

// NewRegion is what a region starts with.
type NewRegion struct {
	Name             string
	TimeZone         string
	SeasonStartMonth int
	SeasonStartDay   int
	LimitSet         string // adopted from the first day of the current season
	Demo             bool
}

// CreateRegion makes a region with its current season and one adopted limit set.
func (a *App) CreateRegion(ctx context.Context, n NewRegion) (domain.Region, error) {
	now := a.clock.Now()
	r := domain.Region{ID: domain.NewID(now), Name: n.Name, TimeZone: n.TimeZone, SeasonStartMonth: n.SeasonStartMonth,
		SeasonStartDay: n.SeasonStartDay, Demo: n.Demo, CreatedAt: now, Version: 1}
	if err := a.store.CreateRegion(ctx, r); err != nil {
		return r, err
	}
	a.forgetRegions()
	today := a.today(r)
	s := access.Operator(r.ID, today)
	return r, a.store.InRegion(ctx, s, func(tx Tx) error {
		season, err := tx.PutSeason(ctx, s, SeasonAt(r, today, domain.NewID(now)))
		if err != nil {
			return err
		}
		if n.LimitSet != "" {
			ad := domain.Adoption{ID: domain.NewID(now), LimitSet: n.LimitSet, From: season.FirstDay, Settings: map[string]string{}}
			if _, err := tx.PutAdoption(ctx, s, ad); err != nil {
				return err
			}
		}
		return a.trail(ctx, tx, s, "created", "region", r.ID, nil)
	})
}

// SeasonAt works out the season of a region that contains a day: from its start to the day before the next start.
func SeasonAt(r domain.Region, on domain.Date, id domain.ID) domain.Season {
	y, _, _ := on.YMD()
	start, _ := domain.NewDate(y, r.SeasonStartMonth, r.SeasonStartDay)
	if on.Before(start) {
		y--
		start, _ = domain.NewDate(y, r.SeasonStartMonth, r.SeasonStartDay)
	}
	next, _ := domain.NewDate(y+1, r.SeasonStartMonth, r.SeasonStartDay)
	name := start.String()[:4]
	if r.SeasonStartMonth > 1 {
		name += "/" + next.String()[2:4]
	}
	return domain.Season{ID: id, Name: name, FirstDay: start, LastDay: next.AddDays(-1)}
}

// NewAccount is a person who is to sign in, with a first appointment.
type NewAccount struct {
	Email       string
	DisplayName string
	Password    string
	Region      domain.ID
	Role        domain.Role
	ClubID      domain.ID // "" for a region officer
}

// CreateAccount makes an account and its first appointment.
func (a *App) CreateAccount(ctx context.Context, n NewAccount) (domain.Account, error) {
	r, err := a.region(ctx, n.Region)
	if err != nil {
		return domain.Account{}, err
	}
	hash, err := a.passwords.Hash(ctx, n.Password)
	if err != nil {
		return domain.Account{}, err
	}
	now, today := a.clock.Now(), a.today(r)
	acc := domain.Account{ID: domain.NewID(now), Email: strings.ToLower(strings.TrimSpace(n.Email)), DisplayName: n.DisplayName,
		PasswordHash: hash, CreatedAt: now}
	ap := domain.Appointment{ID: domain.NewID(now), RegionID: r.ID, AccountID: acc.ID, Role: n.Role, ClubID: n.ClubID, From: today}
	if err := checkAppointment(ap); err != nil {
		return acc, err
	}
	if err := a.store.CreateAccount(ctx, acc); err != nil {
		return acc, err
	}
	s := access.Operator(r.ID, today)
	return acc, a.store.InRegion(ctx, s, func(tx Tx) error {
		if _, err := tx.PutAppointment(ctx, s, ap); err != nil {
			return err
		}
		return a.trail(ctx, tx, s, "created", "appointment", ap.ID, map[string]string{"role": string(n.Role)})
	})
}

// ClubByName finds a club of a region by id, name or short name; not_found if there is none.
func (a *App) ClubByName(ctx context.Context, region domain.ID, name string) (id domain.ID, err error) {
	r, err := a.region(ctx, region)
	if err != nil {
		return "", err
	}
	s := access.Operator(region, a.today(r))
	err = a.store.ReadRegion(ctx, s, func(tx Tx) error {
		for page := (domain.Page{Size: 100}); ; {
			got, err := tx.Clubs(ctx, s, page)
			if err != nil {
				return err
			}
			for _, c := range got.Items {
				if string(c.ID) == strings.ToLower(name) || strings.EqualFold(c.Name, name) || strings.EqualFold(c.ShortName, name) {
					id = c.ID
					return nil
				}
			}
			if page.After = got.Next; got.Next == "" {
				return domain.NotFound()
			}
		}
	})
	return id, err
}
