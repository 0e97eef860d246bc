package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"os"
	"path/filepath"
)

// npmRun is a script of the web app's package.json, with more arguments for it.
func npmRun(script string, args ...string) []string {
	line := []string{"npm", "run", script}
	if len(args) > 0 {
		line = append(append(line, "--"), args...)
	}
	return line
}

// runWebTests runs the unit tests of the web app and counts them.
func runWebTests(ctx context.Context, j *job) error {
	report := filepath.Join(j.temp, "vitest.json")
	err := j.do(ctx, command{
		dir:  j.frontend(),
		args: npmRun("test", "--reporter=default", "--reporter=json", "--outputFile.json="+report),
	})
	return j.countReport(report, readVitest, err)
}

// runBrowserTests runs the built binary's web app in Chromium.
func runBrowserTests(ctx context.Context, j *job) error {
	report := filepath.Join(j.temp, "playwright.json")
	chromium, err := findChromium()
	if err != nil {
		return err
	}
	port, err := freePort(ctx)
	if err != nil {
		return err
	}
	err = j.do(ctx, command{
		dir:  j.frontend(),
		args: npmRun("e2e", "--reporter=list,json"),
		env: []string{
			"LONGSPELL_BIN=" + j.binary(), "LONGSPELL_CHROMIUM=" + chromium, "LONGSPELL_PORT=" + port,
			"PLAYWRIGHT_JSON_OUTPUT_FILE=" + report, "PLAYWRIGHT_JSON_OUTPUT_NAME=" + report,
		},
	})
	return j.countReport(report, readPlaywright, err)
}

// freePort asks the system for a port that nobody uses, so that a service that a developer has running is not in the way.
func freePort(ctx context.Context) (string, error) {
	var config net.ListenConfig
	l, err := config.Listen(ctx, "tcp", "127.0.0.1:0")
	if err != nil {
		return "", err
	}
	_, port, err := net.SplitHostPort(l.Addr().String())
	return port, errors.Join(err, l.Close())
}

// countReport counts the tests of a runner's own report; err is how the runner ended. No report, or no test in it, is a failure.
func (j *job) countReport(path string, read func([]byte) (counts, error), err error) error {
	text, readErr := os.ReadFile(path)
	if errors.Is(readErr, fs.ErrNotExist) {
		return errors.Join(err, errors.New("the runner left no report: no test was executed"))
	}
	if readErr != nil {
		return errors.Join(err, readErr)
	}
	c, readErr := read(text)
	if readErr != nil {
		return errors.Join(err, fmt.Errorf("report of the runner: %w", readErr))
	}
	j.tests = c
	if c.total() == 0 {
		return errors.Join(err, errors.New("no test was executed"))
	}
	return err
}

// readVitest counts the tests of vitest's JSON report; tests put off ("todo") count as skipped.
func readVitest(text []byte) (counts, error) {
	var r struct {
		NumPassedTests, NumFailedTests, NumPendingTests, NumTodoTests int
		Success                                                       *bool
		TestResults                                                   []struct {
			Name, Status, Message string
			AssertionResults      []struct{ Status string }
		}
	}
	if err := json.Unmarshal(text, &r); err != nil {
		return counts{}, err
	}
	if r.Success == nil {
		return counts{}, errors.New("not a vitest report")
	}
	c := counts{r.NumPassedTests, r.NumFailedTests, r.NumPendingTests + r.NumTodoTests}
	for _, f := range r.TestResults {
		if f.Status == "failed" && len(f.AssertionResults) == 0 {
			c.failed++ // the file did not even load
		}
	}
	return c, nil
}

// readPlaywright counts the tests of Playwright's JSON report. One that passed only when it was tried again ("flaky") has failed.
func readPlaywright(text []byte) (counts, error) {
	var r struct {
		Stats *struct{ Expected, Unexpected, Flaky, Skipped int }
		// Errors are those outside any test, as of a server that did not start.
		Errors []struct{ Message string }
	}
	if err := json.Unmarshal(text, &r); err != nil {
		return counts{}, err
	}
	if r.Stats == nil {
		return counts{}, errors.New("not a Playwright report")
	}
	c := counts{r.Stats.Expected, r.Stats.Unexpected + r.Stats.Flaky, r.Stats.Skipped}
	if len(r.Errors) > 0 && c.failed == 0 {
		c.failed = 1
	}
	return c, nil
}
