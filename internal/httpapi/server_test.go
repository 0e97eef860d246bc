package httpapi_test

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"longspell/internal/access"
	"longspell/internal/app"
	"longspell/internal/domain"
	"longspell/internal/httpapi/contract"
	"longspell/internal/testkit/apicheck"
)

// Every operation of the contract is asked once with a good request and answers as the contract has it.
func TestEveryOperation(t *testing.T) {
	t.Parallel()
	s := setup(t)
	for _, o := range operations(t) {
		if w := s.ask(good(o)); w.Code < 200 || w.Code > 299 {
			t.Errorf("%s: %d %s", o.ID, w.Code, w.Body)
		}
	}
	if missed := apicheck.Missed(s.h); missed != nil {
		t.Errorf("never asked: %v", missed)
	}
}

func TestEveryOperationHasAKnownPermission(t *testing.T) {
	t.Parallel()
	as := map[domain.Role]*service{}
	for _, role := range []domain.Role{domain.RegionOfficer, domain.ClubLead, domain.Coach, domain.Guardian} {
		as[role] = setup(t)
		as[role].fake.actor = appointed(role)
	}
	for _, o := range operations(t) {
		p := access.Permission(o.Permission)
		if !access.Known(p) {
			t.Errorf("%s has the permission %q", o.ID, p)
			continue
		}
		// Who may ask at all, route by role, through the whole server.
		for role, s := range as {
			s.fake.calls = 0
			w := s.ask(good(o))
			want := p == access.Public || p == access.Self || access.Carries(role, p)
			if got := w.Code < 300; got != want {
				t.Errorf("%s as %s: %d, want allowed %v", o.ID, role, w.Code, want)
			}
			if !want && (w.Code != http.StatusForbidden || s.fake.calls != 0) {
				t.Errorf("%s as %s: %d after %d calls, want 403 before any", o.ID, role, w.Code, s.fake.calls)
			}
		}
	}
}

