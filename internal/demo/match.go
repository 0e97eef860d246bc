package demo

import "longspell/internal/domain"

// bowler is somebody's day in the field.
type bowler struct {
	p       *person
	kind    domain.BowlingKind
	told    bool // a story says which overs
	overs   int
	most    int // overs of the whole match, by the format and the day
	spell   int // length of the last spell
	longest int // overs of a spell
	last    int // last over bowled, 0 = none
}

// unwatched is the longest spell of somebody for whom nobody counts, or nobody needs to.
const unwatched = 99

// field is an innings as it goes on.
type field struct {
	b      *builder
	sl     *slot
	o      *domain.Outing
	in     int
	all    []*bowler
	fixed  map[int]*bowler
	now    [2]*bowler // who bowls from each end
	left   [2]int     // overs that the spell there is meant to go on
	before [2]*bowler // who bowled the over before (two if it was shared)
}

// match logs the over by over bowling of the slot's own side: one innings, ends in turn.
func (b *builder) match(sl *slot, o *domain.Outing, here []*person) {
	f := &field{b: b, sl: sl, o: o, in: b.between(1, 2), fixed: map[int]*bowler{}}
	for _, p := range here {
		f.add(p)
	}
	f.fewer()
	n := b.lengthOf(sl)
	o.Overs = make([]domain.OverLog, 0, n+2)
	for over := 1; over <= n; over++ {
		if !f.bowl(over, n) {
			break // all out: nobody is left who may bowl
		}
	}
	for _, w := range f.all {
		if w.overs > 0 {
			w.p.mem.bowled(sl.date, w.overs, w.kind == domain.SeamBack, false)
		}
	}
}

// lengthOf is how many overs the other side bats.
func (b *builder) lengthOf(sl *slot) int {
	n := sl.format.OversASide
	if n == 0 {
		return b.between(30, 48)
	}
	if len(sl.told) == 0 && b.chance(0.3) {
		return n/2 + b.r.IntN(n/2+1)
	}
	return n
}

// add takes somebody who is here among the bowlers, if a careful coach would.
func (f *field) add(p *person) {
	b, d := f.b, f.sl.date
	w := &bowler{p: p, kind: b.kindOn(p, d), most: f.sl.format.BowlerCap, longest: unwatched}
	if w.most == 0 {
		w.most = 12
	}
	for _, t := range f.sl.told {
		if t.p != p {
			continue
		}
		w.told, w.kind = true, domain.SeamBack
		for _, over := range t.overs {
			f.fixed[over] = w
		}
		f.all = append(f.all, w)
		return
	}
	if p.story && b.cal.near(d) {
		return
	}
	if w.kind == domain.SeamBack && !b.chance(slipMatch) {
		fig := figuresFor(p.Born, d)
		if !p.mem.mayBowlFast(d) {
			return
		}
		w.longest = fig.spell
		w.most = min(w.most, p.mem.oversLeft(d, fig.day))
	}
	f.all = append(f.all, w)
}

// fewer leaves only as many bowlers as a side uses, those who are eager first.
func (f *field) fewer() {
	n := f.sl.format.OversASide
	need := 7
	if c := f.sl.format.BowlerCap; c > 0 {
		need = max(6, (n+c-1)/c+2)
	}
	for len(f.all) > need {
		worst, at := 2.0, -1
		for i, w := range f.all {
			if v := w.p.eager * f.b.r.Float64(); !w.told && v < worst {
				worst, at = v, i
			}
		}
		if at < 0 {
			return
		}
		f.all = append(f.all[:at], f.all[at+1:]...)
	}
}

