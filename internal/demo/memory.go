package demo

import "longspell/internal/domain"

// memory is what a careful coach would remember of somebody's bowling.
type memory struct {
	at       *team       // where seen last
	seen     domain.Date // and when
	fastDays []domain.Date
	fastNets []domain.Date
	day      domain.Date // the day that dayOvers counts
	dayOvers int
}

// figures are what the coaches of the demo keep to, by age on 31 August of the year before: overs of a spell and of a day, balls
// of a net and nets in a week, from England and Wales Cricket Board, Fast Bowling Directives, 2010, as printed at
// www.chiddcc.uk/a/guidance-on-young-cricketers-48744.html?page=2.
type figures struct{ spell, day, netBalls, nets int }

func figuresFor(born, d domain.Date) figures {
	year, _, _ := d.YMD()
	switch age := domain.AgeOn(born, domain.MustDate(yearText(year-1)+"-08-31")); {
	case age < 13:
		return figures{5, 10, 30, 2}
	case age < 15:
		return figures{6, 12, 36, 2}
	}
	return figures{7, 18, 36, 3}
}

func yearText(y int) string {
	return string([]byte{byte('0' + y/1000), byte('0' + y/100%10), byte('0' + y/10%10), byte('0' + y%10)})
}

// mayBowlFast reports whether bowling fast on day d keeps to four days in seven and two running (Cheshire Cricket League
// Handbook 2022, Young Player Directives, crickethistory.website/league/ccl/ccl_handbook_2022/111). Days come in order.
func (m *memory) mayBowlFast(d domain.Date) bool {
	in7, running := 0, 0
	for _, x := range m.fastDays {
		switch ago := d.Sub(x); {
		case ago == 0:
			return true
		case ago <= 6:
			in7++
			if ago <= 2 {
				running++
			}
		}
	}
	return in7 < 4 && running < 2
}

// netsInWeek counts fast nets in the six days before d, and on d.
func (m *memory) netsInWeek(d domain.Date) int {
	n := 0
	for _, x := range m.fastNets {
		if d.Sub(x) <= 6 {
			n++
		}
	}
	return n
}

// bowled notes overs (0 = practice) on a day.
func (m *memory) bowled(d domain.Date, overs int, fast, nets bool) {
	if m.day != d {
		m.day, m.dayOvers = d, 0
	}
	m.dayOvers += overs
	if fast && (len(m.fastDays) == 0 || m.fastDays[len(m.fastDays)-1] != d) {
		m.fastDays = lastFew(append(m.fastDays, d))
	}
	if fast && nets {
		m.fastNets = lastFew(append(m.fastNets, d))
	}
}

func lastFew(d []domain.Date) []domain.Date {
	if len(d) > 8 {
		d = append(d[:0], d[len(d)-8:]...)
	}
	return d
}

// oversLeft is how many overs of a day's figure are left.
func (m *memory) oversLeft(d domain.Date, most int) int {
	if m.day != d {
		return most
	}
	return most - m.dayOvers
}
