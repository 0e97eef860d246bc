package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"
)

// step is one part of the run.
type step struct {
	name  string        // for -only and the log's file name
	title string        // for people
	needs []string      // steps without which this one cannot run: they are run first, and must pass
	after []string      // steps to wait for if they run at all, passed or not: they want the machine for themselves
	limit time.Duration // the step is ended and fails after that
	run   func(ctx context.Context, j *job) error
}

type state int

const (
	waiting state = iota
	running
	passed
	failed
	notRun // a step that it needs did not pass, or the run was broken off
)

func (s state) String() string {
	return [...]string{"waiting", "running", "ok", "FAILED", "NOT RUN"}[s]
}

// result is what became of a step.
type result struct {
	step  step
	state state
	err   error
	took  time.Duration
	tests counts
	notes []string
	log   string
}

// runner runs steps, as many side by side as it has slots, in the order given as far as needs and after allow.
type runner struct {
	w       *workplace
	out     *lines
	verbose bool
	slots   int
	beat    time.Duration // how often a step that still runs is named
}

func newRunner(w *workplace, out io.Writer, verbose bool) *runner {
	return &runner{w: w, out: &lines{w: out}, verbose: verbose, slots: 2, beat: 30 * time.Second}
}

// run returns a result for each step, in the order of steps. A step that fails does not stop those that do not need it.
func (r *runner) run(ctx context.Context, steps []step) []*result {
	results := make([]*result, len(steps))
	for i, s := range steps {
		results[i] = &result{step: s}
	}
	ended := make(chan ending)
	jobs := map[*result]*job{}
	beat := time.NewTicker(r.beat)
	defer beat.Stop()
	for done := 0; done < len(steps); {
		ready := startable(results, r.slots-len(jobs))
		for _, res := range ready {
			if err := cannotRun(ctx, results, res.step); err != nil {
				res.state, res.err = notRun, err
				done++
				r.report(done, len(steps), res)
				continue
			}
			res.state = running
			j := newJob(r.w, res.step.name, r.stepOutput(res.step.name))
			jobs[res] = j
			go func() { ended <- ending{res, do(ctx, res.step, j)} }()
		}
		if len(jobs) == 0 {
			if len(ready) == 0 {
				panic("verify: steps wait for each other") // a fault of the list of steps, which its test finds
			}
			continue // what was passed over may have freed others
		}
		select {
		case e := <-ended:
			*e.of = e.is
			delete(jobs, e.of)
			done++
			r.report(done, len(steps), e.of)
		case <-beat.C:
			r.heartbeat(jobs)
		}
	}
	return results
}

// ending is what a step's goroutine sends: it does not touch the result that the others read.
type ending struct {
	of *result
	is result
}

// cannotRun says why a step that need not wait any more is passed over; nil when it can run.
func cannotRun(ctx context.Context, results []*result, s step) error {
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	for _, name := range s.needs {
		i := slices.IndexFunc(results, func(r *result) bool { return r.step.name == name })
		if i < 0 || results[i].state != passed {
			return fmt.Errorf("needs %s", name)
		}
	}
	return nil
}

// startable returns up to n steps that need not wait any more: those whose predecessors have all ended.
func startable(results []*result, n int) []*result {
	over := func(name string) bool {
		i := slices.IndexFunc(results, func(r *result) bool { return r.step.name == name })
		return i < 0 || results[i].state > running
	}
	var ready []*result
	for _, r := range results {
		waits := slices.Concat(r.step.needs, r.step.after)
		if len(ready) < n && r.state == waiting && !slices.ContainsFunc(waits, func(name string) bool { return !over(name) }) {
			ready = append(ready, r)
		}
	}
	return ready
}

// do runs one step to its end.
func do(ctx context.Context, s step, j *job) result {
	ctx, cancel := context.WithTimeoutCause(ctx, s.limit, fmt.Errorf("did not end in %s", s.limit))
	defer cancel()
	err := j.open()
	if err == nil {
		err = s.run(ctx, j)
	}
	if cause := context.Cause(ctx); err != nil && cause != nil {
		err = errors.Join(cause, err)
	}
	if err == nil {
		err = j.tests.fault()
	}
	err = errors.Join(err, j.close(err))
	res := result{step: s, state: passed, err: err, took: time.Since(j.begun), tests: j.tests, notes: j.notes, log: j.logPath}
	if err != nil {
		res.state = failed
	}
	return res
}

func (r *runner) stepOutput(name string) io.Writer {
	if !r.verbose {
		return io.Discard
	}
	return &prefixed{out: r.out, prefix: name + " | "}
}

func (r *runner) report(done, of int, res *result) {
	line := fmt.Sprintf("[%2d/%d] %-46s %7s  %s", done, of, res.step.title, shortTime(res.took), res.state)
	if res.tests.total() > 0 {
		line += "  " + res.tests.String()
	}
	if res.state == notRun {
		line += "  (" + res.err.Error() + ")"
	}
	r.out.print(line)
}

func (r *runner) heartbeat(jobs map[*result]*job) {
	for res, j := range jobs {
		line := fmt.Sprintf("        … %-44s %7s", res.step.title, shortTime(time.Since(j.begun)))
		if s := j.progress(); s != "" {
			line += "  " + s
		}
		r.out.print(line)
	}
}

// shortTime is 2m31s, 31s or 0.4s.
func shortTime(d time.Duration) string {
	if d < 10*time.Second {
		return fmt.Sprintf("%.1fs", d.Seconds())
	}
	return d.Round(time.Second).String()
}

// lines writes whole lines from several goroutines.
type lines struct {
	mu sync.Mutex
	w  io.Writer
}

func (l *lines) print(line string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	fmt.Fprintln(l.w, line)
}

// prefixed passes whole lines on with a prefix that says which step they are from.
type prefixed struct {
	out    *lines
	prefix string
	rest   []byte
}

func (p *prefixed) Write(b []byte) (int, error) {
	p.rest = append(p.rest, b...)
	for {
		i := slices.Index(p.rest, '\n')
		if i < 0 {
			return len(b), nil
		}
		p.out.print(p.prefix + string(p.rest[:i]))
		p.rest = p.rest[i+1:]
	}
}

// logName is where the output of a step goes.
func (w *workplace) logName(step string) string { return filepath.Join(w.temp, step+".log") }

func removeAll(paths ...string) error {
	var errs []error
	for _, p := range paths {
		errs = append(errs, os.RemoveAll(p))
	}
	return errors.Join(errs...)
}
