package demo

import (
	"time"

	"longspell/internal/domain"
)

// slot is an outing that is to be: when, who, what, and what a story wants of it.
type slot struct {
	date    domain.Date
	team    *team
	kind    domain.OutingKind
	state   domain.OutingState
	title   string
	indoors bool
	format  domain.MatchFormat // of a match
	home    *person            // whose home practice it is
	told    []told
	sure    bool // this is what the coach is to find: it takes place
}

// told is what a story wants somebody to bowl in a slot: overs of a match, or balls of practice.
type told struct {
	p     *person
	overs []int
	balls int
}

// schedule lays out three seasons of matches, nets and home practice, up to a few days from now.
func (b *builder) schedule() {
	b.plot = newPlot(b.cal)
	for s := range seasonCount {
		for d := b.cal.first[s]; !d.After(b.cal.end(s)); d = d.AddDays(1) {
			ph := b.cal.phase(d)
			if ph == pause {
				continue
			}
			b.fixtures(s, d, ph)
			for _, t := range b.teams {
				if t.season == s {
					b.trains(t, d, ph)
				}
			}
			b.atHome(s, d, ph)
		}
	}
}

// state of a regular outing: what is to come is planned, and so is what the clubs do today.
func (b *builder) state(d domain.Date, indoors bool) domain.OutingState {
	switch {
	case !d.Before(b.today):
		return domain.OutingPlanned
	case b.calledOff(d, indoors):
		return domain.OutingCalledOff
	}
	return domain.OutingHeld
}

// week numbers the weeks from Monday to Sunday.
func week(d domain.Date) int { return d.Sub(unixEpoch.AddDays(-3)) / 7 }

// matchDay is the day of the week on which an age group plays.
var matchDay = [...]time.Weekday{u11: time.Sunday, u13: time.Saturday, u15: time.Sunday, u17: time.Saturday}

// fixtures lets the clubs meet: every club once a round, over eleven rounds (one club in turn has no match).
func (b *builder) fixtures(s int, d domain.Date, ph phase) {
	for g := range groups {
		if d.Weekday() != matchDay[g] || ph == winter && week(d)%4 != g || b.cal.holidays(d) {
			continue
		}
		for i := 1; i <= school/2; i++ {
			round := (week(d) + 3*g) % school
			home, away := (round+i)%school, (round-i+school)%school
			if b.plot.instead(d, g, home) || b.plot.instead(d, g, away) {
				continue
			}
			format, indoors := b.league(g), ph == winter
			if indoors {
				format = domain.MatchFormat{OversASide: 10, BowlerCap: 2, BallsInOver: domain.SixFixed}
			}
			state := b.state(d, indoors)
			for _, c := range [][2]int{{home, away}, {away, home}} {
				title := groups[g].name + " v " + placeNames[c[1]]
				if indoors {
					title += ", indoors"
				}
				b.slots = append(b.slots, slot{date: d, team: b.team(s, c[0], g), kind: domain.OutingMatch, state: state,
					title: title, indoors: indoors, format: format})
			}
		}
	}
	if ph == summer {
		b.otherFixtures(s, d)
	}
}

// league is the format of an age group's matches. Overs and caps are of the kind that junior leagues print (common practice:
// short innings with about a fifth for each bowler; six balls whatever they are for the youngest, at most eight for the next,
// wides and no-balls bowled again for the older ones).
func (b *builder) league(g int) domain.MatchFormat {
	switch g {
	case u11:
		return domain.MatchFormat{OversASide: 16, BowlerCap: 3, BallsInOver: domain.SixFixed}
	case u13:
		return domain.MatchFormat{OversASide: 20, BowlerCap: 4, BallsInOver: domain.AtMost8}
	case u15:
		if b.chance(0.5) {
			return domain.MatchFormat{OversASide: 20, BowlerCap: 4, BallsInOver: domain.SixValid}
		}
	}
	return domain.MatchFormat{OversASide: 40, BowlerCap: 8, BallsInOver: domain.SixValid}
}

// otherFixtures are the girls' evenings and the school's afternoons.
func (b *builder) otherFixtures(s int, d domain.Date) {
	for _, t := range b.teams {
		if t.season != s {
			continue
		}
		sl := slot{date: d, team: t, kind: domain.OutingMatch}
		switch {
		case t.girls && d.Weekday() == time.Friday && week(d)%2 == 0:
			sl.title = "Girls v " + placeNames[girlsAt[(indexOf(girlsAt, t.club)+1+week(d)/2%2)%len(girlsAt)]]
			sl.format = domain.MatchFormat{OversASide: 16, BowlerCap: 3, BallsInOver: domain.AtMost7}
		case t.school && t.group == u13 && d.Weekday() == time.Wednesday && termTime(d):
			sl.title = "U13, house match"
			sl.format = domain.MatchFormat{OversASide: 16, BowlerCap: 4, BallsInOver: domain.FiveFixed}
		case t.school && t.group == u15 && d.Weekday() == time.Saturday && week(d)%2 == 0 && termTime(d):
			sl.title = "U15, a day's match"
			sl.format = domain.MatchFormat{BallsInOver: domain.SixValid}
		default:
			continue
		}
		sl.state = b.state(d, false)
		b.slots = append(b.slots, sl)
	}
}

func indexOf(list []int, v int) int {
	for i, x := range list {
		if x == v {
			return i
		}
	}
	return -1
}

func termTime(d domain.Date) bool {
	_, month, day := d.YMD()
	md := 100*month + day
	return md >= 420 && md <= 710 || md >= 904 && md <= 1215 || md >= 108 && md <= 328
}

// trains adds a squad's nets on its days; in winter every other week, indoors.
func (b *builder) trains(t *team, d domain.Date, ph phase) {
	main := d.Weekday() == t.netDay
	if !main && !(t.twice && d.Weekday() == time.Monday && ph == summer) {
		return
	}
	if t.school && !termTime(d) || t.girls && ph == summer && week(d)%2 == 0 {
		return
	}
	if ph == winter && !b.cal.near(d) && (week(d)+t.club)%2 == 0 {
		return
	}
	sl := slot{date: d, team: t, kind: domain.OutingNets, title: "Nets", indoors: ph == winter, state: b.state(d, ph == winter)}
	if sl.indoors {
		sl.title = "Indoor nets"
	}
	if t.school && week(d)%3 == 0 {
		sl.kind, sl.title = domain.OutingSchool, "Games lesson"
	}
	b.slots = append(b.slots, sl)
}

// atHome adds the practice of those who also bowl at home.
func (b *builder) atHome(s int, d domain.Date, ph phase) {
	p := 0.06
	if ph == winter {
		p = 0.03
	}
	if !d.Before(b.today) {
		return
	}
	for _, who := range b.folk {
		if !who.homely || who.club[s] < 0 || who.away(d, s) || !b.chance(p) {
			continue
		}
		b.slots = append(b.slots, b.homeSlot(who, s, d))
	}
}

func (b *builder) homeSlot(who *person, s int, d domain.Date) slot {
	return slot{date: d, team: b.team(s, who.club[s], b.groupOf(who, s)), kind: domain.OutingHome, state: domain.OutingHeld,
		title: "At home", home: who}
}

// away reports whether a person is not registered on a day of the season, or has stopped coming.
func (p *person) away(d domain.Date, s int) bool {
	return d.Before(p.from[s]) || !p.to[s].IsZero() && d.After(p.to[s]) || !p.quit.IsZero() && d.After(p.quit)
}
