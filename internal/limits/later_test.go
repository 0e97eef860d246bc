package limits

import (
	"strings"
	"testing"
)

// The layout of the data must take sets with other rules than the two that are here. These two are made up from ecb-2010 for that
// alone; their rules are those that guidance in New Zealand (Wairarapa Cricket, Limitation of overs for pace bowlers,
// wairarapacricket.co.nz/rules-documents-library/limitation-of-overs-for-pace-bowlers/: not in one-day matches, an hour begins a
// new spell) and of one Australian district (DVCA, Rule S16 over limits for young bowlers, 6 September 2017,
// www.dvca.org.au/single-post/2017/09/06/2017-18-rule-change-s16-over-limits-for-young-bowlers: every bowler, no rest) ask for.

func changed(t *testing.T, pairs ...string) *Set {
	t.Helper()
	raw, err := files.ReadFile("data/ecb-2010.json")
	if err != nil {
		t.Fatal(err)
	}
	text := string(raw)
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(text, pairs[i]) {
			t.Fatalf("%q is not in the data", pairs[i])
		}
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	s, err := parseSet([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func dayOfPlay(t *testing.T) *Set {
	t.Helper()
	return changed(t, `"of": "year_before", "month": 8, "day": 31`, `"of": "day", "month": 0, "day": 0`)
}

func TestSetThatDoesNotJudgeOneDayMatches(t *testing.T) {
	t.Parallel()
	s := changed(t, `"judges_one_day": true`, `"judges_one_day": false`, `"new_spell_after_min": 40`, `"new_spell_after_min": 60`,
		`"day_counts": "all_from_first_fast"`, `"day_counts": "fast_overs"`)
	res := bowler(t, "U13").format(40, 6).overs("F1 F3 F5 F7 F9 F11 F15").judgedBy(s)
	wantFindings(t, res, "bowler_cap 15 7/6")
	if l := res.Left; *l.SpellOvers != 5 || *l.DayOvers != 10 || *l.DaysIn7 != 4 || res.Spells[0].EarliestSameEnd != nil {
		t.Errorf("left %+v, spells %+v: the match counts in no limit", l, res.Spells)
	}
	wantFindings(t, bowler(t, "U13").overs("F1 F3 F5+50 F7 F9 F11").judgedBy(s), "spell_overs 11 6/5")
	wantFindings(t, bowler(t, "U13").overs("F1 F3 F5+60 F7 F9 F11").judgedBy(s), "")
}

func TestSetForEveryBowlerWithoutRest(t *testing.T) {
	t.Parallel()
	s := changed(t, `"spell_counts": "fast_overs"`, `"spell_counts": "all"`, `"day_counts": "all_from_first_fast"`, `"day_counts": "all"`,
		`"rest_after_spell": true`, `"rest_after_spell": false`,
		`{"limit": "rest_overs", "weight": "limit", "source": "S4", "also": ["S3", "S8", "S11"]},`, "",
		`"settings": [`, `"settings": [{"name": "spell_spin", "value": "counts", "values": ["counts", "exempt"], "says": "Spin past the spell."},`)
	spinner := bowler(t, "U13").overs("S1 S3 S5 S7 S9 S11")
	wantFindings(t, spinner.judgedBy(s), "spell_overs 11 6/5")
	wantFindings(t, spinner.judgedBy(s, "spell_spin=exempt"), "")
	res := bowler(t, "U13").overs("F1 F3 F7 S20 S22 S24 S26 S28 S40 S42 S44").judgedBy(s)
	wantFindings(t, res, "day_overs 44 11/10")
	if res.Spells[0].EarliestSameEnd != nil {
		t.Errorf("spell %+v: the set has no rest rule", res.Spells[0])
	}
}
