package limits

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"longspell/internal/domain"
)

func numbers(n ...int) [6]int { return [6]int(n) }

const none = -1

func table(s *Set) map[string][6]int {
	out := map[string][6]int{}
	for _, b := range s.Bands {
		var row [6]int
		for i, p := range []*int{b.SpellOvers, b.DayOvers, b.NetBalls, b.NetPerWeek, b.DaysIn7, b.RunOfDays} {
			row[i] = none
			if p != nil {
				row[i] = *p
			}
		}
		out[b.UpTo] = row
	}
	return out
}

// TestEnglandFigures holds the data against the match and practice directives as printed in "Guidance on Young Cricketers, 2 of
// 4", www.chiddcc.uk/a/guidance-on-young-cricketers-48744.html?page=2 (overs and nets), and in the Cheshire Cricket League Handbook
// 2022, ECB Young Player Directives, crickethistory.website/league/ccl/ccl_handbook_2022/111 (days).
func TestEnglandFigures(t *testing.T) {
	t.Parallel()
	s, ok := Lookup("ecb-2010")
	if !ok {
		t.Fatal("ecb-2010 is missing")
	}
	want := map[string][6]int{
		"U13": numbers(5, 10, 30, 2, 4, 2),
		"U15": numbers(6, 12, 36, 2, 4, 2),
		"U17": numbers(7, 18, 36, 3, 4, 2),
		"U19": numbers(7, 18, 42, 3, 4, 2),
	}
	if d := cmp.Diff(want, table(s)); d != "" {
		t.Error(d)
	}
	if s.Year != 2010 || s.ValidFrom != domain.MustDate("2010-01-01") || s.ValidTo != nil || s.NewSpellAfterMin != 40 {
		t.Errorf("%s: %d, %v to %v, %d minutes", s.ID, s.Year, s.ValidFrom, s.ValidTo, s.NewSpellAfterMin)
	}
}

// TestAustralianFigures holds the data against Cricket Australia, Junior Bowling Guidelines 2019/20,
// pdfslide.net/documents/cricket-australia-junior-bowling-guidelines.html.
func TestAustralianFigures(t *testing.T) {
	t.Parallel()
	s, ok := Lookup("ca-2019")
	if !ok {
		t.Fatal("ca-2019 is missing")
	}
	want := map[string][6]int{
		"U11": numbers(2, 4, none, none, none, none),
		"U13": numbers(4, 8, none, none, 3, 1),
		"U15": numbers(5, 12, none, none, 3, 1),
		"U17": numbers(6, 16, none, none, 3, 1),
		"U19": numbers(7, 20, none, none, 4, 2),
	}
	if d := cmp.Diff(want, table(s)); d != "" {
		t.Error(d)
	}
}

func TestSetsAreInOrderAndWhole(t *testing.T) {
	t.Parallel()
	var ids []string
	for _, s := range Sets() {
		ids = append(ids, s.ID)
		for _, src := range s.Sources {
			if src.ID == "" || src.Publisher == "" || src.Title == "" || src.Address == "" {
				t.Errorf("%s: source %+v is not spelled out", s.ID, src)
			}
		}
		if s.AgeRule == "" || s.FastSays == "" || len(s.Settings) == 0 {
			t.Errorf("%s says nothing of its age rule, its fast bowlers or its settings", s.ID)
		}
	}
	if d := cmp.Diff([]string{"ca-2019", "ecb-2010"}, ids); d != "" {
		t.Error(d)
	}
	if _, ok := Lookup("nobody-1900"); ok {
		t.Error("a set that does not exist was found")
	}
}

func TestDataThatIsNotWholeIsRefused(t *testing.T) {
	t.Parallel()
	good, err := files.ReadFile("data/ecb-2010.json")
	if err != nil {
		t.Fatal(err)
	}
	cases := []struct{ old, with, says string }{
		{`"seam_back"`, `"fast"`, "no bowling kind"},
		{`"up_to": "U15"`, `"up_to": "U12"`, "young to old"},
		{`"up_to": "U15"`, `"up_to": "under 15"`, "no age group"},
		{`"source": "S5", "also": ["S13"]`, `"source": "S99", "also": []`, "not spelled out"},
		{`"of": "year_before"`, `"of": "birthday"`, "age_on"},
		{`"limit": "net_balls"`, `"limit": "net_sweets"`, "without a source"},
		{`"weight": "guidance"`, `"weight": "heavy"`, "no weight"},
		{`"value": "warn"`, `"value": "shout"`, "default"},
		{`"year": 2010,
  "address"`, `"address"`, "needed"},
		{`"id": "ecb-2010"`, `"id": "ecb-2010", "colour": "green"`, "unknown field"},
	}
	for _, c := range cases {
		bad := strings.Replace(string(good), c.old, c.with, 1)
		if bad == string(good) {
			t.Errorf("%q is not in the data", c.old)
			continue
		}
		if _, err := parseSet([]byte(bad)); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s for %s: error %v, want one that says %q", c.with, c.old, err, c.says)
		}
	}
}

