package domain

import (
	"fmt"
	"time"
)

// Date is a civil day (no time, no zone). The zero value means "not known".
// Dates compare with ==, Before and Sub; they are stored and printed as YYYY-MM-DD.
type Date struct {
	n int32 // days since 0000-12-31, so that 0001-01-01 is 1 and the zero value is no date
}

// The years a Date may have. Anything outside is a typing slip, never a day at which a junior bowled.
const (
	MinYear = 1900
	MaxYear = 2199
)

// daysToUnixEpoch is the serial number of 1970-01-01 in Date's own count.
const daysToUnixEpoch = 719163

// NewDate returns the civil day, or an error if there is no such day or its year is outside MinYear..MaxYear.
func NewDate(year, month, day int) (Date, error) {
	if year < MinYear || year > MaxYear {
		return Date{}, fmt.Errorf("the year must be from %d to %d", MinYear, MaxYear)
	}
	if month < 1 || month > 12 || day < 1 || day > daysIn(year, month) {
		return Date{}, fmt.Errorf("there is no such day")
	}
	return Date{n: serial(year, month, day)}, nil
}

// MustDate is ParseDate for constants in tests and data; it panics on a bad date.
func MustDate(s string) Date {
	d, err := ParseDate(s)
	if err != nil {
		panic(fmt.Sprintf("domain.MustDate(%q): %v", s, err))
	}
	return d
}

// ParseDate reads exactly YYYY-MM-DD.
func ParseDate(s string) (Date, error) {
	if len(s) != 10 || s[4] != '-' || s[7] != '-' {
		return Date{}, fmt.Errorf("not a date of the form YYYY-MM-DD")
	}
	year, ok1 := digits(s[0:4])
	month, ok2 := digits(s[5:7])
	day, ok3 := digits(s[8:10])
	if !ok1 || !ok2 || !ok3 {
		return Date{}, fmt.Errorf("not a date of the form YYYY-MM-DD")
	}
	return NewDate(year, month, day)
}

// DateOf returns the civil day that t shows in zone.
func DateOf(t time.Time, zone *time.Location) Date {
	y, m, d := t.In(zone).Date()
	return Date{n: serial(y, int(m), d)}
}

// IsZero reports whether the day is not known.
func (d Date) IsZero() bool { return d.n == 0 }

// Before reports whether d is earlier than e.
func (d Date) Before(e Date) bool { return d.n < e.n }

// After reports whether d is later than e.
func (d Date) After(e Date) bool { return d.n > e.n }

// Compare returns -1, 0 or 1.
func (d Date) Compare(e Date) int {
	switch {
	case d.n < e.n:
		return -1
	case d.n > e.n:
		return 1
	}
	return 0
}

// AddDays returns the day n days later (earlier for a negative n).
func (d Date) AddDays(n int) Date { return Date{n: d.n + int32(n)} }

// Sub returns the number of days from e to d.
func (d Date) Sub(e Date) int { return int(d.n - e.n) }

// Serial is a whole number that grows by one a day; only differences mean anything.
func (d Date) Serial() int { return int(d.n) }

// YMD splits the date.
func (d Date) YMD() (year, month, day int) {
	t := time.Unix(int64(d.n-daysToUnixEpoch)*86400, 0).UTC()
	y, m, dd := t.Date()
	return y, int(m), dd
}

// Weekday returns the day of the week.
func (d Date) Weekday() time.Weekday {
	return time.Unix(int64(d.n-daysToUnixEpoch)*86400, 0).UTC().Weekday()
}

// String is YYYY-MM-DD, or "" for the zero value.
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	y, m, dd := d.YMD()
	return fmt.Sprintf("%04d-%02d-%02d", y, m, dd)
}

// MarshalText implements encoding.TextMarshaler.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler; empty text is the zero value.
func (d *Date) UnmarshalText(b []byte) error {
	if len(b) == 0 {
		*d = Date{}
		return nil
	}
	v, err := ParseDate(string(b))
	if err != nil {
		return err
	}
	*d = v
	return nil
}

// AgeOn returns the whole years of someone born on born at day on, the birthday included. Somebody born on
// 29 February has the birthday on 1 March in other years.
func AgeOn(born, on Date) int {
	by, bm, bd := born.YMD()
	y, m, d := on.YMD()
	age := y - by
	if m < bm || (m == bm && d < bd) {
		age--
	}
	return age
}

func serial(year, month, day int) int32 {
	return int32(time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC).Unix()/86400) + daysToUnixEpoch
}

func daysIn(year, month int) int {
	return time.Date(year, time.Month(month)+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

func digits(s string) (int, bool) {
	n := 0
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return 0, false
		}
		n = n*10 + int(s[i]-'0')
	}
	return n, true
}
