package naive

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The vectors in this file were worked out by hand from the wording of the publications, not taken from a program:
//   - spells, rest, change of style, short matches: Marches Cricket, ECB Fast Bowling Directives,
//     marchescricket.co.uk/ecb-fast-bowling-directives/, and Collingham CC, ECB directives as of 2016,
//     www.collinghamcc.co.uk/club-documents/junior-bowling-directive/
//   - the same day cap in any number of matches: Basildon & Pitsea CC, junior welfare page, club website
//   - bowling days: Middleton Colts, Fast bowlers important document, 23 May 2016,
//     middletoncolts.wordpress.com/2016/05/23/fast-bowlers-important-document/, and Cheshire Cricket League Handbook 2022,
//     crickethistory.website/league/ccl/ccl_handbook_2022/111
//   - Australia: Cricket Australia, Junior Bowling Guidelines 2019/20,
//     pdfslide.net/documents/cricket-australia-junior-bowling-guidelines.html
//   - New Zealand: Wairarapa Cricket, Limitation of overs for pace bowlers,
//     wairarapacricket.co.nz/rules-documents-library/limitation-of-overs-for-pace-bowlers/
//   - DVCA, 2017/18 Rule change S16, over limits for young bowlers, 6 September 2017,
//     www.dvca.org.au/single-post/2017/09/06/2017-18-rule-change-s16-over-limits-for-young-bowlers

const saturday = "2026-05-09"

// bowler is somebody who plays in group U(group) in the season of 2026 under the sets that ask for the age before it.
func bowler(group int) Player {
	return Player{Player: "b", Born: fmt.Sprintf("%d-03-01", 2025-(group-1))}
}

// overs reads "F1 F3 S5 |40 F7": fast and spin overs by number, and the minutes of a break before the next one.
func overs(match, text string) []Over {
	var rows []Over
	pause := 0
	for word := range strings.FieldsSeq(text) {
		n, err := strconv.Atoi(word[1:])
		if err != nil {
			panic(err)
		}
		if word[0] == '|' {
			pause = n
			continue
		}
		kind := map[byte]string{'F': "seam_back", 'S': "wrist_spin", 'U': "seam_up"}[word[0]]
		rows = append(rows, Over{Match: match, Date: saturday, Innings: 1, Over: n, Player: "b", Kind: kind, Balls: 6, Valid: -1, BreakMin: pause})
		pause = 0
	}
	return rows
}

// format gives all rows the overs a side of their match and the most overs of one bowler.
func format(rows []Over, aSide, bowlerCap int) []Over {
	for i := range rows {
		rows[i].OversASide, rows[i].BowlerCap = aSide, bowlerCap
	}
	return rows
}

// allFromA puts overs 1 to 10 at end A, with another bowler in each.
func allFromA(rows []Over) []Over {
	for n := 1; n <= 10; n++ {
		rows = append(rows, Over{Match: "m", Date: saturday, Innings: 1, Over: n, Player: "other", Kind: "wrist_spin", Balls: 6, Valid: -1})
	}
	for i := range rows {
		rows[i].End = "A"
	}
	return rows
}

// odd lists the odd overs of a kind.
func odd(kind string, from, to int) string {
	var words []string
	for n := from; n <= to; n += 2 {
		words = append(words, fmt.Sprintf("%s%d", kind, n))
	}
	return strings.Join(words, " ") + " "
}

// told is the findings in short: the limit, the over, and allowed/actual or the earliest over.
func told(a Answer) []string {
	var all []string
	for _, f := range a.Findings {
		s := f.Limit
		if f.Over != nil {
			s += fmt.Sprintf(" over %d", *f.Over)
		} else {
			s += " " + f.Date
		}
		if f.Earliest != nil {
			s += fmt.Sprintf(" earliest %d", *f.Earliest)
		} else {
			s += fmt.Sprintf(" %d of %d", f.Actual, *f.Allowed)
		}
		if f.Weight != "limit" {
			s += " " + f.Weight
		}
		all = append(all, s)
	}
	return all
}

