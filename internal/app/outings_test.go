package app_test

import (
	"strings"
	"testing"

	"longspell/internal/access"
	"longspell/internal/app"
	"longspell/internal/domain"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
	"longspell/internal/testkit/world"
)

// A reply that was lost makes a phone send the same outing and the same over again: nothing is counted twice. Another content
// under the same id is refused, and what was stored stays.
func TestRepeatsAreHarmless(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, st *store.Store) {
		w := world.New(t, st)
		club := w.Club("Club")
		coach := w.Coach(club)
		p := w.Player("Quill", "2012-10-01", domain.WristSpin, club)
		ctx := t.Context()
		cmd := app.PutOuting{Outing: w.Match(club, "2026-05-09", p), Logs: app.OutingLogs{Overs: w.Overs("2026-05-09", p, domain.WristSpin, 1, 3)}}
		for range 3 {
			o, left, err := w.App.PutOuting(ctx, coach, cmd)
			if err != nil || len(o.Overs) != 2 || left.Bowlers[0].BallsToday != 12 {
				t.Fatalf("%+v, %v", left, err)
			}
		}
		other := cmd
		other.Outing.Title = "Another"
		if _, _, err := w.App.PutOuting(ctx, coach, other); domain.ErrorCodeOf(err) != "version_stale" {
			t.Errorf("another outing under the same id: %v", err)
		}
		over := w.Overs("2026-05-09", p, domain.WristSpin, 5)[0]
		over.OutingID = cmd.Outing.ID
		for range 3 {
			_, left, err := w.App.PutOver(ctx, coach, app.PutOver{Over: over})
			if err != nil || left.Bowlers[0].BallsToday != 18 || left.Next.Over != 6 {
				t.Fatalf("%+v, %v", left, err)
			}
		}
		over.Balls = 7
		if _, _, err := w.App.PutOver(ctx, coach, app.PutOver{Over: over}); domain.ErrorCodeOf(err) != "version_stale" {
			t.Errorf("another over under the same id, without a version: %v", err)
		}
		again := over
		again.ID = w.ID()
		if _, _, err := w.App.PutOver(ctx, coach, app.PutOver{Over: again}); domain.ErrorCodeOf(err) != "over_taken" {
			t.Errorf("the same bowler twice in one over: %v", err)
		}
		over.Version = 1
		v, left, err := w.App.PutOver(ctx, coach, app.PutOver{Over: over, Reason: "miscounted"})
		if err != nil || v.Version != 2 || left.Bowlers[0].BallsToday != 19 {
			t.Fatalf("corrected: %+v, %v", v, err)
		}
		c, err := w.App.Corrections(ctx, coach, cmd.Outing.ID, domain.Page{Size: 10})
		if err != nil || len(c.Items) != 1 || c.Items[0].Before["balls"] != "6" || c.Items[0].After["balls"] != "7" || c.Items[0].Reason != "miscounted" {
			t.Errorf("corrections: %+v, %v", c.Items, err)
		}
	})
}

