package exchange

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"longspell/internal/domain"
)

func TestPlayersAreRead(t *testing.T) {
	t.Parallel()
	players, errs := ReadPlayers("p.csv", strings.NewReader("player,name,born,sex,arm,kind,club,squad,since\n"+
		"p1,\"Ann\nO\"\"Mara\",2013-04-05,f,left,wrist_spin,Hill End,U13,2024-06-01\n"+
		"p2,,,,,,,,\n"))
	wantTold(t, errs)
	want := []Player{
		{Line: 2, Ref: "p1", Name: "Ann\nO\"Mara", Born: domain.MustDate("2013-04-05"), Sex: domain.Female, Arm: domain.ArmLeft,
			Kind: domain.WristSpin, Club: "Hill End", Squad: "U13", Since: domain.MustDate("2024-06-01")},
		{Line: 4, Ref: "p2"},
	}
	if d := cmp.Diff(want, players, byDate); d != "" {
		t.Error(d)
	}
	if players, errs = ReadPlayers("p.csv", strings.NewReader("born,player\n,p1\n")); len(players) != 1 || len(errs) != 0 {
		t.Errorf("player and born are enough: %v", told(errs))
	}
}

func TestPlayersRefused(t *testing.T) {
	t.Parallel()
	_, errs := ReadPlayers("p.csv", strings.NewReader("player,name,born,sex,arm,kind,club,squad,since,shoe\n"+
		"p1,,2013-13-05,F,both,pace,,,soon,\n"+
		",,2013-04-05,,,,,,,\n"+
		"p1,,2013-04-05,,,,,,,\n"+
		"p1\n"))
	wantTold(t, errs,
		`p.csv:1: shoe: "shoe": there is no such column`,
		`p.csv:2: born: "2013-13-05": there is no such day`,
		`p.csv:2: sex: "F": must be one of f, m, x`,
		`p.csv:2: arm: "both": must be one of right, left`,
		`p.csv:2: kind: "pace": must be one of wrist_spin, finger_spin, seam_up, seam_back`,
		`p.csv:2: since: "soon": not a date of the form YYYY-MM-DD`,
		`p.csv:3: player: "": must not be blank`,
		`p.csv:4: player: "p1": the player is there twice`,
		`p.csv:5: name: "": the row has 1 fields, the header has 10`)
	_, errs = ReadPlayers("p.csv", strings.NewReader("player\np1\n"))
	wantTold(t, errs, `p.csv:1: born: "": the column is missing`)
}

const outingHeader = "outing,date,club,squad,kind_of_outing,state,player,present,bowling_kind,balls,overs,hits,trial,effort\n"

func TestOutingsAreRead(t *testing.T) {
	t.Parallel()
	rows, errs := ReadOutings("u.csv", strings.NewReader(outingHeader+
		"n1,2026-05-09,Hill End,U13,nets,held,p1,yes,wrist_spin,36,,7,landing,6\n"+
		"s1,2026-05-10,,,school,held,p1,,,,3.4,,,\n"+
		"s2,2026-05-11,,,match,held,p1,,,20,4,,,\n"))
	wantTold(t, errs)
	want := []OutingRow{
		{Line: 2, Outing: "n1", Date: domain.MustDate("2026-05-09"), Club: "Hill End", Squad: "U13", OutingKind: domain.OutingNets, State: domain.OutingHeld,
			Player: "p1", Present: domain.PresentYes, Kind: domain.WristSpin, Balls: 36, BallsGiven: true, Hits: 7, Trial: "landing", Effort: 6},
		{Line: 3, Outing: "s1", Date: domain.MustDate("2026-05-10"), OutingKind: domain.OutingSchool, State: domain.OutingHeld, Player: "p1",
			Balls: 22, Overs: 4, OversGiven: true, Hits: -1, Effort: -1},
		{Line: 4, Outing: "s2", Date: domain.MustDate("2026-05-11"), OutingKind: domain.OutingMatch, State: domain.OutingHeld, Player: "p1",
			Balls: 20, BallsGiven: true, Overs: 4, OversGiven: true, Hits: -1, Effort: -1},
	}
	if d := cmp.Diff(want, rows, byDate); d != "" {
		t.Error(d)
	}
}

func TestWhichOutingsCount(t *testing.T) {
	t.Parallel()
	cases := map[string]bool{
		"nets,held,p,yes,,6,,,,": true, "nets,held,p,,,6,,,,": true, "nets,held,p,,,,0.1,,,": true, "nets,held,p,no,,6,,,,": false,
		"nets,held,p,excused,,6,,,,": false, "nets,planned,p,yes,,6,,,,": false, "nets,called_off,p,yes,,6,,,,": false,
		"nets,held,p,yes,,,,,,": false, "nets,held,p,yes,,0,3,,,": false, "nets,held,p,yes,,,0,,,": false,
	}
	for row, want := range cases {
		rows, errs := ReadOutings("u.csv", strings.NewReader(outingHeader+"o,2026-05-09,,,"+row+"\n"))
		wantTold(t, errs)
		if len(rows) != 1 || rows[0].Counts() != want {
			t.Errorf("%s: counts %v, want %v", row, !want, want)
		}
	}
}

func TestOutingsRefused(t *testing.T) {
	t.Parallel()
	notation := "must be overs in cricket notation: whole overs, or whole overs, a point and 0 to 5 balls"
	_, errs := ReadOutings("u.csv", strings.NewReader(outingHeader+
		"n1,2026-05-09,,,practice,done,p1,maybe,spin,-1,3.7,1.5,,11\n"+
		",,,,,,,,,,,,,\n"))
	wantTold(t, errs,
		`u.csv:2: kind_of_outing: "practice": must be one of match, nets, home, school, other`,
		`u.csv:2: state: "done": must be one of held, called_off, planned`,
		`u.csv:2: present: "maybe": must be one of yes, no, excused`,
		`u.csv:2: bowling_kind: "spin": must be one of wrist_spin, finger_spin, seam_up, seam_back`,
		`u.csv:2: balls: "-1": must be a whole number from 0 to 9999`,
		`u.csv:2: hits: "1.5": must be a whole number from 0 to 9999`,
		`u.csv:2: effort: "11": must be a whole number from 0 to 10`,
		`u.csv:2: overs: "3.7": `+notation,
		`u.csv:3: outing: "": must not be blank`, `u.csv:3: date: "": a date is needed`,
		`u.csv:3: kind_of_outing: "": must be one of match, nets, home, school, other`,
		`u.csv:3: state: "": must be one of held, called_off, planned`,
		`u.csv:3: player: "": must not be blank`)
}

func TestOversInCricketNotation(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]int{"0": 0, "3": 18, "3.0": 18, "3.4": 22, "3.5": 23, "10.1": 61} {
		if got, ok := ParseOvers(text); !ok || got != want {
			t.Errorf("%s: %d, %v, want %d", text, got, ok, want)
		}
	}
	for _, text := range []string{"", "3.6", "3.7", "3.", ".4", "3.40", "3,4", "-3", "3.4.1", " 3", "x", "99999", "3.-1"} {
		if got, ok := ParseOvers(text); ok {
			t.Errorf("%q was taken for %d balls", text, got)
		}
	}
}
