package domain

import (
	"errors"
	"fmt"
	"time"
)

// ErrorKind sorts every failure that a caller may be told about. httpapi maps a kind to a status; nothing else does.
type ErrorKind int

// The kinds, closed.
const (
	KindInternal        ErrorKind = iota // a fault of ours; its text never leaves the log
	KindInvalid                          // the request itself is wrong: fields say where
	KindUnauthenticated                  // nobody, or nobody any more
	KindForbidden                        // known, but not allowed
	KindNotFound                         // missing, foreign and deleted alike
	KindConflict                         // somebody else was first: version, key, taken
	KindRuleBroken                       // well formed, yet against a rule of the domain
	KindTooMany                          // slow down
	KindUnavailable                      // try again shortly
)

// FieldError names one field of a request by JSON pointer.
type FieldError struct {
	Pointer string // for example /overs/3/balls
	Detail  string // what is wrong and what to do
}

// Error is the one error type that crosses package borders on purpose. Code is a stable word of the contract; Message
// is written for the user and safe to show; Err is the cause, for the log only.
type Error struct {
	Kind    ErrorKind
	Code    string
	Message string
	Fields  []FieldError
	Err     error

	RetryAfter time.Duration // for KindTooMany and KindUnavailable; 0 = not said
}

// Error is the log's face; it may name the cause.
func (e *Error) Error() string {
	if e.Err != nil {
		return fmt.Sprintf("%s: %s: %v", e.Code, e.Message, e.Err)
	}
	return e.Code + ": " + e.Message
}

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Err }

// ErrorKindOf returns the kind of err; anything that is not an *Error is KindInternal.
func ErrorKindOf(err error) ErrorKind {
	var e *Error
	if errors.As(err, &e) {
		return e.Kind
	}
	return KindInternal
}

// ErrorCodeOf returns the stable code, "" where err carries none.
func ErrorCodeOf(err error) string {
	var e *Error
	if errors.As(err, &e) {
		return e.Code
	}
	return ""
}

// Invalid says that fields of a request are wrong.
func Invalid(code, message string, fields ...FieldError) *Error {
	return &Error{Kind: KindInvalid, Code: code, Message: message, Fields: fields}
}

// NotFound is the one answer for missing, foreign and deleted things.
func NotFound() *Error {
	return &Error{Kind: KindNotFound, Code: "not_found", Message: "There is no such thing here, or it is not yours to see. Check the address, or ask the club lead."}
}

// Forbidden says that the caller is known but may not do this.
func Forbidden(message string) *Error {
	return &Error{Kind: KindForbidden, Code: "forbidden", Message: message}
}

// Unauthenticated asks the caller to sign in.
func Unauthenticated(code, message string) *Error {
	return &Error{Kind: KindUnauthenticated, Code: code, Message: message}
}

// Conflict says that the stored thing has moved on.
func Conflict(code, message string) *Error {
	return &Error{Kind: KindConflict, Code: code, Message: message}
}

// RuleBroken says that a well-formed request goes against a rule of the domain.
func RuleBroken(code, message string, fields ...FieldError) *Error {
	return &Error{Kind: KindRuleBroken, Code: code, Message: message, Fields: fields}
}
