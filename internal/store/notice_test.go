package store_test

import (
	"errors"
	"testing"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
)

func TestNoticesByStateAndScope(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		ctx, night := t.Context(), r.overnight()
		n := r.One.Notice
		n.Facts = []domain.NoticeFact{r.One.Fact}
		list := func(sc access.Scope, f domain.NoticeFilter) (out []domain.Notice) {
			t.Helper()
			r.read(t, sc, func(tx *store.Tx) error {
				page, err := tx.Notices(ctx, sc, f, wide)
				out = page.Items
				return err
			})
			return out
		}
		coach := r.coach(t, r.One)
		same(t, "a squad's coach, waiting", list(coach, domain.NoticeFilter{State: "waiting", On: n.VisibleUntil}), []domain.Notice{n})
		if got := list(coach, domain.NoticeFilter{State: "waiting", On: n.VisibleUntil.AddDays(1)}); len(got) != 0 {
			t.Errorf("past its days: %v", got)
		}
		for state, want := range map[string]int{"all": 2, "": 2, "open": 2, "taken_up": 0, "ended": 0} {
			if got := list(night, domain.NoticeFilter{State: state}); len(got) != want {
				t.Errorf("state %q: %d", state, len(got))
			}
		}
		if got := list(r.officer(t), domain.NoticeFilter{State: "all", ClubID: r.Two.Club.ID}); len(got) != 1 || got[0].ID != r.Two.Notice.ID {
			t.Errorf("an officer, one club: %v", got)
		}
		err := s.ReadRegion(ctx, coach, func(tx *store.Tx) error {
			_, err := tx.Notices(ctx, coach, domain.NoticeFilter{State: "what"}, wide)
			return err
		})
		wantCode(t, "a state that is none", err, "notice_state")

		took := n
		took.State, took.TakenUpBy, took.TakenUpAt = domain.NoticeTakenUp, r.One.Coach.ID, now
		r.in(t, coach, func(tx *store.Tx) error {
			got, err := tx.PutNotice(ctx, coach, took)
			took.Version, took.TakenUpByName = 2, "coach"
			same(t, "taken up", got, took)
			return err
		})
		same(t, "still waiting", list(coach, domain.NoticeFilter{State: "waiting", On: today}), []domain.Notice{took})
		r.read(t, night, func(tx *store.Tx) error {
			of, err := tx.NoticesOf(ctx, night, []domain.ID{r.One.Player.ID})
			same(t, "all of a player", of, []domain.Notice{took})
			return err
		})
	})
}

func TestNoticeFacts(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		ctx, night, f := t.Context(), r.overnight(), r.One.Fact
		changed := f
		changed.Withdrawn, changed.Actual = true, 2
		double := f
		double.ID = newID() // another run found the same
		more := f
		more.ID, more.Key, more.Date, more.OutingID, more.Allowed = newID(), "k2", f.Date.AddDays(1), "", -1
		r.in(t, night, func(tx *store.Tx) error {
			p := &puts{}
			p.note(tx.PutNoticeFacts(ctx, night, []domain.NoticeFact{changed, double, more}))
			got := keep(tx.Notice(ctx, night, r.One.Notice.ID))(p)
			same(t, "facts", got.Facts, []domain.NoticeFact{changed, more})
			p.note(tx.PutNoticeFacts(ctx, night, nil))
			return p.err
		})
		again := r.One.Notice
		again.ID, again.Version = newID(), 0
		r.in(t, night, func(tx *store.Tx) error {
			_, err := tx.PutNotice(ctx, night, again)
			wantCode(t, "the same matter twice", err, "notice_taken")
			return nil
		})
		strange := f // a new fact of one child on another's notice
		strange.ID, strange.Key, strange.PlayerID = newID(), "k3", r.One.Loose.ID
		wantCode(t, "a fact of another child", s.InRegion(ctx, night, func(tx *store.Tx) error {
			return tx.PutNoticeFacts(ctx, night, []domain.NoticeFact{strange})
		}), "not_found")
		moved := f
		moved.NoticeID, moved.PlayerID = r.Two.Notice.ID, r.Two.Player.ID
		err := s.InRegion(ctx, night, func(tx *store.Tx) error { return tx.PutNoticeFacts(ctx, night, []domain.NoticeFact{moved}) })
		wantCode(t, "a fact moved to another notice", err, "not_found")
	})
}

func TestAnsweredRequests(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		ctx, lead := t.Context(), r.lead(t, r.One)
		r.in(t, lead, func(tx *store.Tx) error {
			_, _, ok, err := tx.Answered(ctx, lead, "k")
			if ok {
				t.Error("answered before it was asked")
			}
			return errors.Join(err, tx.KeepAnswer(ctx, lead, "k", "print", []byte("\x00answer"), now), tx.KeepAnswer(ctx, lead, "empty",
				"p", nil, now))
		})
		r.in(t, lead, func(tx *store.Tx) error {
			print, answer, ok, err := tx.Answered(ctx, lead, "k")
			if !ok || print != "print" || string(answer) != "\x00answer" {
				t.Errorf("answered %q %q %v", print, answer, ok)
			}
			wantCode(t, "kept twice", tx.KeepAnswer(ctx, lead, "k", "print", nil, now), "key_taken")
			return err
		})
		other := r.lead(t, r.Two)
		r.read(t, other, func(tx *store.Tx) error {
			_, _, ok, err := tx.Answered(ctx, other, "k")
			if ok {
				t.Error("another account is given the answer")
			}
			return err
		})
	})
}
