package store_test

import (
	"errors"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
)

var dates = cmp.AllowUnexported(domain.Date{})

func wantCode(t *testing.T, what string, err error, code string) {
	t.Helper()
	if domain.ErrorCodeOf(err) != code {
		t.Errorf("%s: %v, want %s", what, err, code)
	}
}

func ids[T any](items []T, id func(T) domain.ID) []domain.ID {
	out := []domain.ID{}
	for _, it := range items {
		out = append(out, id(it))
	}
	return out
}

func playerIDs(ps []domain.Player) []domain.ID {
	out := ids(ps, func(p domain.Player) domain.ID { return p.ID })
	slices.Sort(out)
	return out
}

func sortedIDs(in ...domain.ID) []domain.ID {
	out := append([]domain.ID{}, in...)
	slices.Sort(out)
	return out
}

func same(t *testing.T, what string, got, want any) {
	t.Helper()
	if d := cmp.Diff(want, got, dates); d != "" {
		t.Errorf("%s (-want +got):\n%s", what, d)
	}
}

// Who sees which players: the club's own, the squad's own, the own child, everybody.
func TestPlayersByScope(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		one, two := r.One, r.Two
		for name, c := range map[string]struct {
			s    access.Scope
			want []domain.ID
		}{
			"operator": {r.operator(), sortedIDs(one.Player.ID, one.Loose.ID, two.Player.ID, two.Loose.ID)},
			"officer":  {r.officer(t), sortedIDs(one.Player.ID, one.Loose.ID, two.Player.ID, two.Loose.ID)},
			"lead":     {r.lead(t, one), sortedIDs(one.Player.ID, one.Loose.ID)},
			"coach":    {r.coach(t, one), sortedIDs(one.Player.ID)},
			"parent":   {r.parent(t, two), sortedIDs(two.Player.ID)},
			"counting": {r.counting(t, two), sortedIDs(two.Player.ID)},
		} {
			r.read(t, c.s, func(tx *store.Tx) error {
				page, err := tx.Players(t.Context(), c.s, domain.PlayerFilter{}, wide)
				same(t, name, playerIDs(page.Items), c.want)
				return err
			})
		}
	})
}

// A registration or a place in a squad gives sight of a player from its first day to its last, both included.
func TestSightFollowsTheDays(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		op := r.operator()
		var moved domain.Player
		first, last := today.AddDays(-10), today.AddDays(10)
		r.in(t, op, func(tx *store.Tx) error {
			p := &puts{}
			moved = keep(tx.PutPlayer(t.Context(), op, domain.Player{ID: newID(), Name: "Mo Lark"}))(p)
			keep(tx.PutRegistration(t.Context(), op, domain.Registration{ID: newID(), PlayerID: moved.ID, ClubID: r.Two.Club.ID,
				SeasonID: r.Season.ID, From: first, To: last}))(p)
			keep(tx.PutSquadPlayer(t.Context(), op, domain.SquadPlayer{SquadID: r.Two.Squad.ID, PlayerID: moved.ID, From: first, To: last}))(p)
			return p.err
		})
		for _, c := range []struct {
			on   domain.Date
			sees bool
		}{{first.AddDays(-1), false}, {first, true}, {today, true}, {last, true}, {last.AddDays(1), false}} {
			for role, a := range map[string]domain.Appointment{"lead": {Role: domain.ClubLead, ClubID: r.Two.Club.ID},
				"coach": {Role: domain.Coach, ClubID: r.Two.Club.ID, SquadID: r.Two.Squad.ID}} {
				a.RegionID, a.From = r.Region.ID, today.AddDays(-99)
				sc, err := access.For(access.Actor{Appointments: []domain.Appointment{a}}, r.Region.ID, access.PlayerRead, c.on)
				if err != nil {
					t.Fatal(err)
				}
				r.read(t, sc, func(tx *store.Tx) error {
					if _, err := tx.Player(t.Context(), sc, moved.ID); (err == nil) != c.sees {
						t.Errorf("%s on %s: %v, want seen %v", role, c.on, err, c.sees)
					}
					squads, err := tx.SquadsOf(t.Context(), sc, []domain.ID{moved.ID})
					if (len(squads) == 1) != c.sees {
						t.Errorf("%s on %s: squads %v", role, c.on, squads)
					}
					return err
				})
			}
		}
	})
}

