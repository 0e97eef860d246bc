package exchange

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"longspell/internal/domain"
)

// A made-up match in the open ball-by-ball layout: a shared over, wides and no-balls, byes, a super over.
const madeUp = `{"meta":{"data_version":"1.1.0"},
"info":{"dates":["2026-05-09","2026-05-10"],"overs":20,"teams":["Hill","Dale"],"players":{"Hill":["A"]}},
"innings":[
{"team":"Hill","overs":[
 {"over":0,"deliveries":[{"bowler":"A","extras":{"wides":1}},{"bowler":"A"},{"bowler":"B","extras":{"noballs":1}},{"bowler":"C"},{"bowler":"A","extras":{"byes":2}}]},
 {"over":1,"deliveries":[]},
 {"over":4,"deliveries":[{"bowler":"A","review":{"by":"Hill","batter":"x"}}]}],
 "powerplays":[{"from":0.1,"to":3.6}]},
{"team":"Dale","overs":[{"over":2,"deliveries":[{"bowler":"Bea \"B\" Ell, jr"}]}],"super_over":true},
{"team":"Dale"}]}
`

func TestMatchAsOverLog(t *testing.T) {
	t.Parallel()
	m, errs := ReadMatch("m.json", strings.NewReader(madeUp))
	wantTold(t, errs)
	// C is the name of the player whose reference is q; A is a reference, and also the name of another: references go first.
	players := []Player{{Ref: "A", Kind: domain.SeamUp}, {Ref: "p2", Name: "B", Kind: domain.WristSpin}, {Ref: "q", Name: "C"},
		{Ref: "p5", Name: "A", Kind: domain.FingerSpin}, {Ref: "p3", Name: "Twin"}, {Ref: "p4", Name: "Twin"}}
	rows, notFound := m.OverRows("m-7", NewRoster(players))
	var out bytes.Buffer
	if err := WriteOvers(&out, rows); err != nil {
		t.Fatal(err)
	}
	want := overHeader +
		"m-7,2026-05-09,,20,,1,1,,A,seam_up,3,2,\n" +
		"m-7,2026-05-09,,20,,1,1,,p2,wrist_spin,1,0,\n" +
		"m-7,2026-05-09,,20,,1,1,,q,,1,1,\n" +
		"m-7,2026-05-09,,20,,1,5,,A,seam_up,1,1,\n" +
		"m-7,2026-05-09,,20,,2,3,,\"Bea \"\"B\"\" Ell, jr\",,1,1,\n"
	if d := cmp.Diff(want, out.String()); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([]string{`"Bea \"B\" Ell, jr" is not in the players file`}, notFound); d != "" {
		t.Error(d)
	}
	if _, reason := NewRoster(players).Find("Twin"); reason != "is the name of several players of the players file" {
		t.Errorf("two players of one name: %q", reason)
	}
}

