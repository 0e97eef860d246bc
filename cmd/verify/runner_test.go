package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
)

func testPlace(t *testing.T) *workplace {
	t.Helper()
	return &workplace{root: t.TempDir(), temp: t.TempDir(), env: os.Environ()}
}

func testRunner(t *testing.T, out io.Writer) *runner {
	t.Helper()
	r := newRunner(testPlace(t), out, false)
	r.beat = time.Hour
	return r
}

func ok(context.Context, *job) error { return nil }

func namesIn(results []*result, s state) []string {
	var names []string
	for _, r := range results {
		if r.state == s {
			names = append(names, r.step.name)
		}
	}
	return names
}

func TestRunnerGoesOnAfterAFailure(t *testing.T) {
	t.Parallel()
	var out bytes.Buffer
	results := testRunner(t, &out).run(t.Context(), []step{
		{name: "a", title: "step a", limit: time.Minute, run: func(context.Context, *job) error { return errors.New("broke") }},
		{name: "b", title: "step b", limit: time.Minute, needs: []string{"a"}, run: ok},
		{name: "c", title: "step c", limit: time.Minute, needs: []string{"b"}, run: ok},
		{name: "d", title: "step d", limit: time.Minute, after: []string{"a", "not chosen"}, run: ok},
		{name: "e", title: "step e", limit: time.Minute, needs: []string{"not chosen"}, run: ok},
	})
	for s, want := range map[state][]string{failed: {"a"}, notRun: {"b", "c", "e"}, passed: {"d"}} {
		if got := namesIn(results, s); !slices.Equal(got, want) {
			t.Errorf("%v: %v, want %v", s, got, want)
		}
	}
	if got := strings.Count(out.String(), "\n"); got != 5 {
		t.Errorf("%d lines of progress, want one for each step:\n%s", got, out.String())
	}
	if !strings.Contains(out.String(), "[ 5/5] ") || !strings.Contains(out.String(), "(needs a)") {
		t.Errorf("progress:\n%s", out.String())
	}
}

func TestRunnerKeepsOrderAndSlots(t *testing.T) {
	t.Parallel()
	both := make(chan struct{})
	meet := func(ctx context.Context, _ *job) error {
		select {
		case both <- struct{}{}: // the other of the two receives: they are side by side
		case <-both:
		case <-ctx.Done():
			return ctx.Err()
		}
		return nil
	}
	var order []string // written by steps that never run side by side
	note := func(name string) func(context.Context, *job) error {
		return func(context.Context, *job) error { order = append(order, name); return nil }
	}
	results := testRunner(t, io.Discard).run(t.Context(), []step{
		{name: "a", limit: time.Minute, run: meet},
		{name: "b", limit: time.Minute, run: meet},
		{name: "d", limit: time.Minute, needs: []string{"c"}, run: note("d")},
		{name: "c", limit: time.Minute, needs: []string{"a"}, after: []string{"b"}, run: note("c")},
	})
	if got := namesIn(results, passed); len(got) != 4 {
		t.Errorf("passed: %v", got)
	}
	if want := []string{"c", "d"}; !slices.Equal(order, want) {
		t.Errorf("order %v, want %v", order, want)
	}
}

func TestRunnerStopsWhenBrokenOff(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancelCause(t.Context())
	results := testRunner(t, io.Discard).run(ctx, []step{
		{name: "a", limit: time.Minute, run: func(ctx context.Context, _ *job) error {
			cancel(errors.New("told to stop"))
			<-ctx.Done()
			return ctx.Err()
		}},
		{name: "b", limit: time.Minute, after: []string{"a"}, run: ok},
	})
	if results[0].state != failed || results[1].state != notRun || results[1].err.Error() != "told to stop" {
		t.Errorf("a %v, b %v (%v)", results[0].state, results[1].state, results[1].err)
	}
}

func TestStepTimeLimit(t *testing.T) {
	t.Parallel()
	results := testRunner(t, io.Discard).run(t.Context(), []step{
		{name: "a", limit: time.Millisecond, run: func(ctx context.Context, _ *job) error { <-ctx.Done(); return ctx.Err() }},
	})
	if results[0].state != failed || !strings.Contains(results[0].err.Error(), "did not end in 1ms") {
		t.Errorf("%v: %v", results[0].state, results[0].err)
	}
}

func TestSkippedTestFailsAStep(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		tests counts
		want  state
	}{{counts{passed: 3}, passed}, {counts{passed: 3, skipped: 1}, failed}, {counts{passed: 3, failed: 1}, failed}} {
		results := testRunner(t, io.Discard).run(t.Context(), []step{
			{name: "a", limit: time.Minute, run: func(_ context.Context, j *job) error { j.tests = c.tests; return nil }},
		})
		if results[0].state != c.want {
			t.Errorf("%v: %v, want %v", c.tests, results[0].state, c.want)
		}
	}
}

