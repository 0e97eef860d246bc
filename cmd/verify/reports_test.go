package main

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The event lines are of the form that `go doc test2json` describes.
const goStream = `{"Action":"start","Package":"p/a"}
{"Action":"run","Package":"p/a","Test":"TestOne"}
{"Action":"output","Package":"p/a","Test":"TestOne","Output":"    a_test.go:3: all is well\n"}
{"Action":"pass","Package":"p/a","Test":"TestOne","Elapsed":0.1}
{"Action":"run","Package":"p/a","Test":"TestTwo"}
{"Action":"run","Package":"p/a","Test":"TestTwo/sub"}
{"Action":"output","Package":"p/a","Test":"TestTwo/sub","Output":"=== CONT  TestTwo/sub\n"}
{"Action":"output","Package":"p/a","Test":"TestTwo/sub","Output":"    a_test.go:7: got 1, want 2\n"}
{"Action":"fail","Package":"p/a","Test":"TestTwo/sub"}
{"Action":"fail","Package":"p/a","Test":"TestTwo"}
{"Action":"run","Package":"p/a","Test":"TestThree"}
{"Action":"output","Package":"p/a","Test":"TestThree","Output":"    a_test.go:9: no server\n"}
{"Action":"skip","Package":"p/a","Test":"TestThree"}
{"Action":"fail","Package":"p/a","Elapsed":1.5}
{"Action":"start","Package":"p/b"}
{"Action":"skip","Package":"p/b","Elapsed":0}
`

func TestGoEvents(t *testing.T) {
	t.Parallel()
	var log bytes.Buffer
	g := newGoEvents(&log)
	for _, b := range []byte(goStream) { // in the smallest pieces that there are
		if _, err := g.Write([]byte{b}); err != nil {
			t.Fatal(err)
		}
	}
	if err := g.finish(); err != nil {
		t.Errorf("finish: %v", err)
	}
	if got, want := g.counts(), (counts{passed: 1, failed: 2, skipped: 1}); got != want {
		t.Errorf("counts %+v, want %+v", got, want)
	}
	for _, want := range []string{"got 1, want 2", "no server", "FAIL  p/a  1.5s"} {
		if !strings.Contains(log.String(), want) {
			t.Errorf("no %q in the log:\n%s", want, log.String())
		}
	}
	for _, unwanted := range []string{"all is well", "=== CONT"} {
		if strings.Contains(log.String(), unwanted) {
			t.Errorf("%q is in the log:\n%s", unwanted, log.String())
		}
	}
}

func TestGoEventsOfWhatDidNotEnd(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		stream string
		want   counts
		broken string
		log    string
	}{
		"does not build": {
			stream: `{"ImportPath":"p/a [p/a.test]","Action":"build-output","Output":"a.go:3: undefined: x\n"}
{"ImportPath":"p/a [p/a.test]","Action":"build-fail"}
{"Action":"start","Package":"p/a"}
{"Action":"fail","Package":"p/a","Elapsed":0,"FailedBuild":"p/a [p/a.test]"}
`,
			want: counts{failed: 1}, broken: "p/a", log: "undefined: x",
		},
		"dies before a test": {
			stream: `{"Action":"start","Package":"p/a"}
{"Action":"output","Package":"p/a","Output":"panic: no world\n"}
{"Action":"fail","Package":"p/a","Elapsed":0}
`,
			want: counts{failed: 1}, broken: "p/a", log: "panic: no world",
		},
		"dies under a test": {
			stream: `{"Action":"run","Package":"p/a","Test":"TestOne"}
{"Action":"output","Package":"p/a","Test":"TestOne","Output":"fatal error: all goroutines are asleep\n"}
{"Action":"fail","Package":"p/a","Elapsed":0}
`,
			want: counts{failed: 1}, log: "all goroutines are asleep",
		},
		"no event at all": {stream: "go: cannot find main module", log: "go: cannot find main module"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			var log bytes.Buffer
			g := newGoEvents(&log)
			if _, err := io.WriteString(g, c.stream); err != nil {
				t.Fatal(err)
			}
			err := g.finish()
			if (err != nil) != (c.broken != "") || err != nil && !strings.Contains(err.Error(), c.broken) {
				t.Errorf("finish: %v, want one that names %q", err, c.broken)
			}
			if got := g.counts(); got != c.want {
				t.Errorf("counts %+v, want %+v", got, c.want)
			}
			if !strings.Contains(log.String(), c.log) {
				t.Errorf("no %q in the log:\n%s", c.log, log.String())
			}
		})
	}
}

func TestReadVitest(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]counts{
		`{"numTotalTests":5,"numPassedTests":3,"numFailedTests":1,"numPendingTests":1,"numTodoTests":0,"success":false,"testResults":[]}`: {3, 1, 1},
		`{"numPassedTests":2,"numTodoTests":1,"success":true}`:                                                                            {2, 0, 1},
		`{"success":false,"testResults":[{"name":"a.test.ts","status":"failed","message":"no such module","assertionResults":[]}]}`:       {0, 1, 0},
	} {
		if got, err := readVitest([]byte(text)); err != nil || got != want {
			t.Errorf("%s: %+v, %v; want %+v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "{}", "[]"} {
		if got, err := readVitest([]byte(text)); err == nil {
			t.Errorf("%q: %+v, want an error", text, got)
		}
	}
}

func TestReadPlaywright(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]counts{
		`{"stats":{"expected":4,"unexpected":1,"flaky":1,"skipped":2},"errors":[]}`:                                   {4, 2, 2},
		`{"stats":{"expected":0,"unexpected":0,"flaky":0,"skipped":0},"errors":[{"message":"server did not start"}]}`: {0, 1, 0},
	} {
		if got, err := readPlaywright([]byte(text)); err != nil || got != want {
			t.Errorf("%s: %+v, %v; want %+v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "{}"} {
		if got, err := readPlaywright([]byte(text)); err == nil {
			t.Errorf("%q: %+v, want an error", text, got)
		}
	}
}

func TestReportThatCountsNothingFails(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "report.json")
	j := newJob(testPlace(t), "a", io.Discard)
	if err := j.countReport(path, readVitest, nil); err == nil {
		t.Error("no report passed")
	}
	if err := os.WriteFile(path, []byte(`{"success":true}`), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := j.countReport(path, readVitest, nil); err == nil {
		t.Error("a report of no test passed")
	}
	if err := os.WriteFile(path, []byte(`{"success":true,"numPassedTests":1}`), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := j.countReport(path, readVitest, nil); err != nil || j.tests.passed != 1 {
		t.Errorf("one test: %+v, %v", j.tests, err)
	}
	runnerFailed := errors.New("exit status 1")
	if err := j.countReport(path, readVitest, runnerFailed); !errors.Is(err, runnerFailed) {
		t.Errorf("how the runner ended is lost: %v", err)
	}
}
