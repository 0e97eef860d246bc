package app

import (
	"context"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// Appointments lists who holds which appointment inside the caller's scope.
func (a *App) Appointments(ctx context.Context, c Call, f AppointmentFilter, p domain.Page) (out domain.Slice[domain.Appointment], err error) {
	err = a.read(ctx, c, access.AppointmentRead, func(tx Tx, s access.Scope) (err error) {
		out, err = tx.Appointments(ctx, s, f, p)
		return err
	})
	return out, err
}

// PutAppointment appoints a person who has an account, or ends an appointment. A club lead appoints coaches and guardians of
// the own club; officers and club leads are appointed by an officer.
func (a *App) PutAppointment(ctx context.Context, c Call, v domain.Appointment) (domain.Appointment, error) {
	if err := checkAppointment(v); err != nil {
		return v, err
	}
	was := v.Version
	err := a.write(ctx, c, access.AppointmentWrite, func(tx Tx, s access.Scope) error {
		if v.Role != domain.RegionOfficer && !s.HasClub(v.ClubID) {
			return domain.NotFound()
		}
		if (v.Role == domain.RegionOfficer || v.Role == domain.ClubLead) && !s.HasRole(domain.RegionOfficer) {
			return domain.Forbidden("Only a region officer appoints officers and club leads.")
		}
		if v.Role == domain.Guardian && !s.LeadsClub(v.ClubID) {
			return domain.Forbidden("A guardian is linked to a child by the club, not by the region.")
		}
		if err := a.appointmentTargets(ctx, tx, s, v); err != nil {
			return err
		}
		if err := sameAppointment(ctx, tx, s, v); err != nil {
			return err
		}
		if _, err := a.store.AccountByID(ctx, v.AccountID); err != nil {
			return err
		}
		v.RegionID = c.Region
		var err error
		if v, err = tx.PutAppointment(ctx, s, v); err != nil {
			return err
		}
		return a.trail(ctx, tx, s, action(was), "appointment", v.ID, map[string]string{"role": string(v.Role)})
	})
	return v, err
}

func checkAppointment(v domain.Appointment) error {
	bad := func(pointer, detail string) error {
		return domain.Invalid("appointment", "This appointment does not hold together: "+detail+".", domain.FieldError{Pointer: pointer, Detail: detail})
	}
	switch {
	case v.Role == domain.RegionOfficer && (v.ClubID != "" || v.SquadID != "" || v.PlayerID != ""):
		return bad("/clubId", "a region officer belongs to no club, squad or player")
	case v.Role != domain.RegionOfficer && v.ClubID == "":
		return bad("/clubId", "this role needs a club")
	case v.Role == domain.Guardian && v.PlayerID == "":
		return bad("/playerId", "a guardian needs a player")
	case v.Role != domain.Guardian && v.PlayerID != "":
		return bad("/playerId", "only a guardian belongs to one player")
	case v.Role != domain.Coach && v.SquadID != "":
		return bad("/squadId", "only a coach may be confined to a squad")
	case !v.To.IsZero() && v.To.Before(v.From):
		return bad("/to", "it ends before it begins")
	}
	return nil
}

// sameAppointment refuses to turn one appointment into another: only its days may change, so that the trail of who held what
// stays true.
func sameAppointment(ctx context.Context, tx Tx, s access.Scope, v domain.Appointment) error {
	if v.Version == 0 {
		return nil
	}
	old, err := tx.Appointment(ctx, s, v.ID)
	if err != nil {
		return err
	}
	if old.AccountID != v.AccountID || old.Role != v.Role || old.ClubID != v.ClubID || old.SquadID != v.SquadID || old.PlayerID != v.PlayerID {
		return domain.RuleBroken("appointment_fixed", "An appointment keeps its person, role and place. End this one and make another.")
	}
	return nil
}

func (a *App) appointmentTargets(ctx context.Context, tx Tx, s access.Scope, v domain.Appointment) error {
	if v.SquadID != "" {
		sq, err := tx.Squad(ctx, s, v.SquadID)
		if err != nil {
			return err
		}
		if sq.ClubID != v.ClubID {
			return domain.NotFound()
		}
	}
	if v.PlayerID != "" {
		club, err := s.InClub(v.ClubID)
		if err != nil {
			return err
		}
		if _, err := tx.Player(ctx, club, v.PlayerID); err != nil {
			return err
		}
	}
	return nil
}
