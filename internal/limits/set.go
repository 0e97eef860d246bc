package limits

import (
	"fmt"
	"slices"
	"strings"

	"longspell/internal/domain"
)

// Set is a published table of limits with its source, as it stands in its data file. Sets are shared: nobody changes one.
type Set struct {
	ID        string       `json:"id"`
	Title     string       `json:"title"`
	Publisher string       `json:"publisher"`
	Year      int          `json:"year"`
	Address   string       `json:"address"`
	ValidFrom domain.Date  `json:"valid_from"`
	ValidTo   *domain.Date `json:"valid_to"` // nil = until further notice

	FastKinds        []string `json:"fast_kinds"` // names of bowling kinds
	FastSays         string   `json:"fast_says"`  // who is fast, in the text's sense
	AgeRule          string   `json:"age_rule"`   // for people; AgeOn is for the evaluator
	AgeOn            AgeOn    `json:"age_on"`
	NewSpellAfterMin int      `json:"new_spell_after_min"` // a single break of this length begins a new spell

	SpellCounts string `json:"spell_counts"` // which overs can be past the spell cap: fast_overs, all
	DayCounts   string `json:"day_counts"`   // which overs count in the day: all_from_first_fast, fast_overs, all
	Rest        bool   `json:"rest_after_spell"`
	// NoRestUpToOvers is the longest match, in overs a side, in which no rest is owed if the format's cap per bowler is not
	// above the player's spell cap; nil = rest is owed in every match.
	NoRestUpToOvers *int `json:"no_rest_up_to_overs_a_side"`
	JudgesOneDay    bool `json:"judges_one_day"` // false = matches with overs a side count in no limit but the format's own

	Bands    []Band    `json:"bands"` // young to old
	Settings []Setting `json:"settings"`
	Figures  []Figure  `json:"figures"`
	Sources  []Source  `json:"sources"`

	fast    [8]bool // by domain.BowlingKind
	figure  [limitCount]Figure
	bandTop []int // by band: the number in UpTo
}

// AgeOn is the day on which the age counts: on Month/Day of the year before the calendar year (year_before), of the year
// in which the season of 1 July to 30 June begins (season), or the day of play itself (day).
type AgeOn struct {
	Of    string `json:"of"`
	Month int    `json:"month"`
	Day   int    `json:"day"`
}

// Band is the figures of the groups up to and including UpTo. nil = the text has no such limit.
type Band struct {
	UpTo       string `json:"up_to"`
	SpellOvers *int   `json:"spell_overs"`
	DayOvers   *int   `json:"day_overs"`
	NetBalls   *int   `json:"net_balls"`
	NetPerWeek *int   `json:"net_per_week"`
	DaysIn7    *int   `json:"days_in_7"`
	RunOfDays  *int   `json:"run_of_days"`
}

// Setting is an open point of the text: Value is our default, Values what it may be.
type Setting struct {
	Name   string   `json:"name"`
	Value  string   `json:"value"`
	Values []string `json:"values"`
	Says   string   `json:"says"`
}

// Figure says of one kind of limit how much weight the text gives it and where it was read.
type Figure struct {
	Limit  string   `json:"limit"`
	Weight string   `json:"weight"`
	Source string   `json:"source"`
	Also   []string `json:"also"`
}

// Source is a place in which a figure was read.
type Source struct {
	ID        string `json:"id"`
	Publisher string `json:"publisher"`
	Title     string `json:"title"`
	Year      *int   `json:"year"` // nil = the page bears none
	Address   string `json:"address"`
}

// ResolveSettings completes the settings given with the defaults of the set. It refuses names and values that the set does
// not know; the error's text reads as the reason of a refusal.
func (s *Set) ResolveSettings(given map[string]string) (map[string]string, error) {
	out := make(map[string]string, len(s.Settings))
	for _, st := range s.Settings {
		out[st.Name] = st.Value
	}
	names := make([]string, 0, len(given))
	for name := range given {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		i := slices.IndexFunc(s.Settings, func(st Setting) bool { return st.Name == name })
		if i < 0 {
			return nil, fmt.Errorf("%s has no setting %q", s.ID, name)
		}
		if !slices.Contains(s.Settings[i].Values, given[name]) {
			return nil, fmt.Errorf("%s must be one of %s", name, strings.Join(s.Settings[i].Values, ", "))
		}
		out[name] = given[name]
	}
	return out, nil
}

// AgeGroup is the player's own group on a day under the set's age rule: U(age+1). false where the birth date is not known.
func (s *Set) AgeGroup(born, on domain.Date) (string, bool) {
	if born.IsZero() || on.IsZero() {
		return "", false
	}
	return groupName(s.groupNo(born, on)), true
}

func groupName(no int) string { return fmt.Sprintf("U%d", no) }

// groupNo is the number in the player's group.
func (s *Set) groupNo(born, on domain.Date) int {
	return domain.AgeOn(born, s.ageDay(on)) + 1
}

// seasonMonth is the month in which a southern season is taken to begin.
const seasonMonth = 7

// ageDay is the day on which the age counts for something bowled on a day.
func (s *Set) ageDay(on domain.Date) domain.Date {
	if s.AgeOn.Of == ageOnDay {
		return on
	}
	year, month, _ := on.YMD()
	if s.AgeOn.Of == ageYearBefore || month < seasonMonth {
		year--
	}
	d, err := domain.NewDate(year, s.AgeOn.Month, s.AgeOn.Day)
	if err != nil {
		return on // the first year that a date may have: there is no year before it
	}
	return d
}

// band is the place of the band that judges a group: the first whose highest group is not below it; -1 above the highest.
func (s *Set) band(group int) int {
	for i, top := range s.bandTop {
		if group <= top {
			return i
		}
	}
	return -1
}

// IsFast reports whether a kind of bowling is fast in this set.
func (s *Set) IsFast(k domain.BowlingKind) bool { return s.fast[k&7] }
