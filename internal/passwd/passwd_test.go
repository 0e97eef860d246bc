package passwd_test

import (
	"context"
	"errors"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"longspell/internal/domain"
	"longspell/internal/passwd"
)

func newHasher(t *testing.T, o passwd.Options) *passwd.Hasher {
	t.Helper()
	h, err := passwd.New(o)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// floor is the cheapest hash that is allowed, which keeps the tests quick.
var floor = passwd.Options{Cost: passwd.Floor}

func hash(t *testing.T, h *passwd.Hasher, password string) string {
	t.Helper()
	s, err := h.Hash(context.Background(), password)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func verify(t *testing.T, h *passwd.Hasher, hash, password string) (ok, rehash bool) {
	t.Helper()
	ok, rehash, err := h.Verify(context.Background(), hash, password)
	if err != nil {
		t.Fatal(err)
	}
	return ok, rehash
}

func TestHashFitsItsPasswordAlone(t *testing.T) {
	t.Parallel()
	h := newHasher(t, floor)
	long := strings.Repeat("x", 72)
	for _, p := range []string{"four unconnected words here", "pässwörter mit ümläuten", long + "a", ""} {
		s := hash(t, h, p)
		if !strings.HasPrefix(s, "$argon2id$v=19$m=19456,t=2,p=1$") {
			t.Errorf("stored as %s", s)
		}
		if ok, rehash := verify(t, h, s, p); !ok || rehash {
			t.Errorf("%q: ok %v, rehash %v", p, ok, rehash)
		}
		for _, other := range []string{p + " ", strings.ToUpper(p) + "!", long + "b"} {
			if ok, _ := verify(t, h, s, other); ok {
				t.Errorf("%q fits the hash of %q", other, p)
			}
		}
	}
	if first, second := hash(t, h, "same"), hash(t, h, "same"); first == second {
		t.Error("two hashes of one password are equal: no salt")
	}
}

// The hash is one of the test vectors in src/test.c of the reference implementation (phc-winner-argon2, Password Hashing Competition,
// https://github.com/P-H-C/phc-winner-argon2): argon2id version 19, two passes, 2^16 KiB, one lane, password "password", salt
// "somesalt". Written down from memory.
func TestHashOfAnotherImplementationIsRead(t *testing.T) {
	t.Parallel()
	const made = "$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc"
	h := newHasher(t, floor)
	if ok, rehash := verify(t, h, made, "password"); !ok || !rehash {
		t.Errorf("ok %v, rehash %v; want it to fit and to be made again", ok, rehash)
	}
	if ok, _ := verify(t, h, made, "Password"); ok {
		t.Error("another password fits")
	}
}

func TestUsualCostIsMadeAgainFromTheFloor(t *testing.T) {
	t.Parallel()
	old := hash(t, newHasher(t, floor), "four unconnected words here")
	usual := newHasher(t, passwd.Options{})
	if ok, rehash := verify(t, usual, old, "four unconnected words here"); !ok || !rehash {
		t.Errorf("ok %v, rehash %v", ok, rehash)
	}
	if s := hash(t, usual, "x"); !strings.HasPrefix(s, "$argon2id$v=19$m=47104,t=1,p=1$") {
		t.Errorf("the usual hash is %s", s)
	}
}

func TestCostBelowTheFloorIsRefused(t *testing.T) {
	t.Parallel()
	for _, c := range []passwd.Cost{{19455, 2, 1}, {19456, 1, 1}, {47103, 1, 1}, {65536, 0, 1}, {65536, 2, 0}} {
		if _, err := passwd.New(passwd.Options{Cost: c}); err == nil {
			t.Errorf("%+v was accepted", c)
		}
	}
}

func TestPepper(t *testing.T) {
	t.Parallel()
	plain := newHasher(t, floor)
	peppered := newHasher(t, passwd.Options{Cost: passwd.Floor, Pepper: []byte("a secret kept outside the database")})
	other := newHasher(t, passwd.Options{Cost: passwd.Floor, Pepper: []byte("another secret")})
	before := hash(t, plain, "word")
	if ok, rehash := verify(t, peppered, before, "word"); !ok || !rehash {
		t.Errorf("a hash from before the pepper: ok %v, rehash %v", ok, rehash)
	}
	s := hash(t, peppered, "word")
	if ok, rehash := verify(t, peppered, s, "word"); !ok || rehash {
		t.Errorf("a peppered hash: ok %v, rehash %v", ok, rehash)
	}
	for name, h := range map[string]*passwd.Hasher{"none": plain, "another": other} {
		if ok, _, err := h.Verify(context.Background(), s, "word"); ok || err == nil {
			t.Errorf("with %s pepper: ok %v, %v; want an error that says so", name, ok, err)
		}
	}
}

func TestUnknownAccountNeverFits(t *testing.T) {
	t.Parallel()
	h := newHasher(t, floor)
	for _, p := range []string{"", "word", strings.Repeat("\x00", 32)} {
		if ok, rehash := verify(t, h, "", p); ok || rehash {
			t.Errorf("%q: ok %v, rehash %v", p, ok, rehash)
		}
	}
}

func TestOnlyHashesOfOursAreRead(t *testing.T) {
	t.Parallel()
	h := newHasher(t, floor)
	good := hash(t, h, "word")
	for _, s := range []string{
		"x", "$", "$$$$$", "$2a$12$abcdefghijklmnopqrstuuVW", strings.Replace(good, "argon2id", "argon2i", 1), strings.Replace(good, "v=19", "v=16", 1),
		strings.Replace(good, "m=19456", "m=4294967295", 1), strings.Replace(good, "m=19456", "m=99999999999999", 1), strings.Replace(good, "t=2", "t=0", 1),
		strings.Replace(good, "t=2", "t=1000000", 1), strings.Replace(good, "p=1", "p=256", 1), strings.Replace(good, "p=1", "x=1", 1),
		strings.Replace(good, ",p=1", "", 1), good + "$", good[:len(good)-30], good + strings.Repeat("A", 2000),
	} {
		if ok, _, err := h.Verify(context.Background(), s, "word"); ok || err == nil {
			t.Errorf("%.80q: ok %v, %v", s, ok, err)
		}
	}
}

// Five hundred at once against room for three: whoever finds no place is told to come back, everybody else is served.
func TestFloodIsTurnedAway(t *testing.T) {
	t.Parallel()
	h := newHasher(t, passwd.Options{Cost: passwd.Floor, AtOnce: 1, Queue: 2})
	var served, turnedAway atomic.Int64
	var all sync.WaitGroup
	start := make(chan struct{})
	for range 500 {
		all.Go(func() {
			<-start
			_, _, err := h.Verify(context.Background(), "", "word")
			var told *domain.Error
			switch {
			case err == nil:
				served.Add(1)
			case errors.As(err, &told) && told.Kind == domain.KindUnavailable && told.RetryAfter > 0:
				turnedAway.Add(1)
			default:
				t.Errorf("%v", err)
			}
		})
	}
	close(start)
	all.Wait()
	if served.Load() < 1 || turnedAway.Load() < 1 || served.Load()+turnedAway.Load() != 500 {
		t.Errorf("%d served, %d turned away", served.Load(), turnedAway.Load())
	}
	if _, _, err := h.Verify(context.Background(), "", "word"); err != nil {
		t.Errorf("after the flood: %v", err)
	}
}
