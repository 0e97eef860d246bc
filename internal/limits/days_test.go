package limits

import (
	"testing"

	"longspell/internal/domain"
)

const (
	fast = domain.SeamBack
	spin = domain.FingerSpin
)

func TestDayLimit(t *testing.T) {
	t.Parallel()
	readings(t, []reading{
		{"from the first fast over of the day on", func(t *testing.T) *bowled {
			return bowler(t, "U13").overs("S1 S3 S5 S7 S9 S11 S13 S15 S17 S19 S21 F40 S42")
		}, "ecb-2010", "day_overs 40 12/10; day_overs 42 13/10"},
		{"Australia counts fast overs alone", func(t *testing.T) *bowled {
			return bowler(t, "U11").overs("F1 F3 S20 S22 S24 S26 F40 F42 S60 F70")
		}, "ca-2019", "day_overs 70 5/4 guidance"},
		{"overs of outings come before the matches of their day", func(t *testing.T) *bowled {
			return bowler(t, "U13").outing("o1", domain.OutingSchool, fast, 54, -1).overs("F1 F3")
		}, "ecb-2010", "day_overs 3 11/10"},
		{"an outing past the limit is one finding", func(t *testing.T) *bowled {
			return bowler(t, "U13").outing("o1", domain.OutingMatch, fast, 72, -1).outing("o2", domain.OutingOther, spin, 6, -1)
		}, "ecb-2010", "day_overs o1 12/10; day_overs o2 13/10"},
		{"spin at an outing counts once there is fast bowling", func(t *testing.T) *bowled {
			return bowler(t, "U13").outing("o1", domain.OutingMatch, spin, 72, -1).overs("F1")
		}, "ecb-2010", "day_overs 1 13/10"},
		{"a begun over counts as one", func(t *testing.T) *bowled {
			return bowler(t, "U13").outing("o1", domain.OutingMatch, fast, 55, -1).overs("F1")
		}, "ecb-2010", "day_overs 1 11/10"},
		{"overs that are given go before balls", func(t *testing.T) *bowled {
			return bowler(t, "U13").outing("o1", domain.OutingMatch, fast, 72, 10)
		}, "ecb-2010", ""},
		{"nets and home count no overs", func(t *testing.T) *bowled {
			return bowler(t, "U13").outing("o1", domain.OutingNets, fast, 30, 12).outing("o2", domain.OutingHome, fast, 90, -1).overs("F1")
		}, "ecb-2010", ""},
		{"and fast bowling in the nets alone does not make the overs of spin count", func(t *testing.T) *bowled {
			return bowler(t, "U13").outing("o1", domain.OutingNets, fast, 30, -1).outing("o2", domain.OutingMatch, spin, 72, -1)
		}, "ecb-2010", ""},
		{"the next day begins at nought", func(t *testing.T) *bowled {
			return bowler(t, "U13").outing("o1", domain.OutingMatch, fast, 60, -1).on("2026-05-10").outing("o2", domain.OutingMatch, fast, 60, -1)
		}, "ecb-2010", ""},
	})
}

// TestMatchesOfOneDay: they count in the order in which they first stand in the file, also where a later day's match stands first.
func TestMatchesOfOneDay(t *testing.T) {
	t.Parallel()
	b := bowler(t, "U11").playing("m9", 1).overs("F1 F3").playing("m1", 1).overs("F1 F3 F9")
	res := b.under("ca-2019")
	wantFindings(t, res, "day_overs 9 5/4 guidance")
	if *res.Findings[0].Match != "m1" {
		t.Errorf("the fifth over stands in %s, want m1", *res.Findings[0].Match)
	}
	// The same overs, handed over in disorder.
	o := b.log.Overs
	o[0], o[1], o[2], o[3], o[4] = o[1], o[4], o[3], o[0], o[2]
	res = b.under("ca-2019")
	if len(res.Findings) != 1 || *res.Findings[0].Match != "m1" {
		t.Errorf("findings %v", shorts(res.Findings))
	}
}

func TestBowlingDaysCountAllFastBowling(t *testing.T) {
	t.Parallel()
	week := func(t *testing.T) *bowled {
		return bowler(t, "U15").on("2026-05-09").outing("n1", domain.OutingNets, fast, 6, -1).
			on("2026-05-10").outing("h1", domain.OutingHome, fast, 6, -1).
			on("2026-05-11").outing("s1", domain.OutingSchool, fast, 6, -1).
			on("2026-05-12").outing("x1", domain.OutingNets, spin, 60, -1).
			on("2026-05-13").overs("F1").
			on("2026-05-15").playing("m2", 1).overs("F1")
	}
	readings(t, []reading{{"nets and home make a day", week, "ecb-2010", "run_of_days 3/2 guidance 05-11; days_in_7 5/4 guidance 05-15"}})
	readings(t, []reading{{"or do not", week, "ecb-2010", ""}}, "nets_make_day=no")
}

