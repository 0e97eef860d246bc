package limits

import (
	"testing"

	"longspell/internal/domain"
)

// The texts whose figures and readings the worked cases below take over. The cases themselves were worked out by hand from them.
const (
	marches   = "ECB Fast Bowling Directives as printed by Marches Cricket, marchescricket.co.uk/ecb-fast-bowling-directives/"
	bassetlaw = "Bassetlaw and District Cricket League, Handbook 2012, crickethistory.website/league/bdcl/bdcl_handbook_2012/54"
	young     = "Guidance on Young Cricketers, 2 of 4 (match and practice directives), www.chiddcc.uk/a/guidance-on-young-cricketers-48744.html?page=2"
	cheshire  = "Cheshire Cricket League, Handbook 2022, ECB Young Player Directives, crickethistory.website/league/ccl/ccl_handbook_2022/111"
	australia = "Cricket Australia, Junior Bowling Guidelines 2019/20, pdfslide.net/documents/cricket-australia-junior-bowling-guidelines.html"
	welfare   = "Basildon and Pitsea Cricket Club, junior welfare page (day limit whatever the number of matches), club website"
)

// TestWorkedCasesOfTheDirectives goes through worked cases of the England directives: odd overs from end A, even from B.
func TestWorkedCasesOfTheDirectives(t *testing.T) {
	t.Parallel()
	cases := []struct {
		name, source string
		log          func(*testing.T) *bowled
		want         string
	}{
		{"a seventh over in one spell of U15", young,
			func(t *testing.T) *bowled { return bowler(t, "U15").overs("F1 F3 F5 F7 F9 F11 F13") }, "spell_overs 13 7/6"},
		{"back one over early after a spell of six", marches,
			func(t *testing.T) *bowled { return bowler(t, "U15").overs("F1 F3 F5 F7 F9 F11 F23") }, "rest_overs 23 23 earliest 24"},
		{"back from the other end when six have been bowled", marches,
			func(t *testing.T) *bowled { return bowler(t, "U15").overs("F1 F3 F5 F7 F9 F11 F24") }, ""},
		{"a change of ends goes on with the spell", bassetlaw,
			func(t *testing.T) *bowled { return bowler(t, "U13").overs("F2 F4 F7 F9") }, ""},
		{"one over missed ends the spell", bassetlaw,
			func(t *testing.T) *bowled { return bowler(t, "U13").overs("F2 F4 F8") }, "rest_overs 8 8 earliest 9"},
		{"two overs of rest repaid", bassetlaw,
			func(t *testing.T) *bowled { return bowler(t, "U13").overs("F2 F4 F9") }, ""},
		{"spin past the spell is allowed, fast after it is not", marches,
			func(t *testing.T) *bowled { return bowler(t, "U19").overs("F1 F3 F5 F7 F9 F11 F13 S15 S17 F19") }, "spell_overs 19 10/7"},
		{"spin inside the spell counts in its length", marches,
			func(t *testing.T) *bowled { return bowler(t, "U15").overs("F1 F3 F5 S7 S9 S11 F13") }, "spell_overs 13 7/6"},
		{"the day counts over both matches, spin too once there was fast bowling", welfare + "; " + marches,
			func(t *testing.T) *bowled {
				return bowler(t, "U13").overs("F1 F3 F5 F7").playing("m2", 1).overs("S1 S3 S5 S7 S9 S11 S13")
			}, "day_overs 13 11/10"},
		{"spin alone has no published limit", marches,
			func(t *testing.T) *bowled {
				return bowler(t, "U13").overs("S1 S3 S5 S7 S9 S11 S13 S15 S17 S19 S21 S23 S25 S27")
			}, ""},
		{"a short interruption does not end the spell", bassetlaw,
			func(t *testing.T) *bowled { return bowler(t, "U17").overs("F1 F3 F5 F7+30 F9 F11 F13 F15") }, "spell_overs 15 8/7"},
		{"forty minutes begin a new spell", bassetlaw,
			func(t *testing.T) *bowled { return bowler(t, "U17").overs("F1 F3 F5 F7+40 F9 F11 F13 F15 F17 F19") }, ""},
		{"twenty overs with four for each bowler: no rest is owed", bassetlaw,
			func(t *testing.T) *bowled { return bowler(t, "U13").format(20, 4).overs("F1 F3 F7") }, ""},
		{"forty overs: it is", bassetlaw,
			func(t *testing.T) *bowled { return bowler(t, "U13").format(40, 8).overs("F1 F3 F7") }, "rest_overs 7 7 earliest 8"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			t.Log("after", c.source)
			wantFindings(t, c.log(t).under("ecb-2010"), c.want)
		})
	}
}

