package store_test

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
)

// victim is what an attempt goes for: a club of another region, or of the same one.
type victim struct {
	*realm
	side
	mine side // the attacker's own club
}

// attempt is one call that goes for the victim's rows. One that is refused must fail for the attacker and succeed for
// the victim's own; one that looks must succeed for both and show the victim's ids only to its own.
type attempt struct {
	refused bool
	reuse   bool // names an id of the victim's for something of the attacker's: inside another region that is just another row
	never   bool // also the victim's own region cannot: the rows do not belong together
	call    func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (seen any, err error)
}

func look(call func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error)) attempt {
	return attempt{call: call}
}

func write(call func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error) attempt {
	return attempt{refused: true, call: func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return nil, call(ctx, tx, s, v)
	}}
}

func find(call func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error)) attempt {
	return attempt{refused: true, call: call}
}

// mixed is a write that joins something of the attacker's with something of the victim's: no scope may.
func mixed(call func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error) attempt {
	a := write(call)
	a.never = true
	return a
}

// underID is a mixed write that stores something of the attacker's under an id of the victim's.
func underID(call func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error) attempt {
	a := mixed(call)
	a.reuse = true
	return a
}

var (
	wide = domain.Page{Size: 100}
	from = today.AddDays(-100)
)

// attempts are by method of Tx; TestEveryMethodIsAttempted sees that none is missing.
var attempts = map[string][]attempt{
	"Region": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		return tx.Region(ctx, s)
	})},
	"UpdateRegion": {write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		_, err := tx.UpdateRegion(ctx, s, v.realm.Region)
		return err
	})},
	"Seasons": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		return tx.Seasons(ctx, s, wide)
	})},
	"PutSeason": {write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		_, err := tx.PutSeason(ctx, s, v.Season)
		return err
	})},
	"Adoptions": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		return tx.Adoptions(ctx, s)
	})},
	"PutAdoption": {write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		_, err := tx.PutAdoption(ctx, s, v.Adoption)
		return err
	})},
	"Clubs": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		return tx.Clubs(ctx, s, wide)
	})},
	"PutClub": {write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		_, err := tx.PutClub(ctx, s, v.Club)
		return err
	})},
	"Squads": {
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
			return tx.Squads(ctx, s, domain.SquadFilter{}, wide)
		}),
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Squads(ctx, s, domain.SquadFilter{ClubID: v.Club.ID}, wide)
		}),
	},
	"Squad": {find(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.Squad(ctx, s, v.Squad.ID)
	})},
	"PutSquad": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			q := v.Squad
			q.Name = "stolen"
			_, err := tx.PutSquad(ctx, s, q)
			return err
		}),
		underID(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error { // into my club, under the victim's id
			_, err := tx.PutSquad(ctx, s, domain.Squad{ID: v.Squad.ID, ClubID: v.mine.Club.ID, SeasonID: v.Season.ID, Name: "x"})
			return err
		}),
	},
	"PutSquadPlayer": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutSquadPlayer(ctx, s, domain.SquadPlayer{SquadID: v.Squad.ID, PlayerID: v.Player.ID, From: today})
			return err
		}),
	},
	"Players": {
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
			return tx.Players(ctx, s, domain.PlayerFilter{}, wide)
		}),
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Players(ctx, s, domain.PlayerFilter{ClubID: v.Club.ID}, wide)
		}),
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Players(ctx, s, domain.PlayerFilter{SquadID: v.Squad.ID}, wide)
		}),
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Players(ctx, s, domain.PlayerFilter{Name: v.Player.Name}, wide)
		}),
	},
	"Player": {find(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.Player(ctx, s, v.Player.ID)
	})},
	"PlayersByID": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.PlayersByID(ctx, s, []domain.ID{v.Player.ID, v.Loose.ID})
	})},
	"PlayersByReference": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		if s.Counting() && s.Valid() && v.sameRegion() && v.mine.Club.ID != "" {
			return nil, nil // looks through the region by contract
		}
		return tx.PlayersByReference(ctx, s, []string{v.Player.Reference})
	})},
	"PutPlayer": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			p := v.Player
			p.Name = "stolen"
			_, err := tx.PutPlayer(ctx, s, p)
			return err
		}),
		underID(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutPlayer(ctx, s, domain.Player{ID: v.Player.ID, Name: "stolen"})
			return err
		}),
	},
	"Registrations": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.Registrations(ctx, s, []domain.ID{v.Player.ID, v.Loose.ID})
	})},
	"PutRegistration": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutRegistration(ctx, s, v.Registration)
			return err
		}),
		mixed(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			reg := v.Registration
			reg.ClubID, reg.Version = v.mine.Club.ID, 0
			_, err := tx.PutRegistration(ctx, s, reg)
			return err
		}),
	},
	"SquadsOf": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.SquadsOf(ctx, s, []domain.ID{v.Player.ID})
	})},
	"Appointments": {
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
			return tx.Appointments(ctx, s, domain.AppointmentFilter{}, wide)
		}),
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Appointments(ctx, s, domain.AppointmentFilter{ClubID: v.Club.ID, AccountID: v.Lead.ID}, wide)
		}),
	},
	"Appointment": {find(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.Appointment(ctx, s, v.side.Appointment.ID)
	})},
	"PutAppointment": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutAppointment(ctx, s, v.Appointment)
			return err
		}),
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutAppointment(ctx, s, domain.Appointment{ID: newID(), AccountID: v.Officer.ID, Role: domain.Coach, ClubID: v.Club.ID, From: today})
			return err
		}),
		mixed(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutAppointment(ctx, s, domain.Appointment{ID: newID(), AccountID: v.mine.Coach.ID, Role: domain.Coach, ClubID: v.mine.Club.ID, SquadID: v.Squad.ID, From: today})
			return err
		}),
	},
	"Outings": {
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
			return tx.Outings(ctx, s, domain.OutingFilter{}, wide)
		}),
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Outings(ctx, s, domain.OutingFilter{ClubID: v.Club.ID, SquadID: v.Squad.ID, From: from, To: today}, wide)
		}),
	},
	"Outing": {
		find(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Outing(ctx, s, v.Outing.ID)
		}),
		find(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Outing(ctx, s, v.Other.ID)
		}),
	},
	"OutingsByReference": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.OutingsByReference(ctx, s, v.Club.ID, []string{v.Outing.Reference})
	})},
	"PutOuting": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			o := v.Outing
			o.Title = "stolen"
			_, err := tx.PutOuting(ctx, s, o)
			return err
		}),
		underID(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutOuting(ctx, s, domain.Outing{ID: v.Outing.ID, ClubID: v.mine.Club.ID, Kind: domain.OutingNets, State: domain.OutingHeld, Date: today})
			return err
		}),
		mixed(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutOuting(ctx, s, domain.Outing{ID: newID(), ClubID: v.mine.Club.ID, SquadID: v.Squad.ID, Kind: domain.OutingNets, State: domain.OutingHeld, Date: today})
			return err
		}),
	},
	"ReplaceAttendance": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			return tx.ReplaceAttendance(ctx, s, v.Outing.ID, nil)
		}),
		ofVictim(func(ctx context.Context, tx *store.Tx, s access.Scope, outing, player domain.ID) error {
			return tx.ReplaceAttendance(ctx, s, outing, []domain.Attendance{{PlayerID: player, Present: domain.PresentYes}})
		}),
	},
	"PutOver": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutOver(ctx, s, v.Over)
			return err
		}),
		underID(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error { // the victim's entry, moved into my outing
			o := v.Over
			o.OutingID, o.PlayerID, o.Version = v.mine.Outing.ID, v.mine.Player.ID, 0
			_, err := tx.PutOver(ctx, s, o)
			return err
		}),
		ofVictim(func(ctx context.Context, tx *store.Tx, s access.Scope, outing, player domain.ID) error {
			_, err := tx.PutOver(ctx, s, domain.OverLog{ID: newID(), OutingID: outing, Date: today, Innings: 9, Over: 9, PlayerID: player, Balls: 6, Valid: 6})
			return err
		}),
	},
	"DeleteOver": {write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		return tx.DeleteOver(ctx, s, v.Outing.ID, v.Over.ID, 1)
	}), mixed(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		return tx.DeleteOver(ctx, s, v.mine.Outing.ID, v.Over.ID, 1)
	})},
	"PutSpell": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutSpell(ctx, s, v.Spell)
			return err
		}),
		ofVictim(func(ctx context.Context, tx *store.Tx, s access.Scope, outing, player domain.ID) error {
			_, err := tx.PutSpell(ctx, s, domain.QuickSpell{ID: newID(), OutingID: outing, Date: today, Innings: 1, PlayerID: player, Overs: 1, Balls: 6, Valid: 6})
			return err
		}),
	},
	"DeleteSpell": {write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		return tx.DeleteSpell(ctx, s, v.Outing.ID, v.Spell.ID, 1)
	}), mixed(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		return tx.DeleteSpell(ctx, s, v.mine.Outing.ID, v.Spell.ID, 1)
	})},
	"PutPractice": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutPractice(ctx, s, v.Practice)
			return err
		}),
		ofVictim(func(ctx context.Context, tx *store.Tx, s access.Scope, outing, player domain.ID) error {
			_, err := tx.PutPractice(ctx, s, domain.Practice{ID: newID(), OutingID: outing, PlayerID: player, Balls: 6})
			return err
		}),
	},
	"DeletePractice": {write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		return tx.DeletePractice(ctx, s, v.Outing.ID, v.Practice.ID, 1)
	}), mixed(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		return tx.DeletePractice(ctx, s, v.mine.Outing.ID, v.Practice.ID, 1)
	})},
	"AddLogs": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			return tx.AddLogs(ctx, s, nil, []domain.OverLog{{ID: newID(), OutingID: v.Other.ID, Date: today, Innings: 1, Over: 1, PlayerID: v.Player.ID, Balls: 6, Valid: 6}}, nil)
		}),
		ofVictim(func(ctx context.Context, tx *store.Tx, s access.Scope, outing, player domain.ID) error {
			return tx.AddLogs(ctx, s, map[domain.ID][]domain.Attendance{outing: {{PlayerID: player, Present: domain.PresentYes}}}, nil, nil)
		}),
		ofVictim(func(ctx context.Context, tx *store.Tx, s access.Scope, outing, player domain.ID) error {
			return tx.AddLogs(ctx, s, nil, nil, []domain.Practice{{ID: newID(), OutingID: outing, PlayerID: player, Balls: 6}})
		}),
	},
	"AddCorrections": {write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		return tx.AddCorrections(ctx, s, []domain.Correction{{ID: newID(), OutingID: v.Outing.ID, At: now, What: "outing", EntryID: v.Outing.ID}})
	})},
	"Corrections": {find(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.Corrections(ctx, s, v.Outing.ID, wide)
	})},
	"RefreshRollup": {mixedRegion(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		return tx.RefreshRollup(ctx, s, []domain.TouchedDay{{PlayerID: v.Player.ID, Day: today}})
	})},
	"DayLoads": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		var out []domain.DayLoad
		err := tx.DayLoads(ctx, s, from, today, func(l domain.DayLoad) error { out = append(out, l); return nil })
		return out, reach(err)
	})},
	"BowlingRecord": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		rec, err := tx.BowlingRecord(ctx, s, from, today)
		return rec, reach(err)
	})},
	"TouchedPlayers": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		out, err := tx.TouchedPlayers(ctx, s, today, "", 100)
		return out, reach(err)
	})},
	"ClearTouched": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		err := tx.ClearTouched(ctx, s, []domain.ID{v.Player.ID}, today)
		return nil, reach(err)
	})},
	"Notices": {
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
			return tx.Notices(ctx, s, domain.NoticeFilter{State: "all"}, wide)
		}),
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Notices(ctx, s, domain.NoticeFilter{State: "waiting", On: today, ClubID: v.Club.ID}, wide)
		}),
	},
	"Notice": {find(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.Notice(ctx, s, v.Notice.ID)
	})},
	"NoticesOf": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.NoticesOf(ctx, s, []domain.ID{v.Player.ID})
	})},
	"PutNotice": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			n := v.Notice
			n.State, n.EndReason = domain.NoticeEnded, domain.EndFamily
			_, err := tx.PutNotice(ctx, s, n)
			return err
		}),
		underID(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error { // the victim's notice, put on my player
			n := v.Notice
			n.PlayerID, n.Version = v.mine.Player.ID, 0
			_, err := tx.PutNotice(ctx, s, n)
			return err
		}),
	},
	"PutNoticeFacts": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			f := v.Fact
			f.Withdrawn = true
			return tx.PutNoticeFacts(ctx, s, []domain.NoticeFact{f})
		}),
		underID(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error { // the victim's fact, moved to my notice
			f := v.Fact
			f.NoticeID, f.PlayerID = v.mine.Notice.ID, v.mine.Player.ID
			return tx.PutNoticeFacts(ctx, s, []domain.NoticeFact{f})
		}),
	},
	"CheckFence": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		err := tx.CheckFence(ctx, s, "night of the other region", 1)
		if domain.ErrorCodeOf(err) == "lease_lost" { // the attacker has none
			err = nil
		}
		return nil, reach(err)
	})},
	"MarkDone": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		return nil, reach(tx.MarkDone(ctx, s, "night", today, 1, now))
	})},
	"AddAudit": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		return nil, tx.AddAudit(ctx, s, domain.AuditEntry{ID: newID(), At: now, Action: "x"})
	})},
	"Audit": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		return tx.Audit(ctx, s, wide)
	})},
	"Answered": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		_, answer, _, err := tx.Answered(ctx, s, "key")
		return answer, reach(err)
	})},
	"KeepAnswer": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		return nil, reach(tx.KeepAnswer(ctx, s, "key", "f", nil, now))
	})},
	"Gorm": nil, // of the tests' own
}

