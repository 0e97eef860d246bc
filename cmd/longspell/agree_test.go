package main

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"longspell/internal/testkit/naive"
)

// agreeSeeds is the number of random logs for each limit set; LONGSPELL_AGREE=20000 makes a long run by hand.
const agreeSeeds = 400

// TestCheckAgreesWithThePlainReading asks check about random logs and wants the same answer, field by field, as from the
// slow evaluator that was written from the text of the file formats alone.
func TestCheckAgreesWithThePlainReading(t *testing.T) {
	t.Parallel()
	for _, set := range []string{"ecb-2010", "ca-2019"} {
		t.Run(set, func(t *testing.T) {
			t.Parallel()
			agree(t, set, func(q naive.Question, dir string) ([]string, any) {
				args := append([]string{"check", "--limits", q.Ask.Limits, "--json"}, files(q, dir)...)
				if q.HasPlayers {
					args = append(args, "--players", filepath.Join(dir, "players.csv"))
				}
				for _, name := range slices.Sorted(maps.Keys(q.Ask.Settings)) {
					args = append(args, "--setting", name+"="+q.Ask.Settings[name])
				}
				return args, naive.Check(q.Log, q.Ask)
			})
		})
	}
}

// TestLoadAgreesWithThePlainReading does the same with load.
func TestLoadAgreesWithThePlainReading(t *testing.T) {
	t.Parallel()
	agree(t, "load", func(q naive.Question, dir string) ([]string, any) {
		return append([]string{"load", "--json"}, files(q, dir)...), naive.Load(q.Log, q.Ask.AsOf)
	})
}

// TestLargeLogsAgreeWithThePlainReading asks about many of the random logs in one file, more rows than the commands take, judge
// and write at a time.
func TestLargeLogsAgreeWithThePlainReading(t *testing.T) {
	t.Parallel()
	const logs = 250
	for _, set := range []string{"ecb-2010", "ca-2019"} {
		t.Run(set, func(t *testing.T) {
			t.Parallel()
			large := naive.DrawTogether(set, logs, 1)
			if len(large.Log.Overs) <= rowsInPiece {
				t.Fatalf("%d rows are not more than the commands take at a time", len(large.Log.Overs))
			}
			dir := t.TempDir()
			if err := large.Log.Files(dir, nil); err != nil {
				t.Fatal(err)
			}
			args := []string{"--json", "--overs", filepath.Join(dir, "overs.csv"), "--outings", filepath.Join(dir, "outings.csv")}
			if d := askDesk(t, append([]string{"load"}, args...), large.Load()); d != "" {
				t.Errorf("load: %s", d)
			}
			args = append(args, "--limits", set, "--players", filepath.Join(dir, "players.csv"))
			if d := askDesk(t, append([]string{"check"}, args...), large.Check(set)); d != "" {
				t.Errorf("check: %s", d)
			}
		})
	}
}

// files are the options that check and load have in common.
func files(q naive.Question, dir string) []string {
	args := []string{"--overs", filepath.Join(dir, "overs.csv")}
	if q.HasOutings {
		args = append(args, "--outings", filepath.Join(dir, "outings.csv"))
	}
	if q.Ask.AsOf != "" {
		args = append(args, "--asof", q.Ask.AsOf)
	}
	return args
}

// agree asks about the log of every seed. It stops at the first disagreement and keeps its files.
func agree(t *testing.T, set string, ask func(q naive.Question, dir string) (args []string, want any)) {
	t.Helper()
	dir := t.TempDir()
	for seed := range uint64(seedsToAsk(t)) {
		q := naive.Draw(set, seed)
		if err := q.Log.Files(dir, q.RandomFiles); err != nil {
			t.Fatal(err)
		}
		args, want := ask(q, dir)
		difference := askDesk(t, args, want)
		if difference == "" {
			continue
		}
		kept := keep(t, dir, set, seed)
		t.Fatalf("%s, seed %d: %s\nreproduce: longspell %s", set, seed, difference, strings.ReplaceAll(strings.Join(args, " "), dir, kept))
	}
}

// askDesk runs one desk command and tells how its answer differs from the wanted one.
func askDesk(t *testing.T, args []string, want any) string {
	t.Helper()
	var out, faults bytes.Buffer
	root := newRoot()
	root.SetOut(&out)
	root.SetErr(&faults)
	root.SetArgs(args)
	if err := root.ExecuteContext(context.Background()); err != nil {
		return fmt.Sprintf("%v: %s", err, faults.String())
	}
	if faults.Len() > 0 {
		return "standard error is not empty: " + faults.String()
	}
	return naive.FirstDifference(want, out.Bytes())
}

func seedsToAsk(t *testing.T) int {
	t.Helper()
	asked := os.Getenv("LONGSPELL_AGREE")
	if asked == "" {
		return agreeSeeds
	}
	n, err := strconv.Atoi(asked)
	if err != nil || n < 1 {
		t.Fatalf("LONGSPELL_AGREE=%q is not a number of seeds", asked)
	}
	return n
}

// keep moves the files of a disagreement where they stay after the test.
func keep(t *testing.T, dir, set string, seed uint64) string {
	t.Helper()
	kept, err := os.MkdirTemp("", fmt.Sprintf("longspell-%s-%d-", set, seed))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.CopyFS(kept, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	return kept
}
