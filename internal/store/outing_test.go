package store_test

import (
	"errors"
	"testing"
	"time"

	"longspell/internal/domain"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
)

func TestOutingWhole(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		d, ctx := r.One, t.Context()
		coach := r.coach(t, d)
		want := d.Outing
		want.Attendance = []domain.Attendance{{PlayerID: d.Player.ID, Present: domain.PresentYes}, {PlayerID: d.Loose.ID, Present: domain.PresentNo}}
		if d.Loose.ID < d.Player.ID {
			want.Attendance[0], want.Attendance[1] = want.Attendance[1], want.Attendance[0]
		}
		want.Overs, want.Spells, want.Practice = []domain.OverLog{d.Over}, []domain.QuickSpell{d.Spell}, []domain.Practice{d.Practice}
		want.PresentCount, want.Balls, want.LoggedByName = 1, 7+13+20, "coach"
		r.read(t, coach, func(tx *store.Tx) error {
			got, err := tx.Outing(ctx, coach, d.Outing.ID)
			same(t, "outing", got, want)
			page, err2 := tx.Outings(ctx, coach, domain.OutingFilter{}, wide)
			if len(page.Items) != 1 || page.Items[0].ID != d.Outing.ID || page.Items[0].Balls != 40 || page.Items[0].PresentCount != 1 || page.Items[0].Overs != nil {
				t.Errorf("a squad's coach lists %+v", page.Items)
			}
			c, err3 := tx.Corrections(ctx, coach, d.Outing.ID, wide)
			wantC := d.Correction
			wantC.ByName = "coach"
			same(t, "corrections", c.Items, []domain.Correction{wantC})
			return errors.Join(err, err2, err3)
		})
	})
}

func TestOverTakenAndTakenBack(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		d, ctx, op := r.One, t.Context(), r.operator()
		twice := d.Over
		twice.ID, twice.Version = newID(), 0
		r.in(t, op, func(tx *store.Tx) error {
			_, err := tx.PutOver(ctx, op, twice)
			wantCode(t, "the same bowler in the same over", err, "over_taken")
			shared := twice
			shared.PlayerID = d.Loose.ID
			_, err = tx.PutOver(ctx, op, shared)
			return err // a shared over has two rows
		})
		r.in(t, op, func(tx *store.Tx) error {
			wantCode(t, "an old version", tx.DeleteOver(ctx, op, d.Outing.ID, d.Over.ID, 2), "version_stale")
			wantCode(t, "another outing", tx.DeleteOver(ctx, op, d.Other.ID, d.Over.ID, 1), "not_found")
			p := &puts{}
			p.note(tx.DeleteOver(ctx, op, d.Outing.ID, d.Over.ID, 1))
			p.note(tx.DeleteSpell(ctx, op, d.Outing.ID, d.Spell.ID, 1))
			p.note(tx.DeletePractice(ctx, op, d.Outing.ID, d.Practice.ID, 1))
			wantCode(t, "what is gone", tx.DeleteOver(ctx, op, d.Outing.ID, d.Over.ID, 1), "not_found")
			p.note(tx.ReplaceAttendance(ctx, op, d.Outing.ID, nil))
			o := keep(tx.Outing(ctx, op, d.Outing.ID))(p)
			if len(o.Overs) != 1 || o.Spells != nil || o.Practice != nil || o.Attendance != nil {
				t.Errorf("left: %+v", o)
			}
			return p.err
		})
	})
}

// A coach of one squad logs for that squad alone, not for the club and not for another squad of it.
func TestSquadCoachLogsForTheSquad(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		ctx, d, op, coach := t.Context(), r.One, r.operator(), r.coach(t, r.One)
		var second domain.Squad
		r.in(t, op, func(tx *store.Tx) (err error) {
			second, err = tx.PutSquad(ctx, op, domain.Squad{ID: newID(), ClubID: d.Club.ID, SeasonID: r.Season.ID, Name: "Second"})
			return err
		})
		for squad, code := range map[domain.ID]string{d.Squad.ID: "", second.ID: "not_found", "": "not_found"} {
			err := s.InRegion(ctx, coach, func(tx *store.Tx) error {
				_, err := tx.PutOuting(ctx, coach, domain.Outing{ID: newID(), ClubID: d.Club.ID, SquadID: squad, Kind: domain.OutingNets,
					State: domain.OutingPlanned, Date: today})
				return err
			})
			wantCode(t, "squad "+string(squad), err, code)
		}
	})
}