// reach forgives a method for refusing a scope that is not made for it.
func reach(err error) error {
	if errors.Is(err, store.ErrReach) {
		return nil
	}
	return err
}

// ofVictim logs the victim's player at an outing of the attacker's own. A scope that covers the region may, where the region is
// the same.
func ofVictim(call func(ctx context.Context, tx *store.Tx, s access.Scope, outing, player domain.ID) error) attempt {
	return attempt{refused: true, never: true, call: func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		if v.mine.Club.ID == "" || s.All() && v.sameRegion() {
			return nil, domain.NotFound()
		}
		return nil, call(ctx, tx, s, v.mine.Outing.ID, v.Player.ID)
	}}
}

// mixedRegion is refused to another region, and shows nothing to another club of the same.
func mixedRegion(call func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error) attempt {
	return attempt{refused: true, call: func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		if s.Region() == v.realm.Region.ID && !s.All() {
			return nil, domain.NotFound()
		}
		return nil, call(ctx, tx, s, v)
	}}
}

func (v victim) sameRegion() bool {
	return v.mine.Club.ID == v.One.Club.ID || v.mine.Club.ID == v.Two.Club.ID
}

// ids are those that nobody outside may be shown.
func (v victim) ids() []domain.ID {
	out := []domain.ID{v.Club.ID, v.Squad.ID, v.Player.ID, v.Loose.ID, v.Registration.ID, v.Appointment.ID, v.Outing.ID, v.Other.ID, v.Over.ID, v.Spell.ID,
		v.Practice.ID, v.Correction.ID, v.Notice.ID, v.Fact.ID, v.Lead.ID, v.Coach.ID}
	if !v.sameRegion() {
		out = append(out, v.realm.Region.ID, v.Season.ID, v.Adoption.ID, v.realm.Audit.ID)
	}
	return out
}

