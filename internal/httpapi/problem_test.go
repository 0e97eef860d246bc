package httpapi_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"longspell/internal/domain"
	"longspell/internal/httpapi"
)

func prefixes(list ...string) (out []netip.Prefix) {
	for _, p := range list {
		out = append(out, netip.MustParsePrefix(p))
	}
	return out
}

var requestID = regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12}`)

// bodyOf is a problem as it is to be written; ID stands for the request's id.
func bodyOf(status int, title, code, detail, errs string) string {
	return fmt.Sprintf(`{"code":%q,"detail":%q,"errors":[%s],"instance":"urn:uuid:ID","requestId":"ID","status":%d,"title":%q,"type":"urn:longspell:problem:%s"}`,
		code, detail, errs, status, title, code)
}

// Every kind of error of the domain has one body, and nothing of its cause is in it (RFC 9457, "Problem Details for HTTP APIs",
// IETF, July 2023).
func TestProblemOfEveryKind(t *testing.T) {
	t.Parallel()
	secret := errors.New(`pq: duplicate key value violates unique constraint "players_pkey" at /src/store.go:12`)
	const fault = "Something went wrong on our side. Try again; if it stays, tell whoever runs this service the request id."
	for _, x := range []struct {
		name   string
		err    error
		status int
		body   string
		header map[string]string
	}{
		{"invalid", &domain.Error{Kind: domain.KindInvalid, Code: "born", Message: "Check the year.", Fields: []domain.FieldError{{Pointer: "/born", Detail: "too old"}}, Err: secret},
			422, bodyOf(422, "Not accepted", "born", "Check the year.", `{"detail":"too old","pointer":"/born"}`), nil},
		{"unauthenticated", domain.Unauthenticated("signed_out", "You are signed out."), 401, bodyOf(401, "Not signed in", "signed_out", "You are signed out.", ""),
			map[string]string{"WWW-Authenticate": `Bearer realm="longspell", error="invalid_token"`}},
		{"forbidden", domain.Forbidden("Ask the club lead."), 403, bodyOf(403, "Not allowed", "forbidden", "Ask the club lead.", ""), nil},
		{"not found", domain.NotFound(), 404, bodyOf(404, "Not found", "not_found", domain.NotFound().Message, ""), nil},
		{"conflict", &domain.Error{Kind: domain.KindConflict, Code: "version_stale", Message: "Load it again.", Err: secret}, 409,
			bodyOf(409, "Changed in the meantime", "version_stale", "Load it again.", ""), nil},
		{"rule broken", domain.RuleBroken("not_a_match", "Overs are logged at a match."), 422, bodyOf(422, "Not accepted", "not_a_match", "Overs are logged at a match.", ""), nil},
		{"too many", &domain.Error{Kind: domain.KindTooMany, Code: "too_many_attempts", Message: "Wait.", RetryAfter: 90*time.Second + time.Millisecond}, 429,
			bodyOf(429, "Too many requests", "too_many_attempts", "Wait.", ""), map[string]string{"Retry-After": "91"}},
		{"unavailable", &domain.Error{Kind: domain.KindUnavailable, Code: "sign_in_busy", Message: "Busy.", RetryAfter: 2 * time.Second}, 503,
			bodyOf(503, "Busy", "sign_in_busy", "Busy.", ""), map[string]string{"Retry-After": "2"}},
		{"internal", &domain.Error{Kind: domain.KindInternal, Code: "secret_code", Message: "secret message", Err: secret}, 500, bodyOf(500, "Our fault", "internal", fault, ""), nil},
		{"unknown", secret, 500, bodyOf(500, "Our fault", "internal", fault, ""), nil},
		{"wrapped", fmt.Errorf("store: %w", domain.NotFound()), 404, bodyOf(404, "Not found", "not_found", domain.NotFound().Message, ""), nil},
		{"too slow", fmt.Errorf("store: %w", context.DeadlineExceeded), 503,
			bodyOf(503, "Busy", "timed_out", "This took longer than it may. Nothing was changed. Try again in a few seconds.", ""), map[string]string{"Retry-After": "5"}},
		{"cancelled by ourselves", context.Canceled, 500, bodyOf(500, "Our fault", "internal", fault, ""), nil},
	} {
		s := setup(t)
		s.fake.err = x.err
		w := s.ask(good(operation(t, "getPlayer")))
		if w.Code != x.status || w.Header().Get("Content-Type") != "application/problem+json" {
			t.Errorf("%s: %d %s", x.name, w.Code, w.Header())
		}
		if d := cmp.Diff(x.body, requestID.ReplaceAllString(w.Body.String(), "ID")); d != "" {
			t.Errorf("%s: %s", x.name, d)
		}
		if id := w.Header().Get("X-Request-Id"); !strings.Contains(w.Body.String(), id) || !strings.Contains(s.log.String(), id) {
			t.Errorf("%s: the header, the body and the log do not have the same request id", x.name)
		}
		for name, want := range x.header {
			if got := w.Header().Get(name); got != want {
				t.Errorf("%s: %s is %q, want %q", x.name, name, got, want)
			}
		}
		if logged := strings.Contains(s.log.String(), "players_pkey"); logged != (x.status == 500 && x.err != context.Canceled) {
			t.Errorf("%s: the cause is in the log: %v", x.name, logged)
		}
	}
}

func TestPanicIsAFaultThatTellsNothing(t *testing.T) {
	t.Parallel()
	s := setup(t)
	s.fake.panics = "secret of the panic"
	w := s.ask(good(operation(t, "getPlayer")))
	if w.Code != 500 || strings.Contains(w.Body.String(), "secret") || problemOf(t, w).Code != "internal" {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if !strings.Contains(s.log.String(), "secret of the panic") || !strings.Contains(s.log.String(), "fake_test.go") {
		t.Errorf("the log does not say where: %s", s.log)
	}
	s.fake.panics = nil
	if w := s.ask(good(operation(t, "getPlayer"))); w.Code != 200 {
		t.Errorf("the next request: %d", w.Code)
	}
}

// Somebody who hung up is not answered, and is no fault of ours.
func TestClientThatLeft(t *testing.T) {
	t.Parallel()
	s := setup(t)
	s.fake.err = context.Canceled
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	r := good(operation(t, "getPlayer")).WithContext(ctx)
	r.Header.Set("Authorization", "Bearer "+s.token())
	w := httptest.NewRecorder()
	s.server.Handler().ServeHTTP(w, r)
	if w.Body.Len() != 0 || !strings.Contains(s.log.String(), `"status":499`) {
		t.Errorf("%q, %s", w.Body, s.log)
	}
}

func TestBodiesThatAreRefused(t *testing.T) {
	t.Parallel()
	s := setup(t)
	ok := bodies["putOver"]
	padded := func(n int) string { return ok + strings.Repeat(" ", n-len(ok)) }
	for name, x := range map[string]struct {
		id, body, media, coding string
		status                  int
		code, pointer           string
	}{
		"good":                     {"putOver", ok, "application/json", "", 200, "", ""},
		"good, UTF-8 named":        {"putOver", ok, "application/json; charset=UTF-8", "", 200, "", ""},
		"good, identity":           {"putOver", ok, "application/json", "identity", 200, "", ""},
		"exactly as large as may":  {"putOver", padded(64 << 10), "application/json", "", 200, "", ""},
		"too large":                {"putOver", padded(64<<10 + 1), "application/json", "", 413, "too_large", ""},
		"large outing":             {"putOuting", bodies["putOuting"] + strings.Repeat(" ", 900<<10), "application/json", "", 200, "", ""},
		"too large an outing":      {"putOuting", bodies["putOuting"] + strings.Repeat(" ", 1<<20), "application/json", "", 413, "too_large", ""},
		"large import":             {"importFile", strings.Repeat("x", 5<<20), "application/octet-stream", "", 200, "", ""},
		"too large an import":      {"importFile", strings.Repeat("x", 5<<20+1), "application/octet-stream", "", 413, "too_large", ""},
		"import as a form":         {"importFile", "x", "multipart/form-data; boundary=x", "", 415, "media_type", ""},
		"form":                     {"putOver", "a=b", "application/x-www-form-urlencoded", "", 415, "media_type", ""},
		"text":                     {"putOver", ok, "text/plain", "", 415, "media_type", ""},
		"nothing said":             {"putOver", ok, "", "", 415, "media_type", ""},
		"Latin-1":                  {"putOver", ok, "application/json; charset=iso-8859-1", "", 415, "media_type", ""},
		"compressed":               {"putOver", ok, "application/json", "gzip", 415, "media_type", ""},
		"patch of another kind":    {"putOver", ok, "application/merge-patch+json", "", 415, "media_type", ""},
		"empty":                    {"putOver", "", "application/json", "", 400, "malformed", ""},
		"name twice":               {"putOver", strings.Replace(ok, `"balls":8`, `"balls":8,"balls":6`, 1), "application/json", "", 400, "malformed", "/balls"},
		"name twice, once escaped": {"putOver", strings.Replace(ok, `"balls":8`, `"balls":8,"b\u0061lls":6`, 1), "application/json", "", 400, "malformed", "/balls"},
		"two documents":            {"putOver", ok + ok, "application/json", "", 400, "malformed", ""},
		"not UTF-8":                {"putOver", strings.Replace(ok, "wrist", "wr\xffst", 1), "application/json", "", 400, "malformed", ""},
		"deep":                     {"putOver", strings.Repeat(`{"a":`, 30) + "1" + strings.Repeat("}", 30), "application/json", "", 400, "malformed", strings.Repeat("/a", 20)},
		"exponent":                 {"putOver", strings.Replace(ok, `"balls":8`, `"balls":8e0`, 1), "application/json", "", 400, "malformed", "/balls"},
		"huge number":              {"putOver", strings.Replace(ok, `"balls":8`, `"balls":99999999999999999999`, 1), "application/json", "", 400, "malformed", "/balls"},
		"fraction of nought":       {"putOver", strings.Replace(ok, `"balls":8`, `"balls":8.0`, 1), "application/json", "", 422, "invalid", ""},
		"text for a number":        {"putOver", strings.Replace(ok, `"balls":8`, `"balls":"8"`, 1), "application/json", "", 422, "invalid", "/balls"},
		"unknown field":            {"putOver", strings.Replace(ok, `"balls":8`, `"balls":8,"regionId":"x"`, 1), "application/json", "", 422, "invalid", "/regionId"},
		"field in capitals":        {"putOver", strings.Replace(ok, `"end"`, `"End"`, 1), "application/json", "", 422, "invalid", "/End"},
		"NUL":                      {"putClub", `{"name":"a\u0000","shortName":"b","version":0}`, "application/json", "", 400, "malformed", "/name"},
	} {
		o := operation(t, x.id)
		r := httptest.NewRequest(o.Method, good(o).URL.String(), strings.NewReader(x.body))
		if x.media != "" {
			r.Header.Set("Content-Type", x.media)
		}
		if x.coding != "" {
			r.Header.Set("Content-Encoding", x.coding)
		}
		s.fake.calls = 0
		w := s.ask(r)
		if w.Code != x.status {
			t.Errorf("%s: %d %.200s, want %d", name, w.Code, w.Body, x.status)
			continue
		}
		if x.status == 200 {
			continue
		}
		p := problemOf(t, w)
		if p.Code != x.code || s.fake.calls != 0 {
			t.Errorf("%s: code %s after %d calls", name, p.Code, s.fake.calls)
		}
		if x.pointer != "" && (len(p.Errors) != 1 || p.Errors[0].Pointer != x.pointer) {
			t.Errorf("%s: places %v, want %s", name, p.Errors, x.pointer)
		}
	}
}

func TestBodyThatBreaksOff(t *testing.T) {
	t.Parallel()
	s := setup(t)
	r := good(operation(t, "putOver"))
	r.Header.Set("Authorization", "Bearer "+s.token())
	r.Body = http.NoBody
	r.Body = &broken{Reader: bytes.NewReader([]byte(`{"date":`))}
	w := httptest.NewRecorder()
	s.server.Handler().ServeHTTP(w, r)
	if w.Code != 400 || problemOf(t, w).Code != "cut_off" || s.fake.calls != 0 {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}

// broken gives what it has and then fails.
type broken struct{ *bytes.Reader }

func (b *broken) Read(p []byte) (int, error) {
	if n, err := b.Reader.Read(p); err == nil {
		return n, nil
	}
	return 0, errors.New("connection reset")
}

func (b *broken) Close() error { return nil }

func TestFaultsOfTheQueryAreNamed(t *testing.T) {
	t.Parallel()
	s := setup(t)
	w := s.ask(httptest.NewRequest("GET", "/api/v1/regions/"+string(regionID)+"/notices?pageSize=1000&on=never&state=lost&clubId=1&nothing=x", nil))
	var got []string
	for _, e := range problemOf(t, w).Errors {
		got = append(got, e.Pointer)
	}
	if d := cmp.Diff([]string{"/query/clubId", "/query/nothing", "/query/on", "/query/pageSize", "/query/state"}, got); d != "" || w.Code != 422 {
		t.Errorf("%d %s", w.Code, d)
	}
}

// fuzzBody sends bodies of all kinds to one operation: whatever comes, the answer is never a fault of ours.
func fuzzBody(f *testing.F, id string) {
	s := setup(f, func(o *httpapi.Options) { o.Log = discard() })
	o, h, token := operation(f, id), s.server.Handler(), s.token()
	f.Fuzz(func(t *testing.T, body []byte) {
		r := httptest.NewRequest(o.Method, good(o).URL.String(), bytes.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("Authorization", "Bearer "+token)
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code >= 500 {
			t.Errorf("%d %s", w.Code, w.Body)
		}
	})
}

func FuzzOver(f *testing.F) {
	f.Add([]byte(bodies["putOver"]))
	f.Add([]byte(`{"date":"2026-02-30","innings":1e9}`))
	f.Add([]byte(strings.Repeat(`[`, 50)))
	fuzzBody(f, "putOver")
}

func FuzzOuting(f *testing.F) {
	f.Add([]byte(bodies["putOuting"]))
	f.Add([]byte(`{"overs":[null,{}],"spells":{},"practice":[[]]}`))
	fuzzBody(f, "putOuting")
}

func FuzzPlayer(f *testing.F) {
	f.Add([]byte(bodies["putPlayer"]))
	f.Add([]byte(`{"name":null,"born":"","registration":[]}`))
	fuzzBody(f, "putPlayer")
}
