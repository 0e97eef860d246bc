package httpapi_test

import (
	"compress/gzip"
	"context"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"longspell/internal/httpapi"
)

func get(path string, headers ...string) *http.Request {
	r := httptest.NewRequest("GET", path, nil)
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	return r
}

func TestWebApp(t *testing.T) {
	t.Parallel()
	s := setup(t)
	const shell = "<!doctype html><title>Longspell</title>"
	for path, x := range map[string]struct {
		status int
		media  string
		body   string // beginning; "" = not looked at
	}{
		"/":                       {200, "text/html; charset=utf-8", shell},
		"/index.html":             {200, "text/html; charset=utf-8", shell},
		"/tonight":                {200, "text/html; charset=utf-8", shell},
		"/bowlers/0198f0c0/log":   {200, "text/html; charset=utf-8", shell},
		"/mark.svg":               {200, "image/svg+xml", "<svg/>"},
		"/assets/index.js":        {200, "text/javascript; charset=utf-8", "export const over"},
		"/assets/none.js":         {404, "application/problem+json", ""},
		"/assets/none":            {404, "application/problem+json", ""},
		"/assets/":                {404, "application/problem+json", ""},
		"/none.txt":               {404, "application/problem+json", ""},
		"/.git/config.x":          {404, "application/problem+json", ""},
		"/assets/../server.go":    {404, "application/problem+json", ""},
		"/assets/..%2findex.html": {404, "application/problem+json", ""},
		"/a\\b":                   {404, "application/problem+json", ""},
	} {
		r := get("/")
		u, err := r.URL.Parse("http://example.com/")
		if err != nil {
			t.Fatal(err)
		}
		u.Path = strings.ReplaceAll(path, "%2f", "/")
		r.URL = u
		w := s.raw(r)
		if w.Code != x.status || w.Header().Get("Content-Type") != x.media || !strings.HasPrefix(w.Body.String(), x.body) {
			t.Errorf("%s: %d %s %.60q", path, w.Code, w.Header().Get("Content-Type"), w.Body)
		}
		if x.status == 200 && (w.Header().Get("Cache-Control") != "no-cache" || !regexp.MustCompile(`^"[A-Za-z0-9_-]+"$`).MatchString(w.Header().Get("ETag"))) {
			t.Errorf("%s: Cache-Control %q, ETag %q", path, w.Header().Get("Cache-Control"), w.Header().Get("ETag"))
		}
	}
	for _, method := range []string{"POST", "PUT", "DELETE"} {
		r := get("/tonight")
		r.Method = method
		if w := s.raw(r); w.Code != 405 || w.Header().Get("Allow") != "GET, HEAD" {
			t.Errorf("%s: %d, Allow %q", method, w.Code, w.Header().Get("Allow"))
		}
	}
	r := get("/assets/index.js")
	r.Method = "HEAD"
	if w := s.raw(r); w.Code != 200 || w.Body.Len() != 0 || w.Header().Get("Content-Length") != "2300" {
		t.Errorf("HEAD: %d, %d bytes, length %s", w.Code, w.Body.Len(), w.Header().Get("Content-Length"))
	}
}

func TestWebAppCompressedAndTagged(t *testing.T) {
	t.Parallel()
	s := setup(t)
	plain := s.raw(get("/assets/index.js"))
	packed := s.raw(get("/assets/index.js", "Accept-Encoding", "br;q=1, gzip"))
	if packed.Header().Get("Content-Encoding") != "gzip" || packed.Header().Get("Vary") != "Accept-Encoding" || plain.Header().Get("Vary") != "Accept-Encoding" {
		t.Fatalf("%v", packed.Header())
	}
	z, err := gzip.NewReader(packed.Body)
	if err != nil {
		t.Fatal(err)
	}
	unpacked, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	if string(unpacked) != plain.Body.String() {
		t.Error("the compressed file is another file")
	}
	one, two := plain.Header().Get("ETag"), packed.Header().Get("ETag")
	if one == two || one == "" {
		t.Errorf("tags %q and %q: a strong tag names one form alone", one, two)
	}
	for name, x := range map[string]struct {
		encoding, match string
		status          int
	}{
		"same":               {"", one, 304},
		"same, packed":       {"gzip", two, 304},
		"weak":               {"", "W/" + one, 304},
		"among others":       {"", `"x", ` + one, 304},
		"any":                {"", "*", 304},
		"of the other form":  {"gzip", one, 200},
		"another":            {"", `"x"`, 200},
		"part of it":         {"", one[:8] + `"`, 200},
		"gzip not wanted":    {"gzip;q=0", two, 200},
		"anything but gzip":  {"*, gzip;q=0", one, 304},
		"anything":           {"*;q=0.1", two, 304},
		"nonsense as weight": {"gzip;q=x", one, 304},
	} {
		w := s.raw(get("/assets/index.js", "Accept-Encoding", x.encoding, "If-None-Match", x.match))
		if w.Code != x.status {
			t.Errorf("%s: %d, want %d", name, w.Code, x.status)
		}
		if w.Code == 304 && (w.Body.Len() != 0 || w.Header().Get("ETag") == "" || w.Header().Get("Content-Encoding") != "") {
			t.Errorf("%s: %d bytes, %v", name, w.Body.Len(), w.Header())
		}
	}
}

