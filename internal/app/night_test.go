package app_test

import (
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"longspell/internal/access"
	"longspell/internal/app"
	"longspell/internal/domain"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
	"longspell/internal/testkit/world"
)

// The path the product exists for. A 13-year-old bowls for a school on Saturday and for a club on Sunday and Monday, logged by
// two coaches. The run of days that no coach sees alone is named on Monday night; before that, what each coach was shown as
// left counted the other's balls; and neither can read the other's outing.
func TestTwoCoachesOneChild(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, st *store.Store) {
		w := world.New(t, st)
		school, club := w.Club("School"), w.Club("Club")
		child := w.Player("Quill", "2012-10-01", domain.SeamBack, school, club)
		teacher, coach := w.Coach(school), w.Coach(club)
		ctx := t.Context()

		log := func(c app.Call, at domain.ID, date string) (domain.Outing, app.Allowance) {
			t.Helper()
			o, left, err := w.App.PutOuting(ctx, c, app.PutOuting{Outing: w.Match(at, date, child),
				Logs: app.OutingLogs{Overs: w.Overs(date, child, domain.SeamBack, 1, 3, 5)}})
			if err != nil {
				t.Fatal(err)
			}
			return o, left.Bowlers[0]
		}
		sat, a := log(teacher, school, "2026-05-09")
		if a.BallsToday != 18 || a.BallsElsewhereToday != 0 || *a.Sets[0].RunOfDays != 1 {
			t.Errorf("Saturday's picture: %+v", a)
		}
		sun, a := log(coach, club, "2026-05-10")
		if a.Balls7 != 36 || a.Days7 != 2 || *a.Sets[0].RunOfDays != 0 || *a.Sets[0].DaysIn7 != 2 {
			t.Errorf("Sunday's picture does not count Saturday: %+v", a)
		}
		mon, a := log(coach, club, "2026-05-11")
		if a.Balls7 != 54 || a.Days7 != 3 {
			t.Errorf("Monday's picture: %+v", a)
		}

		for _, o := range []domain.Outing{sun, mon} {
			if _, err := w.App.Outing(ctx, teacher, o.ID); domain.ErrorKindOf(err) != domain.KindNotFound {
				t.Errorf("the teacher reads the club's outing: %v", err)
			}
		}
		if _, err := w.App.Outing(ctx, coach, sat.ID); domain.ErrorKindOf(err) != domain.KindNotFound {
			t.Errorf("the coach reads the school's outing: %v", err)
		}

		for _, d := range []string{"2026-05-09", "2026-05-10", "2026-05-11"} {
			if _, err := w.App.Night(ctx, w.Region.ID, domain.MustDate(d), "one", nil); err != nil {
				t.Fatal(err)
			}
		}
		for name, c := range map[string]app.Call{"teacher": teacher, "coach": coach} {
			got, err := w.App.Notices(ctx, c, app.NoticeFilter{State: "waiting"}, domain.Page{Size: 50})
			if err != nil || len(got.Items) != 1 {
				t.Fatalf("%s: %d notices, %v", name, len(got.Items), err)
			}
			n := got.Items[0]
			if n.Limit != "run_of_days" || n.LastDay != domain.MustDate("2026-05-11") || n.Facts[0].Actual != 3 || n.Late {
				t.Errorf("%s: %+v", name, n)
			}
			if n.SetPublisher == "" || !strings.Contains(n.Says, "3") || n.Facts[0].ShowOuting {
				t.Errorf("%s is shown %+v", name, n)
			}
		}
	})
}

