package naive

import (
	"slices"
)

// spell is a spell of one bowler, its overs in order. Rest can be owed only between spells of one stretch: a new innings, a
// new date or a long break begins another stretch (A10).
type spell struct {
	overs   []Over
	stretch int
}

func (s spell) first() Over { return s.overs[0] }
func (s spell) last() Over  { return s.overs[len(s.overs)-1] }

// inningsOf are the rows of one innings.
func (l Log) inningsOf(match string, innings int) []Over {
	var rows []Over
	for _, o := range l.Overs {
		if o.Match == match && o.Innings == innings {
			rows = append(rows, o)
		}
	}
	return rows
}

// ends lists the end of each over of an innings by its number, far beyond the last over of the file (A6).
func ends(rows []Over) []string {
	last := 0
	for _, o := range rows {
		last = max(last, o.Over)
	}
	end := []string{"B"} // before over 1, so that an over 1 without a row is from A
	for n := 1; n <= 3*last+10; n++ {
		e := other(end[n-1])
		for _, o := range rows {
			if o.Over == n {
				e = o.End
				if e == "" {
					e = [2]string{"B", "A"}[n%2]
				}
			}
		}
		end = append(end, e)
	}
	return end
}

func other(end string) string {
	if end == "A" {
		return "B"
	}
	return "A"
}

// firstFrom is the first over from an end that is not before over n.
func firstFrom(end []string, n int, from string) int {
	for end[n] != from {
		n++
	}
	return n
}

// earliest is A12: the over after the one that repays a spell of some overs that ended with over m.
func earliest(end []string, overs, m int) int {
	bowled := 0
	for n := m + 1; ; n++ {
		if end[n] == end[m] {
			bowled++
		}
		if bowled == overs {
			return n + 1
		}
	}
}

// goesOn is A9: the next over, or the first from its end at or after last+2.
func goesOn(end []string, last, n int) bool {
	return n == last+1 || n == firstFrom(end, last+2, end[n])
}

// longBreak is A10: one break of at least so many minutes before an over after last and up to n, on any row (A4: the longest
// of a shared over counts).
func longBreak(rows []Over, last, n, minutes int) bool {
	for _, o := range rows {
		if o.Over > last && o.Over <= n && o.BreakMin >= minutes {
			return true
		}
	}
	return false
}

// spells lists the spells of a player in the order of A18: matches as they first stand in the file, innings, overs. A match
// of several days is not taken apart, so the spells of one date are in order, all spells need not be.
func (l Log) spells(player string, breakMin int) []spell {
	var all []spell
	stretch := 0
	for _, match := range l.matches() {
		for _, innings := range l.inningsNumbers(match) {
			rows := l.inningsOf(match, innings)
			end := ends(rows)
			stretch++
			var mine []Over
			for _, o := range rows {
				if o.Player == player {
					mine = append(mine, o)
				}
			}
			slices.SortFunc(mine, func(a, b Over) int { return a.Over - b.Over })
			for i, o := range mine {
				if i == 0 {
					all = append(all, spell{overs: []Over{o}, stretch: stretch})
					continue
				}
				before := mine[i-1]
				current := &all[len(all)-1]
				switch {
				case o.Date != before.Date || longBreak(rows, before.Over, o.Over, breakMin):
					stretch++
					all = append(all, spell{overs: []Over{o}, stretch: stretch})
				case goesOn(end, before.Over, o.Over):
					current.overs = append(current.overs, o)
				default:
					all = append(all, spell{overs: []Over{o}, stretch: stretch})
				}
			}
		}
	}
	return all
}

func (l Log) inningsNumbers(match string) []int {
	var numbers []int
	for _, o := range l.Overs {
		if o.Match == match {
			numbers = append(numbers, o.Innings)
		}
	}
	slices.Sort(numbers)
	return slices.Compact(numbers)
}

// fastOvers counts the overs of a spell that are fast in the set (A8).
func (r rules) fastOvers(l Log, s spell) int {
	n := 0
	for _, o := range s.overs {
		if r.isFast(l, o.Player, o.Kind) {
			n++
		}
	}
	return n
}

// owes is A12 and A15: whether rest is owed after a spell.
func (r rules) owes(l Log, s spell) bool {
	o := s.last()
	return r.restChecked(l, o) && r.fastOvers(l, s) > 0
}

// restChecked is A12, A15 and A16: whether the rest rule holds for a bowler in a match.
func (r rules) restChecked(l Log, o Over) bool {
	b := r.band(l, o.Player, o.Date)
	if !r.rest || b == nil || !r.judges(o) {
		return false
	}
	short := o.OversASide > 0 && o.OversASide <= 20 && o.BowlerCap > 0 && o.BowlerCap <= b.spell
	return !r.england || !short
}

// judges is A16.
func (r rules) judges(o Over) bool { return !r.oneDayOff || o.OversASide == 0 }
