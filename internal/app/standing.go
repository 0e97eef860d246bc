package app

import (
	"context"
	"fmt"
	"hash/fnv"
	"slices"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/limits"
)

// standing is where players stand today, as far as the scope sees it.
type standing struct {
	clubs  map[domain.ID][]PlayerClub
	squads map[domain.ID][]domain.ID
}

func standingOf(ctx context.Context, tx Tx, s access.Scope, players []domain.ID) (standing, error) {
	st := standing{clubs: map[domain.ID][]PlayerClub{}, squads: map[domain.ID][]domain.ID{}}
	regs, err := tx.Registrations(ctx, s, players)
	if err != nil {
		return st, err
	}
	for _, r := range regs {
		if !r.From.After(s.Today()) && (r.To.IsZero() || !r.To.Before(s.Today())) {
			st.clubs[r.PlayerID] = append(st.clubs[r.PlayerID], PlayerClub{ClubID: r.ClubID, ClubName: r.ClubName, First: r.First})
		}
	}
	squads, err := tx.SquadsOf(ctx, s, players)
	for _, m := range squads {
		st.squads[m.PlayerID] = append(st.squads[m.PlayerID], m.SquadID)
	}
	return st, err
}

func (st standing) place(player domain.ID) access.Place {
	p := access.Place{Player: player, Squads: st.squads[player]}
	for _, c := range st.clubs[player] {
		p.Clubs = append(p.Clubs, c.ClubID)
	}
	return p
}

// shownName is the player's name, or a pseudonym: names beyond the club rest on a consent to the regional programme, and
// until consents are kept nobody has given one.
func (st standing) shownName(s access.Scope, p domain.Player) (name string, named bool) {
	if s.KnowsByName(st.place(p.ID)) {
		return p.Name, true
	}
	return Pseudonym(s.Account(), p.ID), false
}

// playerViews cuts players to what the scope may see of them.
func (a *App) playerViews(ctx context.Context, tx Tx, s access.Scope, ps []domain.Player) ([]PlayerView, error) {
	ids := make([]domain.ID, len(ps))
	for i, p := range ps {
		ids[i] = p.ID
	}
	st, err := standingOf(ctx, tx, s, ids)
	if err != nil {
		return nil, err
	}
	sets, err := adopted(ctx, tx, s, s.Today())
	if err != nil {
		return nil, err
	}
	out := make([]PlayerView, len(ps))
	for i, p := range ps {
		v := PlayerView{Player: p, Clubs: st.clubs[p.ID], SquadIDs: st.squads[p.ID]}
		place := st.place(p.ID)
		v.ShowBorn = s.KnowsBirth(place)
		v.ShowReference = slices.ContainsFunc(place.Clubs, s.LeadsClub)
		v.AgeGroup = ageGroup(sets, p.Born, s.Today())
		v.Name, v.Named = st.shownName(s, p)
		out[i] = v
	}
	return out, nil
}

// Pseudonym is a stable name for a child that differs between readers, so that two readers cannot join their lists by it.
func Pseudonym(reader, player domain.ID) string {
	h := fnv.New64a()
	_, _ = h.Write([]byte(string(reader) + "/" + string(player)))
	const letters = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"
	n := h.Sum64()
	var b [5]byte
	for i := range b {
		b[i] = letters[n%uint64(len(letters))]
		n /= uint64(len(letters))
	}
	return "Player " + string(b[:])
}

// ageGroup is the player's group under the first adopted set, "" where it is not known.
func ageGroup(sets []adoptedSet, born, on domain.Date) string {
	for _, x := range sets {
		if g, ok := x.set.AgeGroup(born, on); ok && !born.IsZero() {
			return g
		}
	}
	return ""
}

// adoptedSet is a limit set in force with the region's readings.
type adoptedSet struct {
	set      *limits.Set
	settings map[string]string
}

// adopted returns the limit sets that the region follows on day d, in the order of their adoption.
func adopted(ctx context.Context, tx Tx, s access.Scope, d domain.Date) ([]adoptedSet, error) {
	all, err := tx.Adoptions(ctx, s)
	if err != nil {
		return nil, err
	}
	var out []adoptedSet
	for _, ad := range all {
		if !ad.On(d) {
			continue
		}
		set, ok := limits.Lookup(ad.LimitSet)
		if !ok {
			return nil, fmt.Errorf("adopted limit set %q is not known to this release", ad.LimitSet)
		}
		out = append(out, adoptedSet{set: set, settings: ad.Settings})
	}
	return out, nil
}
