package app

import (
	"context"
	"strings"
	"sync"
	"time"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// How long a sign-in lasts (trust S-12): staff of region and club may sit at shared machines, a coach's phone is locked by
// its owner, a guardian comes by now and then.
const (
	staffIdle, staffAbsolute       = 30 * time.Minute, 12 * time.Hour
	coachIdle, coachAbsolute       = 14 * 24 * time.Hour, 90 * 24 * time.Hour
	guardianIdle, guardianAbsolute = 30 * 24 * time.Hour, 180 * 24 * time.Hour

	// refreshGrace is how long the successor of a used refresh token is given out again: a reply lost on a pitch-side phone
	// must not sign it out.
	refreshGrace = 10 * time.Second
)

// Guesses at a password: the first freeGuesses cost nothing but the hash, then each failure doubles the wait up to maxWait.
const (
	freeGuesses = 5
	maxWait     = 5 * time.Minute
)

func badSignIn() error {
	return domain.Unauthenticated("sign_in_failed", "This e-mail address and password do not belong together. Check both and try again.")
}

func signInEnded() error {
	return domain.Unauthenticated("signed_out", "You are signed out. Sign in again; nothing that was saved is lost.")
}

// SignIn checks e-mail and password and opens a login. Known and unknown addresses answer alike.
func (a *App) SignIn(ctx context.Context, email, password string) (SignedIn, error) {
	email = strings.ToLower(strings.TrimSpace(email))
	now := a.clock.Now()
	acc, err := a.store.AccountByEmail(ctx, email)
	known := err == nil
	if err != nil && domain.ErrorKindOf(err) != domain.KindNotFound {
		return SignedIn{}, err
	}
	if !known {
		acc = a.unknown.get(email)
	}
	if now.Before(acc.WaitUntil) {
		return SignedIn{}, &domain.Error{Kind: domain.KindTooMany, Code: "too_many_attempts",
			Message: "Too many wrong passwords in a row. Wait a few minutes, then try again.", RetryAfter: acc.WaitUntil.Sub(now)}
	}
	ok, rehash, err := a.passwords.Verify(ctx, acc.PasswordHash, password)
	if err != nil {
		return SignedIn{}, err
	}
	if !ok || !known || acc.Closed {
		acc.FailedInRow++
		acc.WaitUntil = now.Add(waitAfter(acc.FailedInRow))
		if !known {
			a.unknown.put(email, acc)
			return SignedIn{}, badSignIn()
		}
		if err := a.store.RecordSignIn(ctx, acc); err != nil {
			return SignedIn{}, err
		}
		return SignedIn{}, badSignIn()
	}
	acc.FailedInRow, acc.WaitUntil = 0, time.Time{}
	if rehash {
		if acc.PasswordHash, err = a.passwords.Hash(ctx, password); err != nil {
			return SignedIn{}, err
		}
	}
	if err := a.store.RecordSignIn(ctx, acc); err != nil {
		return SignedIn{}, err
	}
	return a.openLogin(ctx, acc, now)
}

func waitAfter(failed int) time.Duration {
	if failed < freeGuesses {
		return 0
	}
	w := time.Second << min(failed-freeGuesses, 20)
	return min(w, maxWait)
}

func (a *App) openLogin(ctx context.Context, acc domain.Account, now time.Time) (SignedIn, error) {
	apps, err := a.appointmentsOf(ctx, acc.ID)
	if err != nil {
		return SignedIn{}, err
	}
	idle, absolute := lifetimes(apps)
	login := domain.Login{ID: domain.NewID(now), AccountID: acc.ID, CreatedAt: now, LastUsedAt: now, ExpiresAt: now.Add(absolute)}
	plain, hash, err := a.tokens.NewRefresh()
	if err != nil {
		return SignedIn{}, err
	}
	first := domain.RefreshToken{Hash: hash, LoginID: login.ID, IssuedAt: now, ExpiresAt: now.Add(min(idle, absolute))}
	if err := a.store.CreateLogin(ctx, login, first); err != nil {
		return SignedIn{}, err
	}
	return a.signedIn(acc, login, apps, plain, first.ExpiresAt)
}

func (a *App) signedIn(acc domain.Account, l domain.Login, apps []domain.Appointment, refresh string, until time.Time) (SignedIn, error) {
	tok, exp, err := a.tokens.Issue(acc.ID, l.ID, a.clock.Now())
	if err != nil {
		return SignedIn{}, err
	}
	return SignedIn{
		Actor:       access.Actor{Account: acc.ID, Login: l.ID, DisplayName: acc.DisplayName, Appointments: apps},
		AccessToken: tok, AccessExpires: exp, RefreshToken: refresh, RefreshExpires: until,
	}, nil
}

func lifetimes(apps []domain.Appointment) (idle, absolute time.Duration) {
	idle, absolute = guardianIdle, guardianAbsolute
	for _, p := range apps {
		switch p.Role {
		case domain.RegionOfficer, domain.ClubLead:
			return staffIdle, staffAbsolute
		case domain.Coach:
			idle, absolute = coachIdle, coachAbsolute
		}
	}
	return idle, absolute
}

// Refresh rotates a refresh token. A token that was used before ends the whole login, unless its reply may just have been
// lost: within refreshGrace the same successor is given again.
func (a *App) Refresh(ctx context.Context, plain string) (SignedIn, error) {
	now := a.clock.Now()
	hash := a.tokens.HashRefresh(plain)
	old, err := a.store.RefreshToken(ctx, hash)
	if domain.ErrorKindOf(err) == domain.KindNotFound && err != nil {
		return SignedIn{}, signInEnded()
	} else if err != nil {
		return SignedIn{}, err
	}
	acc, login, err := a.liveLogin(ctx, old.LoginID, now)
	if err != nil {
		return SignedIn{}, err
	}
	if !now.Before(old.ExpiresAt) {
		return SignedIn{}, signInEnded()
	}
	apps, err := a.appointmentsOf(ctx, acc.ID)
	if err != nil {
		return SignedIn{}, err
	}
	if old.UsedAt.IsZero() {
		idle, _ := lifetimes(apps)
		next, nextHash, err := a.tokens.NewRefresh()
		if err != nil {
			return SignedIn{}, err
		}
		if old.NextSeal, err = a.tokens.Seal(next); err != nil {
			return SignedIn{}, err
		}
		old.NextHash = nextHash
		until := now.Add(idle)
		if until.After(login.ExpiresAt) {
			until = login.ExpiresAt
		}
		rotated, err := a.store.Rotate(ctx, old, domain.RefreshToken{Hash: nextHash, LoginID: login.ID, IssuedAt: now, ExpiresAt: until}, now)
		if err != nil {
			return SignedIn{}, err
		}
		if rotated {
			return a.signedIn(acc, login, apps, next, until)
		}
		if old, err = a.store.RefreshToken(ctx, hash); err != nil {
			return SignedIn{}, err
		}
	}
	return a.usedBefore(ctx, old, acc, login, apps)
}

// usedBefore answers a refresh token that already has a successor.
func (a *App) usedBefore(ctx context.Context, old domain.RefreshToken, acc domain.Account, login domain.Login, apps []domain.Appointment) (SignedIn, error) {
	now := a.clock.Now()
	if now.Sub(old.UsedAt) <= refreshGrace && old.NextSeal != "" {
		next, err := a.store.RefreshToken(ctx, old.NextHash)
		if err == nil && next.UsedAt.IsZero() {
			plain, err := a.tokens.Unseal(old.NextSeal)
			if err != nil {
				return SignedIn{}, err
			}
			return a.signedIn(acc, login, apps, plain, next.ExpiresAt)
		}
	}
	if err := a.store.EndLogin(ctx, login.ID, now, "reuse"); err != nil {
		return SignedIn{}, err
	}
	return SignedIn{}, signInEnded()
}

// SignOut ends the login behind the request.
func (a *App) SignOut(ctx context.Context, actor access.Actor) error {
	return a.store.EndLogin(ctx, actor.Login, a.clock.Now(), "sign_out")
}

// Authenticate turns the claims of a valid access token into an actor. The login row and today's appointments are the
// authority, so an ended login or appointment bites at the next request.
func (a *App) Authenticate(ctx context.Context, account, login domain.ID) (access.Actor, error) {
	acc, l, err := a.liveLogin(ctx, login, a.clock.Now())
	if err != nil {
		return access.Actor{}, err
	}
	if acc.ID != account {
		return access.Actor{}, signInEnded()
	}
	apps, err := a.appointmentsOf(ctx, account)
	if err != nil {
		return access.Actor{}, err
	}
	return access.Actor{Account: account, Login: l.ID, DisplayName: acc.DisplayName, Appointments: apps}, nil
}

func (a *App) liveLogin(ctx context.Context, id domain.ID, now time.Time) (domain.Account, domain.Login, error) {
	l, err := a.store.LoginByID(ctx, id)
	if err != nil {
		if domain.ErrorKindOf(err) == domain.KindNotFound {
			err = signInEnded()
		}
		return domain.Account{}, l, err
	}
	if !l.EndedAt.IsZero() || !now.Before(l.ExpiresAt) {
		return domain.Account{}, l, signInEnded()
	}
	acc, err := a.store.AccountByID(ctx, l.AccountID)
	if err != nil {
		return acc, l, err
	}
	if acc.Closed {
		return acc, l, signInEnded()
	}
	return acc, l, nil
}

// appointmentsOf gathers the appointments of an account, in force today, over all its regions.
func (a *App) appointmentsOf(ctx context.Context, account domain.ID) ([]domain.Appointment, error) {
	ids, err := a.store.RegionsOf(ctx, account)
	if err != nil {
		return nil, err
	}
	var out []domain.Appointment
	for _, id := range ids {
		r, err := a.region(ctx, id)
		if err != nil {
			return nil, err
		}
		s, today := access.SignIn(account, id), a.today(r)
		err = a.store.ReadRegion(ctx, s, func(tx Tx) error {
			page, err := tx.Appointments(ctx, s, AppointmentFilter{AccountID: account}, domain.Page{Size: 100})
			for _, p := range page.Items {
				if p.On(today) {
					p.RegionName = r.Name
					out = append(out, p)
				}
			}
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Me is the signed-in person with the appointments in force.
func (a *App) Me(ctx context.Context, actor access.Actor) (MeView, error) {
	v := MeView{Account: actor.Account, DisplayName: actor.DisplayName, Appointments: actor.Appointments}
	for _, p := range actor.Appointments {
		r, err := a.region(ctx, p.RegionID)
		if err != nil {
			return v, err
		}
		v.Demo = v.Demo || r.Demo
	}
	return v, nil
}

// guesses remembers failed sign-ins for addresses without an account, so that waiting tells nothing about which exist. It
// is bounded: when full it starts afresh, which costs an attacker as many hashes as it holds entries.
type guesses struct {
	mu sync.Mutex
	m  map[string]domain.Account
}

const maxGuesses = 10_000

func newGuesses() *guesses { return &guesses{m: map[string]domain.Account{}} }

func (g *guesses) get(email string) domain.Account {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.m[email]
}

func (g *guesses) put(email string, a domain.Account) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if len(g.m) >= maxGuesses {
		clear(g.m)
	}
	g.m[email] = a
}
