package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"time"
)

// shownLines is how much of a failed step's log is shown at the end.
const shownLines = 200

// counts are tests that were executed.
type counts struct{ passed, failed, skipped int }

func (c counts) total() int { return c.passed + c.failed + c.skipped }

func (c counts) plus(o counts) counts {
	return counts{c.passed + o.passed, c.failed + o.failed, c.skipped + o.skipped}
}

func (c counts) String() string {
	s := fmt.Sprintf("%d passed", c.passed)
	if c.failed > 0 {
		s += fmt.Sprintf(", %d failed", c.failed)
	}
	if c.skipped > 0 {
		s += fmt.Sprintf(", %d skipped", c.skipped)
	}
	return s
}

// fault is an error when a test failed or was skipped: a part that did not run is a failure.
func (c counts) fault() error {
	if c.failed > 0 || c.skipped > 0 {
		return fmt.Errorf("%s: every test must run and pass", c)
	}
	return nil
}

// summarise prints what became of the run and returns the exit status. The last line is the count of executed tests alone.
func summarise(out io.Writer, w *workplace, results []*result, took time.Duration, broken error) int {
	var all counts
	code := 0
	for _, r := range results {
		all = all.plus(r.tests)
		for _, n := range r.notes {
			fmt.Fprintf(out, "note  %s: %s\n", r.step.name, n)
		}
		if r.state != passed {
			code = 1
		}
	}
	if broken != nil {
		code = 1
	}
	for _, r := range results {
		if r.state == failed {
			showFailure(out, r)
		}
	}
	fmt.Fprintln(out)
	for _, r := range results {
		fmt.Fprintf(out, "%-8s %7s  %s\n", r.state, shortTime(r.took), r.step.title)
	}
	verdict := "everything passed"
	if code != 0 {
		verdict = "NOT passed"
	}
	if broken != nil {
		verdict += ", broken off"
	}
	fmt.Fprintf(out, "\nverify: %s in %s; logs in %s\n", verdict, shortTime(took), w.temp)
	if all.skipped > 0 {
		fmt.Fprintf(out, "verify: %d tests were skipped, which is a failure\n", all.skipped)
	}
	fmt.Fprintf(out, "%d passed, %d failed\n", all.passed, all.failed)
	return code
}

func showFailure(out io.Writer, r *result) {
	fmt.Fprintf(out, "\n==== %s (%s) failed ====\n", r.step.title, r.step.name)
	text, err := os.ReadFile(r.log)
	if err != nil {
		fmt.Fprintf(out, "%v\n(its log cannot be read: %v)\n", r.err, err)
		return
	}
	all := strings.Split(strings.TrimRight(string(text), "\n"), "\n")
	if cut := len(all) - shownLines; cut > 0 {
		fmt.Fprintf(out, "(%d lines before these are in %s)\n", cut, r.log)
		all = all[cut:]
	}
	fmt.Fprintln(out, strings.Join(all, "\n"))
}
