package naive

import (
	"cmp"
	"slices"
)

// Finding is one finding of check. Source is set only where the text names it; Earliest stands instead of Allowed.
type Finding struct {
	Player   string  `json:"player"`
	Date     string  `json:"date"`
	Match    *string `json:"match"`
	Innings  *int    `json:"innings"`
	Over     *int    `json:"over"`
	Limit    string  `json:"limit"`
	Weight   string  `json:"weight"`
	Allowed  *int    `json:"allowed"`
	Earliest *int    `json:"earliest"`
	Actual   int     `json:"actual"`
	AgeGroup *string `json:"age_group"`
	Source   string  `json:"source,omitempty"`
}

// Answer is the answer of check, without the texts.
type Answer struct {
	LimitSet  string            `json:"limit_set"`
	AsOf      *string           `json:"asof"`
	NotJudged []string          `json:"not_judged"`
	Settings  map[string]string `json:"settings"`
	Findings  []Finding         `json:"findings"`
	Spells    []SpellRow        `json:"spells"`
	Days      []DayRow          `json:"days"`
	Left      []LeftRow         `json:"left"`
}

// Ask is what was asked of check.
type Ask struct {
	Limits   string
	AsOf     string // blank: the latest date of any row
	Settings map[string]string
}

// checker is one question on one log.
type checker struct {
	rules
	log      Log
	asof     string
	settings map[string]string
	found    []Finding
}

// Check answers check.
func Check(log Log, ask Ask) Answer {
	c := &checker{rules: setOf(ask.Limits), settings: inForce(ask)}
	c.log, c.asof = log.until(ask.AsOf)
	a := Answer{LimitSet: ask.Limits, Settings: c.settings, NotJudged: []string{}, Spells: []SpellRow{}, Days: []DayRow{}, Left: []LeftRow{}}
	if c.asof != "" {
		a.AsOf = &c.asof
	}
	for _, player := range c.log.players(true) {
		if c.log.listed(player).Born == "" {
			a.NotJudged = append(a.NotJudged, player)
		}
		c.spellCap(player)
		c.restOwed(player)
		c.dayCap(player)
		c.bowlingDays(player)
		c.netPractice(player)
		c.formatCap(player)
		a.Spells = append(a.Spells, c.spellRows(player)...)
		a.Days = append(a.Days, c.dayRows(player)...)
		a.Left = append(a.Left, c.leftRow(player))
	}
	slices.SortStableFunc(c.found, order)
	a.Findings = c.found
	if a.Findings == nil {
		a.Findings = []Finding{}
	}
	return a
}

// inForce is the settings, default first; spell_spin is of dvca-2017 alone and spin_in_rest of the sets with a rest rule.
func inForce(ask Ask) map[string]string {
	s := map[string]string{}
	switch ask.Limits {
	case "dvca-2017":
		s["spell_spin"] = "counts"
	case "ecb-2010", "ca-2019":
		s["spin_in_rest"] = "warn"
		s["nets_make_day"] = "yes"
	default:
		s["spin_in_rest"] = "warn"
	}
	for name, value := range ask.Settings {
		s[name] = value
	}
	return s
}

// order is A28: date, match, innings, over, player, limit; null first, text byte by byte.
func order(a, b Finding) int {
	return cmp.Or(
		cmp.Compare(a.Date, b.Date),
		nullFirst(a.Match, b.Match),
		nullFirst(a.Innings, b.Innings),
		nullFirst(a.Over, b.Over),
		cmp.Compare(a.Player, b.Player),
		cmp.Compare(a.Limit, b.Limit),
	)
}

func nullFirst[T cmp.Ordered](a, b *T) int {
	switch {
	case a == nil && b == nil:
		return 0
	case a == nil:
		return -1
	case b == nil:
		return 1
	}
	return cmp.Compare(*a, *b)
}

// atOver begins a finding at an over.
func (c *checker) atOver(o Over, limit, weight string) Finding {
	return Finding{
		Player: o.Player, Date: o.Date, Match: new(o.Match), Innings: new(o.Innings), Over: new(o.Over),
		Limit: limit, Weight: weight, AgeGroup: c.groupName(c.log, o.Player, o.Date),
	}
}

// atOuting begins a finding on an outing: match is the outing (A18, A21).
func (c *checker) atOuting(o Outing, limit string) Finding {
	return Finding{
		Player: o.Player, Date: o.Date, Match: new(o.Outing), Limit: limit, Weight: c.weight,
		AgeGroup: c.groupName(c.log, o.Player, o.Date),
	}
}

func (c *checker) past(f Finding, allowed, actual int) {
	f.Allowed, f.Actual = new(allowed), actual
	c.found = append(c.found, f)
}

// spellCap is A11: every over past the cap that is fast (dvca-2017: of any kind, unless spell_spin=exempt).
func (c *checker) spellCap(player string) {
	for _, s := range c.log.spells(player, c.breakMin) {
		for i, o := range s.overs {
			b := c.band(c.log, player, o.Date)
			if b == nil || !c.judges(o) || i+1 <= b.spell {
				continue
			}
			if c.isFast(c.log, player, o.Kind) || c.spellAll && c.settings["spell_spin"] != "exempt" {
				c.past(c.atOver(o, "spell_overs", c.weight), b.spell, i+1)
			}
		}
	}
}

// restOwed is A13 and A14.
func (c *checker) restOwed(player string) {
	spells := c.log.spells(player, c.breakMin)
	for i, s := range spells {
		until := 0 // the largest earliest of the spells before in the same stretch
		for _, before := range spells[:i] {
			if before.stretch == s.stretch && c.owes(c.log, before) {
				o := before.last()
				end := ends(c.log.inningsOf(o.Match, o.Innings))
				until = max(until, earliest(end, len(before.overs), o.Over))
			}
		}
		fast, slow := false, false
		for _, o := range s.overs {
			if o.Over >= until || !c.restChecked(c.log, o) {
				continue
			}
			weight := c.weight
			switch {
			case c.isFast(c.log, player, o.Kind):
				if fast {
					continue
				}
				fast = true
			default:
				if slow || fast || c.settings["spin_in_rest"] == "allow" {
					continue
				}
				slow = true
				if c.settings["spin_in_rest"] == "warn" {
					weight = "guidance"
				}
			}
			f := c.atOver(o, "rest_overs", weight)
			f.Earliest, f.Actual = new(until), o.Over
			c.found = append(c.found, f)
		}
	}
}

// formatCap is A22.
func (c *checker) formatCap(player string) {
	for _, match := range c.log.matches() {
		for _, innings := range c.log.inningsNumbers(match) {
			rows := c.log.inningsOf(match, innings)
			slices.SortFunc(rows, func(a, b Over) int { return a.Over - b.Over })
			n := 0
			for _, o := range rows {
				if o.Player != player {
					continue
				}
				n++ // A19: a begun over is one over
				if o.BowlerCap > 0 && n > o.BowlerCap {
					f := c.atOver(o, "bowler_cap", "limit")
					f.Source = "format"
					c.past(f, o.BowlerCap, n)
				}
			}
		}
	}
}
