package demo

import (
	"time"

	"longspell/internal/domain"
)

// plot holds the days of the stories, all of them within the ten days up to yesterday.
type plot struct {
	saturday domain.Date // festival of the first club's U13: the day cap, and the first of three days running
	sunday   domain.Date // after that Saturday: the school's match
	monday   domain.Date // after that Sunday: the school's nets; within the last seven days
	longDay  domain.Date // a Sunday within the last seven days: the first club's U15 match
	farDay   domain.Date // a Saturday within the last seven days: the fourth club's U17 match
	three    *person     // of the first story
}

func newPlot(c calendar) plot {
	monday := c.lastOn(int(time.Monday))
	return plot{saturday: monday.AddDays(-2), sunday: monday.AddDays(-1), monday: monday, longDay: c.lastOn(int(time.Sunday)),
		farDay: c.lastOn(int(time.Saturday))}
}

// instead reports whether a story takes the place of a club's league match.
func (p plot) instead(d domain.Date, group, club int) bool {
	switch club {
	case 0:
		return group == u13 && d == p.saturday || group == u15 && d == p.longDay
	case 3:
		return group == u17 && d == p.farDay
	}
	return false
}

// stories gives seven juniors more to bowl than the England and Wales figures for their ages allow (spells of 5, 6 and 7
// overs, days of 10, 12 and 18, by age; two days running; four days in seven; nets of 30 or 36 balls):
//
//  1. U13, club 1 and the school: bowls Saturday at the one, Sunday and Monday at the other; neither coach sees all three days.
//  2. U13, club 1: two matches in a day, eleven overs.
//  3. U15, club 1: eight overs off the reel.
//  4. U15, club 1: four overs, a rest of one over from that end, and on again.
//  5. U15, club 1: bowls on five days of seven, the last one yesterday.
//  6. U13, club 2: more balls in one net than the figure for a session.
//  7. U17, club 4: nine overs off the reel.
func (b *builder) stories() {
	const now = seasonCount - 1
	t13, t15, s13 := b.team(now, 0, u13), b.team(now, 0, u15), b.team(now, school, u13)
	three, day := b.cast(t13), b.cast(t13)
	long, early, five := b.cast(t15), b.cast(t15), b.cast(t15)
	nets, far := b.cast(b.team(now, 1, u13)), b.cast(b.team(now, 3, u17))

	if three.also[now] < 0 {
		three.also[now] = school
		b.join(three, now, school, false)
	}
	day.Born = b.bornAt(now, groups[u13].under-2) // stays in the youngest band, whose day is ten overs, all season
	b.plot.three = three
	b.festival(t13, three, day)
	b.slots = append(b.slots,
		slot{date: b.plot.sunday, team: s13, title: "U13, school cup", indoors: b.roofed(b.plot.sunday), kind: domain.OutingMatch,
			format: domain.MatchFormat{OversASide: 20, BowlerCap: 4, BallsInOver: domain.AtMost8}, state: domain.OutingHeld,
			told: []told{{p: three, overs: []int{2, 4, 6, 8}}}},
		slot{date: b.plot.monday, team: s13, title: "Extra nets", indoors: b.roofed(b.plot.monday), kind: domain.OutingNets,
			state: domain.OutingHeld, told: []told{{p: three, balls: 24}}},
		slot{date: b.plot.longDay, team: t15, title: "U15 v a touring side", indoors: b.roofed(b.plot.longDay), kind: domain.OutingMatch,
			format: domain.MatchFormat{OversASide: 40, BowlerCap: 8, BallsInOver: domain.SixValid}, state: domain.OutingHeld,
			told: []told{{p: long, overs: []int{1, 3, 5, 7, 9, 11, 13, 15}}, {p: early, overs: []int{2, 4, 6, 8, 12, 14, 16}}}},
		slot{date: b.cal.lastOn(int(time.Wednesday)), team: b.team(now, 1, u13), title: "Bowlers' nets", kind: domain.OutingNets,
			indoors: b.roofed(b.today), state: domain.OutingHeld, told: []told{{p: nets, balls: 48}}},
		slot{date: b.plot.farDay, team: b.team(now, 3, u17), title: "U17 v a touring side",
			indoors: b.roofed(b.today), kind: domain.OutingMatch, state: domain.OutingHeld,
			format: domain.MatchFormat{OversASide: 50, BowlerCap: 10, BallsInOver: domain.SixValid},
			told:   []told{{p: far, overs: []int{1, 3, 5, 7, 9, 11, 13, 15, 17}}}})
	b.fiveDays(five)
	b.dropEmptied()
}

