package store

import (
	"context"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// Players lists the players inside the scope by name. An officer's scope reaches players whose names the officer is not shown, so its
// lists go by id and a name finds only those whom the person knows by another appointment: neither order, page token nor search
// says anything about a name.
func (t *Tx) Players(ctx context.Context, s access.Scope, f domain.PlayerFilter, p domain.Page) (domain.Slice[domain.Player], error) {
	db, sight, err := t.rows(ctx, s, &playerRow{})
	if err != nil {
		return domain.Slice[domain.Player]{}, err
	}
	db = sight.players("player.id").on(db)
	if f.ClubID != "" {
		db = sight.registered("player.id", []domain.ID{f.ClubID}).on(db)
	}
	if f.SquadID != "" {
		db = sight.inSquads("player.id", []domain.ID{f.SquadID}).on(db)
	}
	officer := s.All() && !s.Counting()
	if f.Name != "" {
		db = db.Where("player.name_search LIKE ?", "%"+searchForm(f.Name)+"%")
		if officer {
			db = sight.byName("player.id").on(db)
		}
	}
	if officer {
		l := listing{name: "players by id", filter: f, sort: []string{"id"}}
		return slice(db, l, p, func(r playerRow) []string { return []string{string(r.ID)} }, playerRow.domain)
	}
	l := listing{name: "players", filter: f, sort: []string{"name_search", "id"}}
	return slice(db, l, p, func(r playerRow) []string { return []string{r.NameSearch, string(r.ID)} }, playerRow.domain)
}

// Player reads one player; not_found outside the scope.
func (t *Tx) Player(ctx context.Context, s access.Scope, id domain.ID) (domain.Player, error) {
	db, sight, err := t.rows(ctx, s, &playerRow{})
	if err != nil {
		return domain.Player{}, err
	}
	row, err := find[playerRow](sight.players("player.id").on(db).Where("id = ?", id))
	return row.domain(), err
}

// PlayersByID returns those of ids that are inside the scope, in no order.
func (t *Tx) PlayersByID(ctx context.Context, s access.Scope, ids []domain.ID) ([]domain.Player, error) {
	db, sight, err := t.rows(ctx, s, &playerRow{})
	if err != nil {
		return nil, err
	}
	return all(sight.d.among("player.id", ids).on(sight.players("player.id").on(db)), playerRow.domain)
}

// PlayersByReference looks through the whole region with an operator's or a counting scope, and through the scope's own players
// otherwise. Blank references find nobody.
func (t *Tx) PlayersByReference(ctx context.Context, s access.Scope, refs []string) (map[string]domain.Player, error) {
	_, sight, err := t.rows(ctx, s, &playerRow{})
	if err != nil {
		return nil, err
	}
	seen := sight.players("player.id")
	if s.Operator() || s.Counting() {
		seen = condition{}
	}
	out := make(map[string]domain.Player, len(refs))
	for from := 0; from < len(refs); from += bulk {
		part := refs[from:min(from+bulk, len(refs))]
		found, err := all(seen.on(t.all(ctx, &playerRow{})).Where("reference <> '' AND reference IN ?", part), playerRow.domain)
		if err != nil {
			return nil, err
		}
		for _, p := range found {
			out[p.Reference] = p
		}
	}
	return out, nil
}

// PutPlayer stores a player. A new one is inside no club's scope until registered. Where the usual kind of bowling changes, the
// daily rollup is worked out again for the days on which what was bowled was not said. Conflict reference_taken where another
// player of the region has the reference.
func (t *Tx) PutPlayer(ctx context.Context, s access.Scope, v domain.Player) (domain.Player, error) {
	_, sight, err := t.rows(ctx, s, &playerRow{})
	if err != nil {
		return domain.Player{}, err
	}
	if s.Counting() && !s.All() {
		return domain.Player{}, errReach
	}
	if v.Version == 0 && !s.All() && len(s.Clubs()) == 0 {
		return domain.Player{}, domain.NotFound()
	}
	var before domain.Player
	if v.Version > 0 {
		if before, err = t.Player(ctx, s, v.ID); err != nil {
			return domain.Player{}, err
		}
	}
	taken := domain.Conflict("reference_taken", "Another player of the region has this reference. Look the player up by it instead.")
	row, err := put[playerRow](ctx, t, playerRowOf(t.region, v), putRule{seen: sight.players("player.id"), taken: taken})
	if err != nil {
		return domain.Player{}, err
	}
	if v.Version > 0 && before.Kind != v.Kind {
		err = t.refreshUnsaid(ctx, v.ID)
	}
	return row.domain(), err
}

// Registrations returns the registrations, inside the scope, of the given players, by player and first day.
func (t *Tx) Registrations(ctx context.Context, s access.Scope, players []domain.ID) ([]domain.Registration, error) {
	db, sight, err := t.rows(ctx, s, &registrationRow{})
	if err != nil {
		return nil, err
	}
	db = sight.d.among("registration.player_id", players).on(sight.registrations().on(db))
	out, err := all(db.Order("player_id").Order("from_day").Order("id"), registrationRow.domain)
	if err != nil {
		return nil, err
	}
	return out, t.nameClubs(ctx, out)
}

// PutRegistration stores a registration with a club that is inside the scope as a whole. The player may be anyone of the region:
// knowing the id is what a second club or a transfer comes with, and who may know it is the caller's to decide. Conflict
// registration_taken where the player is registered with the club for the season from that day already.
func (t *Tx) PutRegistration(ctx context.Context, s access.Scope, v domain.Registration) (domain.Registration, error) {
	_, sight, err := t.rows(ctx, s, &registrationRow{})
	if err != nil {
		return domain.Registration{}, err
	}
	if !s.HasClub(v.ClubID) {
		return domain.Registration{}, domain.NotFound()
	}
	seen := condition{}
	if !s.All() {
		seen = sight.d.among("registration.club_id", s.Clubs())
	}
	taken := domain.Conflict("registration_taken", "The player is registered with this club for this season from that day already.")
	row, err := put[registrationRow](ctx, t, registrationRowOf(t.region, v), putRule{seen: seen, taken: taken})
	if err != nil {
		return domain.Registration{}, err
	}
	one := []domain.Registration{row.domain()}
	err = t.nameClubs(ctx, one)
	return one[0], err
}

func (t *Tx) nameClubs(ctx context.Context, rs []domain.Registration) error {
	if len(rs) == 0 {
		return nil
	}
	names, err := t.clubNames(ctx, given(rs, func(r domain.Registration) domain.ID { return r.ClubID }))
	if err != nil {
		return err
	}
	for i := range rs {
		rs[i].ClubName = names[rs[i].ClubID]
	}
	return nil
}

// mayName reports not_found unless every one of players may be entered at a club: inside the scope today, or registered with the
// club at any time.
func (t *Tx) mayName(ctx context.Context, s access.Scope, club domain.ID, players []domain.ID) error {
	db, sight, err := t.rows(ctx, s, &playerRow{})
	if err != nil {
		return err
	}
	known := sight.players("player.id")
	if known.sql != "" {
		known = anyOf(known, condition{
			sql:  "EXISTS (SELECT 1 FROM registration k WHERE k.region_id = ? AND k.player_id = player.id AND k.club_id = ?)",
			args: []any{t.region, club}})
	}
	distinct := given(players, func(id domain.ID) domain.ID { return id })
	var n int64
	if err := t.d.among("player.id", distinct).on(known.on(db)).Count(&n).Error; err != nil {
		return normal(err)
	}
	if int(n) != len(distinct) || len(distinct) == 0 && len(players) > 0 {
		return domain.NotFound()
	}
	return nil
}
