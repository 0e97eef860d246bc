package limits

import "longspell/internal/domain"

// week is the length of the window of days_in_7 and net_per_week: any seven days, the day itself the last.
const week = 7

// takeOuting takes in the outing at a place of the log.
func (e *Evaluator) takeOuting(i int) {
	o := &e.log.Outings[i]
	if o.Balls <= 0 {
		return
	}
	fast := e.set.fast[o.Kind&7]
	overs := int32(o.CountedOvers())
	d := &e.day
	d.row.Overs += overs
	d.row.Balls += int32(o.Balls)
	at := Breach{Over: -1, Outing: int32(i)}
	e.countDay(overs, fast, at)
	if !fast {
		return
	}
	d.row.Fast += overs
	practice := o.OutingKind == domain.OutingNets || o.OutingKind == domain.OutingHome
	d.bowled = d.bowled || !practice || e.netsMakeDay
	if o.OutingKind == domain.OutingNets {
		e.takeNets(o, at)
	}
}

// takeNets looks at a net session with fast bowling: its balls, and how many there were in seven days.
func (e *Evaluator) takeNets(o *Outing, at Breach) {
	e.nets = append(e.nets, o.Date)
	band := e.on.band
	if band == nil {
		return
	}
	if band.NetBalls != nil && o.Balls > *band.NetBalls {
		e.breach(netBalls, at, int32(*band.NetBalls), int32(o.Balls))
	}
	if n := inWeek(e.nets, o.Date); band.NetPerWeek != nil && n > int32(*band.NetPerWeek) {
		e.breach(netPerWeek, at, int32(*band.NetPerWeek), n)
	}
}

// inWeek counts the dates in the seven days that end on d; dates are in order and none is after d.
func inWeek(dates []domain.Date, d domain.Date) int32 {
	n := int32(0)
	for i := len(dates) - 1; i >= 0 && d.Sub(dates[i]) < week; i-- {
		n++
	}
	return n
}

// closeDay lists the date and looks at the days in seven and in a row.
func (e *Evaluator) closeDay() {
	if e.day.row.Balls == 0 {
		return // an outing without a ball
	}
	e.Days = append(e.Days, e.day.row)
	if !e.day.bowled {
		return
	}
	date := e.on.date
	if n := len(e.days); n > 0 && date.Sub(e.days[n-1]) == 1 {
		e.run++
	} else {
		e.run = 1
	}
	e.days = append(e.days, date)
	if e.on.band == nil {
		return
	}
	at := Breach{Over: -1, Outing: -1}
	if limit := e.on.band.DaysIn7; limit != nil {
		if n := inWeek(e.days, date); n > int32(*limit) {
			e.breach(daysIn7, at, int32(*limit), n)
		}
	}
	if limit := e.on.band.RunOfDays; limit != nil && e.run > *limit {
		e.breach(runOfDays, at, int32(*limit), int32(e.run))
	}
}

// left works out what is left on AsOf, after what was bowled on it.
func (e *Evaluator) left() {
	e.Left = LeftRow{NoNumber, NoNumber, NoNumber, NoNumber}
	if e.AsOf.IsZero() {
		return
	}
	on := e.judge(e.AsOf)
	if on.band == nil {
		return
	}
	var spell, day int32
	if e.day.row.Date == e.AsOf {
		day = e.day.counted
		if !e.spell.lastUnknown && e.day.row.Spells > 0 {
			spell = e.spell.lastOfDay
		}
	}
	run := 0
	if n := len(e.days); n > 0 && e.AsOf.Sub(e.days[n-1]) <= 1 {
		run = e.run
	}
	e.Left = LeftRow{
		SpellOvers: remaining(on.band.SpellOvers, spell),
		DayOvers:   remaining(on.band.DayOvers, day),
		DaysIn7:    remaining(on.band.DaysIn7, inWeek(e.days, e.AsOf)),
		RunOfDays:  remaining(on.band.RunOfDays, int32(run)),
	}
}

func remaining(limit *int, used int32) int32 {
	if limit == nil {
		return NoNumber
	}
	return max(0, int32(*limit)-used)
}
