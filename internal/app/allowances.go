package app

import (
	"context"
	"slices"
	"strings"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/limits"
	"longspell/internal/notices"
)

// OutingAllowances is what is left for everybody at an outing, before the next over.
func (a *App) OutingAllowances(ctx context.Context, c Call, outing domain.ID, next Next) (v AllowanceList, err error) {
	err = a.read(ctx, c, access.AllowanceRead, func(tx Tx, s access.Scope) error {
		o, err := tx.Outing(ctx, s, outing)
		if err != nil {
			return err
		}
		v, err = a.outingAllowances(ctx, tx, s, o, next)
		return err
	})
	return v, err
}

// SquadAllowances is what is left for every bowler of a squad on a day.
func (a *App) SquadAllowances(ctx context.Context, c Call, squad domain.ID, on domain.Date) (v AllowanceList, err error) {
	err = a.read(ctx, c, access.AllowanceRead, func(tx Tx, s access.Scope) error {
		sq, err := tx.Squad(ctx, s, squad)
		if err != nil {
			return err
		}
		if on.IsZero() {
			on = s.Today()
		}
		var all []domain.Player
		for page := (domain.Page{Size: 100}); ; {
			got, err := tx.Players(ctx, s, PlayerFilter{SquadID: squad}, page)
			if err != nil {
				return err
			}
			all = append(all, got.Items...)
			if got.Next == "" {
				break
			}
			page.After = got.Next
		}
		v, err = a.allowances(ctx, tx, s, picture{date: on, players: all, clubID: sq.ClubID})
		return err
	})
	return v, err
}

func (a *App) outingAllowances(ctx context.Context, tx Tx, s access.Scope, o domain.Outing, next Next) (AllowanceList, error) {
	here := map[domain.ID]bool{}
	for _, at := range o.Attendance {
		if at.Present == domain.PresentYes {
			here[at.PlayerID] = true
		}
	}
	for _, x := range o.Overs {
		here[x.PlayerID] = true
	}
	for _, x := range o.Spells {
		here[x.PlayerID] = true
	}
	for _, x := range o.Practice {
		here[x.PlayerID] = true
	}
	ids := make([]domain.ID, 0, len(here))
	for id := range here {
		ids = append(ids, id)
	}
	players, err := tx.PlayersByID(ctx, s, ids)
	if err != nil {
		return AllowanceList{}, err
	}
	return a.allowances(ctx, tx, s, picture{date: o.Date, players: players, clubID: o.ClubID, outing: &o, next: next})
}

// picture is what an allowance list is asked for.
type picture struct {
	date    domain.Date
	players []domain.Player
	clubID  domain.ID
	outing  *domain.Outing // nil: no over is about to be bowled
	next    Next
}

func (a *App) allowances(ctx context.Context, tx Tx, s access.Scope, p picture) (AllowanceList, error) {
	out := AllowanceList{Date: p.date, Caution: notices.WrittenForFast + notices.Caution, Bowlers: []Allowance{}}
	if p.outing != nil && len(p.outing.Overs) > 0 {
		for _, ov := range p.outing.Overs {
			p.date = later(p.date, ov.Date)
		}
		out.Date = p.date
	}
	sets, err := adopted(ctx, tx, s, p.date)
	if err != nil {
		return out, err
	}
	c, err := count(ctx, tx, s, p.players, p.date.AddDays(-lookBack), p.date)
	if err != nil {
		return out, err
	}
	if p.outing != nil && p.outing.Kind == domain.OutingMatch {
		next := c.nextOver(*p.outing, p.next)
		out.Next = &next
	}
	slices.SortFunc(p.players, func(x, y domain.Player) int {
		if n := strings.Compare(strings.ToLower(x.Name), strings.ToLower(y.Name)); n != 0 {
			return n
		}
		return strings.Compare(string(x.ID), string(y.ID))
	})
	for _, pl := range p.players {
		out.Bowlers = append(out.Bowlers, c.allowance(sets, pl, p, out.Next))
	}
	return out, nil
}

func later(a, b domain.Date) domain.Date {
	if a.Before(b) {
		return b
	}
	return a
}

// nextOver works out the over about to be bowled from what is logged, where the caller did not say.
func (c *counted) nextOver(o domain.Outing, n Next) Next {
	if n.Innings == 0 {
		n.Innings = 1
		for _, ov := range o.Overs {
			n.Innings = max(n.Innings, ov.Innings)
		}
	}
	in := domain.NewInnings()
	last := 0
	for _, ov := range o.Overs {
		if ov.Innings == n.Innings {
			in.Add(ov.Over, ov.End, ov.BreakMin)
			last = max(last, ov.Over)
		}
	}
	if n.Over == 0 {
		n.Over = last + 1
	}
	if n.End == domain.EndUnknown {
		n.End = in.EndOf(n.Over)
	}
	return n
}

