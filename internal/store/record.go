package store

import (
	"context"
	"fmt"

	"gorm.io/gorm"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// counted is whose bowling a scope may count: the players that it names, or everybody's where it covers the region. An actor's own
// scope counts nobody's.
func (v sight) counted(column string) (condition, error) {
	switch {
	case !v.s.Counting():
		return nothing, errReach
	case v.s.All():
		return condition{}, nil
	}
	return v.d.among(column, v.s.Players()), nil
}

// heldOutings holds where the outing in column was held.
func heldOutings(region domain.ID, column string) condition {
	return condition{
		sql:  "EXISTS (SELECT 1 FROM outing o WHERE o.region_id = ? AND o.id = " + column + " AND o.state = ?)",
		args: []any{region, string(domain.OutingHeld)},
	}
}

// BowlingRecord reads what the scope's counted players bowled from one day to another at every club, from outings that were held:
//
//   - the overs of everybody in the outings in which one of them bowled an over or a spell on one of the days, none of a later day;
//     those of an earlier day are there because the ends of a match over several days run on from them;
//   - their own spells on the days;
//   - their own practice at outings of the days, but for those that the attendance says they missed.
//
// It wants a counting scope.
func (t *Tx) BowlingRecord(ctx context.Context, s access.Scope, from, to domain.Date) (domain.BowlingRecord, error) {
	_, sight, err := t.rows(ctx, s, &overRow{})
	if err != nil {
		return domain.BowlingRecord{}, err
	}
	var rec domain.BowlingRecord
	if rec.Spells, err = t.spellsOf(ctx, sight, from, to); err != nil {
		return domain.BowlingRecord{}, err
	}
	practice, err := t.practiceOf(ctx, sight, from, to)
	if err != nil {
		return domain.BowlingRecord{}, err
	}
	matches, err := t.bowledAt(ctx, sight, from, to)
	if err != nil {
		return domain.BowlingRecord{}, err
	}
	concerned := append(matches, given(rec.Spells, func(q domain.QuickSpell) domain.ID { return q.OutingID })...)
	rec.Overs, err = all(t.d.among("over_log.outing_id", concerned).on(t.all(ctx, &overRow{})).Where("day <= ?", dayOf(to)).
		Order("day").Order("outing_id").Order("innings").Order("over_no").Order("seq").Order("id"), overRow.domain)
	if err != nil {
		return domain.BowlingRecord{}, err
	}
	concerned = append(concerned, given(practice, func(q domain.Practice) domain.ID { return q.OutingID })...)
	if rec.Outings, err = t.outingsByID(ctx, concerned); err != nil {
		return domain.BowlingRecord{}, err
	}
	rec.Items, err = dated(practice, rec.Outings)
	return rec, err
}

// bowledAt lists the outings held at which a counted player bowled an over on one of the days.
func (t *Tx) bowledAt(ctx context.Context, v sight, from, to domain.Date) ([]domain.ID, error) {
	who, err := v.counted("over_log.player_id")
	if err != nil {
		return nil, err
	}
	db := who.on(t.all(ctx, &overRow{})).Where("day >= ? AND day <= ?", dayOf(from), dayOf(to))
	rows, err := all(heldOutings(t.region, "over_log.outing_id").on(db).Distinct("outing_id").Order("outing_id"),
		func(r overRow) domain.ID { return r.OutingID })
	return rows, err
}

func (t *Tx) spellsOf(ctx context.Context, v sight, from, to domain.Date) ([]domain.QuickSpell, error) {
	who, err := v.counted("quick_spell.player_id")
	if err != nil {
		return nil, err
	}
	db := who.on(t.all(ctx, &spellRow{})).Where("day >= ? AND day <= ?", dayOf(from), dayOf(to))
	return all(heldOutings(t.region, "quick_spell.outing_id").on(db).
		Order("day").Order("outing_id").Order("innings").Order("first_over").Order("id"), spellRow.domain)
}

func (t *Tx) practiceOf(ctx context.Context, v sight, from, to domain.Date) ([]domain.Practice, error) {
	who, err := v.counted("practice.player_id")
	if err != nil {
		return nil, err
	}
	return all(t.practiceOn(who.on(t.all(ctx, &practiceRow{})), from, to), practiceRow.domain)
}

// practiceOn narrows practice to outings that were held on one of the days, but for players whom the attendance says were away.
func (t *Tx) practiceOn(db *gorm.DB, from, to domain.Date) *gorm.DB {
	held := condition{
		sql:  "EXISTS (SELECT 1 FROM outing o WHERE o.region_id = ? AND o.id = practice.outing_id AND o.state = ? AND o.day >= ? AND o.day <= ?)",
		args: []any{t.region, string(domain.OutingHeld), dayOf(from), dayOf(to)},
	}
	here := condition{
		sql: "NOT EXISTS (SELECT 1 FROM attendance a WHERE a.region_id = ? AND a.outing_id = practice.outing_id" +
			" AND a.player_id = practice.player_id AND a.present <> ?)",
		args: []any{t.region, string(domain.PresentYes)},
	}
	return here.on(held.on(db))
}

func (t *Tx) outingsByID(ctx context.Context, ids []domain.ID) (map[domain.ID]domain.Outing, error) {
	found, err := all(t.d.among("outing.id", ids).on(t.all(ctx, &outingRow{})), outingRow.domain)
	if err != nil {
		return nil, err
	}
	out := make(map[domain.ID]domain.Outing, len(found))
	for _, o := range found {
		out[o.ID] = o
	}
	return out, nil
}

// dated joins practice entries with their outings.
func dated(practice []domain.Practice, outings map[domain.ID]domain.Outing) ([]domain.PracticeOn, error) {
	var out []domain.PracticeOn
	for _, p := range practice {
		o, ok := outings[p.OutingID]
		if !ok {
			return nil, fmt.Errorf("store: practice %s without its outing", p.ID)
		}
		out = append(out, domain.PracticeOn{Practice: p, Date: o.Date, Outing: o.ID, At: o.Kind})
	}
	sortPractice(out)
	return out, nil
}

// DayLoads streams the rollup of the scope's counted players from one day to another, ordered by player, day and kind. It wants
// a counting scope. fn must not use the transaction, whose connection the stream is on.
func (t *Tx) DayLoads(ctx context.Context, s access.Scope, from, to domain.Date, fn func(domain.DayLoad) error) error {
	db, sight, err := t.rows(ctx, s, &dayLoadRow{})
	if err != nil {
		return err
	}
	who, err := sight.counted("day_load.player_id")
	if err != nil {
		return err
	}
	// gorm's own scanning costs three times as much on long streams (measured), so the rows are read plainly.
	rows, err := who.on(db).Where("day >= ? AND day <= ?", dayOf(from), dayOf(to)).
		Select("player_id", "day", "kind", "balls", "valid", "overs").Order("player_id").Order("day").Order("kind").Rows()
	if err != nil {
		return normal(err)
	}
	defer func() { _ = rows.Close() }()
	for rows.Next() {
		var r dayLoadRow
		if err := rows.Scan(&r.PlayerID, &r.Day, &r.Kind, &r.Balls, &r.Valid, &r.Overs); err != nil {
			return normal(err)
		}
		if err := fn(r.domain()); err != nil {
			return err
		}
	}
	return normal(rows.Err())
}
