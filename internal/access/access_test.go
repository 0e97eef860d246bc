package access_test

import (
	"testing"

	"longspell/internal/access"
	"longspell/internal/domain"
)

const (
	region  = domain.ID("r1")
	foreign = domain.ID("r2")
	clubA   = domain.ID("a")
	clubB   = domain.ID("b")
	squad   = domain.ID("s")
	child   = domain.ID("p")
)

var today = domain.MustDate("2026-05-09")

func appointed(as ...domain.Appointment) access.Actor {
	for i := range as {
		as[i].RegionID = region
		if as[i].From.IsZero() {
			as[i].From = today.AddDays(-10)
		}
	}
	return access.Actor{Account: "me", Appointments: as}
}

func TestZeroScopeMatchesNothing(t *testing.T) {
	t.Parallel()
	var s access.Scope
	if s.Valid() || s.All() || s.HasClub(clubA) || s.HasSquad(clubA, squad) || s.Counting() || s.Overnight() || s.Operator() {
		t.Error("the zero scope lets something through")
	}
	if access.CountingFor(s, []domain.ID{child}).Valid() {
		t.Error("a counting scope came out of the zero scope")
	}
	if _, err := s.InClub(clubA); domain.ErrorKindOf(err) != domain.KindNotFound {
		t.Errorf("narrowing the zero scope: %v", err)
	}
}

// Every role against every permission: what the policy carries gives a valid scope of the right width, the rest is refused.
func TestForFollowsThePolicy(t *testing.T) {
	t.Parallel()
	roles := map[domain.Role]domain.Appointment{
		domain.RegionOfficer: {Role: domain.RegionOfficer},
		domain.ClubLead:      {Role: domain.ClubLead, ClubID: clubA},
		domain.Coach:         {Role: domain.Coach, ClubID: clubA, SquadID: squad},
		domain.Guardian:      {Role: domain.Guardian, ClubID: clubA, PlayerID: child},
	}
	cells := 0
	for role, ap := range roles {
		for _, p := range access.Permissions() {
			cells++
			s, err := access.For(appointed(ap), region, p, today)
			if !access.Carries(role, p) {
				if domain.ErrorKindOf(err) != domain.KindForbidden || s.Valid() {
					t.Errorf("%s %s: got %v, valid %v; want forbidden", role, p, err, s.Valid())
				}
				continue
			}
			if err != nil || !s.Valid() || s.Region() != region || s.Permission() != p {
				t.Errorf("%s %s: %v", role, p, err)
			}
			wide := role == domain.RegionOfficer
			if s.All() != wide || s.HasClub(clubB) != wide || s.HasClub(clubA) != (wide || role == domain.ClubLead) {
				t.Errorf("%s %s: too wide or too narrow", role, p)
			}
			if role == domain.Coach && (!s.HasSquad(clubA, squad) || s.HasSquad(clubA, "other") || s.HasSquad(clubA, "")) {
				t.Errorf("coach of one squad %s: wrong squads", p)
			}
			if s.Counting() || s.Overnight() || s.Operator() {
				t.Errorf("%s %s: a person's scope counts across clubs", role, p)
			}
		}
	}
	if cells != 4*len(access.Permissions()) || cells == 0 {
		t.Fatalf("%d cells", cells)
	}
}

func TestForeignRegionAnswersAsIfItWereNotThere(t *testing.T) {
	t.Parallel()
	lead := appointed(domain.Appointment{Role: domain.ClubLead, ClubID: clubA})
	if _, err := access.For(lead, foreign, access.PlayerRead, today); domain.ErrorKindOf(err) != domain.KindNotFound {
		t.Errorf("foreign region: %v, want not_found", err)
	}
	if _, err := access.For(access.Actor{Account: "me"}, region, access.PlayerRead, today); domain.ErrorKindOf(err) != domain.KindNotFound {
		t.Errorf("no appointment at all: %v, want not_found", err)
	}
}

func TestAppointmentsBiteOnTheirDaysOnly(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		from, to domain.Date
		ok       bool
	}{
		{today, domain.Date{}, true},
		{today.AddDays(1), domain.Date{}, false},
		{today.AddDays(-9), today, true},
		{today.AddDays(-9), today.AddDays(-1), false},
	} {
		a := appointed(domain.Appointment{Role: domain.Coach, ClubID: clubA, From: c.from, To: c.to})
		if _, err := access.For(a, region, access.OutingRead, today); (err == nil) != c.ok {
			t.Errorf("%s to %s: %v", c.from, c.to, err)
		}
	}
}

func TestTwoHatsAddUpAndNarrow(t *testing.T) {
	t.Parallel()
	a := appointed(domain.Appointment{Role: domain.Coach, ClubID: clubA}, domain.Appointment{Role: domain.Guardian, ClubID: clubB, PlayerID: child})
	s, err := access.For(a, region, access.PlayerRead, today)
	if err != nil || !s.HasClub(clubA) || s.HasClub(clubB) || len(s.Players()) != 1 {
		t.Fatalf("got %+v, %v", s, err)
	}
	if _, err := s.InClub(clubB); domain.ErrorKindOf(err) != domain.KindNotFound {
		t.Errorf("a guardian's club is not the guardian's: %v", err)
	}
	narrow, err := s.InClub(clubA)
	if err != nil || len(narrow.Players()) != 0 || !narrow.HasClub(clubA) {
		t.Errorf("narrowed: %+v, %v", narrow, err)
	}
	// Outings need a coach's hat: the guardian's adds nothing to them.
	if s, err := access.For(a, region, access.OutingRead, today); err != nil || len(s.Players()) != 0 {
		t.Errorf("outings: %+v, %v", s, err)
	}
}

func TestCountingCarriesOnlyThePlayersAsked(t *testing.T) {
	t.Parallel()
	s, err := access.For(appointed(domain.Appointment{Role: domain.Coach, ClubID: clubA}), region, access.OutingWrite, today)
	if err != nil {
		t.Fatal(err)
	}
	c := access.CountingFor(s, []domain.ID{child})
	if !c.Counting() || c.All() || c.HasClub(clubA) || len(c.Players()) != 1 || c.Region() != region {
		t.Errorf("got %+v", c)
	}
}
