package naive

import "slices"

// dayOvers lists the overs of a player on a date as A18 counts them: matches as they first stand in the file, innings, overs.
func (c *checker) dayOvers(player, date string) []Over {
	var all []Over
	for _, match := range c.log.matches() {
		var here []Over
		for _, o := range c.log.Overs {
			if o.Match == match && o.Player == player && o.Date == date {
				here = append(here, o)
			}
		}
		slices.SortFunc(here, func(a, b Over) int {
			if a.Innings != b.Innings {
				return a.Innings - b.Innings
			}
			return a.Over - b.Over
		})
		all = append(all, here...)
	}
	return all
}

// dayOutings lists the counted outings of a player on a date, in the order of the file.
func (c *checker) dayOutings(player, date string) []Outing {
	var all []Outing
	for _, o := range c.log.Outings {
		if o.Player == player && o.Date == date && o.counts() {
			all = append(all, o)
		}
	}
	return all
}

// dates lists the dates with a counted row of a player.
func (c *checker) dates(player string) []string {
	var all []string
	for _, o := range c.log.Overs {
		if o.Player == player {
			all = append(all, o.Date)
		}
	}
	for _, o := range c.log.Outings {
		if o.Player == player && o.counts() {
			all = append(all, o.Date)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// dayCounted is what A17 counts of a date.
func (c *checker) dayCounted(player, date string) int {
	n := 0
	for _, o := range c.dayOutings(player, date) {
		if c.dayAll || c.isFast(c.log, player, o.BowlingKind) {
			n += o.overs()
		}
	}
	for _, o := range c.dayOvers(player, date) {
		if c.judges(o) && (c.dayAll || c.isFast(c.log, player, o.Kind)) {
			n++
		}
	}
	return n
}

// dayCap is A17, A18 and A19.
func (c *checker) dayCap(player string) {
	for _, date := range c.dates(player) {
		b := c.band(c.log, player, date)
		if b == nil {
			continue
		}
		n, fastSeen := 0, !c.england // A17: England from the first fast over of the day on, the others from the start
		for _, o := range c.dayOutings(player, date) {
			fast := c.isFast(c.log, player, o.BowlingKind)
			if o.overs() == 0 || !c.dayAll && !fast {
				continue
			}
			n += o.overs()
			fastSeen = fastSeen || fast
			if n > b.day && fastSeen {
				c.past(c.atOuting(o, "day_overs"), b.day, n)
			}
		}
		for _, o := range c.dayOvers(player, date) {
			fast := c.isFast(c.log, player, o.Kind)
			if !c.judges(o) || !c.dayAll && !fast {
				continue
			}
			n++
			fastSeen = fastSeen || fast
			if n > b.day && fastSeen {
				c.past(c.atOver(o, "day_overs", c.weight), b.day, n)
			}
		}
	}
}

// bowlingDay is A20.
func (c *checker) bowlingDay(player, date string) bool {
	for _, o := range c.dayOvers(player, date) {
		if c.isFast(c.log, player, o.Kind) && c.judges(o) {
			return true
		}
	}
	for _, o := range c.dayOutings(player, date) {
		practice := o.Kind == "nets" || o.Kind == "home"
		if c.isFast(c.log, player, o.BowlingKind) && (!practice || c.settings["nets_make_day"] != "no") {
			return true
		}
	}
	return false
}

// daysIn7 is A20: bowling days in d-6..d.
func (c *checker) daysIn7(player, date string) int {
	n := 0
	for back := range 7 {
		if c.bowlingDay(player, shift(date, -back)) {
			n++
		}
	}
	return n
}

// run is A20: the length of the run of bowling days that ends on a date.
func (c *checker) run(player, date string) int {
	n := 0
	for c.bowlingDay(player, shift(date, -n)) {
		n++
	}
	return n
}

// bowlingDays is A20: a finding on each bowling day that breaks a number.
func (c *checker) bowlingDays(player string) {
	for _, date := range c.dates(player) {
		b := c.band(c.log, player, date)
		if b == nil || b.days == 0 || !c.bowlingDay(player, date) {
			continue
		}
		f := Finding{Player: player, Date: date, Weight: c.daysWeight, AgeGroup: c.groupName(c.log, player, date)}
		if n := c.daysIn7(player, date); n > b.days {
			f.Limit = "days_in_7"
			c.past(f, b.days, n)
		}
		if n := c.run(player, date); n > b.inARow {
			f.Limit = "run_of_days"
			c.past(f, b.inARow, n)
		}
	}
}

// netPractice is A21. Several net outings of one date count in the order of the file.
func (c *checker) netPractice(player string) {
	var fastNets []Outing
	for _, date := range c.dates(player) {
		for _, o := range c.dayOutings(player, date) {
			if o.Kind == "nets" && c.isFast(c.log, player, o.BowlingKind) {
				fastNets = append(fastNets, o)
			}
		}
	}
	for i, o := range fastNets {
		b := c.band(c.log, player, o.Date)
		if b == nil || b.nets == 0 {
			continue
		}
		if o.balls() > b.netBalls {
			c.past(c.atOuting(o, "net_balls"), b.netBalls, o.balls())
		}
		n := 0
		for _, before := range fastNets[:i+1] {
			if daysFrom(before.Date, o.Date) <= 6 {
				n++
			}
		}
		if n > b.nets {
			c.past(c.atOuting(o, "net_per_week"), b.nets, n)
		}
	}
}