func TestEveryMethodIsAttempted(t *testing.T) {
	t.Parallel()
	methods := reflect.TypeFor[*store.Tx]()
	for m := range methods.Methods() {
		if _, ok := attempts[m.Name]; !ok {
			t.Errorf("nobody attempts to reach another's rows by %s: add it to attempts", m.Name)
		}
	}
	for name := range attempts {
		if _, ok := methods.MethodByName(name); !ok {
			t.Errorf("there is no method %s", name)
		}
	}
}

func TestIsolation(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		a, b := newRealm(t, s, "A"), newRealm(t, s, "B")
		for _, way := range []struct{ attacker, victim *realm }{{a, b}, {b, a}} {
			r := way.attacker
			v := victim{realm: way.victim, side: way.victim.One, mine: r.One}
			for name, scope := range map[string]access.Scope{"operator": r.operator(), "overnight": r.overnight(), "officer": r.officer(t),
				"lead": r.lead(t, r.One), "coach": r.coach(t, r.One), "parent": r.parent(t, r.One), "counting": r.counting(t, r.One)} {
				attack(t, r, scope, v, fmt.Sprintf("region %s, %s", r.Region.Name, name))
			}
			wrongScope(t, r, v)
		}
		for _, way := range []struct{ mine, theirs side }{{a.One, a.Two}, {a.Two, a.One}} {
			v := victim{realm: a, side: way.theirs, mine: way.mine}
			for name, scope := range map[string]access.Scope{"lead": a.lead(t, way.mine), "coach": a.coach(t, way.mine), "parent": a.parent(t, way.mine),
				"counting": a.counting(t, way.mine)} {
				attack(t, a, scope, v, fmt.Sprintf("club %s, %s", way.mine.Club.Name, name))
			}
		}
		control(t, victim{realm: a, side: a.One, mine: side{}})
	})
}

