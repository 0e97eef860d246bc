// Package config reads the settings of the service from the environment. Every fault is reported at once, by the name of its
// setting; the value of a secret is never repeated.
package config

import (
	"encoding/base64"
	"errors"
	"fmt"
	"net"
	"net/netip"
	"net/url"
	"regexp"
	"strings"

	"github.com/caarlos0/env/v11"
)

// Settings are what the service runs with.
type Settings struct {
	Database       string         // where the data are: postgres://... or sqlite:FILE
	OwnerDatabase  string         // the same as the role that owns the schema; for migrate alone
	Addr           string         // HOST:PORT to listen on
	MetricsAddr    string         // HOST:PORT of the metrics
	PublicURL      *url.URL       // the address that people type; nil = not set
	TokenKeys      []TokenKey     // the first signs, all are accepted
	TrustedProxies []netip.Prefix // whose word on the client's address is believed
	Pepper         []byte         // mixed into passwords; empty = none
}

// TokenKey is a named secret that signs access tokens.
type TokenKey struct {
	ID     string
	Secret []byte
}

// Defaults of what may be left out.
const (
	DefaultAddr        = "127.0.0.1:8080"
	DefaultMetricsAddr = "127.0.0.1:9107"

	minSecret = 32 // bytes of a token key
	minPepper = 16 // bytes
)

// raw is the environment as text; a setting that is there but empty counts as left out.
type raw struct {
	Database       string `env:"LONGSPELL_DATABASE"`
	OwnerDatabase  string `env:"LONGSPELL_OWNER_DATABASE"`
	Addr           string `env:"LONGSPELL_ADDR"`
	MetricsAddr    string `env:"LONGSPELL_METRICS_ADDR"`
	PublicURL      string `env:"LONGSPELL_PUBLIC_URL"`
	TokenKeys      string `env:"LONGSPELL_TOKEN_KEYS"`
	TrustedProxies string `env:"LONGSPELL_TRUSTED_PROXIES"`
	Pepper         string `env:"LONGSPELL_PEPPER"`
}

// Read reads the settings from the lines of an environment (os.Environ). What is set is checked; what a command needs is checked
// by ForServe and ForMigrate.
func Read(environ []string) (Settings, error) {
	var r raw
	if err := env.ParseWithOptions(&r, env.Options{Environment: env.ToMap(environ)}); err != nil {
		return Settings{}, fmt.Errorf("settings: %w", err)
	}
	s := Settings{Database: r.Database, OwnerDatabase: r.OwnerDatabase, Addr: r.Addr, MetricsAddr: r.MetricsAddr, Pepper: []byte(r.Pepper)}
	if s.Addr == "" {
		s.Addr = DefaultAddr
	}
	if s.MetricsAddr == "" {
		s.MetricsAddr = DefaultMetricsAddr
	}
	var f faults
	f.check("LONGSPELL_DATABASE", database(s.Database))
	f.check("LONGSPELL_OWNER_DATABASE", database(s.OwnerDatabase))
	f.check("LONGSPELL_ADDR", address(s.Addr))
	f.check("LONGSPELL_METRICS_ADDR", address(s.MetricsAddr))
	var err error
	s.PublicURL, err = publicURL(r.PublicURL)
	f.check("LONGSPELL_PUBLIC_URL", err)
	s.TokenKeys, err = tokenKeys(r.TokenKeys)
	f.check("LONGSPELL_TOKEN_KEYS", err)
	s.TrustedProxies, err = proxies(r.TrustedProxies)
	f.check("LONGSPELL_TRUSTED_PROXIES", err)
	if r.Pepper != "" && len(r.Pepper) < minPepper {
		f.check("LONGSPELL_PEPPER", fmt.Errorf("it has %d bytes, it needs %d; make one with: openssl rand -base64 48 | tr -d '\\n'", len(r.Pepper), minPepper))
	}
	return s, f.all()
}

// ForServe reports what is missing for the service to start. There is no default key and no default database: a service that
// starts without them would start unsafely.
func (s Settings) ForServe() error {
	var f faults
	if s.Database == "" {
		f.check("LONGSPELL_DATABASE", errors.New("it is not set; give postgres://USER@HOST/DATABASE or sqlite:FILE"))
	}
	if len(s.TokenKeys) == 0 {
		f.check("LONGSPELL_TOKEN_KEYS", errors.New("it is not set; give kid:KEY with a KEY made by: openssl rand -base64 48 | tr -d '\\n'"))
	}
	switch {
	case s.PublicURL == nil:
		f.check("LONGSPELL_PUBLIC_URL", errors.New("it is not set; give the address that people type, such as https://longspell.example"))
	case s.PublicURL.Scheme != "https" && !loopback(s.PublicURL.Hostname()):
		f.check("LONGSPELL_PUBLIC_URL", errors.New("it must begin with https://, because browsers keep the sign-in over https alone"))
	}
	return f.all()
}

