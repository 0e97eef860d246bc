package demo

import "longspell/internal/domain"

// How often a coach of the demo does not count: the balls of a bowler's net, or a fast bowler's overs and days.
const (
	slipNets  = 0.006
	slipMatch = 0.02
)

// outing makes the outing of a slot: who came and what they bowled.
func (b *builder) outing(sl *slot) domain.Outing {
	o := domain.Outing{ID: b.ids.on(sl.date), ClubID: sl.team.ClubID, SquadID: sl.team.ID, Kind: sl.kind, State: sl.state,
		Date: sl.date, Title: sl.title, Format: sl.format, HasFormat: sl.kind == domain.OutingMatch}
	if sl.state != domain.OutingHeld {
		return o
	}
	here := b.attendance(sl, &o)
	if sl.kind == domain.OutingMatch {
		if len(here) >= fewest {
			b.match(sl, &o, here)
		}
		if len(o.Overs) == 0 { // a side too short to play
			o.State, o.Attendance = domain.OutingCalledOff, nil
		}
		return o
	}
	for _, p := range here {
		b.practise(sl, &o, p)
	}
	return o
}

// fewest is how many of a club's own juniors it takes to play a match.
const fewest = 4

// attendance says who came, and writes it down.
func (b *builder) attendance(sl *slot, o *domain.Outing) []*person {
	if sl.home != nil {
		o.Attendance = []domain.Attendance{{PlayerID: sl.home.ID, Present: domain.PresentYes}}
		return []*person{sl.home}
	}
	var here []*person
	o.Attendance = make([]domain.Attendance, 0, len(sl.team.members))
	for _, m := range sl.team.members {
		if !m.on(sl.date) || b.notExpected(m.p, sl) {
			continue
		}
		a := domain.Attendance{PlayerID: m.p.ID, Present: domain.PresentNo}
		switch {
		case b.comes(m.p, sl):
			a.Present = domain.PresentYes
			here = append(here, m.p)
			m.p.mem.at, m.p.mem.seen = sl.team, sl.date
		case b.chance(0.25):
			a.Present = domain.PresentExcused
		}
		o.Attendance = append(o.Attendance, a)
	}
	return here
}

// forgotten is after how many days a coach takes somebody off the list who has stopped coming.
const forgotten = 28

// notExpected reports whether the coach does not even count on somebody: long not seen, or known to be at another club that day.
func (b *builder) notExpected(p *person, sl *slot) bool {
	return !p.quit.IsZero() && sl.date.Sub(p.quit) > forgotten || p.mem.seen == sl.date && p.mem.at != sl.team
}

// comes decides whether somebody comes. A story's player is where the story says.
func (b *builder) comes(p *person, sl *slot) bool {
	for _, t := range sl.told {
		if t.p == p {
			return true
		}
	}
	switch {
	case p.story && b.cal.near(sl.date):
		return false
	case !p.quit.IsZero() && sl.date.After(p.quit):
		return false
	}
	great := sl.sure || len(sl.told) > 0
	return great && sl.kind == domain.OutingMatch || b.chance(p.keen) // everybody comes to a great match
}

// practise lets somebody bowl balls that nobody logs over by over.
func (b *builder) practise(sl *slot, o *domain.Outing, p *person) {
	kind, balls := b.kindOn(p, sl.date), 0
	for _, t := range sl.told {
		if t.p == p {
			kind, balls = domain.SeamBack, t.balls
		}
	}
	fast := kind == domain.SeamBack
	if balls == 0 {
		if sl.home == nil && !b.chance(0.55+0.4*p.eager) {
			return
		}
		if balls = b.ballsOf(p, sl, fast); balls == 0 {
			return
		}
	}
	x := domain.Practice{ID: b.ids.on(sl.date), OutingID: o.ID, PlayerID: p.ID, Kind: kind, Balls: balls, Hits: -1, Effort: -1}
	overs := 0
	if sl.kind == domain.OutingSchool {
		overs = (balls + 5) / 6
		x.Overs = overs
	}
	if b.chance(0.15) {
		x.Effort = b.between(2, 8)
	}
	p.mem.bowled(sl.date, overs, fast, sl.kind == domain.OutingNets)
	o.Practice = append(o.Practice, x)
}

// ballsOf is how many balls of practice somebody bowls, 0 if a careful coach would not let him.
func (b *builder) ballsOf(p *person, sl *slot, fast bool) int {
	if !fast {
		return 12 + 3*b.between(0, 9) + b.between(0, 2)
	}
	f := figuresFor(p.Born, sl.date)
	if b.chance(slipNets) {
		return f.netBalls + b.between(1, 12)
	}
	if !p.mem.mayBowlFast(sl.date) || sl.kind == domain.OutingNets && p.mem.netsInWeek(sl.date) >= f.nets {
		return 0
	}
	return min(f.netBalls, 12+b.between(0, f.netBalls-12))
}
