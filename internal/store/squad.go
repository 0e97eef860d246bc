package store

import (
	"context"

	"gorm.io/gorm/clause"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// Squads lists the squads inside the scope by name, with the number of players that are in each today.
func (t *Tx) Squads(ctx context.Context, s access.Scope, f domain.SquadFilter, p domain.Page) (domain.Slice[domain.Squad], error) {
	db, sight, err := t.rows(ctx, s, &squadRow{})
	if err != nil {
		return domain.Slice[domain.Squad]{}, err
	}
	if f.ClubID != "" {
		db = db.Where("club_id = ?", f.ClubID)
	}
	l := listing{name: "squads", filter: f, sort: []string{"name_search", "id"}}
	out, err := slice(sight.squads().on(db), l, p, func(r squadRow) []string { return []string{r.NameSearch, string(r.ID)} }, squadRow.domain)
	if err != nil {
		return out, err
	}
	return out, t.countSquads(ctx, s, out.Items)
}

// Squad reads one squad; not_found outside the scope.
func (t *Tx) Squad(ctx context.Context, s access.Scope, id domain.ID) (domain.Squad, error) {
	db, sight, err := t.rows(ctx, s, &squadRow{})
	if err != nil {
		return domain.Squad{}, err
	}
	row, err := find[squadRow](sight.squads().on(db).Where("id = ?", id))
	if err != nil {
		return domain.Squad{}, err
	}
	one := []domain.Squad{row.domain()}
	err = t.countSquads(ctx, s, one)
	return one[0], err
}

// PutSquad stores a squad of a club that is inside the scope as a whole.
func (t *Tx) PutSquad(ctx context.Context, s access.Scope, v domain.Squad) (domain.Squad, error) {
	_, sight, err := t.rows(ctx, s, &squadRow{})
	if err != nil {
		return domain.Squad{}, err
	}
	if !s.HasClub(v.ClubID) {
		return domain.Squad{}, domain.NotFound()
	}
	seen := condition{}
	if !s.All() {
		seen = sight.d.among("squad.club_id", s.Clubs())
	}
	row, err := put[squadRow](ctx, t, squadRowOf(t.region, v), putRule{seen: seen})
	if err != nil {
		return domain.Squad{}, err
	}
	one := []domain.Squad{row.domain()}
	err = t.countSquads(ctx, s, one)
	return one[0], err
}

// PutSquadPlayer stores a player's time in a squad that is inside the scope; the same squad, player and first day is the same
// time, whose end is changed. The player must be inside the scope too, or registered with the squad's club.
func (t *Tx) PutSquadPlayer(ctx context.Context, s access.Scope, v domain.SquadPlayer) (domain.SquadPlayer, error) {
	squad, err := t.Squad(ctx, s, v.SquadID)
	if err != nil {
		return domain.SquadPlayer{}, err
	}
	if !s.HasSquad(squad.ClubID, squad.ID) {
		return domain.SquadPlayer{}, domain.NotFound()
	}
	if err := t.mayName(ctx, s, squad.ClubID, []domain.ID{v.PlayerID}); err != nil {
		return domain.SquadPlayer{}, err
	}
	row := squadPlayerRowOf(t.region, v)
	res := t.fresh(ctx).Clauses(clause.OnConflict{DoNothing: true}).Create(&row)
	if res.Error != nil || res.RowsAffected == 1 {
		return row.domain(), normal(res.Error)
	}
	err = t.all(ctx, &squadPlayerRow{}).Where("squad_id = ? AND player_id = ? AND from_day = ?", row.SquadID, row.PlayerID, row.FromDay).
		Updates(map[string]any{"to_day": row.ToDay}).Error
	return row.domain(), normal(err)
}

// SquadsOf returns the current squad memberships, inside the scope, of the given players, by player and squad.
func (t *Tx) SquadsOf(ctx context.Context, s access.Scope, players []domain.ID) ([]domain.SquadPlayer, error) {
	db, sight, err := t.rows(ctx, s, &squadPlayerRow{})
	if err != nil {
		return nil, err
	}
	db = sight.d.among("squad_player.player_id", players).on(sight.squadPlayers().on(db)).
		Where("from_day <= ? AND (to_day IS NULL OR to_day >= ?)", sight.today, sight.today)
	return all(db.Order("player_id").Order("squad_id").Order("from_day"), squadPlayerRow.domain)
}

// countSquads fills in how many players are in each squad today.
func (t *Tx) countSquads(ctx context.Context, s access.Scope, squads []domain.Squad) error {
	if len(squads) == 0 {
		return nil
	}
	var counts []struct {
		SquadID domain.ID
		N       int
	}
	today := dayOf(s.Today())
	db := t.d.among("squad_player.squad_id", given(squads, func(q domain.Squad) domain.ID { return q.ID })).
		on(t.all(ctx, &squadPlayerRow{})).Where("from_day <= ? AND (to_day IS NULL OR to_day >= ?)", today, today)
	if err := db.Select("squad_id, COUNT(DISTINCT player_id) AS n").Group("squad_id").Find(&counts).Error; err != nil {
		return normal(err)
	}
	byID := make(map[domain.ID]int, len(counts))
	for _, c := range counts {
		byID[c.SquadID] = c.N
	}
	for i := range squads {
		squads[i].PlayerCount = byID[squads[i].ID]
	}
	return nil
}
