package main

import (
	"cmp"
	"runtime"
	"slices"
	"sync"

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
	parts    []judgedPart // in order of reference
}

// judgedPart is the answer for some players that stand together in order of reference.
type judgedPart struct {
	players []judgedPlayer
	spells  pieces[deskSpell]
	days    pieces[limits.DayRow]
}

// judgedPlayer is a player with a counted row; the spells and days stand one player after the other.
type judgedPlayer struct {
	player int32
	judged bool
	// The places in the part's lists at which the player's spells and days end.
	spellsEnd, daysEnd int32
	left               limits.LeftRow
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

// judge evaluates every player, in order of reference, on all processors.
func judge(log *deskLog, set *limits.Set, settings map[string]string) *verdict {
	v := &verdict{log: log, set: set, settings: settings}
	ofMatch := v.rankNames()
	works := make([]judging, min(runtime.GOMAXPROCS(0), maxParts))
	var done sync.WaitGroup
	for i := range works {
		w := &works[i]
		*w = judging{verdict: v, ofMatch: ofMatch,
			evaluator: set.Evaluator(limits.Options{AsOf: log.asOf, Settings: settings})}
		from, to := len(log.byRef)*i/len(works), len(log.byRef)*(i+1)/len(works)
		done.Go(func() {
			for no := from; no < to; no++ {
				w.player(int32(no))
			}
		})
	}
	done.Wait()
	for i := range works {
		v.parts = append(v.parts, works[i].part)
		if i == 0 {
			v.findings = works[i].findings
		} else {
			v.findings = append(v.findings, works[i].findings...)
		}
	}
	slices.SortStableFunc(v.findings, func(a, b deskFinding) int {
		return cmp.Or(cmp.Compare(a.high, b.high), cmp.Compare(a.low, b.low))
	})
	return v
}

// maxParts bounds the room that evaluators take side by side.
const maxParts = 8

// judging is the room in which a part of a verdict is made.
type judging struct {
	*verdict
	part      judgedPart
	findings  []deskFinding
	evaluator *limits.Evaluator
	ofMatch   []int32 // name by match
	one       limits.PlayerLog
}

// rankNames puts the names of matches and outings into byte order, so that findings are put in order by number. It gives the
// name of each match.
func (v *verdict) rankNames() (ofMatch []int32) {
	for _, m := range v.log.matches {
		v.names = append(v.names, m.ref)
	}
	for i := range v.log.outings.rows {
		v.names = append(v.names, v.log.outings.rows[i].ref)
	}
	slices.Sort(v.names)
	v.names = slices.Compact(v.names)
	for _, m := range v.log.matches {
		ofMatch = append(ofMatch, v.nameOf(m.ref))
	}
	return ofMatch
}

func (v *verdict) nameOf(ref string) int32 {
	at, _ := slices.BinarySearch(v.names, ref)
	return int32(at)
}

// player judges the player at a place in the order of reference.
func (j *judging) player(no int32) {
	p := j.log.byRef[no]
	rows, outings := j.log.inPlay(p)
	if len(rows) == 0 && len(outings) == 0 {
		return
	}
	j.lay(p, rows, outings)
	e := j.evaluator
	e.Run(&j.one)
	for i := range e.Breaches {
		j.takeBreach(no, &e.Breaches[i], rows, outings)
	}
	j.takeSpells(e.Spells, rows)
	for _, d := range e.Days {
		j.part.days.add(d)
	}
	j.part.players = append(j.part.players, judgedPlayer{player: p, judged: e.Judged, spellsEnd: int32(j.part.spells.n), daysEnd: int32(j.part.days.n), left: e.Left})
}

// lay makes the player's log as the evaluator takes it, in the room of the player before.
func (j *judging) lay(p int32, rows []deskOver, outings []deskOuting) {
	who := &j.log.players[p]
	j.one.Player, j.one.Born = who.ref, who.born
	j.one.Overs, j.one.Outings = j.one.Overs[:0], j.one.Outings[:0]
	for i := range rows {
		r := &rows[i]
		in := &j.log.innings[r.innings]
		o := limits.Over{Date: r.date, Match: j.log.matches[in.match].ref, Innings: int(in.no), Over: int(r.over), Kind: r.kind,
			Balls: int(r.balls), Valid: int(r.valid), OversASide: int(r.aSide), BowlerCap: int(r.cap), In: in.in}
		if o.Kind == domain.KindUnknown {
			o.Kind = who.kind
		}
		j.one.Overs = append(j.one.Overs, o)
	}
	for i := range outings {
		r := &outings[i]
		o := limits.Outing{Ref: r.ref, Date: r.date, OutingKind: r.at, Kind: r.kind, Balls: int(r.balls), Overs: int(r.overs), OversGiven: r.oversGiven}
		if o.Kind == domain.KindUnknown {
			o.Kind = who.kind
		}
		j.one.Outings = append(j.one.Outings, o)
	}
}

func (j *judging) takeBreach(player int32, b *limits.Breach, rows []deskOver, outings []deskOuting) {
	f := deskFinding{breach: *b}
	name, innings, over := int32(-1), 0, 0
	switch {
	case b.Over >= 0:
		r := &rows[b.Over]
		in := &j.log.innings[r.innings]
		name, innings, over = j.ofMatch[in.match], int(in.no), int(r.over)
	case b.Outing >= 0:
		name = j.nameOf(outings[b.Outing].ref)
	}
	f.high, f.low = placeOf(b.Date, name), orderOf(innings, over, player, b.LimitOrder())
	j.findings = append(j.findings, f)
}

// takeSpells lists the spells of a player in order of play.
func (j *judging) takeSpells(spells []limits.SpellRow, rows []deskOver) {
	for i := range spells {
		s := &spells[i]
		first, last := &rows[s.First], &rows[s.Last]
		in := &j.log.innings[first.innings]
		j.part.spells.add(deskSpell{name: j.ofMatch[in.match], innings: in.no, first: first.over, last: last.over,
			overs: s.Overs, fast: s.Fast, balls: s.Balls, sameEnd: s.SameEnd, otherEnd: s.OtherEnd})
	}
}