func TestWebAppThatIsNotWhole(t *testing.T) {
	t.Parallel()
	for name, dist := range map[string]fstest.MapFS{
		"no index.html": {"mark.svg": {Data: []byte("x")}},
		"unknown kind":  {"index.html": {Data: []byte("x")}, "notes.exe": {Data: []byte("x")}},
	} {
		s := setup(t)
		if _, err := httpapi.New(httpapi.Options{UseCases: s.fake, Clock: s.clock, Log: discard(), Verify: nobody, Pages: s.issuer.Sealer("pages"), Ready: func(context.Context) error { return nil }, WebApp: dist}); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

func TestHealth(t *testing.T) {
	t.Parallel()
	s := setup(t)
	answer := func(path string) string {
		w := s.raw(get(path))
		return w.Result().Status + " " + strings.TrimSpace(w.Body.String())
	}
	expect := func(path, want string) {
		t.Helper()
		if got := answer(path); got != want {
			t.Errorf("%s: %q, want %q", path, got, want)
		}
	}
	expect("/healthz", "200 OK ok")
	expect("/readyz", "200 OK ready")
	s.ready = errors.New("secret of the database")
	expect("/readyz", "200 OK ready") // the answer of a moment ago
	s.clock.Advance(time.Second)
	expect("/readyz", "503 Service Unavailable not ready")
	expect("/healthz", "200 OK ok")
	if !strings.Contains(s.log.String(), "secret of the database") {
		t.Error("the log does not say why")
	}
	s.ready = nil
	s.clock.Advance(time.Second)
	expect("/readyz", "200 OK ready")
	s.server.Drain()
	expect("/readyz", "503 Service Unavailable not ready")
	expect("/healthz", "200 OK ok")
	if w := s.ask(good(operation(t, "getMe"))); w.Code != 200 {
		t.Errorf("a request while stopping: %d", w.Code)
	}
}

func TestContractIsServed(t *testing.T) {
	t.Parallel()
	w := setup(t).raw(get("/openapi.yaml"))
	if w.Code != 200 || !strings.HasPrefix(w.Body.String(), "openapi: 3.0.3\n") || w.Header().Get("Content-Type") != "application/yaml" {
		t.Errorf("%d %s %.40q", w.Code, w.Header().Get("Content-Type"), w.Body)
	}
}

func TestMetrics(t *testing.T) {
	t.Parallel()
	s := setup(t)
	s.ask(good(operation(t, "getPlayer")))
	s.ask(good(operation(t, "getPlayer")))
	s.raw(good(operation(t, "getPlayer")))
	r := get("/no/such/thing.x")
	r.Method = "MADEUP"
	s.raw(r)
	w := httptest.NewRecorder()
	s.server.MetricsHandler().ServeHTTP(w, get("/metrics"))
	const route = `route="/api/v1/regions/:regionId/players/:playerId"`
	for _, want := range []string{
		`longspell_http_requests_total{method="GET",` + route + `,status="200"} 2`,
		`longspell_http_requests_total{method="GET",` + route + `,status="401"} 1`,
		`longspell_http_requests_total{method="other",route="unmatched",status="404"} 1`,
		`longspell_http_request_seconds_count{method="GET",` + route + `} 3`,
		"go_goroutines",
	} {
		if !strings.Contains(w.Body.String(), want) {
			t.Errorf("no %s", want)
		}
	}
	if strings.Contains(w.Body.String(), string(regionID)) || strings.Contains(w.Body.String(), string(accountID)) {
		t.Error("the figures name a region or an account")
	}
}
