package store_test

import (
	"fmt"
	"testing"
	"time"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/store"
)

// All people, clubs and figures here are invented.

var (
	today = domain.MustDate("2026-05-09")
	now   = time.Date(2026, 5, 9, 10, 30, 15, 123456000, time.UTC)
)

func newID() domain.ID { return domain.NewID(now) }

// side is what one club has of everything.
type side struct {
	Club         domain.Club
	Squad        domain.Squad
	Player       domain.Player // in the squad
	Loose        domain.Player // of the club, in no squad
	Registration domain.Registration
	Member       domain.SquadPlayer
	Lead         domain.Account
	Coach        domain.Account // of the squad alone
	Parent       domain.Account
	Appointment  domain.Appointment // the lead's
	Outing       domain.Outing      // the squad's, held, with logs
	Other        domain.Outing      // the whole club's
	Over         domain.OverLog
	Spell        domain.QuickSpell
	Practice     domain.Practice
	Correction   domain.Correction
	Notice       domain.Notice
	Fact         domain.NoticeFact
}

// realm is a region with two clubs.
type realm struct {
	s        *store.Store
	Region   domain.Region
	Season   domain.Season
	Adoption domain.Adoption
	Officer  domain.Account
	Audit    domain.AuditEntry
	One, Two side
}

func (r *realm) operator() access.Scope  { return access.Operator(r.Region.ID, today) }
func (r *realm) overnight() access.Scope { return access.Overnight(r.Region.ID, today) }

