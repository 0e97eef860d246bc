package exchange

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"longspell/internal/domain"
)

const overHeader = "match,date,day,overs_a_side,bowler_cap,innings,over,end,player,kind,balls,valid,break_min\n"

func told(errs []LineError) []string {
	var out []string
	for _, e := range errs {
		out = append(out, e.Error())
	}
	return out
}

func wantTold(t *testing.T, errs []LineError, want ...string) {
	t.Helper()
	if d := cmp.Diff(want, told(errs)); d != "" {
		t.Errorf("faults: %s", d)
	}
}

var byDate = cmp.Comparer(func(a, b domain.Date) bool { return a == b })

func TestOversAreRead(t *testing.T) {
	t.Parallel()
	rows, errs := ReadOvers("o.csv", strings.NewReader(overHeader+
		"m1,2026-05-09,2,40,8,1,3,B,p7,wrist_spin,7,5,20\r\n"+
		"m1,2026-05-09,,,,1,4,,p8,,6,,\n"+
		"\"m,2\",2026-05-10,,,,1,1,,p7,,1,0,\n"))
	wantTold(t, errs)
	want := []OverRow{
		{Line: 2, Match: "m1", Date: domain.MustDate("2026-05-09"), Day: 2, OversASide: 40, BowlerCap: 8, Innings: 1, Over: 3, End: domain.EndB,
			Player: "p7", Kind: domain.WristSpin, Balls: 7, Valid: 5, BreakMin: 20},
		{Line: 3, Match: "m1", Date: domain.MustDate("2026-05-09"), Day: 1, Innings: 1, Over: 4, End: domain.EndB, Player: "p8", Balls: 6, Valid: 6,
			PlayerNo: 1},
		{Line: 4, Match: "m,2", Date: domain.MustDate("2026-05-10"), Day: 1, Innings: 1, Over: 1, End: domain.EndA, Player: "p7", Balls: 1,
			MatchNo: 1, InningsNo: 1},
	}
	if d := cmp.Diff(want, rows, byDate); d != "" {
		t.Error(d)
	}
}

func TestColumnsInAnyOrderAndOnlyTheNeededOnes(t *testing.T) {
	t.Parallel()
	rows, errs := ReadOvers("o.csv", strings.NewReader("balls,player,over,innings,date,match\n6,p7,2,1,2026-05-09,m1\n"))
	wantTold(t, errs)
	if len(rows) != 1 || rows[0].End != domain.EndB || rows[0].Valid != 6 || rows[0].Day != 1 {
		t.Errorf("rows %+v", rows)
	}
	rows, errs = ReadOvers("o.csv", strings.NewReader("\xef\xbb\xbf"+strings.ReplaceAll(overHeader, "\n", "\r\n")))
	wantTold(t, errs)
	if len(rows) != 0 {
		t.Errorf("rows %+v", rows)
	}
}

