package app

import (
	"io"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// Call is who asks, and in which region.
type Call struct {
	Actor  access.Actor
	Region domain.ID
}

// PutPlayer creates or changes a player. A new player needs a first registration, so that a club answers for them.
type PutPlayer struct {
	Player       domain.Player // Version 0 = new
	Registration *FirstRegistration
}

// FirstRegistration is the registration a new player comes with.
type FirstRegistration struct {
	ID       domain.ID
	ClubID   domain.ID
	SeasonID domain.ID
	SquadID  domain.ID // "" = no squad yet
	From     domain.Date
}

// PutOuting creates or replaces an outing. A nil log slice leaves that part as it is; an empty one empties it.
type PutOuting struct {
	Outing domain.Outing
	Logs   OutingLogs
	Reason string
}

// OutingLogs are the parts of an outing that may be replaced with it.
type OutingLogs struct {
	Overs    []domain.OverLog
	Spells   []domain.QuickSpell
	Practice []domain.Practice
}

// PutOver logs or corrects one over.
type PutOver struct {
	Over               domain.OverLog // with OutingID; Version 0 = new
	PastLimitConfirmed bool
	Reason             string
}

// PutPractice logs or corrects one player's practice.
type PutPractice struct {
	Practice domain.Practice // with OutingID; Version 0 = new
	Reason   string
}

// Next names the over about to be bowled. Zero fields are worked out from what is logged.
type Next struct {
	Innings int
	Over    int
	End     domain.End
}

// HandleNotice takes a notice up, puts it back (open) or ends it with a reason.
type HandleNotice struct {
	ID      domain.ID
	State   domain.NoticeState
	Reason  domain.EndReason // only with NoticeEnded
	Version int
}

// ImportKind is what an imported file holds.
type ImportKind string

// The kinds of files that can be imported.
const (
	ImportPlayers ImportKind = "players"
	ImportOutings ImportKind = "outings"
	ImportOvers   ImportKind = "overs"
	ImportMatch   ImportKind = "match"
)

// ImportFile imports a file for a club, all or nothing.
type ImportFile struct {
	Kind           ImportKind
	ClubID         domain.ID // "" only for the operator: clubs come from the file
	FileName       string
	Content        io.Reader
	DryRun         bool
	IdempotencyKey string // required when DryRun is false and a person asks
}