func TestPlayerFiltersAndNames(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		op, officer := r.operator(), r.officer(t)
		list := func(sc access.Scope, f domain.PlayerFilter) []domain.ID {
			t.Helper()
			var out []domain.ID
			r.read(t, sc, func(tx *store.Tx) error {
				page, err := tx.Players(t.Context(), sc, f, wide)
				out = playerIDs(page.Items)
				return err
			})
			return out
		}
		both := sortedIDs(r.One.Player.ID, r.Two.Player.ID)
		same(t, "beginning of the last name", list(op, domain.PlayerFilter{Name: "WREN"}), both)
		same(t, "first and last", list(op, domain.PlayerFilter{Name: "anna o'wr"}), both)
		same(t, "not the middle of a word", list(op, domain.PlayerFilter{Name: "ren"}), []domain.ID{})
		same(t, "signs of LIKE are no signs", list(op, domain.PlayerFilter{Name: "a%n"}), []domain.ID{})
		same(t, "club", list(op, domain.PlayerFilter{ClubID: r.Two.Club.ID}), sortedIDs(r.Two.Player.ID, r.Two.Loose.ID))
		same(t, "squad", list(op, domain.PlayerFilter{SquadID: r.One.Squad.ID}), sortedIDs(r.One.Player.ID))
		same(t, "an officer cannot ask for names", list(officer, domain.PlayerFilter{Name: "Anna"}), []domain.ID{})
		r.read(t, officer, func(tx *store.Tx) error {
			page, err := tx.Players(t.Context(), officer, domain.PlayerFilter{}, domain.Page{Size: 2})
			if err != nil {
				return err
			}
			got := ids(page.Items, func(p domain.Player) domain.ID { return p.ID })
			same(t, "an officer's list goes by id", got, sortedIDs(r.One.Player.ID, r.One.Loose.ID, r.Two.Player.ID, r.Two.Loose.ID)[:2])
			return nil
		})
	})
}

func TestReferences(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		op, ctx := r.operator(), t.Context()
		refs := []string{r.One.Player.Reference, r.Two.Player.Reference, "", "none"}
		for name, c := range map[string]struct {
			s    access.Scope
			want []string
		}{
			"operator": {op, []string{r.Two.Player.Reference, r.One.Player.Reference}},
			"counting": {r.counting(t, r.One), []string{r.Two.Player.Reference, r.One.Player.Reference}},
			"lead":     {r.lead(t, r.One), []string{r.One.Player.Reference}},
		} {
			r.read(t, c.s, func(tx *store.Tx) error {
				found, err := tx.PlayersByReference(ctx, c.s, refs)
				slices.Sort(c.want)
				same(t, name, sorted(found), c.want)
				return err
			})
		}
		err := s.InRegion(ctx, op, func(tx *store.Tx) error {
			_, err := tx.PutPlayer(ctx, op, domain.Player{ID: newID(), Name: "Copy", Reference: r.One.Player.Reference})
			wantCode(t, "a reference twice", err, "reference_taken")
			p := r.Two.Player // on both databases the transaction goes on after a refusal at creation
			p.Reference = r.One.Player.Reference
			_, err = tx.PutPlayer(ctx, op, p)
			wantCode(t, "a reference taken by a change", err, "reference_taken")
			return err
		})
		wantCode(t, "and the transaction", err, "reference_taken")
		r.in(t, op, func(tx *store.Tx) error { // blank is none, and none is not a double
			_, err := tx.PutPlayer(ctx, op, domain.Player{ID: newID(), Name: "Blank"})
			return err
		})
		err = s.InRegion(ctx, op, func(tx *store.Tx) error {
			_, err := tx.PutOuting(ctx, op, domain.Outing{ID: newID(), ClubID: r.One.Club.ID, Kind: domain.OutingNets,
				State: domain.OutingHeld, Date: today, Reference: r.One.Outing.Reference})
			return err
		})
		wantCode(t, "an outing's reference twice", err, "reference_taken")
		r.in(t, op, func(tx *store.Tx) error { // another club may use it
			_, err := tx.PutOuting(ctx, op, domain.Outing{ID: newID(), ClubID: r.Two.Club.ID, Kind: domain.OutingNets,
				State: domain.OutingHeld, Date: today, Reference: r.One.Outing.Reference})
			return err
		})
	})
}

