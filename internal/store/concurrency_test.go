package store_test

import (
	"context"
	"errors"
	"fmt"
	"sync/atomic"
	"testing"
	"time"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
)

func TestLease(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		ctx, night := t.Context(), r.overnight()
		take := func(holder string, at time.Time) (int64, bool) {
			t.Helper()
			fence, ok, err := s.TakeLease(ctx, night, "night", holder, at, time.Minute)
			if err != nil {
				t.Fatal(err)
			}
			return fence, ok
		}
		steps := []struct {
			holder string
			at     time.Duration
			fence  int64
			ok     bool
		}{
			{"a", 0, 1, true}, {"b", 0, 0, false}, {"a", 30 * time.Second, 1, true}, // renewed
			{"b", 89 * time.Second, 0, false}, {"b", 90 * time.Second, 2, true}, {"a", 91 * time.Second, 0, false},
		}
		for i, st := range steps {
			if fence, ok := take(st.holder, now.Add(st.at)); fence != st.fence || ok != st.ok {
				t.Errorf("step %d: %d %v, want %d %v", i, fence, ok, st.fence, st.ok)
			}
		}
		fenced := func(fence int64) error {
			return s.InRegion(ctx, night, func(tx *store.Tx) error { return tx.CheckFence(ctx, night, "night", fence) })
		}
		wantCode(t, "the old holder", fenced(1), "lease_lost")
		wantCode(t, "a job nobody has", s.InRegion(ctx, night, func(tx *store.Tx) error { return tx.CheckFence(ctx, night, "other", 1) }),
			"lease_lost")
		if err := errors.Join(fenced(2), s.ReleaseLease(ctx, night, "night", "a", 1)); err != nil {
			t.Error(err)
		}
		if _, ok := take("c", now.Add(92*time.Second)); ok {
			t.Error("the old holder released another's lease")
		}
		if err := s.ReleaseLease(ctx, night, "night", "b", 2); err != nil {
			t.Error(err)
		}
		if fence, ok := take("c", now.Add(92*time.Second)); fence != 3 || !ok {
			t.Errorf("after the release: %d %v", fence, ok)
		}
	})
}

func TestLedgerOfDates(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		ctx, night := t.Context(), r.overnight()
		last, err := s.LastDone(ctx, night, "night")
		if err != nil || !last.IsZero() {
			t.Errorf("never done: %v %v", last, err)
		}
		for _, d := range []domain.Date{today, today.AddDays(-1), today} {
			r.in(t, night, func(tx *store.Tx) error { return tx.MarkDone(ctx, night, "night", d, 1, now) })
		}
		last, err = s.LastDone(ctx, night, "night")
		done, err2 := s.Done(ctx, night, "night", today.AddDays(-1))
		not, err3 := s.Done(ctx, night, "other", today)
		if err := errors.Join(err, err2, err3); err != nil || last != today || !done || not {
			t.Errorf("last %v, done %v, another job %v, %v", last, done, not, err)
		}
		wantCode(t, "a region twice", s.CreateRegion(ctx, r.Region), "region_taken")
		all, err := s.Regions(ctx)
		if err != nil {
			t.Fatal(err)
		}
		same(t, "regions", all, []domain.Region{r.Region})
	})
}

func TestRegionSettings(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		ctx, officer := t.Context(), r.officer(t)
		change := r.Region
		change.Name, change.SeasonStartDay, change.Demo, change.CreatedAt = "North", 15, true, now.Add(time.Hour)
		r.in(t, officer, func(tx *store.Tx) error {
			got, err := tx.UpdateRegion(ctx, officer, change)
			want := r.Region
			want.Name, want.SeasonStartDay, want.Version = "North", 15, 2
			same(t, "changed", got, want)
			_, err2 := tx.UpdateRegion(ctx, officer, change)
			wantCode(t, "an old version", err2, "version_stale")
			seasons, err3 := tx.Seasons(ctx, officer, wide)
			same(t, "seasons", seasons.Items, []domain.Season{r.Season})
			adoptions, err4 := tx.Adoptions(ctx, officer)
			same(t, "adoptions", adoptions, []domain.Adoption{r.Adoption})
			double := r.Adoption
			double.ID, double.Version = newID(), 0
			_, err5 := tx.PutAdoption(ctx, officer, double)
			wantCode(t, "adopted twice", err5, "adoption_taken")
			return errors.Join(err, err3, err4)
		})
	})
}

func TestOneOfManyTakesTheLease(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		for round := range 3 { // the first makes the row, the others find it expired
			at := now.Add(time.Duration(round) * time.Hour)
			won := together(t, 8, func(i int) (bool, error) {
				fence, ok, err := s.TakeLease(context.Background(), r.overnight(), "night", fmt.Sprint(round, "-", i), at, time.Minute)
				if ok && fence != int64(round+1) {
					err = fmt.Errorf("fence %d in round %d", fence, round)
				}
				return ok, err
			})
			if won != 1 {
				t.Errorf("round %d: %d of 8 have the lease", round, won)
			}
		}
	})
}

// Of several changes that start from the same version exactly one is made; the others are told.
func TestOneOfManyChangesWins(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		op := r.operator()
		won := together(t, 8, func(i int) (bool, error) {
			err := s.InRegion(context.Background(), op, func(tx *store.Tx) error {
				c := r.One.Club
				c.ShortName = fmt.Sprint(i)
				_, err := tx.PutClub(context.Background(), op, c)
				return err
			})
			if domain.ErrorCodeOf(err) == "version_stale" {
				return false, nil
			}
			return err == nil, err
		})
		if won != 1 {
			t.Errorf("%d of 8 changed the same version", won)
		}
	})
}

