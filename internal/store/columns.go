package store

import (
	"database/sql/driver"
	"encoding/json"
	"fmt"
	"time"

	"longspell/internal/domain"
)

// The column types below are texts, so that rows compare with == and both databases are given the same thing.

// uid is an id that may be missing: "" is NULL.
type uid string

// Value gives the driver text or NULL.
func (u uid) Value() (driver.Value, error) { return textOrNull(string(u)), nil }

// Scan reads what a driver gives.
func (u *uid) Scan(src any) error { return scanText((*string)(u), src) }

// day is a civil date as YYYY-MM-DD; "" is NULL.
type day string

const dayForm = "2006-01-02"

func dayOf(d domain.Date) day { return day(d.String()) }

// date converts what the database holds; it wrote it, so a day that is none is a fault of ours and becomes "not known".
func (d day) date() domain.Date {
	v, err := domain.ParseDate(string(d))
	if err != nil {
		return domain.Date{}
	}
	return v
}

// Value gives the driver text or NULL.
func (d day) Value() (driver.Value, error) { return textOrNull(string(d)), nil }

// Scan reads text (SQLite) or a time at midnight UTC (PostgreSQL).
func (d *day) Scan(src any) error {
	if t, ok := src.(time.Time); ok {
		*d = day(t.Format(dayForm))
		return nil
	}
	return scanText((*string)(d), src)
}

// instant is a moment in UTC, whole microseconds, of fixed width so that text sorts as time does; "" is NULL.
type instant string

const instantForm = "2006-01-02T15:04:05.000000Z"

func instantOf(t time.Time) instant {
	if t.IsZero() {
		return ""
	}
	return instant(t.UTC().Format(instantForm))
}

func (i instant) time() time.Time {
	if i == "" {
		return time.Time{}
	}
	t, err := time.Parse(instantForm, string(i))
	if err != nil {
		return time.Time{}
	}
	return t.UTC()
}

// Value gives the driver text or NULL.
func (i instant) Value() (driver.Value, error) { return textOrNull(string(i)), nil }

// Scan reads text (SQLite) or a time (PostgreSQL).
func (i *instant) Scan(src any) error {
	if t, ok := src.(time.Time); ok {
		*i = instantOf(t)
		return nil
	}
	return scanText((*string)(i), src)
}

// words is a map of texts as JSON with sorted keys; "" is NULL and no map, "{}" an empty one.
type words string

func wordsOf(m map[string]string) words {
	if m == nil {
		return ""
	}
	b, err := json.Marshal(m)
	if err != nil { // cannot happen for a map of strings
		panic("store: " + err.Error())
	}
	return words(b)
}

func (w words) wordMap() map[string]string {
	if w == "" {
		return nil
	}
	m := map[string]string{}
	if err := json.Unmarshal([]byte(w), &m); err != nil {
		return nil
	}
	return m
}

// Value gives the driver text or NULL.
func (w words) Value() (driver.Value, error) { return textOrNull(string(w)), nil }

// Scan reads what a driver gives.
func (w *words) Scan(src any) error { return scanText((*string)(w), src) }

func textOrNull(s string) driver.Value {
	if s == "" {
		return nil
	}
	return s
}

func scanText(dst *string, src any) error {
	switch v := src.(type) {
	case nil:
		*dst = ""
	case string:
		*dst = v
	case []byte:
		*dst = string(v)
	default:
		return fmt.Errorf("store: cannot read a %T as text", src)
	}
	return nil
}
