// Package world builds the little region that a test needs, on a real database, through the same ports as the product.
package world

import (
	"testing"
	"time"

	"longspell/internal/access"
	"longspell/internal/app"
	"longspell/internal/clock"
	"longspell/internal/domain"
	"longspell/internal/store"
)

// World is one region under test with its use cases. Its clock stands still until a test moves it.
type World struct {
	t      testing.TB
	App    *app.App
	Store  app.Store
	Clock  *clock.Fixed
	Region domain.Region
	Season domain.Season
	ids    int
}

// Start is the instant at which every world begins: noon on Monday 11 May 2026, UTC.
var Start = time.Date(2026, 5, 11, 12, 0, 0, 0, time.UTC)

// New makes a region in UTC that follows ecb-2010, with the season of 2026. Sign-in is not part of it: tests act as persons
// made by Coach, Lead and Officer.
func New(t testing.TB, st *store.Store) *World {
	t.Helper()
	w := &World{t: t, Clock: clock.NewFixed(Start), Store: app.Adapt(st)}
	w.App = app.New(app.Deps{Store: w.Store, Clock: w.Clock})
	r, err := w.App.CreateRegion(t.Context(), app.NewRegion{Name: "Invented", TimeZone: "UTC", SeasonStartMonth: 1, SeasonStartDay: 1, LimitSet: "ecb-2010"})
	w.must(err)
	w.Region = r
	seasons, err := w.App.Seasons(t.Context(), w.Officer(), domain.Page{Size: 10})
	w.must(err)
	w.Season = seasons.Items[0]
	return w
}

func (w *World) must(err error) {
	w.t.Helper()
	if err != nil {
		w.t.Fatal(err)
	}
}

// ID makes a new id; later calls give greater ones, as with ids made one after the other.
func (w *World) ID() domain.ID {
	w.ids++
	return domain.NewID(w.Clock.Now().Add(time.Duration(w.ids) * time.Millisecond))
}

// Today is the region's day.
func (w *World) Today() domain.Date { return domain.DateOf(w.Clock.Now(), w.Region.Location()) }

// Operator is the scope of the operator's commands.
func (w *World) Operator() access.Scope { return access.Operator(w.Region.ID, w.Today()) }

// Do runs fn in one transaction in the operator's scope.
func (w *World) Do(fn func(tx app.Tx, s access.Scope) error) {
	w.t.Helper()
	s := w.Operator()
	w.must(w.Store.InRegion(w.t.Context(), s, func(tx app.Tx) error { return fn(tx, s) }))
}

// Club makes a club.
func (w *World) Club(name string) domain.ID {
	w.t.Helper()
	id := w.ID()
	w.Do(func(tx app.Tx, s access.Scope) error {
		_, err := tx.PutClub(w.t.Context(), s, domain.Club{ID: id, Name: name, ShortName: name})
		return err
	})
	return id
}

// Squad makes a squad of a club in the world's season.
func (w *World) Squad(club domain.ID, name string) domain.ID {
	w.t.Helper()
	id := w.ID()
	w.Do(func(tx app.Tx, s access.Scope) error {
		_, err := tx.PutSquad(w.t.Context(), s, domain.Squad{ID: id, ClubID: club, SeasonID: w.Season.ID, Name: name})
		return err
	})
	return id
}

// Player makes a player and registers them with the clubs, the first of them as first club.
func (w *World) Player(name, born string, kind domain.BowlingKind, clubs ...domain.ID) domain.ID {
	w.t.Helper()
	id := w.ID()
	w.Do(func(tx app.Tx, s access.Scope) error {
		p := domain.Player{ID: id, Name: name, Reference: name, Kind: kind, Arm: domain.ArmRight}
		if born != "" {
			p.Born = domain.MustDate(born)
		}
		if _, err := tx.PutPlayer(w.t.Context(), s, p); err != nil {
			return err
		}
		for i, c := range clubs {
			_, err := tx.PutRegistration(w.t.Context(), s, domain.Registration{ID: w.ID(), PlayerID: id, ClubID: c, SeasonID: w.Season.ID,
				First: i == 0, From: w.Season.FirstDay})
			if err != nil {
				return err
			}
		}
		return nil
	})
	return id
}

// InSquad puts a player into a squad.
func (w *World) InSquad(squad domain.ID, players ...domain.ID) {
	w.t.Helper()
	w.Do(func(tx app.Tx, s access.Scope) error {
		for _, p := range players {
			if _, err := tx.PutSquadPlayer(w.t.Context(), s, domain.SquadPlayer{SquadID: squad, PlayerID: p, From: w.Season.FirstDay}); err != nil {
				return err
			}
		}
		return nil
	})
}

// As is a call by a new person who holds one appointment from the season's first day on.
func (w *World) As(a domain.Appointment) app.Call {
	w.t.Helper()
	acc := domain.Account{ID: w.ID(), Email: string(w.ID()) + "@test.invalid", DisplayName: "Somebody", PasswordHash: "none", CreatedAt: w.Clock.Now()}
	w.must(w.Store.CreateAccount(w.t.Context(), acc))
	a.ID, a.RegionID, a.AccountID, a.From = w.ID(), w.Region.ID, acc.ID, domain.MustDate("2026-01-01")
	w.Do(func(tx app.Tx, s access.Scope) error {
		_, err := tx.PutAppointment(w.t.Context(), s, a)
		return err
	})
	return app.Call{Actor: access.Actor{Account: acc.ID, DisplayName: acc.DisplayName, Appointments: []domain.Appointment{a}}, Region: w.Region.ID}
}

// Officer is a call by a region officer.
func (w *World) Officer() app.Call { return w.As(domain.Appointment{Role: domain.RegionOfficer}) }

// Lead is a call by a club's lead.
func (w *World) Lead(club domain.ID) app.Call {
	return w.As(domain.Appointment{Role: domain.ClubLead, ClubID: club})
}

// Coach is a call by a coach of a whole club.
func (w *World) Coach(club domain.ID) app.Call {
	return w.As(domain.Appointment{Role: domain.Coach, ClubID: club})
}

// Match is a held match of a club with the players present.
func (w *World) Match(club domain.ID, date string, present ...domain.ID) domain.Outing {
	o := domain.Outing{ID: w.ID(), ClubID: club, Kind: domain.OutingMatch, State: domain.OutingHeld, Date: domain.MustDate(date), Title: "Match",
		HasFormat: true, Format: domain.MatchFormat{BallsInOver: domain.SixValid}}
	for _, p := range present {
		o.Attendance = append(o.Attendance, domain.Attendance{PlayerID: p, Present: domain.PresentYes})
	}
	return o
}

// Overs are whole overs of six valid balls by one bowler in innings 1, at the numbers given.
func (w *World) Overs(date string, player domain.ID, kind domain.BowlingKind, numbers ...int) []domain.OverLog {
	var out []domain.OverLog
	for _, n := range numbers {
		out = append(out, domain.OverLog{ID: w.ID(), Date: domain.MustDate(date), Innings: 1, Over: n, PlayerID: player, Kind: kind, Balls: 6, Valid: 6})
	}
	return out
}
