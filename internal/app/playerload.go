package app

import (
	"context"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/load"
	"longspell/internal/notices"
)

// loadHistory is how many days of bowling a player's load is worked out from.
const loadHistory = 400

// PlayerLoad is a player's balls and overs by day, over 7 and 28 days, beside the player's own usual week, over all clubs.
func (a *App) PlayerLoad(ctx context.Context, c Call, player domain.ID, asOf domain.Date) (v LoadView, err error) {
	err = a.read(ctx, c, access.LoadRead, func(tx Tx, s access.Scope) error {
		p, err := tx.Player(ctx, s, player)
		if err != nil {
			return err
		}
		if asOf.IsZero() {
			asOf = s.Today()
		}
		cnt, err := count(ctx, tx, s, []domain.Player{p}, asOf.AddDays(-loadHistory), asOf)
		if err != nil {
			return err
		}
		v = loadView(load.Of(cnt.loadLog(player), asOf), asOf)
		if !s.HasRole(domain.Guardian) { // a guardian sees the child's bowling as one
			v.BallsElsewhere7 = cnt.elsewhere(player, asOf.AddDays(-6), asOf, func(o domain.Outing) bool { return s.HasSquad(o.ClubID, o.SquadID) })
		}
		return nil
	})
	return v, err
}

// loadLog is a player's bowling as the load calculation takes it.
func (c *counted) loadLog(player domain.ID) load.PlayerLog {
	src := c.logs[player]
	log := load.PlayerLog{Player: string(player)}
	for _, o := range src.Overs {
		log.Overs = append(log.Overs, load.Over{Date: o.Date, Match: o.Match, Innings: o.Innings, Over: o.Over, Balls: o.Balls, Valid: o.Valid, In: o.In})
	}
	for _, o := range src.Outings {
		log.Outings = append(log.Outings, load.Outing{Date: o.Date, Balls: o.Balls, Overs: o.CountedOvers()})
	}
	return log
}

func loadView(l load.PlayerLoad, asOf domain.Date) LoadView {
	window := func(w load.Window) LoadWindow {
		return LoadWindow{Balls: w.Balls, Valid: w.Valid, Overs: w.Overs, Days: w.Days}
	}
	v := LoadView{AsOf: asOf, DaysSince: l.DaysSince, Day: LoadCount(l.Day), Days7: window(l.Days7), Days28: window(l.Days28),
		UsualWeekBalls: l.UsualWeekBalls, ByDay: []LoadDay{}, Caution: notices.Caution}
	if l.Last != nil {
		v.Last = *l.Last
	}
	for _, d := range l.ByDay {
		v.ByDay = append(v.ByDay, LoadDay{Date: d.Date, Balls: d.Balls, Valid: d.Valid, Overs: d.Overs})
	}
	return v
}
