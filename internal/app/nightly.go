package app

import (
	"context"
	"errors"
	"time"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/limits"
	"longspell/internal/notices"
)

// NightJob is the name of the nightly run in the ledger.
const NightJob = "overnight"

// nightChunk is how many players one transaction of the nightly run settles: memory and locks do not grow with the region.
const nightChunk = 100

// leaseTime is how long a runner may go without renewing its lease before another takes over.
const leaseTime = 2 * time.Minute

// ErrBusy says that another process holds the lease of a region's nightly run.
var ErrBusy = errors.New("another process is running this night")

// NightReport says what one nightly run did.
type NightReport struct {
	Region   domain.ID
	Date     domain.Date
	Already  bool // the ledger says it was done before; nothing was touched
	Players  int  // looked at
	Opened   int  // notices that are new
	Gathered int  // facts that are new
}

// Night runs one local date of one region: it looks at every player with a day that changed, evaluates the adopted limit sets
// up to that date, and settles the notices. Done once, it is a no-op; two processes at once are kept apart by the lease,
// and a process that lost its lease cannot commit.
func (a *App) Night(ctx context.Context, region domain.ID, date domain.Date, holder string, progress func(done int)) (NightReport, error) {
	rep := NightReport{Region: region, Date: date}
	s := access.Overnight(region, date)
	if done, err := a.store.Done(ctx, s, NightJob, date); err != nil || done {
		rep.Already = done
		return rep, err
	}
	fence, ok, err := a.store.TakeLease(ctx, s, NightJob, holder, a.clock.Now(), leaseTime)
	if err != nil {
		return rep, err
	}
	if !ok {
		return rep, ErrBusy
	}
	err = a.night(ctx, s, &rep, holder, fence, progress)
	if rel := a.store.ReleaseLease(context.WithoutCancel(ctx), s, NightJob, holder, fence); err == nil {
		err = rel
	}
	return rep, err
}

func (a *App) night(ctx context.Context, s access.Scope, rep *NightReport, holder string, fence int64, progress func(int)) error {
	// Somebody may have finished between the look at the ledger and the lease.
	if done, err := a.store.Done(ctx, s, NightJob, rep.Date); err != nil || done {
		rep.Already = done
		return err
	}
	after := domain.ID("")
	for more := true; more; {
		var part NightReport
		err := a.store.InRegion(ctx, s, func(tx Tx) error {
			part = NightReport{}
			if err := tx.CheckFence(ctx, s, NightJob, fence); err != nil {
				return err
			}
			touched, err := tx.TouchedPlayers(ctx, s, rep.Date, after, nightChunk)
			if err != nil || len(touched) == 0 {
				return err
			}
			return a.settleAll(ctx, tx, s, touched, rep.Date, &part)
		})
		if err != nil {
			return err
		}
		rep.Players += part.Players
		rep.Opened += part.Opened
		rep.Gathered += part.Gathered
		after, more = part.Region, part.Players > 0
		if progress != nil && more {
			progress(rep.Players)
		}
		if _, ok, err := a.store.TakeLease(ctx, s, NightJob, holder, a.clock.Now(), leaseTime); err != nil || !ok {
			if err == nil {
				err = ErrBusy
			}
			return err
		}
	}
	return a.store.InRegion(ctx, s, func(tx Tx) error {
		if err := tx.CheckFence(ctx, s, NightJob, fence); err != nil {
			return err
		}
		return tx.MarkDone(ctx, s, NightJob, rep.Date, fence, a.clock.Now())
	})
}

