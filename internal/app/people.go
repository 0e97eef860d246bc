package app

import (
	"context"
	"fmt"
	"hash/fnv"
	"slices"
	"strings"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/limits"
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

// Appointments lists who holds which appointment inside the caller's scope.
func (a *App) Appointments(ctx context.Context, c Call, f AppointmentFilter, p domain.Page) (out domain.Slice[domain.Appointment], err error) {
	err = a.read(ctx, c, access.AppointmentRead, func(tx Tx, s access.Scope) (err error) {
		out, err = tx.Appointments(ctx, s, f, p)
		return err
	})
	return out, err
}

// PutAppointment appoints a person who has an account, or ends an appointment. A club lead appoints coaches and guardians of
// the own club; officers and club leads are appointed by an officer.
func (a *App) PutAppointment(ctx context.Context, c Call, v domain.Appointment) (domain.Appointment, error) {
	if err := checkAppointment(v); err != nil {
		return v, err
	}
	was := v.Version
	err := a.write(ctx, c, access.AppointmentWrite, func(tx Tx, s access.Scope) error {
		if v.Role != domain.RegionOfficer && !s.HasClub(v.ClubID) {
			return domain.NotFound()
		}
		if (v.Role == domain.RegionOfficer || v.Role == domain.ClubLead) && !s.HasRole(domain.RegionOfficer) {
			return domain.Forbidden("Only a region officer appoints officers and club leads.")
		}
		if v.Role == domain.Guardian && !s.LeadsClub(v.ClubID) {
			return domain.Forbidden("A guardian is linked to a child by the club, not by the region.")
		}
		if err := a.appointmentTargets(ctx, tx, s, v); err != nil {
			return err
		}
		if err := sameAppointment(ctx, tx, s, v); err != nil {
			return err
		}
		if _, err := a.store.AccountByID(ctx, v.AccountID); err != nil {
			return err
		}
		v.RegionID = c.Region
		var err error
		if v, err = tx.PutAppointment(ctx, s, v); err != nil {
			return err
		}
		return a.trail(ctx, tx, s, action(was), "appointment", v.ID, map[string]string{"role": string(v.Role)})
	})
	return v, err
}

func checkAppointment(v domain.Appointment) error {
	bad := func(pointer, detail string) error {
		return domain.Invalid("appointment", "This appointment does not hold together: "+detail+".", domain.FieldError{Pointer: pointer, Detail: detail})
	}
	switch {
	case v.Role == domain.RegionOfficer && (v.ClubID != "" || v.SquadID != "" || v.PlayerID != ""):
		return bad("/clubId", "a region officer belongs to no club, squad or player")
	case v.Role != domain.RegionOfficer && v.ClubID == "":
		return bad("/clubId", "this role needs a club")
	case v.Role == domain.Guardian && v.PlayerID == "":
		return bad("/playerId", "a guardian needs a player")
	case v.Role != domain.Guardian && v.PlayerID != "":
		return bad("/playerId", "only a guardian belongs to one player")
	case v.Role != domain.Coach && v.SquadID != "":
		return bad("/squadId", "only a coach may be confined to a squad")
	case !v.To.IsZero() && v.To.Before(v.From):
		return bad("/to", "it ends before it begins")
	}
	return nil
}

// sameAppointment refuses to turn one appointment into another: only its days may change, so that the trail of who held what
// stays true.
func sameAppointment(ctx context.Context, tx Tx, s access.Scope, v domain.Appointment) error {
	if v.Version == 0 {
		return nil
	}
	old, err := tx.Appointment(ctx, s, v.ID)
	if err != nil {
		return err
	}
	if old.AccountID != v.AccountID || old.Role != v.Role || old.ClubID != v.ClubID || old.SquadID != v.SquadID || old.PlayerID != v.PlayerID {
		return domain.RuleBroken("appointment_fixed", "An appointment keeps its person, role and place. End this one and make another.")
	}
	return nil
}

func (a *App) appointmentTargets(ctx context.Context, tx Tx, s access.Scope, v domain.Appointment) error {
	if v.SquadID != "" {
		sq, err := tx.Squad(ctx, s, v.SquadID)
		if err != nil {
			return err
		}
		if sq.ClubID != v.ClubID {
			return domain.NotFound()
		}
	}
	if v.PlayerID != "" {
		club, err := s.InClub(v.ClubID)
		if err != nil {
			return err
		}
		if _, err := tx.Player(ctx, club, v.PlayerID); err != nil {
			return err
		}
	}
	return nil
}

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
