// Package app holds the use cases: one method, one operation. It decides with access, reads and writes through the ports,
// works out with the pure packages, and owns the transactions.
package app

import (
	"context"
	"sync"
	"time"

	"longspell/internal/access"
	"longspell/internal/clock"
	"longspell/internal/domain"
)

// Deps are what the use cases need from outside.
type Deps struct {
	Store     Store
	Clock     clock.Clock
	Tokens    Tokens
	Passwords Passwords
}

// App is the product without its adapters. Its methods may be called by many goroutines.
type App struct {
	store     Store
	clock     clock.Clock
	tokens    Tokens
	passwords Passwords

	unknown *guesses // failures for addresses that have no account

	mu      sync.Mutex
	regions map[domain.ID]domain.Region // directory, reread every regionsFresh
	readAt  time.Time
}

// regionsFresh is how long the region directory (names and time zones) is kept in memory.
const regionsFresh = 15 * time.Second

// New puts the use cases together.
func New(d Deps) *App {
	return &App{store: d.Store, clock: d.Clock, tokens: d.Tokens, passwords: d.Passwords, unknown: newGuesses()}
}

// Tokens issues what a signed-in client carries.
type Tokens interface {
	Issue(account, login domain.ID, now time.Time) (token string, expires time.Time, err error)
	NewRefresh() (plain, hash string, err error)
	HashRefresh(plain string) string
	// Seal hides a plain refresh token so that it can lie in the database for the grace period of a lost reply.
	Seal(plain string) (string, error)
	Unseal(sealed string) (string, error)
}

// Passwords hashes and checks passwords.
type Passwords interface {
	Hash(ctx context.Context, password string) (string, error)
	// Verify reports whether the password fits, and whether the hash should be made again with today's parameters. An
	// empty hash costs the same time and never fits.
	Verify(ctx context.Context, hash, password string) (ok, rehash bool, err error)
}

// region finds a region in the directory; not_found if there is none.
func (a *App) region(ctx context.Context, id domain.ID) (domain.Region, error) {
	now := a.clock.Now()
	a.mu.Lock()
	r, ok := a.regions[id]
	fresh := now.Sub(a.readAt) < regionsFresh && !now.Before(a.readAt)
	a.mu.Unlock()
	if ok && fresh {
		return r, nil
	}
	all, err := a.store.Regions(ctx)
	if err != nil {
		return domain.Region{}, err
	}
	m := make(map[domain.ID]domain.Region, len(all))
	for _, r := range all {
		m[r.ID] = r
	}
	a.mu.Lock()
	a.regions, a.readAt = m, now
	a.mu.Unlock()
	if r, ok = m[id]; !ok {
		return domain.Region{}, domain.NotFound()
	}
	return r, nil
}

func (a *App) forgetRegions() {
	a.mu.Lock()
	a.regions = nil
	a.mu.Unlock()
}

func (a *App) today(r domain.Region) domain.Date { return domain.DateOf(a.clock.Now(), r.Location()) }

// scope makes the scope of a call for one permission, on the region's today.
func (a *App) scope(ctx context.Context, c Call, p access.Permission) (access.Scope, domain.Region, error) {
	r, err := a.region(ctx, c.Region)
	if err != nil {
		return access.Scope{}, r, err
	}
	s, err := access.For(c.Actor, c.Region, p, a.today(r))
	return s, r, err
}

// read runs fn in a read-only transaction in the scope of the call.
func (a *App) read(ctx context.Context, c Call, p access.Permission, fn func(tx Tx, s access.Scope) error) error {
	s, _, err := a.scope(ctx, c, p)
	if err != nil {
		return err
	}
	return a.store.ReadRegion(ctx, s, func(tx Tx) error { return fn(tx, s) })
}

// write runs fn in a read-write transaction in the scope of the call.
func (a *App) write(ctx context.Context, c Call, p access.Permission, fn func(tx Tx, s access.Scope) error) error {
	s, _, err := a.scope(ctx, c, p)
	if err != nil {
		return err
	}
	return a.store.InRegion(ctx, s, func(tx Tx) error { return fn(tx, s) })
}

// trail adds one line to the audit trail in the transaction that had the effect. Details are ids and counts.
func (a *App) trail(ctx context.Context, tx Tx, s access.Scope, action, what string, id domain.ID, detail map[string]string) error {
	now := a.clock.Now()
	return tx.AddAudit(ctx, s, domain.AuditEntry{ID: domain.NewID(now), At: now, AccountID: s.Account(), Role: s.RoleName(),
		Action: action, What: what, EntryID: id, Detail: detail})
}

// action names a put for the trail by the version the caller held.
func action(version int) string {
	if version == 0 {
		return "created"
	}
	return "changed"
}
