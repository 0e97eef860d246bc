package app

import (
	"context"
	"fmt"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/limits"
)

// lookBack is how many days of bowling are read before the first day that is judged. Windows reach back six days; a run of
// bowling days may be longer, and is counted in full as long as it is shorter than this.
const lookBack = 62

// counted is everything that was bowled by some players over some days, at every club, made ready for the evaluators.
type counted struct {
	players map[domain.ID]domain.Player
	logs    map[domain.ID]*limits.PlayerLog
	innings map[inningsKey]*domain.Innings
	outings map[domain.ID]domain.Outing
}

type inningsKey struct {
	outing  domain.ID
	innings int
}

// count reads and arranges the bowling of players from day from to day to. The scope must see the players; the sum then
// crosses clubs, the rows never leave this package.
func count(ctx context.Context, tx Tx, s access.Scope, players []domain.Player, from, to domain.Date) (*counted, error) {
	ids := make([]domain.ID, len(players))
	c := &counted{players: map[domain.ID]domain.Player{}, logs: map[domain.ID]*limits.PlayerLog{}, innings: map[inningsKey]*domain.Innings{}}
	for i, p := range players {
		ids[i] = p.ID
		c.players[p.ID] = p
		c.logs[p.ID] = &limits.PlayerLog{Player: string(p.ID), Born: p.Born}
	}
	if len(ids) == 0 {
		return c, nil
	}
	rec, err := tx.BowlingRecord(ctx, access.CountingFor(s, ids), from, to)
	if err != nil {
		return nil, err
	}
	c.outings = rec.Outings
	for _, o := range rec.Overs {
		c.inningsOf(o.OutingID, o.Innings).Add(o.Over, o.End, o.BreakMin)
	}
	for _, o := range rec.Overs {
		c.addOver(o)
	}
	for _, sp := range rec.Spells {
		c.addSpell(sp)
	}
	for _, it := range rec.Items {
		c.addPractice(it)
	}
	return c, nil
}

func (c *counted) inningsOf(outing domain.ID, n int) *domain.Innings {
	k := inningsKey{outing, n}
	in, ok := c.innings[k]
	if !ok {
		in = domain.NewInnings()
		c.innings[k] = in
	}
	return in
}

// kind is what was bowled: as logged, else what the player usually bowls.
func (c *counted) kind(player domain.ID, k domain.BowlingKind) domain.BowlingKind {
	if k == domain.KindUnknown {
		return c.players[player].Kind
	}
	return k
}

func (c *counted) addOver(o domain.OverLog) {
	log, ok := c.logs[o.PlayerID]
	if !ok {
		return // somebody else in the same match
	}
	f := c.outings[o.OutingID].Format
	log.Overs = append(log.Overs, limits.Over{Date: o.Date, Match: string(o.OutingID), Innings: o.Innings, Over: o.Over,
		Kind: c.kind(o.PlayerID, o.Kind), Balls: o.Balls, Valid: o.Valid, OversASide: f.OversASide, BowlerCap: f.BowlerCap,
		In: c.inningsOf(o.OutingID, o.Innings)})
}

// addSpell lays a quick spell out as overs: from its first over and end where they are known; else as a spell in an innings of
// its own, so that its length counts and nothing is said about the rest before it.
func (c *counted) addSpell(sp domain.QuickSpell) {
	log, ok := c.logs[sp.PlayerID]
	if !ok {
		return
	}
	f := c.outings[sp.OutingID].Format
	in, match, first := c.inningsOf(sp.OutingID, sp.Innings), string(sp.OutingID), sp.FirstOver
	if first == 0 {
		in, match, first = domain.NewInnings(), fmt.Sprintf("%s/%s", sp.OutingID, sp.ID), 1
		f.BowlerCap = 0
	}
	for i := range sp.Overs {
		balls, valid := share(sp.Balls, sp.Overs, i), share(sp.Valid, sp.Overs, i)
		if balls == 0 {
			balls = 1
		}
		n := first + 2*i
		in.Add(n, sp.End, 0)
		log.Overs = append(log.Overs, limits.Over{Date: sp.Date, Match: match, Innings: sp.Innings, Over: n,
			Kind: c.kind(sp.PlayerID, sp.Kind), Balls: balls, Valid: min(valid, balls), OversASide: f.OversASide, BowlerCap: f.BowlerCap, In: in})
	}
	limits.SortOvers(log.Overs)
}

// share splits total over n overs, the earlier ones getting what does not divide.
func share(total, n, i int) int {
	s := total / n
	if i < total%n {
		s++
	}
	return s
}

func (c *counted) addPractice(it domain.PracticeOn) {
	log, ok := c.logs[it.PlayerID]
	balls := it.CountedBalls()
	if !ok || balls == 0 {
		return
	}
	log.Outings = append(log.Outings, limits.Outing{Ref: string(it.Outing), Date: it.Date, OutingKind: it.At,
		Kind: c.kind(it.PlayerID, it.Kind), Balls: balls, Overs: it.Overs, OversGiven: it.Overs > 0})
}

// balls sums what a player bowled on the days from..to.
func (c *counted) balls(player domain.ID, from, to domain.Date) (balls, overs, days int) {
	log := c.logs[player]
	seen := map[domain.Date]bool{}
	for _, o := range log.Overs {
		if !o.Date.Before(from) && !o.Date.After(to) {
			balls += o.Balls
			overs++
			seen[o.Date] = true
		}
	}
	for _, o := range log.Outings {
		if !o.Date.Before(from) && !o.Date.After(to) {
			balls += o.Balls
			overs += o.CountedOvers()
			seen[o.Date] = true
		}
	}
	return balls, overs, len(seen)
}

// elsewhere sums the balls that a player bowled on a day at outings for which mine is false.
func (c *counted) elsewhere(player domain.ID, from, to domain.Date, mine func(domain.Outing) bool) int {
	log, n := c.logs[player], 0
	for _, o := range log.Overs {
		id := domain.ID(o.Match)
		if len(id) > 36 {
			id = id[:36]
		}
		if !o.Date.Before(from) && !o.Date.After(to) && !mine(c.outings[id]) {
			n += o.Balls
		}
	}
	for _, o := range log.Outings {
		if !o.Date.Before(from) && !o.Date.After(to) && !mine(c.outings[domain.ID(o.Ref)]) {
			n += o.Balls
		}
	}
	return n
}