func (r *realm) as(t *testing.T, who domain.Account, p access.Permission, a domain.Appointment) access.Scope {
	t.Helper()
	a.RegionID, a.From = r.Region.ID, today.AddDays(-30)
	s, err := access.For(access.Actor{Account: who.ID, Appointments: []domain.Appointment{a}}, r.Region.ID, p, today)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func (r *realm) officer(t *testing.T) access.Scope {
	return r.as(t, r.Officer, access.PlayerRead, domain.Appointment{Role: domain.RegionOfficer})
}

func (r *realm) lead(t *testing.T, of side) access.Scope {
	return r.as(t, of.Lead, access.PlayerWrite, domain.Appointment{Role: domain.ClubLead, ClubID: of.Club.ID})
}

func (r *realm) coach(t *testing.T, of side) access.Scope {
	return r.as(t, of.Coach, access.OutingWrite, domain.Appointment{Role: domain.Coach, ClubID: of.Club.ID, SquadID: of.Squad.ID})
}

func (r *realm) parent(t *testing.T, of side) access.Scope {
	return r.as(t, of.Parent, access.PlayerRead, domain.Appointment{Role: domain.Guardian, ClubID: of.Club.ID, PlayerID: of.Player.ID})
}

func (r *realm) counting(t *testing.T, of side) access.Scope {
	return access.CountingFor(r.coach(t, of), []domain.ID{of.Player.ID})
}

// in runs fn in a transaction and fails the test on an error.
func (r *realm) in(t *testing.T, s access.Scope, fn func(tx *store.Tx) error) {
	t.Helper()
	if err := r.s.InRegion(t.Context(), s, fn); err != nil {
		t.Fatal(err)
	}
}

// read runs fn in a read-only transaction and fails the test on an error.
func (r *realm) read(t *testing.T, s access.Scope, fn func(tx *store.Tx) error) {
	t.Helper()
	if err := r.s.ReadRegion(t.Context(), s, fn); err != nil {
		t.Fatal(err)
	}
}

func newRealm(t *testing.T, s *store.Store, name string) *realm {
	t.Helper()
	r := &realm{s: s, Region: domain.Region{ID: newID(), Name: name, TimeZone: "Europe/London", SeasonStartMonth: 4, SeasonStartDay: 1,
		CreatedAt: now}}
	if err := s.CreateRegion(t.Context(), r.Region); err != nil {
		t.Fatal(err)
	}
	r.Region.Version = 1
	r.Officer = newAccount(t, s, "officer")
	op := r.operator()
	r.in(t, op, func(tx *store.Tx) (err error) {
		if r.Season, err = tx.PutSeason(t.Context(), op, domain.Season{ID: newID(), Name: "2026", FirstDay: domain.MustDate("2026-04-01"),
			LastDay: domain.MustDate("2026-09-30")}); err != nil {
			return err
		}
		r.Adoption, err = tx.PutAdoption(t.Context(), op, domain.Adoption{ID: newID(), LimitSet: "ecb-2010",
			From: domain.MustDate("2026-04-01"), Settings: map[string]string{"spin_in_rest": "warn"}})
		if err != nil {
			return err
		}
		r.Audit = domain.AuditEntry{ID: newID(), At: now, AccountID: r.Officer.ID, Role: "region_officer", Action: "region.change",
			What: "region", EntryID: r.Region.ID, Detail: map[string]string{"fields": "name"}}
		return tx.AddAudit(t.Context(), op, r.Audit)
	})
	r.One = r.newSide(t, name+" Oak")
	r.Two = r.newSide(t, name+" Elm")
	return r
}

func newAccount(t *testing.T, s *store.Store, who string) domain.Account {
	t.Helper()
	a := domain.Account{ID: newID(), DisplayName: who, PasswordHash: "$argon2id$x", CreatedAt: now}
	a.Email = fmt.Sprintf("%s.%s@example.org", who, a.ID)
	if err := s.CreateAccount(t.Context(), a); err != nil {
		t.Fatal(err)
	}
	return a
}

func (r *realm) newSide(t *testing.T, name string) side {
	t.Helper()
	var d side
	ctx, op := t.Context(), r.operator()
	d.Lead, d.Coach, d.Parent = newAccount(t, r.s, "lead"), newAccount(t, r.s, "coach"), newAccount(t, r.s, "parent")
	r.in(t, op, func(tx *store.Tx) (err error) {
		p := &puts{}
		d.Club = keep(tx.PutClub(ctx, op, domain.Club{ID: newID(), Name: name, ShortName: "O"}))(p)
		d.Squad = keep(tx.PutSquad(ctx, op, domain.Squad{ID: newID(), ClubID: d.Club.ID, SeasonID: r.Season.ID, Name: name + " U13",
			AgeGroup: "U13"}))(p)
		d.Player = keep(tx.PutPlayer(ctx, op, domain.Player{ID: newID(), Reference: name + "-1", Name: "Anna O'Wren " + name,
			Born: domain.MustDate("2013-03-04"),
			Sex:  domain.Female, Arm: domain.ArmLeft, Kind: domain.WristSpin, Since: domain.MustDate("2025-05-01")}))(p)
		d.Loose = keep(tx.PutPlayer(ctx, op, domain.Player{ID: newID(), Name: "Ben Finch " + name}))(p)
		d.Registration = keep(tx.PutRegistration(ctx, op, domain.Registration{ID: newID(), PlayerID: d.Player.ID, ClubID: d.Club.ID,
			SeasonID: r.Season.ID, First: true, From: r.Season.FirstDay}))(p)
		keep(tx.PutRegistration(ctx, op, domain.Registration{ID: newID(), PlayerID: d.Loose.ID, ClubID: d.Club.ID, SeasonID: r.Season.ID,
			First: true, From: r.Season.FirstDay}))(p)
		d.Member = keep(tx.PutSquadPlayer(ctx, op, domain.SquadPlayer{SquadID: d.Squad.ID, PlayerID: d.Player.ID, From: r.Season.FirstDay}))(p)
		d.Appointment = keep(tx.PutAppointment(ctx, op, domain.Appointment{ID: newID(), AccountID: d.Lead.ID, Role: domain.ClubLead,
			ClubID: d.Club.ID, From: r.Season.FirstDay}))(p)
		d.Other = keep(tx.PutOuting(ctx, op, domain.Outing{ID: newID(), ClubID: d.Club.ID, Kind: domain.OutingNets,
			State: domain.OutingHeld, Date: today.AddDays(-3)}))(p)
		r.fillOuting(t, tx, p, &d, name)
		return p.err
	})
	return d
}

func (r *realm) fillOuting(t *testing.T, tx *store.Tx, p *puts, d *side, name string) {
	t.Helper()
	ctx, op := t.Context(), r.operator()
	d.Outing = keep(tx.PutOuting(ctx, op, domain.Outing{ID: newID(), ClubID: d.Club.ID, SquadID: d.Squad.ID, Kind: domain.OutingMatch,
		State: domain.OutingHeld,
		Date:  today.AddDays(-1), Title: "Home to nobody", Reference: name + "-m1", HasFormat: true, LoggedBy: d.Coach.ID,
		Format: domain.MatchFormat{OversASide: 20, BowlerCap: 4, BallsInOver: domain.SixValid}}))(p)
	p.note(tx.ReplaceAttendance(ctx, op, d.Outing.ID, []domain.Attendance{{PlayerID: d.Player.ID, Present: domain.PresentYes},
		{PlayerID: d.Loose.ID, Present: domain.PresentNo}}))
	d.Over = keep(tx.PutOver(ctx, op, domain.OverLog{ID: newID(), OutingID: d.Outing.ID, Date: d.Outing.Date, Innings: 1, Over: 3,
		End: domain.EndB, PlayerID: d.Player.ID,
		Kind: domain.SeamBack, Balls: 7, Valid: 6, BreakMin: 15, Seq: 1}))(p)
	d.Spell = keep(tx.PutSpell(ctx, op, domain.QuickSpell{ID: newID(), OutingID: d.Outing.ID, Date: d.Outing.Date, Innings: 2, FirstOver: 5,
		End: domain.EndA, PlayerID: d.Player.ID,
		Overs: 2, Balls: 13, Valid: 12}))(p)
	d.Practice = keep(tx.PutPractice(ctx, op, domain.Practice{ID: newID(), OutingID: d.Outing.ID, PlayerID: d.Player.ID,
		Kind: domain.FingerSpin, Balls: 20, Overs: 0, Hits: 7,
		Trial: "box 7 of 12", Effort: 4}))(p)
	d.Correction = domain.Correction{ID: newID(), OutingID: d.Outing.ID, At: now, By: d.Coach.ID, What: "over", EntryID: d.Over.ID,
		Before: map[string]string{"balls": "6"}, After: map[string]string{"balls": "7"}, Reason: "miscounted"}
	p.note(tx.AddCorrections(ctx, op, []domain.Correction{d.Correction}))
	d.Notice = keep(tx.PutNotice(ctx, op, domain.Notice{ID: newID(), Kind: domain.BowledTooMuch, PlayerID: d.Player.ID,
		Matter: "bowled_too_much:ecb-2010:run_of_days", LimitSet: "ecb-2010",
		Limit: "run_of_days", Weight: "guidance", FirstDay: today.AddDays(-2), LastDay: today.AddDays(-1), OpenedOn: today, VisibleUntil: today.AddDays(28), State: domain.NoticeOpen}))(p)
	d.Fact = domain.NoticeFact{ID: newID(), NoticeID: d.Notice.ID, PlayerID: d.Player.ID, Key: "k1", Date: today.AddDays(-1),
		OutingID: d.Outing.ID, Innings: 1, Over: 3,
		Allowed: 2, Actual: 3, Earliest: 0, AgeGroup: "U13", Says: "third day running", Source: "an invented text"}
	p.note(tx.PutNoticeFacts(ctx, op, []domain.NoticeFact{d.Fact}))
	d.Notice.Facts = []domain.NoticeFact{d.Fact}
	p.note(tx.RefreshRollup(ctx, op, []domain.TouchedDay{{PlayerID: d.Player.ID, Day: d.Outing.Date}}))
}

// puts remembers the first error of many calls.
type puts struct{ err error }

func (p *puts) note(err error) {
	if p.err == nil {
		p.err = err
	}
}

// keep notes the error of a call, given as keep(call())(p), and hands on its value.
func keep[T any](v T, err error) func(*puts) T {
	return func(p *puts) T {
		p.note(err)
		return v
	}
}
