package httpapi

import (
	"context"

	"longspell/internal/app"
	"longspell/internal/domain"
	"longspell/internal/httpapi/apigen"
)

func (o operations) GetMe(ctx context.Context, _ apigen.GetMeRequestObject) (apigen.GetMeResponseObject, error) {
	v, err := o.app.Me(ctx, actorFrom(ctx))
	if err != nil {
		return nil, err
	}
	return apigen.GetMe200JSONResponse(fromMe(v)), nil
}

func fromMe(v app.MeView) apigen.Me {
	return apigen.Me{AccountID: fromID(v.Account), DisplayName: v.DisplayName, Demo: v.Demo, Appointments: each(v.Appointments, fromAppointment)}
}

func (o operations) GetRegion(ctx context.Context, r apigen.GetRegionRequestObject) (apigen.GetRegionResponseObject, error) {
	v, err := o.app.Region(ctx, call(ctx, r.RegionID))
	if err != nil {
		return nil, err
	}
	return apigen.GetRegion200JSONResponse(fromRegion(v)), nil
}

func (o operations) UpdateRegion(ctx context.Context, r apigen.UpdateRegionRequestObject) (apigen.UpdateRegionResponseObject, error) {
	v, err := o.app.UpdateRegion(ctx, call(ctx, r.RegionID), domain.Region{Name: r.Body.Name, TimeZone: r.Body.TimeZone,
		SeasonStartMonth: r.Body.SeasonStartMonth, SeasonStartDay: r.Body.SeasonStartDay, Version: r.Body.Version})
	if err != nil {
		return nil, err
	}
	return apigen.UpdateRegion200JSONResponse(fromRegion(v)), nil
}

func fromRegion(v app.RegionView) apigen.Region {
	return apigen.Region{ID: fromID(v.ID), Name: v.Name, TimeZone: v.TimeZone, Today: fromDate(v.Today), Demo: v.Demo,
		SeasonStartMonth: v.SeasonStartMonth, SeasonStartDay: v.SeasonStartDay, Version: v.Version}
}

func (o operations) ListSeasons(ctx context.Context, r apigen.ListSeasonsRequestObject) (apigen.ListSeasonsResponseObject, error) {
	v, err := o.app.Seasons(ctx, call(ctx, r.RegionID), page(r.Params.PageSize, r.Params.PageToken))
	if err != nil {
		return nil, err
	}
	return apigen.ListSeasons200JSONResponse{Items: each(v.Items, fromSeason), NextPageToken: o.pages.next(v.Next)}, nil
}

func (o operations) PutSeason(ctx context.Context, r apigen.PutSeasonRequestObject) (apigen.PutSeasonResponseObject, error) {
	v, err := o.app.PutSeason(ctx, call(ctx, r.RegionID), domain.Season{ID: toID(r.SeasonID), Name: r.Body.Name,
		FirstDay: toDate(r.Body.FirstDay), LastDay: toDate(r.Body.LastDay), Version: r.Body.Version})
	if err != nil {
		return nil, err
	}
	return apigen.PutSeason200JSONResponse(fromSeason(v)), nil
}

func fromSeason(v domain.Season) apigen.Season {
	return apigen.Season{ID: fromID(v.ID), Name: v.Name, FirstDay: fromDate(v.FirstDay), LastDay: fromDate(v.LastDay), Version: v.Version}
}

func (o operations) ListClubs(ctx context.Context, r apigen.ListClubsRequestObject) (apigen.ListClubsResponseObject, error) {
	v, err := o.app.Clubs(ctx, call(ctx, r.RegionID), page(r.Params.PageSize, r.Params.PageToken))
	if err != nil {
		return nil, err
	}
	return apigen.ListClubs200JSONResponse{Items: each(v.Items, fromClub), NextPageToken: o.pages.next(v.Next)}, nil
}

func (o operations) PutClub(ctx context.Context, r apigen.PutClubRequestObject) (apigen.PutClubResponseObject, error) {
	v, err := o.app.PutClub(ctx, call(ctx, r.RegionID), domain.Club{ID: toID(r.ClubID), Name: r.Body.Name, ShortName: r.Body.ShortName, Version: r.Body.Version})
	if err != nil {
		return nil, err
	}
	return apigen.PutClub200JSONResponse(fromClub(v)), nil
}

func fromClub(v domain.Club) apigen.Club {
	return apigen.Club{ID: fromID(v.ID), Name: v.Name, ShortName: v.ShortName, Version: v.Version}
}

func (o operations) ListAudit(ctx context.Context, r apigen.ListAuditRequestObject) (apigen.ListAuditResponseObject, error) {
	v, err := o.app.Audit(ctx, call(ctx, r.RegionID), page(r.Params.PageSize, r.Params.PageToken))
	if err != nil {
		return nil, err
	}
	return apigen.ListAudit200JSONResponse{Items: each(v.Items, fromAudit), NextPageToken: o.pages.next(v.Next)}, nil
}

func fromAudit(v domain.AuditEntry) apigen.AuditEntry {
	detail := v.Detail
	if detail == nil {
		detail = map[string]string{}
	}
	return apigen.AuditEntry{ID: fromID(v.ID), At: v.At, By: text[string](v.ByName), Role: v.Role, Action: v.Action, What: v.What,
		EntryID: fromNullableID(v.EntryID), Detail: detail}
}