// Running a night twice, or in eight processes at once, changes nothing the second time.
func TestNightOnce(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, st *store.Store) {
		w := world.New(t, st)
		club := w.Club("Club")
		coach := w.Coach(club)
		for i := range 12 {
			p := w.Player(fmt.Sprintf("Player %d", i), "2012-10-01", domain.SeamBack, club)
			_, _, err := w.App.PutOuting(t.Context(), coach, app.PutOuting{Outing: w.Match(club, "2026-05-09", p),
				Logs: app.OutingLogs{Overs: w.Overs("2026-05-09", p, domain.SeamBack, 1, 3, 5, 7, 9, 11, 13)}})
			if err != nil {
				t.Fatal(err)
			}
		}
		night := domain.MustDate("2026-05-09")
		var wg sync.WaitGroup
		reports := make([]app.NightReport, 8)
		errs := make([]error, 8)
		for i := range reports {
			wg.Go(func() {
				reports[i], errs[i] = w.App.Night(t.Context(), w.Region.ID, night, fmt.Sprintf("runner %d", i), nil)
			})
		}
		wg.Wait()
		did := 0
		for i, r := range reports {
			if errs[i] != nil && errs[i] != app.ErrBusy {
				t.Errorf("runner %d: %v", i, errs[i])
			}
			if r.Opened > 0 {
				did++
				if r.Opened != 12 || r.Gathered != 24 {
					t.Errorf("runner %d: %+v", i, r)
				}
			}
		}
		if did != 1 {
			t.Errorf("%d runners did the night, want one", did)
		}
		before := snapshot(t, w)
		if r, err := w.App.Night(t.Context(), w.Region.ID, night, "again", nil); err != nil || !r.Already {
			t.Errorf("again: %+v, %v", r, err)
		}
		if d := cmp.Diff(before, snapshot(t, w), cmpopts.EquateComparable(domain.Date{})); d != "" {
			t.Errorf("the second run changed something:\n%s", d)
		}
		if len(before) != 12 {
			t.Errorf("%d notices, want 12", len(before))
		}
	})
}

// snapshot is every notice and the length of the audit trail, as the officer's database has them.
func snapshot(t *testing.T, w *world.World) []domain.Notice {
	t.Helper()
	var out []domain.Notice
	w.Do(func(tx app.Tx, s access.Scope) error {
		got, err := tx.Notices(t.Context(), s, app.NoticeFilter{State: "all"}, domain.Page{Size: 100})
		out = got.Items
		return err
	})
	return out
}

