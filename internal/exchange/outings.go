package exchange

import (
	"io"

	"longspell/internal/domain"
)

// The columns of outings.csv, in the order of outingLayout.
const (
	outingRef = iota
	outingDate
	outingClub
	outingSquad
	outingKind
	outingState
	outingPlayer
	outingPresent
	outingBowling
	outingBalls
	outingOvers
	outingHits
	outingTrial
	outingEffort
)

var outingLayout = []column{{"outing", true}, {"date", true}, {"club", false}, {"squad", false}, {"kind_of_outing", true}, {"state", true},
	{"player", true}, {"present", false}, {"bowling_kind", false}, {"balls", false}, {"overs", false}, {"hits", false}, {"trial", false},
	{"effort", false}}

// maxEffort is the top of the scale of perceived effort, 0 to 10.
const maxEffort = 10

// ReadOutings reads outings.csv. The rows are worth something only where no fault came with them.
func ReadOutings(file string, r io.Reader) ([]OutingRow, []LineError) {
	var out []OutingRow
	errs := ScanOutings(file, r, func(row *OutingRow) { out = append(out, *row) })
	return out, errs
}

// ScanOutings reads outings.csv row by row; take gets each row without a fault and must not keep the pointer.
func ScanOutings(file string, r io.Reader, take func(*OutingRow)) []LineError {
	t := openTable(file, r, outingLayout)
	if !t.readHeader() {
		return t.faults()
	}
	names := newNumbers()
	var row OutingRow
	for t.next() {
		readOuting(t, names, &row)
		if !t.bad {
			take(&row)
		}
	}
	return t.faults()
}

func readOuting(t *table, names *numbers, row *OutingRow) {
	*row = OutingRow{
		Line:       t.rs.start,
		Outing:     t.shared(outingRef, names),
		Date:       t.date(outingDate, true),
		Club:       t.shared(outingClub, names),
		Squad:      t.shared(outingSquad, names),
		OutingKind: oneOf(t, outingKind, domain.OutingMatch, domain.OutingNets, domain.OutingHome, domain.OutingSchool, domain.OutingOther),
		State:      oneOf(t, outingState, domain.OutingHeld, domain.OutingCalledOff, domain.OutingPlanned),
		Player:     t.shared(outingPlayer, names),
		Present:    oneOf(t, outingPresent, domain.PresentYes, domain.PresentNo, domain.PresentExcused),
		Kind:       t.kind(outingBowling),
		BallsGiven: len(t.field(outingBalls)) > 0,
		Balls:      t.whole(outingBalls, 0, maxNumber, 0),
		OversGiven: len(t.field(outingOvers)) > 0,
		Hits:       t.whole(outingHits, 0, maxNumber, -1),
		Trial:      t.text(outingTrial),
		Effort:     t.whole(outingEffort, 0, maxEffort, -1),
	}
	if row.OversGiven {
		balls, ok := ParseOvers(string(t.field(outingOvers)))
		if !ok {
			t.refuse(outingOvers, "must be overs in cricket notation: whole overs, or whole overs, a point and 0 to 5 balls")
		}
		row.Overs = (balls + 5) / 6
		if !row.BallsGiven {
			row.Balls = balls
		}
	}
}

// ParseOvers reads overs in cricket notation as balls: 3 is 18, 3.4 is 22; after the point stand 0 to 5.
func ParseOvers(s string) (balls int, ok bool) {
	n, digits := 0, 0
	for digits < len(s) && s[digits] >= '0' && s[digits] <= '9' {
		if n = n*10 + int(s[digits]-'0'); n > maxNumber {
			return 0, false
		}
		digits++
	}
	rest := s[digits:]
	switch {
	case digits == 0:
		return 0, false
	case rest == "":
		return 6 * n, true
	case len(rest) == 2 && rest[0] == '.' && rest[1] >= '0' && rest[1] <= '5':
		return 6*n + int(rest[1]-'0'), true
	}
	return 0, false
}