// What the coach is shown before each over is the limit set's own reading: after six overs of a spell by an under-14 the seventh
// fast over breaks the spell limit (England and Wales Cricket Board, Fast Bowling Directives, 2010: six overs in a spell, twelve
// in a day for under 14 and under 15), a spin over does not.
func TestShownBeforeTheOver(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, st *store.Store) {
		w := world.New(t, st)
		club := w.Club("Club")
		coach := w.Coach(club)
		p := w.Player("Quill", "2012-03-01", domain.SeamBack, club) // 13 on 31 August 2025: U14
		q := w.Player("Rook", "2012-03-01", domain.FingerSpin, club)
		o, left, err := w.App.PutOuting(t.Context(), coach, app.PutOuting{Outing: w.Match(club, "2026-05-09", p, q),
			Logs: app.OutingLogs{Overs: w.Overs("2026-05-09", p, domain.SeamBack, 1, 3, 5, 7, 9, 11)}})
		if err != nil {
			t.Fatal(err)
		}
		a := left.Bowlers[0]
		if a.Name != "Quill" || a.AgeGroup != "U14" || *a.Sets[0].SpellOvers != 0 || *a.Sets[0].DayOvers != 6 || !a.BowledLastOver {
			t.Errorf("after six: %+v", a)
		}
		next, err := w.App.OutingAllowances(t.Context(), coach, o.ID, app.Next{Innings: 1, Over: 13})
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range next.Bowlers[0].Next {
			fast := n.Kind == domain.SeamBack
			if (len(n.Breaks) == 1 && n.Breaks[0].Limit == "spell_overs" && *n.Breaks[0].Allowed == 6) != fast || !fast && len(n.Breaks) != 0 {
				t.Errorf("over 13, %s: %+v", n.Kind, n.Breaks)
			}
		}
		for _, n := range next.Bowlers[0].Next {
			for _, f := range n.Breaks {
				if !strings.HasPrefix(f.Says, "Over 13 would be over number 7 of the spell; at most 6") {
					t.Errorf("before the over it says %q", f.Says)
				}
			}
		}
		// Over 14 comes from the other end and would go on with the spell; over 17 comes too early: the rest of six overs from
		// end A is repaid after over 23, so he may come back with over 24.
		next, err = w.App.OutingAllowances(t.Context(), coach, o.ID, app.Next{Innings: 1, Over: 17})
		if err != nil {
			t.Fatal(err)
		}
		a = next.Bowlers[0]
		if *a.Sets[0].EarliestEndB != 24 || *a.Sets[0].EarliestEndA != 25 {
			t.Errorf("earliest: A %v, B %v; want 25 and 24 (published worked example V2 of the directives' rest rule)", *a.Sets[0].EarliestEndA, *a.Sets[0].EarliestEndB)
		}
		for _, n := range a.Next {
			if n.Kind == domain.SeamBack && (len(n.Breaks) != 1 || n.Breaks[0].Limit != "rest_overs" || *n.Breaks[0].Earliest != 24) {
				t.Errorf("over 17: %+v", n.Breaks)
			}
		}
		if spin := next.Bowlers[1]; len(spin.Next[2].Breaks)+len(spin.Next[1].Breaks) != 0 || spin.BallsToday != 0 {
			t.Errorf("the spinner: %+v", spin)
		}
	})
}

// Nobody logs for another club, for a player of another club, or at an outing that was not held.
func TestLoggingStaysInside(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, st *store.Store) {
		w := world.New(t, st)
		mine, theirs := w.Club("Mine"), w.Club("Theirs")
		coach := w.Coach(mine)
		p, stranger := w.Player("Quill", "2012-10-01", domain.WristSpin, mine), w.Player("Rook", "2012-10-01", domain.WristSpin, theirs)
		squad := w.Squad(mine, "U13")
		w.InSquad(squad, p)
		narrow := w.As(domain.Appointment{Role: domain.Coach, ClubID: mine, SquadID: squad})
		put := func(c app.Call, o domain.Outing, logs app.OutingLogs) string {
			_, _, err := w.App.PutOuting(t.Context(), c, app.PutOuting{Outing: o, Logs: logs})
			return domain.ErrorCodeOf(err)
		}
		future, calledOff, nets := w.Match(mine, "2026-05-12", p), w.Match(mine, "2026-05-09", p), w.Match(mine, "2026-05-09", p)
		calledOff.State, nets.Kind = domain.OutingCalledOff, domain.OutingNets
		inSquad := w.Match(mine, "2026-05-09", p)
		inSquad.SquadID = squad
		bad := w.Overs("2026-05-09", p, domain.WristSpin, 1)
		bad[0].Valid = 7
		for name, c := range map[string]struct{ got, want string }{
			"another club":            {put(coach, w.Match(theirs, "2026-05-09"), app.OutingLogs{}), "not_found"},
			"another club's player":   {put(coach, w.Match(mine, "2026-05-09", stranger), app.OutingLogs{}), "player_not_here"},
			"held in the future":      {put(coach, future, app.OutingLogs{}), "outing_in_future"},
			"bowling at a washed-out": {put(coach, calledOff, app.OutingLogs{Overs: w.Overs("2026-05-09", p, domain.WristSpin, 1)}), "outing_not_held"},
			"overs at nets":           {put(coach, nets, app.OutingLogs{Overs: w.Overs("2026-05-09", p, domain.WristSpin, 1)}), "not_a_match"},
			"more valid than bowled":  {put(coach, w.Match(mine, "2026-05-09", p), app.OutingLogs{Overs: bad}), "valid_balls"},
			"squad coach, whole club": {put(narrow, w.Match(mine, "2026-05-09", p), app.OutingLogs{}), "not_found"},
			"squad coach, own squad":  {put(narrow, inSquad, app.OutingLogs{}), ""},
		} {
			if c.got != c.want {
				t.Errorf("%s: %q, want %q", name, c.got, c.want)
			}
		}
	})
}

