package limits

import "longspell/internal/domain"

// openSpell is the spell being bowled and the rest owed for the spells before it.
type openSpell struct {
	open        bool
	row         SpellRow
	owed        int32 // the first over before which rest is owed, over all earlier spells; 0 = none
	saidFast    bool  // the return with this spell has been found too early: fast
	saidSlower  bool  // the same with slower bowling
	lastOfDay   int32 // overs of the last spell of the date
	lastUnknown bool  // the set does not judge the match of that spell
}

// takeIntoSpell puts an over into the spell that it goes on with or begins, and looks at the spell's length and the rest owed.
func (e *Evaluator) takeIntoSpell(i int, o *Over, fast bool) {
	sp := &e.spell
	switch e.joint(o) {
	case domain.FreshStart:
		e.closeSpell()
		*sp = openSpell{open: true, row: newSpellRow(i)}
	case domain.NewSpell:
		e.closeSpell()
		*sp = openSpell{open: true, row: newSpellRow(i), owed: sp.owed}
	case domain.SameSpell:
	}
	sp.row.Last = int32(i)
	sp.row.Overs++
	sp.row.Balls += int32(o.Balls)
	if fast {
		sp.row.Fast++
	}
	if e.on.band == nil || !e.judgesMatch(o) {
		return
	}
	e.checkRest(i, o, fast)
	if limit := e.on.band.SpellOvers; limit != nil && (fast || e.everySpell) && sp.row.Overs > int32(*limit) {
		e.breach(spellOvers, Breach{Over: int32(i), Outing: -1}, int32(*limit), sp.row.Overs)
	}
}

func newSpellRow(i int) SpellRow {
	return SpellRow{First: int32(i), SameEnd: NoNumber, OtherEnd: NoNumber}
}

// joint says how an over follows on the bowler's over before it. closeSpell has ended the spell of an earlier date.
func (e *Evaluator) joint(o *Over) domain.Joint {
	if !e.spell.open {
		return domain.FreshStart
	}
	last := &e.log.Overs[e.spell.row.Last]
	if last.Innings != o.Innings || last.Match != o.Match {
		return domain.FreshStart
	}
	return o.In.Join(last.Over, o.Over, e.set.NewSpellAfterMin)
}

// checkRest finds a return during the rest owed: once for fast bowling, and once for slower bowling before it.
func (e *Evaluator) checkRest(i int, o *Over, fast bool) {
	sp := &e.spell
	if int32(o.Over) >= sp.owed || sp.saidFast || !e.restHolds(o) {
		return
	}
	if !fast && (sp.saidSlower || e.slower == slowerAllowed) {
		return
	}
	sp.saidFast, sp.saidSlower = fast, true
	b := Breach{Over: int32(i), Outing: -1, slower: !fast}
	e.breach(restOvers, b, NoNumber, int32(o.Over))
	last := &e.Breaches[len(e.Breaches)-1]
	last.Earliest = sp.owed
	last.guidance = last.guidance || (!fast && e.slower == slowerWarned)
}

// restHolds reports whether the set's rest between spells holds for this player in the match of an over.
func (e *Evaluator) restHolds(o *Over) bool {
	if !e.set.Rest || e.on.band == nil || !e.judgesMatch(o) {
		return false
	}
	short := e.set.NoRestUpToOvers != nil && o.OversASide > 0 && o.OversASide <= *e.set.NoRestUpToOvers
	limit := e.on.band.SpellOvers
	return !short || limit == nil || o.BowlerCap == 0 || o.BowlerCap > *limit
}

// closeSpell ends the spell being bowled: it is listed, and the rest it asks for is added to what is owed.
func (e *Evaluator) closeSpell() {
	sp := &e.spell
	if !sp.open {
		return
	}
	sp.open = false
	last := &e.log.Overs[sp.row.Last]
	if sp.row.Fast > 0 && e.restHolds(last) {
		end := last.In.EndOf(last.Over)
		earliest := last.In.AfterOvers(int(sp.row.Overs), end, last.Over)
		sp.row.SameEnd = int32(last.In.FirstFrom(end, earliest))
		sp.row.OtherEnd = int32(last.In.FirstFrom(end.Other(), earliest))
		sp.owed = max(sp.owed, int32(earliest))
	}
	e.Spells = append(e.Spells, sp.row)
	d := &e.day.row
	d.Spells++
	d.Longest = max(d.Longest, sp.row.Overs)
	sp.lastOfDay, sp.lastUnknown = sp.row.Overs, !e.judgesMatch(last)
}
