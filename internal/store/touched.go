package store

import (
	"context"
	"slices"

	"gorm.io/gorm"
	"gorm.io/gorm/clause"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// touch marks days as touched. A day that is marked already is marked again, which makes any two transactions that touch
// the same day, and the nightly run that forgets it, clash: one of them is run again and sees what the other wrote.
func (t *Tx) touch(ctx context.Context, days []domain.TouchedDay) error {
	for part := range slices.Chunk(days, bulk) {
		rows := make([]touchedDayRow, 0, len(part))
		for _, d := range part {
			rows = append(rows, touchedDayRow{RegionID: t.region, PlayerID: d.PlayerID, Day: dayOf(d.Day), Touches: 1})
		}
		res := t.fresh(ctx).Clauses(clause.OnConflict{DoNothing: true}).Create(&rows)
		if res.Error != nil {
			return normal(res.Error)
		}
		if res.RowsAffected == int64(len(part)) {
			continue
		}
		if err := t.touchAgain(ctx, part); err != nil {
			return err
		}
	}
	return nil
}

func (t *Tx) touchAgain(ctx context.Context, days []domain.TouchedDay) error {
	byPlayer := map[domain.ID][]day{}
	for _, d := range days {
		byPlayer[d.PlayerID] = append(byPlayer[d.PlayerID], dayOf(d.Day))
	}
	for _, p := range given(days, func(d domain.TouchedDay) domain.ID { return d.PlayerID }) {
		err := t.all(ctx, &touchedDayRow{}).Where("player_id = ? AND day IN ?", p, byPlayer[p]).
			Updates(map[string]any{"touches": gorm.Expr("touches + 1")}).Error
		if err != nil {
			return normal(err)
		}
	}
	return nil
}

// TouchedPlayers lists players with touched days up to a date, in order of id after "after", with their first touched day. It is
// for scopes that cover the region for the service's own work.
func (t *Tx) TouchedPlayers(ctx context.Context, s access.Scope, upTo domain.Date, after domain.ID, limit int) ([]domain.TouchedDay, error) {
	db, _, err := t.rows(ctx, s, &touchedDayRow{})
	if err != nil {
		return nil, err
	}
	if !s.Counting() || !s.All() {
		return nil, errReach
	}
	if after != "" {
		db = db.Where("player_id > ?", after)
	}
	return all(db.Where("day <= ?", dayOf(upTo)).Select("player_id, MIN(day) AS day").Group("player_id").Order("player_id").Limit(limit),
		func(r touchedDayRow) domain.TouchedDay {
			return domain.TouchedDay{PlayerID: r.PlayerID, Day: r.Day.date()}
		})
}

// ClearTouched forgets the touched days of these players up to a date. A day that another transaction touches at the same time
// stays touched. It wants a counting scope and reaches no other players than that.
func (t *Tx) ClearTouched(ctx context.Context, s access.Scope, players []domain.ID, upTo domain.Date) error {
	db, sight, err := t.rows(ctx, s, &touchedDayRow{})
	if err != nil {
		return err
	}
	who, err := sight.counted("touched_day.player_id")
	if err != nil {
		return err
	}
	return normal(sight.d.among("touched_day.player_id", players).on(who.on(db)).Where("day <= ?", dayOf(upTo)).Delete(&touchedDayRow{}).Error)
}
