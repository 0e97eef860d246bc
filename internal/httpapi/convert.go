package httpapi

import (
	"time"

	"github.com/google/uuid"
	"github.com/oapi-codegen/nullable"
	openapi_types "github.com/oapi-codegen/runtime/types"

	"longspell/internal/app"
	"longspell/internal/domain"
	"longspell/internal/httpapi/apigen"
)

// The converters between the contract's types and the domain's. An absent value is null outside and the zero value inside.

func toID(u openapi_types.UUID) domain.ID { return domain.ID(u.String()) }

// fromID converts an id that the store gave out; one that is no UUID is a fault of ours and shows as the nil UUID.
func fromID(id domain.ID) openapi_types.UUID {
	u, err := uuid.Parse(string(id))
	if err != nil {
		return uuid.Nil
	}
	return u
}

func toOptionalID(u *openapi_types.UUID) domain.ID {
	if u == nil {
		return ""
	}
	return toID(*u)
}

func toNullableID(n nullable.Nullable[openapi_types.UUID]) domain.ID {
	if v, err := n.Get(); err == nil {
		return toID(v)
	}
	return ""
}

func fromNullableID(id domain.ID) nullable.Nullable[openapi_types.UUID] {
	if id == "" {
		return nullable.NewNullNullable[openapi_types.UUID]()
	}
	return nullable.NewNullableWithValue(fromID(id))
}

// toDate gives the zero date for a day that the domain does not take; the validation of the contract runs before.
func toDate(d openapi_types.Date) domain.Date {
	v, err := domain.NewDate(d.Year(), int(d.Month()), d.Day())
	if err != nil {
		return domain.Date{}
	}
	return v
}

func toOptionalDate(d *openapi_types.Date) domain.Date {
	if d == nil {
		return domain.Date{}
	}
	return toDate(*d)
}

func toNullableDate(n nullable.Nullable[openapi_types.Date]) domain.Date {
	if v, err := n.Get(); err == nil {
		return toDate(v)
	}
	return domain.Date{}
}

func fromDate(d domain.Date) openapi_types.Date {
	y, m, day := d.YMD()
	return openapi_types.Date{Time: time.Date(y, time.Month(m), day, 0, 0, 0, 0, time.UTC)}
}

func fromNullableDate(d domain.Date) nullable.Nullable[openapi_types.Date] {
	if d.IsZero() {
		return nullable.NewNullNullable[openapi_types.Date]()
	}
	return nullable.NewNullableWithValue(fromDate(d))
}

func fromNullableTime(t time.Time) nullable.Nullable[time.Time] { return orNull(t, !t.IsZero()) }

// orNull is v, or null where there is none.
func orNull[T any](v T, there bool) nullable.Nullable[T] {
	if !there {
		return nullable.NewNullNullable[T]()
	}
	return nullable.NewNullableWithValue(v)
}

// text is a string of some kind, null where it is blank.
func text[T ~string, S ~string](s S) nullable.Nullable[T] { return orNull(T(s), s != "") }

// number is *n, or null.
func number(n *int) nullable.Nullable[int] {
	if n == nil {
		return nullable.NewNullNullable[int]()
	}
	return nullable.NewNullableWithValue(*n)
}

// value is n's value, or the given one where it is absent or null.
func value[T any](n nullable.Nullable[T], otherwise T) T {
	if v, err := n.Get(); err == nil {
		return v
	}
	return otherwise
}

// given is *p, or the zero value.
func given[T any](p *T) T {
	if p == nil {
		var zero T
		return zero
	}
	return *p
}

// each converts a list; it is never null.
func each[A, B any](list []A, convert func(A) B) []B {
	out := make([]B, len(list))
	for i, v := range list {
		out[i] = convert(v)
	}
	return out
}

func toKind(n nullable.Nullable[apigen.BowlingKind]) domain.BowlingKind {
	k, _ := domain.ParseBowlingKind(string(value(n, "")))
	return k
}

func fromKind(k domain.BowlingKind) nullable.Nullable[apigen.BowlingKind] {
	return text[apigen.BowlingKind](k.String())
}

func toEnd(s apigen.End) domain.End {
	e, _ := domain.ParseEnd(string(s))
	return e
}

// page is the part of a list that a caller asks for.
func page(size *apigen.PageSize, token *apigen.PageToken) domain.Page {
	p := domain.Page{Size: 50, After: given(token)}
	if size != nil {
		p.Size = *size
	}
	return p
}

func call(ctx actorContext, region openapi_types.UUID) app.Call {
	return app.Call{Actor: actorFrom(ctx), Region: toID(region)}
}
