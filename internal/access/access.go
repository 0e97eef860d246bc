// Package access decides who may do what to which rows. It alone can make a Scope; every store method takes one, and the
// zero Scope matches nothing.
package access

import (
	"longspell/internal/domain"
)

// Actor is the signed-in person of a request, with the appointments that are in force today.
type Actor struct {
	Account      domain.ID
	Login        domain.ID
	DisplayName  string
	Appointments []domain.Appointment
}

// Permission is one thing an operation may need; the contract names it as x-permission.
type Permission string

// Permissions of the contract. Public and Self need no appointment.
const (
	Public            Permission = "public"
	Self              Permission = "self"
	RegionRead        Permission = "region.read"
	RegionWrite       Permission = "region.write"
	ClubList          Permission = "club.list"
	ClubWrite         Permission = "club.write"
	SquadRead         Permission = "squad.read"
	SquadWrite        Permission = "squad.write"
	PlayerRead        Permission = "player.read"
	PlayerWrite       Permission = "player.write"
	RegistrationWrite Permission = "registration.write"
	AppointmentRead   Permission = "appointment.read"
	AppointmentWrite  Permission = "appointment.write"
	OutingRead        Permission = "outing.read"
	OutingWrite       Permission = "outing.write"
	AllowanceRead     Permission = "allowance.read"
	LoadRead          Permission = "load.read"
	NoticeRead        Permission = "notice.read"
	NoticeHandle      Permission = "notice.handle"
	ImportWrite       Permission = "import.write"
	AuditRead         Permission = "audit.read"
)

// policy says which roles carry a permission; as data, so that the documentation and the tests read the same table. An
// officer does not read outings or loads of a child: that is the clubs' (trust: least access).
var policy = map[Permission][]domain.Role{
	RegionRead:        {domain.RegionOfficer, domain.ClubLead, domain.Coach, domain.Guardian},
	RegionWrite:       {domain.RegionOfficer},
	ClubList:          {domain.RegionOfficer, domain.ClubLead, domain.Coach},
	ClubWrite:         {domain.RegionOfficer},
	SquadRead:         {domain.ClubLead, domain.Coach},
	SquadWrite:        {domain.ClubLead},
	PlayerRead:        {domain.RegionOfficer, domain.ClubLead, domain.Coach, domain.Guardian},
	PlayerWrite:       {domain.ClubLead},
	RegistrationWrite: {domain.ClubLead},
	AppointmentRead:   {domain.RegionOfficer, domain.ClubLead},
	AppointmentWrite:  {domain.RegionOfficer, domain.ClubLead},
	OutingRead:        {domain.ClubLead, domain.Coach},
	OutingWrite:       {domain.ClubLead, domain.Coach},
	AllowanceRead:     {domain.ClubLead, domain.Coach},
	LoadRead:          {domain.ClubLead, domain.Coach, domain.Guardian},
	NoticeRead:        {domain.RegionOfficer, domain.ClubLead, domain.Coach},
	NoticeHandle:      {domain.RegionOfficer, domain.ClubLead, domain.Coach},
	ImportWrite:       {domain.ClubLead},
	AuditRead:         {domain.RegionOfficer},
}

// Permissions lists every permission that needs an appointment.
func Permissions() []Permission {
	out := make([]Permission, 0, len(policy))
	for p := range policy {
		out = append(out, p)
	}
	return out
}

// Carries reports whether a role carries a permission.
func Carries(role domain.Role, p Permission) bool {
	for _, r := range policy[p] {
		if r == role {
			return true
		}
	}
	return false
}

// Known reports whether the contract may name p.
func Known(p Permission) bool {
	if p == Public || p == Self {
		return true
	}
	_, ok := policy[p]
	return ok
}

// For makes the scope in which actor may use permission p in a region on day today (the region's today).
//
// An actor without any appointment in the region gets not_found, as if the region did not exist; one who has an appointment
// there but none that carries p gets forbidden.
func For(actor Actor, region domain.ID, p Permission, today domain.Date) (Scope, error) {
	s := Scope{region: region, permission: p, account: actor.Account, today: today}
	present := false
	for _, a := range actor.Appointments {
		if a.RegionID != region || !a.On(today) {
			continue
		}
		present = true
		if !Carries(a.Role, p) {
			continue
		}
		s.kind = kindActor
		s.addRole(a.Role)
		switch a.Role {
		case domain.RegionOfficer:
			s.all = true
		case domain.ClubLead:
			s.clubs = append(s.clubs, a.ClubID)
			s.leads = append(s.leads, a.ClubID)
		case domain.Coach:
			if a.SquadID == "" {
				s.clubs = append(s.clubs, a.ClubID)
			} else {
				s.squads = append(s.squads, a.SquadID)
			}
		case domain.Guardian:
			s.players = append(s.players, a.PlayerID)
		}
	}
	switch {
	case !present:
		return Scope{}, domain.NotFound()
	case s.kind == kindNone:
		return Scope{}, domain.Forbidden("Your appointment here does not include this. Ask the club lead or the region officer.")
	}
	return s, nil
}
