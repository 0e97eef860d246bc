package store_test

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"longspell/internal/domain"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
)

func TestAccounts(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		ctx := t.Context()
		a := domain.Account{ID: newID(), Email: "Ann.Wren@Example.ORG", DisplayName: "Ann", PasswordHash: "h1", FailedInRow: 1,
			WaitUntil: now, CreatedAt: now}
		if err := s.CreateAccount(ctx, a); err != nil {
			t.Fatal(err)
		}
		want := a
		want.Email = "ann.wren@example.org"
		byEmail, err := s.AccountByEmail(ctx, "ANN.wren@example.org")
		same(t, "by address", byEmail, want)
		byID, err2 := s.AccountByID(ctx, a.ID)
		same(t, "by id", byID, want)
		if err := errors.Join(err, err2); err != nil {
			t.Fatal(err)
		}
		double := a
		double.ID = newID()
		wantCode(t, "an address twice", s.CreateAccount(ctx, double), "email_taken")

		if err := s.RecordSignIn(ctx, domain.Account{ID: a.ID, FailedInRow: 3, WaitUntil: now.Add(time.Minute)}); err != nil {
			t.Fatal(err)
		}
		got, err := s.AccountByID(ctx, a.ID)
		if err != nil || got.FailedInRow != 3 || got.PasswordHash != "h1" || !got.WaitUntil.Equal(now.Add(time.Minute)) {
			t.Errorf("after a wrong password: %+v, %v", got, err)
		}
		if err := s.RecordSignIn(ctx, domain.Account{ID: a.ID, PasswordHash: "h2"}); err != nil {
			t.Fatal(err)
		}
		got, err = s.AccountByID(ctx, a.ID)
		if err != nil || got.FailedInRow != 0 || got.PasswordHash != "h2" || !got.WaitUntil.IsZero() {
			t.Errorf("after the right one: %+v, %v", got, err)
		}
		for what, err := range map[string]error{"id": second(s.AccountByID(ctx, newID())), "address": second(s.AccountByEmail(ctx, "x@y.z")),
			"sign-in": s.RecordSignIn(ctx, domain.Account{ID: newID()}), "login": second(s.LoginByID(ctx,
				newID())), "token": second(s.RefreshToken(ctx, "none")),
			"end": s.EndLogin(ctx, newID(), now, "sign_out")} {
			wantCode(t, "nobody's "+what, err, "not_found")
		}
		if regions, err := s.RegionsOf(ctx, a.ID); err != nil || len(regions) != 0 {
			t.Errorf("regions of a newcomer: %v, %v", regions, err)
		}
	})
}

func second[T any](_ T, err error) error { return err }

func newLogin(t *testing.T, s *store.Store) (domain.Login, domain.RefreshToken) {
	t.Helper()
	l := domain.Login{ID: newID(), AccountID: newAccount(t, s, "x").ID, CreatedAt: now, ExpiresAt: now.Add(time.Hour)}
	first := domain.RefreshToken{Hash: string("h0-" + l.ID), LoginID: l.ID, IssuedAt: now, ExpiresAt: now.Add(time.Minute)}
	if err := s.CreateLogin(t.Context(), l, first); err != nil {
		t.Fatal(err)
	}
	return l, first
}

func TestTokensRotate(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		ctx := t.Context()
		l, t0 := newLogin(t, s)
		next := func(n int) domain.RefreshToken {
			return domain.RefreshToken{Hash: fmt.Sprintf("h%d-%s", n, l.ID), LoginID: l.ID, IssuedAt: now, ExpiresAt: now.Add(time.Hour)}
		}
		t0.NextSeal = "sealed 1"
		if won, err := s.Rotate(ctx, t0, next(1), now.Add(time.Second)); err != nil || !won {
			t.Fatal(won, err)
		}
		used, err := s.RefreshToken(ctx, t0.Hash)
		t0.UsedAt, t0.NextHash = now.Add(time.Second), next(1).Hash
		same(t, "the used one", used, t0)
		if won, err2 := s.Rotate(ctx, t0, next(9), now); err2 != nil || won {
			t.Errorf("rotated twice: %v %v", won, err2)
		}
		wantCode(t, "the loser's successor", second(s.RefreshToken(ctx, next(9).Hash)), "not_found")
		t1 := next(1)
		t1.NextSeal = "sealed 2"
		won, err3 := s.Rotate(ctx, t1, next(2), now.Add(2*time.Second))
		if !won {
			t.Error("the second link did not rotate")
		}
		used, err4 := s.RefreshToken(ctx, t0.Hash)
		if used.NextSeal != "" {
			t.Errorf("the seal of the link before stays: %q", used.NextSeal)
		}
		got, err5 := s.LoginByID(ctx, l.ID)
		l.LastUsedAt = now.Add(2 * time.Second)
		same(t, "login", got, l)
		err6 := s.EndLogin(ctx, l.ID, now.Add(time.Minute), "sign_out")
		err7 := s.EndLogin(ctx, l.ID, now.Add(time.Hour), "reuse")
		got, err8 := s.LoginByID(ctx, l.ID)
		l.EndedAt, l.EndReason = now.Add(time.Minute), "sign_out"
		same(t, "ended once", got, l)
		if err := errors.Join(err, err3, err4, err5, err6, err7, err8); err != nil {
			t.Fatal(err)
		}
	})
}

// together runs fn in n goroutines at once and returns how many said yes.
func together(t *testing.T, n int, fn func(i int) (bool, error)) int {
	t.Helper()
	var wg sync.WaitGroup
	var mu sync.Mutex
	won := 0
	start := make(chan struct{})
	for i := range n {
		wg.Go(func() {
			<-start
			ok, err := fn(i)
			mu.Lock()
			defer mu.Unlock()
			if err != nil {
				t.Errorf("%d: %v", i, err)
			}
			if ok {
				won++
			}
		})
	}
	close(start)
	wg.Wait()
	return won
}

func TestOneTokenHasOneSuccessor(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		l, t0 := newLogin(t, s)
		won := together(t, 8, func(i int) (bool, error) {
			return s.Rotate(context.Background(), t0, domain.RefreshToken{Hash: fmt.Sprintf("n%d-%s", i, l.ID), LoginID: l.ID,
				IssuedAt: now, ExpiresAt: now.Add(time.Hour)}, now)
		})
		if won != 1 {
			t.Errorf("%d of 8 rotated the same token", won)
		}
		there := 0
		for i := range 8 {
			if _, err := s.RefreshToken(t.Context(), fmt.Sprintf("n%d-%s", i, l.ID)); err == nil {
				there++
			}
		}
		if there != 1 {
			t.Errorf("%d successors", there)
		}
	})
}
