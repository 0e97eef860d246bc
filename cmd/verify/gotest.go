package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"longspell/internal/testkit/pgcluster"
)

// raceFlags build the tests with the race detector. The SQLite that is Go code made from C (modernc.org) is left out of it:
// built with it, it takes minutes to compile and is many times slower, and all of its memory is its own. What goes
// between it and us still passes instrumented code. The other SQLite, which a driver pulls in and nobody calls, is C: it is compiled
// without optimisation, which takes seconds instead of minutes.
var raceFlags = []string{"-race", "-gcflags=modernc.org/...=-race=false"}

var raceEnv = []string{"CGO_ENABLED=1", "CGO_CFLAGS=-O0 -w"}

// runGoTests runs every Go test of the module, on both databases: PostgreSQL is a cluster of this run's own.
func runGoTests(ctx context.Context, j *job) error {
	cluster, err := pgcluster.Start(ctx, pgcluster.Options{})
	if err != nil {
		return err
	}
	events := newGoEvents(j.log)
	events.seen = func(c counts) { j.setProgress(c.String()) }
	args := slices.Concat([]string{"go", "test"}, raceFlags, []string{"-vet=off", "-count=1", "-timeout=15m", "-json", "./..."})
	err = j.do(ctx, command{
		args: args,
		env:  slices.Concat(raceEnv, []string{pgcluster.EnvVar + "=" + cluster.AdminDSN()}),
		out:  events,
	})
	err = errors.Join(err, events.finish(), cluster.Stop())
	j.tests = events.counts()
	if err == nil && j.tests.total() == 0 {
		err = errors.New("no Go test was executed")
	}
	return err
}

// goEvent is a line of `go test -json` (see `go doc test2json`), or of the build before it.
type goEvent struct {
	Action     string
	Package    string
	ImportPath string
	Test       string
	Output     string
	Elapsed    float64
}

// goEvents reads the events of `go test -json`, counts tests and subtests, and writes to a log for people: a line for each package,
// and the output of what failed or was skipped.
type goEvents struct {
	log    io.Writer
	seen   func(counts)
	rest   []byte
	state  map[testID]string // "run", then how it ended
	output map[testID][]string
	broken []string // packages that failed without a failed test: they did not build, or ended early
}

type testID struct{ pkg, test string }

func newGoEvents(log io.Writer) *goEvents {
	return &goEvents{log: log, seen: func(counts) {}, state: map[testID]string{}, output: map[testID][]string{}}
}

// Write takes any piece of the stream; lines that are no events are passed on to the log.
func (g *goEvents) Write(b []byte) (int, error) {
	g.rest = append(g.rest, b...)
	for {
		line, rest, whole := bytes.Cut(g.rest, []byte("\n"))
		if !whole {
			return len(b), nil
		}
		g.rest = rest
		g.line(line)
	}
}

func (g *goEvents) line(line []byte) {
	var e goEvent
	if err := json.Unmarshal(line, &e); err != nil || e.Action == "" {
		fmt.Fprintf(g.log, "%s\n", line)
		return
	}
	id := testID{e.Package, e.Test}
	switch e.Action {
	case "build-output":
		fmt.Fprint(g.log, e.Output)
	case "run":
		g.state[id] = "run"
	case "output":
		g.output[id] = append(g.output[id], e.Output)
	case "pass", "fail", "skip":
		if e.Test == "" {
			g.endPackage(e)
			return
		}
		g.state[id] = e.Action
		if e.Action != "pass" {
			g.show(id)
		}
		delete(g.output, id)
		g.seen(g.counts())
	}
}

// endPackage settles tests that never said how they ended: the process died under them.
func (g *goEvents) endPackage(e goEvent) {
	open, failures := []testID{}, 0
	for id, s := range g.state {
		if id.pkg != e.Package {
			continue
		}
		if s == "run" {
			open = append(open, id)
		}
		if s == "run" || s == "fail" {
			failures++
		}
	}
	slices.SortFunc(open, func(a, b testID) int { return strings.Compare(a.test, b.test) })
	for _, id := range open {
		g.state[id] = "fail"
		g.show(id)
	}
	if e.Action == "fail" {
		g.show(testID{e.Package, ""})
		if failures == 0 {
			g.broken = append(g.broken, e.Package)
		}
	}
	word := map[string]string{"pass": "ok", "fail": "FAIL", "skip": "no test files"}[e.Action]
	fmt.Fprintf(g.log, "%-5s %s  %.1fs\n", word, e.Package, e.Elapsed)
	maps.DeleteFunc(g.output, func(id testID, _ []string) bool { return id.pkg == e.Package })
}

// show writes a test's output without the marks of when it was started, put aside and taken up again.
func (g *goEvents) show(id testID) {
	for _, text := range g.output[id] {
		if !strings.HasPrefix(text, "=== ") {
			fmt.Fprint(g.log, text)
		}
	}
}

// finish is called after the last Write: it names in the log what did not pass, and fails when a package failed for another reason
// than a test.
func (g *goEvents) finish() error {
	if len(g.rest) > 0 {
		g.line(g.rest)
		g.rest = nil
	}
	var names []string
	for id, s := range g.state {
		if s == "fail" || s == "skip" {
			names = append(names, fmt.Sprintf("%s: %s %s", s, id.pkg, id.test))
		}
	}
	slices.Sort(names)
	for _, n := range names {
		fmt.Fprintln(g.log, n)
	}
	if len(g.broken) > 0 {
		return fmt.Errorf("did not build, or ended early: %s", strings.Join(g.broken, ", "))
	}
	return nil
}

// counts has a failed test for each that is still running: after the end it did not finish. A package that failed as a whole
// counts as one.
func (g *goEvents) counts() counts {
	c := counts{failed: len(g.broken)}
	for _, s := range g.state {
		switch s {
		case "pass":
			c.passed++
		case "skip":
			c.skipped++
		case "fail":
			c.failed++
		}
	}
	return c
}
