package main

import (
	"bufio"
	"sort"

	"longspell/internal/limits"
)

// writeJSON writes the answer by hand, and rows of it side by side: there may be a million.
func (v *verdict) writeJSON(out *bufio.Writer) {
	w := &rowWriter{out: out}
	w.key(`{"limit_set":`).text(v.set.ID)
	w.key(`,"asof":`).date(v.log.asOf)
	w.key(`,"settings":`).value(v.settings)
	w.key(`,"not_judged":[`).begin()
	for i := range v.parts {
		v.writeNotJudged(w, &v.parts[i])
	}
	w.key(`],"findings":[`).begin()
	w.list(len(v.findings), func(w *rowWriter, from, to int) {
		for i := from; i < to; i++ {
			v.appendFinding(w.row(), &v.findings[i])
		}
	})
	w.key(`],"spells":[`).begin()
	for i := range v.parts {
		part := &v.parts[i]
		w.list(part.spells.n, func(w *rowWriter, from, to int) { v.appendSpells(w, part, from, to) })
	}
	w.key(`],"days":[`).begin()
	for i := range v.parts {
		part := &v.parts[i]
		w.list(part.days.n, func(w *rowWriter, from, to int) { v.appendDays(w, part, from, to) })
	}
	w.key(`],"left":[`).begin()
	for i := range v.parts {
		part := &v.parts[i]
		w.list(len(part.players), func(w *rowWriter, from, to int) {
			for i := from; i < to; i++ {
				v.appendLeft(w.row(), &part.players[i])
			}
		})
	}
	w.key("]}\n").flush()
}

func (v *verdict) writeNotJudged(w *rowWriter, part *judgedPart) {
	for i := range part.players {
		if p := &part.players[i]; !p.judged {
			w.row().text(v.refOf(p))
		}
	}
}

// ref is the reference at a place in the order of reference.
func (v *verdict) ref(no int32) string { return v.log.players[v.log.byRef[no]].ref }

func (v *verdict) refOf(p *judgedPlayer) string { return v.log.players[p.player].ref }

func (v *verdict) appendFinding(w *rowWriter, f *deskFinding) {
	b := &f.breach
	w.key(`{"player":`).text(v.ref(f.player()))
	w.key(`,"date":`).date(b.Date)
	if name := f.name(); name >= 0 {
		w.key(`,"match":`).text(v.names[name])
	} else {
		w.key(`,"match":null`)
	}
	w.key(`,"innings":`).numberUnless(f.innings(), 0)
	w.key(`,"over":`).numberUnless(f.over(), 0)
	w.key(`,"limit":"`).key(b.Limit())
	w.key(`","weight":"`).key(b.Weight())
	w.key(`","allowed":`).numberUnless(int(b.Allowed), noNumber)
	w.key(`,"actual":`).number(int(b.Actual))
	w.key(`,"earliest":`).numberUnless(int(b.Earliest), noNumber)
	if b.HasGroup() {
		w.key(`,"age_group":"U`).number(int(b.Group))
		w.key(`"`)
	} else {
		w.key(`,"age_group":null`)
	}
	w.key(`,"source":`).text(v.set.SourceOf(b))
	w.key(`,"says":"`)
	from := len(w.line)
	w.line = v.set.AppendSays(w.line, b, f.over())
	w.escapeFrom(from)
	w.key(`"}`)
}

// appendSpells writes the spells from..to-1 of a part.
func (v *verdict) appendSpells(w *rowWriter, part *judgedPart, from, to int) {
	player := part.playerOf(from, func(p *judgedPlayer) int32 { return p.spellsEnd })
	for i := from; i < to; i++ {
		for i >= int(part.players[player].spellsEnd) {
			player++
		}
		s := part.spells.at(i)
		w.row().key(`{"player":`).text(v.refOf(&part.players[player]))
		w.key(`,"match":`).text(v.names[s.name])
		w.key(`,"innings":`).number(int(s.innings))
		w.key(`,"first_over":`).number(int(s.first))
		w.key(`,"last_over":`).number(int(s.last))
		w.key(`,"overs":`).number(int(s.overs))
		w.key(`,"fast_overs":`).number(int(s.fast))
		w.key(`,"balls":`).number(int(s.balls))
		w.key(`,"earliest_same_end":`).numberUnless(int(s.sameEnd), noNumber)
		w.key(`,"earliest_other_end":`).numberUnless(int(s.otherEnd), noNumber)
		w.key(`}`)
	}
}

// appendDays writes the days from..to-1 of a part.
func (v *verdict) appendDays(w *rowWriter, part *judgedPart, from, to int) {
	player := part.playerOf(from, func(p *judgedPlayer) int32 { return p.daysEnd })
	for i := from; i < to; i++ {
		for i >= int(part.players[player].daysEnd) {
			player++
		}
		d := part.days.at(i)
		w.row().key(`{"player":`).text(v.refOf(&part.players[player]))
		w.key(`,"date":`).date(d.Date)
		w.key(`,"overs":`).number(int(d.Overs))
		w.key(`,"fast_overs":`).number(int(d.Fast))
		w.key(`,"balls":`).number(int(d.Balls))
		w.key(`,"spells":`).number(int(d.Spells))
		w.key(`,"longest_spell":`).number(int(d.Longest))
		w.key(`}`)
	}
}

// playerOf is the first player whose rows end after row i.
func (part *judgedPart) playerOf(i int, end func(*judgedPlayer) int32) int {
	return sort.Search(len(part.players), func(p int) bool { return int(end(&part.players[p])) > i })
}

func (v *verdict) appendLeft(w *rowWriter, p *judgedPlayer) {
	l := &p.left
	w.key(`{"player":`).text(v.refOf(p))
	w.key(`,"date":`).date(v.log.asOf)
	w.key(`,"spell_overs":`).numberUnless(int(l.SpellOvers), noNumber)
	w.key(`,"day_overs":`).numberUnless(int(l.DayOvers), noNumber)
	w.key(`,"days_in_7":`).numberUnless(int(l.DaysIn7), noNumber)
	w.key(`,"run_of_days":`).numberUnless(int(l.RunOfDays), noNumber)
	w.key(`}`)
}

// noNumber stands for null in the rows of limits.
const noNumber = limits.NoNumber
