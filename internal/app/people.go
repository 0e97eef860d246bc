package app

import (
	"context"
	"fmt"
	"strings"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// Squads lists the squads inside the caller's scope.
func (a *App) Squads(ctx context.Context, c Call, f SquadFilter, p domain.Page) (out domain.Slice[domain.Squad], err error) {
	err = a.read(ctx, c, access.SquadRead, func(tx Tx, s access.Scope) (err error) {
		out, err = tx.Squads(ctx, s, f, p)
		return err
	})
	return out, err
}

// PutSquad creates or changes a squad of one of the caller's clubs.
func (a *App) PutSquad(ctx context.Context, c Call, v domain.Squad) (domain.Squad, error) {
	was := v.Version
	err := a.write(ctx, c, access.SquadWrite, func(tx Tx, s access.Scope) (err error) {
		if _, err = s.InClub(v.ClubID); err != nil {
			return err
		}
		if v, err = tx.PutSquad(ctx, s, v); err != nil {
			return err
		}
		return a.trail(ctx, tx, s, action(was), "squad", v.ID, nil)
	})
	return v, err
}

// PutSquadPlayer puts a player of the club into a squad, or ends that.
func (a *App) PutSquadPlayer(ctx context.Context, c Call, v domain.SquadPlayer) (domain.SquadPlayer, error) {
	err := a.write(ctx, c, access.SquadWrite, func(tx Tx, s access.Scope) error {
		sq, err := tx.Squad(ctx, s, v.SquadID)
		if err != nil {
			return err
		}
		club, err := s.InClub(sq.ClubID)
		if err != nil {
			return err
		}
		if _, err := tx.Player(ctx, club, v.PlayerID); err != nil {
			return err
		}
		if v, err = tx.PutSquadPlayer(ctx, s, v); err != nil {
			return err
		}
		return a.trail(ctx, tx, s, "changed", "squad_player", v.SquadID, map[string]string{"player": string(v.PlayerID)})
	})
	return v, err
}

// Players lists the players inside the caller's scope, by name.
func (a *App) Players(ctx context.Context, c Call, f PlayerFilter, p domain.Page) (out domain.Slice[PlayerView], err error) {
	err = a.read(ctx, c, access.PlayerRead, func(tx Tx, s access.Scope) error {
		if s.HasRole(domain.RegionOfficer) && f.Name != "" {
			return domain.Forbidden("An officer sees pseudonyms, so a search by name is not offered. Ask the club.")
		}
		page, err := tx.Players(ctx, s, f, p)
		if err != nil {
			return err
		}
		out.Next = page.Next
		out.Items, err = a.playerViews(ctx, tx, s, page.Items)
		return err
	})
	return out, err
}

// Player reads one player.
func (a *App) Player(ctx context.Context, c Call, id domain.ID) (v PlayerView, err error) {
	err = a.read(ctx, c, access.PlayerRead, func(tx Tx, s access.Scope) error {
		v, err = a.player(ctx, tx, s, id)
		return err
	})
	return v, err
}

func (a *App) player(ctx context.Context, tx Tx, s access.Scope, id domain.ID) (PlayerView, error) {
	p, err := tx.Player(ctx, s, id)
	if err != nil {
		return PlayerView{}, err
	}
	vs, err := a.playerViews(ctx, tx, s, []domain.Player{p})
	if err != nil {
		return PlayerView{}, err
	}
	return vs[0], nil
}

// PutPlayer creates or changes a player of one of the caller's clubs.
func (a *App) PutPlayer(ctx context.Context, c Call, cmd PutPlayer) (v PlayerView, err error) {
	err = a.write(ctx, c, access.PlayerWrite, func(tx Tx, s access.Scope) error {
		if err := checkPlayer(cmd.Player, s.Today()); err != nil {
			return err
		}
		if cmd.Player.Version == 0 {
			err = a.newPlayer(ctx, tx, s, cmd)
		} else {
			_, err = tx.PutPlayer(ctx, s, cmd.Player)
		}
		if err != nil {
			return err
		}
		if err := a.trail(ctx, tx, s, action(cmd.Player.Version), "player", cmd.Player.ID, nil); err != nil {
			return err
		}
		v, err = a.player(ctx, tx, s, cmd.Player.ID)
		return err
	})
	return v, err
}

func (a *App) newPlayer(ctx context.Context, tx Tx, s access.Scope, cmd PutPlayer) error {
	r := cmd.Registration
	if r == nil {
		return domain.Invalid("registration_missing", "A new player needs a registration: say which club and season.",
			domain.FieldError{Pointer: "/registration", Detail: "needed for a new player"})
	}
	club, err := s.InClub(r.ClubID)
	if err != nil {
		return err
	}
	if _, err = tx.PutPlayer(ctx, s, cmd.Player); err != nil {
		return err
	}
	_, err = tx.PutRegistration(ctx, club, domain.Registration{ID: r.ID, PlayerID: cmd.Player.ID, ClubID: r.ClubID,
		SeasonID: r.SeasonID, First: true, From: r.From})
	if err != nil || r.SquadID == "" {
		return err
	}
	if _, err := tx.Squad(ctx, club, r.SquadID); err != nil {
		return err
	}
	_, err = tx.PutSquadPlayer(ctx, club, domain.SquadPlayer{SquadID: r.SquadID, PlayerID: cmd.Player.ID, From: r.From})
	return err
}

// The ages a player may have; others are typing slips.
const (
	youngestPlayer = 3
	oldestPlayer   = 30
)

func checkPlayer(p domain.Player, today domain.Date) error {
	if strings.TrimSpace(p.Name) == "" {
		return domain.Invalid("name", "A player needs a name.", domain.FieldError{Pointer: "/name", Detail: "blank"})
	}
	if !p.Born.IsZero() {
		if age := domain.AgeOn(p.Born, today); age < youngestPlayer || age > oldestPlayer {
			return domain.Invalid("born", "This birth date does not fit a junior. Check the year.",
				domain.FieldError{Pointer: "/born", Detail: fmt.Sprintf("makes the player %d years old today", age)})
		}
	}
	if !p.Since.IsZero() && p.Since.After(today) {
		return domain.Invalid("since", "The day of the first spin lies in the future. Check it.",
			domain.FieldError{Pointer: "/since", Detail: "after today"})
	}
	return nil
}

// Registrations lists a player's registrations that the caller may see.
func (a *App) Registrations(ctx context.Context, c Call, player domain.ID) (out []domain.Registration, err error) {
	err = a.read(ctx, c, access.PlayerRead, func(tx Tx, s access.Scope) error {
		if _, err := tx.Player(ctx, s, player); err != nil {
			return err
		}
		out, err = tx.Registrations(ctx, s, []domain.ID{player})
		return err
	})
	return out, err
}

// PutRegistration registers a player of the caller's club for a season, or ends that.
func (a *App) PutRegistration(ctx context.Context, c Call, v domain.Registration) (domain.Registration, error) {
	was := v.Version
	err := a.write(ctx, c, access.RegistrationWrite, func(tx Tx, s access.Scope) error {
		club, err := s.InClub(v.ClubID)
		if err != nil {
			return err
		}
		if _, err := tx.Player(ctx, s, v.PlayerID); err != nil {
			return err
		}
		if v, err = tx.PutRegistration(ctx, club, v); err != nil {
			return err
		}
		return a.trail(ctx, tx, s, action(was), "registration", v.ID, map[string]string{"player": string(v.PlayerID)})
	})
	return v, err
}
