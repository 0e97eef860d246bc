package demo_test

import (
	"testing"

	"longspell/internal/demo"
	"longspell/internal/domain"
)

// The figures against which the stories are counted here are those of England and Wales Cricket Board, Fast Bowling Directives,
// 2010, as printed at www.chiddcc.uk/a/guidance-on-young-cricketers-48744.html?page=2 (spell 5 overs up to U13, 6 U14-U15, 7 U16
// and older; day 10 overs up to U13; net 30 balls up to U13, 36 to U17), and four days in seven, two running, from Cheshire
// Cricket League Handbook 2022, Young Player Directives, crickethistory.website/league/ccl/ccl_handbook_2022/111.

// broken names what a player did too much of, by player, with the day on which it was so.
type broken map[domain.ID]map[string]domain.Date

func (b broken) add(p domain.ID, what string, d domain.Date) {
	if b[p] == nil {
		b[p] = map[string]domain.Date{}
	}
	b[p][what] = d
}

// countStories goes through the last ten days up to yesterday by plain counting.
func countStories(w demo.World, x index, today domain.Date) broken {
	out := broken{}
	days := map[domain.ID]map[int]domain.ID{} // player: days ago: club at which he bowled fast
	overs := map[domain.ID]map[int]int{}
	for _, o := range w.Outings {
		ago := today.Sub(o.Date)
		if ago < 1 || ago > 10 {
			continue
		}
		fast := func(p domain.ID, kind domain.BowlingKind) bool {
			if kind != domain.SeamBack {
				return false
			}
			if days[p] == nil {
				days[p], overs[p] = map[int]domain.ID{}, map[int]int{}
			}
			days[p][ago] = o.ClubID
			return true
		}
		for _, v := range o.Practice {
			if fast(v.PlayerID, v.Kind) && o.Kind == domain.OutingNets && v.Balls > 36 {
				out.add(v.PlayerID, "net", o.Date)
			}
		}
		for _, v := range o.Overs {
			if fast(v.PlayerID, v.Kind) {
				overs[v.PlayerID][ago]++
			}
		}
		countSpells(out, o)
	}
	for p, on := range days {
		countDays(out, p, on, today)
		for ago, n := range overs[p] {
			year, _, _ := today.AddDays(-ago).YMD()
			august, _ := domain.NewDate(year-1, 8, 31)
			if n > 10 && domain.AgeOn(x.players[p].Born, august) < 13 {
				out.add(p, "day", today.AddDays(-ago))
			}
		}
	}
	return out
}

// countSpells looks for more than seven fast overs off the reel from one end, and for a return before a rest of as many overs.
func countSpells(out broken, o domain.Outing) {
	by := map[domain.ID][]int{}
	for _, v := range o.Overs {
		if v.Kind == domain.SeamBack {
			by[v.PlayerID] = append(by[v.PlayerID], v.Over)
		}
	}
	for p, overs := range by {
		length := 1
		for i := 1; i < len(overs); i++ {
			gap := overs[i] - overs[i-1]
			if gap > 3 && gap%2 == 0 && gap/2-1 < length && o.Format.OversASide > 20 {
				out.add(p, "rest", o.Date)
			}
			if gap != 2 {
				length = 0
			}
			if length++; length > 7 {
				out.add(p, "spell", o.Date)
			}
		}
	}
}

func countDays(out broken, p domain.ID, on map[int]domain.ID, today domain.Date) {
	for ago := 1; ago <= 7; ago++ {
		if on[ago] != "" && on[ago+1] != "" && on[ago+2] != "" && on[ago+1] != on[ago+2] {
			out.add(p, "run over two clubs", today.AddDays(-ago))
		}
		n := 0
		for i := range 7 {
			if on[ago+i] != "" {
				n++
			}
		}
		if n > 4 {
			out.add(p, "five days", today.AddDays(-ago))
		}
	}
}

func checkStories(t *testing.T, w demo.World, x index, today domain.Date) {
	got := countStories(w, x, today)
	who := map[string]int{}
	for _, what := range got {
		for k := range what {
			who[k]++
		}
	}
	for what, least := range map[string]int{"run over two clubs": 1, "day": 1, "spell": 2, "rest": 1, "five days": 1, "net": 1} {
		if who[what] < least {
			t.Errorf("%s: %d juniors in the last ten days, want %d", what, who[what], least)
		}
	}
	if len(got) < 6 || len(got) > 25 {
		t.Errorf("%d juniors past a figure in the last ten days, want 6 to 25", len(got))
	}
	mine := map[domain.ID]bool{}
	for _, a := range w.Accounts {
		for _, ap := range a.Appointments {
			if a.Email == "coach@demo.invalid" {
				mine[ap.SquadID] = true
			}
		}
	}
	thisWeek := 0
	for p, what := range got {
		for _, m := range x.in[p] {
			if !mine[m.SquadID] || !m.To.IsZero() {
				continue
			}
			for _, d := range what {
				if today.Sub(d) <= 7 {
					thisWeek++
					break
				}
			}
		}
	}
	if thisWeek < 3 {
		t.Errorf("club 1's coach has %d juniors past a figure in the last seven days, want 3 or more", thisWeek)
	}
	for _, a := range w.Accounts {
		if a.Email == "guardian@demo.invalid" && got[a.Appointments[0].PlayerID]["run over two clubs"].IsZero() {
			t.Error("the guardian's child should be the one of three days over two clubs")
		}
	}
}
