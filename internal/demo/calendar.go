package demo

import (
	"fmt"

	"longspell/internal/domain"
)

const seasonCount = 3

// calendar knows the seasons around today and what time of the cricketing year a day is.
type calendar struct {
	today      domain.Date
	startMonth int
	startDay   int
	first      [seasonCount]domain.Date
	last       [seasonCount]domain.Date
	year       [seasonCount]int
}

// newCalendar lays three seasons so that the last contains today and the week after it, and is thirty days old (see doc.go).
func newCalendar(today domain.Date) calendar {
	c := calendar{today: today, startMonth: 4, startDay: 15}
	year, month, day := today.YMD()
	md := 100*month + day
	if md >= 408 && md < 515 {
		c.startMonth, c.startDay = 3, 1
	}
	if md < 100*c.startMonth+c.startDay {
		year--
	}
	for i := range seasonCount {
		y := year - (seasonCount - 1) + i
		c.year[i] = y
		c.first[i] = c.start(y)
		c.last[i] = c.start(y + 1).AddDays(-1)
	}
	return c
}

func (c calendar) start(year int) domain.Date {
	return domain.MustDate(fmt.Sprintf("%04d-%02d-%02d", year, c.startMonth, c.startDay))
}

// end is the last day of a season for which there is anything to tell: the current one is told up to a few days from now.
func (c calendar) end(season int) domain.Date {
	if soon := c.today.AddDays(6); soon.Before(c.last[season]) {
		return soon
	}
	return c.last[season]
}

// ageDay is the day at which a season's age groups are taken: 31 August of the year before the one in which it begins.
func (c calendar) ageDay(season int) domain.Date {
	return domain.MustDate(fmt.Sprintf("%04d-08-31", c.year[season]-1))
}

type phase int

const (
	pause phase = iota
	summer
	winter
)

// phase says what time of the year d is. Around today there is no pause.
func (c calendar) phase(d domain.Date) phase {
	_, month, day := d.YMD()
	switch md := 100*month + day; {
	case md >= 415 && md <= 914:
		return summer
	case md >= 1011 && md <= 1217, md >= 106 && md < 415:
		return winter
	case c.near(d):
		return winter
	}
	return pause
}

// holidays is the fortnight of August in which the leagues do not play.
func (c calendar) holidays(d domain.Date) bool {
	_, month, day := d.YMD()
	return month == 8 && day >= 5 && day <= 18 && !c.near(d)
}

func (c calendar) near(d domain.Date) bool { return d.Sub(c.today) >= -13 && d.Sub(c.today) <= 7 }

// lastOn is the latest day of a weekday that is not after yesterday.
func (c calendar) lastOn(weekday int) domain.Date {
	d := c.today.AddDays(-1)
	for int(d.Weekday()) != weekday {
		d = d.AddDays(-1)
	}
	return d
}

// rain draws the wet days of all seasons: about one in seven, and wet days like company.
func (b *builder) rain() {
	b.wet = make([]bool, b.cal.last[seasonCount-1].Sub(b.cal.first[0])+1)
	for i := range b.wet {
		p := 0.12
		if i > 0 && b.wet[i-1] {
			p = 0.32
		}
		b.wet[i] = b.chance(p)
	}
}

// calledOff decides whether an outing of day d is called off.
func (b *builder) calledOff(d domain.Date, indoors bool) bool {
	switch {
	case d.After(b.today):
		return false
	case indoors:
		return b.chance(0.03)
	case b.wet[d.Sub(b.cal.first[0])]:
		return b.chance(0.8)
	}
	return b.chance(0.02)
}