// TestCommandsAreEndedAsAGroup breaks a step off while a command's child still runs. Both hold a pipe open for writing: its
// reader comes to the end only when neither is left.
func TestCommandsAreEndedAsAGroup(t *testing.T) {
	t.Parallel()
	j := newJob(testPlace(t), "a", io.Discard)
	if err := j.open(); err != nil {
		t.Fatal(err)
	}
	pipe := filepath.Join(j.temp, "pipe")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	done := make(chan error, 1)
	go func() {
		done <- j.do(ctx, command{args: []string{"sh", "-c", `exec 9>"$PIPE"; sleep 600 & wait`}, env: []string{"PIPE=" + pipe}})
	}()
	reader, err := os.Open(pipe) // returns when the shell has opened its side
	if err != nil {
		t.Fatal(err)
	}
	defer reader.Close()
	cancel()
	if err := <-done; err == nil {
		t.Error("a command that was broken off counts as passed")
	}
	if _, err := io.ReadAll(reader); err != nil {
		t.Error(err)
	}
}

func TestStepsAreWellFormed(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	steps := allSteps()
	known := func(name string) bool {
		return slices.ContainsFunc(steps, func(s step) bool { return s.name == name })
	}
	for _, s := range steps {
		if seen[s.name] || s.title == "" || s.limit <= 0 || s.run == nil {
			t.Errorf("step %q is named twice or lacks a part", s.name)
		}
		seen[s.name] = true
		for _, n := range slices.Concat(s.needs, s.after) {
			if !known(n) {
				t.Errorf("step %q waits for %q, which is none", s.name, n)
			}
		}
	}
	for i := range steps {
		steps[i].run = ok
	}
	results := testRunner(t, io.Discard).run(t.Context(), steps)
	if got := namesIn(results, passed); len(got) != len(steps) {
		t.Errorf("passed: %v", got)
	}
}

func TestChoose(t *testing.T) {
	t.Parallel()
	all := []step{{name: "a"}, {name: "b", needs: []string{"a"}}, {name: "c", needs: []string{"b"}, after: []string{"d"}}, {name: "d"}}
	for only, want := range map[string][]string{"": {"a", "b", "c", "d"}, "c": {"a", "b", "c"}, "d, a": {"a", "d"}} {
		got, err := choose(all, only)
		var names []string
		for _, s := range got {
			names = append(names, s.name)
		}
		if err != nil || !slices.Equal(names, want) {
			t.Errorf("choose(%q) = %v, %v; want %v", only, names, err, want)
		}
	}
	if _, err := choose(all, "a,x"); err == nil {
		t.Error("a step that is not there was accepted")
	}
}

func TestSummaryEndsWithTheCount(t *testing.T) {
	t.Parallel()
	w := testPlace(t)
	log := w.logName("b")
	if err := os.WriteFile(log, []byte(strings.Repeat("early\n", 300)+"the reason\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	results := []*result{
		{step: step{name: "a", title: "step a"}, state: passed, tests: counts{passed: 3}, notes: []string{"worth knowing"}},
		{step: step{name: "b", title: "step b"}, state: failed, tests: counts{passed: 2, failed: 1}, log: log},
	}
	var out bytes.Buffer
	if code := summarise(&out, w, results, time.Minute, nil); code != 1 {
		t.Errorf("exit status %d, want 1", code)
	}
	text := out.String()
	if !strings.HasSuffix(text, "\n5 passed, 1 failed\n") {
		t.Errorf("the last line is not the count:\n%s", text)
	}
	if got := strings.Count(text, "early\n"); got != shownLines-1 {
		t.Errorf("%d lines of the log shown, want %d and the reason", got, shownLines-1)
	}
	for _, want := range []string{"the reason", "worth knowing", "NOT passed", "(101 lines before these are in "} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	out.Reset()
	if code := summarise(&out, w, results[:1], time.Minute, nil); code != 0 || !strings.HasSuffix(out.String(), "\n3 passed, 0 failed\n") {
		t.Errorf("exit status %d of a run that passed:\n%s", code, out.String())
	}
	if code := summarise(io.Discard, w, results[:1], time.Minute, context.Canceled); code != 1 {
		t.Errorf("exit status %d of a run that was broken off, want 1", code)
	}
}

func TestVerifyRefusesOptions(t *testing.T) {
	t.Parallel()
	for _, args := range [][]string{{"-no-such"}, {"-only", "no-such"}} {
		if code := verify(t.Context(), args, io.Discard); code != 2 {
			t.Errorf("%v: exit status %d, want 2", args, code)
		}
	}
	var out bytes.Buffer
	if code := verify(t.Context(), []string{"-list"}, &out); code != 0 || !strings.Contains(out.String(), "staticcheck") {
		t.Errorf("-list: exit status %d\n%s", code, out.String())
	}
}

func TestPrefixedPassesWholeLines(t *testing.T) {
	t.Parallel()
	var out bytes.Buffer
	p := &prefixed{out: &lines{w: &out}, prefix: "a | "}
	for _, piece := range []string{"one\ntw", "o\n", "three"} {
		if _, err := io.WriteString(p, piece); err != nil {
			t.Fatal(err)
		}
	}
	if got, want := out.String(), "a | one\na | two\n"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestStepEnv(t *testing.T) {
	t.Parallel()
	env := stepEnv([]string{"CI=", "GOFLAGS=-mod=mod", "KEEP=1", "TERM=xterm"})
	for _, want := range []string{"CI=true", "GOFLAGS=-mod=mod -buildvcs=false", "KEEP=1", "TERM=dumb"} {
		if !slices.Contains(env, want) {
			t.Errorf("no %s in %v", want, env)
		}
	}
	if slices.Contains(env, "CI=") || slices.Contains(env, "TERM=xterm") {
		t.Errorf("old values are left in %v", env)
	}
}
