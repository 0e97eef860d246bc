package domain

import "time"

// Presence says whether a player was at an outing.
type Presence string

// The values of attendance.
const (
	PresentYes     Presence = "yes"
	PresentNo      Presence = "no"
	PresentExcused Presence = "excused"
)

// BallsInOver is how a format counts an over.
type BallsInOver string

// The ways of the junior formats.
const (
	SixValid  BallsInOver = "six_valid"  // wides and no-balls are bowled again
	SixFixed  BallsInOver = "six_fixed"  // six, whatever they were
	AtMost7   BallsInOver = "at_most_7"  // six valid, yet never more than seven
	AtMost8   BallsInOver = "at_most_8"  // six valid, yet never more than eight
	FiveFixed BallsInOver = "five_fixed" // five, whatever they were
)

// MatchFormat is what the limits need to know about a match.
type MatchFormat struct {
	OversASide  int // 0 = time cricket
	BowlerCap   int // most overs the format allows one bowler; 0 = none
	BallsInOver BallsInOver
}

// Outing is one dated thing at which people bowl. Held outings are the chances to bowl.
type Outing struct {
	ID        ID
	ClubID    ID
	SquadID   ID // "" = the whole club
	Kind      OutingKind
	State     OutingState
	Date      Date
	Title     string
	Reference string // unique per club where given: the match of an imported file
	Format    MatchFormat
	HasFormat bool
	LoggedBy  ID // account that created it; "" = import or demo
	Version   int

	Attendance []Attendance
	Overs      []OverLog
	Spells     []QuickSpell
	Practice   []Practice

	// Read only, for lists.
	PresentCount, Balls int
	LoggedByName        string
}

// Attendance is one player's presence at an outing.
type Attendance struct {
	PlayerID ID
	Present  Presence
}

// OverLog is one bowler's share of one over. Balls counts everything delivered, wides and no-balls included; Valid only the
// valid ones. Both counters are kept: directives count overs, load counts balls.
type OverLog struct {
	ID       ID
	OutingID ID
	Date     Date
	Innings  int
	Over     int
	End      End // EndUnknown = not said, taken from the over's number
	PlayerID ID
	Kind     BowlingKind // KindUnknown = the player's usual kind
	Balls    int
	Valid    int
	BreakMin int // minutes of a break just before this over
	Seq      int // order of logging inside the outing, from 1
	Version  int
}

// QuickSpell is a spell logged in one go ("4 overs from end A"). Where the first over is not known nothing can be said
// about the rest before it, and nothing is.
type QuickSpell struct {
	ID        ID
	OutingID  ID
	Date      Date
	Innings   int
	FirstOver int // 0 = not known
	End       End
	PlayerID  ID
	Kind      BowlingKind
	Overs     int
	Balls     int
	Valid     int
	Version   int
}

// Practice is what one player bowled at an outing that is not logged over by over.
type Practice struct {
	ID       ID
	OutingID ID
	PlayerID ID
	Kind     BowlingKind
	Balls    int
	Overs    int // begun overs, 0 = not given
	Hits     int // -1 = not counted
	Trial    string
	Effort   int // 0..10, -1 = not given
	Version  int
}

// CountedBalls is the balls bowled; where only overs were given, six to the over.
func (p Practice) CountedBalls() int {
	if p.Balls == 0 {
		return 6 * p.Overs
	}
	return p.Balls
}

// Correction keeps what an entry was before it was changed or taken back.
type Correction struct {
	ID       ID
	OutingID ID
	At       time.Time
	By       ID
	ByName   string // read only
	What     string // over, spell, practice, attendance, outing
	EntryID  ID
	Before   map[string]string // nil = was not there
	After    map[string]string // nil = taken back
	Reason   string
}

// DayLoad is the daily rollup: what a player bowled of one kind on one day, over all clubs.
type DayLoad struct {
	PlayerID ID
	Day      Date
	Kind     BowlingKind
	Balls    int
	Valid    int
	Overs    int
}

// TouchedDay says that a player's logs of a day changed since the nightly run last looked at it.
type TouchedDay struct {
	PlayerID ID
	Day      Date
}

// BowlingRecord is everything that limits and load need to know about some players over some days, from every club: it is
// read for counting only and never shown as it is. Innings holds the overs of everybody in the matches concerned, because
// ends and breaks come from them.
type BowlingRecord struct {
	Outings map[ID]Outing // headers of the outings concerned, without their logs
	Overs   []OverLog     // of all bowlers of the outings concerned, in order (date, outing order, innings, over)
	Spells  []QuickSpell  // of the players asked for
	Items   []PracticeOn  // of the players asked for, by date; none of those whom the attendance says were away
}

// PracticeOn is a practice entry with the day and kind of its outing.
type PracticeOn struct {
	Practice
	Date   Date
	Outing ID
	At     OutingKind
}
