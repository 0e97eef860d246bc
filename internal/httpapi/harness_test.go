package httpapi_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"testing/fstest"

	"longspell/internal/clock"
	"longspell/internal/domain"
	"longspell/internal/httpapi"
	"longspell/internal/httpapi/contract"
	"longspell/internal/testkit/apicheck"
	"longspell/internal/token"
)

// service is a whole server in the test's own process, with the use cases replaced.
type service struct {
	t      testing.TB
	fake   *fake
	clock  *clock.Fixed
	issuer *token.Issuer
	key    token.Key
	server *httpapi.Server
	h      http.Handler // every exchange is held against the contract
	log    *bytes.Buffer
	ready  error
}

func setup(t testing.TB, change ...func(*httpapi.Options)) *service {
	t.Helper()
	s := &service{t: t, fake: &fake{actor: appointed(domain.RegionOfficer, domain.ClubLead, domain.Coach)}, clock: clock.NewFixed(start), log: &bytes.Buffer{}}
	s.key = token.Key{ID: "k1", Secret: []byte("a secret of forty bytes, for tests alone")}
	var err error
	if s.issuer, err = token.New([]token.Key{s.key}, s.clock); err != nil {
		t.Fatal(err)
	}
	o := httpapi.Options{
		UseCases: s.fake, Clock: s.clock, Log: slog.New(slog.NewJSONHandler(s.log, nil)), Ready: func(context.Context) error { return s.ready },
		Verify: func(text string) (domain.ID, domain.ID, error) {
			c, err := s.issuer.Verify(text)
			return c.Account, c.Login, err
		},
		Pages:     s.issuer.Sealer("pages"),
		PublicURL: &url.URL{Scheme: "https", Host: "longspell.example"},
		Rates:     httpapi.Rates{Source: httpapi.Rate{PerSecond: 1e6, Burst: 1e6}, Account: httpapi.Rate{PerSecond: 1e6, Burst: 1e6}, SignIn: httpapi.Rate{PerSecond: 1e6, Burst: 1e6}},
		WebApp: fstest.MapFS{"index.html": {Data: []byte("<!doctype html><title>Longspell</title>")}, "mark.svg": {Data: []byte("<svg/>")},
			"assets/index.js": {Data: []byte(strings.Repeat("export const over = 6;\n", 100))}},
	}
	for _, c := range change {
		c(&o)
	}
	if s.server, err = httpapi.New(o); err != nil {
		t.Fatal(err)
	}
	s.h = apicheck.Wrap(t, s.server.Handler())
	return s
}

func (s *service) token() string {
	s.t.Helper()
	text, _, err := s.issuer.Issue(accountID, loginID, s.clock.Now())
	if err != nil {
		s.t.Fatal(err)
	}
	return text
}

// ask sends a request with a good token, unless the request has one already.
func (s *service) ask(r *http.Request) *httptest.ResponseRecorder {
	s.t.Helper()
	if r.Header.Get("Authorization") == "" {
		r.Header.Set("Authorization", "Bearer "+s.token())
	}
	return s.raw(r)
}

// raw sends a request as it is.
func (s *service) raw(r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	s.h.ServeHTTP(w, r)
	return w
}

func problemOf(t *testing.T, w *httptest.ResponseRecorder) (p struct {
	Status int
	Code   string
	Errors []struct{ Pointer, Detail string }
}) {
	t.Helper()
	if got := w.Header().Get("Content-Type"); got != "application/problem+json" {
		t.Fatalf("status %d, content type %q, body %.300s; want a problem", w.Code, got, w.Body)
	}
	if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil {
		t.Fatal(err)
	}
	if p.Status != w.Code {
		t.Errorf("the problem says %d, the answer %d", p.Status, w.Code)
	}
	return p
}

