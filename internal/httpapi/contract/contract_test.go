package contract_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"longspell/internal/domain"
	"longspell/internal/httpapi/contract"
)

const (
	id    = "0198f0c0-1111-7000-8000-000000000001"
	place = contract.Base + "/regions/" + id
)

func load(t *testing.T) *contract.Contract {
	t.Helper()
	c, err := contract.Load()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// check holds a request against its operation.
func check(t *testing.T, c *contract.Contract, r *http.Request) []domain.FieldError {
	t.Helper()
	o, params, ok := c.Match(r.Method, r.URL.Path)
	if !ok {
		t.Fatalf("no operation for %s %s", r.Method, r.URL.Path)
	}
	got, err := o.CheckRequest(r, params)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func put(path, body string) *http.Request {
	r := httptest.NewRequest(http.MethodPut, path, strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	return r
}

const goodOver = `{"date":"2026-05-09","innings":1,"over":3,"end":"A","playerId":"` + id + `","kind":"wrist_spin","balls":8,"valid":6,"breakMin":0,"version":0}`

func TestCheckRequest(t *testing.T) {
	t.Parallel()
	c := load(t)
	over := place + "/outings/" + id + "/overs/" + id
	with := func(from, to string) *http.Request { return put(over, strings.Replace(goodOver, from, to, 1)) }
	for name, x := range map[string]struct {
		r    *http.Request
		want []string // pointers
	}{
		"good":                 {put(over, goodOver), nil},
		"null where allowed":   {with(`"wrist_spin"`, "null"), nil},
		"left out":             {with(`"end":"A",`, ""), nil},
		"id in capitals":       {with(id, strings.ToUpper(id)), nil},
		"nothing":              {put(over, "{}"), []string{"/balls", "/breakMin", "/date", "/innings", "/over", "/playerId", "/valid", "/version"}},
		"no body":              {put(over, ""), []string{""}},
		"unknown field":        {with(`"version"`, `"region/Id":"x","version"`), []string{"/region~1Id"}},
		"field in capitals":    {with(`"balls"`, `"Balls"`), []string{"/Balls", "/balls"}},
		"unknown kind":         {with("wrist_spin", "leg_spin"), []string{"/kind"}},
		"too many balls":       {with(`"balls":8`, `"balls":41`), []string{"/balls"}},
		"over nought":          {with(`"over":3`, `"over":0`), []string{"/over"}},
		"text for a number":    {with(`"balls":8`, `"balls":"8"`), []string{"/balls"}},
		"fraction":             {with(`"balls":8`, `"balls":8.5`), []string{"/balls"}},
		"no such day":          {with("2026-05-09", "2026-02-30"), []string{"/date"}},
		"far year":             {with("2026-05-09", "9999-01-01"), []string{"/date"}},
		"short date":           {with("2026-05-09", "2026-5-9"), []string{"/date"}},
		"id without dashes":    {with(id, strings.ReplaceAll(id, "-", "")), []string{"/playerId"}},
		"id in braces":         {with(id, "{"+id+"}"), []string{"/playerId"}},
		"null where needed":    {with(`"balls":8`, `"balls":null`), []string{"/balls"}},
		"list for an object":   {put(over, "[]"), []string{""}},
		"two faults":           {put(over, strings.NewReplacer(`"balls":8`, `"balls":0`, `"valid":6`, `"valid":-1`).Replace(goodOver)), []string{"/balls", "/valid"}},
		"id in the path":       {put(strings.Replace(over, id, "1", 1), goodOver), []string{"/path/regionId"}},
		"page size":            {httptest.NewRequest("GET", place+"/clubs?pageSize=101", nil), []string{"/query/pageSize"}},
		"page size in words":   {httptest.NewRequest("GET", place+"/clubs?pageSize=ten", nil), []string{"/query/pageSize"}},
		"page size twice":      {httptest.NewRequest("GET", place+"/clubs?pageSize=1&pageSize=2", nil), []string{"/query/pageSize"}},
		"unknown parameter":    {httptest.NewRequest("GET", place+"/clubs?sort=name", nil), []string{"/query/sort"}},
		"date in the query":    {httptest.NewRequest("GET", place+"/notices?on=tomorrow", nil), []string{"/query/on"}},
		"id in the query":      {httptest.NewRequest("GET", place+"/notices?clubId=1", nil), []string{"/query/clubId"}},
		"unknown import kind":  {httptest.NewRequest("POST", place+"/clubs/"+id+"/imports/scores?fileName=x", nil), []string{"/path/importKind"}},
		"no file name":         {httptest.NewRequest("POST", place+"/clubs/"+id+"/imports/overs", nil), []string{"/query/fileName"}},
		"no client header":     {httptest.NewRequest("POST", contract.Base+"/sign-in/refresh", nil), []string{"/header/X-Longspell-Client"}},
		"nothing of a version": {httptest.NewRequest("DELETE", over, nil), []string{"/query/version"}},
		"deep in a list": {put(place+"/outings/"+id, `{"clubId":"`+id+`","kind":"match","state":"held","date":"2026-05-09","title":"","version":0,
			"attendance":[{"playerId":"`+id+`","present":"yes"},{"playerId":"`+id+`","present":"maybe"}],"format":{"oversASide":0,"bowlerCap":null,"ballsInOver":"six_valid"}}`),
			[]string{"/attendance/1/present", "/format/oversASide"}},
	} {
		var got []string
		for _, f := range check(t, c, x.r) {
			got = append(got, f.Pointer)
			if f.Detail == "" {
				t.Errorf("%s: nothing is said about %q", name, f.Pointer)
			}
		}
		if d := cmp.Diff(x.want, got); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

func TestDefaultsAreFilledIn(t *testing.T) {
	t.Parallel()
	r := httptest.NewRequest("GET", place+"/notices", nil)
	if got := check(t, load(t), r); got != nil {
		t.Fatal(got)
	}
	if q := r.URL.Query(); q.Get("pageSize") != "50" || q.Get("state") != "waiting" {
		t.Errorf("query %v", q)
	}
}

func TestMatchAndTemplatesAgree(t *testing.T) {
	t.Parallel()
	c := load(t)
	if n := len(c.Operations()); n < 36 {
		t.Fatalf("%d operations: the contract was not read", n)
	}
	for _, o := range c.Operations() {
		path := strings.NewReplacer("{importKind}", "overs").Replace(o.Path)
		for strings.Contains(path, "{") {
			a, b := strings.Index(path, "{"), strings.Index(path, "}")
			path = path[:a] + id + path[b+1:]
		}
		got, params, ok := c.Match(o.Method, path)
		if !ok || got != o {
			t.Errorf("%s %s is found as %v", o.Method, path, got)
		}
		if len(params) != strings.Count(o.Path, "{") {
			t.Errorf("%s: parameters %v", o.Path, params)
		}
		if same, ok := c.ByTemplate(o.Method, o.Template); !ok || same != o {
			t.Errorf("%s is not found by %s", o.ID, o.Template)
		}
	}
	for _, path := range []string{"/", contract.Base, place + "/", place + "/clubs/", place + "/nothing", "/regions/" + id} {
		if o, _, ok := c.Match("GET", path); ok {
			t.Errorf("%s is taken for %s", path, o.ID)
		}
	}
}

func TestCheckResponse(t *testing.T) {
	t.Parallel()
	c := load(t)
	r := httptest.NewRequest("GET", place+"/clubs", nil)
	o, params, _ := c.Match(r.Method, r.URL.Path)
	const problem = `{"type":"about:blank","title":"x","status":404,"detail":"x","instance":"x","code":"x","requestId":"x","errors":[]}`
	for name, x := range map[string]struct {
		status int
		media  string
		body   string
		good   bool
	}{
		"good":              {200, "application/json", `{"items":[{"id":"` + id + `","name":"A","shortName":"A","version":1}],"nextPageToken":null}`, true},
		"problem":           {404, "application/problem+json", problem, true},
		"list that is null": {200, "application/json", `{"items":null,"nextPageToken":null}`, false},
		"field too many":    {200, "application/json", `{"items":[],"nextPageToken":null,"total":0}`, false},
		"field too few":     {200, "application/json", `{"items":[]}`, false},
		"no id":             {200, "application/json", `{"items":[{"id":"1","name":"A","shortName":"A","version":1}],"nextPageToken":null}`, false},
		"other media type":  {200, "text/html", `<p>`, false},
		"problem as JSON":   {404, "application/json", problem, false},
		"half a problem":    {404, "application/problem+json", `{"code":"x"}`, false},
	} {
		h := http.Header{"Content-Type": {x.media}}
		if err := o.CheckResponse(r, params, x.status, h, []byte(x.body)); (err == nil) != x.good {
			t.Errorf("%s: %v", name, err)
		}
	}
}