// TestNineOverSpellEarliest: after seven fast overs and two of spin the spell has nine, and nine overs of rest from the same end
// put the earliest return at over 36 (from B) or 37 (from A). After the Marches print: as many overs as the spell, same end.
func TestNineOverSpellEarliest(t *testing.T) {
	t.Parallel()
	res := bowler(t, "U19").overs("F1 F3 F5 F7 F9 F11 F13 S15 S17").under("ecb-2010")
	wantSpell(t, res, 0, 9, 37, 36)
}

// TestDayOfTwoMatches: the seven overs of spin in the afternoon are a spell of the second match; the eleventh over of the day
// stands there, at over 13 (the Basildon and Pitsea print of the directives: the day's limit holds whatever the number of matches).
func TestDayOfTwoMatches(t *testing.T) {
	t.Parallel()
	res := bowler(t, "U13").overs("F1 F3 F5 F7").playing("m2", 1).overs("S1 S3 S5 S7 S9 S11 S13").under("ecb-2010")
	if f := res.Findings[0]; *f.Match != "m2" || *f.AgeGroup != "U13" {
		t.Errorf("the finding stands in %s for %s, want m2 for U13", *f.Match, *f.AgeGroup)
	}
	if d := res.Days[0]; d.Overs != 11 || d.FastOvers != 4 || d.Spells != 2 || d.LongestSpell != 7 || d.Balls != 66 {
		t.Errorf("day %+v", d)
	}
}

// TestBreakOfFortyMinutes: two spells of 3 and 7, ten overs on the day (Bassetlaw handbook 2012: 40 minutes or more, scheduled
// or not, is a new spell at once).
func TestBreakOfFortyMinutes(t *testing.T) {
	t.Parallel()
	res := bowler(t, "U17").overs("F1 F3 F5 F7+40 F9 F11 F13 F15 F17 F19").under("ecb-2010")
	if len(res.Spells) != 2 || res.Spells[0].Overs != 3 || res.Spells[1].Overs != 7 || res.Days[0].Overs != 10 {
		t.Errorf("spells %+v, days %+v", res.Spells, res.Days)
	}
}

// TestAllOversFromOneEnd: overs 1 to 10 all from end A. Over 5 is the first over from its end that may be bowled after over 3, so
// 1, 3, 5 are one spell; after 1 and 3 the earliest return is over 6, not 8 (the Marches print: overs from the same end).
func TestAllOversFromOneEnd(t *testing.T) {
	t.Parallel()
	rest := "-F1@A -F2@A -F3@A -F4@A -F5@A -F6@A -F7@A -F8@A -F9@A -F10@A "
	res := bowler(t, "U15").overs(rest + "F1@A F3@A F5@A").under("ecb-2010")
	wantFindings(t, res, "")
	if len(res.Spells) != 1 {
		t.Errorf("spells %+v, want one", res.Spells)
	}
	res = bowler(t, "U15").overs(rest + "F1@A F3@A").under("ecb-2010")
	wantSpell(t, res, 0, 2, 6, 11)
}

// TestRestArithmetic: a spell of five that ended with over 9 is repaid after five overs from that end (11, 13, 15, 17, 19): over 20
// from the other end, 21 from the same; a spell of one at over 1: 4 and 5 (the Marches print).
func TestRestArithmetic(t *testing.T) {
	t.Parallel()
	wantSpell(t, bowler(t, "U15").overs("F1 F3 F5 F7 F9").under("ecb-2010"), 0, 5, 21, 20)
	wantSpell(t, bowler(t, "U15").overs("F1").under("ecb-2010"), 0, 1, 5, 4)
}

func wantSpell(t *testing.T, res Result, i, overs, same, other int) {
	t.Helper()
	sp := res.Spells[i]
	if sp.Overs != overs || sp.EarliestSameEnd == nil || *sp.EarliestSameEnd != same || *sp.EarliestOtherEnd != other {
		t.Errorf("spell %d: %d overs, earliest %s and %s; want %d, %d and %d", i, sp.Overs, itoa(sp.EarliestSameEnd), itoa(sp.EarliestOtherEnd), overs, same, other)
	}
}

