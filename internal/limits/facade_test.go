package limits

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"longspell/internal/domain"
)

func TestJSONOfAResult(t *testing.T) {
	t.Parallel()
	b := bowler(t, "U15").overs("F1 F3 F5 F7 F9 F11 F13")
	for i := range b.log.Overs[5:] {
		b.log.Overs[5+i].Balls = 7
	}
	res := b.under("ecb-2010")
	raw, err := json.Marshal(map[string]any{"findings": res.Findings, "spells": res.Spells, "days": res.Days, "left": []Left{res.Left}})
	if err != nil {
		t.Fatal(err)
	}
	want := `{"days":[{"player":"p7","date":"2026-05-09","overs":7,"fast_overs":7,"balls":44,"spells":1,"longest_spell":7}],` +
		`"findings":[{"player":"p7","date":"2026-05-09","match":"m1","innings":1,"over":13,"limit":"spell_overs","weight":"limit",` +
		`"allowed":6,"actual":7,"earliest":null,"age_group":"U15","source":"S5",` +
		`"says":"Over 13 was over number 7 of the spell; at most 6 are allowed in one spell in U15 (Fast Bowling Directives, England and Wales Cricket Board, 2010)."}],` +
		`"left":[{"player":"p7","date":"2026-05-09","spell_overs":0,"day_overs":5,"days_in_7":3,"run_of_days":1}],` +
		`"spells":[{"player":"p7","match":"m1","innings":1,"first_over":1,"last_over":13,"overs":7,"fast_overs":7,"balls":44,` +
		`"earliest_same_end":29,"earliest_other_end":28}]}`
	if d := cmp.Diff(want, string(raw)); d != "" {
		t.Error(d)
	}
}

func TestOrderOfFindings(t *testing.T) {
	t.Parallel()
	b := bowler(t, "U11").playing("m2", 1).format(40, 1).overs("F1 F3 F5 F7 F11").playing("b", 1).format(0, 0).overs("F2").
		on("2026-05-10").playing("m3", 1).overs("F1").outing("a", domain.OutingSchool, fast, 30, -1)
	b.log.Born = domain.MustDate("2014-03-01") // U12
	wantFindings(t, b.under("ca-2019"), "bowler_cap 3 2/1; bowler_cap 5 3/1; bowler_cap 7 4/1; bowler_cap 11 5/1; rest_overs 11 11 earliest 16 guidance; "+
		"run_of_days 2/1 guidance 05-10")
}

func TestNext(t *testing.T) {
	t.Parallel()
	s, _ := Lookup("ecb-2010")
	b := bowler(t, "U13").overs("F1 F3 F5 F7 F9")
	next := func(over int, kind domain.BowlingKind) Over {
		return Over{Date: b.date, Match: "m1", Innings: 1, Over: over, Kind: kind, Balls: 6, Valid: 6, In: b.inningsOf()}
	}
	cases := []struct {
		over Over
		want string
	}{
		{next(11, fast), "spell_overs 11 6/5"},
		{next(11, spin), ""},
		{next(13, fast), "rest_overs 13 13 earliest 20"},
		{next(13, spin), "rest_overs 13 13 earliest 20 guidance"},
		{next(20, fast), ""},
	}
	for _, c := range cases {
		if got := shorts(s.Next(b.log, Options{}, c.over)); got != c.want {
			t.Errorf("over %d, %v: %q, want %q", c.over.Over, c.over.Kind, got, c.want)
		}
	}
	// What was broken before is not said again.
	b.overs("F11")
	if got := shorts(s.Next(b.log, Options{}, next(13, fast))); got != "spell_overs 13 7/5" {
		t.Errorf("after a breach: %q", got)
	}
	if n := len(b.log.Overs); n != 6 {
		t.Errorf("the log has %d overs after asking, want 6", n)
	}
}

func TestKeys(t *testing.T) {
	t.Parallel()
	b := bowler(t, "U13").format(40, 5).playing("m|1", 1).overs("F1 F3 F5 F7 F9 F11")
	var keys []string
	for _, set := range []string{"ecb-2010", "ca-2019"} {
		for _, f := range b.under(set).Findings {
			keys = append(keys, f.Key())
		}
	}
	want := []string{
		`format|bowler_cap|p7|2026-05-09|m\|1|1|11`, `ecb-2010|spell_overs|p7|2026-05-09|m\|1|1|11`,
		`ca-2019|spell_overs|p7|2026-05-09|m\|1|1|9`, `format|bowler_cap|p7|2026-05-09|m\|1|1|11`,
		`ca-2019|spell_overs|p7|2026-05-09|m\|1|1|11`,
	}
	if d := cmp.Diff(want, keys); d != "" {
		t.Error(d)
	}
}

func TestWhatFindingsSay(t *testing.T) {
	t.Parallel()
	forbidden := []string{"safe to bowl", "injury risk", "diagnosis", "cleared", "fit to play", "will prevent", "treatment"}
	b := bowler(t, "U13").format(40, 5).outing("n1", domain.OutingNets, fast, 31, -1).outing("n2", domain.OutingNets, fast, 6, -1).
		outing("n3", domain.OutingNets, fast, 6, -1).overs("F1 F3 F5 F7 F9 F11 S15 F17 F19 F21 F23").
		on("2026-05-10").outing("s1", domain.OutingSchool, fast, 6, -1).on("2026-05-11").outing("s2", domain.OutingSchool, fast, 6, -1).
		on("2026-05-12").outing("s3", domain.OutingSchool, fast, 6, -1).on("2026-05-13").outing("s4", domain.OutingSchool, fast, 6, -1)
	met := map[string]bool{}
	for _, set := range []string{"ecb-2010", "ca-2019"} {
		s, _ := Lookup(set)
		for _, f := range b.under(set).Findings {
			met[f.Limit] = true
			if f.Limit != BowlerCap && (!strings.Contains(f.Says, s.Publisher) || !strings.Contains(f.Says, s.Title)) {
				t.Errorf("%s: %q does not name whose limit it is", f.Limit, f.Says)
			}
			if strings.Count(f.Says, ". ") > 0 || !strings.HasSuffix(f.Says, ".") || f.Source == "" {
				t.Errorf("%s: %q (source %q) is not one sentence with a source", f.Limit, f.Says, f.Source)
			}
			for _, w := range forbidden {
				if strings.Contains(strings.ToLower(f.Says), w) {
					t.Errorf("%q says %q", f.Says, w)
				}
			}
		}
	}
	for _, limit := range []string{SpellOvers, RestOvers, DayOvers, DaysIn7, RunOfDays, NetBalls, NetPerWeek, BowlerCap} {
		if !met[limit] {
			t.Errorf("no finding of %s was looked at", limit)
		}
	}
	if !slices.IsSorted(limitNames[:]) {
		t.Error("the limits are not numbered in the order of their names")
	}
}
