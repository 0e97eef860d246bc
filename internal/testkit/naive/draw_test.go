package naive

import (
	"reflect"
	"testing"
)

// TestDrawReachesTheCorners counts what the drawn logs come to: two evaluators that agree on logs in which nothing happens
// would prove nothing.
func TestDrawReachesTheCorners(t *testing.T) {
	t.Parallel()
	for set, wanted := range map[string][]string{
		"ecb-2010": {
			"spell_overs limit", "rest_overs limit", "rest_overs guidance", "day_overs limit", "day_overs of an outing", "bowler_cap limit",
			"days_in_7 guidance", "run_of_days guidance", "net_balls limit", "net_per_week limit", "no rest in a short match",
			"not judged", "too old", "spell over both ends", "spell of two running", "rest of the others' overs", "several matches a day",
			"spell over a short break", "stretches of one innings",
		},
		"ca-2019": {
			"spell_overs guidance", "rest_overs guidance", "day_overs guidance", "day_overs of an outing", "bowler_cap limit", "days_in_7 guidance",
			"run_of_days guidance", "not judged", "too old",
		},
		"nz-district": {"spell_overs limit", "rest_overs limit", "day_overs limit", "bowler_cap limit"},
		"dvca-2017":   {"spell_overs limit", "day_overs limit", "bowler_cap limit"},
		"ecb-pre2010": {"spell_overs limit", "rest_overs limit", "day_overs limit"},
	} {
		t.Run(set, func(t *testing.T) {
			t.Parallel()
			counts := map[string]int{}
			for seed := range uint64(150) {
				q := Draw(set, seed)
				countFindings(counts, Check(q.Log, q.Ask))
				countSpells(counts, q)
			}
			for _, what := range wanted {
				if counts[what] < 10 {
					t.Errorf("%s: %d times in 150 logs", what, counts[what])
				}
			}
		})
	}
}

func countFindings(counts map[string]int, a Answer) {
	for _, f := range a.Findings {
		counts[f.Limit+" "+f.Weight]++
		if f.Limit == "day_overs" && f.Over == nil {
			counts["day_overs of an outing"]++
		}
	}
	counts["not judged"] += len(a.NotJudged)
	for _, l := range a.Left {
		if l.SpellOvers == nil {
			counts["too old"]++ // or not judged, which is taken off here
		}
	}
	counts["too old"] -= len(a.NotJudged)
}

func countSpells(counts map[string]int, q Question) {
	r := setOf(q.Ask.Limits)
	for _, player := range q.Log.players(true) {
		spells := q.Log.spells(player, r.breakMin)
		matches := map[string]map[string]bool{}
		for i, s := range spells {
			first, last := s.first(), s.last()
			rows := q.Log.inningsOf(first.Match, first.Innings)
			end := ends(rows)
			if r.fastOvers(q.Log, s) > 0 && r.band(q.Log, player, last.Date) != nil && !r.restChecked(q.Log, last) {
				counts["no rest in a short match"]++
			}
			if end[first.Over] != end[last.Over] {
				counts["spell over both ends"]++
			}
			if len(s.overs) > 1 && s.overs[1].Over == first.Over+1 {
				counts["spell of two running"]++
			}
			if longBreak(rows, first.Over, last.Over, 1) {
				counts["spell over a short break"]++
			}
			if earliest(end, len(s.overs), last.Over) != last.Over+2*len(s.overs)+1 {
				counts["rest of the others' overs"]++
			}
			if i > 0 && spells[i-1].first().Match == first.Match && spells[i-1].first().Innings == first.Innings && spells[i-1].stretch != s.stretch {
				counts["stretches of one innings"]++
			}
			if matches[first.Date] == nil {
				matches[first.Date] = map[string]bool{}
			}
			matches[first.Date][first.Match] = true
		}
		for _, of := range matches {
			if len(of) > 1 {
				counts["several matches a day"]++
			}
		}
	}
}

// TestDrawIsTheSameForTheSameSeed: a seed that is printed with a disagreement must draw it again, files and all.
func TestDrawIsTheSameForTheSameSeed(t *testing.T) {
	t.Parallel()
	for seed := range uint64(20) {
		a, b := Draw("ecb-2010", seed), Draw("ecb-2010", seed)
		if !reflect.DeepEqual(a.Log, b.Log) || !reflect.DeepEqual(a.Ask, b.Ask) {
			t.Fatalf("seed %d draws two logs", seed)
		}
		for _, tables := range [][2]table{{a.Log.oversTable(), b.Log.oversTable()}, {a.Log.outingsTable(), b.Log.outingsTable()}} {
			if one, two := tables[0].bytes(a.RandomFiles), tables[1].bytes(b.RandomFiles); string(one) != string(two) {
				t.Fatalf("seed %d writes two files", seed)
			}
		}
	}
}

// TestFirstDifferenceSees gives the comparison one fault of each kind.
func TestFirstDifferenceSees(t *testing.T) {
	t.Parallel()
	type row struct {
		Player string `json:"player"`
		Over   *int   `json:"over"`
	}
	type answer struct {
		Left     []row `json:"left"`
		Findings []any `json:"findings"`
	}
	want := answer{Left: []row{{Player: "a"}, {Player: "b", Over: new(2)}}, Findings: []any{map[string]any{"weight": "limit"}, 1}}
	for got, differs := range map[string]bool{
		`{"left":[{"player":"b","over":2},{"player":"a"}],"findings":[{"weight":"limit","says":"x","source":"y"},1],"more":1}`:       false,
		`{"left":[{"player":"b","over":3},{"player":"a"}],"findings":[{"weight":"limit","says":"x","source":"y"},1]}`:                true,
		`{"left":[{"player":"b","over":2},{"player":"a","over":0}],"findings":[{"weight":"limit","says":"x","source":"y"},1]}`:       true,
		`{"left":[{"player":"b","over":2},{"player":"a"}],"findings":[1,{"weight":"limit","says":"x","source":"y"}]}`:                true,
		`{"left":[{"player":"b","over":2},{"player":"a"}],"findings":[{"weight":"limit","says":"","source":"y"},1]}`:                 true,
		`{"left":[{"player":"b","over":2}],"findings":[{"weight":"limit","says":"x","source":"y"},1]}`:                               true,
		`{"left":[{"player":"b","over":2},{"player":"a"},{"player":"c"}],"findings":[{"weight":"limit","says":"x","source":"y"},1]}`: true,
		`{"left":[{"player":"b","over":"2"},{"player":"a"}],"findings":[{"weight":"limit","says":"x","source":"y"},1]}`:              true,
		`{"left":null,"findings":[{"weight":"limit","says":"x","source":"y"},1]}`:                                                    true,
		`not JSON`: true,
	} {
		if d := FirstDifference(want, []byte(got)); (d != "") != differs {
			t.Errorf("%s: difference %q", got, d)
		}
	}
}
