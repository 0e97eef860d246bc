package overnight_test

import (
	"context"
	"errors"
	"log/slog"
	"testing"
	"testing/synctest"
	"time"

	"github.com/google/go-cmp/cmp"

	"longspell/internal/app"
	"longspell/internal/clock"
	"longspell/internal/domain"
	"longspell/internal/overnight"
)

func region(zone string) domain.Region {
	return domain.Region{ID: "00000000-0000-7000-8000-000000000001", Name: "Invented", TimeZone: zone}
}

func TestDueStartsWithYesterdayAndCatchesUp(t *testing.T) {
	t.Parallel()
	r := region("Europe/London")
	at := func(s string) time.Time {
		v, err := time.Parse(time.RFC3339, s)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	cases := []struct {
		name, now, last string
		want            []string
	}{
		{"new region", "2026-11-25T12:00:00Z", "", []string{"2026-11-24"}},
		{"done", "2026-11-25T12:00:00Z", "2026-11-24", nil},
		{"the small hours still belong to the day", "2026-11-25T02:59:00Z", "2026-11-23", nil},
		{"three o'clock", "2026-11-25T03:00:00Z", "2026-11-23", []string{"2026-11-24"}},
		{"down for three days", "2026-11-25T12:00:00Z", "2026-11-21", []string{"2026-11-22", "2026-11-23", "2026-11-24"}},
		{"spring forward", "2026-03-29T03:30:00Z", "2026-03-27", []string{"2026-03-28"}},
		{"fall back", "2026-10-25T03:30:00Z", "2026-10-23", []string{"2026-10-24"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			last := domain.Date{}
			if c.last != "" {
				last = domain.MustDate(c.last)
			}
			var got []string
			for _, d := range overnight.Due(at(c.now), r, last) {
				got = append(got, d.String())
			}
			if d := cmp.Diff(c.want, got); d != "" {
				t.Error(d)
			}
		})
	}
	if n := len(overnight.Due(at("2026-11-25T12:00:00Z"), r, domain.MustDate("2026-01-01"))); n != 31 {
		t.Errorf("after most of a year down: %d nights, want 31", n)
	}
}

// Every local date is due exactly once however the zone changes its clocks. Source of the changes: the IANA time zone database
// as shipped with Go. The zones are those in which timed jobs are known to be skipped or doubled, and the date line at Apia.
func TestEveryLocalDateOnceInEveryKindOfZone(t *testing.T) {
	t.Parallel()
	for _, zone := range []string{"Europe/London", "Australia/Melbourne", "Australia/Lord_Howe", "Africa/Cairo", "Asia/Kolkata", "Pacific/Auckland", "America/St_Johns"} {
		t.Run(zone, func(t *testing.T) {
			t.Parallel()
			r := region(zone)
			now := time.Date(2020, 1, 2, 12, 0, 0, 0, time.UTC)
			var last domain.Date
			count := 0
			for ; now.Year() < 2031; now = now.Add(20 * time.Minute) {
				for _, d := range overnight.Due(now, r, last) {
					if !last.IsZero() && d.Sub(last) != 1 {
						t.Fatalf("%s follows %s", d, last)
					}
					if !d.Before(domain.DateOf(now, r.Location())) {
						t.Fatalf("%s is not over at %s", d, now)
					}
					last = d
					count++
				}
			}
			if count < 4000 {
				t.Errorf("only %d nights in eleven years", count)
			}
		})
	}
}

// Apia went from 29 to 31 December 2011: 30 December never was, yet the ledger's dates go on day by day.
func TestDateLine(t *testing.T) {
	t.Parallel()
	r := region("Pacific/Apia")
	got := overnight.Due(time.Date(2012, 1, 1, 0, 0, 0, 0, time.UTC), r, domain.MustDate("2011-12-28"))
	var text []string
	for _, d := range got {
		text = append(text, d.String())
	}
	if d := cmp.Diff([]string{"2011-12-29", "2011-12-30", "2011-12-31"}, text); d != "" {
		t.Error(d)
	}
}

type ledger struct {
	last    map[domain.ID]domain.Date
	regions []domain.Region
	fail    domain.ID
	ran     []string
}

func (l *ledger) Night(_ context.Context, id domain.ID, d domain.Date, _ string, _ func(int)) (app.NightReport, error) {
	if id == l.fail {
		return app.NightReport{}, errors.New("broken")
	}
	l.last[id] = d
	l.ran = append(l.ran, string(id)+" "+d.String())
	return app.NightReport{}, nil
}
func (l *ledger) LastNight(_ context.Context, id domain.ID) (domain.Date, error) {
	return l.last[id], nil
}
func (l *ledger) Directory(context.Context) ([]domain.Region, error) { return l.regions, nil }

func TestOneRegionsFailureDoesNotStopTheOthers(t *testing.T) {
	t.Parallel()
	l := &ledger{last: map[domain.ID]domain.Date{}, fail: "a", regions: []domain.Region{{ID: "a", TimeZone: "UTC"}, {ID: "b", TimeZone: "UTC"}}}
	c := clock.NewFixed(time.Date(2026, 5, 10, 12, 0, 0, 0, time.UTC))
	overnight.New(l, c, "me", slog.New(slog.DiscardHandler)).Tick(t.Context())
	if d := cmp.Diff([]string{"b 2026-05-09"}, l.ran); d != "" {
		t.Error(d)
	}
}

func TestTicksInUTCAndStops(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := &ledger{last: map[domain.ID]domain.Date{}, regions: []domain.Region{{ID: "b", TimeZone: "Europe/London"}}}
		s := overnight.New(l, clock.System{}, "me", slog.New(slog.DiscardHandler))
		if err := s.Start(t.Context()); err != nil {
			t.Fatal(err)
		}
		time.Sleep(7 * 24 * time.Hour) // the bubble's own time: no real time passes
		s.Stop()
		if len(l.ran) != 8 {
			t.Errorf("ran %d nights in a week, want yesterday's and one for each of seven days: %v", len(l.ran), l.ran)
		}
	})
}
