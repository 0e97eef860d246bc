package domain

// SquadFilter narrows a list of squads; zero fields do not narrow.
type SquadFilter struct {
	ClubID ID
}

// PlayerFilter narrows a list of players; zero fields do not narrow.
type PlayerFilter struct {
	ClubID  ID
	SquadID ID
	Name    string // the beginning of any word of the name, small and capital letters alike
}

// AppointmentFilter narrows a list of appointments; zero fields do not narrow.
type AppointmentFilter struct {
	ClubID    ID
	AccountID ID
}

// OutingFilter narrows a list of outings; zero fields do not narrow.
type OutingFilter struct {
	ClubID  ID
	SquadID ID
	From    Date
	To      Date
}

// NoticeFilter narrows a list of notices.
type NoticeFilter struct {
	// State is "waiting" (open or taken up, and VisibleUntil not before On), "open", "taken_up", "ended" or "all".
	State  string
	On     Date
	ClubID ID
}
