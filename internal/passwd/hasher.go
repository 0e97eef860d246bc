package passwd

import (
	"context"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"errors"
	"fmt"
	"runtime"
	"time"

	"golang.org/x/crypto/argon2"

	"longspell/internal/domain"
)

// Cost is what one argon2id hash costs.
type Cost struct {
	MemoryKiB uint32
	Passes    uint32
	Lanes     uint8
}

// The costs of the OWASP Password Storage Cheat Sheet that are used here; the two are of about equal strength.
var (
	Usual = Cost{MemoryKiB: 47104, Passes: 1, Lanes: 1}
	Floor = Cost{MemoryKiB: 19456, Passes: 2, Lanes: 1}
)

const (
	saltBytes = 16
	hashBytes = 32
	// queueFor is how many hashes may wait for each one that may be under way: about a second's worth.
	queueFor = 16
	// comeBack is when somebody who found the queue full is asked to try again.
	comeBack = 2 * time.Second
)

// Options of a Hasher; the zero value is good for production.
type Options struct {
	Cost   Cost   // zero = Usual
	Pepper []byte // kept outside the database; empty = none
	AtOnce int    // hashes under way at once; 0 = twice the cores
	Queue  int    // hashes waiting for their turn; 0 = 16 for each that may be under way
}

// Hasher hashes and checks passwords. It may be used by many goroutines.
type Hasher struct {
	cost   Cost
	pepper []byte
	keyID  string // names the pepper in a hash; "" without one
	turn   chan struct{}
	place  chan struct{} // under way or waiting
	dummy  phc
}

// New makes a Hasher. It refuses a cost below both Usual and Floor.
func New(o Options) (*Hasher, error) {
	if o.Cost == (Cost{}) {
		o.Cost = Usual
	}
	if !o.Cost.reaches(Usual) && !o.Cost.reaches(Floor) {
		return nil, fmt.Errorf("passwd: %d KiB in %d passes is below the floor of %d KiB in %d", o.Cost.MemoryKiB, o.Cost.Passes, Floor.MemoryKiB, Floor.Passes)
	}
	if o.AtOnce <= 0 {
		o.AtOnce = 2 * runtime.GOMAXPROCS(0)
	}
	if o.Queue <= 0 {
		o.Queue = queueFor * o.AtOnce
	}
	h := &Hasher{cost: o.Cost, pepper: o.Pepper, turn: make(chan struct{}, o.AtOnce), place: make(chan struct{}, o.AtOnce+o.Queue)}
	if len(h.pepper) > 0 {
		sum := sha256.Sum256(append([]byte("longspell: name of a pepper, 1 "), h.pepper...))
		h.keyID = hex.EncodeToString(sum[:4])
	}
	h.dummy = phc{cost: h.cost, keyID: h.keyID, salt: make([]byte, saltBytes), hash: make([]byte, hashBytes)}
	return h, nil
}

func (c Cost) reaches(least Cost) bool {
	return c.MemoryKiB >= least.MemoryKiB && c.Passes >= least.Passes && c.Lanes >= least.Lanes
}

// Hash makes the hash to be stored, a PHC string with its own parameters and salt. Errors: unavailable when too many wait, the
// context's own when it ends.
func (h *Hasher) Hash(ctx context.Context, password string) (string, error) {
	p := phc{cost: h.cost, keyID: h.keyID, salt: make([]byte, saltBytes)}
	if _, err := rand.Read(p.salt); err != nil {
		return "", fmt.Errorf("passwd: no randomness: %w", err)
	}
	err := h.inTurn(ctx, func() { p.hash = h.derive(p, password) })
	return p.String(), err
}

// Verify reports whether the password fits a stored hash, and whether the hash should be made again with today's parameters. An
// empty hash (an account that does not exist) costs the same time and never fits. Errors: those of Hash, and a fault where the
// stored text is not a hash of ours or was made with another pepper.
func (h *Hasher) Verify(ctx context.Context, hash, password string) (ok, rehash bool, err error) {
	p := h.dummy
	if hash != "" {
		if p, err = parsePHC(hash); err != nil {
			return false, false, err
		}
		if p.keyID != "" && p.keyID != h.keyID {
			return false, false, errors.New("passwd: this hash was made with another pepper than the one that is set")
		}
	}
	var got []byte
	if err := h.inTurn(ctx, func() { got = h.derive(p, password) }); err != nil {
		return false, false, err
	}
	if subtle.ConstantTimeCompare(got, p.hash) != 1 || hash == "" {
		return false, false, nil
	}
	return true, p.cost != h.cost || p.keyID != h.keyID || len(p.salt) != saltBytes || len(p.hash) != hashBytes, nil
}

// derive is the slow part. A hash that names no pepper is made without one, so that a pepper may be set later.
func (h *Hasher) derive(p phc, password string) []byte {
	secret := []byte(password)
	if p.keyID != "" {
		mac := hmac.New(sha256.New, h.pepper)
		mac.Write(secret)
		secret = mac.Sum(nil)
	}
	length := hashBytes
	if len(p.hash) > 0 {
		length = len(p.hash)
	}
	return argon2.IDKey(secret, p.salt, p.cost.Passes, p.cost.MemoryKiB, p.cost.Lanes, uint32(length))
}

// inTurn runs work when it has its turn, or says at once that too many wait already.
func (h *Hasher) inTurn(ctx context.Context, work func()) error {
	select {
	case h.place <- struct{}{}:
		defer func() { <-h.place }()
	default:
		return &domain.Error{Kind: domain.KindUnavailable, Code: "sign_in_busy", RetryAfter: comeBack,
			Message: "Many people are signing in at this moment. Try again in a few seconds."}
	}
	select {
	case h.turn <- struct{}{}:
		defer func() { <-h.turn }()
	case <-ctx.Done():
		return ctx.Err()
	}
	work()
	return nil
}
