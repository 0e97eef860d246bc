package store

import (
	"context"

	"gorm.io/gorm"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// Outings lists the outings inside the scope, the newest first, without their logs but with how many were present and how many
// balls were bowled.
func (t *Tx) Outings(ctx context.Context, s access.Scope, f domain.OutingFilter, p domain.Page) (domain.Slice[domain.Outing], error) {
	db, sight, err := t.rows(ctx, s, &outingRow{})
	if err != nil {
		return domain.Slice[domain.Outing]{}, err
	}
	db = sight.outings().on(db)
	if f.ClubID != "" {
		db = db.Where("club_id = ?", f.ClubID)
	}
	if f.SquadID != "" {
		db = db.Where("squad_id = ?", f.SquadID)
	}
	if !f.From.IsZero() {
		db = db.Where("day >= ?", dayOf(f.From))
	}
	if !f.To.IsZero() {
		db = db.Where("day <= ?", dayOf(f.To))
	}
	l := listing{name: "outings", filter: f, sort: []string{"day", "id"}, newest: true}
	out, err := slice(db, l, p, func(r outingRow) []string { return []string{string(r.Day), string(r.ID)} }, outingRow.domain)
	if err != nil {
		return out, err
	}
	return out, t.countOutings(ctx, out.Items)
}

// Outing reads an outing whole: attendance by player, overs by innings, over and order of logging, spells and practice in the
// order in which they were made; not_found outside the scope.
func (t *Tx) Outing(ctx context.Context, s access.Scope, id domain.ID) (domain.Outing, error) {
	o, err := t.outingHead(ctx, s, id)
	if err != nil {
		return domain.Outing{}, err
	}
	one := []domain.Outing{o}
	if err := t.countOutings(ctx, one); err != nil {
		return domain.Outing{}, err
	}
	o = one[0]
	of := func(model any) *gorm.DB { return t.all(ctx, model).Where("outing_id = ?", id) }
	if o.Attendance, err = all(of(&attendanceRow{}).Order("player_id"), attendanceRow.domain); err != nil {
		return domain.Outing{}, err
	}
	if o.Overs, err = all(of(&overRow{}).Order("innings").Order("over_no").Order("seq").Order("id"), overRow.domain); err != nil {
		return domain.Outing{}, err
	}
	if o.Spells, err = all(of(&spellRow{}).Order("innings").Order("first_over").Order("id"), spellRow.domain); err != nil {
		return domain.Outing{}, err
	}
	o.Practice, err = all(of(&practiceRow{}).Order("id"), practiceRow.domain)
	return o, err
}

// OutingsByReference finds a club's outings by their references, as far as they are inside the scope.
func (t *Tx) OutingsByReference(ctx context.Context, s access.Scope, club domain.ID, refs []string) (map[string]domain.Outing, error) {
	_, sight, err := t.rows(ctx, s, &outingRow{})
	if err != nil {
		return nil, err
	}
	out := make(map[string]domain.Outing, len(refs))
	for from := 0; from < len(refs); from += bulk {
		part := refs[from:min(from+bulk, len(refs))]
		found, err := all(sight.outings().on(t.all(ctx, &outingRow{})).
			Where("club_id = ? AND reference <> '' AND reference IN ?", club, part), outingRow.domain)
		if err != nil {
			return nil, err
		}
		for _, o := range found {
			out[o.Reference] = o
		}
	}
	return out, nil
}

// PutOuting stores the outing's own columns. A scope of one squad may store that squad's outings alone. Who logged it stays who
// first did. Conflict reference_taken where the club has another outing of that reference. What was bowled is not counted here.
func (t *Tx) PutOuting(ctx context.Context, s access.Scope, v domain.Outing) (domain.Outing, error) {
	_, sight, err := t.rows(ctx, s, &outingRow{})
	if err != nil {
		return domain.Outing{}, err
	}
	if !s.HasSquad(v.ClubID, v.SquadID) {
		return domain.Outing{}, domain.NotFound()
	}
	taken := domain.Conflict("reference_taken", "The club has an outing of this reference already. Open that one instead.")
	row, err := put[outingRow](ctx, t, outingRowOf(t.region, v),
		putRule{seen: sight.outings(), taken: taken, fixed: []string{"logged_by"}})
	if err != nil {
		return domain.Outing{}, err
	}
	one := []domain.Outing{row.domain()}
	err = t.nameLoggers(ctx, one)
	return one[0], err
}

// ReplaceAttendance makes the attendance of an outing exactly this. Players who were on the list before may stay on it whoever
// they are; others must be inside the scope or registered with the club.
func (t *Tx) ReplaceAttendance(ctx context.Context, s access.Scope, outing domain.ID, a []domain.Attendance) error {
	o, err := t.outingHead(ctx, s, outing)
	if err != nil {
		return err
	}
	before, err := all(t.all(ctx, &attendanceRow{}).Where("outing_id = ?", outing), attendanceRow.domain)
	if err != nil {
		return err
	}
	listed := make(map[domain.ID]bool, len(before))
	for _, b := range before {
		listed[b.PlayerID] = true
	}
	rows := make([]attendanceRow, 0, len(a))
	var others []domain.ID
	for _, v := range a {
		rows = append(rows, attendanceRowOf(t.region, outing, v))
		if !listed[v.PlayerID] {
			others = append(others, v.PlayerID)
		}
	}
	if err := t.mayName(ctx, s, o.ClubID, others); err != nil {
		return err
	}
	if err := t.all(ctx, &attendanceRow{}).Where("outing_id = ?", outing).Delete(&attendanceRow{}).Error; err != nil {
		return normal(err)
	}
	return insert(t.fresh(ctx), rows)
}

// outingHead reads an outing without its logs; not_found outside the scope.
func (t *Tx) outingHead(ctx context.Context, s access.Scope, id domain.ID) (domain.Outing, error) {
	db, sight, err := t.rows(ctx, s, &outingRow{})
	if err != nil {
		return domain.Outing{}, err
	}
	row, err := find[outingRow](sight.outings().on(db).Where("id = ?", id))
	if err != nil {
		return domain.Outing{}, err
	}
	one := []domain.Outing{row.domain()}
	err = t.nameLoggers(ctx, one)
	return one[0], err
}

func (t *Tx) nameLoggers(ctx context.Context, os []domain.Outing) error {
	by := given(os, func(o domain.Outing) domain.ID { return o.LoggedBy })
	if len(by) == 0 {
		return nil
	}
	names, err := t.accountNames(ctx, by)
	if err != nil {
		return err
	}
	for i := range os {
		os[i].LoggedByName = names[os[i].LoggedBy]
	}
	return nil
}

// countOutings fills in who logged, how many were present and how many balls were bowled.
func (t *Tx) countOutings(ctx context.Context, os []domain.Outing) error {
	if len(os) == 0 {
		return nil
	}
	if err := t.nameLoggers(ctx, os); err != nil {
		return err
	}
	ids := given(os, func(o domain.Outing) domain.ID { return o.ID })
	present, err := t.sums(ctx, &attendanceRow{}, "COUNT(*)", ids, condition{sql: "present = ?", args: []any{string(domain.PresentYes)}})
	if err != nil {
		return err
	}
	balls := make(map[domain.ID]int, len(os))
	for _, log := range []any{&overRow{}, &spellRow{}, &practiceRow{}} {
		part, err := t.sums(ctx, log, "SUM(balls)", ids, condition{})
		if err != nil {
			return err
		}
		for id, n := range part {
			balls[id] += n
		}
	}
	for i := range os {
		os[i].PresentCount, os[i].Balls = present[os[i].ID], balls[os[i].ID]
	}
	return nil
}

// sums works out an aggregate of a log for each of some outings.
func (t *Tx) sums(ctx context.Context, model any, aggregate string, outings []domain.ID, only condition) (map[domain.ID]int, error) {
	var rows []struct {
		OutingID domain.ID
		N        int
	}
	db := only.on(t.d.among("outing_id", outings).on(t.all(ctx, model)))
	if err := db.Select("outing_id, " + aggregate + " AS n").Group("outing_id").Find(&rows).Error; err != nil {
		return nil, normal(err)
	}
	out := make(map[domain.ID]int, len(rows))
	for _, r := range rows {
		out[r.OutingID] = r.N
	}
	return out, nil
}