func TestResolveSettings(t *testing.T) {
	t.Parallel()
	s, _ := Lookup("ecb-2010")
	got, err := s.ResolveSettings(map[string]string{"spin_in_rest": "allow"})
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(map[string]string{"spin_in_rest": "allow", "nets_make_day": "yes"}, got); d != "" {
		t.Error(d)
	}
	for name, value := range map[string]string{"spell_spin": "exempt", "spin_in_rest": "maybe", "": ""} {
		if _, err := s.ResolveSettings(map[string]string{name: value}); err == nil {
			t.Errorf("%s=%s was taken", name, value)
		}
	}
}

// TestAgeRules: England, age on 31 August of the year before (Cheshire Cricket League, Handbook 2022); Australia, on 31 August of the
// year in which the season begins (after Cricket Tasmania, Hurricanes Junior League Under 13 Boys Playing Conditions 2018/19,
// docslib.org/doc/12528126: under 13 at 31 August 2018). That the season is 1 July to 30 June is our reading.
func TestAgeRules(t *testing.T) {
	t.Parallel()
	cases := []struct{ set, born, on, want string }{
		{"ecb-2010", "2012-08-31", "2026-01-01", "U14"},
		{"ecb-2010", "2012-08-31", "2026-12-31", "U14"},
		{"ecb-2010", "2012-09-01", "2026-12-31", "U13"},
		{"ecb-2010", "2012-09-01", "2027-01-01", "U14"},
		{"ca-2019", "2006-08-31", "2018-10-01", "U13"},
		{"ca-2019", "2005-08-31", "2018-10-01", "U14"},
		{"ca-2019", "2006-08-31", "2019-06-30", "U13"},
		{"ca-2019", "2006-08-31", "2019-07-01", "U14"},
		{"ca-2019", "2006-09-01", "2018-10-01", "U12"},
		{"ecb-2010", "2020-01-01", "2026-05-01", "U6"},
	}
	for _, c := range cases {
		s, _ := Lookup(c.set)
		if got, ok := s.AgeGroup(domain.MustDate(c.born), domain.MustDate(c.on)); !ok || got != c.want {
			t.Errorf("%s, born %s, on %s: %s, want %s", c.set, c.born, c.on, got, c.want)
		}
	}
	s, _ := Lookup("ecb-2010")
	if _, ok := s.AgeGroup(domain.Date{}, domain.MustDate(day1)); ok {
		t.Error("a group for someone whose birth date is not known")
	}
}

// TestWholeYears: the birthday counts; someone born on 29 February has it on 1 March in other years.
func TestWholeYears(t *testing.T) {
	t.Parallel()
	s := dayOfPlay(t)
	for on, want := range map[string]string{"2026-02-28": "U14", "2026-03-01": "U15", "2028-02-28": "U16", "2028-02-29": "U17"} {
		if got, _ := s.AgeGroup(domain.MustDate("2012-02-29"), domain.MustDate(on)); got != want {
			t.Errorf("on %s: %s, want %s", on, got, want)
		}
	}
}

// TestBandsOfOtherGroups: a group below the lowest row is judged by it, one between two rows by the next up, one above by nothing.
func TestBandsOfOtherGroups(t *testing.T) {
	t.Parallel()
	cases := []struct{ set, group, want string }{
		{"ca-2019", "U7", "spell_overs 5 3/2 guidance"},
		{"ca-2019", "U12", ""},
		{"ecb-2010", "U9", ""},
		{"ca-2019", "U20", ""},
	}
	for _, c := range cases {
		res := bowler(t, c.group).overs("F1 F3 F5").under(c.set)
		wantFindings(t, res, c.want)
		if len(res.Findings) > 0 && *res.Findings[0].AgeGroup != c.group {
			t.Errorf("%s: the finding has the group %s, want the player's own", c.group, *res.Findings[0].AgeGroup)
		}
	}
	res := bowler(t, "U20").format(40, 2).overs("F1 F3 F5 F9").under("ecb-2010")
	wantFindings(t, res, "bowler_cap 5 3/2; bowler_cap 9 4/2")
	if res.Spells[0].EarliestSameEnd != nil {
		t.Error("rest is owed by someone whom no limit concerns")
	}
}
