package store

import (
	"context"

	"gorm.io/gorm"
	"gorm.io/gorm/clause"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// Notices lists the notices on players inside the scope, by last day, the newest first, with their facts.
func (t *Tx) Notices(ctx context.Context, s access.Scope, f domain.NoticeFilter, p domain.Page) (domain.Slice[domain.Notice], error) {
	db, sight, err := t.rows(ctx, s, &noticeRow{})
	if err != nil {
		return domain.Slice[domain.Notice]{}, err
	}
	db = sight.players("notice.player_id").on(db)
	if f.ClubID != "" {
		db = sight.registered("notice.player_id", []domain.ID{f.ClubID}).on(db)
	}
	if db, err = inState(db, f); err != nil {
		return domain.Slice[domain.Notice]{}, err
	}
	l := listing{name: "notices", filter: f, sort: []string{"last_day", "id"}, newest: true}
	out, err := slice(db, l, p, func(r noticeRow) []string { return []string{string(r.LastDay), string(r.ID)} }, noticeRow.domain)
	if err != nil {
		return out, err
	}
	return out, t.fillNotices(ctx, out.Items)
}

func inState(db *gorm.DB, f domain.NoticeFilter) (*gorm.DB, error) {
	switch f.State {
	case "", "all":
		return db, nil
	case "waiting":
		return db.Where("state <> ? AND visible_until >= ?", string(domain.NoticeEnded), dayOf(f.On)), nil
	case string(domain.NoticeOpen), string(domain.NoticeTakenUp), string(domain.NoticeEnded):
		return db.Where("state = ?", f.State), nil
	}
	return nil, domain.Invalid("notice_state", "A state is waiting, open, taken_up, ended or all.")
}

// Notice reads one notice with its facts; not_found where its player is outside the scope.
func (t *Tx) Notice(ctx context.Context, s access.Scope, id domain.ID) (domain.Notice, error) {
	db, sight, err := t.rows(ctx, s, &noticeRow{})
	if err != nil {
		return domain.Notice{}, err
	}
	row, err := find[noticeRow](sight.players("notice.player_id").on(db).Where("id = ?", id))
	if err != nil {
		return domain.Notice{}, err
	}
	one := []domain.Notice{row.domain()}
	err = t.fillNotices(ctx, one)
	return one[0], err
}

// NoticesOf returns all notices, ended ones too, of those of the given players that are inside the scope, by player and first
// day, with their facts.
func (t *Tx) NoticesOf(ctx context.Context, s access.Scope, players []domain.ID) ([]domain.Notice, error) {
	db, sight, err := t.rows(ctx, s, &noticeRow{})
	if err != nil {
		return nil, err
	}
	db = sight.d.among("notice.player_id", players).on(sight.players("notice.player_id").on(db))
	out, err := all(db.Order("player_id").Order("first_day").Order("id"), noticeRow.domain)
	if err != nil {
		return nil, err
	}
	return out, t.fillNotices(ctx, out)
}

// PutNotice stores the notice's own columns; its player must be inside the scope. Conflict notice_taken where the matter of that
// player and first day has a notice already.
func (t *Tx) PutNotice(ctx context.Context, s access.Scope, v domain.Notice) (domain.Notice, error) {
	_, sight, err := t.rows(ctx, s, &noticeRow{})
	if err != nil {
		return domain.Notice{}, err
	}
	if _, err := t.Player(ctx, s, v.PlayerID); err != nil {
		return domain.Notice{}, err
	}
	taken := domain.Conflict("notice_taken", "There is a notice of this matter already.")
	row, err := put[noticeRow](ctx, t, noticeRowOf(t.region, v), putRule{seen: sight.players("notice.player_id"), taken: taken})
	if err != nil {
		return domain.Notice{}, err
	}
	one := []domain.Notice{row.domain()}
	err = t.fillNotices(ctx, one)
	return one[0], err
}

// PutNoticeFacts inserts new facts and stores changed ones (same id) of notices inside the scope; a key that the player has
// already under another id is left alone.
func (t *Tx) PutNoticeFacts(ctx context.Context, s access.Scope, f []domain.NoticeFact) error {
	if err := t.factsInside(ctx, s, f); err != nil || len(f) == 0 {
		return err
	}
	var stored []noticeFactRow
	db := t.d.among("notice_fact.id", given(f, func(v domain.NoticeFact) domain.ID { return v.ID })).on(t.all(ctx, &noticeFactRow{}))
	if err := db.Find(&stored).Error; err != nil {
		return normal(err)
	}
	byID := make(map[domain.ID]noticeFactRow, len(stored))
	for _, r := range stored {
		byID[r.ID] = r
	}
	var fresh []noticeFactRow
	for _, v := range f {
		row := noticeFactRowOf(t.region, v)
		was, there := byID[row.ID]
		switch {
		case !there:
			fresh = append(fresh, row)
		case was.NoticeID != row.NoticeID || was.FactKey != row.FactKey:
			return domain.NotFound()
		case was != row:
			set, err := columns(ctx, t.db, &row, nil)
			if err != nil {
				return err
			}
			if err := t.all(ctx, &noticeFactRow{}).Where("id = ?", row.ID).Updates(set).Error; err != nil {
				return normal(err)
			}
		}
	}
	return insert(t.fresh(ctx).Clauses(clause.OnConflict{DoNothing: true}), fresh)
}

// factsInside reports not_found unless every fact belongs to a notice inside the scope and to that notice's player.
func (t *Tx) factsInside(ctx context.Context, s access.Scope, f []domain.NoticeFact) error {
	db, sight, err := t.rows(ctx, s, &noticeRow{})
	if err != nil {
		return err
	}
	var rows []noticeRow
	db = sight.d.among("notice.id", given(f, func(v domain.NoticeFact) domain.ID { return v.NoticeID })).on(sight.players("notice.player_id").on(db))
	if err := db.Select("id", "player_id").Find(&rows).Error; err != nil {
		return normal(err)
	}
	player := make(map[domain.ID]domain.ID, len(rows))
	for _, r := range rows {
		player[r.ID] = r.PlayerID
	}
	for _, v := range f {
		if of, ok := player[v.NoticeID]; !ok || of != v.PlayerID {
			return domain.NotFound()
		}
	}
	return nil
}

// fillNotices adds facts, by day and key, and the names of those who took notices up and ended them.
func (t *Tx) fillNotices(ctx context.Context, ns []domain.Notice) error {
	if len(ns) == 0 {
		return nil
	}
	place := make(map[domain.ID]int, len(ns))
	for i, n := range ns {
		place[n.ID] = i
	}
	db := t.d.among("notice_fact.notice_id", given(ns, func(n domain.Notice) domain.ID { return n.ID })).on(t.all(ctx, &noticeFactRow{}))
	facts, err := all(db.Order("day").Order("fact_key").Order("id"), noticeFactRow.domain)
	if err != nil {
		return err
	}
	for _, f := range facts {
		n := &ns[place[f.NoticeID]]
		n.Facts = append(n.Facts, f)
	}
	people := append(given(ns, func(n domain.Notice) domain.ID { return n.TakenUpBy }), given(ns, func(n domain.Notice) domain.ID { return n.EndedBy })...)
	names, err := t.accountNames(ctx, people)
	if err != nil {
		return err
	}
	for i := range ns {
		ns[i].TakenUpByName, ns[i].EndedByName = names[ns[i].TakenUpBy], names[ns[i].EndedBy]
	}
	return nil
}