func attack(t *testing.T, r *realm, s access.Scope, v victim, who string) {
	t.Helper()
	for _, method := range sorted(attempts) {
		for i, a := range attempts[method] {
			if a.reuse && !v.sameRegion() {
				continue
			}
			err := r.s.InRegion(t.Context(), s, func(tx *store.Tx) error {
				seen, err := a.call(t.Context(), tx, s, v)
				if a.refused {
					told := domain.ErrorKindOf(err) == domain.KindNotFound || errors.Is(err, store.ErrReach)
					if !told {
						t.Errorf("%s: %s (attempt %d): %v, want not_found", who, method, i, err)
					}
				} else if err != nil {
					t.Errorf("%s: %s (attempt %d): %v", who, method, i, err)
				}
				if id, leaked := holds(t, seen, v.ids()); leaked {
					t.Errorf("%s: %s (attempt %d) shows %s", who, method, i, id)
				}
				return errRollback
			})
			if !errors.Is(err, errRollback) {
				t.Fatalf("%s: %s: %v", who, method, err)
			}
		}
	}
}

// control does the same in the victim's own name: what was refused is done, and what was hidden is seen. Else the attempts
// would prove nothing.
func control(t *testing.T, v victim) {
	t.Helper()
	for _, method := range sorted(attempts) {
		sees := false
		for i, a := range attempts[method] {
			if a.never {
				continue
			}
			for _, s := range []access.Scope{v.overnight(), v.operator()} {
				_ = v.s.InRegion(t.Context(), s, func(tx *store.Tx) error {
					seen, err := a.call(t.Context(), tx, s, v)
					if err != nil {
						t.Errorf("own: %s (attempt %d): %v", method, i, err)
					}
					if _, ok := holds(t, seen, v.ids()); ok {
						sees = true
					}
					return errRollback
				})
			}
		}
		reads := !slices.ContainsFunc([]string{"Put", "Add", "Delete", "Replace", "Keep", "Mark", "Clear", "Refresh", "Update", "Check", "Answered", "Gorm", "Region", "Seasons",
			"Adoptions", "Audit"}, func(p string) bool { return strings.HasPrefix(method, p) && method != "Registrations" })
		if reads && !sees {
			t.Errorf("own: %s shows nothing to its own", method)
		}
	}
}

