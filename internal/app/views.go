package app

import (
	"time"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// SignedIn is what a successful sign-in or refresh gives.
type SignedIn struct {
	Actor          access.Actor
	AccessToken    string
	AccessExpires  time.Time
	RefreshToken   string
	RefreshExpires time.Time
}

// MeView is the signed-in person.
type MeView struct {
	Account      domain.ID
	DisplayName  string
	Appointments []domain.Appointment // in force today
	Demo         bool                 // one of the regions holds invented data
}

// RegionView is a region with its own today.
type RegionView struct {
	domain.Region
	Today domain.Date
}

// LimitSetView is a limit set as shown.
type LimitSetView struct {
	ID, Title, Publisher string
	Year                 int
	Address              string
	ValidFrom, ValidTo   domain.Date
	FastKinds            []domain.BowlingKind
	AgeRule              string
	NewSpellAfterMin     int
	Bands                []LimitBandView
	Settings             []LimitSettingView
}

// LimitBandView is a row of a limit set; nil = the text gives no such figure.
type LimitBandView struct {
	UpTo                                                           string
	SpellOvers, DayOvers, NetBalls, NetPerWeek, DaysIn7, RunOfDays *int
}

// LimitSettingView is an open point of a text with our reading of it.
type LimitSettingView struct {
	Name, Value string
	Values      []string
	Says        string
}

// PlayerView is a player as this caller may see them.
type PlayerView struct {
	domain.Player        // Name is a pseudonym where Named is false
	Named         bool   // the caller may know the name
	ShowBorn      bool   // the caller may see the birth date
	ShowReference bool   // the caller may see the region's reference
	AgeGroup      string // by the first adopted limit set's age rule; "" = not known
	Clubs         []PlayerClub
	SquadIDs      []domain.ID
}

// PlayerClub is a club that a player is registered with, as far as the caller may see it.
type PlayerClub struct {
	ClubID   domain.ID
	ClubName string
	First    bool
}

// FindingView is one thing that is, or would be, against a limit.
type FindingView struct {
	Date             domain.Date
	Limit, LimitSet  string
	Title, Publisher string
	Year             int
	Weight           string
	Allowed          *int
	Actual           int
	Earliest         *int
	Innings, Over    *int
	AgeGroup         string
	Source, Says     string
}

// SetAllowance is what one adopted limit set leaves a player; nil = no such limit, or not judged.
type SetAllowance struct {
	LimitSet, Title, Publisher               string
	Year                                     int
	Judged                                   bool
	SpellOvers, DayOvers, DaysIn7, RunOfDays *int
	EarliestEndA, EarliestEndB               *int // first overs of this innings not before the rest is repaid
}

// NextCheck is what one more over of a kind would break.
type NextCheck struct {
	Kind   domain.BowlingKind
	Breaks []FindingView
}

// Allowance is one bowler's picture before the next over. Figures count every club; nothing says which.
type Allowance struct {
	PlayerID            domain.ID
	Name                string
	AgeGroup            string
	Kind                domain.BowlingKind // usual
	BallsToday          int
	OversToday          int
	BallsElsewhereToday int
	Balls7, Days7       int
	BowledLastOver      bool
	Sets                []SetAllowance
	Next                []NextCheck
}

// AllowanceList is the picture of everybody at an outing, or of a squad.
type AllowanceList struct {
	Date    domain.Date
	Next    *Next // nil where no over is about to be bowled
	Bowlers []Allowance
	Caution string
}

// LoadView is a player's load.
type LoadView struct {
	AsOf            domain.Date
	Last            domain.Date
	DaysSince       *int
	Day             LoadCount
	Days7, Days28   LoadWindow
	UsualWeekBalls  *float64
	ByDay           []LoadDay
	BallsElsewhere7 int
	Caution         string
}

// LoadCount is balls, valid balls and begun overs.
type LoadCount struct{ Balls, Valid, Overs int }

// LoadWindow is a count over a window of days, with the days that had bowling.
type LoadWindow struct{ Balls, Valid, Overs, Days int }

// LoadDay is the count of one day.
type LoadDay struct {
	Date                domain.Date
	Balls, Valid, Overs int
}

// NoticeView is a notice as this caller may see it.
type NoticeView struct {
	domain.Notice
	SetTitle, SetPublisher string // "" for the match's own format
	SetYear                int
	PlayerName             string   // a pseudonym for an officer
	ClubNames              []string // clubs of the player that the caller may see
	Says                   string
	DoNext                 []string
	Caution                string
	Facts                  []NoticeFactView
}

// NoticeFactView is a fact with the outing only where the caller may see it.
type NoticeFactView struct {
	domain.NoticeFact
	Limit      string
	ShowOuting bool
}

// ImportReport says what a file holds and what was, or would be, done.
type ImportReport struct {
	Kind                              ImportKind
	FileName                          string
	DryRun                            bool
	Accepted                          bool // false: Errors says why, and nothing was written
	Rows, Created, Changed, Unchanged int
	Errors                            []ImportError
	Notes                             []string
}

// ImportError names one bad row.
type ImportError struct {
	File          string
	Line          int
	Column, Value string
	Reason        string
}
