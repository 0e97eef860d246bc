package load

import (
	"slices"

	"longspell/internal/domain"
)

// The windows, in days.
const (
	weekDays      = 7
	fourWeekDays  = 28
	usualFromDays = weekDays + fourWeekDays // days of history without which there is no usual week
)

// Over is one bowler's part of one over, as load needs it. In is shared by all bowlers of the innings.
type Over struct {
	Date    domain.Date
	Match   string
	Innings int
	Over    int
	Balls   int
	Valid   int
	In      *domain.Innings
}

// Outing is what was bowled at an outing that was not logged over by over; it was held and the player was there.
type Outing struct {
	Date  domain.Date
	Balls int
	Overs int // that it counts for: domain.CountedOvers
}

// PlayerLog is one player's bowling: overs in order of play, outings by date. First is the first date of any row of the
// player, also of an outing called off or missed; zero = the first date in the log.
type PlayerLog struct {
	Player  string
	First   domain.Date
	Overs   []Over
	Outings []Outing
}

// Count is balls bowled, valid balls and begun overs.
type Count struct {
	Balls int `json:"balls"`
	Valid int `json:"valid"`
	Overs int `json:"overs"`
}

// Window is a count over some days, with the number of dates that had bowling.
type Window struct {
	Count
	Days int `json:"days"`
}

// Day is the count of one date.
type Day struct {
	Date domain.Date `json:"date"`
	Count
}

// Spell is one spell of the over log; a break of 40 minutes begins a new one.
type Spell struct {
	Match     string `json:"match"`
	Innings   int    `json:"innings"`
	FirstOver int    `json:"first_over"`
	LastOver  int    `json:"last_over"`
	Overs     int    `json:"overs"`
	Balls     int    `json:"balls"`
	Valid     int    `json:"valid"`
}

// PlayerLoad is what a player's log comes to on a day. Last and DaysSince are nil where nothing was bowled; UsualWeekBalls is
// the balls of the 28 days before the last seven, divided by four, and nil with less than 35 days of history.
type PlayerLoad struct {
	Player         string       `json:"player"`
	Last           *domain.Date `json:"last"`
	DaysSince      *int         `json:"days_since"`
	Day            Count        `json:"day"`
	Days7          Window       `json:"days_7"`
	Days28         Window       `json:"days_28"`
	UsualWeekBalls *float64     `json:"usual_week_balls"`
	ByDay          []Day        `json:"by_day"`
	Spells         []Spell      `json:"spells"`
}

// Of counts a player's log on a day. Rows after it are left out; the ends and breaks of Innings are taken as they are.
func Of(log PlayerLog, asOf domain.Date) PlayerLoad {
	out := PlayerLoad{Player: log.Player, ByDay: byDay(log, asOf), Spells: spells(log.Overs, asOf)}
	usual := 0
	for _, d := range out.ByDay {
		ago := asOf.Sub(d.Date)
		if ago == 0 {
			out.Day = d.Count
		}
		if ago < weekDays {
			out.Days7.add(d.Count)
		} else if ago < usualFromDays {
			usual += d.Balls
		}
		if ago < fourWeekDays {
			out.Days28.add(d.Count)
		}
	}
	first := log.First
	if n := len(out.ByDay); n > 0 {
		last := out.ByDay[n-1].Date
		since := asOf.Sub(last)
		out.Last, out.DaysSince = &last, &since
		if first.IsZero() || out.ByDay[0].Date.Before(first) {
			first = out.ByDay[0].Date
		}
	}
	if !first.IsZero() && asOf.Sub(first) >= usualFromDays {
		week := float64(usual) / (fourWeekDays / weekDays)
		out.UsualWeekBalls = &week
	}
	return out
}

func (w *Window) add(c Count) {
	w.Count.add(c)
	w.Days++
}

func (c *Count) add(d Count) {
	c.Balls += d.Balls
	c.Valid += d.Valid
	c.Overs += d.Overs
}

// byDay sums overs and outings by date, up to asOf.
func byDay(log PlayerLog, asOf domain.Date) []Day {
	days := make([]Day, 0, len(log.Overs)+len(log.Outings))
	for _, o := range log.Overs {
		days = append(days, Day{Date: o.Date, Count: Count{Balls: o.Balls, Valid: o.Valid, Overs: 1}})
	}
	for _, o := range log.Outings {
		days = append(days, Day{Date: o.Date, Count: Count{Balls: o.Balls, Valid: o.Balls, Overs: o.Overs}})
	}
	slices.SortStableFunc(days, func(a, b Day) int { return a.Date.Compare(b.Date) })
	out := days[:0]
	for _, d := range days {
		switch n := len(out); {
		case d.Balls <= 0 || d.Date.After(asOf):
		case n > 0 && out[n-1].Date == d.Date:
			out[n-1].add(d.Count)
		default:
			out = append(out, d)
		}
	}
	return slices.Clip(out)
}

// spells divides overs that are in order of play into spells.
func spells(overs []Over, asOf domain.Date) []Spell {
	out := []Spell{}
	for i := range overs {
		o := &overs[i]
		if o.Date.After(asOf) {
			break
		}
		if i == 0 || !goesOn(&overs[i-1], o) {
			out = append(out, Spell{Match: o.Match, Innings: o.Innings, FirstOver: o.Over})
		}
		sp := &out[len(out)-1]
		sp.LastOver = o.Over
		sp.Overs++
		sp.Balls += o.Balls
		sp.Valid += o.Valid
	}
	return out
}

func goesOn(before, o *Over) bool {
	return before.Match == o.Match && before.Innings == o.Innings && before.Date == o.Date &&
		o.In.Join(before.Over, o.Over, domain.LongBreakMin) == domain.SameSpell
}
