package naive

import "fmt"

// match is what is the same in all rows of one match.
type match struct {
	ref, date         string
	day, aSide, cap   int
	ends              string // how the ends are written
	gaps, switches    int    // one in so many overs
	shared, breakOnce int
}

func (d *drawer) drawMatch(ref string) {
	m := &match{
		ref: ref, date: d.somewhere(), day: 1,
		aSide: pick(d, 0, 0, 0, 16, 20, 20, 21, 40), cap: pick(d, 0, 0, 2, 4, 5, 6, 7, 8),
		ends: pick(d, "blank", "blank", "blank", "blank", "turned", "one end", "any", "mixed"),
		gaps: pick(d, 8, 20, 1000), switches: pick(d, 4, 8, 8, 20, 30), shared: pick(d, 6, 15, 1000), breakOnce: pick(d, 10, 20, 1000),
	}
	if len(d.log.Overs) > 0 && d.one(3) {
		m.date = d.log.Overs[d.IntN(len(d.log.Overs))].Date // several matches on one day
	}
	severalDays := d.one(4)
	for innings := range 1 + d.IntN(3) {
		if severalDays && innings > 0 && d.one(2) {
			m.date, m.day = shift(m.date, 1), m.day+1
		}
		if d.one(6) { // a shortened innings
			m.aSide, m.cap = pick(d, m.aSide, 20, 21), pick(d, 0, 3, 5)
		}
		d.drawInnings(m, innings+1, 4+d.IntN(46), severalDays)
	}
}

func (d *drawer) drawInnings(m *match, innings, overs int, severalDays bool) {
	bowling := [2]string{pick(d, d.players...), pick(d, d.players...)}
	kinds := map[string]string{}
	for _, p := range d.players {
		kinds[p] = d.kind()
	}
	last := ""
	for n := 1; n <= overs; n++ {
		if severalDays && d.one(20) {
			m.date, m.day = shift(m.date, pick(d, 1, 1, 2)), m.day+1
		}
		if d.one(m.switches) {
			bowling[n%2] = pick(d, d.players...)
		}
		bowler := bowling[n%2]
		if d.one(25) && last != "" {
			bowler = last // two running
		}
		last = bowler
		if d.one(m.gaps) {
			continue
		}
		end := d.end(m, n)
		for _, p := range d.sharers(m, bowler) {
			kind := kinds[p]
			if d.one(8) {
				kind = d.kind()
			}
			d.log.Overs = append(d.log.Overs, d.row(m, Over{Innings: innings, Over: n, End: end, Player: p, Kind: kind}))
		}
	}
}

// sharers lists the bowlers of one over: mostly one, sometimes two or three.
func (d *drawer) sharers(m *match, bowler string) []string {
	all := []string{bowler}
	if !d.one(m.shared) {
		return all
	}
	for _, i := range d.Perm(len(d.players))[:min(len(d.players), 1+d.IntN(2))] {
		if d.players[i] != bowler {
			all = append(all, d.players[i])
		}
	}
	return all
}

// end writes the end of an over.
func (d *drawer) end(m *match, n int) string {
	usual := [2]string{"B", "A"}[n%2]
	switch m.ends {
	case "turned":
		return other(usual)
	case "one end":
		return "A"
	case "any":
		return pick(d, "A", "B", "")
	case "mixed":
		return pick(d, "", usual, usual, other(usual))
	}
	return ""
}

// row fills in the rest of an over.
func (d *drawer) row(m *match, o Over) Over {
	o.Match, o.Date, o.OversASide, o.BowlerCap = m.ref, m.date, m.aSide, m.cap
	o.Day = pick(d, 0, m.day)
	o.Balls = pick(d, 6, 6, 6, 1, 3, 7, 9)
	o.Valid = pick(d, -1, d.IntN(o.Balls+1), min(6, o.Balls))
	if d.one(m.breakOnce) {
		o.BreakMin = pick(d, 10, 39, 40, 59, 60, 61)
	}
	return o
}

func (d *drawer) drawOuting(ref string, often bool) {
	o := Outing{
		Outing: ref, Date: d.somewhere(), Kind: pick(d, "match", "nets", "nets", "nets", "home", "school", "other"),
		State: pick(d, "held", "held", "held", "held", "held", "held", "called_off", "planned"),
	}
	if len(d.log.Overs) > 0 && d.one(3) {
		o.Date = d.log.Overs[d.IntN(len(d.log.Overs))].Date
	}
	if often {
		o.Date, o.Kind, o.State = shift(d.start, d.IntN(12)), pick(d, o.Kind, "nets", "nets"), "held"
	}
	for _, i := range d.Perm(len(d.players))[:1+d.IntN(len(d.players))] {
		row := o
		row.Player, row.BowlingKind = d.players[i], d.kind()
		row.Present = pick(d, "yes", "yes", "yes", "", "", "no", "excused")
		row.Balls, row.Overs = d.bowled()
		d.log.Outings = append(d.log.Outings, row)
	}
}

// bowled draws balls, overs, both or neither.
func (d *drawer) bowled() (balls int, overs string) {
	whole, rest := d.IntN(pick(d, 9, 9, 15)), d.IntN(6)
	overs = fmt.Sprintf("%d.%d", whole, rest)
	if rest == 0 && d.one(2) {
		overs = fmt.Sprint(whole)
	}
	balls = pick(d, 0, 1, 6, 24, 29, 30, 31, 36, 37, 42, 43, 60, d.IntN(80))
	switch d.IntN(10) {
	case 0:
		return -1, ""
	case 1:
		return whole*6 + rest, overs
	case 2:
		return balls, overs // they contradict each other: balls are the balls and overs the overs (A7)
	case 3, 4, 5:
		return -1, overs
	}
	return balls, ""
}
