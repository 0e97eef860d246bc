package store

import (
	"context"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// PutOver stores one bowler's share of an over in an outing that is inside the scope. Conflict over_taken where the bowler stands
// in that over already. The bowler must be inside the scope or registered with the club, unless the row names the same one already.
func (t *Tx) PutOver(ctx context.Context, s access.Scope, v domain.OverLog) (domain.OverLog, error) {
	if err := mayLog[overRow](ctx, t, s, v.OutingID, v.ID, v.PlayerID); err != nil {
		return domain.OverLog{}, err
	}
	taken := domain.Conflict("over_taken", "This bowler stands in this over already. Change that entry instead.")
	row, err := put[overRow](ctx, t, overRowOf(t.region, v), putRule{seen: inOuting("over_log", v.OutingID), taken: taken})
	return row.domain(), err
}

// DeleteOver takes an over back if version is still its version.
func (t *Tx) DeleteOver(ctx context.Context, s access.Scope, outing, id domain.ID, version int) error {
	return takeBack[overRow](ctx, t, s, outing, id, version)
}

// PutSpell stores a quick spell as PutOver does an over.
func (t *Tx) PutSpell(ctx context.Context, s access.Scope, v domain.QuickSpell) (domain.QuickSpell, error) {
	if err := mayLog[spellRow](ctx, t, s, v.OutingID, v.ID, v.PlayerID); err != nil {
		return domain.QuickSpell{}, err
	}
	row, err := put[spellRow](ctx, t, spellRowOf(t.region, v), putRule{seen: inOuting("quick_spell", v.OutingID)})
	return row.domain(), err
}

// DeleteSpell takes a quick spell back if version is still its version.
func (t *Tx) DeleteSpell(ctx context.Context, s access.Scope, outing, id domain.ID, version int) error {
	return takeBack[spellRow](ctx, t, s, outing, id, version)
}

// PutPractice stores a practice entry as PutOver does an over.
func (t *Tx) PutPractice(ctx context.Context, s access.Scope, v domain.Practice) (domain.Practice, error) {
	if err := mayLog[practiceRow](ctx, t, s, v.OutingID, v.ID, v.PlayerID); err != nil {
		return domain.Practice{}, err
	}
	row, err := put[practiceRow](ctx, t, practiceRowOf(t.region, v), putRule{seen: inOuting("practice", v.OutingID)})
	return row.domain(), err
}

// DeletePractice takes a practice entry back if version is still its version.
func (t *Tx) DeletePractice(ctx context.Context, s access.Scope, outing, id domain.ID, version int) error {
	return takeBack[practiceRow](ctx, t, s, outing, id, version)
}

// AddLogs inserts the logs of new outings in bulk; the outings must be inside the scope and the players as PutOver has it. Conflict
// already_there where an id, an over or a presence is there already.
func (t *Tx) AddLogs(ctx context.Context, s access.Scope, attendance map[domain.ID][]domain.Attendance, overs []domain.OverLog, practice []domain.Practice) error {
	if _, _, err := t.rows(ctx, s, &outingRow{}); err != nil {
		return err
	}
	named := map[domain.ID][]domain.ID{}
	var attendances []attendanceRow
	for outing, list := range attendance {
		for _, a := range list {
			attendances = append(attendances, attendanceRowOf(t.region, outing, a))
			named[outing] = append(named[outing], a.PlayerID)
		}
	}
	overRows := make([]overRow, 0, len(overs))
	for _, v := range overs {
		row := overRowOf(t.region, v)
		row.Version = 1
		overRows = append(overRows, row)
		named[v.OutingID] = append(named[v.OutingID], v.PlayerID)
	}
	practiceRows := make([]practiceRow, 0, len(practice))
	for _, v := range practice {
		row := practiceRowOf(t.region, v)
		row.Version = 1
		practiceRows = append(practiceRows, row)
		named[v.OutingID] = append(named[v.OutingID], v.PlayerID)
	}
	if err := t.mayLogAll(ctx, s, named); err != nil {
		return err
	}
	if err := insert(t.fresh(ctx), attendances); err != nil {
		return err
	}
	if err := insert(t.fresh(ctx), overRows); err != nil {
		return err
	}
	return insert(t.fresh(ctx), practiceRows)
}

// mayLogAll reports not_found unless every outing is inside the scope and may name its players. A scope that covers the region may
// name anyone of it, which the foreign keys see to.
func (t *Tx) mayLogAll(ctx context.Context, s access.Scope, named map[domain.ID][]domain.ID) error {
	if s.All() {
		return nil
	}
	players := map[domain.ID][]domain.ID{} // by club
	for outing, names := range named {
		o, err := t.outingHead(ctx, s, outing)
		if err != nil {
			return err
		}
		players[o.ClubID] = append(players[o.ClubID], names...)
	}
	for club, names := range players {
		if err := t.mayName(ctx, s, club, names); err != nil {
			return err
		}
	}
	return nil
}

// mayLog reports not_found unless the outing is inside the scope and a log of it may name the player.
func mayLog[R any](ctx context.Context, t *Tx, s access.Scope, outing, id, player domain.ID) error {
	o, err := t.outingHead(ctx, s, outing)
	if err != nil {
		return err
	}
	named, err := exists(t.all(ctx, new(R)).Where("outing_id = ? AND id = ? AND player_id = ?", outing, id, player))
	if err != nil || named {
		return err
	}
	return t.mayName(ctx, s, o.ClubID, []domain.ID{player})
}

func takeBack[R any](ctx context.Context, t *Tx, s access.Scope, outing, id domain.ID, version int) error {
	if _, err := t.outingHead(ctx, s, outing); err != nil {
		return err
	}
	res := t.all(ctx, new(R)).Where("outing_id = ? AND id = ? AND version = ?", outing, id, version).Delete(new(R))
	if res.Error != nil || res.RowsAffected == 1 {
		return normal(res.Error)
	}
	there, err := exists(t.all(ctx, new(R)).Where("outing_id = ? AND id = ?", outing, id))
	switch {
	case err != nil:
		return err
	case there:
		return stale()
	}
	return domain.NotFound()
}

// inOuting holds for logs of one outing, which the caller has been found to see.
func inOuting(table string, outing domain.ID) condition {
	return condition{sql: table + ".outing_id = ?", args: []any{outing}}
}

// AddCorrections stores what entries of outings inside the scope were before.
func (t *Tx) AddCorrections(ctx context.Context, s access.Scope, c []domain.Correction) error {
	if _, _, err := t.rows(ctx, s, &correctionRow{}); err != nil {
		return err
	}
	rows := make([]correctionRow, 0, len(c))
	for _, v := range c {
		rows = append(rows, correctionRowOf(t.region, v))
	}
	for _, id := range given(c, func(v domain.Correction) domain.ID { return v.OutingID }) {
		if _, err := t.outingHead(ctx, s, id); err != nil {
			return err
		}
	}
	return insert(t.fresh(ctx), rows)
}

// Corrections lists what was corrected in an outing, the newest first; not_found where the outing is outside the scope.
func (t *Tx) Corrections(ctx context.Context, s access.Scope, outing domain.ID, p domain.Page) (domain.Slice[domain.Correction], error) {
	if _, err := t.outingHead(ctx, s, outing); err != nil {
		return domain.Slice[domain.Correction]{}, err
	}
	l := listing{name: "corrections", filter: outing, sort: []string{"happened_at", "id"}, newest: true}
	out, err := slice(t.all(ctx, &correctionRow{}).Where("outing_id = ?", outing), l, p,
		func(r correctionRow) []string { return []string{string(r.HappenedAt), string(r.ID)} }, correctionRow.domain)
	if err != nil {
		return out, err
	}
	names, err := t.accountNames(ctx, given(out.Items, func(c domain.Correction) domain.ID { return c.By }))
	for i := range out.Items {
		out.Items[i].ByName = names[out.Items[i].By]
	}
	return out, err
}