// Who may be named in a log: the scope's own, those who were ever with the club, and whoever is in the row already.
func TestWhoMayBeNamedInALog(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		d, ctx, op := r.One, t.Context(), r.operator()
		lead, coach := r.lead(t, d), r.coach(t, d)
		over := func(player domain.ID) domain.OverLog {
			return domain.OverLog{ID: newID(), OutingID: d.Outing.ID, Date: d.Outing.Date, Innings: 3, Over: 1, PlayerID: player, Balls: 6, Valid: 6}
		}
		r.in(t, coach, func(tx *store.Tx) error {
			_, err := tx.PutOver(ctx, coach, over(d.Loose.ID)) // fills in from the same club
			return err
		})
		gone := d.Registration
		gone.To = today.AddDays(-5)
		r.in(t, op, func(tx *store.Tx) error { _, err := tx.PutRegistration(ctx, op, gone); return err })
		r.in(t, lead, func(tx *store.Tx) error {
			fixed := d.Over
			fixed.Balls = 8
			_, err := tx.PutOver(ctx, lead, fixed)
			return err // the log of one who has left can still be put right
		})
		for what, call := range map[string]func(tx *store.Tx) error{
			"over":   func(tx *store.Tx) error { _, err := tx.PutOver(ctx, lead, over(r.Two.Player.ID)); return err },
			"nobody": func(tx *store.Tx) error { _, err := tx.PutOver(ctx, lead, over(newID())); return err },
			"blank":  func(tx *store.Tx) error { _, err := tx.PutOver(ctx, lead, over("")); return err },
			"attendance": func(tx *store.Tx) error {
				return tx.ReplaceAttendance(ctx, lead, d.Outing.ID, []domain.Attendance{{PlayerID: r.Two.Player.ID, Present: domain.PresentYes}})
			},
		} {
			wantCode(t, what, s.InRegion(ctx, lead, call), "not_found")
		}
	})
}

func TestAddLogsInBulk(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		d, ctx, lead := r.One, t.Context(), r.lead(t, r.One)
		var overs []domain.OverLog
		for n := 1; n <= 1201; n++ {
			overs = append(overs, domain.OverLog{ID: newID(), OutingID: d.Other.ID, Date: d.Other.Date, Innings: 1, Over: n,
				PlayerID: d.Player.ID, Balls: 6, Valid: 6, Seq: n})
		}
		attendance := map[domain.ID][]domain.Attendance{d.Other.ID: {{PlayerID: d.Player.ID, Present: domain.PresentYes}}}
		practice := []domain.Practice{{ID: newID(), OutingID: d.Other.ID, PlayerID: d.Loose.ID, Balls: 12, Hits: -1, Effort: -1}}
		r.in(t, lead, func(tx *store.Tx) error { return tx.AddLogs(ctx, lead, attendance, overs, practice) })
		r.read(t, lead, func(tx *store.Tx) error {
			o, err := tx.Outing(ctx, lead, d.Other.ID)
			if len(o.Overs) != 1201 || len(o.Practice) != 1 || o.PresentCount != 1 || o.Balls != 1201*6+12 || o.Overs[1200].Version != 1 {
				t.Errorf("%d overs, %d practice, %d present, %d balls", len(o.Overs), len(o.Practice), o.PresentCount, o.Balls)
			}
			return err
		})
		err := s.InRegion(ctx, lead, func(tx *store.Tx) error { return tx.AddLogs(ctx, lead, nil, overs[:1], nil) })
		wantCode(t, "the same once more", err, "already_there")
	})
}

