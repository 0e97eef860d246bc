package contract

import (
	"bytes"
	"fmt"
	"io"
	"net/http"

	"github.com/getkin/kin-openapi/openapi3filter"
)

// CheckResponse holds an answer against the operation of its request: a status that the contract does not have, a field too many or
// too few, null where a list belongs. It is for tests and rehearsals; the service itself does not pay for it.
func (o *Operation) CheckResponse(r *http.Request, params map[string]string, status int, header http.Header, body []byte) error {
	opt := options()
	input := &openapi3filter.RequestValidationInput{Request: r, PathParams: params, QueryParams: r.URL.Query(), Route: o.route, Options: opt}
	err := openapi3filter.ValidateResponse(r.Context(), &openapi3filter.ResponseValidationInput{
		RequestValidationInput: input, Status: status, Header: header, Body: io.NopCloser(bytes.NewReader(body)), Options: opt,
	})
	if err != nil {
		return fmt.Errorf("%s answered %d: %w", o.ID, status, err)
	}
	return nil
}
