package demo

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"time"

	"longspell/internal/domain"
)

// Password opens every account of the demo region. It guards nothing but invented data.
const Password = "demo region only please"

// World is a whole invented region. Every id that is named anywhere in it stands in it; Outings are in order of date and
// hold their Attendance, Overs and Practice.
type World struct {
	Region        domain.Region
	Seasons       []domain.Season // oldest first; the last one contains today
	Adoptions     []domain.Adoption
	Clubs         []domain.Club // the first is the one whose coach has most to read; the last is a school
	Squads        []domain.Squad
	Players       []domain.Player
	Registrations []domain.Registration
	SquadPlayers  []domain.SquadPlayer
	Accounts      []Account
	Outings       []domain.Outing
}

// Account is somebody to sign in as, with Password. Each appointment names ID as its account.
type Account struct {
	ID           domain.ID
	Email        string
	DisplayName  string
	Appointments []domain.Appointment
}

// Build invents the region as it stands on day today. now only says when the region was created; nothing else follows it.
// today must lie far enough inside the years that a Date may have for three seasons to fit.
func Build(seed uint64, today domain.Date, now time.Time) World {
	r := rand.New(rand.NewPCG(seed, uint64(today.Serial())))
	b := &builder{r: r, ids: newIDMaker(r), today: today, cal: newCalendar(today)}
	b.rain()
	b.region(now)
	b.clubs()
	b.squads()
	b.people()
	b.schedule()
	b.stories()
	b.thisWeek()
	b.play()
	b.accounts()
	return b.w
}

// builder carries what is known while the region grows.
type builder struct {
	r     *rand.Rand
	ids   *idMaker
	today domain.Date
	cal   calendar
	wet   []bool // by day from the first day of the oldest season
	w     World

	teams  []*team // all squads of all seasons
	folk   []*person
	slots  []slot
	plot   plot
	called map[string]bool // full names given so far
}

// team is a squad with its members and habits.
type team struct {
	domain.Squad
	club    int
	season  int
	group   int // index into groups; the girls' squads stand with U15
	girls   bool
	school  bool
	members []member
	netDay  time.Weekday
	twice   bool // a second net on Mondays
}

// member is a person's time in a squad.
type member struct {
	p        *person
	from, to domain.Date // to zero = still
}

func (m member) on(d domain.Date) bool {
	return !d.Before(m.from) && (m.to.IsZero() || !d.After(m.to))
}

// team finds a club's squad of an age group in a season; nil if there is none.
func (b *builder) team(season, club, group int) *team {
	for _, t := range b.teams {
		if t.season == season && t.club == club && t.group == group && !t.girls {
			return t
		}
	}
	return nil
}

// play fills the slots in order of date, because what somebody bowls depends on what he bowled before.
func (b *builder) play() {
	slices.SortStableFunc(b.slots, func(x, y slot) int { return x.date.Compare(y.date) })
	b.w.Outings = make([]domain.Outing, 0, len(b.slots))
	for i := range b.slots {
		b.w.Outings = append(b.w.Outings, b.outing(&b.slots[i]))
	}
	// Only now: the stories have bent a few birth dates and kinds.
	for _, p := range b.folk {
		b.w.Players = append(b.w.Players, p.Player)
	}
	slices.SortStableFunc(b.w.Players, func(x, y domain.Player) int { return cmp.Compare(x.ID, y.ID) })
}

// chance is true with probability p.
func (b *builder) chance(p float64) bool { return b.r.Float64() < p }

// between is a whole number from lo to hi, both included.
func (b *builder) between(lo, hi int) int { return lo + b.r.IntN(hi-lo+1) }
