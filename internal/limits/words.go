package limits

import (
	"strconv"
	"strings"
)

// AppendSays adds the sentence that tells a finding to an adult: the numbers, the limit, and who published it in which year.
// over is the number of the over it stands at, 0 where there is none.
func (s *Set) AppendSays(dst []byte, b *Breach, over int) []byte {
	switch b.limit {
	case bowlerCap:
		dst = append(dst, "Over "...)
		dst = num(dst, over)
		dst = append(dst, " was the bowler's over number "...)
		dst = num(dst, int(b.Actual))
		dst = append(dst, " of the innings; the format of the match allows one bowler "...)
		dst = num(dst, int(b.Allowed))
		return append(dst, '.')
	case spellOvers:
		dst = append(dst, "Over "...)
		dst = num(dst, over)
		dst = append(dst, " was over number "...)
		dst = num(dst, int(b.Actual))
		dst = append(dst, " of the spell; "...)
		dst = s.appendLimit(dst, b, " in one spell")
	case restOvers:
		dst = s.appendRest(dst, b, over)
	case dayOvers:
		dst = num(dst, int(b.Actual))
		dst = append(dst, " overs that day; "...)
		dst = s.appendLimit(dst, b, " in one day")
	case daysIn7:
		dst = num(dst, int(b.Actual))
		dst = append(dst, " bowling days in the seven days up to this one; "...)
		dst = s.appendLimit(dst, b, "")
	case runOfDays:
		dst = num(dst, int(b.Actual))
		dst = append(dst, " bowling days in a row; "...)
		dst = s.appendLimit(dst, b, "")
	case netBalls:
		dst = num(dst, int(b.Actual))
		dst = append(dst, " balls in one net session; "...)
		dst = s.appendLimit(dst, b, "")
	case netPerWeek:
		dst = num(dst, int(b.Actual))
		dst = append(dst, " net sessions with fast bowling in seven days; "...)
		dst = s.appendLimit(dst, b, "")
	case weekOvers, weekBalls, limitCount:
		dst = num(dst, int(b.Actual))
		dst = append(dst, " in seven days; "...)
		dst = s.appendLimit(dst, b, "")
	}
	return s.appendPublished(dst)
}

func (s *Set) appendRest(dst []byte, b *Breach, over int) []byte {
	dst = append(dst, "Came back with "...)
	if b.slower {
		dst = append(dst, "slower"...)
	} else {
		dst = append(dst, "fast"...)
	}
	dst = append(dst, " bowling at over "...)
	dst = num(dst, over)
	dst = append(dst, "; the rest owed for an earlier fast spell ends with over "...)
	dst = num(dst, int(b.Earliest)-1)
	switch {
	case b.slower:
		return append(dst, ", and the text does not say that slower bowling may be bowled in it"...)
	case b.guidance:
		return append(dst, ": as many overs as the spell from the same end are advised"...)
	}
	return append(dst, ": as many overs as the spell from the same end are asked for"...)
}

// appendLimit adds "at most 6 are allowed in one spell in U15", or "advised".
func (s *Set) appendLimit(dst []byte, b *Breach, where string) []byte {
	dst = append(dst, "at most "...)
	dst = num(dst, int(b.Allowed))
	if b.guidance {
		dst = append(dst, " are advised"...)
	} else {
		dst = append(dst, " are allowed"...)
	}
	dst = append(dst, where...)
	if b.HasGroup() {
		dst = append(dst, " in U"...)
		dst = num(dst, int(b.Group))
	}
	return dst
}

// appendPublished adds the title, body and year, and ends the sentence.
func (s *Set) appendPublished(dst []byte) []byte {
	dst = append(dst, " ("...)
	dst = append(dst, s.Title...)
	dst = append(dst, ", "...)
	dst = append(dst, s.Publisher...)
	dst = append(dst, ", "...)
	dst = num(dst, s.Year)
	return append(dst, ")."...)
}

func num(dst []byte, n int) []byte { return strconv.AppendInt(dst, int64(n), 10) }

// would turns the sentence of a finding about an over that was bowled into one about an over that is about to be.
func would(limit, says string) string {
	switch limit {
	case SpellOvers, BowlerCap:
		return strings.Replace(says, " was ", " would be ", 1)
	case RestOvers:
		return strings.Replace(strings.Replace(says, "Came back", "Would come back", 1), " lasted until ", " lasts until ", 1)
	case DayOvers, DaysIn7, RunOfDays:
		return "Would make " + says
	}
	return says
}
