package api_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"longspell/api"
)

func load(t *testing.T) *openapi3.T {
	t.Helper()
	l := openapi3.NewLoader()
	doc, err := l.LoadFromData(api.OpenAPI)
	if err != nil {
		t.Fatal(err)
	}
	if err := doc.Validate(l.Context); err != nil {
		t.Fatal(err)
	}
	return doc
}

// each calls fn for every operation of the contract.
func each(t *testing.T, fn func(doc *openapi3.T, path, method string, op *openapi3.Operation)) {
	t.Helper()
	doc := load(t)
	n := 0
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			n++
			fn(doc, path, method, op)
		}
	}
	if n < 36 {
		t.Fatalf("%d operations: the contract was not read", n)
	}
}

var camel = regexp.MustCompile(`^[a-z][A-Za-z0-9]*$`)

func TestOperationsFollowTheConventions(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	each(t, func(doc *openapi3.T, path, method string, op *openapi3.Operation) {
		id := op.OperationID
		if !camel.MatchString(id) || seen[id] {
			t.Errorf("%s %s: the name %q is not in camel case, or stands twice", method, path, id)
		}
		seen[id] = true
		if len(op.Tags) != 1 || doc.Tags.Get(op.Tags[0]) == nil || op.Summary == "" {
			t.Errorf("%s: tags %v, summary %q", id, op.Tags, op.Summary)
		}
		if p, ok := op.Extensions["x-permission"].(string); !ok || p == "" {
			t.Errorf("%s has no x-permission", id)
		}
		if d := op.Responses.Default(); d == nil || d.Ref != "#/components/responses/Problem" {
			t.Errorf("%s: its failures are no problems", id)
		}
		if n := len(op.Responses.Map()); n != 2 {
			t.Errorf("%s: %d answers, want one that is good and the problem", id, n)
		}
		open := op.Security != nil && len(*op.Security) == 0
		if open != (op.Extensions["x-permission"] == "public") {
			t.Errorf("%s: security and x-permission disagree", id)
		}
	})
}

func TestPathsFollowTheConventions(t *testing.T) {
	t.Parallel()
	at := map[string]string{} // what stands before a parameter, to its name
	for path := range load(t).Paths.Map() {
		if strings.Contains(path, ":") || strings.HasSuffix(path, "/") || strings.ToLower(strings.NewReplacer("Id}", "}", "Kind}", "}").Replace(path)) != strings.NewReplacer("Id}", "}", "Kind}", "}").Replace(path) {
			t.Errorf("%s has a verb, a slash at its end or capital letters", path)
		}
		before := ""
		for step := range strings.SplitSeq(path, "/") {
			if strings.HasPrefix(step, "{") {
				if had := at[before]; had != "" && had != step {
					t.Errorf("%s: the place after %s is called %s elsewhere", path, before, had)
				}
				at[before] = step
			}
			before += "/" + step
		}
	}
}

func TestBodiesAreNamedAndClosed(t *testing.T) {
	t.Parallel()
	each(t, func(_ *openapi3.T, _, method string, op *openapi3.Operation) {
		if op.RequestBody != nil {
			for media, m := range op.RequestBody.Value.Content {
				if media != "application/json" {
					continue
				}
				if m.Schema.Ref == "" {
					t.Errorf("%s: its body has no name", op.OperationID)
				}
				closed(t, op.OperationID, m.Schema, map[string]bool{})
			}
		}
		for status, r := range op.Responses.Map() {
			if m := r.Value.Content.Get("application/json"); status != "default" && m != nil {
				if m.Schema.Ref == "" {
					t.Errorf("%s: its answer has no name", op.OperationID)
				}
				closed(t, op.OperationID, m.Schema, map[string]bool{})
			}
		}
	})
}

// closed refuses objects that would take fields nobody described, and lists or texts of a request without an end.
func closed(t *testing.T, where string, s *openapi3.SchemaRef, seen map[string]bool) {
	t.Helper()
	if s == nil || seen[s.Ref] && s.Ref != "" {
		return
	}
	seen[s.Ref] = true
	v := s.Value
	if v.Type.Is("object") && (v.AdditionalProperties.Has == nil || *v.AdditionalProperties.Has) && v.AdditionalProperties.Schema == nil {
		t.Errorf("%s: %s takes fields that nobody described", where, s.Ref)
	}
	for name, p := range v.Properties {
		closed(t, where+"."+name, p, seen)
	}
	closed(t, where, v.Items, seen)
	for _, a := range v.AllOf {
		closed(t, where, a, seen)
	}
}

// What comes from a phone has an end: texts and lists of a request are bounded, numbers too.
func TestRequestsAreBounded(t *testing.T) {
	t.Parallel()
	each(t, func(_ *openapi3.T, _, _ string, op *openapi3.Operation) {
		if op.RequestBody == nil {
			return
		}
		if m := op.RequestBody.Value.Content.Get("application/json"); m != nil {
			bounded(t, op.OperationID, m.Schema)
		}
	})
}

func bounded(t *testing.T, where string, s *openapi3.SchemaRef) {
	t.Helper()
	v := s.Value
	switch {
	case v.Type.Is("string") && len(v.Enum) == 0 && v.Format == "" && v.MaxLength == nil:
		t.Errorf("%s: a text without an end", where)
	case v.Type.Is("array") && v.MaxItems == nil:
		t.Errorf("%s: a list without an end", where)
	case v.Type.Is("integer") && v.Min == nil:
		t.Errorf("%s: a number without a least value", where)
	}
	for name, p := range v.Properties {
		bounded(t, where+"."+name, p)
	}
	if v.Items != nil {
		bounded(t, where+"[]", v.Items)
	}
	for _, a := range v.AllOf {
		bounded(t, where, a)
	}
}

// A list that can grow is paged from the first version on; an edit carries the version that it changes.
func TestPagesAndVersions(t *testing.T) {
	t.Parallel()
	each(t, func(_ *openapi3.T, _, method string, op *openapi3.Operation) {
		m := op.Responses.Value("200")
		if m != nil && m.Value.Content.Get("application/json") != nil && strings.HasSuffix(m.Value.Content.Get("application/json").Schema.Ref, "Page") {
			for _, name := range []string{"pageSize", "pageToken"} {
				if op.Parameters.GetByInAndName("query", name) == nil {
					t.Errorf("%s answers with a page and has no %s", op.OperationID, name)
				}
			}
		}
		if method != "PUT" || op.OperationID == "putSquadPlayer" { // which names what it sets by its address and days alone
			return
		}
		body := op.RequestBody.Value.Content.Get("application/json").Schema.Value
		if body.Properties["version"] == nil || !slices.Contains(body.Required, "version") {
			t.Errorf("%s does not ask for the version that it changes", op.OperationID)
		}
	})
}

func TestContractPromisesNothingItMustNot(t *testing.T) {
	t.Parallel()
	text := strings.ToLower(string(api.OpenAPI))
	for _, no := range []string{"safe to bowl", "injury risk", "diagnosis", "cleared", "fit to play", "will prevent", "treatment"} {
		if strings.Contains(text, no) {
			t.Errorf("the contract says %q", no)
		}
	}
}
