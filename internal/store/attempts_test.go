package store_test

import (
	"context"
	"errors"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/store"
)

// victim is what an attempt goes for: a club of another region, or of the same one.
type victim struct {
	*realm
	side
	mine side // the attacker's own club
}

// attempt is one call that goes for the victim's rows. One that is refused must fail for the attacker and succeed for
// the victim's own; one that looks must succeed for both and show the victim's ids only to its own.
type attempt struct {
	refused bool
	reuse   bool // names an id of the victim's for something of the attacker's: inside another region that is just another row
	never   bool // also the victim's own region cannot: the rows do not belong together
	call    func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (seen any, err error)
}

func look(call func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error)) attempt {
	return attempt{call: call}
}

func write(call func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error) attempt {
	return attempt{refused: true, call: func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return nil, call(ctx, tx, s, v)
	}}
}

func find(call func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error)) attempt {
	return attempt{refused: true, call: call}
}

// mixed is a write that joins something of the attacker's with something of the victim's: no scope may.
func mixed(call func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error) attempt {
	a := write(call)
	a.never = true
	return a
}

// underID is a mixed write that stores something of the attacker's under an id of the victim's.
func underID(call func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error) attempt {
	a := mixed(call)
	a.reuse = true
	return a
}

var (
	wide = domain.Page{Size: 100}
	from = today.AddDays(-100)
)

// attempts are by method of Tx; TestEveryMethodIsAttempted sees that none is missing.
var attempts = joined(peopleAttempts, logAttempts)

// peopleAttempts go for what is not logged: the region, its clubs, people and appointments.
var peopleAttempts = map[string][]attempt{
	"Region": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		return tx.Region(ctx, s)
	})},
	"UpdateRegion": {write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		_, err := tx.UpdateRegion(ctx, s, v.realm.Region)
		return err
	})},
	"Seasons": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		return tx.Seasons(ctx, s, wide)
	})},
	"PutSeason": {write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		_, err := tx.PutSeason(ctx, s, v.Season)
		return err
	})},
	"Adoptions": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		return tx.Adoptions(ctx, s)
	})},
	"PutAdoption": {write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		_, err := tx.PutAdoption(ctx, s, v.Adoption)
		return err
	})},
	"Clubs": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		return tx.Clubs(ctx, s, wide)
	})},
	"PutClub": {write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		_, err := tx.PutClub(ctx, s, v.Club)
		return err
	})},
	"Squads": {
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
			return tx.Squads(ctx, s, domain.SquadFilter{}, wide)
		}),
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Squads(ctx, s, domain.SquadFilter{ClubID: v.Club.ID}, wide)
		}),
	},
	"Squad": {find(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.Squad(ctx, s, v.Squad.ID)
	})},
	"PutSquad": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error { // a new one in the victim's name
			_, err := tx.PutSquad(ctx, s, domain.Squad{ID: newID(), ClubID: v.Club.ID, SeasonID: v.Season.ID, Name: "x"})
			return err
		}),
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			q := v.Squad
			q.Name = "stolen"
			_, err := tx.PutSquad(ctx, s, q)
			return err
		}),
		underID(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error { // into my club, under the victim's id
			_, err := tx.PutSquad(ctx, s, domain.Squad{ID: v.Squad.ID, ClubID: v.mine.Club.ID, SeasonID: v.Season.ID, Name: "x"})
			return err
		}),
	},
	"PutSquadPlayer": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutSquadPlayer(ctx, s, domain.SquadPlayer{SquadID: v.Squad.ID, PlayerID: v.Player.ID, From: today})
			return err
		}),
	},
	"Players": {
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
			return tx.Players(ctx, s, domain.PlayerFilter{}, wide)
		}),
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Players(ctx, s, domain.PlayerFilter{ClubID: v.Club.ID}, wide)
		}),
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Players(ctx, s, domain.PlayerFilter{SquadID: v.Squad.ID}, wide)
		}),
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Players(ctx, s, domain.PlayerFilter{Name: v.Player.Name}, wide)
		}),
	},
	"Player": {find(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.Player(ctx, s, v.Player.ID)
	})},
	"PlayersByID": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.PlayersByID(ctx, s, []domain.ID{v.Player.ID, v.Loose.ID})
	})},
	"PlayersByReference": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		if s.Counting() && s.Valid() && v.sameRegion() && v.mine.Club.ID != "" {
			return nil, nil // looks through the region by contract
		}
		return tx.PlayersByReference(ctx, s, []string{v.Player.Reference})
	})},
	"PutPlayer": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			p := v.Player
			p.Name = "stolen"
			_, err := tx.PutPlayer(ctx, s, p)
			return err
		}),
		underID(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutPlayer(ctx, s, domain.Player{ID: v.Player.ID, Name: "stolen"})
			return err
		}),
	},
	"Registrations": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.Registrations(ctx, s, []domain.ID{v.Player.ID, v.Loose.ID})
	})},
	"PutRegistration": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error { // a new one in the victim's name
			_, err := tx.PutRegistration(ctx, s, domain.Registration{ID: newID(), PlayerID: v.Player.ID, ClubID: v.Club.ID,
				SeasonID: v.Season.ID, From: today})
			return err
		}),
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutRegistration(ctx, s, v.Registration)
			return err
		}),
		mixed(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			reg := v.Registration
			reg.ClubID, reg.Version = v.mine.Club.ID, 0
			_, err := tx.PutRegistration(ctx, s, reg)
			return err
		}),
	},
	"SquadsOf": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.SquadsOf(ctx, s, []domain.ID{v.Player.ID})
	})},
	"Appointments": {
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
			return tx.Appointments(ctx, s, domain.AppointmentFilter{}, wide)
		}),
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Appointments(ctx, s, domain.AppointmentFilter{ClubID: v.Club.ID, AccountID: v.Lead.ID}, wide)
		}),
	},
	"Appointment": {find(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.Appointment(ctx, s, v.side.Appointment.ID)
	})},
	"PutAppointment": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutAppointment(ctx, s, v.Appointment)
			return err
		}),
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutAppointment(ctx, s, domain.Appointment{ID: newID(), AccountID: v.Officer.ID, Role: domain.Coach,
				ClubID: v.Club.ID, From: today})
			return err
		}),
		mixed(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutAppointment(ctx, s, domain.Appointment{ID: newID(), AccountID: v.mine.Coach.ID, Role: domain.Coach,
				ClubID: v.mine.Club.ID, SquadID: v.Squad.ID, From: today})
			return err
		}),
	},
	"Gorm": nil, // of the tests' own
}

