package naive

import (
	"fmt"
	"slices"
)

// band is one row of a published table: everybody up to U(upTo) who is in no row before it. A 0 is "no such limit".
type band struct {
	upTo                         int
	spell, day                   int
	netBalls, nets, days, inARow int
}

// rules is one limit set: its table and the readings that differ between the sets.
type rules struct {
	id         string
	fast       []string                 // A8
	breakMin   int                      // A10
	ageDay     func(date string) string // A23
	england    bool                     // A15 and A17: the short-match exemption; the day counts from the first fast over
	dayAll     bool                     // A17: all overs count, not only fast ones
	spellAll   bool                     // A11: every kind can break the spell cap
	rest       bool                     // A15: dvca-2017 has no rest rule
	oneDayOff  bool                     // A16
	weight     string                   // A25
	daysWeight string                   // A25
	bands      []band
}

var sets = []rules{
	{
		// Match and practice table: club page "Guidance on Young Cricketers 2 of 4 (match and practice directives)",
		// www.chiddcc.uk/a/guidance-on-young-cricketers-48744.html?page=2. Days (at most 4 in 7, at most 2 in a row): Cheshire
		// Cricket League Handbook 2022, ECB Young Player Directives, crickethistory.website/league/ccl/ccl_handbook_2022/111.
		id: "ecb-2010", fast: []string{"seam_back"}, breakMin: 40, ageDay: augustBefore, england: true, dayAll: true, rest: true,
		weight: "limit", daysWeight: "guidance",
		bands: []band{
			{upTo: 13, spell: 5, day: 10, netBalls: 30, nets: 2, days: 4, inARow: 2},
			{upTo: 15, spell: 6, day: 12, netBalls: 36, nets: 2, days: 4, inARow: 2},
			{upTo: 17, spell: 7, day: 18, netBalls: 36, nets: 3, days: 4, inARow: 2},
			{upTo: 19, spell: 7, day: 18, netBalls: 42, nets: 3, days: 4, inARow: 2},
		},
	},
	{
		// Horsmonden CC, Fast bowling policy (before and after 2010), www.horsmondencc.co.uk/fast-bowling-policy/
		id: "ecb-pre2010", fast: []string{"seam_back"}, breakMin: 40, ageDay: augustBefore, england: true, dayAll: true, rest: true,
		weight: "limit",
		bands: []band{
			{upTo: 13, spell: 4, day: 8}, {upTo: 15, spell: 5, day: 10}, {upTo: 17, spell: 6, day: 18}, {upTo: 19, spell: 7, day: 21},
		},
	},
	{
		// Cricket Australia, Junior Bowling Guidelines 2019/20,
		// pdfslide.net/documents/cricket-australia-junior-bowling-guidelines.html
		// U13 to U17: 3 bowling days a week with a day off between; U19: 4 a week, 2 in a row.
		id: "ca-2019", fast: []string{"seam_back", "seam_up"}, breakMin: 40, ageDay: seasonDay("08-31"), rest: true,
		weight: "guidance", daysWeight: "guidance",
		bands: []band{
			{upTo: 11, spell: 2, day: 4},
			{upTo: 13, spell: 4, day: 8, days: 3, inARow: 1},
			{upTo: 15, spell: 5, day: 12, days: 3, inARow: 1},
			{upTo: 17, spell: 6, day: 16, days: 3, inARow: 1},
			{upTo: 19, spell: 7, day: 20, days: 4, inARow: 2},
		},
	},
	{
		// Wairarapa Cricket, Limitation of overs for pace bowlers,
		// wairarapacricket.co.nz/rules-documents-library/limitation-of-overs-for-pace-bowlers/
		id: "nz-district", fast: []string{"seam_back"}, breakMin: 60, ageDay: seasonDay("09-01"), rest: true, oneDayOff: true,
		weight: "limit",
		bands:  []band{{upTo: 18, spell: 6, day: 16}, {upTo: 19, spell: 6, day: 20}},
	},
	{
		// DVCA, 2017/18 Rule change S16, over limits for young bowlers, 6 September 2017,
		// www.dvca.org.au/single-post/2017/09/06/2017-18-rule-change-s16-over-limits-for-young-bowlers
		id: "dvca-2017", fast: []string{"seam_back", "seam_up"}, breakMin: 40, ageDay: onTheDay, dayAll: true, spellAll: true,
		weight: "limit",
		bands:  []band{{upTo: 14, spell: 5, day: 16}, {upTo: 16, spell: 5, day: 20}, {upTo: 18, spell: 8, day: 24}},
	},
}

func setOf(id string) rules {
	for _, s := range sets {
		if s.id == id {
			return s
		}
	}
	panic("naive: no such set: " + id)
}

// augustBefore is A23, England: 31 August of the year before the calendar year of the date.
func augustBefore(date string) string {
	return fmt.Sprintf("%04d-08-31", civil(date).Year()-1)
}

// seasonDay is A23, Australia and New Zealand: a day of the year in which the season (1 July to 30 June) begins.
func seasonDay(monthDay string) func(string) string {
	return func(date string) string {
		year := civil(date).Year()
		if date[5:] < "07-01" {
			year--
		}
		return fmt.Sprintf("%04d-%s", year, monthDay)
	}
}

func onTheDay(date string) string { return date }

// age is A23: whole years, the birthday included; 29 February has its birthday on 1 March in other years.
func age(born, on string) int {
	years := civil(on).Year() - civil(born).Year()
	if on[5:] < born[5:] {
		years--
	}
	return years
}

// group is A23: the number of U(age+1), and whether the age is known.
func (r rules) group(l Log, player, date string) (int, bool) {
	born := l.listed(player).Born
	if born == "" {
		return 0, false
	}
	return age(born, r.ageDay(date)) + 1, true
}

// groupName is A28: the player's own group, nil where it is not known.
func (r rules) groupName(l Log, player, date string) *string {
	g, known := r.group(l, player, date)
	if !known {
		return nil
	}
	return new(fmt.Sprintf("U%d", g))
}

// band is A24: the first row that is not below the group. Nil where nothing limits the player: age not known, or too old.
func (r rules) band(l Log, player, date string) *band {
	g, known := r.group(l, player, date)
	if !known {
		return nil
	}
	for _, b := range r.bands {
		if g <= b.upTo {
			return &b
		}
	}
	return nil
}

// isFast is A8 with A3.
func (r rules) isFast(l Log, player, kind string) bool {
	return slices.Contains(r.fast, l.kindOf(player, kind))
}
