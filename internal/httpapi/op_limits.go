package httpapi

import (
	"context"

	"longspell/internal/app"
	"longspell/internal/domain"
	"longspell/internal/httpapi/apigen"
)

func (o operations) ListLimitSets(context.Context, apigen.ListLimitSetsRequestObject) (apigen.ListLimitSetsResponseObject, error) {
	return apigen.ListLimitSets200JSONResponse{Items: each(o.app.LimitSets(), fromLimitSet)}, nil
}

func fromLimitSet(v app.LimitSetView) apigen.LimitSet {
	return apigen.LimitSet{ID: v.ID, Title: v.Title, Publisher: v.Publisher, Year: v.Year, Address: v.Address,
		ValidFrom: fromNullableDate(v.ValidFrom), ValidTo: fromNullableDate(v.ValidTo), AgeRule: v.AgeRule, NewSpellAfterMin: v.NewSpellAfterMin,
		FastKinds: each(v.FastKinds, func(k domain.BowlingKind) apigen.BowlingKind { return apigen.BowlingKind(k.String()) }),
		Bands: each(v.Bands, func(b app.LimitBandView) apigen.LimitBand {
			return apigen.LimitBand{UpTo: b.UpTo, SpellOvers: number(b.SpellOvers), DayOvers: number(b.DayOvers), NetBalls: number(b.NetBalls),
				NetPerWeek: number(b.NetPerWeek), DaysIn7: number(b.DaysIn7), RunOfDays: number(b.RunOfDays)}
		}),
		Settings: each(v.Settings, func(s app.LimitSettingView) apigen.LimitSetting {
			return apigen.LimitSetting{Name: s.Name, Value: s.Value, Values: s.Values, Says: s.Says}
		})}
}

func (o operations) ListAdoptedLimitSets(ctx context.Context, r apigen.ListAdoptedLimitSetsRequestObject) (apigen.ListAdoptedLimitSetsResponseObject, error) {
	v, err := o.app.Adoptions(ctx, call(ctx, r.RegionID))
	if err != nil {
		return nil, err
	}
	return apigen.ListAdoptedLimitSets200JSONResponse{Items: each(v, fromAdoption)}, nil
}

func (o operations) PutAdoptedLimitSet(ctx context.Context, r apigen.PutAdoptedLimitSetRequestObject) (apigen.PutAdoptedLimitSetResponseObject, error) {
	v, err := o.app.PutAdoption(ctx, call(ctx, r.RegionID), domain.Adoption{ID: toID(r.AdoptionID), LimitSet: r.Body.LimitSet,
		From: toDate(r.Body.From), To: toNullableDate(r.Body.To), Settings: r.Body.Settings, Version: r.Body.Version})
	if err != nil {
		return nil, err
	}
	return apigen.PutAdoptedLimitSet200JSONResponse(fromAdoption(v)), nil
}

func fromAdoption(v domain.Adoption) apigen.AdoptedLimitSet {
	settings := v.Settings
	if settings == nil {
		settings = map[string]string{}
	}
	return apigen.AdoptedLimitSet{ID: fromID(v.ID), LimitSet: v.LimitSet, From: fromDate(v.From), To: fromNullableDate(v.To), Settings: settings, Version: v.Version}
}

func (o operations) GetSquadAllowances(ctx context.Context, r apigen.GetSquadAllowancesRequestObject) (apigen.GetSquadAllowancesResponseObject, error) {
	v, err := o.app.SquadAllowances(ctx, call(ctx, r.RegionID), toID(r.SquadID), toOptionalDate(r.Params.On))
	if err != nil {
		return nil, err
	}
	return apigen.GetSquadAllowances200JSONResponse(fromAllowances(v)), nil
}

func (o operations) GetOutingAllowances(ctx context.Context, r apigen.GetOutingAllowancesRequestObject) (apigen.GetOutingAllowancesResponseObject, error) {
	next := app.Next{Innings: given(r.Params.Innings), Over: given(r.Params.Over), End: toEnd(given(r.Params.End))}
	v, err := o.app.OutingAllowances(ctx, call(ctx, r.RegionID), toID(r.OutingID), next)
	if err != nil {
		return nil, err
	}
	return apigen.GetOutingAllowances200JSONResponse(fromAllowances(v)), nil
}

