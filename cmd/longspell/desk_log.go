package main

import (
	"cmp"
	"io"
	"os"
	"runtime/debug"
	"slices"

	"longspell/internal/domain"
	"longspell/internal/exchange"
)

// deskLog is everybody's bowling of some files in a few bytes an over: a log of a million overs is held whole, because
// what is asked of it is asked by player.
type deskLog struct {
	asOf    domain.Date // as asked for, else the latest date of any row; zero = no row
	players []deskPlayer
	byRef   []int32 // players in order of reference

	rows    pieces[deskOver] // in the order of the file; arrange moves them to overs
	matches []deskMatch
	innings []deskInnings
	counted []deskOuting // outings that count, in the order of the file; arrange moves them to outings

	overs   byPlayer[deskOver]
	outings byPlayer[deskOuting]
	found   map[string]int32
	limit   domain.Date // rows after it are left out; zero = none
}

type deskPlayer struct {
	ref   string
	born  domain.Date
	kind  domain.BowlingKind
	first domain.Date // of any row; zero = no row up to asOf
}

type deskMatch struct {
	ref   string
	order int32 // place among the matches by their first row that is not left out
}

type deskInnings struct {
	match int32
	no    int32
	in    *domain.Innings
}

// deskOver is a row of the over log. Numbers are 9999 at most (exchange).
type deskOver struct {
	date            domain.Date
	innings, player int32
	over            uint16
	balls, valid    uint16
	aSide, cap      uint16
	kind            domain.BowlingKind
}

type deskOuting struct {
	date         domain.Date
	player       int32
	ref          string
	at           domain.OutingKind
	kind         domain.BowlingKind
	balls, overs int32
	oversGiven   bool
}

// byPlayer holds the rows of each player together.
type byPlayer[T any] struct {
	rows []T
	from []int32 // by player; one more at the end
}

func (b *byPlayer[T]) of(player int32) []T { return b.rows[b.from[player]:b.from[player+1]] }

// deskFiles are the files that a log is made of; a blank name is a file that was not given.
type deskFiles struct{ overs, outings, players string }

// readDeskLog reads the files of a log. What is wrong with them goes to f; the log is worth something only where nothing is.
func readDeskLog(f *faults, files deskFiles, asOf domain.Date) *deskLog {
	boundMemory(0)
	l := &deskLog{limit: asOf, found: map[string]int32{}}
	overs := overTaker{log: l}
	f.read("overs", files.overs, func(r io.Reader) []exchange.LineError {
		rows := overs.inBatches()
		defer rows.finish()
		return exchange.ScanOvers(files.overs, r, rows.take)
	})
	l.number()
	f.read("outings", files.outings, func(r io.Reader) []exchange.LineError { return exchange.ScanOutings(files.outings, r, l.takeOuting) })
	f.read("players", files.players, func(r io.Reader) []exchange.LineError { return exchange.ScanPlayers(files.players, r, l.takePlayer) })
	if len(f.lines) > 0 {
		return l
	}
	if !asOf.IsZero() {
		l.asOf = asOf
	}
	l.arrange()
	return l
}

// The memory that a log may take before what was thrown away is gathered again and again. Most of it is kept to the end, so
// that gathering early and often would cost time and free little.
const (
	memoryAtLeast = 130 << 20
	memoryPerOver = 170
)

// boundMemory suits the collector to a log of so many overs, unless the environment says how it is to be.
func boundMemory(overs int) {
	if os.Getenv("GOMEMLIMIT") != "" || os.Getenv("GOGC") != "" {
		return
	}
	debug.SetGCPercent(400)
	debug.SetMemoryLimit(int64(max(memoryAtLeast, overs*memoryPerOver)))
}

// overTaker turns the reader's numbers, which count rows that are left out too, into the log's own.
type overTaker struct {
	log   *deskLog
	order int32 // matches met so far
}

func (t *overTaker) take(r *exchange.OverRow) {
	l := t.log
	l.meet(r.Date)
	for len(l.matches) <= r.MatchNo {
		l.matches = append(l.matches, deskMatch{order: -1})
	}
	for len(l.innings) <= r.InningsNo {
		l.innings = append(l.innings, deskInnings{})
	}
	for len(l.players) <= r.PlayerNo {
		l.players = append(l.players, deskPlayer{})
	}
	if l.leftOut(r.Date) {
		return
	}
	if m := &l.matches[r.MatchNo]; m.order < 0 {
		m.ref, m.order = r.Match, t.order
		t.order++
	}
	in := &l.innings[r.InningsNo]
	if in.in == nil {
		*in = deskInnings{match: int32(r.MatchNo), no: int32(r.Innings), in: domain.NewInnings()}
	}
	in.in.Add(r.Over, r.End, r.BreakMin)
	p := &l.players[r.PlayerNo]
	p.ref = r.Player
	p.meet(r.Date)
	l.rows.add(deskOver{date: r.Date, innings: int32(r.InningsNo), player: int32(r.PlayerNo), over: uint16(r.Over),
		balls: uint16(r.Balls), valid: uint16(r.Valid), aSide: uint16(r.OversASide), cap: uint16(r.BowlerCap), kind: r.Kind})
	if l.rows.n&(1<<20-1) == 0 {
		boundMemory(l.rows.n)
	}
}

