package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"longspell/internal/exchange"
)

var update = flag.Bool("update", false, "write the golden files anew")

const (
	deskData   = "../../testdata/desk/"
	importData = "../../testdata/import/"
)

// desk runs a command as main does and gives what it wrote and its exit status.
func desk(t *testing.T, args ...string) (stdout, stderr string, status int) {
	t.Helper()
	var out, errOut bytes.Buffer
	root := newRoot()
	root.SetOut(&out)
	root.SetErr(&errOut)
	root.SetArgs(args)
	err := root.Execute()
	var told refused
	switch {
	case errors.As(err, &told):
		status = 2
	case err != nil:
		t.Fatalf("%v: %v", args, err)
	}
	return out.String(), errOut.String(), status
}

func wantGolden(t *testing.T, name, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(name, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(want), got); d != "" {
		t.Errorf("%s: %s", name, d)
	}
}

// TestDeskAnswers holds the answers to invented files against golden ones, whose numbers were counted by another program too. The
// files hold spells over a change of ends, a shared over, a long break, a twenty-over match, overs all from one end, nets,
// outings called off and missed, and a player whose birth date is not known.
func TestDeskAnswers(t *testing.T) {
	t.Parallel()
	files := []string{"--overs", deskData + "overs.csv", "--outings", deskData + "outings.csv"}
	players := append(files[:4:4], "--players", deskData+"players.csv")
	cases := []struct {
		golden string
		args   []string
	}{
		{"check-ecb-2010.json", append([]string{"check", "--limits", "ecb-2010", "--json"}, players...)},
		{"check-ecb-2010.txt", append([]string{"check", "--limits", "ecb-2010"}, players...)},
		{"check-ca-2019.json", append([]string{"check", "--limits", "ca-2019", "--json", "--asof", "2026-05-10", "--setting", "spin_in_rest=allow",
			"--setting", "nets_make_day=no"}, players...)},
		{"load.json", append([]string{"load", "--json"}, files...)},
		{"load.txt", append([]string{"load", "--asof", "2026-05-11"}, files...)},
	}
	for _, c := range cases {
		t.Run(c.golden, func(t *testing.T) {
			t.Parallel()
			out, told, status := desk(t, c.args...)
			if told != "" || status != 0 {
				t.Fatalf("status %d: %s", status, told)
			}
			wantGolden(t, deskData+c.golden, out)
			if strings.HasSuffix(c.golden, ".json") && !json.Valid([]byte(out)) {
				t.Error("this is not JSON")
			}
		})
	}
}