// TestOversRefused: every fault of a file at once, each with line, column, value and reason.
func TestOversRefused(t *testing.T) {
	t.Parallel()
	row := func(values string) string { return overHeader + values + "\n" }
	number := "must be a whole number from "
	cases := []struct {
		name, text string
		want       []string
	}{
		{"over 0", row("m1,2026-05-09,,,,1,0,,p7,,6,,"), []string{`o.csv:2: over: "0": ` + number + `1 to 9999`}},
		{"innings 0", row("m1,2026-05-09,,,,0,1,,p7,,6,,"), []string{`o.csv:2: innings: "0": ` + number + `1 to 9999`}},
		{"no ball", row("m1,2026-05-09,,,,1,1,,p7,,0,,"), []string{`o.csv:2: balls: "0": ` + number + `1 to 9999`}},
		{"more valid than bowled", row("m1,2026-05-09,,,,1,1,,p7,,6,7,"), []string{`o.csv:2: valid: "7": must not be above the balls of the row`}},
		{"numbers that are none", row("m1,2026-05-09,x,-1,1.5,+1,1e3,,p7,, 6,٣,99999"), []string{
			`o.csv:2: day: "x": ` + number + `1 to 9999`, `o.csv:2: overs_a_side: "-1": ` + number + `1 to 9999`, `o.csv:2: bowler_cap: "1.5": ` + number + `1 to 9999`,
			`o.csv:2: innings: "+1": ` + number + `1 to 9999`, `o.csv:2: over: "1e3": ` + number + `1 to 9999`, `o.csv:2: balls: " 6": ` + number + `1 to 9999`,
			`o.csv:2: valid: "٣": ` + number + `0 to 9999`, `o.csv:2: break_min: "99999": ` + number + `0 to 44640`}},
		{"a number beyond all numbers", row("m1,2026-05-09,,,,1,99999999999999999999999,,p7,,6,,"), []string{
			`o.csv:2: over: "99999999999999999999999": ` + number + `1 to 9999`}},
		{"a year of five digits", row("m1,20260-05-09,,,,1,1,,p7,,6,,"), []string{`o.csv:2: date: "20260-05-09": not a date of the form YYYY-MM-DD`}},
		{"no such day", row("m1,2026-02-29,,,,1,1,,p7,,6,,"), []string{`o.csv:2: date: "2026-02-29": there is no such day`}},
		{"another way of writing dates", row("m1,09/05/2026,,,,1,1,,p7,,6,,"), []string{`o.csv:2: date: "09/05/2026": not a date of the form YYYY-MM-DD`}},
		{"a year that nobody meant", row("m1,0026-05-09,,,,1,1,,p7,,6,,"), []string{`o.csv:2: date: "0026-05-09": the year must be from 1900 to 2199`}},
		{"blank where a value is needed", row(",,,,,,,,,,,,"), []string{
			`o.csv:2: match: "": must not be blank`, `o.csv:2: date: "": a date is needed`, `o.csv:2: innings: "": a number is needed`,
			`o.csv:2: over: "": a number is needed`, `o.csv:2: player: "": must not be blank`, `o.csv:2: balls: "": a number is needed`}},
		{"an end that is none", row("m1,2026-05-09,,,,1,1,a,p7,,6,,"), []string{`o.csv:2: end: "a": must be A or B`}},
		{"a kind that is none", row("m1,2026-05-09,,,,1,1,,p7,spin,6,,"), []string{
			`o.csv:2: kind: "spin": must be one of wrist_spin, finger_spin, seam_up, seam_back`}},
		{"a NUL in a reference", row("m\x00,2026-05-09,,,,1,1,,p7,,6,,"), []string{`o.csv:2: match: "m\x00": a control character stands in it`}},
		{"bytes that are no text", row("m\xff,2026-05-09,,,,1,1,,p7,,6,,"), []string{`o.csv:2: match: "m\xff": this is not text in UTF-8`}},
		{"a blank after a reference", row("m1,2026-05-09,,,,1,1,,p7 ,,6,,"), []string{`o.csv:2: player: "p7 ": a blank stands before or after it`}},
		{"too few fields", row("m1,2026-05-09,,,"), []string{`o.csv:2: innings: "": the row has 5 fields, the header has 13`}},
		{"too many fields", row("m1,2026-05-09,,,,1,1,,p7,,6,,,,"), []string{`o.csv:2: field 14: "": the row has 15 fields, the header has 13`}},
		{"an unknown, a missing and a double column", "match,date,innings,over,player,colour,date\nm1,2026-05-09,1,x,p7,,\n", []string{
			`o.csv:1: colour: "colour": there is no such column`, `o.csv:1: date: "date": the column is there twice`,
			`o.csv:1: balls: "": the column is missing`, `o.csv:2: over: "x": ` + number + `1 to 9999`}},
		{"an empty file", "", []string{`o.csv:1: match: "": the column is missing`, `o.csv:1: date: "": the column is missing`,
			`o.csv:1: innings: "": the column is missing`, `o.csv:1: over: "": the column is missing`, `o.csv:1: player: "": the column is missing`,
			`o.csv:1: balls: "": the column is missing`}},
		{"line of a record that runs over lines", overHeader + "\"m\n1\",2026-05-09,,,,1,1,,p7,,6,,\nm1,2026-05-09,,,,1,x,,p7,,6,,\n", []string{
			`o.csv:4: over: "x": ` + number + `1 to 9999`}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			_, errs := ReadOvers("o.csv", strings.NewReader(c.text))
			wantTold(t, errs, c.want...)
		})
	}
}

