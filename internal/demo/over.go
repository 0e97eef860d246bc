package demo

import "longspell/internal/domain"

// ballsIn is how an over may go: valid balls wanted, and the most that are bowled for them.
func ballsIn(rule domain.BallsInOver) (valid, most int) {
	switch rule {
	case domain.SixFixed:
		return 6, 6
	case domain.FiveFixed:
		return 5, 5
	case domain.AtMost7:
		return 6, 7
	case domain.AtMost8:
		return 6, 8
	}
	return 6, 12
}

// extrasAt is how often a ball is a wide or a no-ball, by the age group of the side: the young ones bowl more of them.
var extrasAt = [...]float64{u11: 0.11, u13: 0.085, u15: 0.06, u17: 0.045}

// delivered bowls an over by the rule of the format.
func (f *field) delivered(w *bowler) (balls, valid int) {
	want, most := ballsIn(f.sl.format.BallsInOver)
	p := extrasAt[f.sl.team.group]
	if w.kind == domain.WristSpin {
		p *= 1.5
	}
	for balls < most && valid < want {
		balls++
		if !f.b.chance(p) {
			valid++
		}
	}
	return balls, valid
}

// log writes a bowler's share of an over.
func (f *field) log(over int, w *bowler, balls, valid, breakMin int) {
	end := domain.EndA
	if over%2 == 0 {
		end = domain.EndB
	}
	if w.last > 0 && (over-w.last == 2 || over-w.last == 3) {
		w.spell++
	} else {
		w.spell = 1
	}
	w.last = over
	w.overs++
	f.o.Overs = append(f.o.Overs, domain.OverLog{ID: f.b.ids.on(f.sl.date), OutingID: f.o.ID, Date: f.sl.date, Innings: f.in,
		Over: over, End: end, PlayerID: w.p.ID, Kind: w.kind, Balls: balls, Valid: valid, BreakMin: breakMin, Seq: len(f.o.Overs) + 1})
}
