package domain

import "time"

// NoticeKind is what a notice is about.
type NoticeKind string

// The kinds of this release.
const (
	BowledTooMuch NoticeKind = "bowled_too_much"
)

// NoticeState is where a notice is in its life.
type NoticeState string

// A notice opens once, is taken up by someone, and ends with a reason.
const (
	NoticeOpen    NoticeState = "open"
	NoticeTakenUp NoticeState = "taken_up"
	NoticeEnded   NoticeState = "ended"
)

// EndReason is why a notice ended; it is kept so that the notices can be scored.
type EndReason string

// The reasons an adult may give, and the one that only the service gives.
const (
	EndReturned     EndReason = "returned"
	EndMovedClub    EndReason = "moved_club"
	EndLeftGame     EndReason = "left_game"
	EndResting      EndReason = "injured_or_resting"
	EndFamily       EndReason = "family"
	EndLoggingGap   EndReason = "logging_gap"
	EndAdultDecided EndReason = "adult_decided"
	EndCorrected    EndReason = "corrected" // the log it rested on was corrected
)

// Notice is one matter about one child that waits for an adult.
type Notice struct {
	ID           ID
	Kind         NoticeKind
	PlayerID     ID
	Matter       string // kind:limit set:limit; with PlayerID and FirstDay it names the matter for good
	LimitSet     string
	Limit        string
	Weight       string
	FirstDay     Date
	LastDay      Date
	OpenedOn     Date // the local day whose night raised it
	VisibleUntil Date
	State        NoticeState
	TakenUpBy    ID
	TakenUpAt    time.Time
	EndReason    EndReason
	EndedBy      ID
	EndedAt      time.Time
	Late         bool
	Version      int

	Facts []NoticeFact

	// Read only.
	TakenUpByName, EndedByName string
}

// NoticeFact is one finding that a notice rests on.
type NoticeFact struct {
	ID        ID
	NoticeID  ID
	PlayerID  ID
	Key       string // the finding's own key; unique per player
	Date      Date
	OutingID  ID // "" where no single outing is meant
	Innings   int
	Over      int
	Allowed   int // -1 = none given
	Actual    int
	Earliest  int // 0 = none
	AgeGroup  string
	Says      string
	Source    string
	Late      bool // came to light after the night of its day
	Withdrawn bool // the log was corrected: the limit was not broken after all
}

// AuditEntry is one line of the trail. It holds ids and counts, never names, birth dates or notes.
type AuditEntry struct {
	ID        ID
	At        time.Time
	AccountID ID     // "" = the service itself
	ByName    string // read only
	Role      string
	Action    string
	What      string
	EntryID   ID
	Detail    map[string]string
}

// Page asks for a part of a list. Size is 1..100; After is the opaque place where the page before ended.
type Page struct {
	Size  int
	After string
}

// Slice is a page of a list and the place where the next one starts ("" at the end).
type Slice[T any] struct {
	Items []T
	Next  string
}