// ForMigrate reports what is missing to bring the schema up to date.
func (s Settings) ForMigrate() error {
	if s.MigrateDatabase() == "" {
		var f faults
		f.check("LONGSPELL_OWNER_DATABASE", errors.New("it is not set; give the database as the role that owns the schema, or sqlite:FILE in LONGSPELL_DATABASE"))
		return f.all()
	}
	return nil
}

// MigrateDatabase is the database as migrate opens it: the owner's, or an SQLite file, which has no roles.
func (s Settings) MigrateDatabase() string {
	if s.OwnerDatabase == "" && strings.HasPrefix(s.Database, "sqlite:") {
		return s.Database
	}
	return s.OwnerDatabase
}

// faults gathers what is wrong, one line for each setting.
type faults []error

func (f *faults) check(setting string, err error) {
	if err != nil {
		*f = append(*f, fmt.Errorf("%s: %w", setting, err))
	}
}

func (f faults) all() error { return errors.Join(f...) }

func database(s string) error {
	switch {
	case s == "", strings.HasPrefix(s, "postgres://"), strings.HasPrefix(s, "postgresql://"):
		return nil
	case strings.HasPrefix(s, "sqlite:") && len(s) > len("sqlite:"):
		return nil
	}
	return errors.New("it must begin with postgres:// or be sqlite:FILE")
}

func address(s string) error {
	host, port, err := net.SplitHostPort(s)
	if err != nil {
		return errors.New("it must be HOST:PORT, or :PORT for every address of the machine")
	}
	if n, err := net.LookupPort("tcp", port); err != nil || n < 0 {
		return errors.New("it has no port from 0 to 65535")
	}
	if strings.ContainsAny(host, " /") {
		return errors.New("its host is not a name or an address")
	}
	return nil
}

func publicURL(s string) (*url.URL, error) {
	if s == "" {
		return nil, nil
	}
	u, err := url.Parse(s)
	switch {
	case err != nil || u.Host == "" || (u.Scheme != "https" && u.Scheme != "http"):
		return nil, errors.New("it must be an address such as https://longspell.example")
	case u.User != nil || u.RawQuery != "" || u.Fragment != "" || strings.Trim(u.Path, "/") != "":
		return nil, errors.New("it must be an origin alone: no path, no question mark, no name or password")
	}
	u.Path = ""
	return u, nil
}

var keyID = regexp.MustCompile(`^[A-Za-z0-9_-]{1,32}$`)

// tokenKeys reads kid:KEY,kid:KEY; the KEY is base64 of either alphabet, with or without its padding.
func tokenKeys(s string) ([]TokenKey, error) {
	if s == "" {
		return nil, nil
	}
	var keys []TokenKey
	seen := map[string]bool{}
	for i, part := range strings.Split(s, ",") {
		kid, text, ok := strings.Cut(strings.TrimSpace(part), ":")
		if !ok || !keyID.MatchString(kid) {
			return nil, fmt.Errorf("its part %d is not kid:KEY with a kid of letters, digits, - and _", i+1)
		}
		if seen[kid] {
			return nil, fmt.Errorf("two keys have the name %s", kid)
		}
		seen[kid] = true
		secret, err := base64.RawStdEncoding.DecodeString(strings.NewReplacer("-", "+", "_", "/", "=", "").Replace(text))
		if err != nil {
			return nil, fmt.Errorf("the key %s is not base64", kid)
		}
		if len(secret) < minSecret {
			return nil, fmt.Errorf("the key %s has %d bytes, it needs %d; make one with: openssl rand -base64 48 | tr -d '\\n'", kid, len(secret), minSecret)
		}
		if distinct(secret) < 8 {
			return nil, fmt.Errorf("the key %s is a pattern, not a random secret; make one with: openssl rand -base64 48 | tr -d '\\n'", kid)
		}
		keys = append(keys, TokenKey{ID: kid, Secret: secret})
	}
	return keys, nil
}

// distinct counts the different bytes; of 32 random ones, fewer than eight different ones never happens.
func distinct(b []byte) int {
	seen := map[byte]bool{}
	for _, x := range b {
		seen[x] = true
	}
	return len(seen)
}

func proxies(s string) ([]netip.Prefix, error) {
	if s == "" {
		return nil, nil
	}
	var out []netip.Prefix
	for _, part := range strings.Split(s, ",") {
		part = strings.TrimSpace(part)
		if a, err := netip.ParseAddr(part); err == nil {
			out = append(out, netip.PrefixFrom(a, a.BitLen()))
			continue
		}
		p, err := netip.ParsePrefix(part)
		if err != nil {
			return nil, fmt.Errorf("%q is neither an address nor a network such as 10.0.0.0/8", part)
		}
		if p.Bits() == 0 {
			return nil, fmt.Errorf("%q trusts everybody; name the proxies", part)
		}
		out = append(out, p.Masked())
	}
	return out, nil
}

func loopback(host string) bool {
	if host == "localhost" {
		return true
	}
	a, err := netip.ParseAddr(host)
	return err == nil && a.IsLoopback()
}
