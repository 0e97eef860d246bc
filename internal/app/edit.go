package app

import (
	"context"
	"maps"
	"slices"
	"strconv"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// edit is one change of an outing's logs in one transaction: it stores the entries, keeps what they were as corrections,
// and remembers which players' days it touched, so that the rollup and the nightly run follow.
type edit struct {
	app    *App
	tx     Tx
	s      access.Scope
	old    domain.Outing // as it was, with its logs
	outing domain.Outing // as it is to be
	reason string
	detail map[string]string

	touched     map[domain.TouchedDay]bool
	corrections []domain.Correction
}

func (e *edit) touch(player domain.ID, day domain.Date) {
	if e.touched == nil {
		e.touched = map[domain.TouchedDay]bool{}
	}
	e.touched[domain.TouchedDay{PlayerID: player, Day: day}] = true
}

// compare keeps a correction where before and after differ; a nil map means that the entry was not, or is no longer, there.
func (e *edit) compare(what string, id domain.ID, before, after map[string]string) {
	if maps.Equal(before, after) && (before == nil) == (after == nil) {
		return
	}
	now := e.app.clock.Now()
	e.corrections = append(e.corrections, domain.Correction{ID: domain.NewID(now), OutingID: e.outing.ID, At: now, By: e.s.Account(),
		What: what, EntryID: id, Before: before, After: after, Reason: e.reason})
}

// finish stores the corrections, the rollup of the touched days and the trail.
func (e *edit) finish(ctx context.Context, act string) error {
	// A day, a state or an attendance that changes makes all of the outing's bowling count anew, where it was and where it is.
	if e.old.ID != "" && (e.old.Date != e.outing.Date || e.old.State != e.outing.State || e.old.Kind != e.outing.Kind ||
		e.old.Format != e.outing.Format || !slices.Equal(e.old.Attendance, e.outing.Attendance)) {
		for _, o := range e.old.Overs {
			e.touch(o.PlayerID, o.Date)
		}
		for _, x := range e.old.Spells {
			e.touch(x.PlayerID, x.Date)
		}
		for _, x := range e.old.Practice {
			e.touch(x.PlayerID, e.old.Date)
			e.touch(x.PlayerID, e.outing.Date)
		}
	}
	if len(e.corrections) > 0 {
		if err := e.tx.AddCorrections(ctx, e.s, e.corrections); err != nil {
			return err
		}
	}
	if days := slices.Collect(maps.Keys(e.touched)); len(days) > 0 {
		if err := e.tx.RefreshRollup(ctx, e.s, days); err != nil {
			return err
		}
	}
	return e.app.trail(ctx, e.tx, e.s, act, "outing", e.outing.ID, e.detail)
}

// logs makes the outing's logs exactly what is given; a nil part stays as it is.
func (e *edit) logs(ctx context.Context, l OutingLogs) error {
	if l.Overs != nil {
		if err := replace(ctx, e.old.Overs, l.Overs, func(v domain.OverLog) domain.ID { return v.ID }, e.dropOver, e.over,
			func(v domain.OverLog, version int) domain.OverLog { v.Version = version; return v }); err != nil {
			return err
		}
	}
	if l.Spells != nil {
		if err := replace(ctx, e.old.Spells, l.Spells, func(v domain.QuickSpell) domain.ID { return v.ID }, e.dropSpell, e.spell,
			func(v domain.QuickSpell, version int) domain.QuickSpell { v.Version = version; return v }); err != nil {
			return err
		}
	}
	if l.Practice != nil {
		return replace(ctx, e.old.Practice, l.Practice, func(v domain.Practice) domain.ID { return v.ID }, e.dropPractice, e.practice,
			func(v domain.Practice, version int) domain.Practice { v.Version = version; return v })
	}
	return nil
}

// versioned is an entry of an outing's log.
type versioned interface {
	domain.OverLog | domain.QuickSpell | domain.Practice
}

// replace drops the old entries that are not among the new ones, then puts the new ones in their order.
func replace[T versioned](ctx context.Context, old, now []T, id func(T) domain.ID, drop func(context.Context, domain.ID, int) error,
	put func(context.Context, T) (T, error), at func(T, int) T) error {
	versions := map[domain.ID]int{}
	for _, v := range old {
		versions[id(v)] = versionOf(v)
	}
	keep := map[domain.ID]bool{}
	for _, v := range now {
		keep[id(v)] = true
	}
	for _, v := range old {
		if !keep[id(v)] {
			if err := drop(ctx, id(v), versionOf(v)); err != nil {
				return err
			}
		}
	}
	for _, v := range now {
		if _, err := put(ctx, at(v, versions[id(v)])); err != nil {
			return err
		}
	}
	return nil
}

func versionOf[T versioned](v T) int {
	switch x := any(v).(type) {
	case domain.OverLog:
		return x.Version
	case domain.QuickSpell:
		return x.Version
	case domain.Practice:
		return x.Version
	}
	return 0
}

func (e *edit) over(ctx context.Context, v domain.OverLog) (domain.OverLog, error) {
	v.OutingID = e.outing.ID
	v.Seq = len(e.old.Overs) + 1
	var before map[string]string
	if i := slices.IndexFunc(e.old.Overs, func(o domain.OverLog) bool { return o.ID == v.ID }); i >= 0 {
		was := e.old.Overs[i]
		v.Seq = was.Seq
		if sameOver(was, v) {
			return was, nil
		}
		before = overMap(was)
		e.touch(was.PlayerID, was.Date)
	} else {
		e.old.Overs = append(e.old.Overs, v)
	}
	stored, err := e.tx.PutOver(ctx, e.s, v)
	if err != nil {
		return v, err
	}
	if before != nil {
		e.compare("over", v.ID, before, overMap(stored))
	}
	e.touch(v.PlayerID, v.Date)
	e.neighbours(v)
	return stored, nil
}

// neighbours touches everybody who bowled in this innings that day: the end or the break of one over can change where another
// bowler's spell ends.
func (e *edit) neighbours(v domain.OverLog) {
	for _, o := range e.old.Overs {
		if o.Innings == v.Innings && o.PlayerID != v.PlayerID {
			e.touch(o.PlayerID, o.Date)
		}
	}
}

func (e *edit) dropOver(ctx context.Context, id domain.ID, version int) error {
	i := slices.IndexFunc(e.old.Overs, func(o domain.OverLog) bool { return o.ID == id })
	if i < 0 {
		return domain.NotFound()
	}
	was := e.old.Overs[i]
	if err := e.tx.DeleteOver(ctx, e.s, e.outing.ID, id, version); err != nil {
		return err
	}
	e.compare("over", id, overMap(was), nil)
	e.touch(was.PlayerID, was.Date)
	e.neighbours(was)
	e.old.Overs = slices.Delete(slices.Clone(e.old.Overs), i, i+1)
	return nil
}

func (e *edit) spell(ctx context.Context, v domain.QuickSpell) (domain.QuickSpell, error) {
	v.OutingID = e.outing.ID
	var before map[string]string
	if i := slices.IndexFunc(e.old.Spells, func(o domain.QuickSpell) bool { return o.ID == v.ID }); i >= 0 {
		was := e.old.Spells[i]
		if v == was {
			return was, nil
		}
		before = spellMap(was)
		e.touch(was.PlayerID, was.Date)
	}
	stored, err := e.tx.PutSpell(ctx, e.s, v)
	if err != nil {
		return v, err
	}
	if before != nil {
		e.compare("spell", v.ID, before, spellMap(stored))
	}
	e.touch(v.PlayerID, v.Date)
	return stored, nil
}

func (e *edit) dropSpell(ctx context.Context, id domain.ID, version int) error {
	i := slices.IndexFunc(e.old.Spells, func(o domain.QuickSpell) bool { return o.ID == id })
	if i < 0 {
		return domain.NotFound()
	}
	if err := e.tx.DeleteSpell(ctx, e.s, e.outing.ID, id, version); err != nil {
		return err
	}
	e.compare("spell", id, spellMap(e.old.Spells[i]), nil)
	e.touch(e.old.Spells[i].PlayerID, e.old.Spells[i].Date)
	return nil
}

func (e *edit) practice(ctx context.Context, v domain.Practice) (domain.Practice, error) {
	v.OutingID = e.outing.ID
	var before map[string]string
	if i := slices.IndexFunc(e.old.Practice, func(o domain.Practice) bool { return o.ID == v.ID }); i >= 0 {
		was := e.old.Practice[i]
		asPut := was
		if asPut.Version = v.Version; asPut == v {
			return was, nil
		}
		before = practiceMap(was)
		e.touch(was.PlayerID, e.old.Date)
	}
	stored, err := e.tx.PutPractice(ctx, e.s, v)
	if err != nil {
		return v, err
	}
	if before != nil {
		e.compare("practice", v.ID, before, practiceMap(stored))
	}
	e.touch(v.PlayerID, e.outing.Date)
	return stored, nil
}

func (e *edit) dropPractice(ctx context.Context, id domain.ID, version int) error {
	i := slices.IndexFunc(e.old.Practice, func(o domain.Practice) bool { return o.ID == id })
	if i < 0 {
		return domain.NotFound()
	}
	if err := e.tx.DeletePractice(ctx, e.s, e.outing.ID, id, version); err != nil {
		return err
	}
	e.compare("practice", id, practiceMap(e.old.Practice[i]), nil)
	e.touch(e.old.Practice[i].PlayerID, e.old.Date)
	return nil
}

func sameOver(a, b domain.OverLog) bool {
	a.Version, b.Version = 0, 0
	return a == b
}

// sameOuting reports whether a put without a version repeats what is stored.
func sameOuting(was domain.Outing, cmd PutOuting) bool {
	if !maps.Equal(outingMap(was), outingMap(cmd.Outing)) || !sameSet(was.Attendance, cmd.Outing.Attendance) {
		return false
	}
	l := cmd.Logs
	return (l.Overs == nil || sameEntries(was.Overs, l.Overs, func(v domain.OverLog) string { return string(v.ID) + mapText(overMap(v)) })) &&
		(l.Spells == nil || sameEntries(was.Spells, l.Spells, func(v domain.QuickSpell) string { return string(v.ID) + mapText(spellMap(v)) })) &&
		(l.Practice == nil || sameEntries(was.Practice, l.Practice, func(v domain.Practice) string { return string(v.ID) + mapText(practiceMap(v)) }))
}

func sameSet(a, b []domain.Attendance) bool {
	return sameEntries(a, b, func(v domain.Attendance) string { return string(v.PlayerID) + string(v.Present) })
}

func sameEntries[T any](a, b []T, text func(T) string) bool {
	x, y := make([]string, len(a)), make([]string, len(b))
	for i, v := range a {
		x[i] = text(v)
	}
	for i, v := range b {
		y[i] = text(v)
	}
	slices.Sort(x)
	slices.Sort(y)
	return slices.Equal(x, y)
}

func mapText(m map[string]string) string {
	out := ""
	for _, k := range slices.Sorted(maps.Keys(m)) {
		out += "\x00" + k + "=" + m[k]
	}
	return out
}

func outingMap(o domain.Outing) map[string]string {
	m := map[string]string{"club": string(o.ClubID), "squad": string(o.SquadID), "kind": string(o.Kind), "state": string(o.State),
		"date": o.Date.String(), "title": o.Title, "reference": o.Reference}
	if o.HasFormat {
		m["overs_a_side"], m["bowler_cap"] = strconv.Itoa(o.Format.OversASide), strconv.Itoa(o.Format.BowlerCap)
		m["balls_in_over"] = string(o.Format.BallsInOver)
	}
	return m
}

// attendanceMap is who was there, by player; never nil, so that an empty list is not taken for one that is not there.
func attendanceMap(list []domain.Attendance) map[string]string {
	m := map[string]string{}
	for _, a := range list {
		m[string(a.PlayerID)] = string(a.Present)
	}
	return m
}

func overMap(o domain.OverLog) map[string]string {
	return map[string]string{"date": o.Date.String(), "innings": strconv.Itoa(o.Innings), "over": strconv.Itoa(o.Over), "end": o.End.String(),
		"player": string(o.PlayerID), "kind": o.Kind.String(), "balls": strconv.Itoa(o.Balls), "valid": strconv.Itoa(o.Valid),
		"break_min": strconv.Itoa(o.BreakMin)}
}

func spellMap(o domain.QuickSpell) map[string]string {
	return map[string]string{"date": o.Date.String(), "innings": strconv.Itoa(o.Innings), "first_over": strconv.Itoa(o.FirstOver),
		"end": o.End.String(), "player": string(o.PlayerID), "kind": o.Kind.String(), "overs": strconv.Itoa(o.Overs),
		"balls": strconv.Itoa(o.Balls), "valid": strconv.Itoa(o.Valid)}
}

func practiceMap(o domain.Practice) map[string]string {
	return map[string]string{"player": string(o.PlayerID), "kind": o.Kind.String(), "balls": strconv.Itoa(o.Balls),
		"overs": strconv.Itoa(o.Overs), "hits": strconv.Itoa(o.Hits), "trial": o.Trial, "effort": strconv.Itoa(o.Effort)}
}
