package store

import (
	"cmp"
	"context"
	"slices"

	"longspell/internal/access"
	"longspell/internal/domain"
)

func sortPractice(items []domain.PracticeOn) {
	slices.SortFunc(items, func(a, b domain.PracticeOn) int {
		return cmp.Or(a.Date.Compare(b.Date), cmp.Compare(a.Outing, b.Outing), cmp.Compare(a.ID, b.ID))
	})
}

// RefreshRollup works out the daily rollup of the given players and days again from the logs of outings held at any club, and
// marks the days as touched for the nightly run. Any scope of the region may ask for it: it shows nothing.
//
// What counts: every row of an over is one begun over; a quick spell counts as it stands; practice counts unless the attendance says
// that the player missed the outing. Practice balls that are not given are six for each over, and its overs are domain.CountedOvers. What
// was bowled without a kind counts as the player's usual kind.
func (t *Tx) RefreshRollup(ctx context.Context, s access.Scope, days []domain.TouchedDay) error {
	if _, _, err := t.rows(ctx, s, &dayLoadRow{}); err != nil {
		return err
	}
	byPlayer := map[domain.ID]map[domain.Date]bool{}
	for _, d := range days {
		if byPlayer[d.PlayerID] == nil {
			byPlayer[d.PlayerID] = map[domain.Date]bool{}
		}
		byPlayer[d.PlayerID][d.Day] = true
	}
	players := make([]domain.ID, 0, len(byPlayer))
	for id := range byPlayer {
		players = append(players, id)
	}
	slices.Sort(players)
	const together = 200 // players whose logs are read at a time
	for part := range slices.Chunk(players, together) {
		if err := t.refresh(ctx, part, byPlayer); err != nil {
			return err
		}
	}
	return nil
}

// refreshUnsaid refreshes the days on which it was not said what a player bowled.
func (t *Tx) refreshUnsaid(ctx context.Context, player domain.ID) error {
	days := map[domain.Date]bool{}
	for _, model := range []any{&overRow{}, &spellRow{}} {
		var found []struct{ Day day }
		if err := t.all(ctx, model).Where("player_id = ? AND kind = ''", player).Distinct("day").Find(&found).Error; err != nil {
			return normal(err)
		}
		for _, f := range found {
			days[f.Day.date()] = true
		}
	}
	practice, err := all(t.all(ctx, &practiceRow{}).Where("player_id = ? AND kind = ''", player), practiceRow.domain)
	if err != nil {
		return err
	}
	outings, err := t.outingsByID(ctx, given(practice, func(p domain.Practice) domain.ID { return p.OutingID }))
	if err != nil {
		return err
	}
	for _, o := range outings {
		days[o.Date] = true
	}
	if len(days) == 0 {
		return nil
	}
	return t.refresh(ctx, []domain.ID{player}, map[domain.ID]map[domain.Date]bool{player: days})
}

type loadKey struct {
	player domain.ID
	day    domain.Date
	kind   domain.BowlingKind
}

type loadSum struct{ balls, valid, overs int }

func (t *Tx) refresh(ctx context.Context, players []domain.ID, wanted map[domain.ID]map[domain.Date]bool) error {
	var asked []domain.TouchedDay
	for _, p := range players {
		for d := range wanted[p] {
			asked = append(asked, domain.TouchedDay{PlayerID: p, Day: d})
		}
	}
	slices.SortFunc(asked, func(a, b domain.TouchedDay) int {
		return cmp.Or(cmp.Compare(a.PlayerID, b.PlayerID), a.Day.Compare(b.Day))
	})
	if len(asked) == 0 {
		return nil
	}
	if err := t.touch(ctx, asked); err != nil {
		return err
	}
	from, to := asked[0].Day, asked[0].Day
	for _, a := range asked {
		if a.Day.Before(from) {
			from = a.Day
		}
		if a.Day.After(to) {
			to = a.Day
		}
	}
	sums, err := t.loadSums(ctx, players, from, to)
	if err != nil {
		return err
	}
	return t.storeSums(ctx, players, from, to, sums, wanted)
}

// loadSums adds up what players bowled on the days from one to another.
func (t *Tx) loadSums(ctx context.Context, players []domain.ID, from, to domain.Date) (map[loadKey]loadSum, error) {
	usual, err := t.usualKinds(ctx, players)
	if err != nil {
		return nil, err
	}
	sums := map[loadKey]loadSum{}
	add := func(player domain.ID, d domain.Date, kind domain.BowlingKind, n loadSum) {
		if kind == domain.KindUnknown {
			kind = usual[player]
		}
		k := loadKey{player, d, kind}
		was := sums[k]
		sums[k] = loadSum{was.balls + n.balls, was.valid + n.valid, was.overs + n.overs}
	}
	if err := t.sumOvers(ctx, players, from, to, add); err != nil {
		return nil, err
	}
	practice, err := all(t.practiceOn(t.d.among("practice.player_id", players).on(t.all(ctx, &practiceRow{})), from, to), practiceRow.domain)
	if err != nil {
		return nil, err
	}
	outings, err := t.outingsByID(ctx, given(practice, func(p domain.Practice) domain.ID { return p.OutingID }))
	if err != nil {
		return nil, err
	}
	items, err := dated(practice, outings)
	if err != nil {
		return nil, err
	}
	for _, it := range items {
		if n := practiceLoad(it); n.balls > 0 {
			add(it.PlayerID, it.Date, it.Kind, n)
		}
	}
	return sums, nil
}

