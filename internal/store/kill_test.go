package store_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"testing"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
)

// childEnv makes the test binary a child that writes one outing and is killed on the way.
const childEnv = "LONGSPELL_STORE_TEST_CHILD"

// errand is what a child is told: which outing to write where, and after which of its writes it dies.
type errand struct {
	URL                              string
	Region, Club, Coach, Kid, Outing domain.ID
	KillAfter                        int
	Role                             string // not blank: migrate for this runtime role instead
}

// die ends the process as nothing but the kernel can, after so many calls.
func (e errand) die() func() {
	calls := 0
	return func() {
		if calls++; calls == e.KillAfter {
			_ = syscall.Kill(os.Getpid(), syscall.SIGKILL)
			select {} // the signal is on its way
		}
	}
}

func TestMain(m *testing.M) {
	if told := os.Getenv(childEnv); told != "" {
		if err := child(told); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

func child(told string) error {
	var e errand
	if err := json.Unmarshal([]byte(told), &e); err != nil {
		return err
	}
	if e.Role != "" {
		return store.MigrateThrough(context.Background(), e.URL, e.Role, mortal(e.die()))
	}
	s, err := store.Open(context.Background(), store.Config{URL: e.URL, Conns: 2})
	if err != nil {
		return err
	}
	if err := s.AfterWrite(e.die()); err != nil {
		return err
	}
	return errors.Join(e.write(s), s.Close())
}

// write logs an outing as the service does: everything that belongs to it in one transaction.
func (e errand) write(s *store.Store) error {
	ctx, op := context.Background(), access.Operator(e.Region, today)
	return s.InRegion(ctx, op, func(tx *store.Tx) error {
		p := &puts{}
		keep(tx.PutOuting(ctx, op, domain.Outing{ID: e.Outing, ClubID: e.Club, Kind: domain.OutingMatch, State: domain.OutingHeld,
			Date: today, LoggedBy: e.Coach}))(p)
		p.note(tx.ReplaceAttendance(ctx, op, e.Outing, []domain.Attendance{{PlayerID: e.Kid, Present: domain.PresentYes}}))
		for n := 1; n <= 3; n++ {
			keep(tx.PutOver(ctx, op, domain.OverLog{ID: newID(), OutingID: e.Outing, Date: today, Innings: 1, Over: n, PlayerID: e.Kid,
				Kind: domain.WristSpin, Balls: 6, Valid: 6, Seq: n}))(p)
		}
		keep(tx.PutSpell(ctx, op, domain.QuickSpell{ID: newID(), OutingID: e.Outing, Date: today, Innings: 2, PlayerID: e.Kid,
			Kind: domain.WristSpin, Overs: 2, Balls: 12, Valid: 12}))(p)
		keep(tx.PutPractice(ctx, op, domain.Practice{ID: newID(), OutingID: e.Outing, PlayerID: e.Kid, Kind: domain.WristSpin, Balls: 6,
			Hits: -1, Effort: -1}))(p)
		p.note(tx.AddCorrections(ctx, op, []domain.Correction{{ID: newID(), OutingID: e.Outing, At: now, What: "outing", EntryID: e.Outing}}))
		p.note(tx.RefreshRollup(ctx, op, []domain.TouchedDay{{PlayerID: e.Kid, Day: today}}))
		p.note(tx.AddAudit(ctx, op, domain.AuditEntry{ID: newID(), At: now, Action: "outing.create", What: "outing", EntryID: e.Outing}))
		return p.err
	})
}

// A process that is killed between any two writes of an outing leaves the outing wholly there or wholly absent.
func TestKilledBetweenAnyTwoWrites(t *testing.T) {
	t.Parallel()
	t.Run("sqlite", func(t *testing.T) {
		t.Parallel()
		address := "sqlite:" + db.SQLiteFile(t)
		s := killAll(t, address)
		for _, check := range []string{"PRAGMA integrity_check", "PRAGMA foreign_key_check"} {
			if got := rowsOf(t, s.Pool(), check); len(got) > 1 || len(got) == 1 && got[0][0] != "ok" {
				t.Errorf("%s: %v", check, got)
			}
		}
	})
	t.Run("postgres", func(t *testing.T) {
		t.Parallel()
		killAll(t, db.PostgresURLs(t).Runtime)
	})
}

func killAll(t *testing.T, address string) *store.Store {
	t.Helper()
	s, err := store.Open(t.Context(), store.Config{URL: address, Conns: 4})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	r := newRealm(t, s, "A")
	e := errand{URL: address, Region: r.Region.ID, Club: r.One.Club.ID, Coach: r.One.Coach.ID, Kid: r.One.Loose.ID}
	killed := 0
	for {
		e.KillAfter, e.Outing = killed+1, newID()
		if !e.send(t) {
			break
		}
		killed++
		if got := e.traces(t, r); got != (traces{}) {
			t.Errorf("killed after write %d: left behind %+v", e.KillAfter, got)
		}
	}
	if killed < 10 {
		t.Errorf("killed %d times only", killed)
	}
	if got, want := e.traces(t, r), (traces{outing: true, present: 1, overs: 3, spells: 1, practice: 1, corrections: 1, balls: 36,
		touched: true, audit: 1}); got != want {
		t.Errorf("not killed: %+v, want %+v", got, want)
	}
	return s
}

// send runs the errand in a child and reports whether it was killed.
func (e errand) send(t *testing.T) bool {
	t.Helper()
	told, err := json.Marshal(e)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), os.Args[0])
	cmd.Env = append(os.Environ(), childEnv+"="+string(told))
	out, err := cmd.CombinedOutput()
	var exit *exec.ExitError
	switch {
	case err == nil:
		return false
	case errors.As(err, &exit):
		if status, ok := exit.Sys().(syscall.WaitStatus); ok && status.Signaled() && status.Signal() == syscall.SIGKILL {
			return true
		}
	}
	t.Fatalf("child: %v\n%s", err, out)
	return false
}

// traces are all the places where an outing leaves something.
type traces struct {
	outing, touched                                             bool
	present, overs, spells, practice, corrections, balls, audit int
}

func (e errand) traces(t *testing.T, r *realm) (got traces) {
	t.Helper()
	ctx, op, night := t.Context(), r.operator(), r.overnight()
	r.read(t, night, func(tx *store.Tx) error {
		p := &puts{}
		o, err := tx.Outing(ctx, op, e.Outing)
		got.outing = err == nil
		if err != nil && domain.ErrorKindOf(err) != domain.KindNotFound {
			return err
		}
		got.present, got.overs, got.spells, got.practice = o.PresentCount, len(o.Overs), len(o.Spells), len(o.Practice)
		if got.outing {
			got.corrections = len(keep(tx.Corrections(ctx, op, e.Outing, wide))(p).Items)
		}
		p.note(tx.DayLoads(ctx, op, today, today, func(l domain.DayLoad) error { got.balls += l.Balls; return nil }))
		for _, d := range keep(tx.TouchedPlayers(ctx, night, today, "", 100))(p) {
			got.touched = got.touched || d.PlayerID == e.Kid
		}
		for _, a := range keep(tx.Audit(ctx, op, wide))(p).Items {
			if strings.HasPrefix(a.Action, "outing.") {
				got.audit++
			}
		}
		return p.err
	})
	return got
}
