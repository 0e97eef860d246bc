package demo

import (
	"fmt"
	"time"

	"longspell/internal/domain"
)

// groups are the age groups of the squads: under the age on the season's age day.
var groups = []struct {
	name  string
	under int
}{{"U11", 11}, {"U13", 13}, {"U15", 15}, {"U17", 17}}

const (
	u11 = iota
	u13
	u15
	u17
)

// school is the place of the school among the clubs; the clubs before it play each other.
const school = 11

// girlsAt are the clubs with a squad for girls besides the mixed ones.
var girlsAt = []int{0, 3, 6}

func (b *builder) region(now time.Time) {
	b.w.Region = domain.Region{ID: b.ids.on(b.cal.first[0]), Name: regionName, TimeZone: "Europe/London",
		SeasonStartMonth: b.cal.startMonth, SeasonStartDay: b.cal.startDay, Demo: true, CreatedAt: now}
	for i := range seasonCount {
		b.w.Seasons = append(b.w.Seasons, domain.Season{ID: b.ids.on(b.cal.first[i]), Name: fmt.Sprint(b.cal.year[i]),
			FirstDay: b.cal.first[i], LastDay: b.cal.last[i]})
	}
	b.w.Adoptions = []domain.Adoption{{ID: b.ids.on(b.cal.first[0]), LimitSet: "ecb-2010", From: b.cal.first[0]}}
}

func (b *builder) clubs() {
	for i, place := range placeNames {
		name := place + " Cricket Club"
		if i == school {
			name = place + " School"
		}
		b.w.Clubs = append(b.w.Clubs, domain.Club{ID: b.ids.on(b.cal.first[0]), Name: name, ShortName: place})
	}
}

// squads makes every club's squads of every season. The squads of seasons gone by carry their year in the name.
func (b *builder) squads() {
	for s := range seasonCount {
		for c := range placeNames {
			for g := range groups {
				if c == school && g != u13 && g != u15 {
					continue
				}
				b.addTeam(s, c, g, false)
			}
		}
		for _, c := range girlsAt {
			b.addTeam(s, c, u15, true)
		}
	}
}

func (b *builder) addTeam(season, club, group int, girls bool) {
	name := groups[group].name
	if girls {
		name = "Girls " + name
	}
	if season < seasonCount-1 {
		name = fmt.Sprintf("%s (%d)", name, b.cal.year[season])
	}
	t := &team{season: season, club: club, group: group, girls: girls, school: club == school}
	t.Squad = domain.Squad{ID: b.ids.on(b.cal.first[season]), ClubID: b.w.Clubs[club].ID, SeasonID: b.w.Seasons[season].ID,
		Name: name, AgeGroup: groups[group].name}
	t.netDay = time.Tuesday + time.Weekday((club+group)%4)
	switch {
	case girls:
		t.netDay = time.Wednesday
	case t.school:
		t.netDay = time.Thursday
	default:
		t.twice = (group == u13 || group == u15) && club%2 == 0
	}
	b.teams = append(b.teams, t)
	b.w.Squads = append(b.w.Squads, t.Squad)
}
