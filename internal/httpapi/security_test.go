package httpapi_test

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"longspell/internal/domain"
	"longspell/internal/httpapi"
	"longspell/internal/httpapi/contract"
	"longspell/internal/testkit/forged"
	"longspell/internal/token"
)

// The forgeries follow RFC 8725 ("JSON Web Token Best Current Practices", IETF, February 2020). None gets past any route that asks
// for a sign-in, and none reaches a use case.
func TestForgedTokensOnEveryRoute(t *testing.T) {
	t.Parallel()
	s := setup(t)
	set := forged.Of{KeyID: s.key.ID, Secret: s.key.Secret, Issuer: token.Name, Audience: token.Audience, Type: token.Type, Account: string(accountID),
		Login: string(loginID), Now: start, Life: token.Life, Genuine: s.token()}.Tokens()
	if len(set) < 80 {
		t.Fatalf("%d forgeries", len(set))
	}
	h := s.server.Handler() // the contract is held against in the other tests
	tried := 0
	for _, o := range operations(t) {
		if o.Permission == "public" {
			continue
		}
		for name, text := range set {
			r := good(o)
			r.Header.Set("Authorization", "Bearer "+text)
			w := httptest.NewRecorder()
			h.ServeHTTP(w, r)
			tried++
			if w.Code != http.StatusUnauthorized || !strings.HasPrefix(w.Header().Get("WWW-Authenticate"), "Bearer ") {
				t.Errorf("%s with %s: %d", o.ID, name, w.Code)
			}
		}
	}
	if s.fake.calls != 0 || tried < 2500 {
		t.Errorf("%d calls reached a use case, %d requests", s.fake.calls, tried)
	}
}

func TestWaysToCarryATokenThatAreRefused(t *testing.T) {
	t.Parallel()
	s := setup(t)
	o := operation(t, "getMe")
	good1 := s.token()
	for name, headers := range map[string][]string{
		"none": nil, "empty": {""}, "bare": {good1}, "basic": {"Basic " + good1}, "two": {"Bearer " + good1, "Bearer " + good1}, "nothing behind": {"Bearer "},
		"a word behind": {"Bearer " + good1 + " x"}, "comma": {"Bearer " + good1 + ", Bearer " + good1}, "tab": {"Bearer\t" + good1},
	} {
		r := good(o)
		r.Header["Authorization"] = headers
		if w := s.raw(r); w.Code != http.StatusUnauthorized {
			t.Errorf("%s: %d", name, w.Code)
		}
	}
	for name, change := range map[string]func(r *http.Request){
		"query":  func(r *http.Request) { r.URL.RawQuery = "access_token=" + good1 },
		"cookie": func(r *http.Request) { r.AddCookie(&http.Cookie{Name: "access_token", Value: good1}) },
	} {
		r := good(o)
		change(r)
		if w := s.raw(r); w.Code != http.StatusUnauthorized {
			t.Errorf("in the %s: %d", name, w.Code)
		}
	}
	r := good(o)
	r.Header.Set("Authorization", "bearer "+good1)
	if w := s.raw(r); w.Code != http.StatusOK {
		t.Errorf("the scheme in small letters is the same scheme (RFC 9110, 11.1): %d", w.Code)
	}
}

