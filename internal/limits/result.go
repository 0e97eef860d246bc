package limits

import (
	"strings"

	"longspell/internal/domain"
)

// The limits that a finding may be about.
const (
	SpellOvers = "spell_overs"  // overs in one spell
	RestOvers  = "rest_overs"   // the bowler came back too early
	DayOvers   = "day_overs"    // overs in one day
	WeekOvers  = "week_overs"   // overs in a week
	WeekBalls  = "week_balls"   // balls in a week
	DaysIn7    = "days_in_7"    // bowling days in any seven days
	RunOfDays  = "run_of_days"  // bowling days in a row
	NetBalls   = "net_balls"    // balls in one net session
	NetPerWeek = "net_per_week" // net sessions in any seven days
	BowlerCap  = "bowler_cap"   // the format's overs for one bowler in an innings
)

// The weights of a finding: the text forbids, the text advises, a region's or club's own house rule.
const (
	WeightLimit    = "limit"
	WeightGuidance = "guidance"
	WeightPolicy   = "policy"
)

// FormatSource is the source of a bowler_cap finding: the match's own format.
const FormatSource = "format"

// Finding is one limit that was broken, once. A nil pointer is null: what the limit does not have, or the log does not say.
// Findings of rest carry Earliest, the first over at which the bowler might have come back, in place of Allowed.
type Finding struct {
	Player   string      `json:"player"`
	Date     domain.Date `json:"date"`
	Match    *string     `json:"match"` // the match, or the outing
	Innings  *int        `json:"innings"`
	Over     *int        `json:"over"`
	Limit    string      `json:"limit"`
	Weight   string      `json:"weight"`
	Allowed  *int        `json:"allowed"`
	Actual   int         `json:"actual"`
	Earliest *int        `json:"earliest"`
	AgeGroup *string     `json:"age_group"`
	Source   string      `json:"source"`
	Says     string      `json:"says"`

	LimitSet string `json:"-"`
}

// Key names the finding for good: the same log gives the same key in every evaluation. It holds set, limit, player, date,
// match, innings and over; in place of the set a bowler_cap finding has the format, because it is the same under every set.
func (f Finding) Key() string {
	set := f.LimitSet
	if f.Limit == BowlerCap {
		set = FormatSource
	}
	var b strings.Builder
	for i, part := range []string{set, f.Limit, f.Player, f.Date.String(), orBlank(f.Match)} {
		if i > 0 {
			b.WriteByte('|')
		}
		keyEscape.WriteString(&b, part)
	}
	b.WriteString("|" + itoa(f.Innings) + "|" + itoa(f.Over))
	return b.String()
}

var keyEscape = strings.NewReplacer(`\`, `\\`, "|", `\|`)

// Spell is one spell. EarliestSameEnd and EarliestOtherEnd are the first overs from the end of its last over and from the other
// end at which the rest for this spell alone is repaid; nil where none is owed.
type Spell struct {
	Player           string `json:"player"`
	Match            string `json:"match"`
	Innings          int    `json:"innings"`
	FirstOver        int    `json:"first_over"`
	LastOver         int    `json:"last_over"`
	Overs            int    `json:"overs"`
	FastOvers        int    `json:"fast_overs"`
	Balls            int    `json:"balls"`
	EarliestSameEnd  *int   `json:"earliest_same_end"`
	EarliestOtherEnd *int   `json:"earliest_other_end"`

	Date domain.Date `json:"-"`
}

// Day is what a player bowled on one date; Spells and LongestSpell are of the over log alone.
type Day struct {
	Player       string      `json:"player"`
	Date         domain.Date `json:"date"`
	Overs        int         `json:"overs"`
	FastOvers    int         `json:"fast_overs"`
	Balls        int         `json:"balls"`
	Spells       int         `json:"spells"`
	LongestSpell int         `json:"longest_spell"`
}

// Left is what is left of each limit on a date, after what was bowled on it; nil = the set has no such limit for this player.
type Left struct {
	Player     string      `json:"player"`
	Date       domain.Date `json:"date"`
	SpellOvers *int        `json:"spell_overs"`
	DayOvers   *int        `json:"day_overs"`
	DaysIn7    *int        `json:"days_in_7"`
	RunOfDays  *int        `json:"run_of_days"`
}

// Result is what one player's log comes to under one set. Judged is false where the birth date is not known: then only the
// format's own cap was looked at. Findings are in order of date, match, innings, over, limit (null first); Spells and Days
// in order of play.
type Result struct {
	Judged   bool
	Findings []Finding
	Spells   []Spell
	Days     []Day
	Left     Left
}
