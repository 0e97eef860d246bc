package naive

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Over is one row of overs.csv: one bowler in one over. Blank is "" or, for numbers, 0; Valid is -1 where blank.
type Over struct {
	Match, Date string
	Day         int
	OversASide  int
	BowlerCap   int
	Innings     int
	Over        int
	End         string
	Player      string
	Kind        string
	Balls       int
	Valid       int
	BreakMin    int
}

// Outing is one row of outings.csv. Balls is -1 where blank; Overs is in cricket notation as it stands in the file.
type Outing struct {
	Outing, Date, Kind, State, Player, Present, BowlingKind string
	Balls                                                   int
	Overs                                                   string
}

// Player is one row of players.csv. Born and Kind may be blank.
type Player struct {
	Player, Born, Kind string
}

// Log is the content of the three files, rows in the order of the file.
type Log struct {
	Players []Player
	Overs   []Over
	Outings []Outing
}

// until leaves out the rows after asof (A1) and tells the day of the answer: asof, else the latest date of any row.
func (l Log) until(asof string) (Log, string) {
	if asof == "" {
		for _, o := range l.Overs {
			asof = max(asof, o.Date)
		}
		for _, o := range l.Outings {
			asof = max(asof, o.Date)
		}
	}
	cut := Log{Players: l.Players}
	for _, o := range l.Overs {
		if o.Date <= asof {
			cut.Overs = append(cut.Overs, o)
		}
	}
	for _, o := range l.Outings {
		if o.Date <= asof {
			cut.Outings = append(cut.Outings, o)
		}
	}
	return cut, asof
}

// counts is A7: held, present or blank, and some balls.
func (o Outing) counts() bool {
	return o.State == "held" && (o.Present == "yes" || o.Present == "") && o.balls() > 0
}

// balls is A7: balls, if blank overs at six to the over.
func (o Outing) balls() int {
	if o.Balls >= 0 {
		return o.Balls
	}
	whole, rest := notation(o.Overs)
	return whole*6 + rest
}

// overs is A7: overs if given, else balls / 6, a begun over as one; nets and home count none.
func (o Outing) overs() int {
	if o.Kind == "nets" || o.Kind == "home" {
		return 0
	}
	if o.Overs == "" {
		return (o.Balls + 5) / 6
	}
	whole, rest := notation(o.Overs)
	if rest > 0 {
		whole++
	}
	return whole
}

// notation reads overs in cricket notation: 3.4 is three overs and four balls.
func notation(s string) (overs, balls int) {
	if s == "" {
		return 0, 0
	}
	whole, rest, _ := strings.Cut(s, ".")
	return number(whole), number(rest)
}

func number(s string) int {
	if s == "" {
		return 0
	}
	n, err := strconv.Atoi(s)
	if err != nil {
		panic(fmt.Sprintf("naive: %q is not a number", s))
	}
	return n
}

// valid is A4: blank is the same as balls.
func (o Over) valid() int {
	if o.Valid < 0 {
		return o.Balls
	}
	return o.Valid
}

// players lists, in order of reference, everybody with a row; counted asks for a counted one.
func (l Log) players(counted bool) []string {
	var all []string
	for _, o := range l.Overs {
		all = append(all, o.Player)
	}
	for _, o := range l.Outings {
		if !counted || o.counts() {
			all = append(all, o.Player)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// listed finds a player; one that does not stand in the file has nothing known (A2).
func (l Log) listed(player string) Player {
	for _, p := range l.Players {
		if p.Player == player {
			return p
		}
	}
	return Player{Player: player}
}

// kindOf is A3: a blank kind is the player's usual one.
func (l Log) kindOf(player, kind string) string {
	if kind == "" {
		return l.listed(player).Kind
	}
	return kind
}

// matches lists the matches in the order in which they first stand in the file (A18).
func (l Log) matches() []string {
	var order []string
	for _, o := range l.Overs {
		if !slices.Contains(order, o.Match) {
			order = append(order, o.Match)
		}
	}
	return order
}

// civil reads a date as a day without time.
func civil(date string) time.Time {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		panic(fmt.Sprintf("naive: %q is not a date", date))
	}
	return t
}

// daysFrom is the number of days from a to b.
func daysFrom(a, b string) int { return int(civil(b).Sub(civil(a)).Hours()) / 24 }

// shift is the date n days later.
func shift(date string, n int) string { return civil(date).AddDate(0, 0, n).Format(time.DateOnly) }
