package domain

// Joint says how an over of a bowler hangs together with the bowler's over before it.
type Joint uint8

// The three ways.
const (
	FreshStart Joint = iota // a new spell, and nothing before it matters any more
	NewSpell                // a new spell, before which rest may be owed
	SameSpell               // the spell goes on
)

// LongBreakMin is the break in minutes that begins a new spell where no limit set says otherwise: the England directives
// (Fast Bowling Directives, England and Wales Cricket Board, 2010: 40 minutes or more, scheduled or not).
const LongBreakMin = 40

// Join says how over next of a bowler follows on over last, both of this innings and of one day. A spell goes on with
// the next over (two running) or with the first over from its end at or after last+2; a single break of at least
// newSpellAfterMin minutes after last starts afresh. The reading of "the next over he legally can, from the same end or
// the other" is that of the England directives as printed in the Bassetlaw and District Cricket League Handbook, 2012.
func (in *Innings) Join(last, next, newSpellAfterMin int) Joint {
	if in.LongestBreak(last, next) >= newSpellAfterMin {
		return FreshStart
	}
	if next == last+1 {
		return SameSpell
	}
	w := in.walkFrom(last + 2)
	end := in.EndOf(next)
	for w.over < next {
		if w.end == end {
			return NewSpell
		}
		w.next()
	}
	if w.over == next {
		return SameSpell
	}
	return NewSpell // next does not come after last: the log is not in order
}