// What the database itself refuses is told as a wrong value, not as a fault, on both.
func TestValuesThatCannotBeStored(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		op, ctx, d := r.operator(), t.Context(), r.One
		long := make([]byte, 201)
		for i := range long {
			long[i] = 'x'
		}
		for what, call := range map[string]func(tx *store.Tx) error{
			"name too long": func(tx *store.Tx) error {
				_, err := tx.PutClub(ctx, op, domain.Club{ID: newID(), Name: string(long)})
				return err
			},
			"no name": func(tx *store.Tx) error { _, err := tx.PutPlayer(ctx, op, domain.Player{ID: newID()}); return err },
			"sex": func(tx *store.Tx) error {
				_, err := tx.PutPlayer(ctx, op, domain.Player{ID: newID(), Name: "x", Sex: "?"})
				return err
			},
			"more valid balls than balls": func(tx *store.Tx) error {
				o := d.Over
				o.Valid = 99
				_, err := tx.PutOver(ctx, op, o)
				return err
			},
			"season that ends before it begins": func(tx *store.Tx) error {
				_, err := tx.PutSeason(ctx, op, domain.Season{ID: newID(), Name: "x", FirstDay: today, LastDay: today.AddDays(-1)})
				return err
			},
			"ended without a reason": func(tx *store.Tx) error {
				n := d.Notice
				n.State = domain.NoticeEnded
				_, err := tx.PutNotice(ctx, op, n)
				return err
			},
			"coach of no club": func(tx *store.Tx) error {
				_, err := tx.PutAppointment(ctx, op, domain.Appointment{ID: newID(), AccountID: d.Lead.ID, Role: domain.Coach, From: today})
				return err
			},
		} {
			err := s.InRegion(ctx, op, call)
			wantCode(t, what, err, "not_storable")
			if domain.ErrorKindOf(err) != domain.KindInvalid {
				t.Errorf("%s: kind %v", what, domain.ErrorKindOf(err))
			}
		}
		for what, call := range map[string]func(tx *store.Tx) error{
			"an id that is none": func(tx *store.Tx) error { _, err := tx.Player(ctx, op, "none"); return err },
			"a missing parent": func(tx *store.Tx) error {
				_, err := tx.PutSquad(ctx, op, domain.Squad{ID: newID(), ClubID: newID(), SeasonID: r.Season.ID, Name: "x"})
				return err
			},
		} {
			wantCode(t, what, s.InRegion(ctx, op, call), "not_found")
		}
	})
}

// Instants come back as they went, to the microsecond, whatever zone they were given in, and sort as time does.
func TestInstantsAndOrder(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		op, ctx := r.operator(), t.Context()
		cest := time.FixedZone("CEST", 2*3600)
		at := []time.Time{now.Add(time.Microsecond), now.Add(2 * time.Microsecond).In(cest), now.Add(3 * time.Microsecond)}
		r.in(t, op, func(tx *store.Tx) error {
			for _, v := range at {
				if err := tx.AddAudit(ctx, op, domain.AuditEntry{ID: newID(), At: v, Role: "operator", Action: "x"}); err != nil {
					return err
				}
			}
			page, err := tx.Audit(ctx, op, domain.Page{Size: 3})
			for i, e := range page.Items {
				if want := at[2-i].UTC(); e.At != want {
					t.Errorf("entry %d: %v, want %v", i, e.At, want)
				}
			}
			if len(page.Items) != 3 {
				t.Errorf("%d entries", len(page.Items))
			}
			return err
		})
		r.read(t, op, func(tx *store.Tx) error {
			page, err := tx.Audit(ctx, op, wide)
			last := page.Items[len(page.Items)-1]
			want := r.Audit
			want.ByName = "officer"
			same(t, "the oldest entry", last, want)
			return err
		})
		lead := r.lead(t, r.One)
		r.read(t, lead, func(tx *store.Tx) error {
			page, err := tx.Audit(ctx, lead, wide)
			if len(page.Items) != 0 {
				t.Errorf("a club lead reads the trail: %v", page.Items)
			}
			return err
		})
	})
}