// wrongScope gives every method a scope of the victim's region, and one of nobody, inside a transaction of the attacker's.
func wrongScope(t *testing.T, r *realm, v victim) {
	t.Helper()
	for _, method := range sorted(attempts) {
		for i, a := range attempts[method] {
			for name, s := range map[string]access.Scope{"another region's": v.operator(), "nobody's": {}} {
				_ = r.s.InRegion(t.Context(), r.operator(), func(tx *store.Tx) error {
					seen, err := a.call(t.Context(), tx, s, v)
					if err == nil {
						t.Errorf("%s (attempt %d) takes %s scope and gives %v", method, i, name, seen)
					}
					return errRollback
				})
			}
		}
	}
}

func holds(t *testing.T, seen any, ids []domain.ID) (domain.ID, bool) {
	t.Helper()
	b, err := json.Marshal(seen)
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range ids {
		if strings.Contains(string(b), string(id)) {
			return id, true
		}
	}
	return "", false
}

func sorted[K cmp.Ordered, V any](m map[K]V) []K {
	var out []K
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// Of identity and ledger: what is asked with a scope sees that scope's region alone.
func TestLedgerIsolation(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		a, b := newRealm(t, s, "A"), newRealm(t, s, "B")
		ctx := t.Context()
		fence, ok, err := s.TakeLease(ctx, a.overnight(), "night", "one", now, time.Hour)
		if err != nil || !ok {
			t.Fatal(fence, ok, err)
		}
		if _, ok, err := s.TakeLease(ctx, b.overnight(), "night", "two", now, time.Hour); err != nil || !ok {
			t.Errorf("the lease of one region stands in the way of another's: %v %v", ok, err)
		}
		a.in(t, a.overnight(), func(tx *store.Tx) error { return tx.MarkDone(ctx, a.overnight(), "night", today, fence, now) })
		if done, err := s.Done(ctx, b.overnight(), "night", today); err != nil || done {
			t.Errorf("done in another region: %v %v", done, err)
		}
		if last, err := s.LastDone(ctx, b.overnight(), "night"); err != nil || !last.IsZero() {
			t.Errorf("last done in another region: %v %v", last, err)
		}
		for name, sc := range map[string]access.Scope{"lead": a.lead(t, a.One), "officer": a.officer(t), "counting": a.counting(t, a.One), "nobody": {}} {
			_, _, take := s.TakeLease(ctx, sc, "night", "x", now, time.Hour)
			_, done := s.Done(ctx, sc, "night", today)
			_, last := s.LastDone(ctx, sc, "night")
			for what, err := range map[string]error{"take": take, "done": done, "last": last, "release": s.ReleaseLease(ctx, sc, "night", "one", fence)} {
				if err == nil {
					t.Errorf("%s may %s", name, what)
				}
			}
		}
	})
}
