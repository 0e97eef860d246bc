package demo

import "longspell/internal/domain"

// accounts makes the people to sign in as. The guardian's child is the one of the first story.
func (b *builder) accounts() {
	const now = seasonCount - 1
	club := func(role domain.Role, c int) domain.Appointment {
		return domain.Appointment{Role: role, ClubID: b.w.Clubs[c].ID}
	}
	squad := func(c, g int) domain.Appointment {
		a := club(domain.Coach, c)
		a.SquadID = b.team(now, c, g).ID
		return a
	}
	child := func(c int, p *person) domain.Appointment {
		a := club(domain.Guardian, c)
		a.PlayerID = p.ID
		return a
	}
	b.account("officer@demo.invalid", "Region officer (demo)", domain.Appointment{Role: domain.RegionOfficer})
	b.account("clublead@demo.invalid", "Club lead, "+placeNames[0]+" (demo)", club(domain.ClubLead, 0))
	b.account("coach@demo.invalid", "Coach, "+placeNames[0]+" (demo)", squad(0, u13), squad(0, u15))
	b.account("coach2@demo.invalid", "Coach, "+placeNames[school]+" School (demo)", squad(school, u13), squad(school, u15))
	b.account("guardian@demo.invalid", "Guardian, "+placeNames[0]+" (demo)", child(0, b.plot.three))
	b.account("both@demo.invalid", "Coach and guardian (demo)", squad(2, u13), squad(3, u17), child(4, b.someone(b.team(now, 4, u15))))
}

// someone is the first of a squad who is still there.
func (b *builder) someone(t *team) *person {
	for _, m := range t.members {
		if m.to.IsZero() && m.p.quit.IsZero() && m.p.club[t.season] == t.club {
			return m.p
		}
	}
	return t.members[0].p
}

func (b *builder) account(email, name string, appointments ...domain.Appointment) {
	first := b.cal.first[seasonCount-1]
	a := Account{ID: b.ids.on(b.cal.first[0]), Email: email, DisplayName: name}
	for _, x := range appointments {
		x.ID, x.RegionID, x.AccountID, x.From = b.ids.on(first), b.w.Region.ID, a.ID, first
		a.Appointments = append(a.Appointments, x)
	}
	b.w.Accounts = append(b.w.Accounts, a)
}