// A log that comes late opens a notice for its own day, marked late; a correction takes it back; and putting the log right
// again opens it again. A notice that an adult ended stays ended when nothing new is found.
func TestLateLogsAndCorrections(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, st *store.Store) {
		w := world.New(t, st)
		club := w.Club("Club")
		coach := w.Coach(club)
		p := w.Player("Quill", "2012-10-01", domain.SeamBack, club)
		ctx := t.Context()
		nightOf := func(d string) {
			t.Helper()
			if _, err := w.App.Night(ctx, w.Region.ID, domain.MustDate(d), "one", nil); err != nil {
				t.Fatal(err)
			}
		}
		only := func() app.NoticeView {
			t.Helper()
			got, err := w.App.Notices(ctx, coach, app.NoticeFilter{State: "all"}, domain.Page{Size: 50})
			if err != nil || len(got.Items) != 1 {
				t.Fatalf("%d notices, %v", len(got.Items), err)
			}
			return got.Items[0]
		}
		nightOf("2026-05-09")
		overs := w.Overs("2026-05-09", p, domain.SeamBack, 1, 3, 5, 7, 9, 11)
		o, _, err := w.App.PutOuting(ctx, coach, app.PutOuting{Outing: w.Match(club, "2026-05-09", p), Logs: app.OutingLogs{Overs: overs}})
		if err != nil {
			t.Fatal(err)
		}
		nightOf("2026-05-10")
		n := only()
		if n.Limit != "spell_overs" || !n.Late || n.Facts[0].Date != domain.MustDate("2026-05-09") || n.OpenedOn != domain.MustDate("2026-05-10") {
			t.Fatalf("late log: %+v", n)
		}

		last := o.Overs[5]
		if _, err := w.App.DeleteOver(ctx, coach, o.ID, last.ID, last.Version); err != nil {
			t.Fatal(err)
		}
		w.Clock.Advance(24 * time.Hour)
		nightOf("2026-05-11")
		if n = only(); n.State != domain.NoticeEnded || n.EndReason != domain.EndCorrected || !n.Facts[0].Withdrawn {
			t.Fatalf("corrected: %+v", n)
		}
		corr, err := w.App.Corrections(ctx, coach, o.ID, domain.Page{Size: 10})
		if err != nil || len(corr.Items) != 1 || corr.Items[0].Before["over"] != "11" || corr.Items[0].After != nil || corr.Items[0].ByName != "Somebody" {
			t.Fatalf("corrections: %+v, %v", corr.Items, err)
		}

		last.ID, last.Version, last.OutingID = w.ID(), 0, o.ID
		if _, _, err := w.App.PutOver(ctx, coach, app.PutOver{Over: last}); err != nil {
			t.Fatal(err)
		}
		w.Clock.Advance(24 * time.Hour)
		nightOf("2026-05-12")
		if n = only(); n.State != domain.NoticeOpen || n.Facts[0].Withdrawn {
			t.Fatalf("put right again: %+v", n)
		}
		v, err := w.App.HandleNotice(ctx, coach, app.HandleNotice{ID: n.ID, State: domain.NoticeTakenUp, Version: n.Version})
		if err != nil || v.TakenUpByName != "Somebody" {
			t.Fatalf("taken up: %+v, %v", v, err)
		}
		if _, err := w.App.HandleNotice(ctx, coach, app.HandleNotice{ID: n.ID, State: domain.NoticeEnded, Reason: domain.EndAdultDecided, Version: n.Version}); domain.ErrorCodeOf(err) != "version_stale" {
			t.Errorf("a stale version: %v", err)
		}
		if v, err = w.App.HandleNotice(ctx, coach, app.HandleNotice{ID: n.ID, State: domain.NoticeEnded, Reason: domain.EndAdultDecided, Version: v.Version}); err != nil {
			t.Fatal(err)
		}
		// A touch that changes nothing does not wake it.
		ov := o.Overs[0]
		ov.Valid = 5
		if _, _, err := w.App.PutOver(ctx, coach, app.PutOver{Over: ov}); err != nil {
			t.Fatal(err)
		}
		w.Clock.Advance(24 * time.Hour)
		nightOf("2026-05-13")
		if n = only(); n.State != domain.NoticeEnded || n.EndReason != domain.EndAdultDecided {
			t.Errorf("an ended notice woke up: %+v", n)
		}
	})
}

// A notice of the kind "bowled too much" is in view for 28 days after its last day, and no longer.
func TestVisibleFor28Days(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, st *store.Store) {
		w := world.New(t, st)
		club := w.Club("Club")
		coach := w.Coach(club)
		p := w.Player("Quill", "2012-10-01", domain.SeamBack, club)
		_, _, err := w.App.PutOuting(t.Context(), coach, app.PutOuting{Outing: w.Match(club, "2026-05-09", p),
			Logs: app.OutingLogs{Overs: w.Overs("2026-05-09", p, domain.SeamBack, 1, 3, 5, 7, 9, 11)}})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.App.Night(t.Context(), w.Region.ID, domain.MustDate("2026-05-09"), "one", nil); err != nil {
			t.Fatal(err)
		}
		for on, want := range map[string]int{"2026-05-10": 1, "2026-06-06": 1, "2026-06-07": 0} {
			got, err := w.App.Notices(t.Context(), coach, app.NoticeFilter{State: "waiting", On: domain.MustDate(on)}, domain.Page{Size: 50})
			if err != nil || len(got.Items) != want {
				t.Errorf("on %s: %d notices, %v; want %d", on, len(got.Items), err, want)
			}
		}
	})
}
