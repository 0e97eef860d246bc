package main

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"longspell/internal/access"
	"longspell/internal/app"
	"longspell/internal/clock"
	"longspell/internal/demo"
	"longspell/internal/domain"
	"longspell/internal/store"
)

// The demo region as it is stored, with the outings of its last weeks: notices wait this week, and serve will not have it.
func TestDemoRegionIsStored(t *testing.T) {
	t.Parallel()
	c := clock.NewFixed(time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC))
	today := domain.MustDate("2026-11-25")
	w := demo.Build(demoSeed, today, c.Now())
	w.Outings = slices.DeleteFunc(w.Outings, func(o domain.Outing) bool { return o.Date.Before(today.AddDays(-demoNights)) })
	url := "sqlite:" + filepath.Join(t.TempDir(), "region.db")
	if err := buildDemo(t.Context(), url, w, today, c); err != nil {
		t.Fatal(err)
	}
	st, err := store.Open(t.Context(), store.Config{URL: url})
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	if err := noDemoData(t.Context(), st); err == nil {
		t.Error("serve would take the demo region for real data")
	}
	all, err := st.Regions(t.Context())
	if err != nil || len(all) != 1 || !all[0].Demo {
		t.Fatalf("%+v, %v", all, err)
	}
	s := access.Operator(all[0].ID, today)
	err = app.Adapt(st).ReadRegion(t.Context(), s, func(tx app.Tx) error {
		clubs, err := tx.Clubs(t.Context(), s, domain.Page{Size: 100})
		if err != nil || len(clubs.Items) != 12 {
			t.Errorf("%d clubs, %v", len(clubs.Items), err)
		}
		waiting, err := tx.Notices(t.Context(), s, app.NoticeFilter{State: "waiting", On: today}, domain.Page{Size: 100})
		if err != nil || len(waiting.Items) < 7 {
			t.Errorf("%d notices wait, %v; want the seven of the region's stories at least", len(waiting.Items), err)
		}
		for _, n := range waiting.Items {
			if n.LastDay.Before(today.AddDays(-28)) {
				t.Errorf("a notice of %s still waits", n.LastDay)
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// Another day's file is thrown away, a half-built one is never taken for the region, and a failed build leaves nothing behind
// that looks like one.
func TestDailyDatabase(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	c := clock.NewFixed(time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC))
	built := 0
	build := func(url string, _ domain.Date) error {
		built++
		return os.WriteFile(strings.TrimPrefix(url, "sqlite:"), []byte("region"), 0o600)
	}
	broken := errors.New("broken")
	if _, err := dailyDatabase(dir, c, func(url string, d domain.Date) error { return errors.Join(build(url, d), broken) }); !errors.Is(err, broken) {
		t.Fatalf("a failed build: %v", err)
	}
	first, err := dailyDatabase(dir, c, build)
	if err != nil || built != 2 {
		t.Fatalf("after a failed build: %v, built %d times", err, built)
	}
	if again, err := dailyDatabase(dir, c, build); err != nil || again != first || built != 2 {
		t.Errorf("the same day: %s, %v, built %d times", again, err, built)
	}
	c.Advance(24 * time.Hour)
	if next, err := dailyDatabase(dir, c, build); err != nil || next == first || built != 3 {
		t.Errorf("the next day: %s, %v, built %d times", next, err, built)
	}
	left, err := filepath.Glob(filepath.Join(dir, "region-*"))
	if err != nil || len(left) != 1 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}