type addLoad func(player domain.ID, d domain.Date, kind domain.BowlingKind, n loadSum)

func (t *Tx) sumOvers(ctx context.Context, players []domain.ID, from, to domain.Date, add addLoad) error {
	for _, log := range []struct {
		model any
		name  string
		overs string
	}{{&overRow{}, "over_log", "COUNT(*)"}, {&spellRow{}, "quick_spell", "SUM(overs)"}} {
		var rows []dayLoadRow
		db := t.d.among(log.name+".player_id", players).on(t.all(ctx, log.model)).Where("day >= ? AND day <= ?", dayOf(from), dayOf(to))
		err := heldOutings(t.region, log.name+".outing_id").on(db).
			Select("player_id, day, kind, SUM(balls) AS balls, SUM(valid) AS valid, " + log.overs + " AS overs").
			Group("player_id, day, kind").Find(&rows).Error
		if err != nil {
			return normal(err)
		}
		for _, r := range rows {
			add(r.PlayerID, r.Day.date(), bowlingKind(r.Kind), loadSum{r.Balls, r.Valid, r.Overs})
		}
	}
	return nil
}

func practiceLoad(p domain.PracticeOn) loadSum {
	balls := p.CountedBalls()
	return loadSum{balls: balls, valid: balls, overs: domain.CountedOvers(p.At, balls, p.Overs, p.Overs > 0)}
}

func (t *Tx) usualKinds(ctx context.Context, players []domain.ID) (map[domain.ID]domain.BowlingKind, error) {
	var rows []playerRow
	if err := t.d.among("player.id", players).on(t.all(ctx, &playerRow{}).Select("id", "kind")).Find(&rows).Error; err != nil {
		return nil, normal(err)
	}
	usual := make(map[domain.ID]domain.BowlingKind, len(rows))
	for _, r := range rows {
		usual[r.ID] = bowlingKind(r.Kind)
	}
	return usual, nil
}

// storeSums makes the stored rollup of the wanted days equal to sums.
func (t *Tx) storeSums(ctx context.Context, players []domain.ID, from, to domain.Date, sums map[loadKey]loadSum, wanted map[domain.ID]map[domain.Date]bool) error {
	stored, err := all(t.d.among("day_load.player_id", players).on(t.all(ctx, &dayLoadRow{})).
		Where("day >= ? AND day <= ?", dayOf(from), dayOf(to)), dayLoadRow.domain)
	if err != nil {
		return err
	}
	for _, l := range stored {
		if !wanted[l.PlayerID][l.Day] {
			continue
		}
		k := loadKey{l.PlayerID, l.Day, l.Kind}
		n, still := sums[k]
		if err := t.changeLoad(ctx, l, n, still); err != nil {
			return err
		}
		delete(sums, k)
	}
	var rows []dayLoadRow
	for k, n := range sums {
		if wanted[k.player][k.day] {
			rows = append(rows, dayLoadRow{RegionID: t.region, PlayerID: k.player, Day: dayOf(k.day), Kind: k.kind.String(),
				Balls: n.balls, Valid: n.valid, Overs: n.overs})
		}
	}
	slices.SortFunc(rows, func(a, b dayLoadRow) int {
		return cmp.Or(cmp.Compare(a.PlayerID, b.PlayerID), cmp.Compare(a.Day, b.Day), cmp.Compare(a.Kind, b.Kind))
	})
	return insert(t.fresh(ctx), rows)
}

// changeLoad makes one stored row of the rollup equal to n, or takes it away where nothing is left of it.
func (t *Tx) changeLoad(ctx context.Context, l domain.DayLoad, n loadSum, still bool) error {
	row := t.all(ctx, &dayLoadRow{}).Where("player_id = ? AND day = ? AND kind = ?", l.PlayerID, dayOf(l.Day), l.Kind.String())
	switch {
	case !still:
		return normal(row.Delete(&dayLoadRow{}).Error)
	case n == loadSum{l.Balls, l.Valid, l.Overs}:
		return nil
	}
	return normal(row.Updates(map[string]any{"balls": n.balls, "valid": n.valid, "overs": n.overs}).Error)
}
