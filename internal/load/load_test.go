package load

import (
	"encoding/json"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"longspell/internal/domain"
)

// What is counted, and over which days, is our own reading: the directives count overs, load counts balls (wides and no-balls
// included), and the windows end on the day asked for.

func day(s string) domain.Date { return domain.MustDate(s) }

func overs(date string, in *domain.Innings, numbers ...int) []Over {
	var out []Over
	for _, n := range numbers {
		in.Add(n, domain.EndUnknown, 0)
		out = append(out, Over{Date: day(date), Match: "m1", Innings: 1, Over: n, Balls: 7, Valid: 6, In: in})
	}
	return out
}

func TestLoadAsJSON(t *testing.T) {
	t.Parallel()
	log := PlayerLog{Player: "p7", Overs: overs("2026-05-09", domain.NewInnings(), 1, 3, 9)}
	log.Outings = []Outing{{Date: day("2026-05-09"), Balls: 24}, {Date: day("2026-05-10"), Balls: 13, Overs: 3}}
	raw, err := json.Marshal(Of(log, day("2026-05-10")))
	if err != nil {
		t.Fatal(err)
	}
	want := `{"player":"p7","last":"2026-05-10","days_since":0,"day":{"balls":13,"valid":13,"overs":3},` +
		`"days_7":{"balls":58,"valid":55,"overs":6,"days":2},"days_28":{"balls":58,"valid":55,"overs":6,"days":2},"usual_week_balls":null,` +
		`"by_day":[{"date":"2026-05-09","balls":45,"valid":42,"overs":3},{"date":"2026-05-10","balls":13,"valid":13,"overs":3}],` +
		`"spells":[{"match":"m1","innings":1,"first_over":1,"last_over":3,"overs":2,"balls":14,"valid":12},` +
		`{"match":"m1","innings":1,"first_over":9,"last_over":9,"overs":1,"balls":7,"valid":6}]}`
	if d := cmp.Diff(want, string(raw)); d != "" {
		t.Error(d)
	}
}

func TestNothingBowled(t *testing.T) {
	t.Parallel()
	raw, err := json.Marshal(Of(PlayerLog{Player: "p7", First: day("2026-01-01")}, day("2026-05-10")))
	if err != nil {
		t.Fatal(err)
	}
	want := `{"player":"p7","last":null,"days_since":null,"day":{"balls":0,"valid":0,"overs":0},"days_7":{"balls":0,"valid":0,"overs":0,"days":0},` +
		`"days_28":{"balls":0,"valid":0,"overs":0,"days":0},"usual_week_balls":0,"by_day":[],"spells":[]}`
	if d := cmp.Diff(want, string(raw)); d != "" {
		t.Error(d)
	}
}

func TestWindows(t *testing.T) {
	t.Parallel()
	asOf := day("2026-06-30")
	log := PlayerLog{Player: "p7"}
	for _, ago := range []int{60, 35, 34, 28, 27, 7, 6, 1} {
		log.Outings = append(log.Outings, Outing{Date: asOf.AddDays(-ago), Balls: 10 + ago, Overs: 1})
	}
	got := Of(log, asOf)
	if got.Days7 != (Window{Count{Balls: 27, Valid: 27, Overs: 2}, 2}) {
		t.Errorf("7 days: %+v, want those of 6 and 1 days ago", got.Days7)
	}
	if got.Days28 != (Window{Count{Balls: 81, Valid: 81, Overs: 4}, 4}) {
		t.Errorf("28 days: %+v, want those of 27 to 1 days ago", got.Days28)
	}
	if got.Day != (Count{}) || *got.DaysSince != 1 {
		t.Errorf("day %+v, %d days since", got.Day, *got.DaysSince)
	}
	// The 28 days before the last 7: 34, 28, 27 and 7 days ago.
	if want := float64(44+38+37+17) / 4; got.UsualWeekBalls == nil || *got.UsualWeekBalls != want {
		t.Errorf("usual week %v, want %v", got.UsualWeekBalls, want)
	}
}

