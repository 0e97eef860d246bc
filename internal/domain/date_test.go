package domain

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// The civil calendar is checked against the standard library's own, day by day over two centuries.
func TestDateAgreesWithTheStandardLibrary(t *testing.T) {
	t.Parallel()
	for day := time.Date(MinYear, 1, 1, 0, 0, 0, 0, time.UTC); day.Year() <= MaxYear; day = day.AddDate(0, 0, 1) {
		text := day.Format(time.DateOnly)
		d, err := ParseDate(text)
		if err != nil || d.String() != text || d.Weekday() != day.Weekday() {
			t.Fatalf("%s: got %s %s, %v", text, d, d.Weekday(), err)
		}
		if next := d.AddDays(1); day.Year() < MaxYear && next.String() != day.AddDate(0, 0, 1).Format(time.DateOnly) {
			t.Fatalf("the day after %s: got %s", text, next)
		}
	}
}

func TestParseDateRefuses(t *testing.T) {
	t.Parallel()
	for _, s := range []string{"", "2026-5-9", "2026-02-29", "2026-13-01", "2026-00-10", "2026-04-31", "20260-05-09", "1899-12-31",
		"2200-01-01", "2026/05/09", "2026-05-09 ", "२०२६-०५-०९", "2026-05-0x", "+026-05-09"} {
		if d, err := ParseDate(s); err == nil {
			t.Errorf("%q was read as %s", s, d)
		}
	}
}

func TestAgeOn(t *testing.T) {
	t.Parallel()
	cases := []struct {
		born, on string
		want     int
	}{
		{"2012-08-31", "2025-08-31", 13},
		{"2012-09-01", "2025-08-31", 12},
		{"2012-02-29", "2025-02-28", 12},
		{"2012-02-29", "2025-03-01", 13},
		{"2012-02-29", "2024-02-29", 12},
		{"2012-05-09", "2012-05-09", 0},
	}
	for _, c := range cases {
		if got := AgeOn(MustDate(c.born), MustDate(c.on)); got != c.want {
			t.Errorf("born %s, on %s: %d, want %d", c.born, c.on, got, c.want)
		}
	}
}

func TestDateOfIsTheZonesOwnDay(t *testing.T) {
	t.Parallel()
	auckland, err := time.LoadLocation("Pacific/Auckland")
	if err != nil {
		t.Fatal(err)
	}
	at := time.Date(2026, 5, 9, 20, 0, 0, 0, time.UTC)
	if got := DateOf(at, auckland); got != MustDate("2026-05-10") {
		t.Errorf("got %s", got)
	}
}

func TestDateTextRoundTrip(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := MustDate("1900-01-01").AddDays(rapid.IntRange(0, 100_000).Draw(t, "days"))
		var back Date
		text, _ := d.MarshalText()
		if err := back.UnmarshalText(text); err != nil || back != d {
			t.Fatalf("%s came back as %s, %v", d, back, err)
		}
	})
}

// UUIDv7 is RFC 9562, section 5.7: 48 bits of Unix milliseconds, version 7, variant 10. The value is the RFC's own example
// (appendix A.6): 2022-02-22 19:22:22 UTC is 017F22E2-79B0-7CC3-98C4-DC0C0C07398F.
func TestNewIDIsVersion7(t *testing.T) {
	t.Parallel()
	b := [16]byte{0, 0, 0, 0, 0, 0, 0x0C, 0xC3, 0x18, 0xC4, 0xDC, 0x0C, 0x0C, 0x07, 0x39, 0x8F}
	got := idFrom(time.Date(2022, 2, 22, 19, 22, 22, 0, time.UTC), b)
	if want := "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"; string(got) != want {
		t.Errorf("got %s, want %s", got, want)
	}
	seen := map[ID]bool{}
	for range 10_000 {
		id := NewID(time.Unix(0, 0))
		if p, ok := ParseID(string(id)); !ok || p != id || seen[id] {
			t.Fatalf("bad or repeated id %s", id)
		}
		seen[id] = true
	}
}

func TestParseID(t *testing.T) {
	t.Parallel()
	if id, ok := ParseID("017F22E2-79B0-7CC3-98C4-DC0C0C07398F"); !ok || id != "017f22e2-79b0-7cc3-98c4-dc0c0c07398f" {
		t.Errorf("got %s, %v", id, ok)
	}
	for _, s := range []string{"", "017f22e279b07cc398c4dc0c0c07398f", "017f22e2-79b0-7cc3-98c4-dc0c0c07398g", "{017f22e2-79b0-7cc3-98c4-dc0c0c07398f}",
		"017f22e2-79b0-7cc3-98c4-dc0c0c07398f" + strings.Repeat(" ", 3)} {
		if _, ok := ParseID(s); ok {
			t.Errorf("%q was taken for an id", s)
		}
	}
}
