package app

import (
	"context"
	"fmt"
	"slices"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// Outings lists outings inside the caller's scope, newest first, without their logs.
func (a *App) Outings(ctx context.Context, c Call, f OutingFilter, p domain.Page) (out domain.Slice[domain.Outing], err error) {
	err = a.read(ctx, c, access.OutingRead, func(tx Tx, s access.Scope) (err error) {
		out, err = tx.Outings(ctx, s, f, p)
		return err
	})
	return out, err
}

// Outing reads an outing whole.
func (a *App) Outing(ctx context.Context, c Call, id domain.ID) (v domain.Outing, err error) {
	err = a.read(ctx, c, access.OutingRead, func(tx Tx, s access.Scope) (err error) {
		v, err = tx.Outing(ctx, s, id)
		return err
	})
	return v, err
}

// PutOuting creates or replaces an outing in one transaction: wholly there, or wholly absent. It answers with what is left for
// everybody who was there.
func (a *App) PutOuting(ctx context.Context, c Call, cmd PutOuting) (v domain.Outing, left AllowanceList, err error) {
	err = a.write(ctx, c, access.OutingWrite, func(tx Tx, s access.Scope) error {
		if err := a.checkOuting(ctx, tx, s, cmd); err != nil {
			return err
		}
		if v, err = a.storeOuting(ctx, tx, s, cmd); err != nil {
			return err
		}
		left, err = a.outingAllowances(ctx, tx, s, v, Next{})
		return err
	})
	return v, left, err
}

// checkOuting refuses what the contract cannot: places and players outside the caller's scope, and days to come.
func (a *App) checkOuting(ctx context.Context, tx Tx, s access.Scope, cmd PutOuting) error {
	o := cmd.Outing
	if !s.HasSquad(o.ClubID, o.SquadID) {
		return domain.NotFound()
	}
	if o.SquadID != "" {
		sq, err := tx.Squad(ctx, s, o.SquadID)
		if err != nil {
			return err
		}
		if sq.ClubID != o.ClubID {
			return domain.NotFound()
		}
	}
	if o.State == domain.OutingHeld && o.Date.After(s.Today()) {
		return domain.RuleBroken("outing_in_future", "An outing cannot have been held on a day to come. Plan it, or check the date.",
			domain.FieldError{Pointer: "/date", Detail: "after today"})
	}
	logged := len(cmd.Logs.Overs)+len(cmd.Logs.Spells)+len(cmd.Logs.Practice) > 0
	if logged && o.State != domain.OutingHeld {
		return domain.RuleBroken("outing_not_held", "Bowling can be logged only at an outing that was held.",
			domain.FieldError{Pointer: "/state", Detail: "must be held when bowling is logged"})
	}
	if o.Kind != domain.OutingMatch && len(cmd.Logs.Overs)+len(cmd.Logs.Spells) > 0 {
		return notAMatch()
	}
	for i, ov := range cmd.Logs.Overs {
		if err := checkOver(ov, s.Today(), fmt.Sprintf("/overs/%d", i)); err != nil {
			return err
		}
	}
	for i, sp := range cmd.Logs.Spells {
		if sp.Valid > sp.Balls {
			return validPastBalls(fmt.Sprintf("/spells/%d/valid", i))
		}
	}
	return a.knownPlayers(ctx, tx, s, o, cmd.Logs)
}

func notAMatch() error {
	return domain.RuleBroken("not_a_match", "Overs are logged at a match. At nets, at home and elsewhere log balls.",
		domain.FieldError{Pointer: "/kind", Detail: "overs belong to a match"})
}

func validPastBalls(pointer string) error {
	return domain.Invalid("valid_balls", "There cannot be more valid balls than balls bowled. Count the wides and no-balls in.",
		domain.FieldError{Pointer: pointer, Detail: "more than balls"})
}

func checkOver(ov domain.OverLog, today domain.Date, pointer string) error {
	if ov.Valid > ov.Balls {
		return validPastBalls(pointer + "/valid")
	}
	if ov.Date.After(today) {
		return domain.RuleBroken("over_in_future", "An over cannot have been bowled on a day to come. Check the date.",
			domain.FieldError{Pointer: pointer + "/date", Detail: "after today"})
	}
	return nil
}

// knownPlayers makes sure that everybody named is visible to the caller.
func (a *App) knownPlayers(ctx context.Context, tx Tx, s access.Scope, o domain.Outing, logs OutingLogs) error {
	want := map[domain.ID]bool{}
	for _, at := range o.Attendance {
		want[at.PlayerID] = true
	}
	for _, x := range logs.Overs {
		want[x.PlayerID] = true
	}
	for _, x := range logs.Spells {
		want[x.PlayerID] = true
	}
	for _, x := range logs.Practice {
		want[x.PlayerID] = true
	}
	ids := make([]domain.ID, 0, len(want))
	for id := range want {
		ids = append(ids, id)
	}
	got, err := tx.PlayersByID(ctx, s, ids)
	if err != nil {
		return err
	}
	if len(got) != len(want) {
		return domain.RuleBroken("player_not_here", "Somebody in this log is not a player of yours, or not any more. Reload the squad and try again.")
	}
	return nil
}

// storeOuting writes the outing, its parts, what was corrected, the rollup and the trail.
func (a *App) storeOuting(ctx context.Context, tx Tx, s access.Scope, cmd PutOuting) (domain.Outing, error) {
	var old domain.Outing
	var err error
	if cmd.Outing.Version > 0 {
		if old, err = tx.Outing(ctx, s, cmd.Outing.ID); err != nil {
			return old, err
		}
	} else if again, err := tx.Outing(ctx, s, cmd.Outing.ID); err == nil {
		if sameOuting(again, cmd) {
			return again, nil // a repeat of the same put: a lost reply, not a second outing
		}
		return again, domain.Conflict("version_stale", "This outing was saved before. Reload it, then change it.")
	} else if domain.ErrorKindOf(err) != domain.KindNotFound {
		return old, err
	} else {
		cmd.Outing.LoggedBy = s.Account()
	}
	if cmd.Outing.Version > 0 {
		cmd.Outing.LoggedBy = old.LoggedBy
		cmd.Logs = cmd.Logs.movedWith(old, cmd.Outing.Date)
	}
	if _, err := tx.PutOuting(ctx, s, cmd.Outing); err != nil {
		return old, err
	}
	if err := tx.ReplaceAttendance(ctx, s, cmd.Outing.ID, cmd.Outing.Attendance); err != nil {
		return old, err
	}
	ed := &edit{app: a, tx: tx, s: s, old: old, outing: cmd.Outing, reason: cmd.Reason}
	if err := ed.logs(ctx, cmd.Logs); err != nil {
		return old, err
	}
	if cmd.Outing.Version > 0 {
		ed.compare("outing", cmd.Outing.ID, outingMap(old), outingMap(cmd.Outing))
		ed.compare("attendance", cmd.Outing.ID, attendanceMap(old.Attendance), attendanceMap(cmd.Outing.Attendance))
	}
	if err := ed.finish(ctx, action(cmd.Outing.Version)); err != nil {
		return old, err
	}
	return tx.Outing(ctx, s, cmd.Outing.ID)
}

// movedWith makes the bowling of an outing follow when the outing's day is corrected and nothing is said about the bowling: what
// stood on the old day stands on the new one.
func (l OutingLogs) movedWith(old domain.Outing, day domain.Date) OutingLogs {
	if day == old.Date {
		return l
	}
	if l.Overs == nil && len(old.Overs) > 0 {
		l.Overs = slices.Clone(old.Overs)
		for i := range l.Overs {
			if l.Overs[i].Date == old.Date {
				l.Overs[i].Date = day
			}
		}
	}
	if l.Spells == nil && len(old.Spells) > 0 {
		l.Spells = slices.Clone(old.Spells)
		for i := range l.Spells {
			if l.Spells[i].Date == old.Date {
				l.Spells[i].Date = day
			}
		}
	}
	return l
}

// PutOver logs one over, or corrects it, and answers with what is left for everybody.
func (a *App) PutOver(ctx context.Context, c Call, cmd PutOver) (v domain.OverLog, left AllowanceList, err error) {
	err = a.write(ctx, c, access.OutingWrite, func(tx Tx, s access.Scope) error {
		o, err := a.openOuting(ctx, tx, s, cmd.Over.OutingID)
		if err != nil {
			return err
		}
		if o.Kind != domain.OutingMatch {
			return notAMatch()
		}
		if err := checkOver(cmd.Over, s.Today(), ""); err != nil {
			return err
		}
		if err := a.knownPlayers(ctx, tx, s, domain.Outing{}, OutingLogs{Overs: []domain.OverLog{cmd.Over}}); err != nil {
			return err
		}
		ed := &edit{app: a, tx: tx, s: s, old: o, outing: o, reason: cmd.Reason}
		if cmd.PastLimitConfirmed {
			ed.detail = map[string]string{"past_limit_confirmed": "yes"}
		}
		if v, err = ed.over(ctx, cmd.Over); err != nil {
			return err
		}
		if err := ed.finish(ctx, action(cmd.Over.Version)); err != nil {
			return err
		}
		if o, err = tx.Outing(ctx, s, o.ID); err != nil {
			return err
		}
		left, err = a.outingAllowances(ctx, tx, s, o, Next{})
		return err
	})
	return v, left, err
}

// DeleteOver takes an over back; it is kept as a correction.
func (a *App) DeleteOver(ctx context.Context, c Call, outing, over domain.ID, version int) (left AllowanceList, err error) {
	err = a.write(ctx, c, access.OutingWrite, func(tx Tx, s access.Scope) error {
		o, err := a.openOuting(ctx, tx, s, outing)
		if err != nil {
			return err
		}
		ed := &edit{app: a, tx: tx, s: s, old: o, outing: o}
		if err := ed.dropOver(ctx, over, version); err != nil {
			return err
		}
		if err := ed.finish(ctx, "changed"); err != nil {
			return err
		}
		if o, err = tx.Outing(ctx, s, o.ID); err != nil {
			return err
		}
		left, err = a.outingAllowances(ctx, tx, s, o, Next{})
		return err
	})
	return left, err
}

// PutPractice logs the balls one player bowled at an outing that is not logged over by over, or corrects them.
func (a *App) PutPractice(ctx context.Context, c Call, cmd PutPractice) (v domain.Practice, left AllowanceList, err error) {
	err = a.write(ctx, c, access.OutingWrite, func(tx Tx, s access.Scope) error {
		o, err := a.openOuting(ctx, tx, s, cmd.Practice.OutingID)
		if err != nil {
			return err
		}
		if err := a.knownPlayers(ctx, tx, s, domain.Outing{}, OutingLogs{Practice: []domain.Practice{cmd.Practice}}); err != nil {
			return err
		}
		ed := &edit{app: a, tx: tx, s: s, old: o, outing: o, reason: cmd.Reason}
		if v, err = ed.practice(ctx, cmd.Practice); err != nil {
			return err
		}
		if err := ed.finish(ctx, action(cmd.Practice.Version)); err != nil {
			return err
		}
		left, err = a.outingAllowances(ctx, tx, s, o, Next{})
		return err
	})
	return v, left, err
}

// openOuting reads an outing at which bowling may be logged.
func (a *App) openOuting(ctx context.Context, tx Tx, s access.Scope, id domain.ID) (domain.Outing, error) {
	o, err := tx.Outing(ctx, s, id)
	if err != nil {
		return o, err
	}
	if o.State != domain.OutingHeld {
		return o, domain.RuleBroken("outing_not_held", "Bowling can be logged only at an outing that was held. Mark it as held first.")
	}
	return o, nil
}

// Corrections lists what was changed after it was first logged, newest first.
func (a *App) Corrections(ctx context.Context, c Call, outing domain.ID, p domain.Page) (out domain.Slice[domain.Correction], err error) {
	err = a.read(ctx, c, access.OutingRead, func(tx Tx, s access.Scope) error {
		if _, err := tx.Outing(ctx, s, outing); err != nil {
			return err
		}
		out, err = tx.Corrections(ctx, s, outing, p)
		return err
	})
	return out, err
}
