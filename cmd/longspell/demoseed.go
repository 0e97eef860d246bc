package main

import (
	"context"
	"slices"

	"longspell/internal/access"
	"longspell/internal/app"
	"longspell/internal/demo"
	"longspell/internal/domain"
)

// seedDemo stores an invented region in an empty database, in one transaction: it is wholly there or wholly absent.
func seedDemo(ctx context.Context, st app.Store, w demo.World, today domain.Date, passwordHash string) error {
	if err := st.CreateRegion(ctx, w.Region); err != nil {
		return err
	}
	for _, a := range w.Accounts {
		acc := domain.Account{ID: a.ID, Email: a.Email, DisplayName: a.DisplayName, PasswordHash: passwordHash, CreatedAt: w.Region.CreatedAt}
		if err := st.CreateAccount(ctx, acc); err != nil {
			return err
		}
	}
	s := access.Operator(w.Region.ID, today)
	return st.InRegion(ctx, s, func(tx app.Tx) error {
		for _, step := range []func(context.Context, app.Tx, access.Scope, demo.World) error{seedPlaces, seedPeople, seedOutings} {
			if err := step(ctx, tx, s, w); err != nil {
				return err
			}
		}
		return nil
	})
}

func seedPlaces(ctx context.Context, tx app.Tx, s access.Scope, w demo.World) error {
	put := seeder{}
	for _, v := range w.Seasons {
		put.did(tx.PutSeason(ctx, s, v))
	}
	for _, v := range w.Adoptions {
		put.did(tx.PutAdoption(ctx, s, v))
	}
	for _, v := range w.Clubs {
		put.did(tx.PutClub(ctx, s, v))
	}
	for _, v := range w.Squads {
		put.did(tx.PutSquad(ctx, s, v))
	}
	return put.err
}

func seedPeople(ctx context.Context, tx app.Tx, s access.Scope, w demo.World) error {
	put := seeder{}
	for _, v := range w.Players {
		put.did(tx.PutPlayer(ctx, s, v))
	}
	for _, v := range w.Registrations {
		put.did(tx.PutRegistration(ctx, s, v))
	}
	for _, v := range w.SquadPlayers {
		put.did(tx.PutSquadPlayer(ctx, s, v))
	}
	for _, a := range w.Accounts {
		for _, v := range a.Appointments {
			put.did(tx.PutAppointment(ctx, s, v))
		}
	}
	return put.err
}

// seedChunk is how many outings are stored with one call.
const seedChunk = 500

func seedOutings(ctx context.Context, tx app.Tx, s access.Scope, w demo.World) error {
	days := map[domain.TouchedDay]bool{}
	for part := range slices.Chunk(w.Outings, seedChunk) {
		put := seeder{}
		attendance := map[domain.ID][]domain.Attendance{}
		var overs []domain.OverLog
		var practice []domain.Practice
		for _, o := range part {
			put.did(tx.PutOuting(ctx, s, o))
			attendance[o.ID] = o.Attendance
			overs = append(overs, o.Overs...)
			practice = append(practice, o.Practice...)
			for _, x := range o.Overs {
				days[domain.TouchedDay{PlayerID: x.PlayerID, Day: x.Date}] = true
			}
			for _, x := range o.Practice {
				days[domain.TouchedDay{PlayerID: x.PlayerID, Day: o.Date}] = true
			}
		}
		if put.err != nil {
			return put.err
		}
		if err := tx.AddLogs(ctx, s, attendance, overs, practice); err != nil {
			return err
		}
	}
	all := make([]domain.TouchedDay, 0, len(days))
	for d := range days {
		all = append(all, d)
	}
	return tx.RefreshRollup(ctx, s, all)
}

// seeder keeps the first error of a row of puts.
type seeder struct{ err error }

func (s *seeder) did(_ any, err error) {
	if s.err == nil {
		s.err = err
	}
}
