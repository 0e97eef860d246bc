package httpapi_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"longspell/internal/httpapi"
)

func TestRateLimits(t *testing.T) {
	t.Parallel()
	s := setup(t, func(o *httpapi.Options) {
		o.Rates = httpapi.Rates{Source: httpapi.Rate{PerSecond: 1, Burst: 10}, Account: httpapi.Rate{PerSecond: 0.5, Burst: 4}, SignIn: httpapi.Rate{PerSecond: 0.1, Burst: 2}}
	})
	from := func(r *http.Request, addr string) *http.Request { r.RemoteAddr = addr; return r }
	me, in := operation(t, "getMe"), operation(t, "signIn")
	tooMany := func(what string, w *httptest.ResponseRecorder, after string) {
		t.Helper()
		if w.Code != http.StatusTooManyRequests || w.Header().Get("Retry-After") != after || problemOf(t, w).Code != "too_many_requests" {
			t.Errorf("%s: %d, Retry-After %q", what, w.Code, w.Header().Get("Retry-After"))
		}
	}
	for i := range 2 {
		if w := s.raw(from(good(in), "192.0.2.1:1")); w.Code != 200 {
			t.Errorf("sign-in %d: %d", i, w.Code)
		}
	}
	tooMany("third sign-in", s.raw(from(good(in), "192.0.2.1:2")), "10")
	if w := s.raw(from(good(in), "192.0.2.2:1")); w.Code != 200 || w.Header().Get("RateLimit-Policy") != `"sign-in";q=2;w=20` || w.Header().Get("RateLimit") != `"sign-in";r=1;t=10` {
		t.Errorf("from another address: %d %q %q", w.Code, w.Header().Get("RateLimit-Policy"), w.Header().Get("RateLimit"))
	}
	for i := range 4 {
		if w := s.ask(from(good(me), "192.0.2.3:1")); w.Code != 200 {
			t.Errorf("request %d of the account: %d", i, w.Code)
		}
	}
	tooMany("fifth of the account, from anywhere", s.ask(from(good(me), "192.0.2.4:1")), "2")
	s.clock.Advance(2 * time.Second)
	if w := s.ask(from(good(me), "192.0.2.4:1")); w.Code != 200 {
		t.Errorf("two seconds later: %d", w.Code)
	}
	for range 10 {
		s.raw(from(good(me), "[2001:db8:1:2::1]:1"))
	}
	tooMany("eleventh from the same IPv6 network", s.raw(from(good(me), "[2001:db8:1:2:ffff::9]:1")), "1")
	if w := s.raw(from(good(me), "[2001:db8:1:3::1]:1")); w.Code != http.StatusUnauthorized {
		t.Errorf("from another IPv6 network: %d", w.Code)
	}
}

// Only a proxy that is named is believed about the address of the client.
func TestForwardedAddress(t *testing.T) {
	t.Parallel()
	for name, x := range map[string]struct{ remote, header, want string }{
		"proxy":               {"10.0.0.7:1", "198.51.100.9", "198.51.100.9"},
		"two proxies":         {"10.0.0.7:1", "198.51.100.9, 10.0.0.8", "198.51.100.9"},
		"forged behind proxy": {"10.0.0.7:1", "203.0.113.1, 198.51.100.9", "198.51.100.9"},
		"stranger":            {"192.0.2.1:1", "198.51.100.9", "192.0.2.1"},
		"rubbish":             {"10.0.0.7:1", "rubbish", "10.0.0.7"},
	} {
		s := setup(t, func(o *httpapi.Options) { o.TrustedProxies = prefixes("10.0.0.0/24") })
		r := good(operation(t, "getMe"))
		r.RemoteAddr = x.remote
		r.Header.Set("X-Forwarded-For", x.header)
		r.Header.Set("X-Real-Ip", "203.0.113.77")
		s.ask(r)
		if !strings.Contains(s.log.String(), `"from":"`+x.want+`"`) {
			t.Errorf("%s: %s", name, s.log)
		}
	}
	s := setup(t)
	r := good(operation(t, "getMe"))
	r.RemoteAddr = "127.0.0.1:1"
	r.Header.Set("X-Forwarded-For", "198.51.100.9")
	if s.ask(r); !strings.Contains(s.log.String(), `"from":"127.0.0.1"`) {
		t.Errorf("with no proxy named, loopback was believed: %s", s.log)
	}
}
