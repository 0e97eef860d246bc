package demo_test

import (
	"testing"
	"time"

	"longspell/internal/demo"
	"longspell/internal/domain"
)

var created = time.Date(2026, 1, 2, 3, 4, 5, 0, time.UTC)

// todays are days on which a region might be started: every day of the week in summer and in winter, ends of months, a leap
// day, and the days about which the calendar turns.
func todays() []domain.Date {
	var out []domain.Date
	for _, first := range []string{"2026-06-29", "2028-02-26"} {
		for i := range 7 {
			out = append(out, domain.MustDate(first).AddDays(i))
		}
	}
	for _, s := range []string{"2026-01-01", "2026-04-07", "2026-04-08", "2026-04-15", "2026-05-14", "2026-05-15", "2026-08-12",
		"2026-09-15", "2026-10-10", "2026-12-25", "2026-12-31"} {
		out = append(out, domain.MustDate(s))
	}
	return out
}

// TestEveryToday builds a region for each of many days, each from a seed of its own, and holds it against everything that must be
// true of any region.
func TestEveryToday(t *testing.T) {
	t.Parallel()
	for i, today := range todays() {
		t.Run(today.String(), func(t *testing.T) {
			t.Parallel()
			w := demo.Build(uint64(i+1), today, created)
			x := newIndex(t, w)
			t.Run("calendar", func(t *testing.T) { checkCalendar(t, w, today) })
			t.Run("references", func(t *testing.T) { checkReferences(t, w, x) })
			t.Run("registered", func(t *testing.T) { checkRegistered(t, w, x) })
			t.Run("overs", func(t *testing.T) { checkOvers(t, w) })
			t.Run("practice", func(t *testing.T) { checkPractice(t, w, today) })
			t.Run("week", func(t *testing.T) { checkThisWeek(t, w, x, today) })
			t.Run("stories", func(t *testing.T) { checkStories(t, w, x, today) })
			t.Run("size", func(t *testing.T) { checkSize(t, w) })
		})
	}
}

// index finds the things of a world by id.
type index struct {
	seasons map[domain.ID]domain.Season
	clubs   map[domain.ID]domain.Club
	squads  map[domain.ID]domain.Squad
	players map[domain.ID]domain.Player
	regs    map[domain.ID][]domain.Registration // by player
	in      map[domain.ID][]domain.SquadPlayer  // by player
}

// newIndex fails where an id stands twice anywhere, or has not the shape of a UUIDv7.
func newIndex(t *testing.T, w demo.World) index {
	t.Helper()
	x := index{map[domain.ID]domain.Season{}, map[domain.ID]domain.Club{}, map[domain.ID]domain.Squad{}, map[domain.ID]domain.Player{},
		map[domain.ID][]domain.Registration{}, map[domain.ID][]domain.SquadPlayer{}}
	seen := make(map[domain.ID]bool, 100_000)
	see := func(id domain.ID) {
		if got, ok := domain.ParseID(string(id)); !ok || got != id || id[14] != '7' || id[19] != '8' && id[19] != '9' && id[19] != 'a' && id[19] != 'b' {
			t.Fatalf("%q is no UUIDv7 in lower case", id)
		}
		if seen[id] {
			t.Fatalf("%q stands twice", id)
		}
		seen[id] = true
	}
	see(w.Region.ID)
	for _, v := range w.Seasons {
		see(v.ID)
		x.seasons[v.ID] = v
	}
	for _, v := range w.Adoptions {
		see(v.ID)
	}
	for _, v := range w.Clubs {
		see(v.ID)
		x.clubs[v.ID] = v
	}
	for _, v := range w.Squads {
		see(v.ID)
		x.squads[v.ID] = v
	}
	for _, v := range w.Players {
		see(v.ID)
		x.players[v.ID] = v
	}
	for _, v := range w.Registrations {
		see(v.ID)
		x.regs[v.PlayerID] = append(x.regs[v.PlayerID], v)
	}
	for _, v := range w.SquadPlayers {
		x.in[v.PlayerID] = append(x.in[v.PlayerID], v)
	}
	for _, a := range w.Accounts {
		see(a.ID)
		for _, ap := range a.Appointments {
			see(ap.ID)
		}
	}
	for _, o := range w.Outings {
		see(o.ID)
		for _, v := range o.Overs {
			see(v.ID)
		}
		for _, v := range o.Practice {
			see(v.ID)
		}
	}
	return x
}