func fromAllowances(v app.AllowanceList) apigen.AllowanceList {
	out := apigen.AllowanceList{Date: fromDate(v.Date), Caution: v.Caution, Bowlers: each(v.Bowlers, fromAllowance)}
	next := given(v.Next)
	out.NextOver = orNull(apigen.NextOver{Innings: next.Innings, Over: next.Over, End: apigen.End(next.End.String())}, v.Next != nil)
	return out
}

func fromAllowance(v app.Allowance) apigen.Allowance {
	return apigen.Allowance{PlayerID: fromID(v.PlayerID), Name: v.Name, AgeGroup: text[string](v.AgeGroup), Kind: fromKind(v.Kind),
		BallsToday: v.BallsToday, OversToday: v.OversToday, BallsElsewhereToday: v.BallsElsewhereToday, Balls7: v.Balls7, Days7: v.Days7,
		BowledLastOver: v.BowledLastOver, Sets: each(v.Sets, fromSetAllowance),
		Next: each(v.Next, func(n app.NextCheck) apigen.NextOverCheck {
			return apigen.NextOverCheck{Kind: apigen.BowlingKind(n.Kind.String()), Breaks: each(n.Breaks, fromFinding)}
		})}
}

func fromSetAllowance(v app.SetAllowance) apigen.SetAllowance {
	return apigen.SetAllowance{LimitSet: v.LimitSet, Title: v.Title, Publisher: v.Publisher, Year: v.Year, Judged: v.Judged,
		SpellOvers: number(v.SpellOvers), DayOvers: number(v.DayOvers), DaysIn7: number(v.DaysIn7), RunOfDays: number(v.RunOfDays),
		EarliestEndA: number(v.EarliestEndA), EarliestEndB: number(v.EarliestEndB)}
}

func fromFinding(v app.FindingView) apigen.Finding {
	return apigen.Finding{Date: fromDate(v.Date), Limit: apigen.LimitName(v.Limit), LimitSet: v.LimitSet, Title: v.Title, Publisher: v.Publisher,
		Year: v.Year, Weight: apigen.Weight(v.Weight), Allowed: number(v.Allowed), Actual: v.Actual, Earliest: number(v.Earliest),
		Innings: number(v.Innings), Over: number(v.Over), AgeGroup: text[string](v.AgeGroup), Source: v.Source, Says: v.Says}
}

func (o operations) GetPlayerLoad(ctx context.Context, r apigen.GetPlayerLoadRequestObject) (apigen.GetPlayerLoadResponseObject, error) {
	v, err := o.app.PlayerLoad(ctx, call(ctx, r.RegionID), toID(r.PlayerID), toOptionalDate(r.Params.AsOf))
	if err != nil {
		return nil, err
	}
	window := func(w app.LoadWindow) apigen.LoadWindow {
		return apigen.LoadWindow{Balls: w.Balls, Valid: w.Valid, Overs: w.Overs, Days: w.Days}
	}
	return apigen.GetPlayerLoad200JSONResponse{AsOf: fromDate(v.AsOf), Last: fromNullableDate(v.Last), DaysSince: number(v.DaysSince),
		Day: apigen.LoadCount{Balls: v.Day.Balls, Valid: v.Day.Valid, Overs: v.Day.Overs}, Days7: window(v.Days7), Days28: window(v.Days28),
		UsualWeekBalls: orNull(float32(given(v.UsualWeekBalls)), v.UsualWeekBalls != nil), BallsElsewhere7: v.BallsElsewhere7, Caution: v.Caution,
		ByDay: each(v.ByDay, func(d app.LoadDay) apigen.LoadDay {
			return apigen.LoadDay{Date: fromDate(d.Date), Balls: d.Balls, Valid: d.Valid, Overs: d.Overs}
		})}, nil
}
