// Package apicheck wraps a server in a test so that every exchange is held against the contract: a route that the contract does not
// have, a status, a field or a null list that it does not allow, an error that is not a problem, and a header that is missing.
package apicheck

import (
	"bytes"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"

	"longspell/internal/httpapi/contract"
)

// Wrap gives a handler that passes requests on to h and reports to t whatever the contract does not allow. Requests outside the
// contract's paths (the web app, health) are passed on unchecked.
func Wrap(t testing.TB, h http.Handler) http.Handler {
	t.Helper()
	c, err := contract.Load()
	if err != nil {
		t.Fatal(err)
	}
	return &checked{t: t, next: h, contract: c}
}

type checked struct {
	t        testing.TB
	next     http.Handler
	contract *contract.Contract

	mu   sync.Mutex
	seen map[string]bool
}

// ServeHTTP implements http.Handler.
func (k *checked) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	var body []byte
	if r.Body != nil {
		var err error
		if body, err = io.ReadAll(r.Body); err != nil {
			k.t.Errorf("%s %s: reading the request: %v", r.Method, r.URL.Path, err)
		}
	}
	inner := r.Clone(r.Context())
	inner.Body = io.NopCloser(bytes.NewReader(body))
	rec := httptest.NewRecorder()
	k.next.ServeHTTP(rec, inner)
	k.check(r, rec)
	for name, values := range rec.Header() {
		w.Header()[name] = values
	}
	w.WriteHeader(rec.Code)
	_, _ = w.Write(rec.Body.Bytes())
}

func (k *checked) check(r *http.Request, rec *httptest.ResponseRecorder) {
	if !strings.HasPrefix(r.URL.Path, contract.Base+"/") {
		return
	}
	o, params, ok := k.contract.Match(r.Method, r.URL.Path)
	if !ok {
		if rec.Code < 400 {
			k.t.Errorf("%s %s answered %d, and the contract has no such operation", r.Method, r.URL.Path, rec.Code)
		}
		return
	}
	k.mu.Lock()
	if k.seen == nil {
		k.seen = map[string]bool{}
	}
	k.seen[o.ID] = true
	k.mu.Unlock()
	if err := o.CheckResponse(r, params, rec.Code, rec.Header(), rec.Body.Bytes()); err != nil {
		k.t.Errorf("%s %s: %v\n%.500s", r.Method, r.URL.Path, err, rec.Body.Bytes())
	}
	if rec.Header().Get("X-Request-Id") == "" {
		k.t.Errorf("%s %s answered %d without X-Request-Id", r.Method, r.URL.Path, rec.Code)
	}
}

// Missed lists the operations of the contract that no request has asked for yet; h must come from Wrap.
func Missed(h http.Handler) []string {
	k := h.(*checked)
	k.mu.Lock()
	defer k.mu.Unlock()
	var out []string
	for _, o := range k.contract.Operations() {
		if !k.seen[o.ID] {
			out = append(out, o.ID)
		}
	}
	return out
}