// Two clubs log the same child on the same day at once: the rollup holds all of it, whoever was last.
func TestRollupOfTwoAtOnce(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		op, child, day := r.operator(), r.One.Player.ID, today.AddDays(-3)
		together(t, 6, func(i int) (bool, error) {
			ctx := context.Background()
			return true, s.InRegion(ctx, op, func(tx *store.Tx) error {
				of := []side{r.One, r.Two}[i%2].Other
				if _, err := tx.PutOver(ctx, op, domain.OverLog{ID: newID(), OutingID: of.ID, Date: day, Innings: 1, Over: i + 1,
					PlayerID: child, Kind: domain.WristSpin, Balls: 6, Valid: 6}); err != nil {
					return err
				}
				return tx.RefreshRollup(ctx, op, []domain.TouchedDay{{PlayerID: child, Day: day}})
			})
		})
		counting := access.CountingFor(op, []domain.ID{child})
		r.read(t, counting, func(tx *store.Tx) error {
			var got []domain.DayLoad
			err := tx.DayLoads(t.Context(), counting, day, day, func(l domain.DayLoad) error { got = append(got, l); return nil })
			same(t, "rollup", got, []domain.DayLoad{{PlayerID: child, Day: day, Kind: domain.WristSpin, Balls: 36, Valid: 36, Overs: 6}})
			return err
		})
	})
}

// The nightly run forgets a touched day only if nobody touched it after the run looked.
func TestTouchedWhileTheNightLooks(t *testing.T) {
	t.Parallel()
	s := db.Postgres(t) // on SQLite the two cannot overlap
	r := newRealm(t, s, "A")
	ctx, night, op, child := t.Context(), r.overnight(), r.operator(), r.One.Player.ID
	runs := 0
	var seen []int
	r.in(t, night, func(tx *store.Tx) error {
		runs++
		rec, err := tx.BowlingRecord(ctx, access.CountingFor(night, []domain.ID{child}), today.AddDays(-9), today)
		if err != nil {
			return err
		}
		seen = append(seen, len(rec.Overs))
		if runs == 1 { // meanwhile a coach logs one more over
			r.in(t, op, func(tx *store.Tx) error {
				_, err := tx.PutOver(ctx, op, domain.OverLog{ID: newID(), OutingID: r.One.Outing.ID, Date: r.One.Outing.Date, Innings: 1,
					Over: 5, PlayerID: child, Balls: 6, Valid: 6})
				return errors.Join(err, tx.RefreshRollup(ctx, op, []domain.TouchedDay{{PlayerID: child, Day: r.One.Outing.Date}}))
			})
		}
		return tx.ClearTouched(ctx, night, []domain.ID{child}, today)
	})
	same(t, "overs seen, run by run", seen, []int{1, 2})
}

// A reader keeps its snapshot while others write; a transaction that only reads cannot write.
func TestReadersSnapshot(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		ctx, op := t.Context(), r.operator()
		r.read(t, op, func(tx *store.Tx) error {
			before, err := tx.Clubs(ctx, op, wide)
			r.in(t, op, func(tx *store.Tx) error {
				_, err := tx.PutClub(ctx, op, domain.Club{ID: newID(), Name: "New"})
				return err
			})
			after, err2 := tx.Clubs(ctx, op, wide)
			same(t, "clubs", after, before)
			return errors.Join(err, err2)
		})
		err := s.ReadRegion(ctx, op, func(tx *store.Tx) error {
			_, err := tx.PutClub(ctx, op, domain.Club{ID: newID(), Name: "Sly"})
			return err
		})
		if err == nil || domain.ErrorKindOf(err) != domain.KindInternal {
			t.Errorf("a reader writes: %v", err)
		}
	})
}

// An error of the caller, a panic and a cancelled request each leave nothing behind.
func TestNothingIsLeftOfAFailedTransaction(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		op := r.operator()
		club := domain.Club{ID: newID(), Name: "Ghost"}
		put := func(ctx context.Context, tx *store.Tx) error { _, err := tx.PutClub(ctx, op, club); return err }
		own := errors.New("own")
		if err := s.InRegion(t.Context(), op, func(tx *store.Tx) error { return errors.Join(put(t.Context(), tx), own) }); !errors.Is(err, own) {
			t.Errorf("%v, want the caller's error", err)
		}
		func() {
			defer func() {
				if recover() == nil {
					t.Error("the panic was swallowed")
				}
			}()
			_ = s.InRegion(t.Context(), op, func(tx *store.Tx) error { _ = put(t.Context(), tx); panic("x") })
		}()
		ctx, cancel := context.WithCancel(t.Context())
		var calls atomic.Int32
		err := s.InRegion(ctx, op, func(tx *store.Tx) error {
			calls.Add(1)
			err := put(ctx, tx)
			cancel()
			return err
		})
		if !errors.Is(err, context.Canceled) || calls.Load() != 1 {
			t.Errorf("cancelled: %v after %d runs", err, calls.Load())
		}
		r.read(t, op, func(tx *store.Tx) error {
			page, err := tx.Clubs(t.Context(), op, wide)
			if len(page.Items) != 2 {
				t.Errorf("clubs: %+v", page.Items)
			}
			return err
		})
	})
}
