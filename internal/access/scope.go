package access

import (
	"slices"

	"longspell/internal/domain"
)

type scopeKind uint8

const (
	kindNone scopeKind = iota // the zero value: matches nothing
	kindActor
	kindCounting
	kindOvernight
	kindOperator
)

// Scope is a permission to touch certain rows of one region. Its fields cannot be set from outside this package; the zero
// value matches nothing.
type Scope struct {
	kind       scopeKind
	region     domain.ID
	permission Permission
	account    domain.ID
	today      domain.Date
	roles      []domain.Role
	all        bool // every club of the region
	clubs      []domain.ID
	leads      []domain.ID // those of clubs that the person leads
	squads     []domain.ID
	players    []domain.ID
}

// Valid reports whether the scope was made by this package for some purpose.
func (s Scope) Valid() bool { return s.kind != kindNone && s.region != "" }

// Region is the tenant the scope is confined to.
func (s Scope) Region() domain.ID { return s.region }

// Permission is what the scope was made for; "" for the service's own work.
func (s Scope) Permission() Permission { return s.permission }

// Account is the person behind the scope; "" for the service's own work.
func (s Scope) Account() domain.ID { return s.account }

// Today is the region's day for which appointments, registrations and squads count as current.
func (s Scope) Today() domain.Date { return s.today }

// All reports whether every club of the region is inside.
func (s Scope) All() bool { return s.all }

// Clubs are the clubs that are inside as a whole.
func (s Scope) Clubs() []domain.ID { return slices.Clone(s.clubs) }

// Squads are single squads that are inside.
func (s Scope) Squads() []domain.ID { return slices.Clone(s.squads) }

// Players are single children that are inside (a guardian's, or those being counted).
func (s Scope) Players() []domain.ID { return slices.Clone(s.players) }

// Counting reports whether bowling records of the scope's players may be read across clubs, for counting only.
func (s Scope) Counting() bool {
	return s.kind == kindCounting || s.kind == kindOvernight || s.kind == kindOperator
}

// Overnight reports whether the scope belongs to the nightly run.
func (s Scope) Overnight() bool { return s.kind == kindOvernight }

// Operator reports whether the scope belongs to the operator's own commands (import, demo).
func (s Scope) Operator() bool { return s.kind == kindOperator }

// HasClub reports whether the whole of a club is inside.
func (s Scope) HasClub(club domain.ID) bool {
	return s.Valid() && (s.all || slices.Contains(s.clubs, club))
}

// HasSquad reports whether a squad of a club is inside.
func (s Scope) HasSquad(club, squad domain.ID) bool {
	return s.HasClub(club) || s.Valid() && squad != "" && slices.Contains(s.squads, squad)
}

// HasRole reports whether one of the roles behind the scope is r.
func (s Scope) HasRole(r domain.Role) bool { return slices.Contains(s.roles, r) }

// LeadsClub reports whether the person behind the scope leads a club.
func (s Scope) LeadsClub(club domain.ID) bool { return s.Valid() && slices.Contains(s.leads, club) }

// Place is where a player stands today: the clubs and squads that have the player.
type Place struct {
	Player domain.ID
	Clubs  []domain.ID
	Squads []domain.ID
}

// KnowsByName reports whether the person behind the scope may know a player's name: by a club, a squad or the child itself.
// An officer's appointment gives figures and pseudonyms, never names, also to somebody who coaches elsewhere too.
func (s Scope) KnowsByName(p Place) bool {
	in := func(have, want []domain.ID) bool {
		return slices.ContainsFunc(want, func(id domain.ID) bool { return slices.Contains(have, id) })
	}
	return s.Valid() && (in(s.clubs, p.Clubs) || in(s.squads, p.Squads) || slices.Contains(s.players, p.Player))
}

// KnowsBirth reports whether the person may see a player's birth date: as the club's lead or as the guardian. A coach sees
// the age group.
func (s Scope) KnowsBirth(p Place) bool {
	return s.Valid() && (slices.ContainsFunc(p.Clubs, s.LeadsClub) || s.HasRole(domain.Guardian) && slices.Contains(s.players, p.Player))
}

// RoleName is the strongest role behind the scope, for the audit trail; "service" for the service's own work.
func (s Scope) RoleName() string {
	for _, r := range []domain.Role{domain.RegionOfficer, domain.ClubLead, domain.Coach, domain.Guardian} {
		if s.HasRole(r) {
			return string(r)
		}
	}
	if s.kind == kindOperator {
		return "operator"
	}
	return "service"
}

func (s *Scope) addRole(r domain.Role) {
	if !slices.Contains(s.roles, r) {
		s.roles = append(s.roles, r)
	}
}

// CountingFor widens nothing but the sum: from a scope that may see the players, it makes one that may read those players'
// bowling at every club of the region, so that limits count all of it. Callers show figures, never the rows.
func CountingFor(s Scope, players []domain.ID) Scope {
	if !s.Valid() {
		return Scope{}
	}
	return Scope{kind: kindCounting, region: s.region, permission: s.permission, account: s.account, today: s.today,
		roles: s.roles, players: slices.Clone(players)}
}

// Overnight makes the scope of the nightly run for one region and local date.
func Overnight(region domain.ID, date domain.Date) Scope {
	return Scope{kind: kindOvernight, region: region, today: date, all: true}
}

// Operator makes the scope of the operator's own commands for one region; it is never made from a request.
func Operator(region domain.ID, today domain.Date) Scope {
	return Scope{kind: kindOperator, region: region, today: today, all: true}
}

// InClub narrows a scope to one club that is inside as a whole; anything else is not_found.
func (s Scope) InClub(club domain.ID) (Scope, error) {
	if !s.HasClub(club) {
		return Scope{}, domain.NotFound()
	}
	n := s
	n.all, n.clubs, n.leads, n.squads, n.players = false, []domain.ID{club}, nil, nil, nil
	if s.LeadsClub(club) {
		n.leads = []domain.ID{club}
	}
	return n, nil
}

// SignIn makes the scope in which the appointments of one account in one region are read while it signs in or is
// authenticated; nothing else is asked with it.
func SignIn(account, region domain.ID) Scope {
	return Scope{kind: kindActor, region: region, permission: AppointmentRead, account: account, all: true}
}
