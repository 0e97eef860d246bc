package limits

import (
	"testing"

	"longspell/internal/domain"
)

// The readings below are our own where the published texts are silent; each test names what it settles. Figures are those of
// the sets, whose sources stand in their data files.

type reading struct {
	name string
	log  func(*testing.T) *bowled
	set  string
	want string
}

func readings(t *testing.T, cases []reading, settings ...string) {
	t.Helper()
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			wantFindings(t, c.log(t).under(c.set, settings...), c.want)
		})
	}
}

func TestWhichRowsCount(t *testing.T) {
	t.Parallel()
	b := bowler(t, "U13").overs("F1 F3 F5 F7 F9 F11").on("2026-05-10").playing("m2", 1).overs("F1 F3 F5 F7 F9 F11")
	s, _ := Lookup("ecb-2010")
	res := s.Evaluate(b.log, Options{AsOf: domain.MustDate(day1)})
	wantFindings(t, res, "spell_overs 11 6/5")
	if len(res.Days) != 1 || res.Left.Date != domain.MustDate(day1) {
		t.Errorf("days %v, left on %v: later rows are left out", res.Days, res.Left.Date)
	}
	// The set is applied to every date, whatever its valid-from.
	early := bowler(t, "").on("2009-06-01").overs("F1 F3 F5 F7 F9 F11")
	early.log.Born = domain.MustDate("1999-01-01")
	wantFindings(t, early.under("ecb-2010"), "spell_overs 11 6/5 06-01")
}

func TestUnknownAgeIsJudgedByTheFormatAlone(t *testing.T) {
	t.Parallel()
	b := bowler(t, "").format(40, 6).overs("F1 F3 F5 F7 F9 F11 F13 F15 F20")
	res := b.under("ecb-2010")
	wantFindings(t, res, "bowler_cap 13 7/6; bowler_cap 15 8/6; bowler_cap 20 9/6")
	if res.Judged || res.Findings[0].AgeGroup != nil || res.Findings[0].Source != FormatSource {
		t.Errorf("judged %v, finding %+v", res.Judged, res.Findings[0])
	}
	for _, sp := range res.Spells {
		if sp.EarliestSameEnd != nil || sp.EarliestOtherEnd != nil {
			t.Errorf("spell %+v: no rest is owed by a player who is not judged", sp)
		}
	}
	if l := res.Left; l.SpellOvers != nil || l.DayOvers != nil || l.DaysIn7 != nil || l.RunOfDays != nil {
		t.Errorf("left %+v, want nothing", l)
	}
	if res.Spells[0].FastOvers != 8 {
		t.Errorf("fast overs %d: they are counted all the same", res.Spells[0].FastOvers)
	}
}

func TestWhichOversAreFast(t *testing.T) {
	t.Parallel()
	readings(t, []reading{
		{"keeper up is not fast in England", func(t *testing.T) *bowled { return bowler(t, "U13").overs("U1 U3 U5 U7 U9 U11") }, "ecb-2010", ""},
		{"keeper up is fast in Australia", func(t *testing.T) *bowled { return bowler(t, "U13").overs("U1 U3 U5 U7 U9") }, "ca-2019", "spell_overs 9 5/4 guidance"},
		{"a kind that nobody knows is not fast", func(t *testing.T) *bowled { return bowler(t, "U13").overs("?1 ?3 ?5 ?7 ?9 ?11") }, "ecb-2010", ""},
	})
}

func TestSpellsGoOnAndEnd(t *testing.T) {
	t.Parallel()
	cases := []struct {
		name, words string
		spells      []int // overs of each
	}{
		{"two running", "F1 F2 F3", []int{3}},
		{"the other end after two overs of it", "F1 F4", []int{2}},
		{"one over of his end missed", "F1 F5", []int{1, 1}},
		{"somebody's end said otherwise makes it the first from his end", "F1 -F3@B -F4@B F5", []int{2}},
		{"an over without a row comes from the other end than the one before", "F1@A -F2@A F5@B", []int{1, 1}},
		{"ends alternate from the last row, not by the number", "F1@B F4@B", []int{1, 1}},
		{"thirty-nine minutes", "F1 F3+39", []int{2}},
		{"forty minutes", "F1 F3+40", []int{1, 1}},
		{"a break before somebody else's over in between", "F1 -F2+45 F3", []int{1, 1}},
		{"breaks are not added together", "F1 -F2+25 F3+25", []int{2}},
		{"a break counts for the over after it alone", "F1+60 F3", []int{2}},
		{"of a shared over the longest break counts", "F1 -F3+60 F3", []int{1, 1}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			res := bowler(t, "U19").overs(c.words).under("ecb-2010")
			var got []int
			for _, sp := range res.Spells {
				got = append(got, sp.Overs)
			}
			if len(got) != len(c.spells) {
				t.Fatalf("spells of %v overs, want %v", got, c.spells)
			}
			for i := range got {
				if got[i] != c.spells[i] {
					t.Errorf("spells of %v overs, want %v", got, c.spells)
				}
			}
		})
	}
}

