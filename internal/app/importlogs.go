package app

import (
	"context"
	"fmt"
	"slices"

	"longspell/internal/domain"
	"longspell/internal/exchange"
)

// overs stores the rows of an over log, match by match. players finds a row's player; nil = by reference, and who is not
// known is a fault.
func (im *importing) overs(ctx context.Context, rows []exchange.OverRow, players map[string]domain.Player) error {
	im.rep.Rows = len(rows)
	strict := players == nil
	if strict {
		var err error
		if players, err = im.playersByRef(ctx, references(rows, func(r exchange.OverRow) string { return r.Player })); err != nil {
			return err
		}
	}
	var matches [][]exchange.OverRow
	at := map[string]int{}
	for _, r := range rows {
		if _, ok := players[r.Player]; !ok {
			if strict {
				im.unknownPlayer(r.Line, r.Player)
			}
			continue
		}
		if r.Date.After(im.s.Today()) {
			im.fault(r.Line, "date", r.Date.String(), "lies in the future")
		}
		i, ok := at[r.Match]
		if !ok {
			i = len(matches)
			at[r.Match] = i
			matches = append(matches, nil)
		}
		matches[i] = append(matches[i], r)
	}
	if len(im.faults) > 0 {
		return nil
	}
	for _, m := range matches {
		if err := im.overMatch(ctx, m, players); err != nil {
			return err
		}
	}
	return nil
}

func (im *importing) unknownPlayer(line int, ref string) {
	reason := "no player of this region has this reference"
	if im.cmd.ClubID != "" {
		reason = "no player registered with this club has this reference"
	}
	im.fault(line, "player", ref, reason+"; import the players first")
}

// references lists the references that rows name, each once.
func references[T any](rows []T, of func(T) string) []string {
	seen := map[string]bool{}
	var refs []string
	for _, r := range rows {
		if k := of(r); !seen[k] {
			seen[k] = true
			refs = append(refs, k)
		}
	}
	return refs
}

// playersByRef looks references up, some hundreds at a time, so that no statement grows with the file.
func (im *importing) playersByRef(ctx context.Context, refs []string) (map[string]domain.Player, error) {
	out := map[string]domain.Player{}
	for part := range slices.Chunk(refs, 500) {
		got, err := im.tx.PlayersByReference(ctx, im.s, part)
		if err != nil {
			return nil, err
		}
		for k, p := range got {
			out[k] = p
		}
	}
	return out, nil
}

func (im *importing) overMatch(ctx context.Context, rows []exchange.OverRow, players map[string]domain.Player) error {
	first := rows[0]
	club, ok, err := im.clubOf(ctx, first.Line, players[first.Player], first.Date)
	if err != nil || !ok {
		return err
	}
	o := domain.Outing{ClubID: club, Kind: domain.OutingMatch, State: domain.OutingHeld, Date: first.Date, Title: cut("Match "+first.Match, 120),
		Reference: first.Match, HasFormat: true,
		Format: domain.MatchFormat{OversASide: first.OversASide, BowlerCap: first.BowlerCap, BallsInOver: domain.SixValid}}
	overs := make([]domain.OverLog, 0, len(rows))
	for i, r := range rows {
		if r.OversASide != first.OversASide || r.BowlerCap != first.BowlerCap {
			im.fault(r.Line, "overs_a_side", fmt.Sprint(r.OversASide), "differs from the first row of this match, or bowler_cap does")
			return nil
		}
		overs = append(overs, domain.OverLog{Date: r.Date, Innings: r.Innings, Over: r.Over, End: r.End, PlayerID: players[r.Player].ID,
			Kind: r.Kind, Balls: r.Balls, Valid: r.Valid, BreakMin: r.BreakMin, Seq: i + 1})
		o.Attendance = present(o.Attendance, players[r.Player].ID, domain.PresentYes)
	}
	old, known, err := im.outingByRef(ctx, o)
	if err != nil {
		return err
	}
	if !known {
		return im.newOuting(ctx, o, overs, nil)
	}
	type place struct {
		innings, over int
		player        domain.ID
	}
	was := map[place]domain.OverLog{}
	for _, x := range old.Overs {
		was[place{x.Innings, x.Over, x.PlayerID}] = x
	}
	for i := range overs {
		if x, ok := was[place{overs[i].Innings, overs[i].Over, overs[i].PlayerID}]; ok {
			overs[i].ID, overs[i].Seq = x.ID, x.Seq
		} else {
			overs[i].ID = im.id()
		}
		overs[i].OutingID = old.ID
	}
	return im.changedOuting(ctx, old, o, OutingLogs{Overs: overs})
}

