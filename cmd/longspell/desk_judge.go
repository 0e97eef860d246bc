package main

import (
	"cmp"
	"slices"

	"longspell/internal/domain"
	"longspell/internal/limits"
)

// verdict is the answer of check in compact rows: with a million overs there may be as many spells and findings.
type verdict struct {
	log      *deskLog
	set      *limits.Set
	settings map[string]string

	names    []string // matches and outings, in byte order
	findings []deskFinding
	players  []judgedPlayer // in order of reference
	spells   []deskSpell
	days     []limits.DayRow
}

// judgedPlayer is a player with a counted row; the spells and days stand one player after the other.
type judgedPlayer struct {
	player       int32
	judged       bool
	spells, days int32 // how many
	left         limits.LeftRow
}

type deskSpell struct {
	name               int32 // of the match, in verdict.names
	innings            int32
	first, last        uint16
	overs, fast, balls int32
	sameEnd, otherEnd  int32
}

// deskFinding is a breach with its order: date and match in high, innings, over, player and limit in low, each null first.
type deskFinding struct {
	high, low uint64
	breach    limits.Breach
}

// The parts of deskFinding's order. A name is counted from 1, 0 is null; numbers of overs and innings are 9999 at most.
func placeOf(date domain.Date, name int32) uint64 { return uint64(date.Serial())<<32 | uint64(name+1) }

func (d *deskFinding) name() int32   { return int32(d.high&(1<<32-1)) - 1 }
func (d *deskFinding) innings() int  { return int(d.low >> 50) }
func (d *deskFinding) over() int     { return int(d.low >> 36 & (1<<14 - 1)) }
func (d *deskFinding) player() int32 { return int32(d.low >> 4 & (1<<32 - 1)) }

func orderOf(innings, over int, player int32, limit uint8) uint64 {
	return uint64(innings)<<50 | uint64(over)<<36 | uint64(player)<<4 | uint64(limit)
}

// judge evaluates one player after the other, in order of reference.
func judge(log *deskLog, set *limits.Set, settings map[string]string) *verdict {
	v := &verdict{log: log, set: set, settings: settings}
	j := judging{verdict: v, evaluator: set.Evaluator(limits.Options{AsOf: log.asOf, Settings: settings})}
	j.rankNames()
	for _, p := range log.byRef {
		j.player(p)
	}
	slices.SortStableFunc(v.findings, func(a, b deskFinding) int {
		return cmp.Or(cmp.Compare(a.high, b.high), cmp.Compare(a.low, b.low))
	})
	return v
}

// judging is the room in which a verdict is made.
type judging struct {
	*verdict
	evaluator *limits.Evaluator
	ofMatch   []int32 // name by match
	ofOuting  []int32 // name by outing
	one       limits.PlayerLog
}

// rankNames puts the names of matches and outings into byte order, so that findings are put in order by number.
func (j *judging) rankNames() {
	type named struct {
		ref    string
		outing bool
		at     int32
	}
	all := make([]named, 0, len(j.log.matches)+len(j.log.outings))
	for i, m := range j.log.matches {
		all = append(all, named{m.ref, false, int32(i)})
	}
	for i, o := range j.log.outings {
		all = append(all, named{o.ref, true, int32(i)})
	}
	slices.SortFunc(all, func(a, b named) int { return cmp.Compare(a.ref, b.ref) })
	j.ofMatch, j.ofOuting = make([]int32, len(j.log.matches)), make([]int32, len(j.log.outings))
	for _, n := range all {
		if len(j.names) == 0 || j.names[len(j.names)-1] != n.ref {
			j.names = append(j.names, n.ref)
		}
		if at := int32(len(j.names) - 1); n.outing {
			j.ofOuting[n.at] = at
		} else {
			j.ofMatch[n.at] = at
		}
	}
}

func (j *judging) player(p int32) {
	rows, outings := j.log.overs.of(p), j.log.bowls.of(p)
	if len(rows) == 0 && len(outings) == 0 {
		return
	}
	j.lay(p, rows, outings)
	e := j.evaluator
	e.Run(&j.one)
	no := int32(len(j.players))
	for i := range e.Breaches {
		j.takeBreach(no, &e.Breaches[i], rows, outings)
	}
	from := len(j.spells)
	for i := range e.Spells {
		j.takeSpell(&e.Spells[i], rows)
	}
	slices.SortFunc(j.spells[from:], func(a, b deskSpell) int {
		return cmp.Or(cmp.Compare(a.name, b.name), cmp.Compare(a.innings, b.innings), cmp.Compare(a.first, b.first))
	})
	j.days = append(j.days, e.Days...)
	j.players = append(j.players, judgedPlayer{player: p, judged: e.Judged, spells: int32(len(e.Spells)), days: int32(len(e.Days)), left: e.Left})
}

// lay makes the player's log as the evaluator takes it, in the room of the player before.
func (j *judging) lay(p int32, rows, outings []int32) {
	who := &j.log.players[p]
	j.one.Player, j.one.Born = who.ref, who.born
	j.one.Overs, j.one.Outings = j.one.Overs[:0], j.one.Outings[:0]
	for _, i := range rows {
		r := j.log.row(i)
		in := &j.log.innings[r.innings]
		o := limits.Over{Date: r.date, Match: j.log.matches[in.match].ref, Innings: int(in.no), Over: int(r.over), Kind: r.kind,
			Balls: int(r.balls), Valid: int(r.valid), OversASide: int(r.aSide), BowlerCap: int(r.cap), In: in.in}
		if o.Kind == domain.KindUnknown {
			o.Kind = who.kind
		}
		j.one.Overs = append(j.one.Overs, o)
	}
	for _, i := range outings {
		r := &j.log.outings[i]
		o := limits.Outing{Ref: r.ref, Date: r.date, OutingKind: r.at, Kind: r.kind, Balls: int(r.balls), Overs: int(r.overs), OversGiven: r.oversGiven}
		if o.Kind == domain.KindUnknown {
			o.Kind = who.kind
		}
		j.one.Outings = append(j.one.Outings, o)
	}
}

func (j *judging) takeBreach(player int32, b *limits.Breach, rows, outings []int32) {
	f := deskFinding{breach: *b}
	name, innings, over := int32(-1), 0, 0
	switch {
	case b.Over >= 0:
		r := j.log.row(rows[b.Over])
		in := &j.log.innings[r.innings]
		name, innings, over = j.ofMatch[in.match], int(in.no), int(r.over)
	case b.Outing >= 0:
		name = j.ofOuting[outings[b.Outing]]
	}
	f.high, f.low = placeOf(b.Date, name), orderOf(innings, over, player, b.LimitOrder())
	j.findings = append(j.findings, f)
}

func (j *judging) takeSpell(s *limits.SpellRow, rows []int32) {
	first, last := j.log.row(rows[s.First]), j.log.row(rows[s.Last])
	in := &j.log.innings[first.innings]
	j.spells = append(j.spells, deskSpell{name: j.ofMatch[in.match], innings: in.no, first: first.over, last: last.over,
		overs: s.Overs, fast: s.Fast, balls: s.Balls, sameEnd: s.SameEnd, otherEnd: s.OtherEnd})
}
