package token

import (
	"bytes"
	"crypto/rand"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"time"

	"github.com/golang-jwt/jwt/v5"

	"longspell/internal/clock"
	"longspell/internal/domain"
)

// Key is a named secret that signs access tokens.
type Key struct {
	ID     string // letters, digits, - and _; at most 32
	Secret []byte // at least MinSecret bytes
}

// Figures of the tokens.
const (
	MinSecret = 32               // bytes; as long as the hash, as RFC 7518 3.2 asks
	Life      = 10 * time.Minute // of an access token
	Type      = "at+jwt"
	Name      = "longspell"     // iss
	Audience  = "longspell-api" // aud

	longestToken = 2048            // bytes; ours have under 500
	clocksApart  = 1 * time.Minute // how far the clocks of two replicas may differ in the instant of issue
)

// Issuer makes and checks tokens. It may be used by many goroutines.
type Issuer struct {
	clock   clock.Clock
	first   Key
	headers map[string][]byte // the first segment of a token, whole, to the secret that signs it
	secrets map[string][]byte // by key id
	parser  *jwt.Parser
}

// Claims is what a checked access token says.
type Claims struct {
	Account domain.ID
	Login   domain.ID
	ID      string // jti
	Expires time.Time
}

// claims is the payload; its fields in this order are its canonical form.
type claims struct {
	jwt.RegisteredClaims
	SID string `json:"sid"`
}

// compact is the JWS compact serialisation with all three parts. Decoders of base64 pass over line ends; here they are refused.
var compact = regexp.MustCompile(`^[A-Za-z0-9_-]+\.[A-Za-z0-9_-]+\.[A-Za-z0-9_-]+$`)

var keyID = regexp.MustCompile(`^[A-Za-z0-9_-]{1,32}$`)

// New takes the keys that are live: the first signs, all are accepted, so that a key can be replaced without signing anybody
// out. It refuses no keys, a name that is used twice or has other characters, and a secret that is too short.
func New(keys []Key, c clock.Clock) (*Issuer, error) {
	if len(keys) == 0 {
		return nil, errors.New("token: no key to sign with")
	}
	is := &Issuer{clock: c, first: keys[0], headers: map[string][]byte{}, secrets: map[string][]byte{}}
	for _, k := range keys {
		switch {
		case !keyID.MatchString(k.ID):
			return nil, fmt.Errorf("token: the key name %q has other characters than letters, digits, - and _, or more than 32", k.ID)
		case len(k.Secret) < MinSecret:
			return nil, fmt.Errorf("token: the key %q has %d bytes, it needs %d", k.ID, len(k.Secret), MinSecret)
		case is.secrets[k.ID] != nil:
			return nil, fmt.Errorf("token: two keys have the name %q", k.ID)
		}
		header, err := headerOf(k.ID)
		if err != nil {
			return nil, err
		}
		is.secrets[k.ID] = k.Secret
		is.headers[header] = k.Secret
	}
	is.parser = jwt.NewParser(jwt.WithValidMethods([]string{jwt.SigningMethodHS256.Alg()}), jwt.WithIssuer(Name), jwt.WithAudience(Audience),
		jwt.WithExpirationRequired(), jwt.WithStrictDecoding(), jwt.WithTimeFunc(c.Now))
	return is, nil
}

func unsigned(kid string, c claims) *jwt.Token {
	t := jwt.NewWithClaims(jwt.SigningMethodHS256, c)
	t.Header["typ"] = Type
	t.Header["kid"] = kid
	return t
}

// headerOf is the first segment of every token that a key signs.
func headerOf(kid string) (string, error) {
	s, err := unsigned(kid, claims{}).SigningString()
	if err != nil {
		return "", fmt.Errorf("token: %w", err)
	}
	header, _, _ := strings.Cut(s, ".")
	return header, nil
}

// Issue makes an access token for an account's login, with the instant at which it ends.
func (is *Issuer) Issue(account, login domain.ID, now time.Time) (string, time.Time, error) {
	now = now.UTC().Truncate(time.Second)
	expires := now.Add(Life)
	c := claims{
		RegisteredClaims: jwt.RegisteredClaims{
			Issuer: Name, Subject: string(account), Audience: jwt.ClaimStrings{Audience},
			ExpiresAt: jwt.NewNumericDate(expires), IssuedAt: jwt.NewNumericDate(now), ID: string(domain.NewID(now)),
		},
		SID: string(login),
	}
	s, err := unsigned(is.first.ID, c).SignedString(is.first.Secret)
	if err != nil {
		return "", time.Time{}, fmt.Errorf("token: %w", err)
	}
	return s, expires, nil
}

// Verify checks an access token and returns what it says. Every refusal is unauthenticated: token_expired for one that was good
// until it ended, token_invalid for everything else; the cause is for the log.
func (is *Issuer) Verify(s string) (Claims, error) {
	c, err := is.verify(s)
	if errors.Is(err, jwt.ErrTokenExpired) && !errors.Is(err, jwt.ErrTokenSignatureInvalid) {
		return Claims{}, &domain.Error{Kind: domain.KindUnauthenticated, Code: "token_expired", Message: "The access token has ended. Renew it and try again.", Err: err}
	}
	if err != nil {
		return Claims{}, &domain.Error{Kind: domain.KindUnauthenticated, Code: "token_invalid", Message: "This access token is not valid here. Sign in again.", Err: err}
	}
	return c, nil
}

func (is *Issuer) verify(s string) (Claims, error) {
	if len(s) > longestToken || !compact.MatchString(s) {
		return Claims{}, errors.New("not written as a token of ours")
	}
	header, rest, _ := strings.Cut(s, ".")
	secret := is.headers[header]
	if secret == nil {
		return Claims{}, errors.New("the header is not one that a live key writes")
	}
	var c claims
	if _, err := is.parser.ParseWithClaims(s, &c, func(t *jwt.Token) (any, error) { return secret, nil }); err != nil {
		return Claims{}, err
	}
	if err := canonical(rest, c); err != nil {
		return Claims{}, err
	}
	account, ok1 := domain.ParseID(c.Subject)
	login, ok2 := domain.ParseID(c.SID)
	if !ok1 || !ok2 || c.ID == "" || c.IssuedAt == nil || c.NotBefore != nil {
		return Claims{}, errors.New("a claim is missing, or not one of ours")
	}
	if c.ExpiresAt.Sub(c.IssuedAt.Time) > Life || c.IssuedAt.After(is.clock.Now().Add(clocksApart)) {
		return Claims{}, errors.New("the instants of issue and end do not fit together")
	}
	return Claims{Account: account, Login: login, ID: c.ID, Expires: c.ExpiresAt.UTC()}, nil
}

// canonical refuses a payload that is not the text which its own claims are written as.
func canonical(rest string, c claims) error {
	payload, _, _ := strings.Cut(rest, ".")
	got, err := base64.RawURLEncoding.DecodeString(payload)
	if err != nil {
		return err
	}
	want, err := json.Marshal(c)
	if err != nil {
		return err
	}
	if !bytes.Equal(got, want) {
		return errors.New("the claims are not written as this service writes them")
	}
	return nil
}

// NewKey makes a key with a random secret, for a process that need not be recognised after a restart.
func NewKey(id string) (Key, error) {
	k := Key{ID: id, Secret: make([]byte, MinSecret)}
	_, err := rand.Read(k.Secret)
	return k, err
}
