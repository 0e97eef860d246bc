package limits

import "longspell/internal/domain"

// Evaluator judges one player after the other under one set. What Run leaves in the exported fields is valid until the next Run.
type Evaluator struct {
	AsOf domain.Date // the last day that counts; it must be set before Run

	Judged   bool
	Breaches []Breach // in the order in which they were met
	Spells   []SpellRow
	Days     []DayRow
	Left     LeftRow

	set         *Set
	slower      restReading
	netsMakeDay bool
	everySpell  bool // every kind of bowling can be past the spell cap

	log    *PlayerLog
	on     judged
	spell  openSpell
	day    openDay
	capped innings
	days   []domain.Date // bowling days so far
	run    int           // of which the last so many are in a row
	nets   []domain.Date // net sessions with fast bowling so far
}

// SpellRow is a spell as places in the log. SameEnd and OtherEnd are -1 where no rest is owed.
type SpellRow struct {
	First, Last       int32 // places in PlayerLog.Overs
	Overs, Fast       int32
	Balls             int32
	SameEnd, OtherEnd int32
}

// DayRow is what was bowled on a date.
type DayRow struct {
	Date                                domain.Date
	Overs, Fast, Balls, Spells, Longest int32
}

// LeftRow is what is left on AsOf; -1 = no such limit.
type LeftRow struct{ SpellOvers, DayOvers, DaysIn7, RunOfDays int32 }

// restReading is how slower bowling during the rest owed is taken.
type restReading uint8

const (
	slowerWarned restReading = iota
	slowerBreaks
	slowerAllowed
)

// judged is by what a player is judged on a date.
type judged struct {
	date  domain.Date
	group int16 // noGroup = not known
	band  *Band // nil = not judged, or above the highest group
}

// openDay is the date being walked through.
type openDay struct {
	row      DayRow
	counted  int32 // overs that count in the day's limit
	seenFast bool
	bowled   bool // it is a bowling day
}

// innings counts a bowler's overs of the innings at hand; the others wait in the map.
type innings struct {
	match string
	no    int
	overs int32
	rest  map[inningsKey]int32
}

type inningsKey struct {
	match string
	no    int
}

// Evaluator makes an evaluator with the settings of opt laid over the set's defaults.
func (s *Set) Evaluator(opt Options) *Evaluator {
	value := func(name string) string {
		for _, st := range s.Settings {
			if st.Name == name {
				if v, ok := opt.Settings[name]; ok {
					return v
				}
				return st.Value
			}
		}
		return ""
	}
	e := &Evaluator{AsOf: opt.AsOf, set: s}
	switch value("spin_in_rest") {
	case "breach":
		e.slower = slowerBreaks
	case "allow":
		e.slower = slowerAllowed
	}
	e.netsMakeDay = value("nets_make_day") != "no"
	e.everySpell = s.SpellCounts == countsAll && value("spell_spin") != "exempt"
	e.capped.rest = map[inningsKey]int32{}
	return e
}

// Run judges a log that is in order of play.
func (e *Evaluator) Run(log *PlayerLog) {
	e.reset(log)
	over, outing := 0, 0
	for {
		date, ok := e.nextDate(over, outing)
		if !ok {
			break
		}
		e.day = openDay{row: DayRow{Date: date}}
		e.on = e.judge(date)
		for ; outing < len(log.Outings) && log.Outings[outing].Date == date; outing++ {
			e.takeOuting(outing)
		}
		for ; over < len(log.Overs) && log.Overs[over].Date == date; over++ {
			e.takeOver(over)
		}
		e.closeSpell()
		e.closeDay()
	}
	e.left()
}

func (e *Evaluator) reset(log *PlayerLog) {
	e.log = log
	e.Judged = !log.Born.IsZero()
	e.Breaches, e.Spells, e.Days = e.Breaches[:0], e.Spells[:0], e.Days[:0]
	e.days, e.nets, e.run = e.days[:0], e.nets[:0], 0
	e.on, e.spell, e.day = judged{group: noGroup}, openSpell{}, openDay{}
	e.capped.match, e.capped.no, e.capped.overs = "", 0, 0
	clear(e.capped.rest)
}

// nextDate is the earliest date not walked through yet, up to AsOf.
func (e *Evaluator) nextDate(over, outing int) (domain.Date, bool) {
	var d domain.Date
	if over < len(e.log.Overs) {
		d = e.log.Overs[over].Date
	}
	if outing < len(e.log.Outings) && (d.IsZero() || e.log.Outings[outing].Date.Before(d)) {
		d = e.log.Outings[outing].Date
	}
	return d, !d.IsZero() && !d.After(e.AsOf)
}

func (e *Evaluator) judge(date domain.Date) judged {
	j := judged{date: date, group: noGroup}
	if !e.Judged {
		return j
	}
	no := e.set.groupNo(e.log.Born, date)
	j.group = int16(no)
	if i := e.set.band(no); i >= 0 {
		j.band = &e.set.Bands[i]
	}
	return j
}

// judgesMatch reports whether the set judges the match of an over at all.
func (e *Evaluator) judgesMatch(o *Over) bool { return e.set.JudgesOneDay || o.OversASide == 0 }

// takeOver takes in the over at a place of the log.
func (e *Evaluator) takeOver(i int) {
	o := &e.log.Overs[i]
	fast := e.set.fast[o.Kind&7]
	e.takeIntoSpell(i, o, fast)
	d := &e.day
	d.row.Overs++
	d.row.Balls += int32(o.Balls)
	if fast {
		d.row.Fast++
	}
	if e.judgesMatch(o) {
		d.bowled = d.bowled || fast
		e.countDay(1, fast, Breach{Over: int32(i), Outing: -1})
	}
	e.countInnings(i, o)
}

// countDay counts overs in the day's limit and finds what is past it.
func (e *Evaluator) countDay(overs int32, fast bool, at Breach) {
	d := &e.day
	d.seenFast = d.seenFast || (fast && overs > 0)
	if overs == 0 || (!fast && e.set.DayCounts == countsFast) {
		return
	}
	d.counted += overs
	if e.on.band == nil || e.on.band.DayOvers == nil || (e.set.DayCounts == countsFromFirstFast && !d.seenFast) {
		return
	}
	if limit := int32(*e.on.band.DayOvers); d.counted > limit {
		e.breach(dayOvers, at, limit, d.counted)
	}
}

// countInnings holds the format's own cap: it counts every over and every bowler, whatever the age.
func (e *Evaluator) countInnings(i int, o *Over) {
	c := &e.capped
	if c.no != o.Innings || c.match != o.Match {
		if c.no != 0 {
			c.rest[inningsKey{c.match, c.no}] = c.overs
		}
		c.match, c.no = o.Match, o.Innings
		c.overs = c.rest[inningsKey{o.Match, o.Innings}]
	}
	c.overs++
	if o.BowlerCap > 0 && c.overs > int32(o.BowlerCap) {
		e.breach(bowlerCap, Breach{Over: int32(i), Outing: -1}, int32(o.BowlerCap), c.overs)
	}
}

// breach notes a finding with the weight of the set's text.
func (e *Evaluator) breach(limit limitNo, at Breach, allowed, actual int32) {
	at.limit, at.Allowed, at.Actual, at.Earliest = limit, allowed, actual, NoNumber
	at.guidance = e.set.figure[limit].Weight == WeightGuidance
	at.Date, at.Group = e.on.date, e.on.group
	e.Breaches = append(e.Breaches, at)
}