func TestNets(t *testing.T) {
	t.Parallel()
	readings(t, []reading{
		{"balls of one session", func(t *testing.T) *bowled {
			return bowler(t, "U13").outing("n1", domain.OutingNets, fast, 30, -1).outing("n2", domain.OutingNets, fast, 31, -1)
		}, "ecb-2010", "net_balls n2 31/30"},
		{"spin is not counted", func(t *testing.T) *bowled {
			return bowler(t, "U13").outing("n1", domain.OutingNets, spin, 90, -1)
		}, "ecb-2010", ""},
		{"home practice is no net session", func(t *testing.T) *bowled {
			return bowler(t, "U13").outing("n1", domain.OutingHome, fast, 90, -1)
		}, "ecb-2010", ""},
		{"sessions in any seven days, a finding on each past the number", func(t *testing.T) *bowled {
			return bowler(t, "U13").outing("n1", domain.OutingNets, fast, 6, -1).
				on("2026-05-15").outing("n2", domain.OutingNets, fast, 6, -1).outing("n3", domain.OutingNets, fast, 6, -1).
				outing("n4", domain.OutingNets, fast, 6, -1).
				on("2026-05-16").outing("n5", domain.OutingNets, spin, 6, -1)
		}, "ecb-2010", "net_per_week n3 3/2 05-15; net_per_week n4 4/2 05-15"},
		{"the eighth day is another week", func(t *testing.T) *bowled {
			return bowler(t, "U13").outing("n1", domain.OutingNets, fast, 6, -1).outing("n2", domain.OutingNets, fast, 6, -1).
				on("2026-05-16").outing("n3", domain.OutingNets, fast, 6, -1)
		}, "ecb-2010", ""},
		{"Australia gives no net limits", func(t *testing.T) *bowled {
			return bowler(t, "U13").outing("n1", domain.OutingNets, fast, 90, -1)
		}, "ca-2019", ""},
	})
}

func TestListedDays(t *testing.T) {
	t.Parallel()
	res := bowler(t, "U13").outing("o1", domain.OutingSchool, fast, 13, -1).outing("n1", domain.OutingNets, spin, 24, -1).
		overs("F1 S3 F9").on("2026-05-11").outing("h1", domain.OutingHome, spin, 40, -1).
		on("2026-05-12").outing("h2", domain.OutingHome, spin, 0, -1).under("ecb-2010")
	want := []Day{
		{Player: "p7", Date: domain.MustDate("2026-05-09"), Overs: 6, FastOvers: 5, Balls: 55, Spells: 2, LongestSpell: 2},
		{Player: "p7", Date: domain.MustDate("2026-05-11"), Balls: 40},
	}
	if len(res.Days) != len(want) || res.Days[0] != want[0] || res.Days[1] != want[1] {
		t.Errorf("days %+v\nwant %+v", res.Days, want)
	}
}

func TestWhatIsLeft(t *testing.T) {
	t.Parallel()
	left := func(l Left) [4]string {
		return [4]string{itoa(l.SpellOvers), itoa(l.DayOvers), itoa(l.DaysIn7), itoa(l.RunOfDays)}
	}
	cases := []struct {
		name string
		log  *bowled
		set  string
		want [4]string
	}{
		{"after two spells: the last one counts, whatever its kind", bowler(t, "U13").overs("F1 F3 S20 S22 S24"), "ecb-2010", [4]string{"2", "5", "3", "1"}},
		{"spin counts in the day also before the first fast over", bowler(t, "U13").overs("S1 S3 S5"), "ecb-2010", [4]string{"2", "7", "4", "2"}},
		{"never below nought", bowler(t, "U13").overs("F1 F3 F5 F7 F9 F11"), "ecb-2010", [4]string{"0", "4", "3", "1"}},
		{"the run that ended yesterday", bowler(t, "U13").overs("F1").on("2026-05-10").playing("m2", 1).overs("S1"), "ecb-2010", [4]string{"4", "9", "3", "1"}},
		{"the run that ended the day before", bowler(t, "U13").overs("F1").on("2026-05-11").playing("m2", 1).overs("S1"), "ecb-2010", [4]string{"4", "9", "3", "2"}},
		{"an outing takes from the day, not from the spell", bowler(t, "U13").outing("o1", domain.OutingSchool, fast, 24, -1), "ecb-2010", [4]string{"5", "6", "3", "1"}},
		{"Australia: fast overs", bowler(t, "U13").overs("F1 S3"), "ca-2019", [4]string{"2", "7", "2", "0"}},
		{"Australia, U11: no limits of days", bowler(t, "U11").overs("F1"), "ca-2019", [4]string{"1", "3", "", ""}},
		{"above the highest group: no limit", bowler(t, "U20").overs("F1"), "ecb-2010", [4]string{}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			if got := left(c.log.under(c.set).Left); got != c.want {
				t.Errorf("left %v, want %v", got, c.want)
			}
		})
	}
}
