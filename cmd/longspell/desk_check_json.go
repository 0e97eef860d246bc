package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"strconv"
	"unicode/utf8"

	"longspell/internal/domain"
	"longspell/internal/limits"
)

// writeJSON writes the answer by hand: there may be a million rows of it.
func (v *verdict) writeJSON(out *bufio.Writer) {
	w := rowWriter{out: out, line: make([]byte, 0, 1024)}
	w.line = append(w.line, `{"limit_set":`...)
	w.text(v.set.ID)
	w.line = append(w.line, `,"asof":`...)
	w.date(v.log.asOf)
	w.line = append(w.line, `,"settings":`...)
	w.value(v.settings)
	w.line = append(w.line, `,"not_judged":[`...)
	w.begin()
	for _, part := range v.parts {
		w.rows(len(part.players), func(i int) bool {
			if !part.players[i].judged {
				w.text(v.refOf(&part.players[i]))
			}
			return !part.players[i].judged
		})
	}
	w.line = append(w.line, `],"findings":[`...)
	w.begin()
	w.rows(len(v.findings), func(i int) bool { v.appendFinding(&w, &v.findings[i]); return true })
	w.line = append(w.line, `],"spells":[`...)
	w.begin()
	for i := range v.parts {
		v.writeSpells(&w, &v.parts[i])
	}
	w.line = append(w.line, `],"days":[`...)
	w.begin()
	for i := range v.parts {
		v.writeDays(&w, &v.parts[i])
	}
	w.line = append(w.line, `],"left":[`...)
	w.begin()
	for _, part := range v.parts {
		w.rows(len(part.players), func(i int) bool { v.appendLeft(&w, &part.players[i]); return true })
	}
	w.line = append(w.line, "]}\n"...)
	w.flush()
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

func (v *verdict) writeSpells(w *rowWriter, part *judgedPart) {
	player, end := int32(-1), 0
	w.rows(part.spells.n, func(i int) bool {
		for i >= end {
			player++
			end += int(part.players[player].spells)
		}
		s := part.spells.at(i)
		w.key(`{"player":`).text(v.refOf(&part.players[player]))
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
		return true
	})
}

func (v *verdict) writeDays(w *rowWriter, part *judgedPart) {
	player, end := int32(-1), 0
	w.rows(part.days.n, func(i int) bool {
		for i >= end {
			player++
			end += int(part.players[player].days)
		}
		d := part.days.at(i)
		w.key(`{"player":`).text(v.refOf(&part.players[player]))
		w.key(`,"date":`).date(d.Date)
		w.key(`,"overs":`).number(int(d.Overs))
		w.key(`,"fast_overs":`).number(int(d.Fast))
		w.key(`,"balls":`).number(int(d.Balls))
		w.key(`,"spells":`).number(int(d.Spells))
		w.key(`,"longest_spell":`).number(int(d.Longest))
		w.key(`}`)
		return true
	})
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

// rowWriter appends JSON to a line and hands full lines on.
type rowWriter struct {
	out   *bufio.Writer
	line  []byte
	first bool // no row of the list at hand has been written
	days  [512]dayText
}

// dayText is a date in quotation marks, kept because the same days come back in every list.
type dayText struct {
	date domain.Date
	text [12]byte
}

// begin begins a list.
func (w *rowWriter) begin() { w.first = true }

func (w *rowWriter) flush() {
	_, _ = w.out.Write(w.line) // a bufio.Writer keeps its error for Flush
	w.line = w.line[:0]
}

// rows writes the rows of a list that row says it has written, with commas between.
func (w *rowWriter) rows(n int, row func(i int) bool) {
	for i := range n {
		mark := len(w.line)
		w.line = append(w.line, ",\n"...)
		if w.first {
			w.line = append(w.line[:mark], '\n')
		}
		if !row(i) {
			w.line = w.line[:mark]
			continue
		}
		w.first = false
		if len(w.line) > cap(w.line)/2 {
			w.flush()
		}
	}
}

func (w *rowWriter) key(s string) *rowWriter {
	w.line = append(w.line, s...)
	return w
}

func (w *rowWriter) number(n int) { w.line = strconv.AppendInt(w.line, int64(n), 10) }

// numberUnless writes null for one value.
func (w *rowWriter) numberUnless(n, null int) {
	if n == null {
		w.line = append(w.line, "null"...)
		return
	}
	w.number(n)
}

func (w *rowWriter) date(d domain.Date) {
	if d.IsZero() {
		w.line = append(w.line, "null"...)
		return
	}
	day := &w.days[d.Serial()%len(w.days)]
	if day.date != d {
		day.date = d
		copy(day.text[:], `"`+d.String()+`"`)
	}
	w.line = append(w.line, day.text[:]...)
}

func (w *rowWriter) text(s string) {
	w.line = append(w.line, '"')
	from := len(w.line)
	w.line = append(w.line, s...)
	w.escapeFrom(from)
	w.line = append(w.line, '"')
}

// escapeFrom makes what was appended since from the inside of a JSON string.
func (w *rowWriter) escapeFrom(from int) {
	for _, b := range w.line[from:] {
		if b < ' ' || b == '"' || b == '\\' || b >= utf8.RuneSelf {
			s := string(w.line[from:])
			w.line = w.line[:from]
			w.value(s)
			w.line = append(w.line[:from], w.line[from+1:len(w.line)-1]...) // without its quotation marks
			return
		}
	}
}

// value appends anything as encoding/json writes it.
func (w *rowWriter) value(v any) {
	raw, err := json.Marshal(v)
	if err != nil {
		panic(fmt.Sprintf("longspell: %v cannot be JSON: %v", v, err)) // texts and maps of texts always can
	}
	w.line = append(w.line, raw...)
}