// The sign-in that stands behind a good token is asked about at each request.
func TestEndedSignInIsRefusedAtTheNextRequest(t *testing.T) {
	t.Parallel()
	s := setup(t)
	other, _, err := s.issuer.Issue(accountID, elsewhere, start)
	if err != nil {
		t.Fatal(err)
	}
	r := good(operation(t, "getMe"))
	r.Header.Set("Authorization", "Bearer "+other)
	if w := s.raw(r); w.Code != http.StatusUnauthorized || problemOf(t, w).Code != "signed_out" {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}

var everywhere = map[string]string{
	"Content-Security-Policy": "default-src 'self'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'; form-action 'self'; style-src 'self'; " +
		"connect-src 'self'; img-src 'self' data:",
	"X-Content-Type-Options":       "nosniff",
	"Referrer-Policy":              "no-referrer",
	"Cross-Origin-Opener-Policy":   "same-origin",
	"Cross-Origin-Resource-Policy": "same-origin",
	"Strict-Transport-Security":    "max-age=63072000; includeSubDomains",
}

// Every route, with every status that it can be made to give, carries the headers (OWASP Application Security Verification Standard
// 5.0.0, OWASP Foundation, 2025, 3.4.1 to 3.4.8; 14.3.2).
func TestHeadersOnEveryRouteAndStatus(t *testing.T) {
	t.Parallel()
	s := setup(t)
	seen := map[int]bool{}
	check := func(what string, w *httptest.ResponseRecorder, personal bool) {
		t.Helper()
		seen[w.Code] = true
		for name, want := range everywhere {
			if got := w.Header().Get(name); got != want {
				t.Errorf("%s, %d: %s is %q", what, w.Code, name, got)
			}
		}
		if w.Header().Get("Permissions-Policy") == "" || w.Header().Get("X-Request-Id") == "" {
			t.Errorf("%s, %d: %v", what, w.Code, w.Header())
		}
		if personal && w.Header().Get("Cache-Control") != "no-store" {
			t.Errorf("%s, %d may be kept: %q", what, w.Code, w.Header().Get("Cache-Control"))
		}
		for _, no := range []string{"Access-Control-Allow-Origin", "Server", "X-Powered-By"} {
			if w.Header().Get(no) != "" {
				t.Errorf("%s, %d has %s", what, w.Code, no)
			}
		}
	}
	kinds := []domain.ErrorKind{domain.KindInternal, domain.KindInvalid, domain.KindUnauthenticated, domain.KindForbidden, domain.KindNotFound, domain.KindConflict,
		domain.KindRuleBroken, domain.KindTooMany, domain.KindUnavailable}
	for _, o := range operations(t) {
		s.fake.err = nil
		check(o.ID, s.ask(good(o)), true)
		if o.Permission != "public" {
			check(o.ID, s.raw(good(o)), true)
		}
		for _, k := range kinds {
			s.fake.err = &domain.Error{Kind: k, Code: "x"}
			check(o.ID, s.ask(good(o)), true)
		}
		s.fake.err = errors.New("fault")
		check(o.ID, s.ask(good(o)), true)
		s.fake.err = nil
		if o.Body == "" {
			continue
		}
		r := good(o)
		r.Header.Set("Content-Type", "text/plain")
		check(o.ID, s.ask(r), true)
		r = httptest.NewRequest(o.Method, good(o).URL.String(), strings.NewReader(strings.Repeat(" ", 6<<20)))
		r.Header = good(o).Header
		check(o.ID, s.ask(r), true)
	}
	for _, path := range []string{"/", "/tonight", "/mark.svg", "/assets/index.js", "/assets/none.js", "/healthz", "/readyz", "/openapi.yaml", "/api/v1/none"} {
		check(path, s.ask(httptest.NewRequest("GET", path, nil)), strings.HasPrefix(path, "/api"))
		check(path, s.ask(httptest.NewRequest("DELETE", path, nil)), strings.HasPrefix(path, "/api"))
	}
	for _, status := range []int{200, 204, 401, 403, 404, 405, 409, 413, 415, 422, 429, 500, 503} {
		if !seen[status] {
			t.Errorf("no answer had the status %d", status)
		}
	}
}

func TestNoHSTSWithoutHTTPS(t *testing.T) {
	t.Parallel()
	s := setup(t, func(o *httpapi.Options) { o.PublicURL = &url.URL{Scheme: "http", Host: "127.0.0.1:8080"} })
	if got := s.ask(httptest.NewRequest("GET", "/", nil)).Header().Get("Strict-Transport-Security"); got != "" {
		t.Errorf("HSTS over plain HTTP: %q", got)
	}
}

func TestRefreshCookie(t *testing.T) {
	t.Parallel()
	s := setup(t)
	for _, id := range []string{"signIn", "refreshSignIn"} {
		w := s.raw(good(operation(t, id)))
		c := onlyCookie(t, w)
		if c.Name != "__Host-longspell" || c.Value != "refresh-token-of-the-login" || !c.Secure || !c.HttpOnly || c.SameSite != http.SameSiteStrictMode ||
			c.Path != "/" || c.Domain != "" || c.MaxAge != 3600 {
			t.Errorf("%s: %s", id, w.Header().Get("Set-Cookie"))
		}
		if strings.Contains(w.Body.String(), "refresh-token") {
			t.Errorf("%s: the body has the refresh token: %s", id, w.Body)
		}
	}
	if s.fake.calls == 0 {
		t.Error("nothing was asked of the use cases")
	}
	w := s.ask(good(operation(t, "signOut")))
	if c := onlyCookie(t, w); w.Code != http.StatusNoContent || c.MaxAge >= 0 || c.Value != "" {
		t.Errorf("signed out: %d %s", w.Code, w.Header().Get("Set-Cookie"))
	}
	s.fake.err = domain.Unauthenticated("signed_out", "You are signed out.")
	if w := s.raw(good(operation(t, "refreshSignIn"))); w.Code != http.StatusUnauthorized || onlyCookie(t, w).MaxAge >= 0 {
		t.Errorf("an ended sign-in keeps its cookie: %d %s", w.Code, w.Header().Get("Set-Cookie"))
	}
	s.fake.err = errors.New("database away")
	if w := s.raw(good(operation(t, "refreshSignIn"))); w.Code != http.StatusInternalServerError || w.Header().Get("Set-Cookie") != "" {
		t.Errorf("a fault of ours signs the phone out: %d %s", w.Code, w.Header().Get("Set-Cookie"))
	}
}

func onlyCookie(t *testing.T, w *httptest.ResponseRecorder) *http.Cookie {
	t.Helper()
	all := w.Result().Cookies()
	if len(all) != 1 {
		t.Fatalf("status %d with %d cookies", w.Code, len(all))
	}
	return all[0]
}

// What a page of another origin can send changes nothing.
func TestForgedForms(t *testing.T) {
	t.Parallel()
	s := setup(t)
	refresh := operation(t, "refreshSignIn")
	for name, x := range map[string]struct {
		change func(r *http.Request)
		status int
	}{
		"no header of our own":         {func(r *http.Request) { r.Header.Del(contract.ClientHeader) }, 422},
		"empty header":                 {func(r *http.Request) { r.Header.Set(contract.ClientHeader, "") }, 422},
		"from another site":            {func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, 403},
		"from a sibling host":          {func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-site") }, 403},
		"origin of another site":       {func(r *http.Request) { r.Header.Set("Origin", "https://stranger.example") }, 403},
		"null origin":                  {func(r *http.Request) { r.Header.Set("Origin", "null") }, 403},
		"no cookie":                    {func(r *http.Request) { r.Header.Del("Cookie") }, 401},
		"cookie without the prefix":    {func(r *http.Request) { r.Header.Set("Cookie", "longspell=x") }, 401},
		"two cookies":                  {func(r *http.Request) { r.Header.Set("Cookie", "__Host-longspell=x; __Host-longspell=y") }, 401},
		"empty cookie":                 {func(r *http.Request) { r.Header.Set("Cookie", "__Host-longspell=") }, 401},
		"endless cookie":               {func(r *http.Request) { r.Header.Set("Cookie", "__Host-longspell="+strings.Repeat("x", 4000)) }, 401},
		"own origin":                   {func(r *http.Request) { r.Header.Set("Origin", "https://longspell.example") }, 200},
		"own page":                     {func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-origin") }, 200},
		"typed in by the person":       {func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "none") }, 200},
		"an app that is not a browser": {func(*http.Request) {}, 200},
	} {
		s.fake.calls = 0
		r := good(refresh)
		x.change(r)
		w := s.raw(r)
		if w.Code != x.status || (x.status != 200 && s.fake.calls != 0) {
			t.Errorf("%s: %d after %d calls, want %d", name, w.Code, s.fake.calls, x.status)
		}
	}
	for _, o := range operations(t) {
		if o.Method == "GET" {
			continue
		}
		s.fake.calls = 0
		r := good(o)
		r.Header.Set("Sec-Fetch-Site", "cross-site")
		if w := s.ask(r); w.Code != http.StatusForbidden || s.fake.calls != 0 {
			t.Errorf("%s from another site: %d", o.ID, w.Code)
		}
	}
}

// Canaries in every field, the query, the headers and the errors: none is in the log.
func TestLogHoldsNothingPersonal(t *testing.T) {
	t.Parallel()
	s := setup(t)
	s.fake.err = &domain.Error{Kind: domain.KindConflict, Code: "version_stale", Message: "canary-message", Err: errors.New("canary-cause")}
	for _, o := range operations(t) {
		r := good(o)
		if o.Body != "" {
			body := strings.NewReplacer("Mia", "canary-name", "2014-02-03", "2011-11-11", "four unconnected", "canary-password", "ada@wren", "canary-mail@wren").Replace(bodies[o.ID])
			r = httptest.NewRequest(o.Method, r.URL.String(), strings.NewReader(body))
			r.Header = good(o).Header
		}
		r.Header.Set("User-Agent", "canary-agent\nline")
		r.Header.Set("X-Request-Id", "canary-id")
		s.ask(r)
	}
	s.ask(httptest.NewRequest("GET", "/api/v1/regions/canary-region/players?name=canary-name", nil))
	s.ask(httptest.NewRequest("GET", "/canary-path", nil))
	out := s.log.String()
	for _, no := range []string{"canary", "2011-11-11", s.token()[:60], "refresh-token"} {
		if strings.Contains(out, no) {
			i := strings.Index(out, no)
			t.Errorf("the log has %q: %.300s", no, out[max(0, i-150):])
		}
	}
	for _, yes := range []string{`"account":"` + string(accountID), `"region":"` + string(regionID), `"route":"/api/v1/regions/:regionId/players"`, `"status":409`, `"code":"version_stale"`, `"request":"`, `"ms":`} {
		if !strings.Contains(out, yes) {
			t.Errorf("the log has no %s", yes)
		}
	}
	if n := strings.Count(out, "\n"); n != len(operations(t))+2 {
		t.Errorf("%d lines for %d requests", n, len(operations(t))+2)
	}
}
