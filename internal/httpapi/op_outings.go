package httpapi

import (
	"context"

	"longspell/internal/app"
	"longspell/internal/domain"
	"longspell/internal/httpapi/apigen"
)

func (o operations) ListOutings(ctx context.Context, r apigen.ListOutingsRequestObject) (apigen.ListOutingsResponseObject, error) {
	f := app.OutingFilter{ClubID: toOptionalID(r.Params.ClubID), SquadID: toOptionalID(r.Params.SquadID),
		From: toOptionalDate(r.Params.From), To: toOptionalDate(r.Params.To)}
	v, err := o.app.Outings(ctx, call(ctx, r.RegionID), f, page(r.Params.PageSize, r.Params.PageToken))
	if err != nil {
		return nil, err
	}
	return apigen.ListOutings200JSONResponse{Items: each(v.Items, fromOutingSummary), NextPageToken: o.pages.next(v.Next)}, nil
}

func fromOutingSummary(v domain.Outing) apigen.OutingSummary {
	return apigen.OutingSummary{ID: fromID(v.ID), ClubID: fromID(v.ClubID), SquadID: fromNullableID(v.SquadID), Kind: apigen.OutingKind(v.Kind),
		State: apigen.OutingState(v.State), Date: fromDate(v.Date), Title: v.Title, PresentCount: v.PresentCount, Balls: v.Balls, Version: v.Version}
}

func (o operations) GetOuting(ctx context.Context, r apigen.GetOutingRequestObject) (apigen.GetOutingResponseObject, error) {
	v, err := o.app.Outing(ctx, call(ctx, r.RegionID), toID(r.OutingID))
	if err != nil {
		return nil, err
	}
	return apigen.GetOuting200JSONResponse(fromOuting(v)), nil
}

func (o operations) PutOuting(ctx context.Context, r apigen.PutOutingRequestObject) (apigen.PutOutingResponseObject, error) {
	v, left, err := o.app.PutOuting(ctx, call(ctx, r.RegionID), toPutOuting(toID(r.OutingID), r.Body))
	if err != nil {
		return nil, err
	}
	return apigen.PutOuting200JSONResponse{Outing: fromOuting(v), Allowances: fromAllowances(left)}, nil
}

// toPutOuting keeps the difference between a part that was left out (stays as it is) and one that is empty (is emptied).
func toPutOuting(id domain.ID, b *apigen.PutOutingJSONRequestBody) app.PutOuting {
	cmd := app.PutOuting{Reason: given(b.Reason), Outing: domain.Outing{ID: id, ClubID: toID(b.ClubID), SquadID: toNullableID(b.SquadID),
		Kind: domain.OutingKind(b.Kind), State: domain.OutingState(b.State), Date: toDate(b.Date), Title: b.Title,
		Reference: value(b.Reference, ""), Version: b.Version}}
	if f, err := b.Format.Get(); err == nil {
		cmd.Outing.HasFormat = true
		cmd.Outing.Format = domain.MatchFormat{OversASide: value(f.OversASide, 0), BowlerCap: value(f.BowlerCap, 0), BallsInOver: domain.BallsInOver(f.BallsInOver)}
	}
	for _, a := range b.Attendance {
		cmd.Outing.Attendance = append(cmd.Outing.Attendance, domain.Attendance{PlayerID: toID(a.PlayerID), Present: domain.Presence(a.Present)})
	}
	if b.Overs != nil {
		cmd.Logs.Overs = each(*b.Overs, func(v apigen.OverEntry) domain.OverLog {
			return domain.OverLog{ID: toID(v.ID), OutingID: id, Date: toDate(v.Date), Innings: v.Innings, Over: v.Over, End: toEnd(value(v.End, "")),
				PlayerID: toID(v.PlayerID), Kind: toKind(v.Kind), Balls: v.Balls, Valid: v.Valid, BreakMin: v.BreakMin}
		})
	}
	if b.Spells != nil {
		cmd.Logs.Spells = each(*b.Spells, func(v apigen.QuickSpell) domain.QuickSpell {
			return domain.QuickSpell{ID: toID(v.ID), OutingID: id, Date: toDate(v.Date), Innings: v.Innings, FirstOver: value(v.FirstOver, 0),
				End: toEnd(value(v.End, "")), PlayerID: toID(v.PlayerID), Kind: toKind(v.Kind), Overs: v.Overs, Balls: v.Balls, Valid: v.Valid}
		})
	}
	if b.Practice != nil {
		cmd.Logs.Practice = each(*b.Practice, func(v apigen.PracticeEntry) domain.Practice {
			return domain.Practice{ID: toID(v.ID), OutingID: id, PlayerID: toID(v.PlayerID), Kind: toKind(v.Kind), Balls: v.Balls,
				Overs: value(v.Overs, 0), Hits: value(v.Hits, notGiven), Trial: value(v.Trial, ""), Effort: value(v.Effort, notGiven)}
		})
	}
	return cmd
}

// notGiven is how the domain says that hits or effort were not given: 0 of both means something.
const notGiven = -1

