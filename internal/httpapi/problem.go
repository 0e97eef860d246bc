package httpapi

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"net/http"
	"strconv"
	"time"

	"github.com/gin-gonic/gin"

	"longspell/internal/domain"
	"longspell/internal/httpapi/apigen"
)

// refusal is a failure of HTTP itself, before any use case: no route, a body too large, an unknown media type.
type refusal struct {
	status int
	code   string
	detail string
	fields []domain.FieldError
	cause  error
}

func (r *refusal) Error() string {
	if r.cause != nil {
		return r.code + ": " + r.cause.Error()
	}
	return r.code
}

func (r *refusal) Unwrap() error { return r.cause }

// statusClientGone is written into the log alone: nobody is there to be answered.
const statusClientGone = 499

// titles are the short names of statuses; one for each status that a problem may have.
var titles = map[int]string{
	http.StatusBadRequest:            "Not readable",
	http.StatusUnauthorized:          "Not signed in",
	http.StatusForbidden:             "Not allowed",
	http.StatusNotFound:              "Not found",
	http.StatusMethodNotAllowed:      "Not done here",
	http.StatusConflict:              "Changed in the meantime",
	http.StatusRequestEntityTooLarge: "Too large",
	http.StatusUnsupportedMediaType:  "Unknown kind of content",
	http.StatusUnprocessableEntity:   "Not accepted",
	http.StatusTooManyRequests:       "Too many requests",
	http.StatusInternalServerError:   "Our fault",
	http.StatusServiceUnavailable:    "Busy",
}

// statusOf is the one place where a kind of error becomes a status.
var statusOf = map[domain.ErrorKind]int{
	domain.KindInvalid:         http.StatusUnprocessableEntity,
	domain.KindUnauthenticated: http.StatusUnauthorized,
	domain.KindForbidden:       http.StatusForbidden,
	domain.KindNotFound:        http.StatusNotFound,
	domain.KindConflict:        http.StatusConflict,
	domain.KindRuleBroken:      http.StatusUnprocessableEntity,
	domain.KindTooMany:         http.StatusTooManyRequests,
	domain.KindUnavailable:     http.StatusServiceUnavailable,
}

// told is an error as the caller is told it.
type told struct {
	status int
	code   string
	detail string
	fields []domain.FieldError
	after  time.Duration // Retry-After; 0 = not said
}

// tell decides what a caller is told about an error. Whatever is not meant for callers becomes the same bare fault.
func tell(err error) told {
	var known *domain.Error
	var http4 *refusal
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return told{status: http.StatusRequestEntityTooLarge, code: "too_large",
			detail: fmt.Sprintf("This request is larger than %d bytes, which is the most that is taken here. Split it.", large.Limit)}
	case errors.As(err, &http4):
		return told{status: http4.status, code: http4.code, detail: http4.detail, fields: http4.fields}
	case errors.As(err, &known) && known.Kind != domain.KindInternal:
		return told{status: statusOf[known.Kind], code: known.Code, detail: known.Message, fields: known.Fields, after: known.RetryAfter}
	case errors.Is(err, context.Canceled):
		return told{status: statusClientGone, code: "client_gone"}
	case errors.Is(err, context.DeadlineExceeded):
		return told{status: http.StatusServiceUnavailable, code: "timed_out", after: 5 * time.Second,
			detail: "This took longer than it may. Nothing was changed. Try again in a few seconds."}
	}
	return told{status: http.StatusInternalServerError, code: "internal",
		detail: "Something went wrong on our side. Try again; if it stays, tell whoever runs this service the request id."}
}

// refuse answers with a problem document (RFC 9457, "Problem Details for HTTP APIs", IETF, July 2023) and ends the request. The
// cause goes to the log.
func refuse(c *gin.Context, err error) {
	t := tell(err)
	if errors.Is(err, context.Canceled) && c.Request.Context().Err() == nil {
		t = tell(errors.New("cancelled by ourselves")) // the client is still there
	}
	r := requestOf(c)
	r.code, r.cause = t.code, err
	c.Abort()
	if t.status == statusClientGone {
		r.status = statusClientGone
		return
	}
	if c.Writer.Written() {
		return // too late for a problem; the log has it
	}
	if r.dropCookie {
		http.SetCookie(c.Writer, noCookie())
	}
	c.Header("Content-Type", "application/problem+json")
	if t.after > 0 {
		c.Header("Retry-After", strconv.Itoa(int(math.Ceil(t.after.Seconds()))))
	}
	if t.status == http.StatusUnauthorized {
		c.Header("WWW-Authenticate", challenge(c))
	}
	c.Status(t.status)
	body, err := json.Marshal(problem(t, r.id))
	if err == nil {
		_, err = c.Writer.Write(body)
	}
	if err != nil {
		r.cause = errors.Join(r.cause, err)
	}
}

func problem(t told, requestID string) apigen.Problem {
	return apigen.Problem{
		Type: "urn:longspell:problem:" + t.code, Title: titles[t.status], Status: t.status, Detail: t.detail,
		Instance: "urn:uuid:" + requestID, Code: t.code, RequestID: requestID,
		Errors: each(t.fields, func(f domain.FieldError) apigen.ProblemField {
			return apigen.ProblemField{Pointer: f.Pointer, Detail: f.Detail}
		}),
	}
}

// challenge is what RFC 6750 asks of a 401: how to sign in, and whether it was the token's fault.
func challenge(c *gin.Context) string {
	if c.GetHeader("Authorization") != "" {
		return `Bearer realm="longspell", error="invalid_token"`
	}
	return `Bearer realm="longspell"`
}
