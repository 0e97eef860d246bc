package app

import (
	"context"

	"longspell/internal/domain"
	"longspell/internal/exchange"
)

// players stores the rows of a players file. A row's player is found by reference; what the row leaves blank stays as it is.
func (im *importing) players(ctx context.Context, rows []exchange.Player) error {
	refs := make([]string, len(rows))
	for i, r := range rows {
		refs[i] = r.Ref
	}
	have, err := im.tx.PlayersByReference(ctx, im.s, refs)
	if err != nil {
		return err
	}
	im.rep.Rows = len(rows)
	for _, r := range rows {
		club, ok, err := im.club(ctx, r.Line, r.Club)
		if err != nil {
			return err
		}
		if r.Born.After(im.s.Today()) {
			im.fault(r.Line, "born", r.Born.String(), "lies in the future")
			ok = false
		}
		if !ok {
			continue
		}
		old, known := have[r.Ref]
		if err := im.player(ctx, r, club, old, known); err != nil {
			return err
		}
	}
	return nil
}

func (im *importing) player(ctx context.Context, r exchange.Player, club domain.Club, old domain.Player, known bool) error {
	p := merged(old, r)
	if !known {
		p.ID = im.id()
	}
	changed := p != old
	if changed {
		_, err := im.tx.PutPlayer(ctx, im.s, p)
		if domain.ErrorCodeOf(err) == "reference_taken" {
			im.fault(r.Line, "player", r.Ref, "this reference belongs to another player of the region; use another, or ask the region officer")
			return nil
		}
		if err != nil {
			return err
		}
	}
	joined, err := im.register(ctx, p, club, r.Squad)
	if err != nil {
		return err
	}
	switch {
	case !known:
		im.rep.Created++
	case changed || joined:
		im.rep.Changed++
	default:
		im.rep.Unchanged++
	}
	return nil
}

// merged is the stored player with what the row says.
func merged(p domain.Player, r exchange.Player) domain.Player {
	p.Reference = r.Ref
	switch {
	case r.Name != "":
		p.Name = r.Name
	case p.Name == "":
		p.Name = r.Ref // a player must be called something
	}
	if !r.Born.IsZero() {
		p.Born = r.Born
	}
	if r.Sex != "" {
		p.Sex = r.Sex
	}
	if r.Arm != "" {
		p.Arm = r.Arm
	}
	if r.Kind != domain.KindUnknown {
		p.Kind = r.Kind
	}
	if !r.Since.IsZero() {
		p.Since = r.Since
	}
	return p
}

// register makes sure that a player is registered with a club, and in a squad, today; it reports whether anything was new.
func (im *importing) register(ctx context.Context, p domain.Player, club domain.Club, squad string) (bool, error) {
	regs, err := im.tx.Registrations(ctx, im.s, []domain.ID{p.ID})
	if err != nil {
		return false, err
	}
	today, there, others := im.s.Today(), false, false
	for _, g := range regs {
		if current := !g.From.After(today) && (g.To.IsZero() || !g.To.Before(today)); current {
			there = there || g.ClubID == club.ID
			others = true
		}
	}
	if !there {
		_, err := im.tx.PutRegistration(ctx, im.s, domain.Registration{ID: im.id(), PlayerID: p.ID, ClubID: club.ID, SeasonID: im.season.ID,
			First: !others, From: im.season.FirstDay})
		if err != nil {
			return false, err
		}
	}
	squadID, err := im.squadNamed(ctx, club, squad)
	if err != nil || squadID == "" {
		return !there, err
	}
	in, err := im.tx.SquadsOf(ctx, im.s, []domain.ID{p.ID})
	if err != nil {
		return false, err
	}
	for _, m := range in {
		if m.SquadID == squadID {
			return !there, nil
		}
	}
	_, err = im.tx.PutSquadPlayer(ctx, im.s, domain.SquadPlayer{SquadID: squadID, PlayerID: p.ID, From: im.season.FirstDay})
	return true, err
}
