package naive

import (
	"fmt"
	"math/rand/v2"
	"time"
)

// Question is one random log with what is asked about it.
type Question struct {
	Log         Log
	Ask         Ask
	HasPlayers  bool // false: the players file is not given
	HasOutings  bool
	RandomFiles *rand.Rand // mixes what the file formats leave free
}

// drawer draws one question. The same seed draws the same question.
type drawer struct {
	*rand.Rand
	start   string // the first day of the log
	players []string
	log     Log
}

// Draw draws a question for a limit set. The log is small and crowded: few players, many rules at their edges.
func Draw(limits string, seed uint64) Question {
	var set uint64
	for _, b := range []byte(limits) {
		set = set*131 + uint64(b)
	}
	d := &drawer{Rand: rand.New(rand.NewPCG(seed, set))}
	d.start = d.startDay()
	d.drawPlayers()
	for i := range 1 + d.IntN(4) {
		d.drawMatch(fmt.Sprintf("%s%d", pick(d, "m", "m", "m1", "M", "é"), i))
	}
	often := d.one(4) // nets nearly every day
	for i := range pick(d, d.IntN(14), d.IntN(14), 14) {
		d.drawOuting(fmt.Sprintf("%s%d", pick(d, "o", "o", "O", "m"), i), often)
	}
	d.mixRows()
	q := Question{
		Log: d.log, HasPlayers: !d.one(25), HasOutings: !d.one(10), RandomFiles: d.Rand,
		Ask: Ask{Limits: limits, AsOf: d.asof(), Settings: d.settings(limits)},
	}
	if !q.HasPlayers {
		q.Log.Players = nil
	}
	if !q.HasOutings {
		q.Log.Outings = nil
	}
	return q
}

// one is true once in n times.
func (d *drawer) one(n int) bool { return d.IntN(n) == 0 }

// pick takes one of the values; a value that stands there twice comes twice as often.
func pick[T any](d *drawer, of ...T) T { return of[d.IntN(len(of))] }

// startDay puts the log near a day on which an age rule or the calendar turns.
func (d *drawer) startDay() string {
	near := pick(d, "05-10", "05-10", "12-28", "06-27", "08-28", "02-26", "01-03", "09-01")
	return shift(fmt.Sprintf("%d-%s", 2010+d.IntN(20), near), d.IntN(5)-2)
}

// somewhere draws a date, mostly within ten days, sometimes about five weeks earlier or later.
func (d *drawer) somewhere() string {
	switch {
	case d.one(12):
		return shift(d.start, -33-d.IntN(6))
	case d.one(12):
		return shift(d.start, 33+d.IntN(6))
	}
	return shift(d.start, d.IntN(10))
}

func (d *drawer) drawPlayers() {
	names := []string{"p1", "p10", "p2", "P2", "é1", "a b", `q,"7"`, "p9"}
	d.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
	d.players = names[:2+d.IntN(5)]
	for _, p := range d.players {
		if d.one(12) {
			continue // a player who is not in the file (A2)
		}
		d.log.Players = append(d.log.Players, Player{Player: p, Born: d.born(), Kind: d.kind()})
	}
	if d.one(5) {
		d.log.Players = append(d.log.Players, Player{Player: "nobody", Born: d.born(), Kind: d.kind()})
	}
	d.Shuffle(len(d.log.Players), func(i, j int) { d.log.Players[i], d.log.Players[j] = d.log.Players[j], d.log.Players[i] })
}

// born draws a birth date of somebody of 8 to 20, often at the edge of an age rule.
func (d *drawer) born() string {
	if d.one(12) {
		return ""
	}
	year := civil(d.start).Year() - 8 - d.IntN(13)
	switch d.IntN(8) {
	case 0, 1, 2:
		return fmt.Sprintf("%d-%s", year, pick(d, "08-30", "08-31", "08-31", "09-01", "09-01", "09-02"))
	case 3:
		return fmt.Sprintf("%d-%s", year, pick(d, "06-30", "07-01", "12-31", "01-01", "02-28", "03-01"))
	case 4:
		return fmt.Sprintf("%d-02-29", year/4*4)
	case 5:
		return civil(shift(d.start, d.IntN(4))).AddDate(-8-d.IntN(13), 0, 0).Format(time.DateOnly)
	}
	return shift(fmt.Sprintf("%d-01-01", year), d.IntN(365))
}

// kind draws a bowling kind; fast ones and blanks come often.
func (d *drawer) kind() string {
	return pick(d, "seam_back", "seam_back", "seam_back", "seam_up", "wrist_spin", "finger_spin", "")
}

// asof is mostly not given, else a day in the middle or after the end.
func (d *drawer) asof() string {
	if d.one(2) {
		return ""
	}
	return shift(d.start, d.IntN(18)-3)
}

func (d *drawer) settings(limits string) map[string]string {
	s := map[string]string{}
	if limits == "dvca-2017" {
		if d.one(2) {
			s["spell_spin"] = pick(d, "counts", "exempt", "exempt")
		}
		return s
	}
	if d.one(2) {
		s["spin_in_rest"] = pick(d, "warn", "breach", "breach", "allow")
	}
	if d.one(2) && (limits == "ecb-2010" || limits == "ca-2019") {
		s["nets_make_day"] = pick(d, "yes", "no", "no")
	}
	return s
}

// mixRows puts the rows in another order: the text gives meaning to that order for matches and for outings (A18).
func (d *drawer) mixRows() {
	if d.one(3) {
		return
	}
	d.Shuffle(len(d.log.Overs), func(i, j int) { d.log.Overs[i], d.log.Overs[j] = d.log.Overs[j], d.log.Overs[i] })
	d.Shuffle(len(d.log.Outings), func(i, j int) { d.log.Outings[i], d.log.Outings[j] = d.log.Outings[j], d.log.Outings[i] })
}
