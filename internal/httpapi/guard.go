package httpapi

import (
	"bytes"
	"context"
	"errors"
	"io"
	"mime"
	"net/http"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/httpapi/contract"
	"longspell/internal/httpapi/strictjson"
)

// The largest bodies, in bytes.
const (
	largestBody   = 64 << 10
	largestOuting = 1 << 20 // a whole match over by over
	largestImport = 5 << 20
)

// How long a request may take in all.
const (
	requestTime = 30 * time.Second
	importTime  = 110 * time.Second
)

// Operations with bounds of their own; New refuses a contract that has lost one.
const (
	signInID     = "signIn"
	putOutingID  = "putOuting"
	importFileID = "importFile"
)

// largest is the largest body of an operation.
func largest(op *contract.Operation) int64 {
	switch op.ID {
	case putOutingID:
		return largestOuting
	case importFileID:
		return largestImport
	}
	return largestBody
}

// guards are the steps before an operation, in their order. A stranger learns nothing from the later ones: who asks is settled
// before what is asked is looked at.
func (s *Server) guards() []gin.HandlerFunc {
	return []gin.HandlerFunc{s.operation, s.limitSource, s.sameOrigin, s.authenticate, s.limitAccount, s.permit, s.readable, s.fitsContract, s.pages.open}
}

// operation finds the operation of the route and sets the bounds of its request.
func (s *Server) operation(c *gin.Context) {
	op, ok := s.contract.ByTemplate(c.Request.Method, c.FullPath())
	if !ok {
		panic("httpapi: a route outside the contract: " + c.Request.Method + " " + c.FullPath())
	}
	requestOf(c).op = op
	may := requestTime
	if op.ID == importFileID {
		may = importTime
	}
	ctx, cancel := context.WithTimeout(c.Request.Context(), may)
	defer cancel()
	c.Request = c.Request.WithContext(ctx)
	c.Request.Body = http.MaxBytesReader(c.Writer, c.Request.Body, largest(op))
	c.Next()
}

func (s *Server) limitSource(c *gin.Context) {
	now, from := s.clock.Now(), source(c)
	if err := s.bySource.take(c, from, now); err != nil {
		refuse(c, err)
		return
	}
	if requestOf(c).op.ID != signInID {
		return
	}
	if err := s.signIns.take(c, from, now); err != nil {
		refuse(c, err)
	}
}

// sameOrigin keeps pages of other origins from changing anything: browsers say where a request comes from. The operations that ride
// on the cookie ask for a header besides, which the contract demands and such a page cannot send.
func (s *Server) sameOrigin(c *gin.Context) {
	if err := s.origins.Check(c.Request); err != nil {
		refuse(c, &domain.Error{Kind: domain.KindForbidden, Code: "cross_origin", Message: "This request came from a page of another site.", Err: err})
	}
}

// authenticate settles who asks. The signature of the token is checked here; whether the sign-in still holds, by the use cases, on
// every request.
func (s *Server) authenticate(c *gin.Context) {
	r := requestOf(c)
	if access.Permission(r.op.Permission) == access.Public {
		return
	}
	token, ok := bearer(c.Request.Header.Values("Authorization"))
	if !ok {
		refuse(c, domain.Unauthenticated("token_missing", "This needs a sign-in. Sign in and try again."))
		return
	}
	account, login, err := s.verify(token)
	if err != nil {
		refuse(c, err)
		return
	}
	actor, err := s.useCases.Authenticate(c.Request.Context(), account, login)
	if err != nil {
		refuse(c, err)
		return
	}
	r.actor = actor
	c.Request = c.Request.WithContext(withActor(c.Request.Context(), actor))
}

// bearer takes the token out of exactly one Authorization header (RFC 6750, 2.1).
func bearer(headers []string) (string, bool) {
	if len(headers) != 1 {
		return "", false
	}
	scheme, token, ok := strings.Cut(headers[0], " ")
	return token, ok && strings.EqualFold(scheme, "Bearer") && token != ""
}

func (s *Server) limitAccount(c *gin.Context) {
	account := requestOf(c).actor.Account
	if account == "" {
		return
	}
	if err := s.byAccount.take(c, string(account), s.clock.Now()); err != nil {
		refuse(c, err)
	}
}

// permit refuses whoever holds no appointment in the region that carries the operation's permission. The use case makes the exact
// scope; this comes first so that a stranger cannot even learn what a request must look like.
func (s *Server) permit(c *gin.Context) {
	r := requestOf(c)
	p := access.Permission(r.op.Permission)
	if p == access.Public || p == access.Self {
		return
	}
	region, ok := domain.ParseID(c.Param("regionId"))
	if !ok {
		refuse(c, domain.NotFound())
		return
	}
	present := false
	for _, a := range r.actor.Appointments {
		if a.RegionID != region {
			continue
		}
		present = true
		if access.Carries(a.Role, p) {
			return
		}
	}
	if !present {
		refuse(c, domain.NotFound())
		return
	}
	refuse(c, domain.Forbidden("Your appointment here does not include this. Ask the club lead or the region officer."))
}

// readable refuses a body of another kind than the operation takes, and JSON that could be understood in two ways.
func (s *Server) readable(c *gin.Context) {
	op := requestOf(c).op
	if op.Body == "" {
		return
	}
	if !ofKind(c.Request.Header, op.Body) {
		refuse(c, &refusal{status: http.StatusUnsupportedMediaType, code: "media_type", detail: "Send the body as " + op.Body + ", not compressed."})
		return
	}
	if op.Body != contract.JSON {
		return
	}
	body, err := io.ReadAll(c.Request.Body)
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large), err != nil && c.Request.Context().Err() != nil:
		refuse(c, errors.Join(err, c.Request.Context().Err()))
		return
	case err != nil:
		refuse(c, &refusal{status: http.StatusBadRequest, code: "cut_off", detail: "The request ended before its body did. Send it again.", cause: err})
		return
	}
	if err := strictjson.Check(body); err != nil {
		refuse(c, malformed(err))
		return
	}
	c.Request.GetBody = func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(body)), nil }
	c.Request.Body, _ = c.Request.GetBody()
	c.Request.ContentLength = int64(len(body))
}

// ofKind reports whether the headers announce the media type, in UTF-8 where it is text, without a content coding.
func ofKind(h http.Header, media string) bool {
	got, params, err := mime.ParseMediaType(h.Get("Content-Type"))
	if err != nil || got != media {
		return false
	}
	charset, ok := params["charset"]
	coding := h.Get("Content-Encoding")
	return (!ok || strings.EqualFold(charset, "utf-8")) && (coding == "" || strings.EqualFold(coding, "identity"))
}

func malformed(err error) error {
	r := &refusal{status: http.StatusBadRequest, code: "malformed", detail: "This body cannot be read without doubt.", cause: err}
	var f *strictjson.Fault
	if errors.As(err, &f) {
		r.fields = []domain.FieldError{{Pointer: f.Pointer, Detail: f.Detail}}
	}
	return r
}

// fitsContract holds the request against the contract; what passes can be converted without a second look.
func (s *Server) fitsContract(c *gin.Context) {
	params := map[string]string{}
	for _, p := range c.Params {
		params[p.Key] = p.Value
	}
	faults, err := requestOf(c).op.CheckRequest(c.Request, params)
	switch {
	case err != nil:
		refuse(c, &refusal{status: http.StatusBadRequest, code: "malformed", detail: "This request cannot be read without doubt.", cause: err})
	case len(faults) > 0:
		refuse(c, domain.Invalid("invalid", "Something in this request is not as it must be; each place is named.", faults...))
	}
}
