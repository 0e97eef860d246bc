package demo

import (
	"fmt"

	"longspell/internal/domain"
)

// person is a junior with the habits that make the logs.
type person struct {
	domain.Player
	keen   float64 // chance to come
	eager  float64 // weight when a bowler is looked for, 0..1
	homely bool    // practises at home too

	other     domain.BowlingKind // bowled now and then, or drifted to
	otherPart float64            // how often, where there is no drift
	driftFrom domain.Date        // zero = no drift

	club [seasonCount]int // first club; -1 = not registered
	also [seasonCount]int // second club or school; -1 = none
	quit domain.Date      // stops coming; zero = does not
	from [seasonCount]domain.Date
	to   [seasonCount]domain.Date

	story bool // has a part in a story: bowls nothing else around today
	mem   memory
}

// people grows the region season by season: who stays, moves, leaves and comes new.
func (b *builder) people() {
	b.called = map[string]bool{}
	size := b.sizes()
	for s := range seasonCount {
		if s > 0 {
			b.carryOver(s)
		}
		have := map[[2]int]int{}
		for _, p := range b.folk {
			if p.club[s] >= 0 {
				have[[2]int{p.club[s], b.groupOf(p, s)}]++
			}
		}
		for c := range school {
			for g := range groups {
				for have[[2]int{c, g}] < size[[2]int{c, g}] {
					b.folk = append(b.folk, b.newcomer(s, c, g))
					have[[2]int{c, g}]++
				}
			}
		}
		for _, p := range b.folk {
			if p.club[s] >= 0 {
				b.spread(p, s)
				b.register(p, s)
			}
		}
	}
}

// sizes says how many a club's squad should have when a season begins: seven to thirteen, about the same sum over all clubs.
func (b *builder) sizes() map[[2]int]int {
	size := map[[2]int]int{}
	for i, at := range b.r.Perm(school * len(groups)) {
		size[[2]int{at / len(groups), at % len(groups)}] = 7 + i%7
	}
	for _, at := range [][2]int{{0, u13}, {0, u15}, {3, u17}} {
		size[at] = max(size[at], 12) // the stories need full sides
	}
	return size
}

// groupOf is the age group of a person in a season, len(groups) if too old for any.
func (b *builder) groupOf(p *person, season int) int {
	age := domain.AgeOn(p.Born, b.cal.ageDay(season))
	for g := range groups {
		if age < groups[g].under {
			return g
		}
	}
	return len(groups)
}

// carryOver decides who of the season before is still there, and at which club.
func (b *builder) carryOver(s int) {
	for _, p := range b.folk {
		if p.club[s-1] < 0 || !p.quit.IsZero() {
			continue
		}
		g := b.groupOf(p, s)
		if g == len(groups) || !b.chance([]float64{0.94, 0.90, 0.88, 0.84}[g]) {
			continue
		}
		p.club[s] = p.club[s-1]
		if b.chance(0.04) {
			p.club[s] = (p.club[s-1] + b.between(1, school-1)) % school
		}
		if also := p.also[s-1]; also >= 0 && also != p.club[s] && b.chance(0.7) {
			p.also[s] = also
		}
	}
}

// newcomer invents somebody who joins a club in a season.
func (b *builder) newcomer(s, club, g int) *person {
	girl := b.chance(0.27)
	p := &person{club: [seasonCount]int{-1, -1, -1}, also: [seasonCount]int{-1, -1, -1}}
	p.club[s] = club
	p.from[s] = b.cal.first[s]
	if s > 0 && b.chance(0.3) {
		room := min(42, b.today.AddDays(-14).Sub(b.cal.first[s]))
		p.from[s] = b.cal.first[s].AddDays(b.between(0, room))
	}
	p.Player = domain.Player{ID: b.ids.on(p.from[s]), Reference: fmt.Sprintf("D%04d", len(b.folk)+1), Name: b.name(girl),
		Sex: domain.Male, Arm: domain.ArmRight}
	if girl {
		p.Sex = domain.Female
	}
	if b.chance(0.16) {
		p.Arm = domain.ArmLeft
	}
	// Born on one of the days that make the age on the age day one of the two years of the group.
	p.Born = b.bornAt(s, groups[g].under-b.between(1, 2))
	p.keen = b.beta63()
	p.eager = 0.25 + 0.75*b.r.Float64()
	p.homely = b.chance(0.12)
	b.bowls(p, s)
	return p
}

// bornAt is a birth date of somebody who has the given age on the season's age day.
func (b *builder) bornAt(s, age int) domain.Date {
	last := domain.MustDate(fmt.Sprintf("%04d-08-31", b.cal.year[s]-1-age))
	return last.AddDays(-b.between(0, 364))
}

// beta63 draws from Beta(6,3): the sixth smallest of eight uniform numbers.
func (b *builder) beta63() float64 {
	var u [8]float64
	for i := range u {
		v, j := b.r.Float64(), i
		for ; j > 0 && u[j-1] > v; j-- {
			u[j] = u[j-1]
		}
		u[j] = v
	}
	return u[5]
}

// bowls says what a person bowls: about two in five bowl spin, and of those one in eight slides to seam.
func (b *builder) bowls(p *person, s int) {
	switch x := b.r.Float64(); {
	case x < 0.16:
		p.Kind = domain.WristSpin
	case x < 0.40:
		p.Kind = domain.FingerSpin
	case x < 0.66:
		p.Kind = domain.SeamUp
	default:
		p.Kind = domain.SeamBack
	}
	seam := domain.SeamUp
	if b.chance(0.4) {
		seam = domain.SeamBack
	}
	switch {
	case p.Kind.IsSpin() && b.chance(0.13):
		p.other = seam
		p.driftFrom = b.cal.first[s].AddDays(b.between(20, 500))
	case p.Kind.IsSpin():
		if b.chance(0.1) {
			p.other, p.otherPart = domain.SeamUp, 0.1
		}
	case b.chance(0.12):
		p.other, p.otherPart = domain.FingerSpin, 0.2
	}
	if p.Kind.IsSpin() || p.other.IsSpin() {
		p.Since = p.Born.AddDays(b.between(8*365, 12*365))
		if latest := b.today.AddDays(-b.between(40, 300)); p.Since.After(latest) {
			p.Since = latest
		}
	}
}

// kindOn draws what a person bowls on a day: a drift grows over seven months.
func (b *builder) kindOn(p *person, d domain.Date) domain.BowlingKind {
	part := p.otherPart
	if !p.driftFrom.IsZero() && d.After(p.driftFrom) {
		part = min(0.9, float64(d.Sub(p.driftFrom))/210)
	}
	if p.other != domain.KindUnknown && part > 0 && b.chance(part) {
		return p.other
	}
	return p.Kind
}
