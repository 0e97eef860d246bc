package naive

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
)

// Together makes one large log of many drawn ones, whose players, matches and outings have nothing to do with each other, and
// mixes their rows. The order of the rows of each of the logs stays as it was.
type Together struct {
	Log  Log
	AsOf string
	logs []Log
}

// DrawTogether draws a large log of n small ones.
func DrawTogether(limits string, n int, seed uint64) Together {
	t := Together{}
	for i := range n {
		l := Draw(limits, seed+uint64(i)).Log.renamed(fmt.Sprintf("%04d ", (i*7919)%n))
		t.logs = append(t.logs, l)
		t.Log.Players = append(t.Log.Players, l.Players...)
	}
	rng := rand.New(rand.NewPCG(seed, uint64(n)))
	t.Log.Overs = interleave(rng, t.logs, func(l Log) []Over { return l.Overs })
	t.Log.Outings = interleave(rng, t.logs, func(l Log) []Outing { return l.Outings })
	_, t.AsOf = t.Log.until("")
	return t
}

// renamed puts a prefix before every reference.
func (l Log) renamed(prefix string) Log {
	var out Log
	for _, p := range l.Players {
		p.Player = prefix + p.Player
		out.Players = append(out.Players, p)
	}
	for _, o := range l.Overs {
		o.Player, o.Match = prefix+o.Player, prefix+o.Match
		out.Overs = append(out.Overs, o)
	}
	for _, o := range l.Outings {
		o.Player, o.Outing = prefix+o.Player, prefix+o.Outing
		out.Outings = append(out.Outings, o)
	}
	return out
}

// interleave takes the next row of a log chosen at random until no log has one left.
func interleave[T any](rng *rand.Rand, logs []Log, rows func(Log) []T) []T {
	var left [][]T
	for _, l := range logs {
		if r := rows(l); len(r) > 0 {
			left = append(left, r)
		}
	}
	var all []T
	for len(left) > 0 {
		i := rng.IntN(len(left))
		all = append(all, left[i][0])
		if left[i] = left[i][1:]; len(left[i]) == 0 {
			left = slices.Delete(left, i, i+1)
		}
	}
	return all
}

// Check answers check log by log and puts the answers together.
func (t Together) Check(limits string) Answer {
	var all Answer
	for i, l := range t.logs {
		a := Check(l, Ask{Limits: limits, AsOf: t.AsOf})
		if i == 0 {
			all = a
			continue
		}
		all.NotJudged = append(all.NotJudged, a.NotJudged...)
		all.Findings = append(all.Findings, a.Findings...)
		all.Spells = append(all.Spells, a.Spells...)
		all.Days = append(all.Days, a.Days...)
		all.Left = append(all.Left, a.Left...)
	}
	slices.Sort(all.NotJudged)
	slices.SortStableFunc(all.Findings, order)
	return all
}

// Load answers load in the same way.
func (t Together) Load() LoadAnswer {
	var all LoadAnswer
	for _, l := range t.logs {
		a := Load(l, t.AsOf)
		all.AsOf = a.AsOf
		all.Players = append(all.Players, a.Players...)
	}
	slices.SortFunc(all.Players, func(a, b LoadPlayer) int { return strings.Compare(a.Player, b.Player) })
	return all
}
