package naive

import "slices"

// Amount is what was bowled over some days.
type Amount struct {
	Balls int `json:"balls"`
	Valid int `json:"valid"`
	Overs int `json:"overs"`
}

// Window is an amount with its dates with bowling.
type Window struct {
	Amount
	Days int `json:"days"`
}

// LoadDay is one date with bowling.
type LoadDay struct {
	Date string `json:"date"`
	Amount
}

// LoadSpell is a spell in the answer of load.
type LoadSpell struct {
	Match     string `json:"match"`
	Innings   int    `json:"innings"`
	FirstOver int    `json:"first_over"`
	LastOver  int    `json:"last_over"`
	Amount
}

// LoadPlayer is the load of one player.
type LoadPlayer struct {
	Player         string      `json:"player"`
	Last           *string     `json:"last"`
	DaysSince      *int        `json:"days_since"`
	Day            Amount      `json:"day"`
	Days7          Window      `json:"days_7"`
	Days28         Window      `json:"days_28"`
	UsualWeekBalls *float64    `json:"usual_week_balls"`
	ByDay          []LoadDay   `json:"by_day"`
	Spells         []LoadSpell `json:"spells"`
}

// LoadAnswer is the answer of load.
type LoadAnswer struct {
	AsOf    *string      `json:"asof"`
	Players []LoadPlayer `json:"players"`
}

// Load answers load (D). A blank asof is the latest date of any row.
func Load(log Log, asof string) LoadAnswer {
	log, asof = log.until(asof)
	a := LoadAnswer{Players: []LoadPlayer{}}
	if asof != "" {
		a.AsOf = &asof
	}
	for _, player := range log.players(false) {
		a.Players = append(a.Players, log.loadOf(player, asof))
	}
	return a
}

func (l Log) loadOf(player, asof string) LoadPlayer {
	p := LoadPlayer{Player: player, ByDay: l.byDay(player), Spells: []LoadSpell{}}
	if n := len(p.ByDay); n > 0 {
		last := p.ByDay[n-1].Date
		p.Last, p.DaysSince = new(last), new(daysFrom(last, asof))
	}
	p.Day = between(p.ByDay, asof, asof).Amount
	p.Days7 = between(p.ByDay, shift(asof, -6), asof)
	p.Days28 = between(p.ByDay, shift(asof, -27), asof)
	if daysFrom(l.firstDate(player), asof) >= 35 {
		// the 28 days before the last 7
		p.UsualWeekBalls = new(float64(between(p.ByDay, shift(asof, -34), shift(asof, -7)).Balls) / 4)
	}
	for _, s := range l.spells(player, 40) {
		row := LoadSpell{Match: s.first().Match, Innings: s.first().Innings, FirstOver: s.first().Over, LastOver: s.last().Over}
		for _, o := range s.overs {
			row.add(o.Balls, o.valid(), 1)
		}
		p.Spells = append(p.Spells, row)
	}
	return p
}

func (a *Amount) add(balls, valid, overs int) {
	a.Balls += balls
	a.Valid += valid
	a.Overs += overs
}

// byDay lists the dates with bowling; valid of an outing is its balls.
func (l Log) byDay(player string) []LoadDay {
	c := checker{log: l}
	all := []LoadDay{}
	for _, date := range c.dates(player) {
		day := LoadDay{Date: date}
		for _, o := range c.dayOutings(player, date) {
			day.add(o.balls(), o.balls(), o.overs())
		}
		for _, o := range c.dayOvers(player, date) {
			day.add(o.Balls, o.valid(), 1)
		}
		all = append(all, day)
	}
	return all
}

func between(days []LoadDay, from, to string) Window {
	var w Window
	for _, d := range days {
		if d.Date >= from && d.Date <= to {
			w.add(d.Balls, d.Valid, d.Overs)
			w.Days++
		}
	}
	return w
}

// firstDate is the player's first date in any row, also of an outing called off or missed.
func (l Log) firstDate(player string) string {
	var dates []string
	for _, o := range l.Overs {
		if o.Player == player {
			dates = append(dates, o.Date)
		}
	}
	for _, o := range l.Outings {
		if o.Player == player {
			dates = append(dates, o.Date)
		}
	}
	return slices.Min(dates)
}