func TestSpellsAndRest(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		set   string
		group int
		rows  []Over
		want  []string
	}{
		"V1 seven of six":                   {"ecb-2010", 15, overs("m", odd("F", 1, 13)), []string{"spell_overs over 13 7 of 6"}},
		"V2 back too early":                 {"ecb-2010", 15, overs("m", odd("F", 1, 11)+"F23"), []string{"rest_overs over 23 earliest 24"}},
		"V2 back in time":                   {"ecb-2010", 15, overs("m", odd("F", 1, 11)+"F24"), nil},
		"V3 the ends changed":               {"ecb-2010", 13, overs("m", "F2 F4 F7 F9"), nil},
		"V4 missed one":                     {"ecb-2010", 13, overs("m", "F2 F4 F8"), []string{"rest_overs over 8 earliest 9"}},
		"V4 in time":                        {"ecb-2010", 13, overs("m", "F2 F4 F9"), nil},
		"V5 spin past the cap, then fast":   {"ecb-2010", 19, overs("m", odd("F", 1, 13)+"S15 S17 F19"), []string{"spell_overs over 19 10 of 7"}},
		"V5 spin past the cap":              {"ecb-2010", 19, overs("m", odd("F", 1, 13)+"S15 S17 F36"), nil},
		"V5 fast one over too early":        {"ecb-2010", 19, overs("m", odd("F", 1, 13)+"S15 S17 F35"), []string{"rest_overs over 35 earliest 36"}},
		"V6 spin inside the spell":          {"ecb-2010", 15, overs("m", "F1 F3 F5 S7 S9 S11 F13"), []string{"spell_overs over 13 7 of 6"}},
		"V7b spin all day":                  {"ecb-2010", 13, overs("m", odd("S", 1, 27)), nil},
		"V8 half an hour":                   {"ecb-2010", 17, overs("m", "F1 F3 F5 |30 "+odd("F", 7, 15)), []string{"spell_overs over 15 8 of 7"}},
		"V9 forty minutes":                  {"ecb-2010", 17, overs("m", "F1 F3 F5 |40 "+odd("F", 7, 19)), nil},
		"V10 twenty overs, four a bowler":   {"ecb-2010", 13, format(overs("m", "F1 F3 F7"), 20, 4), nil},
		"V10 forty overs":                   {"ecb-2010", 13, format(overs("m", "F1 F3 F7"), 40, 0), []string{"rest_overs over 7 earliest 8"}},
		"V11 all from one end":              {"ecb-2010", 13, allFromA(overs("m", "F1 F3 F5")), nil},
		"V11 rest counts overs of the end":  {"ecb-2010", 13, allFromA(overs("m", "F1 F3 F6")), nil},
		"V11 one over too early":            {"ecb-2010", 13, allFromA(overs("m", "F1 F3 F5 F8")), []string{"rest_overs over 8 earliest 9"}},
		"V17 fifty minutes":                 {"nz-district", 18, overs("m", "F1 F3 |50 F7"), []string{"rest_overs over 7 earliest 8"}},
		"V17 an hour":                       {"nz-district", 18, overs("m", "F1 F3 |60 F7"), nil},
		"V18 one day":                       {"nz-district", 18, format(overs("m", odd("F", 1, 15)), 50, 0), nil},
		"V18 two days":                      {"nz-district", 18, overs("m", odd("F", 1, 15)), []string{"spell_overs over 13 7 of 6", "spell_overs over 15 8 of 6"}},
		"CA seam is pace, keeper up or not": {"ca-2019", 15, overs("m", "F1 U3 F5 U7 F9 U11"), []string{"spell_overs over 11 6 of 5 guidance"}},
		"V20 a spinner":                     {"dvca-2017", 12, overs("m", odd("S", 1, 11)), []string{"spell_overs over 11 6 of 5"}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			log := Log{Players: []Player{bowler(c.group)}, Overs: c.rows}
			if d := cmp.Diff(c.want, told(Check(log, Ask{Limits: c.set}))); d != "" {
				t.Error(d)
			}
		})
	}
}

// TestRestArithmetic is V1, V11 and V12: a spell of five that ended with over 9 is repaid by 11, 13, 15, 17 and 19, so that he
// may come back with 20; a spell of one by over 3.
func TestRestArithmetic(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		rows        []Over
		same, other int
	}{
		{overs("m", odd("F", 1, 9)), 21, 20},
		{overs("m", "F1"), 5, 4},
		{overs("m", odd("F", 1, 13)), 29, 28},
		{overs("m", odd("F", 1, 13)+"S15 S17"), 37, 36},
		{overs("m", "F2 F4 F7 F9"), 19, 18},
		{allFromA(overs("m", "F1 F3")), 6, 11}, // 11 is the first over from B: no row says otherwise
	} {
		log := Log{Players: []Player{bowler(15)}, Overs: c.rows}
		row := Check(log, Ask{Limits: "ecb-2010"}).Spells[0]
		if row.EarliestSameEnd == nil || row.EarliestOtherEnd == nil {
			t.Fatalf("%d overs to %d: no rest is owed", row.Overs, row.LastOver)
		}
		if *row.EarliestSameEnd != c.same || *row.EarliestOtherEnd != c.other {
			t.Errorf("%d overs to %d: same end %d, want %d; other end %d, want %d",
				row.Overs, row.LastOver, *row.EarliestSameEnd, c.same, *row.EarliestOtherEnd, c.other)
		}
	}
}