// reach forgives a method for refusing a scope that is not made for it.
func reach(err error) error {
	if errors.Is(err, store.ErrReach) {
		return nil
	}
	return err
}

// ofVictim logs the victim's player at an outing of the attacker's own. A scope that covers the region may, where the region is
// the same.
func ofVictim(call func(ctx context.Context, tx *store.Tx, s access.Scope, outing, player domain.ID) error) attempt {
	return attempt{refused: true, never: true, call: func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		if v.mine.Club.ID == "" || s.All() && v.sameRegion() {
			return nil, domain.NotFound()
		}
		return nil, call(ctx, tx, s, v.mine.Outing.ID, v.Player.ID)
	}}
}

// mixedRegion is refused to another region, and shows nothing to another club of the same.
func mixedRegion(call func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error) attempt {
	return attempt{refused: true, call: func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		if s.Region() == v.realm.Region.ID && !s.All() {
			return nil, domain.NotFound()
		}
		return nil, call(ctx, tx, s, v)
	}}
}

func (v victim) sameRegion() bool {
	return v.mine.Club.ID == v.One.Club.ID || v.mine.Club.ID == v.Two.Club.ID
}

// ids are those that nobody outside may be shown.
func (v victim) ids() []domain.ID {
	out := []domain.ID{v.Club.ID, v.Squad.ID, v.Player.ID, v.Loose.ID, v.Registration.ID, v.Appointment.ID, v.Outing.ID, v.Other.ID,
		v.Over.ID, v.Spell.ID,
		v.Practice.ID, v.Correction.ID, v.Notice.ID, v.Fact.ID, v.Lead.ID, v.Coach.ID}
	if !v.sameRegion() {
		out = append(out, v.realm.Region.ID, v.Season.ID, v.Adoption.ID, v.realm.Audit.ID)
	}
	return out
}
