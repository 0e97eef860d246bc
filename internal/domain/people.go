package domain

import "time"

// Player is a junior, known once per region.
type Player struct {
	ID        ID
	Reference string // the region's own stable reference, unique in the region; "" = none
	Name      string // display name; never leaves the clubs that registered the player
	Born      Date
	Sex       Sex
	Arm       Arm
	Kind      BowlingKind // what the player usually bowls
	Since     Date        // first bowled spin
	Version   int
}

// Registration is player x club x season. Two at a time are normal; a move inside the region is a transfer.
type Registration struct {
	ID       ID
	PlayerID ID
	ClubID   ID
	ClubName string // read only
	SeasonID ID
	First    bool // first club, as against also at
	From     Date
	To       Date // zero = still
	Version  int
}

// Role is what an appointment makes of a person.
type Role string

// The roles of this release.
const (
	RegionOfficer Role = "region_officer"
	ClubLead      Role = "club_lead"
	Coach         Role = "coach"
	Guardian      Role = "guardian"
)

// Appointment gives an account a role over a region, a club, a squad or one child, between two days.
type Appointment struct {
	ID        ID
	RegionID  ID
	AccountID ID
	Role      Role
	ClubID    ID // "" for a region officer
	SquadID   ID // "" = the whole club
	PlayerID  ID // only for a guardian
	From      Date
	To        Date // zero = until ended
	Version   int

	// Read only, for lists.
	RegionName, Holder, ClubName, SquadName string
}

// On reports whether the appointment is in force on day d.
func (a Appointment) On(d Date) bool {
	return !d.Before(a.From) && (a.To.IsZero() || !d.After(a.To))
}

// Account is a person's login; it is global and says nothing about any child.
type Account struct {
	ID           ID
	Email        string // lower case
	DisplayName  string
	PasswordHash string
	FailedInRow  int       // wrong passwords since the last right one
	WaitUntil    time.Time // no guess is evaluated before this instant
	Closed       bool
	CreatedAt    time.Time
}

// Login is one signed-in device: the server's own record, which every request is checked against.
type Login struct {
	ID         ID
	AccountID  ID
	CreatedAt  time.Time
	LastUsedAt time.Time
	ExpiresAt  time.Time // absolute end
	EndedAt    time.Time // zero = live
	EndReason  string    // sign_out, reuse, password_change, idle, ended_by_owner
}

// RefreshToken is one link of a login's chain. Only its hash is kept.
type RefreshToken struct {
	Hash      string
	LoginID   ID
	IssuedAt  time.Time
	ExpiresAt time.Time
	UsedAt    time.Time // zero = not yet rotated
	NextHash  string    // the successor, once rotated
	NextSeal  string    // the successor's plain value, sealed for the grace period of a lost reply; "" afterwards
}
