package app

import (
	"longspell/internal/domain"
	"longspell/internal/limits"
)

// LimitSets lists every published limit set the product knows.
func (a *App) LimitSets() []LimitSetView {
	var out []LimitSetView
	for _, s := range limits.Sets() {
		out = append(out, limitSetView(s))
	}
	return out
}

func limitSetView(s *limits.Set) LimitSetView {
	v := LimitSetView{ID: s.ID, Title: s.Title, Publisher: s.Publisher, Year: s.Year, Address: s.Address, ValidFrom: s.ValidFrom,
		AgeRule: s.AgeRule, NewSpellAfterMin: s.NewSpellAfterMin}
	if s.ValidTo != nil {
		v.ValidTo = *s.ValidTo
	}
	for _, name := range s.FastKinds {
		if k, ok := domain.ParseBowlingKind(name); ok {
			v.FastKinds = append(v.FastKinds, k)
		}
	}
	for _, b := range s.Bands {
		v.Bands = append(v.Bands, LimitBandView{UpTo: b.UpTo, SpellOvers: b.SpellOvers, DayOvers: b.DayOvers, NetBalls: b.NetBalls,
			NetPerWeek: b.NetPerWeek, DaysIn7: b.DaysIn7, RunOfDays: b.RunOfDays})
	}
	for _, st := range s.Settings {
		v.Settings = append(v.Settings, LimitSettingView{Name: st.Name, Value: st.Value, Values: st.Values, Says: st.Says})
	}
	return v
}