func TestSharedOvers(t *testing.T) {
	t.Parallel()
	cases := []struct {
		name, rows string
		want       []string
	}{
		{"three bowlers, different breaks, the end said by one", "m1,2026-05-09,,,,1,2,B,a,,2,,\nm1,2026-05-09,,,,1,2,,b,,2,,40\nm1,2026-05-09,,,,1,2,,c,,2,,", nil},
		{"the same over in another innings and match", "m1,2026-05-09,,,,1,2,,a,,6,,\nm1,2026-05-09,,,,2,2,,a,,6,,\nm2,2026-05-09,,,,1,2,,a,,6,,", nil},
		{"a player twice", "m1,2026-05-09,,,,1,2,,a,,2,,\nm1,2026-05-09,,,,1,4,,a,,2,,\nm1,2026-05-09,,,,1,2,,b,,2,,\nm1,2026-05-09,,,,1,2,,b,,2,,\nm1,2026-05-09,,,,1,2,,a,,2,,",
			[]string{`o.csv:5: over: "2": the player has this over of the innings in an earlier row`, `o.csv:6: over: "2": the player has this over of the innings in an earlier row`}},
		{"another end", "m1,2026-05-09,,,,1,2,A,a,,2,,\nm1,2026-05-09,,,,1,2,,b,,2,,", []string{`o.csv:3: end: "": an earlier row of the same over has the end A`}},
		{"another date", "m1,2026-05-09,,,,1,2,,a,,2,,\nm1,2026-05-10,,,,1,2,,b,,2,,", []string{`o.csv:3: date: "2026-05-10": an earlier row of the same over has the date 2026-05-09`}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			_, errs := ReadOvers("o.csv", strings.NewReader(overHeader+c.rows+"\n"))
			wantTold(t, errs, c.want...)
		})
	}
}

// TestManyBowlersOfOneOver: a file that puts thousands into one over is looked through as fast as any other, and the doubles in it
// are found.
func TestManyBowlersOfOneOver(t *testing.T) {
	t.Parallel()
	var b strings.Builder
	b.WriteString("match,date,innings,over,player,balls\n")
	for range 2 {
		for p := range 5000 {
			b.WriteString("m1,2026-05-09,1,1,p" + string(rune('a'+p%26)) + strings.Repeat("x", p/26) + ",1\n")
		}
	}
	rows, errs := ReadOvers("o.csv", strings.NewReader(b.String()))
	if len(rows) != 5000 || len(errs) != 5000 || errs[0].Line != 5002 || errs[0].Column != "over" {
		t.Errorf("%d rows, %d faults, the first %v", len(rows), len(errs), errs[0])
	}
}

func TestBinaryFile(t *testing.T) {
	t.Parallel()
	_, errs := ReadOvers("o.csv", strings.NewReader("\x7fELF\x02\x01\x01\x00\x00\xff\xfe,\n\x00\x01,\"\n"))
	if len(errs) != 8 || errs[0].Reason != "this is not text in UTF-8" || errs[0].Line != 1 {
		t.Errorf("faults %q", told(errs))
	}
	for _, e := range told(errs) {
		if !utf8.ValidString(e) || strings.ContainsAny(e, "\x00\n\x7f") {
			t.Errorf("%q is not one line of text", e)
		}
	}
}

func TestLongValuesAreShortened(t *testing.T) {
	t.Parallel()
	_, errs := ReadOvers("o.csv", strings.NewReader(overHeader+"m1,2026-05-09,,,,1,"+strings.Repeat("é", 400_000)+",,p7,,6,,\n"+
		"m1,2026-05-09,,,,1,1,,p7,,"+strings.Repeat("7", 2<<20)+",,\nm1,2026-05-09,,,,1,x,,p7,,6,,\n"))
	if len(errs) != 3 {
		t.Fatalf("%d faults", len(errs))
	}
	for i, e := range told(errs) {
		if len(e) > 600 {
			t.Errorf("a refusal of %d bytes", len(e))
		}
		if errs[i].Line != 2+i {
			t.Errorf("line %d, want %d", errs[i].Line, 2+i)
		}
	}
	if errs[1].Column != "balls" || errs[1].Reason != "the line is longer than 1 MiB" || errs[2].Column != "over" {
		t.Errorf("faults %.100q", told(errs))
	}
}

func TestMoreFaultsThanAreListed(t *testing.T) {
	t.Parallel()
	_, errs := ReadPlayers("p.csv", strings.NewReader("player,born\n"+strings.Repeat("p,x\n", MaxListed)))
	last := errs[len(errs)-1]
	if len(errs) != MaxListed+1 || last.Reason != "99999 more faults of this file are not listed" {
		t.Errorf("%d faults, the last %v", len(errs), last)
	}
}