func (o operations) PutOver(ctx context.Context, r apigen.PutOverRequestObject) (apigen.PutOverResponseObject, error) {
	b := r.Body
	v, left, err := o.app.PutOver(ctx, call(ctx, r.RegionID), app.PutOver{Reason: given(b.Reason), PastLimitConfirmed: given(b.PastLimitConfirmed),
		Over: domain.OverLog{ID: toID(r.OverID), OutingID: toID(r.OutingID), Date: toDate(b.Date), Innings: b.Innings, Over: b.Over,
			End: toEnd(value(b.End, "")), PlayerID: toID(b.PlayerID), Kind: toKind(b.Kind), Balls: b.Balls, Valid: b.Valid,
			BreakMin: b.BreakMin, Version: b.Version}})
	if err != nil {
		return nil, err
	}
	return apigen.PutOver200JSONResponse{Over: fromOver(v), Allowances: fromAllowances(left)}, nil
}

func (o operations) DeleteOver(ctx context.Context, r apigen.DeleteOverRequestObject) (apigen.DeleteOverResponseObject, error) {
	left, err := o.app.DeleteOver(ctx, call(ctx, r.RegionID), toID(r.OutingID), toID(r.OverID), r.Params.Version)
	if err != nil {
		return nil, err
	}
	return apigen.DeleteOver200JSONResponse(fromAllowances(left)), nil
}

func (o operations) PutPractice(ctx context.Context, r apigen.PutPracticeRequestObject) (apigen.PutPracticeResponseObject, error) {
	b := r.Body
	v, left, err := o.app.PutPractice(ctx, call(ctx, r.RegionID), app.PutPractice{Reason: given(b.Reason),
		Practice: domain.Practice{ID: toID(r.PracticeID), OutingID: toID(r.OutingID), PlayerID: toID(b.PlayerID), Kind: toKind(b.Kind),
			Balls: b.Balls, Overs: value(b.Overs, 0), Hits: value(b.Hits, notGiven), Trial: value(b.Trial, ""),
			Effort: value(b.Effort, notGiven), Version: b.Version}})
	if err != nil {
		return nil, err
	}
	return apigen.PutPractice200JSONResponse{Practice: fromPractice(v), Allowances: fromAllowances(left)}, nil
}

func (o operations) ListCorrections(ctx context.Context, r apigen.ListCorrectionsRequestObject) (apigen.ListCorrectionsResponseObject, error) {
	v, err := o.app.Corrections(ctx, call(ctx, r.RegionID), toID(r.OutingID), page(r.Params.PageSize, r.Params.PageToken))
	if err != nil {
		return nil, err
	}
	return apigen.ListCorrections200JSONResponse{Items: each(v.Items, fromCorrection), NextPageToken: o.pages.next(v.Next)}, nil
}

func fromCorrection(v domain.Correction) apigen.Correction {
	return apigen.Correction{ID: fromID(v.ID), At: v.At, By: v.ByName, What: v.What, EntryID: fromID(v.EntryID),
		Before: orNull(v.Before, v.Before != nil), After: orNull(v.After, v.After != nil), Reason: v.Reason}
}

func fromOuting(v domain.Outing) apigen.Outing {
	out := apigen.Outing{ID: fromID(v.ID), ClubID: fromID(v.ClubID), SquadID: fromNullableID(v.SquadID), Kind: apigen.OutingKind(v.Kind),
		State: apigen.OutingState(v.State), Date: fromDate(v.Date), Title: v.Title, Reference: text[string](v.Reference),
		LoggedBy: text[string](v.LoggedByName), Version: v.Version,
		Overs: each(v.Overs, fromOver), Spells: each(v.Spells, fromSpell), Practice: each(v.Practice, fromPractice),
		Attendance: each(v.Attendance, func(a domain.Attendance) apigen.Attendance {
			return apigen.Attendance{PlayerID: fromID(a.PlayerID), Present: apigen.Presence(a.Present)}
		})}
	out.Format = orNull(apigen.MatchFormat{OversASide: orNull(v.Format.OversASide, v.Format.OversASide > 0),
		BowlerCap: orNull(v.Format.BowlerCap, v.Format.BowlerCap > 0), BallsInOver: apigen.BallsInOver(v.Format.BallsInOver)}, v.HasFormat)
	return out
}

func fromOver(v domain.OverLog) apigen.Over {
	end := v.End
	if end == domain.EndUnknown { // odd overs from A, even from B, where nobody said otherwise
		end = domain.NewInnings().EndOf(v.Over)
	}
	return apigen.Over{ID: fromID(v.ID), Date: fromDate(v.Date), Innings: v.Innings, Over: v.Over, End: apigen.End(end.String()),
		PlayerID: fromID(v.PlayerID), Kind: fromKind(v.Kind), Balls: v.Balls, Valid: v.Valid, BreakMin: v.BreakMin, Version: v.Version}
}

func fromSpell(v domain.QuickSpell) apigen.QuickSpell {
	return apigen.QuickSpell{ID: fromID(v.ID), Date: fromDate(v.Date), Innings: v.Innings, FirstOver: orNull(v.FirstOver, v.FirstOver > 0),
		End: text[apigen.End](v.End.String()), PlayerID: fromID(v.PlayerID), Kind: fromKind(v.Kind), Overs: v.Overs, Balls: v.Balls, Valid: v.Valid}
}

func fromPractice(v domain.Practice) apigen.Practice {
	return apigen.Practice{ID: fromID(v.ID), PlayerID: fromID(v.PlayerID), Kind: fromKind(v.Kind), Balls: v.Balls, Overs: orNull(v.Overs, v.Overs > 0),
		Hits: orNull(v.Hits, v.Hits != notGiven), Trial: text[string](v.Trial), Effort: orNull(v.Effort, v.Effort != notGiven), Version: v.Version}
}
