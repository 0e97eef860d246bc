package token_test

import (
	"bytes"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"longspell/internal/clock"
	"longspell/internal/domain"
	"longspell/internal/testkit/forged"
	"longspell/internal/token"
)

const (
	account = domain.ID("0198f0c0-1111-7000-8000-000000000001")
	login   = domain.ID("0198f0c0-2222-7000-8000-000000000002")
)

var (
	start = time.Date(2026, 5, 9, 17, 30, 0, 123456000, time.UTC)
	keyA  = token.Key{ID: "a", Secret: bytes.Repeat([]byte("secret A"), 4)}
	keyB  = token.Key{ID: "b", Secret: bytes.Repeat([]byte("secret B"), 4)}
)

func newIssuer(t *testing.T, c clock.Clock, keys ...token.Key) *token.Issuer {
	t.Helper()
	is, err := token.New(keys, c)
	if err != nil {
		t.Fatal(err)
	}
	return is
}

func issue(t *testing.T, is *token.Issuer, now time.Time) (string, time.Time) {
	t.Helper()
	s, exp, err := is.Issue(account, login, now)
	if err != nil {
		t.Fatal(err)
	}
	return s, exp
}

func TestIssuedTokenIsGoodUntilItEnds(t *testing.T) {
	t.Parallel()
	c := clock.NewFixed(start)
	is := newIssuer(t, c, keyA)
	s, exp := issue(t, is, c.Now())
	if exp.After(start.Add(10 * time.Minute)) {
		t.Errorf("lives until %v, more than ten minutes", exp)
	}
	got, err := is.Verify(s)
	if err != nil {
		t.Fatal(err)
	}
	if got.ID == "" {
		t.Error("no jti")
	}
	want := token.Claims{Account: account, Login: login, ID: got.ID, Expires: exp}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	c.Set(exp.Add(-time.Microsecond))
	if _, err := is.Verify(s); err != nil {
		t.Errorf("a microsecond before its end: %v", err)
	}
	c.Set(exp)
	if _, err := is.Verify(s); domain.ErrorCodeOf(err) != "token_expired" {
		t.Errorf("at its end: %v, want token_expired", err)
	}
}

func TestKeysCanBeReplacedWithAnOverlap(t *testing.T) {
	t.Parallel()
	c := clock.NewFixed(start)
	before, during, after := newIssuer(t, c, keyA), newIssuer(t, c, keyB, keyA), newIssuer(t, c, keyB)
	old, _ := issue(t, before, start)
	fresh, _ := issue(t, during, start)
	for name, x := range map[string]struct {
		is   *token.Issuer
		s    string
		good bool
	}{
		"old token while both live":  {during, old, true},
		"new token while both live":  {during, fresh, true},
		"new token by the new alone": {after, fresh, true},
		"old token by the new alone": {after, old, false},
		"new token by the old alone": {before, fresh, false},
	} {
		if _, err := x.is.Verify(x.s); (err == nil) != x.good {
			t.Errorf("%s: %v", name, err)
		}
	}
	sealed, err := before.Seal("successor")
	if err != nil {
		t.Fatal(err)
	}
	if got, err := during.Unseal(sealed); err != nil || got != "successor" {
		t.Errorf("sealed by the old key, opened while both live: %q, %v", got, err)
	}
	if _, err := after.Unseal(sealed); err == nil {
		t.Error("opened by a key that did not seal it")
	}
}

// The set follows RFC 8725 ("JSON Web Token Best Current Practices", IETF, February 2020).
func TestForgedTokensAreRefused(t *testing.T) {
	t.Parallel()
	is := newIssuer(t, clock.NewFixed(start), keyA, keyB)
	genuine, _ := issue(t, is, start)
	set := forged.Of{KeyID: keyA.ID, Secret: keyA.Secret, Issuer: token.Name, Audience: token.Audience, Type: token.Type,
		Account: string(account), Login: string(login), Now: start.Truncate(time.Second), Life: token.Life, Genuine: genuine}.Tokens()
	if len(set) < 80 {
		t.Fatalf("%d forgeries, too few to mean anything", len(set))
	}
	for name, s := range set {
		c, err := is.Verify(s)
		if err == nil {
			t.Errorf("%s: accepted as %+v", name, c)
			continue
		}
		if domain.ErrorKindOf(err) != domain.KindUnauthenticated {
			t.Errorf("%s: %v, want unauthenticated", name, err)
		}
		var told *domain.Error
		if errors.As(err, &told) && strings.Contains(told.Message, "signature") {
			t.Errorf("%s: the message tells the forger what is wrong: %s", name, told.Message)
		}
	}
}

