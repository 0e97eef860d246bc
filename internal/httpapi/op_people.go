package httpapi

import (
	"context"

	"longspell/internal/app"
	"longspell/internal/domain"
	"longspell/internal/httpapi/apigen"
)

func (o operations) ListSquads(ctx context.Context, r apigen.ListSquadsRequestObject) (apigen.ListSquadsResponseObject, error) {
	v, err := o.app.Squads(ctx, call(ctx, r.RegionID), app.SquadFilter{ClubID: toOptionalID(r.Params.ClubID)}, page(r.Params.PageSize, r.Params.PageToken))
	if err != nil {
		return nil, err
	}
	return apigen.ListSquads200JSONResponse{Items: each(v.Items, fromSquad), NextPageToken: o.pages.next(v.Next)}, nil
}

func (o operations) PutSquad(ctx context.Context, r apigen.PutSquadRequestObject) (apigen.PutSquadResponseObject, error) {
	v, err := o.app.PutSquad(ctx, call(ctx, r.RegionID), domain.Squad{ID: toID(r.SquadID), ClubID: toID(r.Body.ClubID),
		SeasonID: toID(r.Body.SeasonID), Name: r.Body.Name, AgeGroup: value(r.Body.AgeGroup, ""), Version: r.Body.Version})
	if err != nil {
		return nil, err
	}
	return apigen.PutSquad200JSONResponse(fromSquad(v)), nil
}

func fromSquad(v domain.Squad) apigen.Squad {
	return apigen.Squad{ID: fromID(v.ID), ClubID: fromID(v.ClubID), SeasonID: fromID(v.SeasonID), Name: v.Name,
		AgeGroup: text[string](v.AgeGroup), PlayerCount: v.PlayerCount, Version: v.Version}
}

func (o operations) PutSquadPlayer(ctx context.Context, r apigen.PutSquadPlayerRequestObject) (apigen.PutSquadPlayerResponseObject, error) {
	v, err := o.app.PutSquadPlayer(ctx, call(ctx, r.RegionID), domain.SquadPlayer{SquadID: toID(r.SquadID), PlayerID: toID(r.PlayerID),
		From: toDate(r.Body.From), To: toNullableDate(r.Body.To)})
	if err != nil {
		return nil, err
	}
	return apigen.PutSquadPlayer200JSONResponse{SquadID: fromID(v.SquadID), PlayerID: fromID(v.PlayerID), From: fromDate(v.From),
		To: fromNullableDate(v.To)}, nil
}

func (o operations) ListPlayers(ctx context.Context, r apigen.ListPlayersRequestObject) (apigen.ListPlayersResponseObject, error) {
	f := app.PlayerFilter{ClubID: toOptionalID(r.Params.ClubID), SquadID: toOptionalID(r.Params.SquadID), Name: given(r.Params.Name)}
	v, err := o.app.Players(ctx, call(ctx, r.RegionID), f, page(r.Params.PageSize, r.Params.PageToken))
	if err != nil {
		return nil, err
	}
	return apigen.ListPlayers200JSONResponse{Items: each(v.Items, fromPlayer), NextPageToken: o.pages.next(v.Next)}, nil
}

func (o operations) GetPlayer(ctx context.Context, r apigen.GetPlayerRequestObject) (apigen.GetPlayerResponseObject, error) {
	v, err := o.app.Player(ctx, call(ctx, r.RegionID), toID(r.PlayerID))
	if err != nil {
		return nil, err
	}
	return apigen.GetPlayer200JSONResponse(fromPlayer(v)), nil
}

func (o operations) PutPlayer(ctx context.Context, r apigen.PutPlayerRequestObject) (apigen.PutPlayerResponseObject, error) {
	b := r.Body
	cmd := app.PutPlayer{Player: domain.Player{ID: toID(r.PlayerID), Name: b.Name, Born: toNullableDate(b.Born), Sex: domain.Sex(value(b.Sex, "")),
		Arm: domain.Arm(value(b.Arm, "")), Kind: toKind(b.Kind), Since: toNullableDate(b.Since), Reference: value(b.Reference, ""), Version: b.Version}}
	if g := b.Registration; g != nil {
		cmd.Registration = &app.FirstRegistration{ID: toID(g.ID), ClubID: toID(g.ClubID), SeasonID: toID(g.SeasonID),
			SquadID: toNullableID(g.SquadID), From: toDate(g.From)}
	}
	v, err := o.app.PutPlayer(ctx, call(ctx, r.RegionID), cmd)
	if err != nil {
		return nil, err
	}
	return apigen.PutPlayer200JSONResponse(fromPlayer(v)), nil
}