func present(list []domain.Attendance, player domain.ID, p domain.Presence) []domain.Attendance {
	if slices.ContainsFunc(list, func(a domain.Attendance) bool { return a.PlayerID == player }) {
		return list
	}
	return append(list, domain.Attendance{PlayerID: player, Present: p})
}

// clubOf is the club that an outing belongs to: the one imported for, or the one that a player was registered with that day.
func (im *importing) clubOf(ctx context.Context, line int, p domain.Player, d domain.Date) (domain.ID, bool, error) {
	if im.cmd.ClubID != "" {
		return im.cmd.ClubID, true, nil
	}
	regs, err := im.tx.Registrations(ctx, im.s, []domain.ID{p.ID})
	if err != nil {
		return "", false, err
	}
	if len(regs) == 0 {
		im.fault(line, "player", p.Reference, "this player is registered with no club, so it is not known whose match this is")
		return "", false, nil
	}
	best := regs[0]
	for _, g := range regs {
		if on := !d.Before(g.From) && (g.To.IsZero() || !d.After(g.To)); on && g.First {
			best = g
		}
	}
	return best.ClubID, true, nil
}

func (im *importing) outingByRef(ctx context.Context, o domain.Outing) (domain.Outing, bool, error) {
	got, err := im.tx.OutingsByReference(ctx, im.s, o.ClubID, []string{o.Reference})
	if err != nil {
		return o, false, err
	}
	head, ok := got[o.Reference]
	if !ok {
		return o, false, nil
	}
	full, err := im.tx.Outing(ctx, im.s, head.ID)
	return full, true, err
}

func (im *importing) newOuting(ctx context.Context, o domain.Outing, overs []domain.OverLog, practice []domain.Practice) error {
	o.ID, o.LoggedBy = im.id(), im.s.Account()
	if _, err := im.tx.PutOuting(ctx, im.s, o); err != nil {
		return err
	}
	days := map[domain.TouchedDay]bool{}
	for i := range overs {
		overs[i].ID, overs[i].OutingID = im.id(), o.ID
		days[domain.TouchedDay{PlayerID: overs[i].PlayerID, Day: overs[i].Date}] = true
	}
	for i := range practice {
		practice[i].ID, practice[i].OutingID = im.id(), o.ID
		days[domain.TouchedDay{PlayerID: practice[i].PlayerID, Day: o.Date}] = true
	}
	if err := im.tx.AddLogs(ctx, im.s, map[domain.ID][]domain.Attendance{o.ID: o.Attendance}, overs, practice); err != nil {
		return err
	}
	im.rep.Created++
	list := make([]domain.TouchedDay, 0, len(days))
	for d := range days {
		list = append(list, d)
	}
	return im.tx.RefreshRollup(ctx, im.s, list)
}

// changedOuting stores what a file says otherwise about an outing that is there already; what is the same stays untouched.
func (im *importing) changedOuting(ctx context.Context, old, o domain.Outing, logs OutingLogs) error {
	o.ID, o.Version, o.Title, o.SquadID = old.ID, old.Version, old.Title, firstOf(o.SquadID, old.SquadID)
	o.Attendance = union(o.Attendance, old.Attendance)
	if !old.HasFormat {
		o.HasFormat = o.HasFormat && o.Kind == domain.OutingMatch
	} else if o.HasFormat {
		o.Format.BallsInOver = old.Format.BallsInOver // the file does not say
	}
	cmd := PutOuting{Outing: o, Logs: logs, Reason: cut("import of "+im.cmd.FileName, 200)}
	if sameOuting(old, cmd) {
		im.rep.Unchanged++
		return nil
	}
	if _, err := im.app.storeOuting(ctx, im.tx, im.s, cmd); err != nil {
		return err
	}
	im.rep.Changed++
	return nil
}

func firstOf(a, b domain.ID) domain.ID {
	if a != "" {
		return a
	}
	return b
}

// union keeps what is known of those whom the file does not name.
func union(now, old []domain.Attendance) []domain.Attendance {
	for _, a := range old {
		now = present(now, a.PlayerID, a.Present)
	}
	return now
}
