package store

import (
	"context"

	"gorm.io/gorm/clause"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// Appointments lists the appointments inside the scope in the order in which they were made, ended ones too.
func (t *Tx) Appointments(ctx context.Context, s access.Scope, f domain.AppointmentFilter, p domain.Page) (domain.Slice[domain.Appointment], error) {
	db, sight, err := t.rows(ctx, s, &appointmentRow{})
	if err != nil {
		return domain.Slice[domain.Appointment]{}, err
	}
	db = sight.appointments().on(db)
	if f.ClubID != "" {
		db = db.Where("club_id = ?", f.ClubID)
	}
	if f.AccountID != "" {
		db = db.Where("account_id = ?", f.AccountID)
	}
	l := listing{name: "appointments", filter: f, sort: []string{"id"}}
	out, err := slice(db, l, p, func(r appointmentRow) []string { return []string{string(r.ID)} }, appointmentRow.domain)
	if err != nil {
		return out, err
	}
	return out, t.nameAppointments(ctx, out.Items)
}

// Appointment reads one appointment inside the scope.
func (t *Tx) Appointment(ctx context.Context, s access.Scope, id domain.ID) (domain.Appointment, error) {
	db, sight, err := t.rows(ctx, s, &appointmentRow{})
	if err != nil {
		return domain.Appointment{}, err
	}
	row, err := find[appointmentRow](sight.appointments().on(db).Where("id = ?", id))
	if err != nil {
		return domain.Appointment{}, err
	}
	one := []domain.Appointment{row.domain()}
	err = t.nameAppointments(ctx, one)
	return one[0], err
}

// PutAppointment stores an appointment and enters the region in the account's directory of regions. A scope that does not cover
// the region may appoint only within clubs that are inside as a whole, and a guardian only for a child inside.
func (t *Tx) PutAppointment(ctx context.Context, s access.Scope, v domain.Appointment) (domain.Appointment, error) {
	_, sight, err := t.rows(ctx, s, &appointmentRow{})
	if err != nil {
		return domain.Appointment{}, err
	}
	seen := condition{}
	if !s.All() {
		seen = sight.d.among("appointment.club_id", s.Clubs())
		if v.ClubID == "" || !s.HasClub(v.ClubID) {
			return domain.Appointment{}, domain.NotFound()
		}
		if v.PlayerID != "" {
			if _, err := t.Player(ctx, s, v.PlayerID); err != nil {
				return domain.Appointment{}, err
			}
		}
	}
	row, err := put[appointmentRow](ctx, t, appointmentRowOf(t.region, v), putRule{seen: seen})
	if err != nil {
		return domain.Appointment{}, err
	}
	entry := accountRegionRow{AccountID: row.AccountID, RegionID: t.region}
	if err := t.fresh(ctx).Clauses(clause.OnConflict{DoNothing: true}).Create(&entry).Error; err != nil {
		return domain.Appointment{}, normal(err)
	}
	one := []domain.Appointment{row.domain()}
	err = t.nameAppointments(ctx, one)
	return one[0], err
}

func (t *Tx) nameAppointments(ctx context.Context, as []domain.Appointment) error {
	if len(as) == 0 {
		return nil
	}
	region, err := find[regionRow](t.fresh(ctx).Model(&regionRow{}).Where("id = ?", t.region))
	if err != nil {
		return err
	}
	holders, err := t.accountNames(ctx, given(as, func(a domain.Appointment) domain.ID { return a.AccountID }))
	if err != nil {
		return err
	}
	clubs, err := t.clubNames(ctx, given(as, func(a domain.Appointment) domain.ID { return a.ClubID }))
	if err != nil {
		return err
	}
	squads, err := t.squadNames(ctx, given(as, func(a domain.Appointment) domain.ID { return a.SquadID }))
	if err != nil {
		return err
	}
	for i, a := range as {
		as[i].RegionName, as[i].Holder, as[i].ClubName, as[i].SquadName = region.Name, holders[a.AccountID], clubs[a.ClubID], squads[a.SquadID]
	}
	return nil
}
