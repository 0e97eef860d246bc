package contract

import (
	"cmp"
	"errors"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"

	"longspell/internal/domain"
)

// mostFaults is how many places of one request are named; more help nobody.
const mostFaults = 50

// faults gathers what is wrong with a request from the validator's nested errors.
type faults struct {
	list []domain.FieldError
}

func (f *faults) add(err error) error {
	if err == nil {
		return nil
	}
	if many, ok := err.(openapi3.MultiError); ok {
		for _, e := range many {
			if err := f.add(e); err != nil {
				return err
			}
		}
		return nil
	}
	var request *openapi3filter.RequestError
	if !errors.As(err, &request) {
		return err
	}
	base := ""
	if p := request.Parameter; p != nil {
		base = "/" + p.In + "/" + p.Name
	}
	return f.schema(base, request.Err, request.Reason)
}

// schema walks the errors of one parameter or body.
func (f *faults) schema(base string, err error, reason string) error {
	var parse *openapi3filter.ParseError
	var one *openapi3.SchemaError
	if err == nil {
		f.put(base, reason)
		return nil
	}
	if many, ok := err.(openapi3.MultiError); ok {
		for _, e := range many {
			if err := f.schema(base, e, reason); err != nil {
				return err
			}
		}
		return nil
	}
	switch {
	case errors.As(err, &one):
		var inner openapi3.MultiError
		if errors.As(one.Origin, &inner) { // what did not fit one schema of several
			return f.schema(base, inner, reason)
		}
		f.put(base+pointer(one)+strange(one), one.Reason)
	case errors.As(err, &parse):
		f.put(base, cmp.Or(parse.Reason, "cannot be read"))
	case errors.Is(err, openapi3filter.ErrInvalidRequired):
		f.put(base, "needed, and missing")
	case errors.Is(err, openapi3filter.ErrInvalidEmptyValue):
		f.put(base, "may not be empty")
	default:
		return err // reading the body failed
	}
	return nil
}

func pointer(e *openapi3.SchemaError) string {
	var b strings.Builder
	for _, name := range e.JSONPointer() {
		b.WriteString("/" + step(name))
	}
	return b.String()
}

// unsupported is how the validator says that an object has a field which its schema does not know; its pointer names the object.
var unsupported = regexp.MustCompile(`^property (".*") is unsupported$`)

func strange(e *openapi3.SchemaError) string {
	m := unsupported.FindStringSubmatch(e.Reason)
	if m == nil {
		return ""
	}
	name, err := strconv.Unquote(m[1])
	if err != nil {
		return ""
	}
	return "/" + step(name)
}

// step writes a name as one step of a JSON pointer (RFC 6901).
func step(name string) string {
	return strings.NewReplacer("~", "~0", "/", "~1").Replace(shortened(name))
}

func (f *faults) put(pointer, detail string) {
	f.list = append(f.list, domain.FieldError{Pointer: pointer, Detail: shortened(detail)})
}

func (f *faults) sorted() []domain.FieldError {
	slices.SortFunc(f.list, func(a, b domain.FieldError) int {
		return cmp.Or(strings.Compare(a.Pointer, b.Pointer), strings.Compare(a.Detail, b.Detail))
	})
	f.list = slices.Compact(f.list)
	if len(f.list) > mostFaults {
		f.list = f.list[:mostFaults]
	}
	return f.list
}

// shortened cuts what came from outside to a length that can be shown.
func shortened(s string) string {
	const most = 200
	if len(s) <= most {
		return strings.ToValidUTF8(s, "�")
	}
	return strings.ToValidUTF8(s[:most], "") + "…"
}