// The forgeries differ from a token that is accepted in what their name says and in nothing else.
func TestForgeriesStartFromAGoodToken(t *testing.T) {
	t.Parallel()
	is := newIssuer(t, clock.NewFixed(start), keyA)
	good := forged.Of{KeyID: keyA.ID, Secret: keyA.Secret, Issuer: token.Name, Audience: token.Audience, Type: token.Type,
		Account: string(account), Login: string(login), Now: start.Truncate(time.Second), Life: token.Life}.Untouched()
	if _, err := is.Verify(good); err != nil {
		t.Errorf("the forger's own token is refused before it was changed: %v", err)
	}
}

func TestWeakKeysAreRefused(t *testing.T) {
	t.Parallel()
	for name, keys := range map[string][]token.Key{
		"none":         {},
		"short":        {{ID: "a", Secret: make([]byte, token.MinSecret-1)}},
		"no name":      {{ID: "", Secret: keyA.Secret}},
		"path as name": {{ID: "../a", Secret: keyA.Secret}},
		"name twice":   {keyA, {ID: "a", Secret: keyB.Secret}},
	} {
		if _, err := token.New(keys, clock.NewFixed(start)); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

func TestRefreshTokens(t *testing.T) {
	t.Parallel()
	is := newIssuer(t, clock.NewFixed(start), keyA)
	seen := map[string]bool{}
	for range 1000 {
		plain, hash, err := is.NewRefresh()
		if err != nil {
			t.Fatal(err)
		}
		if len(plain) != 43 || len(hash) != 64 || hash != is.HashRefresh(plain) || seen[plain] {
			t.Fatalf("refresh token %q with hash %q", plain, hash)
		}
		seen[plain] = true
	}
	// The worked example "abc" of "Secure Hash Standard (SHS)", FIPS 180-4, NIST, 2015, from memory.
	if got := is.HashRefresh("abc"); got != "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad" {
		t.Errorf("hash of abc: %s", got)
	}
}

func TestSealedOpensToTheSameAndToNothingElse(t *testing.T) {
	t.Parallel()
	is := newIssuer(t, clock.NewFixed(start), keyA)
	rapid.Check(t, func(r *rapid.T) {
		plain := rapid.String().Draw(r, "plain")
		sealed, err := is.Seal(plain)
		if err != nil {
			r.Fatal(err)
		}
		if got, err := is.Unseal(sealed); err != nil || got != plain {
			r.Fatalf("got %q, %v", got, err)
		}
		if again, _ := is.Seal(plain); again == sealed {
			r.Fatal("sealed twice to the same text")
		}
		b := []byte(sealed)
		i := rapid.IntRange(0, len(b)-1).Draw(r, "place")
		b[i] ^= 1
		if got, err := is.Unseal(string(b)); err == nil && got != plain {
			r.Fatalf("changed at %d, opened to %q", i, got)
		}
	})
	sealed, err := is.Sealer("pages").Seal("text")
	if err != nil {
		t.Fatal(err)
	}
	if got, err := is.Unseal(sealed); err == nil {
		t.Errorf("sealed for pages, opened as a refresh token: %q", got)
	}
	if got, err := is.Sealer("pages").Unseal(sealed); err != nil || got != "text" {
		t.Errorf("for its own purpose: %q, %v", got, err)
	}
	for _, s := range []string{"", "a", "a.", "a.AAAA", "b.AAAA", "a.!"} {
		if got, err := is.Unseal(s); err == nil {
			t.Errorf("%q opened to %q", s, got)
		}
	}
}
