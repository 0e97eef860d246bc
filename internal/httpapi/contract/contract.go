// Package contract holds requests and answers against the contract (api/openapi.yaml). It finds the operation of a request without
// a router of its own: the service's router has found the route already, and knows it by its template.
package contract

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"

	"longspell/api"
	"longspell/internal/domain"
)

// Base is where the contract's paths begin.
const Base = "/api/v1"

// Media types of the contract.
const (
	JSON   = "application/json"
	Binary = "application/octet-stream"
)

// Contract is the contract, ready to be held against. It is not changed after Load.
type Contract struct {
	doc        *openapi3.T
	operations []*Operation
	byTemplate map[string]*Operation // method, space, template as the router writes it
}

// Operation is one thing that can be asked of the service.
type Operation struct {
	ID         string
	Method     string
	Path       string // as in the contract, with Base before it: /api/v1/regions/{regionId}
	Template   string // the same as the router writes it: /api/v1/regions/:regionId
	Permission string // x-permission; "" where the contract gives none
	Body       string // media type of the request's body; "" = none

	route  *routers.Route
	query  []string // names of the query parameters
	client bool     // asks for X-Longspell-Client
}

// Load reads the contract as it is written (the generated code carries one too, with other names for its operations) and finds all
// operations, in order of path and method. It is read once for the whole process.
func Load() (*Contract, error) { return read() }

var read = sync.OnceValues(func() (*Contract, error) {
	loader := openapi3.NewLoader()
	doc, err := loader.LoadFromData(api.OpenAPI)
	if err == nil {
		err = doc.Validate(loader.Context)
	}
	if err != nil {
		return nil, fmt.Errorf("contract: %w", err)
	}
	return load(doc)
})

func load(doc *openapi3.T) (*Contract, error) {
	c := &Contract{doc: doc, byTemplate: map[string]*Operation{}}
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			o, err := newOperation(&routers.Route{Spec: doc, Path: path, PathItem: item, Method: method, Operation: op})
			if err != nil {
				return nil, err
			}
			c.operations = append(c.operations, o)
			c.byTemplate[method+" "+o.Template] = o
		}
	}
	slices.SortFunc(c.operations, func(a, b *Operation) int { return strings.Compare(a.Path+" "+a.Method, b.Path+" "+b.Method) })
	return c, nil
}

func newOperation(r *routers.Route) (*Operation, error) {
	o := &Operation{ID: r.Operation.OperationID, Method: r.Method, Path: Base + r.Path, route: r}
	o.Template = strings.NewReplacer("{", ":", "}", "").Replace(o.Path)
	if p, ok := r.Operation.Extensions["x-permission"].(string); ok {
		o.Permission = p
	}
	if body := r.Operation.RequestBody; body != nil {
		for media := range body.Value.Content {
			if o.Body != "" {
				return nil, fmt.Errorf("contract: %s takes two media types", o.ID)
			}
			o.Body = media
		}
	}
	for _, p := range r.Operation.Parameters {
		switch p.Value.In {
		case openapi3.ParameterInQuery:
			o.query = append(o.query, p.Value.Name)
		case openapi3.ParameterInHeader:
			o.client = o.client || p.Value.Name == ClientHeader
		}
	}
	return o, nil
}

// ClientHeader is the header that a page of another origin cannot send.
const ClientHeader = "X-Longspell-Client"

// Operations lists every operation in order of path and method.
func (c *Contract) Operations() []*Operation { return slices.Clone(c.operations) }

// With gives a contract whose operations are changed; for tests that need a faulty one.
func (c *Contract) With(change func(o *Operation)) *Contract {
	out := &Contract{doc: c.doc, byTemplate: map[string]*Operation{}}
	for _, o := range c.operations {
		other := *o
		change(&other)
		out.operations = append(out.operations, &other)
		out.byTemplate[other.Method+" "+other.Template] = &other
	}
	return out
}

// ByTemplate finds the operation of a route by the router's own template.
func (c *Contract) ByTemplate(method, template string) (*Operation, bool) {
	o, ok := c.byTemplate[method+" "+template]
	return o, ok
}

// Match finds the operation of a path, with the values of its path parameters; for those who stand outside the router.
func (c *Contract) Match(method, path string) (*Operation, map[string]string, bool) {
	got := strings.Split(path, "/")
	for _, o := range c.operations {
		if o.Method != method {
			continue
		}
		if params, ok := fit(strings.Split(o.Path, "/"), got); ok {
			return o, params, true
		}
	}
	return nil, nil, false
}

func fit(template, got []string) (map[string]string, bool) {
	if len(template) != len(got) {
		return nil, false
	}
	params := map[string]string{}
	for i, t := range template {
		switch name, isParam := strings.CutPrefix(t, "{"); {
		case isParam && got[i] != "":
			params[strings.TrimSuffix(name, "}")] = got[i]
		case t != got[i]:
			return nil, false
		}
	}
	return params, true
}

// TakesCookie reports whether the operation rides on the refresh cookie, so that pages of other origins must be kept off.
func (o *Operation) TakesCookie() bool { return o.client }

// formats are the texts that the contract calls by name, as the domain reads them: what passes here can be converted.
var formats = openapi3.WithStringFormatValidators(map[string]openapi3.StringFormatValidator{
	"uuid": openapi3.NewCallbackValidator(func(s string) error {
		if _, ok := domain.ParseID(s); !ok {
			return fmt.Errorf("not an id of the form 00000000-0000-0000-0000-000000000000")
		}
		return nil
	}),
	"date": openapi3.NewCallbackValidator(func(s string) error {
		_, err := domain.ParseDate(s)
		return err
	}),
})

func options() *openapi3filter.Options {
	return &openapi3filter.Options{
		MultiError: true, IncludeResponseStatus: true, AuthenticationFunc: openapi3filter.NoopAuthenticationFunc,
		SchemaValidationOptions: []openapi3.SchemaValidationOption{formats},
	}
}

// CheckRequest holds a request against its operation and fills in the defaults of query parameters. params are the values of the
// path parameters. A body that is not JSON is left alone. The faults are sorted by place; nil means that there are none. The error
// is a fault of reading the body, not of the request.
func (o *Operation) CheckRequest(r *http.Request, params map[string]string) ([]domain.FieldError, error) {
	opt := options()
	opt.ExcludeRequestBody = o.Body != JSON
	err := openapi3filter.ValidateRequest(r.Context(), &openapi3filter.RequestValidationInput{
		Request: r, PathParams: params, QueryParams: r.URL.Query(), Route: o.route, Options: opt,
	})
	var found faults
	if err := found.add(err); err != nil {
		return nil, err
	}
	found.list = append(found.list, o.strangeQuery(r)...)
	return found.sorted(), nil
}

// strangeQuery refuses query parameters that the operation does not know, and those that are given twice.
func (o *Operation) strangeQuery(r *http.Request) []domain.FieldError {
	var out []domain.FieldError
	for name, values := range r.URL.Query() {
		switch {
		case !slices.Contains(o.query, name):
			out = append(out, domain.FieldError{Pointer: "/query/" + shortened(name), Detail: "there is no such parameter here"})
		case len(values) > 1:
			out = append(out, domain.FieldError{Pointer: "/query/" + name, Detail: "given more than once"})
		}
	}
	return out
}
