package domain

import "slices"

// Innings is what the limits need to know of everybody's overs of one innings: from which end each over came and which
// break stood before it. All bowlers of the innings share one. The zero value and nil are an innings without a row.
//
// An over without a row came from the other end than the over before it (over 1: from A), also beyond the last row.
type Innings struct {
	rows     []inningsOver // by over, one each
	maxBreak int32         // the longest break of all, so that an innings without one is not searched
}

type inningsOver struct {
	over     int32
	breakMin int32
	end      End
}

// NewInnings returns an innings without a row.
func NewInnings() *Innings { return &Innings{} }

// Add takes in one bowler's row of an over. EndUnknown stands for odd overs from A, even overs from B. Of the rows of a
// shared over the first gives the end and the longest break counts.
func (in *Innings) Add(over int, end End, breakMin int) {
	if end == EndUnknown {
		end = parityEnd(over)
	}
	row := inningsOver{over: int32(over), breakMin: int32(breakMin), end: end}
	in.maxBreak = max(in.maxBreak, row.breakMin)
	n := len(in.rows)
	if n == 0 || in.rows[n-1].over < row.over {
		in.rows = append(in.rows, row)
		return
	}
	i := in.at(over)
	if in.rows[i].over == row.over {
		in.rows[i].breakMin = max(in.rows[i].breakMin, row.breakMin)
		return
	}
	in.rows = slices.Insert(in.rows, i, row)
}

// Clone returns an innings that can be added to without touching this one.
func (in *Innings) Clone() *Innings {
	if in == nil {
		return NewInnings()
	}
	return &Innings{rows: slices.Clone(in.rows), maxBreak: in.maxBreak}
}

// EndOf is the end from which an over comes.
func (in *Innings) EndOf(over int) End {
	w := in.walkFrom(over)
	return w.end
}

// FirstFrom is the first over from an end at or after an over.
func (in *Innings) FirstFrom(end End, atOrAfter int) int {
	w := in.walkFrom(atOrAfter)
	for w.end != end {
		w.next()
	}
	return w.over
}

// AfterOvers is the over after the n-th over from an end that is bowled after an over: when a rest of n overs is repaid.
func (in *Innings) AfterOvers(n int, end End, after int) int {
	w := in.walkFrom(after)
	for n > 0 {
		w.next()
		if w.end == end {
			n--
		}
	}
	return w.over + 1
}

// LongestBreak is the longest single break, in minutes, before the overs after+1..upto. Breaks are not added together.
func (in *Innings) LongestBreak(after, upto int) int {
	if in == nil || in.maxBreak == 0 {
		return 0
	}
	longest := int32(0)
	for i := in.at(after + 1); i < len(in.rows) && int(in.rows[i].over) <= upto; i++ {
		longest = max(longest, in.rows[i].breakMin)
	}
	return int(longest)
}

// Last is the last over that has a row, 0 if none.
func (in *Innings) Last() int {
	if in == nil || len(in.rows) == 0 {
		return 0
	}
	return int(in.rows[len(in.rows)-1].over)
}

// at is the place of the first row with that over or a later one.
func (in *Innings) at(over int) int {
	lo, hi := 0, len(in.rows)
	// Overs mostly have a row each, so over n mostly stands at n-1.
	if over >= 1 && over <= hi && int(in.rows[over-1].over) == over {
		return over - 1
	}
	for lo < hi {
		mid := int(uint(lo+hi) >> 1)
		if int(in.rows[mid].over) < over {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return lo
}

// walk goes through the overs of an innings one by one, rows or not.
type walk struct {
	in   *Innings
	over int
	end  End
	row  int // first row after over
}

func (in *Innings) walkFrom(over int) walk {
	if in == nil {
		in = &Innings{}
	}
	w := walk{in: in, over: over, row: in.at(over)}
	switch {
	case w.row < len(in.rows) && int(in.rows[w.row].over) == over:
		w.end = in.rows[w.row].end
		w.row++
	case w.row > 0:
		before := in.rows[w.row-1]
		w.end = before.end
		if (over-int(before.over))%2 != 0 {
			w.end = w.end.Other()
		}
	default:
		w.end = parityEnd(over)
	}
	return w
}

func (w *walk) next() {
	w.over++
	if w.row < len(w.in.rows) && int(w.in.rows[w.row].over) == w.over {
		w.end = w.in.rows[w.row].end
		w.row++
		return
	}
	w.end = w.end.Other()
}

func parityEnd(over int) End {
	if over%2 != 0 {
		return EndA
	}
	return EndB
}
