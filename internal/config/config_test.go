package config_test

import (
	"encoding/base64"
	"maps"
	"net/netip"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"longspell/internal/config"
)

const secret = "0123456789abcdefghijklmnopqrstuvwxyzABCD"

func encoded(s string) string { return base64.StdEncoding.EncodeToString([]byte(s)) }

// good is an environment with which serve starts.
func good() map[string]string {
	return map[string]string{
		"LONGSPELL_DATABASE":   "postgres://longspell_app@db.example/longspell?sslmode=verify-full",
		"LONGSPELL_PUBLIC_URL": "https://longspell.example",
		"LONGSPELL_TOKEN_KEYS": "k2:" + encoded(secret) + ",k1:" + encoded(strings.ToUpper(secret)+"x"),
	}
}

func read(m map[string]string) (config.Settings, error) {
	lines := []string{"PATH=/bin", "EMPTY="}
	for _, k := range slices.Sorted(maps.Keys(m)) {
		lines = append(lines, k+"="+m[k])
	}
	return config.Read(lines)
}

func TestRead(t *testing.T) {
	t.Parallel()
	m := good()
	m["LONGSPELL_ADDR"], m["LONGSPELL_METRICS_ADDR"] = "", ":9000"
	m["LONGSPELL_TRUSTED_PROXIES"] = "10.1.2.3, 192.168.0.0/16,::1"
	m["LONGSPELL_PEPPER"] = "sixteen bytes at least"
	m["LONGSPELL_PUBLIC_URL"] = "https://longspell.example/"
	s, err := read(m)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.ForServe(); err != nil {
		t.Error(err)
	}
	if s.Addr != "127.0.0.1:8080" || s.MetricsAddr != ":9000" || s.PublicURL.String() != "https://longspell.example" || string(s.Pepper) != "sixteen bytes at least" {
		t.Errorf("read as %+v", s)
	}
	if d := cmp.Diff([]config.TokenKey{{ID: "k2", Secret: []byte(secret)}, {ID: "k1", Secret: []byte(strings.ToUpper(secret) + "x")}}, s.TokenKeys); d != "" {
		t.Error(d)
	}
	want := []netip.Prefix{netip.MustParsePrefix("10.1.2.3/32"), netip.MustParsePrefix("192.168.0.0/16"), netip.MustParsePrefix("::1/128")}
	if !slices.Equal(s.TrustedProxies, want) {
		t.Errorf("proxies %v", s.TrustedProxies)
	}
}

// The matrix of starts (OWASP Application Security Verification Standard 5.0.0, OWASP Foundation, 2025, 13.2.3 and 15.2.3: nothing
// starts on a default secret): each missing or weak setting alone stops the start, and the message names it.
func TestServeRefusesMissingAndWeakSettings(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ setting, value string }{
		{"LONGSPELL_DATABASE", ""},
		{"LONGSPELL_DATABASE", "mysql://db.example"},
		{"LONGSPELL_DATABASE", "sqlite:"},
		{"LONGSPELL_OWNER_DATABASE", "db.example"},
		{"LONGSPELL_PUBLIC_URL", ""},
		{"LONGSPELL_PUBLIC_URL", "longspell.example"},
		{"LONGSPELL_PUBLIC_URL", "http://longspell.example"},
		{"LONGSPELL_PUBLIC_URL", "ftp://longspell.example"},
		{"LONGSPELL_PUBLIC_URL", "https://longspell.example/app"},
		{"LONGSPELL_PUBLIC_URL", "https://me@longspell.example"},
		{"LONGSPELL_TOKEN_KEYS", ""},
		{"LONGSPELL_TOKEN_KEYS", encoded(secret)},
		{"LONGSPELL_TOKEN_KEYS", "k1:"},
		{"LONGSPELL_TOKEN_KEYS", "k1:" + encoded(secret[:31])},
		{"LONGSPELL_TOKEN_KEYS", "k1:" + encoded(strings.Repeat("\x00", 64))},
		{"LONGSPELL_TOKEN_KEYS", "k1:" + encoded(strings.Repeat("secret", 10))},
		{"LONGSPELL_TOKEN_KEYS", "k1:not base64 at all, k2:x"},
		{"LONGSPELL_TOKEN_KEYS", "k 1:" + encoded(secret)},
		{"LONGSPELL_TOKEN_KEYS", "k1:" + encoded(secret) + ",k1:" + encoded(secret)},
		{"LONGSPELL_TOKEN_KEYS", "k1:" + encoded(secret) + ","},
		{"LONGSPELL_ADDR", "8080"},
		{"LONGSPELL_ADDR", "127.0.0.1:80800"},
		{"LONGSPELL_METRICS_ADDR", "nowhere"},
		{"LONGSPELL_TRUSTED_PROXIES", "proxy.example"},
		{"LONGSPELL_TRUSTED_PROXIES", "0.0.0.0/0"},
		{"LONGSPELL_PEPPER", "salt"},
	} {
		m := good()
		m[c.setting] = c.value
		s, err := read(m)
		if err == nil {
			err = s.ForServe()
		}
		if err == nil {
			t.Errorf("%s=%q starts", c.setting, c.value)
			continue
		}
		if !strings.HasPrefix(err.Error(), c.setting+": ") {
			t.Errorf("%s=%q: the message names another setting: %v", c.setting, c.value, err)
		}
		if len(c.value) > 20 && strings.Contains(err.Error(), c.value[4:]) && strings.HasSuffix(c.setting, "KEYS") {
			t.Errorf("%s: the message repeats the secret: %v", c.setting, err)
		}
	}
}

func TestEveryFaultIsReportedAtOnce(t *testing.T) {
	t.Parallel()
	_, err := read(map[string]string{"LONGSPELL_DATABASE": "x", "LONGSPELL_ADDR": "x", "LONGSPELL_TOKEN_KEYS": "x", "LONGSPELL_PUBLIC_URL": "x"})
	if err == nil || strings.Count(err.Error(), "\n") != 3 {
		t.Errorf("want four lines, have %v", err)
	}
	s, err := read(nil)
	if err != nil {
		t.Fatal(err)
	}
	if err = s.ForServe(); err == nil || strings.Count(err.Error(), "\n") != 2 {
		t.Errorf("want three lines, have %v", err)
	}
}

func TestMigrate(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		env  map[string]string
		want string
	}{
		"owner":              {map[string]string{"LONGSPELL_OWNER_DATABASE": "postgres://owner@db/x", "LONGSPELL_DATABASE": "postgres://app@db/x"}, "postgres://owner@db/x"},
		"sqlite":             {map[string]string{"LONGSPELL_DATABASE": "sqlite:longspell.db"}, "sqlite:longspell.db"},
		"app role":           {map[string]string{"LONGSPELL_DATABASE": "postgres://app@db/x"}, ""},
		"nothing":            {nil, ""},
		"owner beats sqlite": {map[string]string{"LONGSPELL_OWNER_DATABASE": "sqlite:a", "LONGSPELL_DATABASE": "sqlite:b"}, "sqlite:a"},
	} {
		s, err := read(c.env)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.MigrateDatabase(); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
		if err := s.ForMigrate(); (err == nil) != (c.want != "") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestLoopbackNeedsNoTLS(t *testing.T) {
	t.Parallel()
	for _, u := range []string{"http://127.0.0.1:8080", "http://localhost:8080", "http://[::1]:8080"} {
		m := good()
		m["LONGSPELL_PUBLIC_URL"] = u
		s, err := read(m)
		if err == nil {
			err = s.ForServe()
		}
		if err != nil {
			t.Errorf("%s: %v", u, err)
		}
	}
}
