package app_test

import (
	"sync"
	"testing"
	"time"

	"longspell/internal/app"
	"longspell/internal/domain"
	"longspell/internal/passwd"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
	"longspell/internal/testkit/world"
	"longspell/internal/token"
)

const goodPassword = "four plain words together"

// door is a world with sign-in: real tokens, real hashes at the lowest cost that is allowed.
type door struct {
	*world.World
	app *app.App
}

func newDoor(t *testing.T, st *store.Store) door {
	t.Helper()
	w := world.New(t, st)
	key, err := token.NewKey("test")
	if err != nil {
		t.Fatal(err)
	}
	tokens, err := token.New([]token.Key{key}, w.Clock)
	if err != nil {
		t.Fatal(err)
	}
	hasher, err := passwd.New(passwd.Options{Cost: passwd.Floor})
	if err != nil {
		t.Fatal(err)
	}
	return door{w, app.New(app.Deps{Store: w.Store, Clock: w.Clock, Tokens: tokens, Passwords: hasher})}
}

func (d door) account(t *testing.T, email string, role domain.Role, club domain.ID) {
	t.Helper()
	_, err := d.app.CreateAccount(t.Context(), app.NewAccount{Email: email, DisplayName: "Somebody", Password: goodPassword, Region: d.Region.ID, Role: role, ClubID: club})
	if err != nil {
		t.Fatal(err)
	}
}

// Known and unknown addresses are answered alike, the waits included, and the right password opens the door after the wait.
func TestSignInTellsNothing(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, st *store.Store) {
		d := newDoor(t, st)
		d.account(t, "coach@test.invalid", domain.Coach, d.Club("Club"))
		var codes [2][]string
		for i, email := range []string{"coach@test.invalid", "nobody@test.invalid"} {
			for range 7 {
				_, err := d.app.SignIn(t.Context(), email, "not this one, surely")
				codes[i] = append(codes[i], err.Error())
			}
		}
		for n := range codes[0] {
			if codes[0][n] != codes[1][n] {
				t.Errorf("try %d: known %q, unknown %q", n, codes[0][n], codes[1][n])
			}
		}
		if _, err := d.app.SignIn(t.Context(), "coach@test.invalid", goodPassword); domain.ErrorKindOf(err) != domain.KindTooMany {
			t.Errorf("while waiting: %v", err)
		}
		d.Clock.Advance(6 * time.Minute)
		in, err := d.app.SignIn(t.Context(), " Coach@Test.invalid ", goodPassword)
		if err != nil || len(in.Actor.Appointments) != 1 || in.AccessToken == "" || in.RefreshToken == "" {
			t.Fatalf("%+v, %v", in, err)
		}
	})
}

// A refresh token works once; within ten seconds a lost reply is given again; later its reuse ends the whole sign-in.
func TestRefreshRotates(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, st *store.Store) {
		d := newDoor(t, st)
		d.account(t, "coach@test.invalid", domain.Coach, d.Club("Club"))
		in, err := d.app.SignIn(t.Context(), "coach@test.invalid", goodPassword)
		if err != nil {
			t.Fatal(err)
		}
		next, err := d.app.Refresh(t.Context(), in.RefreshToken)
		if err != nil || next.RefreshToken == in.RefreshToken {
			t.Fatalf("%v", err)
		}
		d.Clock.Advance(9 * time.Second)
		again, err := d.app.Refresh(t.Context(), in.RefreshToken)
		if err != nil || again.RefreshToken != next.RefreshToken {
			t.Fatalf("a lost reply: the same successor is not given again, %v", err)
		}
		d.Clock.Advance(2 * time.Second)
		if _, err := d.app.Refresh(t.Context(), in.RefreshToken); domain.ErrorKindOf(err) != domain.KindUnauthenticated {
			t.Fatalf("reuse after the grace: %v", err)
		}
		if _, err := d.app.Refresh(t.Context(), next.RefreshToken); domain.ErrorKindOf(err) != domain.KindUnauthenticated {
			t.Errorf("the honest token still works after a theft was seen: %v", err)
		}
		if _, err := d.app.Authenticate(t.Context(), next.Actor.Account, next.Actor.Login); domain.ErrorKindOf(err) != domain.KindUnauthenticated {
			t.Errorf("the access token still works: %v", err)
		}
		if _, err := d.app.Refresh(t.Context(), "made up"); domain.ErrorKindOf(err) != domain.KindUnauthenticated {
			t.Errorf("a made-up token: %v", err)
		}
	})
}

// Eight requests with the same token at once leave one live branch: all get the same successor.
func TestRefreshAtOnce(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, st *store.Store) {
		d := newDoor(t, st)
		d.account(t, "coach@test.invalid", domain.Coach, d.Club("Club"))
		in, err := d.app.SignIn(t.Context(), "coach@test.invalid", goodPassword)
		if err != nil {
			t.Fatal(err)
		}
		var wg sync.WaitGroup
		got := make([]string, 8)
		errs := make([]error, 8)
		for i := range got {
			wg.Go(func() {
				var s app.SignedIn
				s, errs[i] = d.app.Refresh(t.Context(), in.RefreshToken)
				got[i] = s.RefreshToken
			})
		}
		wg.Wait()
		for i := range got {
			if errs[i] != nil || got[i] != got[0] {
				t.Errorf("request %d: %v, the same successor: %v", i, errs[i], got[i] == got[0])
			}
		}
	})
}

// The sign-in lasts as long as its role allows (idle and absolute), signing out ends it at once, and an appointment that is over
// is gone from the next request.
func TestSignInEnds(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, st *store.Store) {
		d := newDoor(t, st)
		club := d.Club("Club")
		d.account(t, "coach@test.invalid", domain.Coach, club)
		d.account(t, "lead@test.invalid", domain.ClubLead, club)
		coach, err := d.app.SignIn(t.Context(), "coach@test.invalid", goodPassword)
		if err != nil {
			t.Fatal(err)
		}
		lead, err := d.app.SignIn(t.Context(), "lead@test.invalid", goodPassword)
		if err != nil {
			t.Fatal(err)
		}
		d.Clock.Advance(30 * time.Minute)
		if _, err := d.app.Refresh(t.Context(), lead.RefreshToken); domain.ErrorKindOf(err) != domain.KindUnauthenticated {
			t.Errorf("a club lead idle for half an hour: %v", err)
		}
		if coach, err = d.app.Refresh(t.Context(), coach.RefreshToken); err != nil {
			t.Fatalf("a coach idle for half an hour: %v", err)
		}
		a := coach.Actor.Appointments[0]
		a.To = d.Today().AddDays(-1)
		a.From = a.To
		officer := d.Officer()
		if _, err := d.App.PutAppointment(t.Context(), officer, a); err != nil {
			t.Fatal(err)
		}
		actor, err := d.app.Authenticate(t.Context(), coach.Actor.Account, coach.Actor.Login)
		if err != nil || len(actor.Appointments) != 0 {
			t.Errorf("after the appointment ended: %+v, %v", actor, err)
		}
		if _, err := d.app.Outings(t.Context(), app.Call{Actor: actor, Region: d.Region.ID}, app.OutingFilter{}, domain.Page{Size: 1}); domain.ErrorKindOf(err) != domain.KindNotFound {
			t.Errorf("reading on without an appointment: %v", err)
		}
		if err := d.app.SignOut(t.Context(), actor); err != nil {
			t.Fatal(err)
		}
		if _, err := d.app.Authenticate(t.Context(), coach.Actor.Account, coach.Actor.Login); domain.ErrorKindOf(err) != domain.KindUnauthenticated {
			t.Errorf("after signing out: %v", err)
		}
	})
}