// A region in which one holds nothing answers as one that does not exist, whatever is asked, and before the request is looked at.
func TestForeignRegionIsNotFound(t *testing.T) {
	t.Parallel()
	s := setup(t)
	s.fake.actor = appointed(domain.RegionOfficer, domain.ClubLead, domain.Coach, domain.Guardian)
	mask := regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f-]{27}`)
	bodies := map[string]bool{}
	for _, o := range operations(t) {
		if !strings.Contains(o.Path, "{regionId}") {
			continue
		}
		for _, body := range []string{"", "{}", "not JSON at all"} {
			r := good(o)
			r.URL.Path = strings.Replace(r.URL.Path, string(regionID), string(elsewhere), 1)
			if body != "" && o.Body != "" {
				r2 := httptest.NewRequest(o.Method, r.URL.Path, strings.NewReader(body))
				r2.Header = r.Header
				r = r2
			}
			w := s.ask(r)
			if w.Code != http.StatusNotFound {
				t.Errorf("%s: %d %s", o.ID, w.Code, w.Body)
			}
			bodies[mask.ReplaceAllString(w.Body.String(), "ID")] = true
		}
	}
	if len(bodies) != 1 || s.fake.calls != 0 {
		t.Errorf("%d different answers, %d calls: %v", len(bodies), s.fake.calls, bodies)
	}
}

func TestRequestsReachTheUseCases(t *testing.T) {
	t.Parallel()
	s := setup(t)
	ask := func(id string) any {
		t.Helper()
		if w := s.ask(good(operation(t, id))); w.Code != http.StatusOK {
			t.Fatalf("%s: %d %s", id, w.Code, w.Body)
		}
		return s.fake.got
	}
	day := domain.MustDate("2026-05-09")
	april := domain.MustDate("2026-04-01")
	for id, want := range map[string]any{
		"putOver": app.PutOver{PastLimitConfirmed: true, Over: domain.OverLog{ID: entryID, OutingID: outingID, Date: day, Innings: 1, Over: 3, End: domain.EndA,
			PlayerID: playerID, Kind: domain.WristSpin, Balls: 8, Valid: 6}},
		"putPractice": app.PutPractice{Practice: domain.Practice{ID: entryID, OutingID: outingID, PlayerID: playerID, Balls: 30, Hits: 0, Effort: -1}},
		"putOuting": app.PutOuting{Outing: domain.Outing{ID: outingID, ClubID: clubID, Kind: domain.OutingMatch, State: domain.OutingHeld, Date: day, HasFormat: true,
			Format: domain.MatchFormat{BowlerCap: 4, BallsInOver: domain.SixValid}, Attendance: []domain.Attendance{{PlayerID: playerID, Present: domain.PresentYes}}},
			Logs: app.OutingLogs{Overs: []domain.OverLog{{ID: entryID, OutingID: outingID, Date: day, Innings: 1, Over: 1, PlayerID: playerID, Balls: 6, Valid: 6}}, Spells: []domain.QuickSpell{}}},
		"putPlayer": app.PutPlayer{Player: domain.Player{ID: playerID, Name: "Mia", Born: domain.MustDate("2014-02-03"), Sex: domain.Female, Kind: domain.WristSpin},
			Registration: &app.FirstRegistration{ID: entryID, ClubID: clubID, SeasonID: seasonID, From: april}},
		"handleNotice":        app.HandleNotice{ID: noticeID, State: domain.NoticeEnded, Reason: domain.EndReturned, Version: 1},
		"listPlayers":         domain.PlayerFilter{Name: "mi"},
		"listNotices":         domain.NoticeFilter{State: "waiting"},
		"listClubs":           domain.Page{Size: 50},
		"getOutingAllowances": app.Next{Innings: 1, Over: 4, End: domain.EndB},
		"deleteOver":          1,
		"putAdoptedLimitSet":  domain.Adoption{ID: entryID, LimitSet: "x-2026", From: april, Settings: map[string]string{"a": "b"}},
		"refreshSignIn":       nil, // Me comes last
	} {
		if d := cmp.Diff(want, ask(id), cmp.AllowUnexported(domain.Date{})); d != "" {
			t.Errorf("%s: %s", id, d)
		}
	}
}

func TestImportIsReadAsItComes(t *testing.T) {
	t.Parallel()
	s := setup(t)
	o := operation(t, "importFile")
	s.ask(good(o))
	cmd := s.fake.got.(app.ImportFile)
	if !cmd.DryRun || cmd.Kind != app.ImportPlayers || cmd.FileName != "players.csv" || cmd.ClubID != clubID || string(s.fake.read) != "player,born\n" {
		t.Errorf("%+v with %q", cmd, s.fake.read)
	}
	r := good(o)
	r.URL.RawQuery += "&dryRun=false"
	r.Header.Set("Idempotency-Key", "once-and-once")
	s.ask(r)
	if cmd := s.fake.got.(app.ImportFile); cmd.DryRun || cmd.IdempotencyKey != "once-and-once" {
		t.Errorf("%+v", cmd)
	}
}

type keptKey struct{}

// What a use case is given stays what it was: a database driver may look at a context a moment longer than the request lasts, and the
// router uses its own again for other requests.
func TestContextOfAUseCase(t *testing.T) {
	t.Parallel()
	s := setup(t)
	r := good(operation(t, "getRegion"))
	if w := s.ask(r.WithContext(context.WithValue(r.Context(), keptKey{}, "mine"))); w.Code != http.StatusOK {
		t.Fatal(w.Code)
	}
	kept := s.fake.ctx
	if _, ok := kept.Deadline(); !ok {
		t.Error("no deadline")
	}
	if !errors.Is(kept.Err(), context.Canceled) {
		t.Errorf("when the request has ended: %v", kept.Err())
	}
	for range 50 {
		s.ask(good(operation(t, "getMe")))
		if kept.Value(keptKey{}) != "mine" {
			t.Fatal("it has become the context of another request")
		}
	}
}

// The views of one player by role: a coach sees the age group and not the birth date, an officer a pseudonym.
func TestPlayerIsCutToWhatTheViewShows(t *testing.T) {
	t.Parallel()
	full := domain.Player{ID: playerID, Name: "Mia", Born: domain.MustDate("2014-02-03"), Reference: "R-17", Sex: domain.Female, Arm: domain.ArmLeft, Kind: domain.WristSpin, Since: today, Version: 3}
	for name, x := range map[string]struct {
		view        app.PlayerView
		born, ref   string
		mustNotHave []string
	}{
		"lead":     {app.PlayerView{Player: full, Named: true, ShowBorn: true, ShowReference: true, AgeGroup: "U13"}, `"born":"2014-02-03"`, `"reference":"R-17"`, nil},
		"guardian": {app.PlayerView{Player: full, Named: true, ShowBorn: true, AgeGroup: "U13"}, `"born":"2014-02-03"`, `"reference":null`, []string{"R-17"}},
		"coach":    {app.PlayerView{Player: full, Named: true, AgeGroup: "U13"}, `"born":null`, `"reference":null`, []string{"2014", "R-17"}},
	} {
		s := setup(t)
		s.fake.player = &x.view
		for _, id := range []string{"getPlayer", "listPlayers", "putPlayer"} {
			body := s.ask(good(operation(t, id))).Body.String()
			if !strings.Contains(body, x.born) || !strings.Contains(body, x.ref) || !strings.Contains(body, `"ageGroup":"U13"`) {
				t.Errorf("%s, %s: %s", name, id, body)
			}
			for _, no := range x.mustNotHave {
				if strings.Contains(body, no) {
					t.Errorf("%s, %s shows %q: %s", name, id, no, body)
				}
			}
		}
	}
}

// The outing of a fact is named only where the caller may read it.
func TestFactOfAnotherClubNamesNoOuting(t *testing.T) {
	t.Parallel()
	s := setup(t)
	body := s.ask(good(operation(t, "getNotice"))).Body.String()
	if strings.Count(body, string(outingID)) != 1 || !strings.Contains(body, `"outingId":null`) {
		t.Errorf("%s", body)
	}
}

func TestWrongMethodAndUnknownAddress(t *testing.T) {
	t.Parallel()
	s := setup(t)
	for _, o := range operations(t) {
		for _, method := range []string{"GET", "PUT", "POST", "DELETE", "PATCH", "HEAD", "OPTIONS", "TRACE", "CONNECT", "PROPFIND"} {
			if _, ok := find(t, method, o.Path); ok {
				continue
			}
			r := good(o)
			r.Method = method
			w := httptest.NewRecorder()
			r.Header.Set("Authorization", "Bearer "+s.token())
			s.server.Handler().ServeHTTP(w, r)
			if w.Code != http.StatusMethodNotAllowed || w.Header().Get("Allow") == "" || w.Header().Get("Access-Control-Allow-Origin") != "" {
				t.Errorf("%s %s: %d, Allow %q", method, o.Path, w.Code, w.Header().Get("Allow"))
			}
			problemOf(t, w)
		}
	}
	for _, path := range []string{"/api/v1/nothing", "/api/v2/me", "/api/", "/api/v1/me/", "/api/v1//me", "/api/v1/regions/" + string(regionID) + "/clubs/../../../me", "/metrics", "/debug/pprof/x.html"} {
		w := s.ask(httptest.NewRequest("GET", path, nil))
		if path == "/metrics" { // an address of the web app like any other: figures are not reached from outside
			if strings.Contains(w.Body.String(), "longspell_http") {
				t.Errorf("%s is served", path)
			}
			continue
		}
		if w.Code != http.StatusNotFound {
			t.Errorf("%s: %d", path, w.Code)
			continue
		}
		problemOf(t, w)
	}
}

func find(t *testing.T, method, path string) (*contract.Operation, bool) {
	t.Helper()
	for _, o := range operations(t) {
		if o.Method == method && o.Path == path {
			return o, true
		}
	}
	return nil, false
}

func TestTimeStandsStillForNobody(t *testing.T) {
	t.Parallel()
	s := setup(t)
	r := good(operation(t, "getMe"))
	r.Header.Set("Authorization", "Bearer "+s.token())
	s.clock.Advance(10*time.Minute - time.Second)
	if w := s.raw(r); w.Code != http.StatusOK {
		t.Errorf("a second before the token ends: %d", w.Code)
	}
	s.clock.Advance(time.Second)
	if w := s.raw(r); problemOf(t, w).Code != "token_expired" {
		t.Errorf("when it ends: %s", w.Body)
	}
}

// The place where a page ended may be a child's name; nobody who carries the token can read it, and only the token that was given out
// leads on.
func TestPageTokensAreSealed(t *testing.T) {
	t.Parallel()
	s := setup(t)
	var answer struct{ NextPageToken string }
	first := s.ask(httptest.NewRequest("GET", "/api/v1/regions/"+string(regionID)+"/audit", nil))
	if err := json.Unmarshal(first.Body.Bytes(), &answer); err != nil {
		t.Fatal(err)
	}
	token := answer.NextPageToken
	for _, form := range []*base64.Encoding{base64.RawURLEncoding, base64.URLEncoding} {
		_, sealed, _ := strings.Cut(token, ".")
		if plain, err := form.DecodeString(sealed); token == "" || err == nil && strings.Contains(string(plain), "further") {
			t.Errorf("the token %q can be read", token)
		}
	}
	second := s.ask(httptest.NewRequest("GET", "/api/v1/regions/"+string(regionID)+"/audit?pageSize=9&pageToken="+url.QueryEscape(token), nil))
	if d := cmp.Diff(domain.Page{Size: 9, After: "further"}, s.fake.got); d != "" || second.Code != http.StatusOK {
		t.Errorf("%d %s", second.Code, d)
	}
	for _, bad := range []string{"", "further", token[:len(token)-1], token + "x", strings.ToLower(token)} {
		w := s.ask(httptest.NewRequest("GET", "/api/v1/regions/"+string(regionID)+"/audit?pageToken="+url.QueryEscape(bad), nil))
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%q: %d", bad, w.Code)
		}
	}
}