func TestMatchRefused(t *testing.T) {
	t.Parallel()
	in := func(overs string) string {
		return `{"info":{"dates":["2026-05-09"]},` + "\n" + `"innings":[{"overs":[` + overs + `]}]}`
	}
	cases := []struct {
		name, text string
		want       string
	}{
		{"not JSON", "match,date\nm1,2026-05-09\n", "m.json:1: : \"\": this is not JSON: invalid character 'm' looking for beginning of value"},
		{"an empty file", "", `m.json:1: : "": the file ends in the middle`},
		{"cut off", in(`{"over":0`)[:60], `m.json:2: : "": the file ends in the middle`},
		{"an array", "[]", `m.json:1: : "[": must be an object`},
		{"no innings", `{"info":{"dates":["2026-05-09"]}}`, `m.json:1: innings: "": is missing: this is not a ball-by-ball match file`},
		{"no info", `{"innings":[]}`, `m.json:1: info: "": is missing: this is not a ball-by-ball match file`},
		{"no date", `{"info":{},"innings":[]}`, `m.json:1: info.dates: "": a date is needed`},
		{"a wrong date", `{"info":{"dates":["09/05/2026"]},"innings":[]}`, `m.json:1: info.dates[0]: "09/05/2026": not a date of the form YYYY-MM-DD`},
		{"overs that are none", `{"info":{"dates":["2026-05-09"],"overs":0},"innings":[]}`, `m.json:1: info.overs: "0": must be a whole number from 1 to 9999`},
		{"overs in words", `{"info":{"dates":["2026-05-09"],"overs":"twenty"},"innings":[]}`, `m.json:1: info.overs: "string": must be a whole number`},
		{"innings that are none", `{"info":{"dates":["2026-05-09"]},"innings":{}}`, `m.json:1: innings: "{": must be an array`},
		{"an over without a number", in(`{"deliveries":[{"bowler":"A"}]}`), `m.json:2: innings[0].overs[0].over: "": a number is needed`},
		{"an over below 0", in(`{"over":-1,"deliveries":[]}`), `m.json:2: innings[0].overs[0].over: "-1": must be a whole number from 0 to 9998`},
		{"an over twice", in(`{"over":3},` + "\n" + `{"over":3}`), `m.json:3: innings[0].overs[1].over: "3": the over is in the innings twice`},
		{"a ball without a bowler", in(`{"over":0,"deliveries":[{"bowler":"A"},{"batter":"B"}]}`), `m.json:2: innings[0].overs[0].deliveries[1].bowler: "": a bowler is needed`},
		{"a bowler that is a number", in(`{"over":0,"deliveries":[{"bowler":7}]}`), `m.json:2: innings[0].overs[0].deliveries.bowler: "number": must be text`},
		{"something twice", `{"info":{"dates":["2026-05-09"]},"info":{},"innings":[]}`, `m.json:1: info: "info": stands there twice`},
		{"more after it", `{"info":{"dates":["2026-05-09"]},"innings":[]}` + "\n{}", `m.json:1: : "{}": more stands after the match`},
		{"bytes that are no text", `{"info":` + "\n\xff}", `m.json:2: : "\xff": this is not text in UTF-8`},
		{"nested too deeply", strings.Repeat("[", 100_000), `m.json:1: : "[": the file is nested too deeply for a match`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			m, errs := ReadMatch("m.json", strings.NewReader(c.text))
			wantTold(t, errs, c.want)
			if len(m.Innings) != 0 {
				t.Error("a match came with the fault")
			}
		})
	}
	// As many faults as there are balls: each is placed without counting the lines before it anew.
	_, errs := ReadMatch("m.json", strings.NewReader(in(`{"over":0,"deliveries":[`+strings.Repeat("{},\n", MaxListed+4)+`{}]}`)))
	if n := len(errs); n != MaxListed+1 || errs[MaxListed-1].Line != 2 || errs[MaxListed].Reason != "5 more faults of this file are not listed" {
		t.Errorf("%d faults, the last %v", n, errs[n-1])
	}
	_, errs = ReadMatch("m.json", bytes.NewReader(make([]byte, MaxMatchFile+1)))
	wantTold(t, errs, `m.json:1: : "": the file is larger than 32 MiB`)
}

// TestOverLogIsReadBack: what WriteOvers writes, ReadOvers reads back as it was.
func TestOverLogIsReadBack(t *testing.T) {
	t.Parallel()
	text := rapid.StringMatching(`[a-z=+@,"é\n-]{1,6}`)
	rapid.Check(t, func(t *rapid.T) {
		var rows []OverRow
		for over := range rapid.IntRange(0, 8).Draw(t, "overs") {
			balls := rapid.IntRange(1, 9).Draw(t, "balls")
			rows = append(rows, OverRow{Match: text.Draw(t, "match"), Date: domain.MustDate("2026-05-09").AddDays(over), Day: over + 1,
				OversASide: rapid.IntRange(0, 50).Draw(t, "aSide"), BowlerCap: rapid.IntRange(0, 10).Draw(t, "cap"), Innings: 1, Over: over + 1,
				End:    rapid.SampledFrom([]domain.End{domain.EndA, domain.EndB}).Draw(t, "end"),
				Player: text.Draw(t, "player"), Kind: rapid.SampledFrom(domain.BowlingKinds()).Draw(t, "kind"), Balls: balls,
				Valid: rapid.IntRange(0, balls).Draw(t, "valid"), BreakMin: rapid.IntRange(0, 60).Draw(t, "break")})
		}
		var out bytes.Buffer
		if err := WriteOvers(&out, rows); err != nil {
			t.Fatal(err)
		}
		back, errs := ReadOvers("o.csv", &out)
		if len(errs) > 0 {
			t.Fatal(told(errs))
		}
		for i := range back {
			back[i].Line, back[i].MatchNo, back[i].InningsNo, back[i].PlayerNo = 0, 0, 0, 0
		}
		if d := cmp.Diff(rows, back, byDate); d != "" {
			t.Fatal(d)
		}
	})
}
