package store_test

import (
	"context"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
)

// rule is one kind of entry that is stored by the rule for versions.
type rule[T any] struct {
	name    string
	put     func(context.Context, *store.Tx, access.Scope, T) (T, error)
	first   T
	change  func(*T)
	version func(*T) *int
}

func (c rule[T]) run(t *testing.T, r *realm) {
	t.Run(c.name, func(t *testing.T) {
		op := r.operator()
		try := func(v T) (out T, err error) {
			err = r.s.InRegion(t.Context(), op, func(tx *store.Tx) error {
				var err error
				out, err = c.put(t.Context(), tx, op, v)
				return err
			})
			return out, err
		}
		is := func(what string, got T, err error, want T) {
			t.Helper()
			if err != nil {
				t.Fatalf("%s: %v", what, err)
			}
			if d := cmp.Diff(want, got, cmp.AllowUnexported(domain.Date{})); d != "" {
				t.Errorf("%s (-want +got):\n%s", what, d)
			}
		}
		refused := func(what string, err error) {
			t.Helper()
			if domain.ErrorCodeOf(err) != "version_stale" || domain.ErrorKindOf(err) != domain.KindConflict {
				t.Errorf("%s: %v, want version_stale", what, err)
			}
		}
		with := func(v T, version int) T { *c.version(&v) = version; return v }
		changed := c.first
		c.change(&changed)

		got, err := try(with(c.first, 0))
		is("new", got, err, with(c.first, 1))
		got, err = try(with(c.first, 0))
		is("the same once more", got, err, with(c.first, 1))
		_, err = try(with(changed, 0))
		refused("new once more with other content", err)
		got, err = try(with(changed, 1))
		is("changed", got, err, with(changed, 2))
		_, err = try(with(c.first, 1))
		refused("an old version", err)
		got, err = try(with(changed, 0))
		is("the present content as new", got, err, with(changed, 2))
		missing := with(changed, 0)
		_, err = try(with(missing, 7))
		refused("a version to come", err)
	})
}

func TestVersionRule(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		d := r.One
		rule[domain.Season]{"season", func(ctx context.Context, tx *store.Tx, s access.Scope, v domain.Season) (domain.Season, error) {
			return tx.PutSeason(ctx, s, v)
		}, domain.Season{ID: newID(), Name: "2027", FirstDay: today.AddDays(400), LastDay: today.AddDays(500)},
			func(v *domain.Season) { v.Name = "next" }, func(v *domain.Season) *int { return &v.Version }}.run(t, r)
		rule[domain.Adoption]{"adoption", func(ctx context.Context, tx *store.Tx, s access.Scope, v domain.Adoption) (domain.Adoption, error) {
			return tx.PutAdoption(ctx, s, v)
		}, domain.Adoption{ID: newID(), LimitSet: "ca-2019", From: today, Settings: map[string]string{"a": "1", "b": ""}},
			func(v *domain.Adoption) {
				v.To, v.Settings = today.AddDays(1),
					map[string]string{}
			}, func(v *domain.Adoption) *int { return &v.Version }}.run(t, r)
		rule[domain.Club]{"club", func(ctx context.Context, tx *store.Tx, s access.Scope, v domain.Club) (domain.Club, error) {
			return tx.PutClub(ctx, s, v)
		}, domain.Club{ID: newID(), Name: "Äsch", ShortName: "Ä"},
			func(v *domain.Club) { v.ShortName = "" }, func(v *domain.Club) *int { return &v.Version }}.run(t, r)
		rule[domain.Squad]{"squad", func(ctx context.Context, tx *store.Tx, s access.Scope, v domain.Squad) (domain.Squad, error) {
			return tx.PutSquad(ctx, s, v)
		}, domain.Squad{ID: newID(), ClubID: d.Club.ID, SeasonID: r.Season.ID, Name: "Girls", AgeGroup: "U15"},
			func(v *domain.Squad) { v.AgeGroup = "" }, func(v *domain.Squad) *int { return &v.Version }}.run(t, r)
		rule[domain.Player]{"player", func(ctx context.Context, tx *store.Tx, s access.Scope, v domain.Player) (domain.Player, error) {
			return tx.PutPlayer(ctx, s, v)
		}, domain.Player{ID: newID(), Reference: "r-9", Name: "Zoë Wren", Born: domain.MustDate("2012-02-29"), Sex: domain.SexX, Arm: domain.ArmRight, Kind: domain.SeamUp, Since: today},
			func(v *domain.Player) {
				v.Born, v.Since, v.Kind = domain.Date{}, domain.Date{},
					domain.KindUnknown
			}, func(v *domain.Player) *int { return &v.Version }}.run(t, r)
		rule[domain.Registration]{"registration", func(ctx context.Context, tx *store.Tx, s access.Scope,
			v domain.Registration) (domain.Registration, error) {
			return tx.PutRegistration(ctx, s, v)
		}, domain.Registration{ID: newID(), PlayerID: d.Player.ID, ClubID: r.Two.Club.ID, ClubName: r.Two.Club.Name, SeasonID: r.Season.ID, From: today},
			func(v *domain.Registration) {
				v.To, v.First = today.AddDays(9),
					true
			}, func(v *domain.Registration) *int { return &v.Version }}.run(t, r)
		rule[domain.Appointment]{"appointment", func(ctx context.Context, tx *store.Tx, s access.Scope,
			v domain.Appointment) (domain.Appointment, error) {
			return tx.PutAppointment(ctx, s, v)
		}, domain.Appointment{ID: newID(), RegionID: r.Region.ID, AccountID: d.Coach.ID, Role: domain.Coach, ClubID: d.Club.ID, SquadID: d.Squad.ID, From: today,
			RegionName: r.Region.Name, Holder: "coach", ClubName: d.Club.Name, SquadName: d.Squad.Name},
			func(v *domain.Appointment) { v.To = today.AddDays(1) }, func(v *domain.Appointment) *int { return &v.Version }}.run(t, r)
		logRules(t, r, d)
	})
}