func (c *counted) allowance(sets []adoptedSet, pl domain.Player, p picture, next *Next) Allowance {
	v := Allowance{PlayerID: pl.ID, Name: pl.Name, AgeGroup: ageGroup(sets, pl.Born, p.date), Kind: pl.Kind}
	v.BallsToday, v.OversToday, _ = c.balls(pl.ID, p.date, p.date)
	v.Balls7, _, v.Days7 = c.balls(pl.ID, p.date.AddDays(-6), p.date)
	v.BallsElsewhereToday = c.elsewhere(pl.ID, p.date, p.date, func(o domain.Outing) bool { return o.ClubID == p.clubID })
	var at limits.Over
	if next != nil {
		v.BowledLastOver = bowledOver(p.outing.Overs, pl.ID, next.Innings, next.Over-1)
		at = c.asOver(*p.outing, p.date, *next)
	}
	v.Sets = make([]SetAllowance, 0, len(sets))
	for _, x := range sets {
		v.Sets = append(v.Sets, c.setAllowance(x, pl.ID, p.date, next, at))
	}
	if next == nil {
		return v
	}
	for _, k := range domain.BowlingKinds() {
		check := NextCheck{Kind: k}
		at.Kind = k
		seen := map[string]bool{}
		for _, x := range sets {
			for _, f := range x.set.Next(*c.logs[pl.ID], limits.Options{AsOf: p.date, Settings: x.settings}, at) {
				if f.Limit == limits.BowlerCap && seen[f.Limit] {
					continue // the format's own cap is the same under every set
				}
				seen[f.Limit] = true
				check.Breaks = append(check.Breaks, findingView(x.set, f))
			}
		}
		v.Next = append(v.Next, check)
	}
	return v
}

func bowledOver(overs []domain.OverLog, player domain.ID, innings, over int) bool {
	return slices.ContainsFunc(overs, func(o domain.OverLog) bool {
		return o.PlayerID == player && o.Innings == innings && o.Over == over
	})
}

// asOver is the over about to be bowled as the evaluator takes it.
func (c *counted) asOver(o domain.Outing, d domain.Date, n Next) limits.Over {
	balls := 6
	if o.Format.BallsInOver == domain.FiveFixed {
		balls = 5
	}
	in := c.inningsOf(o.ID, n.Innings).Clone()
	in.Add(n.Over, n.End, 0)
	return limits.Over{Date: d, Match: string(o.ID), Innings: n.Innings, Over: n.Over, Balls: balls, Valid: balls,
		OversASide: o.Format.OversASide, BowlerCap: o.Format.BowlerCap, In: in}
}

func (c *counted) setAllowance(x adoptedSet, player domain.ID, d domain.Date, next *Next, at limits.Over) SetAllowance {
	res := x.set.Evaluate(*c.logs[player], limits.Options{AsOf: d, Settings: x.settings})
	v := SetAllowance{LimitSet: x.set.ID, Title: x.set.Title, Publisher: x.set.Publisher, Year: x.set.Year, Judged: res.Judged,
		SpellOvers: res.Left.SpellOvers, DayOvers: res.Left.DayOvers, DaysIn7: res.Left.DaysIn7, RunOfDays: res.Left.RunOfDays}
	if next == nil || !res.Judged {
		return v
	}
	// The latest "not before" of all spells of this innings that still owe rest, from either end.
	bound := 0
	for _, sp := range res.Spells {
		if sp.Match != at.Match || sp.Innings != at.Innings || sp.EarliestSameEnd == nil || sp.EarliestOtherEnd == nil {
			continue
		}
		if goesOn(sp, at) {
			continue
		}
		bound = max(bound, min(*sp.EarliestSameEnd, *sp.EarliestOtherEnd))
	}
	if bound > next.Over {
		v.EarliestEndA = ptr(at.In.FirstFrom(domain.EndA, bound))
		v.EarliestEndB = ptr(at.In.FirstFrom(domain.EndB, bound))
	}
	return v
}

// goesOn reports whether the next over would go on with a spell, so that no rest stands before it.
func goesOn(sp limits.Spell, at limits.Over) bool {
	n := sp.LastOver
	return at.Over == n+1 || at.Over == at.In.FirstFrom(at.In.EndOf(at.Over), n+2)
}

func ptr[T any](v T) *T { return &v }

func findingView(set *limits.Set, f limits.Finding) FindingView {
	v := FindingView{Date: f.Date, Limit: f.Limit, LimitSet: set.ID, Title: set.Title, Publisher: set.Publisher, Year: set.Year,
		Weight: f.Weight, Allowed: f.Allowed, Actual: f.Actual, Earliest: f.Earliest, Innings: f.Innings, Over: f.Over,
		Source: f.Source, Says: f.Says}
	if f.AgeGroup != nil {
		v.AgeGroup = *f.AgeGroup
	}
	return v
}