func TestWhatBeginsAfresh(t *testing.T) {
	t.Parallel()
	readings(t, []reading{
		{"a new innings", func(t *testing.T) *bowled {
			return bowler(t, "U13").overs("F1 F3 F5 F7 F9").playing("m1", 2).overs("F1")
		}, "ecb-2010", ""},
		{"a new day in the middle of an innings", func(t *testing.T) *bowled {
			return bowler(t, "U13").overs("F1 F3 F5 F7 F9").on("2026-05-10").overs("F11 F13")
		}, "ecb-2010", ""},
		{"a long break: nothing before it is owed", func(t *testing.T) *bowled {
			return bowler(t, "U13").overs("F1 F3 F5 F7 F9 F13+40")
		}, "ecb-2010", ""},
		{"a long break pays off older spells too", func(t *testing.T) *bowled {
			return bowler(t, "U17").overs("F1 F3 F5 F7 F13 F17+40")
		}, "ecb-2010", "rest_overs 13 13 earliest 16"},
	})
}

func TestRestOwedThroughLaterSpells(t *testing.T) {
	t.Parallel()
	readings(t, []reading{
		{"each return is before the largest earliest", func(t *testing.T) *bowled {
			// Five overs to 9: rest to 20. The return at 13 owes to 16 and the one at 17 to 20; neither takes anything off.
			return bowler(t, "U13").overs("F1 F3 F5 F7 F9 F13 F17 F21")
		}, "ecb-2010", "rest_overs 13 13 earliest 20; rest_overs 17 17 earliest 20"},
		{"a longer rest of a later spell takes over", func(t *testing.T) *bowled {
			return bowler(t, "U17").overs("F1 F3 F7 F9 F11 F15")
		}, "ecb-2010", "rest_overs 7 7 earliest 8; rest_overs 15 15 earliest 18"},
		{"one finding for each return", func(t *testing.T) *bowled {
			return bowler(t, "U13").overs("F1 F3 F5 F7 F9 F13 F15")
		}, "ecb-2010", "rest_overs 13 13 earliest 20"},
		{"no fast over, no rest", func(t *testing.T) *bowled {
			return bowler(t, "U13").overs("S1 S3 S5 S7 F11")
		}, "ecb-2010", ""},
		{"slower overs count in the rest owed", func(t *testing.T) *bowled {
			return bowler(t, "U13").overs("F1 S3 S5 S7 F16")
		}, "ecb-2010", ""},
		{"and one over earlier is too early", func(t *testing.T) *bowled {
			return bowler(t, "U13").overs("F1 S3 S5 S7 F15")
		}, "ecb-2010", "rest_overs 15 15 earliest 16"},
	})
}

func TestSlowerBowlingInTheRestOwed(t *testing.T) {
	t.Parallel()
	slowThenFast := func(t *testing.T) *bowled { return bowler(t, "U13").overs("F1 F3 F5 F7 F9 S13 S15 F17") }
	fastThenSlow := func(t *testing.T) *bowled { return bowler(t, "U13").overs("F1 F3 F5 F7 F9 F13 S15") }
	readings(t, []reading{
		{"warned of", slowThenFast, "ecb-2010", "rest_overs 13 13 earliest 20 guidance; rest_overs 17 17 earliest 20"},
		{"not after a fast one", fastThenSlow, "ecb-2010", "rest_overs 13 13 earliest 20"},
	})
	readings(t, []reading{
		{"counted", slowThenFast, "ecb-2010", "rest_overs 13 13 earliest 20; rest_overs 17 17 earliest 20"},
		{"counted with the weight of the set", func(t *testing.T) *bowled { return bowler(t, "U17").overs("F1 F3 S7") }, "ca-2019",
			"rest_overs 7 7 earliest 8 guidance"},
	}, "spin_in_rest=breach")
	readings(t, []reading{
		{"allowed", slowThenFast, "ecb-2010", "rest_overs 17 17 earliest 20"},
	}, "spin_in_rest=allow")
}

func TestShortMatchesWithoutRest(t *testing.T) {
	t.Parallel()
	in := func(overs, cap int) func(*testing.T) *bowled {
		return func(t *testing.T) *bowled { return bowler(t, "U13").format(overs, cap).overs("F1 F3 F7") }
	}
	readings(t, []reading{
		{"the cap equals the spell", in(20, 5), "ecb-2010", ""},
		{"the cap is above the spell", in(20, 6), "ecb-2010", "rest_overs 7 7 earliest 8"},
		{"no cap is given", in(20, 0), "ecb-2010", "rest_overs 7 7 earliest 8"},
		{"twenty-one overs", in(21, 4), "ecb-2010", "rest_overs 7 7 earliest 8"},
		{"time cricket", in(0, 4), "ecb-2010", "rest_overs 7 7 earliest 8"},
		{"Australia has no such exemption", in(20, 4), "ca-2019", "rest_overs 7 7 earliest 8 guidance"},
	})
	res := bowler(t, "U13").format(20, 4).overs("F1 F3").under("ecb-2010")
	if sp := res.Spells[0]; sp.EarliestSameEnd != nil || sp.EarliestOtherEnd != nil {
		t.Errorf("spell %+v: no rest is owed after it", sp)
	}
}

func TestFormatCap(t *testing.T) {
	t.Parallel()
	b := bowler(t, "U19").format(40, 2).overs("S1 S3 S9").playing("m1", 2).overs("S1 S3").on("2026-05-10").overs("S41")
	wantFindings(t, b.under("ca-2019"), "bowler_cap 9 3/2; bowler_cap 41 3/2 05-10")
	// An innings that goes on after another match of the same day.
	b = bowler(t, "U19").format(0, 2).overs("S1").playing("m2", 1).overs("S1 S3").on("2026-05-10").playing("m1", 1).overs("S51 S53")
	wantFindings(t, b.under("ecb-2010"), "bowler_cap 53 3/2 05-10")
}