// fromPlayer leaves out what the caller may not see: the birth date and the reference by their own flags.
func fromPlayer(v app.PlayerView) apigen.Player {
	out := apigen.Player{ID: fromID(v.ID), Name: v.Name, Named: v.Named, AgeGroup: text[string](v.AgeGroup), Sex: text[apigen.Sex](v.Sex),
		Arm: text[apigen.Arm](v.Arm), Kind: fromKind(v.Kind), Since: fromNullableDate(v.Since), SquadIds: each(v.SquadIDs, fromID), Version: v.Version,
		Clubs: each(v.Clubs, func(c app.PlayerClub) apigen.PlayerClub {
			return apigen.PlayerClub{ClubID: fromID(c.ClubID), ClubName: c.ClubName, First: c.First}
		})}
	out.Born = fromNullableDate(domain.Date{})
	if v.ShowBorn {
		out.Born = fromNullableDate(v.Born)
	}
	out.Reference = text[string]("")
	if v.ShowReference {
		out.Reference = text[string](v.Reference)
	}
	return out
}

func (o operations) ListRegistrations(ctx context.Context, r apigen.ListRegistrationsRequestObject) (apigen.ListRegistrationsResponseObject, error) {
	v, err := o.app.Registrations(ctx, call(ctx, r.RegionID), toID(r.PlayerID))
	if err != nil {
		return nil, err
	}
	return apigen.ListRegistrations200JSONResponse{Items: each(v, fromRegistration)}, nil
}

func (o operations) PutRegistration(ctx context.Context, r apigen.PutRegistrationRequestObject) (apigen.PutRegistrationResponseObject, error) {
	v, err := o.app.PutRegistration(ctx, call(ctx, r.RegionID), domain.Registration{ID: toID(r.RegistrationID), PlayerID: toID(r.PlayerID),
		ClubID: toID(r.Body.ClubID), SeasonID: toID(r.Body.SeasonID), First: r.Body.First, From: toDate(r.Body.From),
		To: toNullableDate(r.Body.To), Version: r.Body.Version})
	if err != nil {
		return nil, err
	}
	return apigen.PutRegistration200JSONResponse(fromRegistration(v)), nil
}

func fromRegistration(v domain.Registration) apigen.Registration {
	return apigen.Registration{ID: fromID(v.ID), PlayerID: fromID(v.PlayerID), ClubID: fromID(v.ClubID), SeasonID: fromID(v.SeasonID),
		First: v.First, From: fromDate(v.From), To: fromNullableDate(v.To), Version: v.Version}
}

func (o operations) ListAppointments(ctx context.Context, r apigen.ListAppointmentsRequestObject) (apigen.ListAppointmentsResponseObject, error) {
	v, err := o.app.Appointments(ctx, call(ctx, r.RegionID), app.AppointmentFilter{ClubID: toOptionalID(r.Params.ClubID)},
		page(r.Params.PageSize, r.Params.PageToken))
	if err != nil {
		return nil, err
	}
	return apigen.ListAppointments200JSONResponse{Items: each(v.Items, fromAppointment), NextPageToken: o.pages.next(v.Next)}, nil
}

func (o operations) PutAppointment(ctx context.Context, r apigen.PutAppointmentRequestObject) (apigen.PutAppointmentResponseObject, error) {
	b := r.Body
	v, err := o.app.PutAppointment(ctx, call(ctx, r.RegionID), domain.Appointment{ID: toID(r.AppointmentID), AccountID: toID(b.AccountID),
		Role: domain.Role(b.Role), ClubID: toNullableID(b.ClubID), SquadID: toNullableID(b.SquadID), PlayerID: toNullableID(b.PlayerID),
		From: toDate(b.From), To: toNullableDate(b.To), Version: b.Version})
	if err != nil {
		return nil, err
	}
	return apigen.PutAppointment200JSONResponse(fromAppointment(v)), nil
}

func fromAppointment(v domain.Appointment) apigen.Appointment {
	return apigen.Appointment{ID: fromID(v.ID), RegionID: fromID(v.RegionID), RegionName: v.RegionName, AccountID: fromID(v.AccountID),
		Holder: v.Holder, Role: apigen.Role(v.Role), ClubID: fromNullableID(v.ClubID), ClubName: text[string](v.ClubName),
		SquadID: fromNullableID(v.SquadID), SquadName: text[string](v.SquadName), PlayerID: fromNullableID(v.PlayerID),
		From: fromDate(v.From), To: fromNullableDate(v.To), Version: v.Version}
}
