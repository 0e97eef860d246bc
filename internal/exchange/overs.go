package exchange

import (
	"io"

	"longspell/internal/domain"
)

// The columns of overs.csv, in the order of overLayout.
const (
	overMatch = iota
	overDate
	overDay
	overASide
	overCap
	overInnings
	overOver
	overEnd
	overPlayer
	overKind
	overBalls
	overValid
	overBreak
)

var overLayout = []column{{"match", true}, {"date", true}, {"day", false}, {"overs_a_side", false}, {"bowler_cap", false},
	{"innings", true}, {"over", true}, {"end", false}, {"player", true}, {"kind", false}, {"balls", true}, {"valid", false},
	{"break_min", false}}

// maxBreakMin is the longest break in minutes: a month covers whatever stands between two days of a match.
const maxBreakMin = 31 * 24 * 60

// ReadOvers reads overs.csv. The rows are worth something only where no fault came with them.
func ReadOvers(file string, r io.Reader) ([]OverRow, []LineError) {
	var out []OverRow
	errs := ScanOvers(file, r, func(row *OverRow) { out = append(out, *row) })
	return out, errs
}

// ScanOvers reads overs.csv row by row; take gets each row without a fault and must not keep the pointer.
func ScanOvers(file string, r io.Reader, take func(*OverRow)) []LineError {
	t := openTable(file, r, overLayout)
	if !t.readHeader() {
		return t.faults()
	}
	o := overReader{table: t, matches: newNumbers(), players: newNumbers(), innings: map[inningsKey]int32{}}
	for t.next() {
		o.read()
		if !t.bad {
			take(&o.row)
		}
	}
	return t.faults()
}

// overReader reads the rows of an over log and remembers what a later row could contradict.
type overReader struct {
	*table
	row     OverRow
	matches *numbers
	players *numbers

	innings     map[inningsKey]int32
	lastInnings inningsKey
	lastNo      int32
	lastDate    [10]byte
	lastDay     domain.Date
	seen        seenOvers
}

type inningsKey struct{ match, innings int32 }

func (o *overReader) read() {
	t, row := o.table, &o.row
	match, player := o.number(overMatch, o.matches), -1
	row.Line = t.rs.start
	row.Date = o.date()
	row.Day = t.whole(overDay, 1, maxNumber, 1)
	row.OversASide = t.whole(overASide, 1, maxNumber, 0)
	row.BowlerCap = t.whole(overCap, 1, maxNumber, 0)
	row.Innings = t.whole(overInnings, 1, maxNumber, 0)
	row.Over = t.whole(overOver, 1, maxNumber, 0)
	row.End = o.end(row.Over)
	player = o.number(overPlayer, o.players)
	row.Kind = t.kind(overKind)
	row.Balls = t.whole(overBalls, 1, maxNumber, 0)
	o.valid()
	row.BreakMin = t.whole(overBreak, 0, maxBreakMin, 0)
	if match < 0 || player < 0 || row.Innings == 0 || row.Over == 0 {
		return
	}
	row.MatchNo, row.PlayerNo = match, player
	row.Match, row.Player = o.matches.texts[match], o.players.texts[player]
	row.InningsNo = int(o.inningsNo(inningsKey{int32(match), int32(row.Innings)}))
	o.compare()
}

// date is table.date with the date of the row before at hand.
func (o *overReader) date() domain.Date {
	if f := o.field(overDate); len(f) == len(o.lastDate) {
		if !o.lastDay.IsZero() && string(f) == string(o.lastDate[:]) {
			return o.lastDay
		}
		d := o.table.date(overDate, true)
		copy(o.lastDate[:], f)
		o.lastDay = d
		return d
	}
	return o.table.date(overDate, true)
}

func (o *overReader) end(over int) domain.End {
	end, ok := domain.ParseEnd(string(o.field(overEnd)))
	switch {
	case !ok:
		o.refuse(overEnd, "must be A or B")
	case end != domain.EndUnknown:
		return end
	case over%2 == 0:
		return domain.EndB
	}
	return domain.EndA
}

func (o *overReader) valid() {
	o.row.Valid = o.whole(overValid, 0, maxNumber, o.row.Balls)
	if o.row.Balls > 0 && o.row.Valid > o.row.Balls {
		o.refuse(overValid, "must not be above the balls of the row")
	}
}

func (o *overReader) inningsNo(key inningsKey) int32 {
	if key == o.lastInnings {
		return o.lastNo
	}
	no, ok := o.innings[key]
	if !ok {
		no = int32(len(o.innings))
		o.innings[key] = no
		o.seen.grow()
	}
	o.lastInnings, o.lastNo = key, no
	return no
}

// compare holds the row against the rows of the same over before it.
func (o *overReader) compare() {
	row := &o.row
	before, fresh := o.seen.take(int32(row.InningsNo), int32(row.Over), int32(row.PlayerNo), row.Date, row.End)
	switch {
	case fresh:
		return
	case before.samePlayer:
		o.refuse(overOver, "the player has this over of the innings in an earlier row")
	}
	if !before.date.IsZero() && !row.Date.IsZero() && before.date != row.Date {
		o.refuse(overDate, "an earlier row of the same over has the date "+before.date.String())
	}
	if before.end != row.End {
		o.refuse(overEnd, "an earlier row of the same over has the end "+before.end.String())
	}
}
