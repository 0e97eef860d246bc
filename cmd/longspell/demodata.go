package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"longspell/internal/app"
	"longspell/internal/clock"
	"longspell/internal/demo"
	"longspell/internal/domain"
	"longspell/internal/passwd"
	"longspell/internal/store"
)

const (
	// demoSeed makes every demo of a day the same region.
	demoSeed = 1
	// demoEdition is part of the file's name and goes up with the schema or the generator, so that an old file is not opened.
	demoEdition = 1
	// demoNights is how many nights before today are run, so that the notices are those that would be waiting.
	demoNights = 29
	demoZone   = "Europe/London"
)

// demoDatabase finds today's demo region, or builds it, and returns its address. The region is relative to today, so another
// day's file is thrown away.
func demoDatabase(ctx context.Context, dir string, c clock.Clock, out io.Writer) (string, error) {
	return dailyDatabase(dir, c, func(url string, today domain.Date) error {
		fmt.Fprintln(out, "  building the region for today, once: three seasons of outings, then the nights up to yesterday")
		return buildDemo(ctx, url, demo.Build(demoSeed, today, c.Now()), today, c)
	})
}

// dailyDatabase finds today's file in dir or has it built under another name, so that a half-built one is never taken for it.
func dailyDatabase(dir string, c clock.Clock, build func(url string, today domain.Date) error) (string, error) {
	if dir == "" {
		cache, err := os.UserCacheDir()
		if err != nil {
			cache = os.TempDir()
		}
		dir = filepath.Join(cache, "longspell-demo")
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", err
	}
	zone, err := time.LoadLocation(demoZone)
	if err != nil {
		return "", err
	}
	today := domain.DateOf(c.Now(), zone)
	file := filepath.Join(dir, fmt.Sprintf("region-%d-%s.db", demoEdition, today))
	if _, err := os.Stat(file); err == nil {
		return "sqlite:" + file, nil
	}
	old, err := filepath.Glob(filepath.Join(dir, "region-*"))
	if err != nil {
		return "", err
	}
	for _, f := range old {
		if err := os.Remove(f); err != nil {
			return "", err
		}
	}
	unfinished := file + ".unfinished"
	if err := build("sqlite:"+unfinished, today); err != nil {
		return "", fmt.Errorf("building the demo region: %w", err)
	}
	return "sqlite:" + file, os.Rename(unfinished, file)
}

// buildDemo stores an invented region in a new database and runs its nights.
func buildDemo(ctx context.Context, url string, w demo.World, today domain.Date, c clock.Clock) (err error) {
	if err := store.Migrate(ctx, url, ""); err != nil {
		return err
	}
	st, err := store.Open(ctx, store.Config{URL: url})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, st.Close()) }()
	hasher, err := passwd.New(passwd.Options{})
	if err != nil {
		return err
	}
	hash, err := hasher.Hash(ctx, demo.Password)
	if err != nil {
		return err
	}
	if err := seedDemo(ctx, app.Adapt(st), w, today, hash); err != nil {
		return err
	}
	a := app.New(app.Deps{Store: app.Adapt(st), Clock: c, Passwords: hasher})
	for d := today.AddDays(-demoNights); d.Before(today); d = d.AddDays(1) {
		if _, err := a.Night(ctx, w.Region.ID, d, holderName(), nil); err != nil {
			return err
		}
	}
	return nil
}