// bowl lets an over be bowled; false if nobody may.
func (f *field) bowl(over, n int) bool {
	e := (over - 1) % 2
	w := f.fixed[over]
	if w == nil {
		w = f.now[e]
		if w == nil || w.told || f.left[e] == 0 || !f.may(w, over, false) {
			if w = f.choose(over, n); w == nil {
				w = f.anybody(over)
			}
			if w == nil {
				return false
			}
			f.left[e] = f.spellFor(w)
		}
	}
	f.now[e] = w
	f.left[e] = max(0, f.left[e]-1)
	balls, valid := f.delivered(w)
	breakMin := f.pauseBefore(over, n)
	second := f.partner(over)
	if second == nil || balls < 4 {
		f.log(over, w, balls, valid, breakMin)
		f.before = [2]*bowler{w, nil}
		return true
	}
	// Shared: the first is called away after a few balls, as many of them valid as can be, and another ends the over.
	first := f.b.between(1, 3)
	f.log(over, w, first, min(first, valid), breakMin)
	f.log(over, second, balls-first, valid-min(first, valid), breakMin)
	f.before = [2]*bowler{w, second}
	f.left[e] = 0
	return true
}

// may reports whether w may bowl this over: not two running, and within the overs, the spell and the rest he keeps to.
// fresh asks for the beginning of a new spell.
func (f *field) may(w *bowler, over int, fresh bool) bool {
	if w == f.before[0] || w == f.before[1] || w.overs >= w.most {
		return false
	}
	if w.last == 0 {
		return true
	}
	if gap := over - w.last; gap == 2 || !fresh && gap == 3 {
		return w.spell < w.longest
	}
	rest := w.spell
	if w.kind != domain.SeamBack {
		rest = min(rest, 2)
	}
	if (over-w.last)%2 == 0 {
		return over >= w.last+2*rest+2
	}
	return over >= w.last+max(4, 2*rest+1)
}

// choose picks who begins a spell: fast at the start, spin in the middle.
func (f *field) choose(over, n int) *bowler {
	var pick *bowler
	best := 0.0
	other := f.now[over%2]
	for _, w := range f.all {
		if w.told || !f.may(w, over, true) || w == other && f.left[over%2] > 0 {
			continue
		}
		v := f.b.r.Float64() * w.p.eager / float64(1+w.overs)
		middle := over > n/4 && over <= n*4/5
		switch {
		case w.kind.IsSpin() && middle:
			v *= 1.8
		case w.kind.IsSpin() || w.kind == domain.SeamBack && middle:
			v *= 0.6
		}
		if v > best {
			best, pick = v, w
		}
	}
	return pick
}

// anybody keeps an innings going at its start, or where a story has overs to come, when all who should bowl have done so.
func (f *field) anybody(over int) *bowler {
	toCome := over <= 6
	for o := range f.fixed {
		toCome = toCome || o > over
	}
	if !toCome {
		return nil
	}
	for _, w := range f.all {
		if !w.told && w != f.before[0] && w != f.before[1] && (f.sl.format.BowlerCap == 0 || w.overs < f.sl.format.BowlerCap) {
			return w
		}
	}
	return nil
}

// spellFor is how many overs a bowler is meant to get now.
func (f *field) spellFor(w *bowler) int {
	lo, hi := 2, 4
	if n := f.sl.format.OversASide; n == 0 || n >= 30 {
		lo, hi = 3, 6
	} else if n <= 12 {
		lo, hi = 1, 2
	}
	if w.longest == unwatched && w.kind == domain.SeamBack {
		hi += 3
	}
	return min(f.b.between(lo, hi), w.most-w.overs, w.longest)
}

// partner finds somebody to end an over, now and then: never in a story, and never who bowls the over after.
func (f *field) partner(over int) *bowler {
	if len(f.sl.told) > 0 || !f.b.chance(0.015) {
		return nil
	}
	for _, w := range f.all {
		if w != f.now[0] && w != f.now[1] && f.may(w, over, true) {
			return w
		}
	}
	return nil
}

// pauseBefore is the break just before an over, in minutes: drinks at half-way, and in long innings now and then an interval.
func (f *field) pauseBefore(over, n int) int {
	full := f.sl.format.OversASide
	switch {
	case full == 0 && over == n/2+1:
		return 40
	case full >= 40 && over == 26 && len(f.sl.told) == 0 && f.b.chance(0.3):
		return 40
	case full >= 20 && over == full/2+1 && !f.sl.indoors:
		return 10
	}
	return 0
}