func TestFilesWithoutRows(t *testing.T) {
	t.Parallel()
	name := filepath.Join(t.TempDir(), "o.csv")
	if err := os.WriteFile(name, []byte("match,date,innings,over,player,balls\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	out, _, status := desk(t, "load", "--overs", name, "--json")
	if out != `{"asof":null,"players":[]}`+"\n" || status != 0 {
		t.Errorf("load: %d %s", status, out)
	}
	out, _, status = desk(t, "check", "--overs", name, "--limits", "ecb-2010", "--json", "--asof", "2026-05-09")
	want := `{"limit_set":"ecb-2010","asof":"2026-05-09","settings":{"nets_make_day":"yes","spin_in_rest":"warn"},"not_judged":[],` +
		`"findings":[],"spells":[],"days":[],"left":[]}` + "\n"
	if out != want || status != 0 {
		t.Errorf("check: %d %s", status, out)
	}
	out, _, _ = desk(t, "check", "--overs", name, "--limits", "ecb-2010")
	if !strings.Contains(out, "bowling that was not logged is not counted") {
		t.Errorf("nothing was found, and the answer does not say what that means: %s", out)
	}
}

func TestFilesWrittenInOtherWays(t *testing.T) {
	t.Parallel()
	out, told, status := desk(t, "load", "--overs", importData+"overs-bom-crlf-quoted.csv", "--json")
	if status != 0 || told != "" {
		t.Fatalf("status %d: %s", status, told)
	}
	wantGolden(t, importData+"overs-bom-crlf-quoted.load.json", out)
}

func TestRefusedFiles(t *testing.T) {
	t.Parallel()
	out, told, status := desk(t, "check", "--overs", importData+"overs-refused.csv", "--players", importData+"players-refused.csv",
		"--outings", importData+"outings-refused.csv", "--limits", "ecb-2010", "--json")
	if out != "" || status != 2 {
		t.Errorf("status %d, answer %q", status, out)
	}
	wantGolden(t, importData+"refused.txt", told)
}

func TestConvert(t *testing.T) {
	t.Parallel()
	out, told, status := desk(t, "convert", importData+"match-made-up.json", "--players", deskData+"players.csv")
	if status != 0 {
		t.Fatalf("status %d: %s", status, told)
	}
	wantGolden(t, importData+"match-made-up.overs.csv", out)
	wantGolden(t, importData+"match-made-up.told.txt", told)
	if _, errs := exchange.ReadOvers("converted", strings.NewReader(out)); len(errs) > 0 {
		t.Errorf("the over log is not read back: %v", errs)
	}
	out, told, status = desk(t, "convert", deskData+"players.csv", "--players", deskData+"players.csv")
	if out != "" || status != 2 || !strings.HasPrefix(told, deskData+"players.csv:1: ") {
		t.Errorf("status %d, answer %q, told %q", status, out, told)
	}
}

func TestRefusedOptions(t *testing.T) {
	t.Parallel()
	overs := deskData + "overs.csv"
	cases := []struct {
		args []string
		want string
	}{
		{[]string{"check"}, "check: --overs: \"\": is needed\ncheck: --limits: \"\": is needed: one of ca-2019, ecb-2010\n"},
		{[]string{"check", "--overs", overs, "--limits", "ecb-1066"}, "check: --limits: \"ecb-1066\": there is no such limit set: it must be one of ca-2019, ecb-2010\n"},
		{[]string{"check", "--overs", overs, "--limits", "ecb-2010", "--asof", "2026-02-30"}, "check: --asof: \"2026-02-30\": there is no such day\n"},
		{[]string{"check", "--overs", overs, "--limits", "ecb-2010", "--asof", ""}, "check: --asof: \"\": not a date of the form YYYY-MM-DD\n"},
		{[]string{"check", "--overs", overs, "--limits", "ecb-2010", "--setting", "spell_spin=exempt", "--setting", "spin_in_rest=often", "--setting", "warn"},
			"check: --setting: \"spell_spin=exempt\": ecb-2010 has no setting \"spell_spin\"\ncheck: --setting: \"spin_in_rest=often\": spin_in_rest must be one of warn, breach, allow\n" +
				"check: --setting: \"warn\": must be written NAME=VALUE\n"},
		{[]string{"check", "--overs", overs, "--limits", "ecb-2010", "--players="}, "check: --players: \"\": a file name is needed\n"},
		{[]string{"check", "--overs", deskData + "nobody.csv", "--limits", "ecb-2010"},
			"check: --overs: \"" + deskData + "nobody.csv\": the file cannot be read: no such file or directory\n"},
		{[]string{"load", "--overs", deskData}, "load: --overs: \"" + deskData + "\": the file cannot be read: it is a directory\n"},
		{[]string{"load", "--limits", "ecb-2010"}, "load: --limits: \"\": there is no such option\n"},
		{[]string{"load", "-o", overs}, "load: -o: \"\": there is no such option\n"},
		{[]string{"load", "--overs"}, "load: --overs: \"\": a value is needed\n"},
		{[]string{"load", "--overs", overs, "--json=perhaps"}, "load: --json: \"perhaps\": the option does not take this value\n"},
		{[]string{"load", overs}, "load: argument: \"" + overs + "\": the command takes options only\n"},
		{[]string{"limits", "all"}, "limits: argument: \"all\": the command takes options only\n"},
		{[]string{"convert"}, "convert: --players: \"\": is needed\nconvert: MATCHFILE: \"\": is needed\n"},
		{[]string{"convert", "a.json", "b.json", "--players", overs}, "convert: argument: \"b.json\": the command takes one match file\n"},
		{[]string{"convert", "nobody.json", "--players", deskData + "players.csv"},
			"convert: MATCHFILE: \"nobody.json\": the file cannot be read: no such file or directory\n"},
	}
	for _, c := range cases {
		t.Run(strings.Join(c.args, " "), func(t *testing.T) {
			t.Parallel()
			out, told, status := desk(t, c.args...)
			if out != "" || status != 2 {
				t.Errorf("status %d, answer %q", status, out)
			}
			if d := cmp.Diff(c.want, told); d != "" {
				t.Error(d)
			}
		})
	}
}

func TestLimitsAnswer(t *testing.T) {
	t.Parallel()
	out, told, status := desk(t, "limits", "--json")
	if status != 0 || told != "" {
		t.Fatalf("status %d: %s", status, told)
	}
	var answer struct {
		Sets []map[string]any `json:"limit_sets"`
	}
	if err := json.Unmarshal([]byte(out), &answer); err != nil {
		t.Fatal(err)
	}
	if len(answer.Sets) != 2 {
		t.Fatalf("%d sets", len(answer.Sets))
	}
	for _, s := range answer.Sets {
		for _, key := range []string{"id", "title", "publisher", "year", "address", "valid_from", "valid_to", "fast_kinds", "age_rule", "new_spell_after_min",
			"bands", "settings", "sources"} {
			if _, ok := s[key]; !ok {
				t.Errorf("%v lacks %s", s["id"], key)
			}
		}
	}
	want := map[string]any{"up_to": "U13", "spell_overs": 5.0, "day_overs": 10.0, "net_balls": 30.0, "net_per_week": 2.0, "days_in_7": 4.0, "run_of_days": 2.0}
	if d := cmp.Diff(want, answer.Sets[1]["bands"].([]any)[0]); d != "" {
		t.Error(d)
	}
	text, _, _ := desk(t, "limits")
	for _, s := range answer.Sets {
		for _, key := range []string{"id", "title", "publisher", "address"} {
			if !strings.Contains(text, s[key].(string)) {
				t.Errorf("the readable answer lacks %v", s[key])
			}
		}
	}
}

// TestAnswersThatCannotBeWritten: a full disk or a closed pipe is told, not passed over.
func TestAnswersThatCannotBeWritten(t *testing.T) {
	t.Parallel()
	for _, args := range [][]string{
		{"check", "--overs", deskData + "overs.csv", "--limits", "ecb-2010", "--json"}, {"check", "--overs", deskData + "overs.csv", "--limits", "ecb-2010"},
		{"load", "--overs", deskData + "overs.csv", "--json"}, {"load", "--overs", deskData + "overs.csv"}, {"limits"}, {"limits", "--json"},
		{"convert", importData + "match-made-up.json", "--players", deskData + "players.csv"},
	} {
		root := newRoot()
		root.SetOut(fullDisk{})
		root.SetErr(io.Discard)
		root.SetArgs(args)
		if err := root.Execute(); !errors.Is(err, errFull) {
			t.Errorf("%v: error %v", args, err)
		}
	}
}

var errFull = errors.New("no space left")

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errFull }