// TestBowlingDays: at most four bowling days in any seven, at most two in a row, as the Cheshire handbook of 2022 prints the guidance of
// the directives; Monday, Wednesday, Friday, Saturday is the example allowed by Middleton Colts, Fast bowlers important
// document, 23 May 2016, middletoncolts.wordpress.com/2016/05/23/fast-bowlers-important-document/. 11 May 2026 is a Monday.
func TestBowlingDays(t *testing.T) {
	t.Parallel()
	cases := []struct {
		name string
		days []string
		want string
	}{
		{"Monday, Wednesday, Friday, Saturday", []string{"2026-05-11", "2026-05-13", "2026-05-15", "2026-05-16"}, ""},
		{"Monday, Tuesday, Thursday, Friday", []string{"2026-05-11", "2026-05-12", "2026-05-14", "2026-05-15"}, ""},
		{"Monday, Tuesday, Wednesday", []string{"2026-05-11", "2026-05-12", "2026-05-13"}, "run_of_days 3/2 guidance 05-13"},
		{"Saturday, Sunday, Monday: the week is any seven days", []string{"2026-05-16", "2026-05-17", "2026-05-18"}, "run_of_days 3/2 guidance 05-18"},
		{"five days in seven", []string{"2026-05-11", "2026-05-12", "2026-05-14", "2026-05-15", "2026-05-17"}, "days_in_7 5/4 guidance 05-17"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			t.Log("after", cheshire)
			b := bowler(t, "U15")
			for _, d := range c.days {
				b.on(d).playing(d, 1).overs("F1")
			}
			wantFindings(t, b.under("ecb-2010"), c.want)
		})
	}
}

// TestAustralianDays: one day off between bowling days is advised in U17 (Cricket Australia, Junior Bowling Guidelines 2019/20),
// and three days a week; fixtures on two days running are accepted there as an exception, so the finding advises.
func TestAustralianDays(t *testing.T) {
	t.Parallel()
	t.Log("after", australia)
	b := bowler(t, "U17").on("2026-01-10").overs("F1").on("2026-01-11").playing("m2", 1).overs("F1")
	wantFindings(t, b.under("ca-2019"), "run_of_days 2/1 guidance 01-11")
	b.on("2026-01-13").playing("m3", 1).overs("F1").on("2026-01-15").playing("m4", 1).overs("F1")
	wantFindings(t, b.under("ca-2019"), "run_of_days 2/1 guidance 01-11; days_in_7 4/3 guidance 01-15")
}

// TestAgeAtTheEndOfAugust: season 2026, age at midnight on 31 August of the year before (Cheshire handbook 2022).
func TestAgeAtTheEndOfAugust(t *testing.T) {
	t.Parallel()
	cases := []struct{ born, group, limits string }{
		{"2012-08-31", "U14", "spell_overs 13 7/6"},
		{"2012-09-01", "U13", "spell_overs 11 6/5; spell_overs 13 7/5"},
		{"2006-09-01", "U19", ""},
		{"2006-08-31", "U20", ""},
	}
	s, _ := Lookup("ecb-2010")
	for _, c := range cases {
		born := domain.MustDate(c.born)
		if got, ok := s.AgeGroup(born, domain.MustDate(day1)); !ok || got != c.group {
			t.Errorf("born %s: %s, want %s", c.born, got, c.group)
		}
		b := bowler(t, "").overs("F1 F3 F5 F7 F9 F11 F13")
		b.log.Born = born
		wantFindings(t, b.under("ecb-2010"), c.limits)
	}
}

// TestEightBallOver: an over that stops at eight balls, three of them wides, is eight balls of load and one over of the directive
// (Cricket Australia, Stage 2 pack, docslib.org/doc/3766556: at most eight balls in an over).
func TestEightBallOver(t *testing.T) {
	t.Parallel()
	b := bowler(t, "U13").overs("F1")
	b.log.Overs[0].Balls, b.log.Overs[0].Valid = 8, 5
	res := b.under("ca-2019")
	if d := res.Days[0]; d.Balls != 8 || d.Overs != 1 || d.FastOvers != 1 {
		t.Errorf("day %+v, want 8 balls in one over", d)
	}
}