func TestUsualWeekNeedsFiveWeeks(t *testing.T) {
	t.Parallel()
	asOf := day("2026-06-30")
	log := PlayerLog{Player: "p7", Outings: []Outing{{Date: asOf.AddDays(-10), Balls: 8}}}
	for ago, known := range map[int]bool{20: false, 34: false, 35: true, 100: true} {
		log.First = asOf.AddDays(-ago) // perhaps an outing called off
		if got := Of(log, asOf).UsualWeekBalls; (got != nil) != known || (known && *got != 2) {
			t.Errorf("first seen %d days ago: usual week %v", ago, got)
		}
	}
	log.First = domain.Date{}
	if got := Of(log, asOf).UsualWeekBalls; got != nil {
		t.Errorf("ten days of history: usual week %v", *got)
	}
}

func TestLaterRowsAreLeftOut(t *testing.T) {
	t.Parallel()
	in := domain.NewInnings()
	log := PlayerLog{Player: "p7", Overs: append(overs("2026-05-09", in, 1, 3), overs("2026-05-10", in, 5, 7)...)}
	log.Outings = []Outing{{Date: day("2026-05-11"), Balls: 30}}
	got := Of(log, day("2026-05-09"))
	if len(got.ByDay) != 1 || len(got.Spells) != 1 || got.Days7.Balls != 14 {
		t.Errorf("%+v", got)
	}
	got = Of(log, day("2026-05-10"))
	if len(got.Spells) != 2 || got.Spells[1].FirstOver != 5 {
		t.Errorf("a new date begins a new spell: %+v", got.Spells)
	}
}

// TestBreakOfFortyMinutesBeginsASpell: 40 minutes or more, scheduled or not (Bassetlaw and District Cricket League, Handbook
// 2012, crickethistory.website/league/bdcl/bdcl_handbook_2012/54, printing the England directives).
func TestBreakOfFortyMinutesBeginsASpell(t *testing.T) {
	t.Parallel()
	for minutes, want := range map[int]int{0: 1, 39: 1, 40: 2} {
		in := domain.NewInnings()
		log := PlayerLog{Player: "p7", Overs: overs("2026-05-09", in, 1, 3, 5)}
		in.Add(4, domain.EndUnknown, minutes)
		if got := Of(log, day("2026-05-09")).Spells; len(got) != want {
			t.Errorf("%d minutes: %d spells, want %d", minutes, len(got), want)
		}
	}
}

func TestSumsAgree(t *testing.T) {
	t.Parallel()
	asOf := day("2026-06-30")
	rapid.Check(t, func(t *rapid.T) {
		log := PlayerLog{Player: "p"}
		in, over := domain.NewInnings(), 0
		for range rapid.IntRange(0, 20).Draw(t, "overs") {
			over += rapid.IntRange(1, 5).Draw(t, "gap")
			in.Add(over, domain.EndUnknown, rapid.SampledFrom([]int{0, 0, 0, 40}).Draw(t, "break"))
			balls := rapid.IntRange(1, 9).Draw(t, "balls")
			log.Overs = append(log.Overs, Over{Date: asOf, Match: "m", Innings: 1, Over: over, Balls: balls, Valid: min(balls, 6), In: in})
		}
		for range rapid.IntRange(0, 20).Draw(t, "outings") {
			log.Outings = append(log.Outings, Outing{Date: asOf.AddDays(-rapid.IntRange(0, 50).Draw(t, "ago")), Balls: rapid.IntRange(1, 90).Draw(t, "balls")})
		}
		slices.SortFunc(log.Outings, func(a, b Outing) int { return a.Date.Compare(b.Date) })
		before := Of(log, asOf)
		var sum, spells Count
		for _, d := range before.ByDay {
			sum.add(d.Count)
		}
		for _, s := range before.Spells {
			spells.add(Count{s.Balls, s.Valid, s.Overs})
		}
		if spells.Overs != len(log.Overs) || sum.Overs != len(log.Overs) || before.Days28.Balls < before.Days7.Balls || before.Days7.Balls < before.Day.Balls {
			t.Fatalf("%+v", before)
		}
		if len(log.Overs) == 0 {
			return
		}
		log.Overs[rapid.IntRange(0, len(log.Overs)-1).Draw(t, "which")].Balls++
		if after := Of(log, asOf); after.Day.Balls != before.Day.Balls+1 || after.Days28.Balls != before.Days28.Balls+1 {
			t.Fatal("one more ball is not one ball more of load")
		}
	})
}
