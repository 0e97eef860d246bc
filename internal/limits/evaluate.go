package limits

import (
	"slices"

	"longspell/internal/domain"
)

// Evaluate judges one player's log. Rows dated after opt.AsOf are left out; the ends and breaks of Innings are taken as they
// are. A log that is not in order of play is put in order first, matches of a date as they first stand in it.
func (s *Set) Evaluate(log PlayerLog, opt Options) Result {
	log = ordered(log)
	e := s.Evaluator(opt)
	if opt.AsOf.IsZero() {
		e.AsOf = lastDay(&log)
	}
	e.Run(&log)
	res := Result{Judged: e.Judged, Findings: make([]Finding, 0, len(e.Breaches)),
		Spells: make([]Spell, 0, len(e.Spells)), Days: make([]Day, 0, len(e.Days))}
	for i := range e.Breaches {
		res.Findings = append(res.Findings, s.finding(&log, &e.Breaches[i]))
	}
	sortFindings(res.Findings)
	for i := range e.Spells {
		res.Spells = append(res.Spells, spellOf(&log, &e.Spells[i]))
	}
	for _, d := range e.Days {
		res.Days = append(res.Days, Day{Player: log.Player, Date: d.Date, Overs: int(d.Overs), FastOvers: int(d.Fast),
			Balls: int(d.Balls), Spells: int(d.Spells), LongestSpell: int(d.Longest)})
	}
	l := e.Left
	res.Left = Left{Player: log.Player, Date: e.AsOf, SpellOvers: numberOrNil(l.SpellOvers), DayOvers: numberOrNil(l.DayOvers),
		DaysIn7: numberOrNil(l.DaysIn7), RunOfDays: numberOrNil(l.RunOfDays)}
	return res
}

// Next gives the findings that one further over would add: what a coach is shown before the over, and told as such. next comes after all that is
// in the log; its Innings must hold it where its end was said. AsOf, where given, must not be before it.
func (s *Set) Next(log PlayerLog, opt Options, next Over) []Finding {
	before := map[string]bool{}
	for _, f := range s.Evaluate(log, opt).Findings {
		before[f.Key()] = true
	}
	log = ordered(log)
	log.Overs = append(slices.Clone(log.Overs), next)
	var added []Finding
	for _, f := range s.Evaluate(log, opt).Findings {
		if !before[f.Key()] {
			f.Says = would(f.Limit, f.Says)
			added = append(added, f)
		}
	}
	return added
}

func ordered(log PlayerLog) PlayerLog {
	if !inOrder(log.Overs) {
		log.Overs = slices.Clone(log.Overs)
		SortOvers(log.Overs)
	}
	byDate := func(a, b Outing) int { return a.Date.Compare(b.Date) }
	if !slices.IsSortedFunc(log.Outings, byDate) {
		log.Outings = slices.Clone(log.Outings)
		slices.SortStableFunc(log.Outings, byDate)
	}
	return log
}

func lastDay(log *PlayerLog) domain.Date {
	var d domain.Date
	if n := len(log.Overs); n > 0 {
		d = log.Overs[n-1].Date
	}
	if n := len(log.Outings); n > 0 && log.Outings[n-1].Date.After(d) {
		d = log.Outings[n-1].Date
	}
	return d
}

func spellOf(log *PlayerLog, r *SpellRow) Spell {
	first, last := &log.Overs[r.First], &log.Overs[r.Last]
	return Spell{Player: log.Player, Match: first.Match, Innings: first.Innings, FirstOver: first.Over, LastOver: last.Over,
		Overs: int(r.Overs), FastOvers: int(r.Fast), Balls: int(r.Balls), Date: first.Date,
		EarliestSameEnd: numberOrNil(r.SameEnd), EarliestOtherEnd: numberOrNil(r.OtherEnd)}
}

func numberOrNil(n int32) *int {
	if n == NoNumber {
		return nil
	}
	return ptr(int(n))
}
