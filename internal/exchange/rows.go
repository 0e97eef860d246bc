package exchange

import (
	"fmt"
	"strconv"

	"longspell/internal/domain"
)

// LineError is one fault of a file. Column is the column's name in a CSV file, the path in a JSON file; blank where the
// fault is of the record as a whole.
type LineError struct {
	File   string
	Line   int
	Column string
	Value  string
	Reason string
}

// shownValue is how many characters of a value a refusal repeats.
const shownValue = 80

// Error is FILE:LINE: COLUMN: "VALUE": REASON. A long value is shortened.
func (e LineError) Error() string {
	return fmt.Sprintf("%s:%d: %s: %s: %s", e.File, e.Line, columnText(e.Column), QuoteValue(e.Value), e.Reason)
}

// columnText is the column as it stands where that is plain text of one line; a header may hold anything.
func columnText(column string) string {
	if quoted := QuoteValue(column); quoted != `"`+column+`"` {
		return quoted
	}
	return column
}

// QuoteValue puts a value in quotation marks for a refusal: one line whatever it holds, a long one shortened.
func QuoteValue(v string) string {
	n := 0
	for i := range v {
		if n == shownValue {
			return strconv.Quote(v[:i]) + fmt.Sprintf(" (%d bytes)", len(v))
		}
		n++
	}
	return strconv.Quote(v)
}

// Player is a row of players.csv.
type Player struct {
	Line  int
	Ref   string // the column player
	Name  string
	Born  domain.Date // zero = not known
	Sex   domain.Sex
	Arm   domain.Arm
	Kind  domain.BowlingKind // usual kind
	Club  string
	Squad string
	Since domain.Date // the day the player first bowled spin
}

// OverRow is a row of overs.csv: one bowler's part of one over.
type OverRow struct {
	Line       int
	Match      string
	Date       domain.Date
	Day        int // from 1
	OversASide int // 0 = time cricket
	BowlerCap  int // 0 = none
	Innings    int
	Over       int
	End        domain.End // never unknown after reading: blank is by parity of the over
	Player     string
	Kind       domain.BowlingKind // KindUnknown = the player's usual kind
	Balls      int
	Valid      int
	BreakMin   int

	// Places in order of first appearance in the file, from 0: of the match, of the innings, of the player.
	MatchNo, InningsNo, PlayerNo int
}

// OutingRow is a row of outings.csv.
type OutingRow struct {
	Line        int
	Outing      string
	Date        domain.Date
	Club, Squad string
	OutingKind  domain.OutingKind
	State       domain.OutingState
	Player      string
	Present     domain.Presence    // "" = not said
	Kind        domain.BowlingKind // KindUnknown = the player's usual kind
	Balls       int                // of the column balls, else of overs at six to the over; 0 = not given
	BallsGiven  bool
	Overs       int // begun overs
	OversGiven  bool
	Hits        int // -1 = not counted
	Trial       string
	Effort      int // -1 = not given
}

// Counts reports whether bowling at the outing counts: it was held, the player was not said to be away, and there were balls.
func (r *OutingRow) Counts() bool {
	return r.State == domain.OutingHeld && (r.Present == "" || r.Present == domain.PresentYes) && r.Balls > 0
}
