package app

import (
	"context"
	"path"
	"strings"

	"longspell/internal/domain"
	"longspell/internal/exchange"
)

// outings stores the rows of an outings file: attendance, and what was bowled at outings that are not logged over by over.
func (im *importing) outings(ctx context.Context, rows []exchange.OutingRow) error {
	im.rep.Rows = len(rows)
	players, err := im.playersByRef(ctx, references(rows, func(r exchange.OutingRow) string { return r.Player }))
	if err != nil {
		return err
	}
	var groups [][]exchange.OutingRow
	at := map[string]int{}
	for _, r := range rows {
		if _, ok := players[r.Player]; !ok {
			im.unknownPlayer(r.Line, r.Player)
			continue
		}
		if r.State == domain.OutingHeld && r.Date.After(im.s.Today()) {
			im.fault(r.Line, "date", r.Date.String(), "an outing cannot have been held on a day to come")
			continue
		}
		i, ok := at[r.Outing]
		if !ok {
			i = len(groups)
			at[r.Outing] = i
			groups = append(groups, nil)
		}
		groups[i] = append(groups[i], r)
	}
	for _, g := range groups {
		if err := im.outingRows(ctx, g, players); err != nil {
			return err
		}
	}
	return nil
}

func (im *importing) outingRows(ctx context.Context, rows []exchange.OutingRow, players map[string]domain.Player) error {
	first := rows[0]
	club, ok, err := im.outingClub(ctx, first, players[first.Player])
	if err != nil || !ok {
		return err
	}
	o := domain.Outing{ClubID: club.ID, Kind: first.OutingKind, State: first.State, Date: first.Date, Title: cut(first.Outing, 120), Reference: first.Outing}
	if o.SquadID, err = im.squadNamed(ctx, club, first.Squad); err != nil {
		return err
	}
	practice, ok := im.practiceRows(rows, players, &o)
	if !ok {
		return nil
	}
	old, known, err := im.outingByRef(ctx, o)
	if err != nil {
		return err
	}
	if !known {
		return im.newOuting(ctx, o, nil, practice)
	}
	for i := range practice {
		practice[i].ID, practice[i].OutingID = im.id(), old.ID
		for _, x := range old.Practice {
			if x.PlayerID == practice[i].PlayerID {
				practice[i].ID = x.ID
			}
		}
	}
	if practice == nil {
		practice = []domain.Practice{}
	}
	return im.changedOuting(ctx, old, o, OutingLogs{Practice: practice})
}

// practiceRows turns the rows of one outing into attendance and practice; false after a fault.
func (im *importing) practiceRows(rows []exchange.OutingRow, players map[string]domain.Player, o *domain.Outing) ([]domain.Practice, bool) {
	var practice []domain.Practice
	first, ok := rows[0], true
	seen := map[string]bool{}
	for _, r := range rows {
		if r.Date != first.Date || r.OutingKind != first.OutingKind || r.State != first.State || r.Club != first.Club || r.Squad != first.Squad {
			im.fault(r.Line, "outing", r.Outing, "date, club, squad, kind or state differ from the first row of this outing")
			ok = false
			continue
		}
		if seen[r.Player] {
			im.fault(r.Line, "player", r.Player, "stands twice in this outing")
			ok = false
			continue
		}
		seen[r.Player] = true
		p := r.Present
		if p == "" {
			p = domain.PresentYes
		}
		id := players[r.Player].ID
		o.Attendance = present(o.Attendance, id, p)
		if r.Counts() {
			v := domain.Practice{PlayerID: id, Kind: r.Kind, Balls: r.Balls, Hits: r.Hits, Trial: r.Trial, Effort: r.Effort}
			if r.OversGiven {
				v.Overs = r.Overs
			}
			practice = append(practice, v)
		}
	}
	return practice, ok
}

// outingClub is the club a row names, the one imported for, or the player's own.
func (im *importing) outingClub(ctx context.Context, r exchange.OutingRow, p domain.Player) (domain.Club, bool, error) {
	if im.cmd.ClubID != "" || r.Club != "" {
		return im.club(ctx, r.Line, r.Club)
	}
	id, ok, err := im.clubOf(ctx, r.Line, p, r.Date)
	return im.clubs[string(id)], ok, err
}

// match stores a ball-by-ball match file. Bowlers who are not players here (the other side, as a rule) are named and passed over;
// what they bowled does not bear on anybody else, because the file says neither ends nor breaks.
func (im *importing) match(ctx context.Context, m *exchange.Match) error {
	var roster []exchange.Player
	players := map[string]domain.Player{}
	for page := (domain.Page{Size: 100}); ; {
		got, err := im.tx.Players(ctx, im.s, PlayerFilter{}, page)
		if err != nil {
			return err
		}
		for _, p := range got.Items {
			ref := p.Reference
			if ref == "" {
				ref = string(p.ID)
			}
			players[ref] = p
			roster = append(roster, exchange.Player{Ref: ref, Name: p.Name})
		}
		if page.After = got.Next; got.Next == "" {
			break
		}
	}
	base := path.Base(im.cmd.FileName)
	rows, notFound := m.OverRows(strings.TrimSuffix(base, path.Ext(base)), exchange.NewRoster(roster))
	for _, n := range notFound {
		im.note("bowler not among the players here, passed over: %s", n)
	}
	if len(m.Dates) > 1 {
		im.note("the file does not say on which of its %d days an over was bowled: all stand on %s", len(m.Dates), m.Dates[0])
	}
	if err := im.overs(ctx, rows, players); err != nil {
		return err
	}
	if im.rep.Created+im.rep.Changed+im.rep.Unchanged == 0 && len(im.faults) == 0 {
		im.fault(1, "innings", "", "no bowler of this match is a player here; import the players first")
	}
	return nil
}