// festival is the Saturday of two matches.
func (b *builder) festival(t *team, three, day *person) {
	format := domain.MatchFormat{OversASide: 30, BowlerCap: 6, BallsInOver: domain.AtMost8}
	b.slots = append(b.slots,
		slot{date: b.plot.saturday, team: t, title: "U13 festival, morning", indoors: b.roofed(b.plot.saturday), kind: domain.OutingMatch,
			format: format, state: domain.OutingHeld,
			told: []told{{p: three, overs: []int{1, 3, 5, 7}}, {p: day, overs: []int{2, 4, 6, 14, 16, 18}}}},
		slot{date: b.plot.saturday, team: t, title: "U13 festival, afternoon", indoors: b.roofed(b.plot.saturday), kind: domain.OutingMatch,
			format: format, state: domain.OutingHeld, told: []told{{p: day, overs: []int{1, 3, 5, 13, 15}}}})
}

// fiveDays lets somebody bowl on five days of the seven up to yesterday: at the squad's nets where there are any, else at home.
func (b *builder) fiveDays(p *person) {
	const now = seasonCount - 1
	nets := 0
	for _, back := range []int{7, 6, 4, 3, 1} {
		d, done := b.today.AddDays(-back), false
		for i := range b.slots {
			sl := &b.slots[i]
			if !done && nets < 2 && sl.date == d && sl.team == b.team(now, 0, u15) && sl.kind == domain.OutingNets {
				sl.state, sl.told = domain.OutingHeld, append(sl.told, told{p: p, balls: 24})
				done = true
				nets++
			}
		}
		if !done {
			sl := b.homeSlot(p, now, d)
			sl.told = []told{{p: p, balls: 18}}
			b.slots = append(b.slots, sl)
		}
	}
}

// cast finds somebody of a squad for a story: there all season, at no other club, in no other story. Any kind of bowler will
// do; the story makes a fast one of him or her.
func (b *builder) cast(t *team) *person {
	var pick *person
	for _, m := range t.members {
		p := m.p
		if p.story || !p.quit.IsZero() || !m.to.IsZero() || m.from.After(b.today.AddDays(-20)) || p.club[t.season] != t.club {
			continue
		}
		if also := p.also[t.season]; also >= 0 && (also != school || t.group != u13 || t.club != 0) {
			continue
		}
		better := pick == nil || p.Kind == domain.SeamBack && pick.Kind != domain.SeamBack
		if t.club == 0 && t.group == u13 && pick != nil {
			better = better || p.also[t.season] == school && pick.also[t.season] != school
		}
		if better {
			pick = p
		}
	}
	if pick == nil {
		pick = b.newcomer(t.season, t.club, t.group)
		pick.from[t.season] = b.cal.first[t.season]
		b.folk = append(b.folk, pick)
		b.join(pick, t.season, t.club, true)
	}
	pick.story = true
	pick.Kind, pick.other, pick.driftFrom, pick.homely = domain.SeamBack, domain.KindUnknown, domain.Date{}, false
	pick.Since = domain.Date{}
	return pick
}

// dropEmptied takes away home practice that a story's player was to have had around today.
func (b *builder) dropEmptied() {
	kept := b.slots[:0]
	for _, sl := range b.slots {
		if sl.home == nil || !sl.home.story || len(sl.told) > 0 || !b.cal.near(sl.date) {
			kept = append(kept, sl)
		}
	}
	b.slots = kept
}

// roofed reports whether cricket of day d is played indoors.
func (b *builder) roofed(d domain.Date) bool { return b.cal.phase(d) != summer }

// thisWeek makes sure of what the first club's coach finds: nets held yesterday and today, nets planned for today and tomorrow.
func (b *builder) thisWeek() {
	const now = seasonCount - 1
	for _, want := range []struct {
		days, group int
		state       domain.OutingState
	}{{-1, u13, domain.OutingHeld}, {0, u15, domain.OutingHeld}, {0, u13, domain.OutingPlanned}, {1, u15, domain.OutingPlanned}} {
		d, t, there := b.today.AddDays(want.days), b.team(now, 0, want.group), false
		for i := range b.slots {
			if sl := &b.slots[i]; sl.date == d && sl.team == t && sl.home == nil {
				sl.state, sl.sure, there = want.state, true, true
			}
		}
		if !there {
			title := "Nets"
			if b.roofed(d) {
				title = "Indoor nets"
			}
			b.slots = append(b.slots, slot{date: d, team: t, kind: domain.OutingNets, state: want.state, title: title, indoors: b.roofed(d), sure: true})
		}
	}
}
