package httpapi

import (
	"context"

	"longspell/internal/app"
	"longspell/internal/domain"
	"longspell/internal/httpapi/apigen"
)

func (o operations) ListNotices(ctx context.Context, r apigen.ListNoticesRequestObject) (apigen.ListNoticesResponseObject, error) {
	f := app.NoticeFilter{State: string(apigen.NoticeStateWaiting), On: toOptionalDate(r.Params.On), ClubID: toOptionalID(r.Params.ClubID)}
	if r.Params.State != nil {
		f.State = string(*r.Params.State)
	}
	v, err := o.app.Notices(ctx, call(ctx, r.RegionID), f, page(r.Params.PageSize, r.Params.PageToken))
	if err != nil {
		return nil, err
	}
	return apigen.ListNotices200JSONResponse{Items: each(v.Items, fromNotice), NextPageToken: o.pages.next(v.Next)}, nil
}

func (o operations) GetNotice(ctx context.Context, r apigen.GetNoticeRequestObject) (apigen.GetNoticeResponseObject, error) {
	v, err := o.app.Notice(ctx, call(ctx, r.RegionID), toID(r.NoticeID))
	if err != nil {
		return nil, err
	}
	return apigen.GetNotice200JSONResponse(fromNotice(v)), nil
}

func (o operations) HandleNotice(ctx context.Context, r apigen.HandleNoticeRequestObject) (apigen.HandleNoticeResponseObject, error) {
	v, err := o.app.HandleNotice(ctx, call(ctx, r.RegionID), app.HandleNotice{ID: toID(r.NoticeID), State: domain.NoticeState(r.Body.State),
		Reason: domain.EndReason(value(r.Body.EndReason, "")), Version: r.Body.Version})
	if err != nil {
		return nil, err
	}
	return apigen.HandleNotice200JSONResponse(fromNotice(v)), nil
}

func fromNotice(v app.NoticeView) apigen.Notice {
	return apigen.Notice{ID: fromID(v.ID), Kind: apigen.NoticeKind(v.Kind), PlayerID: fromID(v.PlayerID), PlayerName: v.PlayerName,
		ClubNames: each(v.ClubNames, func(s string) string { return s }), Limit: apigen.LimitName(v.Limit), LimitSet: v.LimitSet,
		LimitSetTitle: text[string](v.SetTitle), LimitSetPublisher: text[string](v.SetPublisher), LimitSetYear: orNull(v.SetYear, v.SetYear > 0),
		Weight: apigen.Weight(v.Weight), FirstDay: fromDate(v.FirstDay), LastDay: fromDate(v.LastDay), OpenedOn: fromDate(v.OpenedOn),
		VisibleUntil: fromDate(v.VisibleUntil), State: apigen.NoticeStateName(v.State), TakenUpBy: text[string](v.TakenUpByName),
		TakenUpAt: fromNullableTime(v.TakenUpAt), EndReason: text[apigen.EndReason](v.EndReason), EndedBy: text[string](v.EndedByName),
		EndedAt: fromNullableTime(v.EndedAt), Late: v.Late, Says: v.Says, DoNext: each(v.DoNext, func(s string) string { return s }),
		Caution: v.Caution, Facts: each(v.Facts, fromNoticeFact), Version: v.Version}
}

// fromNoticeFact leaves out the outing, and the over in it, where the outing is another club's.
func fromNoticeFact(v app.NoticeFactView) apigen.NoticeFact {
	outing := v.OutingID
	if !v.ShowOuting {
		outing = ""
	}
	return apigen.NoticeFact{ID: fromID(v.ID), Date: fromDate(v.Date), Limit: apigen.LimitName(v.Limit), Allowed: orNull(v.Allowed, v.Allowed >= 0),
		Actual: v.Actual, Earliest: orNull(v.Earliest, v.Earliest > 0 && v.ShowOuting), Innings: orNull(v.Innings, v.Innings > 0 && v.ShowOuting),
		Over: orNull(v.Over, v.Over > 0 && v.ShowOuting), OutingID: fromNullableID(outing), Says: v.Says, Source: v.Source, Late: v.Late, Withdrawn: v.Withdrawn}
}

func (o operations) ImportFile(ctx context.Context, r apigen.ImportFileRequestObject) (apigen.ImportFileResponseObject, error) {
	cmd := app.ImportFile{Kind: app.ImportKind(r.ImportKind), ClubID: toID(r.ClubID), FileName: r.Params.FileName, Content: r.Body,
		DryRun: r.Params.DryRun == nil || *r.Params.DryRun, IdempotencyKey: given(r.Params.IdempotencyKey)}
	v, err := o.app.ImportFile(ctx, call(ctx, r.RegionID), cmd)
	if err != nil {
		return nil, err
	}
	return apigen.ImportFile200JSONResponse{ImportKind: string(v.Kind), FileName: v.FileName, DryRun: v.DryRun, Accepted: v.Accepted, Rows: v.Rows,
		Created: v.Created, Changed: v.Changed, Unchanged: v.Unchanged, Notes: each(v.Notes, func(s string) string { return s }),
		Errors: each(v.Errors, func(e app.ImportError) apigen.ImportError {
			return apigen.ImportError{File: e.File, Line: e.Line, Column: e.Column, Value: e.Value, Reason: e.Reason}
		})}, nil
}
