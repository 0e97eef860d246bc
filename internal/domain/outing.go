package domain

// OutingKind is what an outing is.
type OutingKind string

// The kinds of files.md.
const (
	OutingMatch  OutingKind = "match"
	OutingNets   OutingKind = "nets"
	OutingHome   OutingKind = "home"
	OutingSchool OutingKind = "school"
	OutingOther  OutingKind = "other"
)

// OutingState is planned, held or called off.
type OutingState string

// The states of files.md.
const (
	OutingPlanned   OutingState = "planned"
	OutingHeld      OutingState = "held"
	OutingCalledOff OutingState = "called_off"
)