// A match that was put on the wrong day takes its overs along when the day is corrected, in the load too; and who was there is kept
// as a correction when it changes.
func TestCorrectingDayAndAttendance(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, st *store.Store) {
		w := world.New(t, st)
		club := w.Club("Club")
		coach := w.Coach(club)
		p, q := w.Player("Quill", "2012-10-01", domain.SeamBack, club), w.Player("Rook", "2012-10-01", domain.SeamBack, club)
		ctx := t.Context()
		o, _, err := w.App.PutOuting(ctx, coach, app.PutOuting{Outing: w.Match(club, "2026-05-08", p),
			Logs: app.OutingLogs{Overs: w.Overs("2026-05-08", p, domain.SeamBack, 1, 3)}})
		if err != nil {
			t.Fatal(err)
		}
		o.Date = domain.MustDate("2026-05-09")
		o.Attendance = append(o.Attendance, domain.Attendance{PlayerID: q, Present: domain.PresentNo})
		o, _, err = w.App.PutOuting(ctx, coach, app.PutOuting{Outing: o, Reason: "wrong day"})
		if err != nil || len(o.Overs) != 2 || o.Overs[0].Date != o.Date || o.Overs[1].Date != o.Date {
			t.Fatalf("%+v, %v", o.Overs, err)
		}
		load, err := w.App.PlayerLoad(ctx, coach, p, domain.MustDate("2026-05-11"))
		if err != nil || len(load.ByDay) != 1 || load.ByDay[0].Date != o.Date || load.ByDay[0].Balls != 12 {
			t.Errorf("load: %+v, %v", load.ByDay, err)
		}
		w.Do(func(tx app.Tx, s access.Scope) error {
			var days []domain.Date
			err := tx.DayLoads(ctx, access.CountingFor(s, []domain.ID{p}), domain.MustDate("2026-05-01"), w.Today(), func(d domain.DayLoad) error {
				days = append(days, d.Day)
				return nil
			})
			if len(days) != 1 || days[0] != o.Date {
				t.Errorf("the daily rollup stands on %v", days)
			}
			return err
		})
		corr, err := w.App.Corrections(ctx, coach, o.ID, domain.Page{Size: 10})
		kinds := map[string]int{}
		for _, c := range corr.Items {
			kinds[c.What]++
			if c.What == "attendance" && (c.After[string(q)] != "no" || c.Before[string(q)] != "" || c.Reason != "wrong day") {
				t.Errorf("attendance: %+v", c)
			}
		}
		if err != nil || kinds["outing"] != 1 || kinds["attendance"] != 1 || kinds["over"] != 2 {
			t.Errorf("corrections: %v, %v", kinds, err)
		}
	})
}