// settleAll evaluates and settles some players in one transaction. part.Region carries the last player's id back, the place
// where the next chunk starts.
func (a *App) settleAll(ctx context.Context, tx Tx, s access.Scope, touched []domain.TouchedDay, night domain.Date, part *NightReport) error {
	ids := make([]domain.ID, len(touched))
	first := night
	from := map[domain.ID]domain.Date{}
	for i, t := range touched {
		ids[i] = t.PlayerID
		from[t.PlayerID] = t.Day
		if t.Day.Before(first) {
			first = t.Day
		}
	}
	players, err := tx.PlayersByID(ctx, s, ids)
	if err != nil {
		return err
	}
	adoptions, err := tx.Adoptions(ctx, s)
	if err != nil {
		return err
	}
	c, err := count(ctx, tx, s, players, first.AddDays(-lookBack), night)
	if err != nil {
		return err
	}
	have, err := tx.NoticesOf(ctx, s, ids)
	if err != nil {
		return err
	}
	byPlayer := map[domain.ID][]domain.Notice{}
	for _, n := range have {
		byPlayer[n.PlayerID] = append(byPlayer[n.PlayerID], n)
	}
	now := a.clock.Now()
	for _, p := range players {
		ch := notices.Settle(notices.Case{PlayerID: p.ID, Have: byPlayer[p.ID], Found: c.found(p.ID, adoptions, from[p.ID], night),
			From: from[p.ID], Night: night, NewID: func() domain.ID { return domain.NewID(now) }})
		if err := a.keep(ctx, tx, s, ch, part); err != nil {
			return err
		}
	}
	part.Players = len(touched)
	part.Region = ids[len(ids)-1]
	return tx.ClearTouched(ctx, s, ids, night)
}

// keep stores what changed about one player's notices.
func (a *App) keep(ctx context.Context, tx Tx, s access.Scope, ch notices.Changes, part *NightReport) error {
	for _, n := range ch.Notices {
		act := action(n.Version)
		if n.Version == 0 {
			part.Opened++
		}
		if n.State == domain.NoticeEnded && n.EndReason == domain.EndCorrected && n.EndedAt.IsZero() {
			n.EndedAt = a.clock.Now()
		}
		if _, err := tx.PutNotice(ctx, s, n); err != nil {
			return err
		}
		if err := a.trail(ctx, tx, s, act, "notice", n.ID, map[string]string{"player": string(n.PlayerID), "matter": n.Matter}); err != nil {
			return err
		}
	}
	part.Gathered += len(ch.Facts)
	if len(ch.Facts) == 0 {
		return nil
	}
	return tx.PutNoticeFacts(ctx, s, ch.Facts)
}

// found evaluates every adoption of the region and keeps the findings of the days from..night on which it was in force.
func (c *counted) found(player domain.ID, adoptions []domain.Adoption, from, night domain.Date) []notices.Found {
	var out []notices.Found
	seen := map[string]bool{}
	for _, ad := range adoptions {
		set, ok := limits.Lookup(ad.LimitSet)
		if !ok {
			continue // adopted under a later release: its nights are not this release's to judge
		}
		res := set.Evaluate(*c.logs[player], limits.Options{AsOf: night, Settings: ad.Settings})
		for _, f := range res.Findings {
			if f.Date.Before(from) || f.Date.After(night) || !ad.On(f.Date) {
				continue
			}
			x := foundOf(set, f)
			if !seen[x.Key] {
				seen[x.Key] = true
				out = append(out, x)
			}
		}
	}
	return out
}

func foundOf(set *limits.Set, f limits.Finding) notices.Found {
	x := notices.Found{Key: f.Key(), LimitSet: set.ID, Limit: f.Limit, Weight: f.Weight, Date: f.Date, Allowed: -1, Actual: f.Actual, Says: f.Says, Source: f.Source}
	if f.Limit == limits.BowlerCap {
		x.LimitSet = limits.FormatSource // the same under every limit set
	}
	if f.Match != nil && len(*f.Match) >= 36 {
		x.OutingID = domain.ID((*f.Match)[:36])
	}
	if f.Allowed != nil {
		x.Allowed = *f.Allowed
	}
	if f.Earliest != nil {
		x.Earliest = *f.Earliest
	}
	if f.Innings != nil {
		x.Innings = *f.Innings
	}
	if f.Over != nil {
		x.Over = *f.Over
	}
	if f.AgeGroup != nil {
		x.AgeGroup = *f.AgeGroup
	}
	return x
}

// LastNight is the latest local date that the nightly run has done for a region; zero if none.
func (a *App) LastNight(ctx context.Context, region domain.ID) (domain.Date, error) {
	return a.store.LastDone(ctx, access.Overnight(region, domain.Date{}), NightJob)
}

// Directory lists all regions, for the nightly run and the operator's commands.
func (a *App) Directory(ctx context.Context) ([]domain.Region, error) { return a.store.Regions(ctx) }