// number makes the players of the over log findable by their reference. Those all of whose rows are left out have none.
func (l *deskLog) number() {
	for i, p := range l.players {
		if p.ref != "" {
			l.found[p.ref] = int32(i)
		}
	}
}

// meet notes a date for asOf where none was asked for.
func (l *deskLog) meet(d domain.Date) {
	if l.asOf.Before(d) {
		l.asOf = d
	}
}

func (l *deskLog) leftOut(d domain.Date) bool { return !l.limit.IsZero() && d.After(l.limit) }

func (p *deskPlayer) meet(d domain.Date) {
	if p.first.IsZero() || d.Before(p.first) {
		p.first = d
	}
}

func (l *deskLog) takeOuting(r *exchange.OutingRow) {
	l.meet(r.Date)
	if l.leftOut(r.Date) {
		return
	}
	no, ok := l.found[r.Player]
	if !ok {
		no = int32(len(l.players))
		l.players = append(l.players, deskPlayer{ref: r.Player})
		l.found[r.Player] = no
	}
	l.players[no].meet(r.Date)
	if !r.Counts() {
		return
	}
	l.counted = append(l.counted, deskOuting{date: r.Date, player: no, ref: r.Outing, at: r.OutingKind, kind: r.Kind,
		balls: int32(r.Balls), overs: int32(r.Overs), oversGiven: r.OversGiven})
}

func (l *deskLog) takePlayer(p *exchange.Player) {
	if no, ok := l.found[p.Ref]; ok {
		l.players[no].born, l.players[no].kind = p.Born, p.Kind
	}
}

// arrange puts players in order of reference and each player's rows together.
func (l *deskLog) arrange() {
	l.found = nil
	l.byRef = make([]int32, 0, len(l.players))
	for i, p := range l.players {
		if !p.first.IsZero() {
			l.byRef = append(l.byRef, int32(i))
		}
	}
	slices.SortFunc(l.byRef, func(a, b int32) int { return cmp.Compare(l.players[a].ref, l.players[b].ref) })
	l.overs = gather(len(l.players), l.rows.n, func(i int) *deskOver { return l.rows.at(i) }, func(o *deskOver) int32 { return o.player })
	l.rows = pieces[deskOver]{}
	l.outings = gather(len(l.players), len(l.counted), func(i int) *deskOuting { return &l.counted[i] }, func(o *deskOuting) int32 { return o.player })
	l.counted = nil
}

// inPlay is a player's rows in order of play: of the over log, and of the outings that count.
func (l *deskLog) inPlay(player int32) ([]deskOver, []deskOuting) {
	overs, outings := l.overs.of(player), l.outings.of(player)
	if !slices.IsSortedFunc(overs, l.play) {
		slices.SortFunc(overs, l.play)
	}
	if byDay := func(a, b deskOuting) int { return a.date.Compare(b.date) }; !slices.IsSortedFunc(outings, byDay) {
		slices.SortStableFunc(outings, byDay)
	}
	return overs, outings
}

// play is the order of play of two rows of one player. Two rows of one player never stand at the same over.
func (l *deskLog) play(x, y deskOver) int {
	if c := x.date.Compare(y.date); c != 0 {
		return c
	}
	if x.innings != y.innings {
		i, j := &l.innings[x.innings], &l.innings[y.innings]
		return cmp.Or(cmp.Compare(l.matches[i.match].order, l.matches[j.match].order), cmp.Compare(i.no, j.no))
	}
	return cmp.Compare(x.over, y.over)
}

// gather puts the rows of each player together, in the order in which they come.
func gather[T any](players, n int, row func(int) *T, player func(*T) int32) byPlayer[T] {
	b := byPlayer[T]{rows: make([]T, n), from: make([]int32, players+1)}
	for i := range n {
		b.from[player(row(i))+1]++
	}
	for p := range players {
		b.from[p+1] += b.from[p]
	}
	next := slices.Clone(b.from)
	for i := range n {
		r := row(i)
		p := player(r)
		b.rows[next[p]] = *r
		next[p]++
	}
	return b
}