func checkCalendar(t *testing.T, w demo.World, today domain.Date) {
	if len(w.Seasons) != 3 {
		t.Fatalf("%d seasons, want 3", len(w.Seasons))
	}
	for i, s := range w.Seasons {
		_, month, day := s.FirstDay.YMD()
		if month != w.Region.SeasonStartMonth || day != w.Region.SeasonStartDay {
			t.Errorf("season %s begins on %s, the region says %d-%d", s.Name, s.FirstDay, w.Region.SeasonStartMonth, w.Region.SeasonStartDay)
		}
		if i > 0 && s.FirstDay != w.Seasons[i-1].LastDay.AddDays(1) {
			t.Errorf("season %s does not follow on the one before", s.Name)
		}
	}
	now := w.Seasons[2]
	if today.Sub(now.FirstDay) < 30 || today.After(now.LastDay) {
		t.Errorf("the last season runs from %s to %s, which is not well around %s", now.FirstDay, now.LastDay, today)
	}
	if len(w.Adoptions) != 1 || w.Adoptions[0].LimitSet != "ecb-2010" || w.Adoptions[0].From != w.Seasons[0].FirstDay || !w.Adoptions[0].On(today) {
		t.Errorf("adoptions: %+v", w.Adoptions)
	}
	for i, o := range w.Outings {
		if o.Date.Before(w.Seasons[0].FirstDay) || o.Date.After(now.LastDay) {
			t.Fatalf("outing %s on %s is outside of the seasons", o.Title, o.Date)
		}
		if i > 0 && (o.Date.Before(w.Outings[i-1].Date) || o.ID <= w.Outings[i-1].ID) {
			t.Fatalf("outing %d is not in order of date and id", i)
		}
		if o.Date.After(today) != (o.State == domain.OutingPlanned) && o.Date != today {
			t.Fatalf("outing %s on %s is %s", o.Title, o.Date, o.State)
		}
	}
}

func checkThisWeek(t *testing.T, w demo.World, x index, today domain.Date) {
	club := w.Clubs[0].ID
	var yesterday, held, planned, tomorrow, week int
	for _, o := range w.Outings {
		ago := today.Sub(o.Date)
		if ago >= 0 && ago <= 7 && o.State == domain.OutingHeld {
			week++
		}
		if o.ClubID != club || x.squads[o.SquadID].SeasonID != w.Seasons[2].ID {
			continue
		}
		logged := o.State == domain.OutingHeld && len(o.Attendance) > 0
		switch {
		case ago == 1 && logged && o.Kind != domain.OutingHome:
			yesterday++
		case ago == 0 && logged:
			held++
		case ago == 0 && o.State == domain.OutingPlanned && x.squads[o.SquadID].Name == "U13":
			planned++
		case ago == -1 && o.State == domain.OutingPlanned:
			tomorrow++
		}
	}
	if yesterday == 0 || held == 0 || planned == 0 || tomorrow == 0 {
		t.Errorf("club 1 has %d yesterday, %d held and %d of the U13 planned today, %d planned tomorrow; want at least one each", yesterday, held, planned, tomorrow)
	}
	if week < 20 {
		t.Errorf("%d outings held in the last eight days over the region, want 20 or more", week)
	}
}

func checkSize(t *testing.T, w demo.World) {
	var overs, practice, present, asked, held, off int
	for _, o := range w.Outings {
		overs += len(o.Overs)
		practice += len(o.Practice)
		if o.Kind == domain.OutingHome {
			continue
		}
		switch o.State {
		case domain.OutingHeld:
			held++
		case domain.OutingCalledOff:
			off++
		}
		for _, a := range o.Attendance {
			asked++
			if a.Present == domain.PresentYes {
				present++
			}
		}
	}
	within := func(what string, n, lo, hi float64) {
		if n < lo || n > hi {
			t.Errorf("%s: %g, want %g to %g", what, n, lo, hi)
		}
	}
	spin := 0
	for _, p := range w.Players {
		if p.Kind.IsSpin() {
			spin++
		}
	}
	also, moved := movements(w)
	within("clubs", float64(len(w.Clubs)), 12, 12)
	within("players", float64(len(w.Players)), 640, 760)
	within("over log rows", float64(overs), 30_000, 60_000)
	within("practice rows", float64(practice), 15_000, 60_000)
	within("share of spin bowlers", float64(spin)/float64(len(w.Players)), 0.33, 0.47)
	within("share at a second club or the school", also, 0.04, 0.16)
	within("share of those who stayed that moved club", moved, 0.01, 0.08)
	within("share called off", float64(off)/float64(held+off), 0.05, 0.25)
	// Beta(6,3) has the mean 6/(6+3); those who have stopped coming pull it down a little.
	within("attendance", float64(present)/float64(asked), 2./3-0.04, 2./3+0.04)
}

// movements counts, over all seasons, the share of registered juniors with a second registration, and of those registered in two
// seasons running the share whose first club changed.
func movements(w demo.World) (also, moved float64) {
	first := map[domain.ID]map[domain.ID]domain.ID{} // season, player: club
	var firsts, seconds, stayed, changed float64
	for _, r := range w.Registrations {
		if !r.First {
			seconds++
			continue
		}
		firsts++
		if first[r.SeasonID] == nil {
			first[r.SeasonID] = map[domain.ID]domain.ID{}
		}
		first[r.SeasonID][r.PlayerID] = r.ClubID
	}
	for i := 1; i < len(w.Seasons); i++ {
		for p, c := range first[w.Seasons[i].ID] {
			if was, ok := first[w.Seasons[i-1].ID][p]; ok {
				stayed++
				if was != c {
					changed++
				}
			}
		}
	}
	return seconds / firsts, changed / stayed
}