// TestTheDayIsOneInSeveralMatches is V7: four fast overs in the morning and seven of spin in the afternoon are eleven.
func TestTheDayIsOneInSeveralMatches(t *testing.T) {
	t.Parallel()
	log := Log{Players: []Player{bowler(13)}, Overs: append(overs("morning", odd("F", 1, 7)), overs("afternoon", odd("S", 1, 13))...)}
	a := Check(log, Ask{Limits: "ecb-2010"})
	if d := cmp.Diff([]string{"day_overs over 13 11 of 10"}, told(a)); d != "" {
		t.Error(d)
	}
	if *a.Findings[0].Match != "afternoon" {
		t.Errorf("found in %s", *a.Findings[0].Match)
	}
}

// TestBowlingDays is V13 to V16 and V19. Day 0 is a Monday, so that day 5 and 6 and day 7 lie in two calendar weeks.
func TestBowlingDays(t *testing.T) {
	t.Parallel()
	const monday = "2026-05-11"
	for name, c := range map[string]struct {
		set  string
		days []int
		want []string
	}{
		"V13 four with gaps":          {"ecb-2010", []int{0, 2, 4, 5}, nil},
		"V14 two pairs":               {"ecb-2010", []int{0, 1, 3, 4}, nil},
		"V15 three in a row":          {"ecb-2010", []int{0, 1, 2}, []string{"run_of_days 2026-05-13 3 of 2 guidance"}},
		"V16 over the week's end":     {"ecb-2010", []int{5, 6, 7}, []string{"run_of_days 2026-05-18 3 of 2 guidance"}},
		"five in seven":               {"ecb-2010", []int{0, 1, 3, 4, 6}, []string{"days_in_7 2026-05-17 5 of 4 guidance"}},
		"five in eight":               {"ecb-2010", []int{0, 1, 3, 4, 7}, nil},
		"V19 a weekend":               {"ca-2019", []int{5, 6}, []string{"run_of_days 2026-05-17 2 of 1 guidance"}},
		"V19 the fourth day of seven": {"ca-2019", []int{0, 2, 4, 6}, []string{"days_in_7 2026-05-17 4 of 3 guidance"}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			log := Log{Players: []Player{bowler(17)}}
			for _, day := range c.days {
				o := overs(fmt.Sprintf("m%d", day), "F1")[0]
				o.Date = shift(monday, day)
				log.Overs = append(log.Overs, o)
			}
			if d := cmp.Diff(c.want, told(Check(log, Ask{Limits: c.set}))); d != "" {
				t.Error(d)
			}
		})
	}
}

// TestAgeGroups is V21 and the worked birth dates of the season of 2026: the age on 31 August 2025. The table for 2018 is that
// of the Bassetlaw and District Cricket League Handbook 2018, crickethistory.website/league/bdcl/bdcl_handbook_2018/47.
func TestAgeGroups(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		born, date, group string
		spell             int // 0: no limit
	}{
		{"2012-08-31", saturday, "U14", 6},
		{"2012-09-01", saturday, "U13", 5},
		{"2013-08-31", saturday, "U13", 5},
		{"2006-09-01", saturday, "U19", 7},
		{"2006-08-31", saturday, "U20", 0},
		{"2004-09-01", "2018-05-05", "U13", 5},
		{"2005-08-31", "2018-05-05", "U13", 5},
		{"2002-09-01", "2018-05-05", "U15", 6},
		{"2004-08-31", "2018-05-05", "U14", 6},
		{"1998-09-01", "2018-05-05", "U19", 7},
	} {
		log := Log{Players: []Player{{Player: "b", Born: c.born}}}
		r := setOf("ecb-2010")
		if g := r.groupName(log, "b", c.date); *g != c.group {
			t.Errorf("born %s, on %s: %s, want %s", c.born, c.date, *g, c.group)
		}
		spell := 0
		if b := r.band(log, "b", c.date); b != nil {
			spell = b.spell
		}
		if spell != c.spell {
			t.Errorf("born %s, on %s: %d overs a spell, want %d", c.born, c.date, spell, c.spell)
		}
	}
}
