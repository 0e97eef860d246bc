package demo

import "longspell/internal/domain"

// spread decides whether a person also plays somewhere else: at the school, or at a second club.
func (b *builder) spread(p *person, s int) {
	if p.also[s] >= 0 {
		if g := b.groupOf(p, s); p.also[s] == school && g != u13 && g != u15 {
			p.also[s] = -1 // the school has no squad for that age
		}
		return
	}
	g, pupil := b.groupOf(p, s), 0.10
	if p.club[s] == 0 {
		pupil = 0.25 // the school stands next to the first club
	}
	switch {
	case (g == u13 || g == u15) && b.chance(pupil):
		p.also[s] = school
	case b.chance(0.02):
		p.also[s] = (p.club[s] + b.between(1, school-1)) % school
	}
}

// register writes a person into the season: the registrations and the squads that go with them. Some leave in the middle of
// the season; most of those just stop coming, and nobody tells the club.
func (b *builder) register(p *person, s int) {
	if p.from[s].IsZero() {
		p.from[s] = b.cal.first[s]
	}
	last := s == seasonCount-1
	if !last {
		p.to[s] = b.cal.last[s]
	}
	if days := min(150, b.today.AddDays(-20).Sub(b.cal.first[s])); days > 60 && b.chance(0.05) {
		p.quit = b.cal.first[s].AddDays(b.between(50, days))
		if b.chance(0.35) {
			p.to[s] = p.quit
		}
	}
	b.join(p, s, p.club[s], true)
	if p.also[s] >= 0 {
		b.join(p, s, p.also[s], false)
	}
}

func (b *builder) join(p *person, s, club int, first bool) {
	b.w.Registrations = append(b.w.Registrations, domain.Registration{ID: b.ids.on(p.from[s]), PlayerID: p.ID,
		ClubID: b.w.Clubs[club].ID, SeasonID: b.w.Seasons[s].ID, First: first, From: p.from[s], To: p.to[s]})
	g := b.groupOf(p, s)
	b.enlist(b.team(s, club, g), p)
	if p.Sex != domain.Female || g != u13 && g != u15 {
		return
	}
	for _, t := range b.teams {
		if t.season == s && t.club == club && t.girls {
			b.enlist(t, p)
		}
	}
}

func (b *builder) enlist(t *team, p *person) {
	t.members = append(t.members, member{p, p.from[t.season], p.to[t.season]})
	b.w.SquadPlayers = append(b.w.SquadPlayers, domain.SquadPlayer{SquadID: t.ID, PlayerID: p.ID, From: p.from[t.season], To: p.to[t.season]})
}
