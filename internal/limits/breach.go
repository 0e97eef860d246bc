package limits

import (
	"cmp"
	"slices"
	"strconv"

	"longspell/internal/domain"
)

// limitNo numbers the limits in the byte order of their names, so that order by number is order by name.
type limitNo uint8

const (
	bowlerCap limitNo = iota
	dayOvers
	daysIn7
	netBalls
	netPerWeek
	restOvers
	runOfDays
	spellOvers
	weekBalls
	weekOvers
	limitCount
)

var limitNames = [limitCount]string{BowlerCap, DayOvers, DaysIn7, NetBalls, NetPerWeek, RestOvers, RunOfDays, SpellOvers, WeekBalls, WeekOvers}

// String is the name of the limit in the files.
func (n limitNo) String() string { return limitNames[n] }

func limitNoOf(name string) (limitNo, bool) {
	i := slices.Index(limitNames[:], name)
	return limitNo(max(i, 0)), i >= 0
}

// Breach is a finding before its words: numbers, and places in the log it was found in.
type Breach struct {
	Date     domain.Date
	Over     int32 // place in PlayerLog.Overs, -1 = none
	Outing   int32 // place in PlayerLog.Outings, -1 = none
	Allowed  int32 // NoNumber = none
	Actual   int32
	Earliest int32 // NoNumber = none
	Group    int16 // the number in the player's age group, noGroup = not known
	limit    limitNo
	guidance bool
	slower   bool // of rest: it was not fast bowling
}

const (
	NoNumber = -1 // stands for null in Breach, SpellRow and LeftRow
	noGroup  = -1 << 15
)

// Limit is the name of the limit that was broken.
func (b *Breach) Limit() string { return b.limit.String() }

// LimitOrder grows with the names of the limits in byte order.
func (b *Breach) LimitOrder() uint8 { return uint8(b.limit) }

// Weight is the weight of the finding.
func (b *Breach) Weight() string {
	if b.guidance {
		return WeightGuidance
	}
	return WeightLimit
}

// HasAllowed reports whether Allowed holds a number.
func (b *Breach) HasAllowed() bool { return b.Allowed != NoNumber }

// HasEarliest reports whether Earliest holds a number.
func (b *Breach) HasEarliest() bool { return b.Earliest != NoNumber }

// HasGroup reports whether the player's age group is known.
func (b *Breach) HasGroup() bool { return b.Group != noGroup }

// SourceOf is the id of the source of a breach's limit in this set.
func (s *Set) SourceOf(b *Breach) string {
	if b.limit == bowlerCap {
		return FormatSource
	}
	return s.figure[b.limit].Source
}

// finding gives a breach its words and its place.
func (s *Set) finding(log *PlayerLog, b *Breach) Finding {
	f := Finding{Player: log.Player, Date: b.Date, Limit: b.Limit(), Weight: b.Weight(), Actual: int(b.Actual),
		Source: s.SourceOf(b), LimitSet: s.ID}
	over := 0
	switch {
	case b.Over >= 0:
		o := &log.Overs[b.Over]
		f.Match, f.Innings, f.Over = ptr(o.Match), ptr(o.Innings), ptr(o.Over)
		over = o.Over
	case b.Outing >= 0:
		f.Match = ptr(log.Outings[b.Outing].Ref)
	}
	if b.HasAllowed() {
		f.Allowed = ptr(int(b.Allowed))
	}
	if b.HasEarliest() {
		f.Earliest = ptr(int(b.Earliest))
	}
	if b.HasGroup() {
		f.AgeGroup = ptr(groupName(int(b.Group)))
	}
	f.Says = string(s.AppendSays(nil, b, over))
	return f
}

// sortFindings puts the findings of one player into order: date, match, innings, over, limit; null first.
func sortFindings(fs []Finding) {
	slices.SortStableFunc(fs, func(a, b Finding) int {
		return cmp.Or(a.Date.Compare(b.Date), compareNull(a.Match, b.Match), compareNull(a.Innings, b.Innings),
			compareNull(a.Over, b.Over), cmp.Compare(a.Limit, b.Limit))
	})
}

func compareNull[T cmp.Ordered](a, b *T) int {
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

func ptr[T any](v T) *T { return &v }

func orBlank(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}

func itoa(n *int) string {
	if n == nil {
		return ""
	}
	return strconv.Itoa(*n)
}