func TestClubsSquadsRegistrationsByScope(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		op, ctx, one := r.operator(), t.Context(), r.One
		r.in(t, op, func(tx *store.Tx) error { // the same child at two clubs
			_, err := tx.PutRegistration(ctx, op, domain.Registration{ID: newID(), PlayerID: one.Player.ID, ClubID: r.Two.Club.ID,
				SeasonID: r.Season.ID, From: today})
			return err
		})
		for name, c := range map[string]struct {
			s                         access.Scope
			clubs, squads, registered int
		}{
			"operator": {op, 2, 2, 2}, "lead": {r.lead(t, one), 1, 1, 1}, "coach": {r.coach(t, one), 1, 1, 1},
			"parent":   {r.parent(t, one), 2, 1, 2},
			"counting": {r.counting(t, one), 0, 0, 0}, // figures alone: not even at which clubs
			"other":    {r.lead(t, r.Two), 1, 1, 1},
		} {
			r.read(t, c.s, func(tx *store.Tx) error {
				p := &puts{}
				clubs := keep(tx.Clubs(ctx, c.s, wide))(p)
				squads := keep(tx.Squads(ctx, c.s, domain.SquadFilter{}, wide))(p)
				regs := keep(tx.Registrations(ctx, c.s, []domain.ID{one.Player.ID}))(p)
				if len(clubs.Items) != c.clubs || len(squads.Items) != c.squads || len(regs) != c.registered {
					t.Errorf("%s: %d clubs, %d squads, %d registrations", name, len(clubs.Items), len(squads.Items), len(regs))
				}
				for _, reg := range regs {
					if reg.ClubName == "" {
						t.Errorf("%s: no club name on %+v", name, reg)
					}
				}
				return p.err
			})
		}
		r.in(t, op, func(tx *store.Tx) error {
			q, err := tx.Squad(ctx, op, one.Squad.ID)
			if q.PlayerCount != 1 {
				t.Errorf("players in the squad: %d", q.PlayerCount)
			}
			left := one.Member
			left.To = today.AddDays(-1)
			_, err2 := tx.PutSquadPlayer(ctx, op, left)
			q, err3 := tx.Squad(ctx, op, one.Squad.ID)
			if q.PlayerCount != 0 {
				t.Errorf("players in the squad after leaving: %d", q.PlayerCount)
			}
			return errors.Join(err, err2, err3)
		})
	})
}

func TestAppointmentsOpenTheDirectory(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		a, b := newRealm(t, s, "A"), newRealm(t, s, "B")
		ctx := t.Context()
		who := newAccount(t, s, "two hats")
		for _, r := range []*realm{a, b} {
			r.in(t, r.operator(), func(tx *store.Tx) error {
				for range 2 { // twice the same region is one entry
					if _, err := tx.PutAppointment(ctx, r.operator(), domain.Appointment{ID: newID(), AccountID: who.ID,
						Role: domain.RegionOfficer, From: today}); err != nil {
						return err
					}
				}
				return nil
			})
		}
		regions, err := s.RegionsOf(ctx, who.ID)
		if err != nil {
			t.Fatal(err)
		}
		same(t, "regions", regions, sortedIDs(a.Region.ID, b.Region.ID))
		lead := a.lead(t, a.One)
		for name, ap := range map[string]domain.Appointment{
			"officer":                {Role: domain.RegionOfficer},
			"guardian of a stranger": {Role: domain.Guardian, ClubID: a.One.Club.ID, PlayerID: a.Two.Player.ID},
			"lead elsewhere":         {Role: domain.ClubLead, ClubID: a.Two.Club.ID},
		} {
			ap.ID, ap.AccountID, ap.From = newID(), who.ID, today
			err := s.InRegion(ctx, lead, func(tx *store.Tx) error { _, err := tx.PutAppointment(ctx, lead, ap); return err })
			wantCode(t, "a lead appoints: "+name, err, "not_found")
		}
		a.in(t, lead, func(tx *store.Tx) error {
			_, err := tx.PutAppointment(ctx, lead, domain.Appointment{ID: newID(), AccountID: who.ID, Role: domain.Guardian,
				ClubID: a.One.Club.ID, PlayerID: a.One.Player.ID, From: today})
			if err != nil {
				return err
			}
			page, err := tx.Appointments(ctx, lead, domain.AppointmentFilter{AccountID: who.ID}, wide)
			if len(page.Items) != 1 || page.Items[0].Holder != "two hats" || page.Items[0].ClubName != a.One.Club.Name || page.Items[0].RegionName != "A" {
				t.Errorf("what the lead sees: %+v", page.Items)
			}
			return err
		})
	})
}