func logRules(t *testing.T, r *realm, d side) {
	rule[domain.Outing]{"outing", func(ctx context.Context, tx *store.Tx, s access.Scope, v domain.Outing) (domain.Outing, error) {
		return tx.PutOuting(ctx, s, v)
	}, domain.Outing{ID: newID(), ClubID: d.Club.ID, SquadID: d.Squad.ID, Kind: domain.OutingSchool, State: domain.OutingPlanned, Date: today, Title: "t", Reference: "r-1", HasFormat: true,
		Format: domain.MatchFormat{OversASide: 1, BowlerCap: 2, BallsInOver: domain.AtMost8}, LoggedBy: d.Coach.ID, LoggedByName: "coach"},
		func(v *domain.Outing) {
			v.State, v.SquadID, v.Format = domain.OutingCalledOff, "", domain.MatchFormat{}
		}, func(v *domain.Outing) *int { return &v.Version }}.run(t, r)
	rule[domain.OverLog]{"over", func(ctx context.Context, tx *store.Tx, s access.Scope, v domain.OverLog) (domain.OverLog, error) {
		return tx.PutOver(ctx, s, v)
	}, domain.OverLog{ID: newID(), OutingID: d.Outing.ID, Date: d.Outing.Date, Innings: 2, Over: 8, End: domain.EndA, PlayerID: d.Player.ID, Kind: domain.WristSpin, Balls: 6, Valid: 5, BreakMin: 40, Seq: 3},
		func(v *domain.OverLog) {
			v.Kind, v.End, v.BreakMin = domain.KindUnknown, domain.EndUnknown,
				0
		}, func(v *domain.OverLog) *int { return &v.Version }}.run(t, r)
	rule[domain.QuickSpell]{"spell", func(ctx context.Context, tx *store.Tx, s access.Scope, v domain.QuickSpell) (domain.QuickSpell, error) {
		return tx.PutSpell(ctx, s, v)
	}, domain.QuickSpell{ID: newID(), OutingID: d.Outing.ID, Date: d.Outing.Date, Innings: 2, PlayerID: d.Player.ID, Kind: domain.FingerSpin, Overs: 3, Balls: 18, Valid: 18},
		func(v *domain.QuickSpell) {
			v.FirstOver, v.End, v.Balls = 9, domain.EndB,
				19
		}, func(v *domain.QuickSpell) *int { return &v.Version }}.run(t, r)
	rule[domain.Practice]{"practice", func(ctx context.Context, tx *store.Tx, s access.Scope, v domain.Practice) (domain.Practice, error) {
		return tx.PutPractice(ctx, s, v)
	}, domain.Practice{ID: newID(), OutingID: d.Outing.ID, PlayerID: d.Player.ID, Balls: 30, Hits: -1, Effort: -1},
		func(v *domain.Practice) {
			v.Kind, v.Hits, v.Effort, v.Trial = domain.SeamUp, 0, 10,
				"x"
		}, func(v *domain.Practice) *int { return &v.Version }}.run(t, r)
	rule[domain.Notice]{"notice", func(ctx context.Context, tx *store.Tx, s access.Scope, v domain.Notice) (domain.Notice, error) {
		return tx.PutNotice(ctx, s, v)
	}, domain.Notice{ID: newID(), Kind: domain.BowledTooMuch, PlayerID: d.Player.ID, Matter: "m", LimitSet: "s", Limit: "l", Weight: "limit", FirstDay: today, LastDay: today,
		OpenedOn: today, VisibleUntil: today, State: domain.NoticeOpen, Late: true},
		func(v *domain.Notice) {
			v.State, v.TakenUpBy, v.TakenUpAt, v.TakenUpByName = domain.NoticeEnded, d.Coach.ID, now, "coach"
			v.EndReason, v.EndedBy, v.EndedAt, v.EndedByName = domain.EndResting, d.Lead.ID, now.Add(time.Millisecond), "lead"
		}, func(v *domain.Notice) *int { return &v.Version }}.run(t, r)
}