// bodies has a good body for each operation that takes one.
var bodies = map[string]string{
	"signIn":             `{"email":"ada@wren.example","password":"four unconnected words"}`,
	"updateRegion":       `{"name":"Vale","timeZone":"Europe/London","seasonStartMonth":4,"seasonStartDay":1,"version":1}`,
	"putSeason":          `{"name":"2026","firstDay":"2026-04-01","lastDay":"2026-09-30","version":0}`,
	"putAdoptedLimitSet": `{"limitSet":"x-2026","from":"2026-04-01","settings":{"a":"b"},"version":0}`,
	"putClub":            `{"name":"Wren CC","shortName":"Wren","version":0}`,
	"putSquad":           fmt.Sprintf(`{"clubId":%q,"seasonId":%q,"name":"U13","ageGroup":"U13","version":0}`, clubID, seasonID),
	"putSquadPlayer":     `{"from":"2026-04-01","to":null}`,
	"putPlayer": fmt.Sprintf(`{"name":"Mia","born":"2014-02-03","sex":"f","arm":null,"kind":"wrist_spin","version":0,
		"registration":{"id":%q,"clubId":%q,"seasonId":%q,"squadId":null,"from":"2026-04-01"}}`, entryID, clubID, seasonID),
	"putRegistration": fmt.Sprintf(`{"clubId":%q,"seasonId":%q,"first":true,"from":"2026-04-01","version":0}`, clubID, seasonID),
	"putAppointment":  fmt.Sprintf(`{"accountId":%q,"role":"coach","clubId":%q,"from":"2026-04-01","version":0}`, accountID, clubID),
	"putOuting": fmt.Sprintf(`{"clubId":%q,"kind":"match","state":"held","date":"2026-05-09","title":"","version":0,"attendance":[{"playerId":%q,"present":"yes"}],
		"format":{"oversASide":null,"bowlerCap":4,"ballsInOver":"six_valid"},"overs":[{"id":%q,"date":"2026-05-09","innings":1,"over":1,"playerId":%q,"balls":6,"valid":6,"breakMin":0}],"spells":[]}`,
		clubID, playerID, entryID, playerID),
	"putOver":      fmt.Sprintf(`{"date":"2026-05-09","innings":1,"over":3,"end":"A","playerId":%q,"kind":"wrist_spin","balls":8,"valid":6,"breakMin":0,"version":0,"pastLimitConfirmed":true}`, playerID),
	"putPractice":  fmt.Sprintf(`{"playerId":%q,"balls":30,"hits":0,"version":0}`, playerID),
	"handleNotice": `{"state":"ended","endReason":"returned","version":1}`,
	"importFile":   "player,born\n",
}

var queries = map[string]string{"deleteOver": "?version=1", "importFile": "?fileName=players.csv", "listPlayers": "?name=mi&pageSize=7", "getOutingAllowances": "?innings=1&over=4&end=B"}

// good is a request of an operation that fits the contract.
func good(o *contract.Operation) *http.Request {
	path := strings.NewReplacer("{regionId}", string(regionID), "{clubId}", string(clubID), "{squadId}", string(squadID), "{playerId}", string(playerID),
		"{outingId}", string(outingID), "{seasonId}", string(seasonID), "{noticeId}", string(noticeID), "{importKind}", "players").Replace(o.Path)
	for strings.Contains(path, "{") {
		a, b := strings.Index(path, "{"), strings.Index(path, "}")
		path = path[:a] + string(entryID) + path[b+1:]
	}
	r := httptest.NewRequest(o.Method, path+queries[o.ID], strings.NewReader(bodies[o.ID]))
	if o.Body != "" {
		r.Header.Set("Content-Type", o.Body)
	} else {
		r.Body = http.NoBody
	}
	if o.TakesCookie() {
		r.Header.Set(contract.ClientHeader, "test")
		r.AddCookie(&http.Cookie{Name: "__Host-longspell", Value: "refresh-token-of-the-login"})
	}
	return r
}

func operations(t testing.TB) []*contract.Operation {
	t.Helper()
	c, err := contract.Load()
	if err != nil {
		t.Fatal(err)
	}
	return c.Operations()
}

func operation(t testing.TB, id string) *contract.Operation {
	t.Helper()
	for _, o := range operations(t) {
		if o.ID == id {
			return o
		}
	}
	t.Fatalf("no operation %s", id)
	return nil
}

func discard() *slog.Logger { return slog.New(slog.DiscardHandler) }

func nobody(string) (domain.ID, domain.ID, error) {
	return "", "", domain.Unauthenticated("token_invalid", "no")
}
