package store_test

import (
	"context"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/store"
)

// logAttempts go for outings, what was bowled at them, and what rests on it.
var logAttempts = map[string][]attempt{
	"Outings": {
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
			return tx.Outings(ctx, s, domain.OutingFilter{}, wide)
		}),
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Outings(ctx, s, domain.OutingFilter{ClubID: v.Club.ID, SquadID: v.Squad.ID, From: from, To: today}, wide)
		}),
	},
	"Outing": {
		find(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Outing(ctx, s, v.Outing.ID)
		}),
		find(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Outing(ctx, s, v.Other.ID)
		}),
	},
	"OutingsByReference": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.OutingsByReference(ctx, s, v.Club.ID, []string{v.Outing.Reference})
	})},
	"PutOuting": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error { // a new one in the victim's name
			_, err := tx.PutOuting(ctx, s, domain.Outing{ID: newID(), ClubID: v.Club.ID, Kind: domain.OutingNets, State: domain.OutingHeld,
				Date: today})
			return err
		}),
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			o := v.Outing
			o.Title = "stolen"
			_, err := tx.PutOuting(ctx, s, o)
			return err
		}),
		underID(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutOuting(ctx, s, domain.Outing{ID: v.Outing.ID, ClubID: v.mine.Club.ID, Kind: domain.OutingNets,
				State: domain.OutingHeld, Date: today})
			return err
		}),
		mixed(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutOuting(ctx, s, domain.Outing{ID: newID(), ClubID: v.mine.Club.ID, SquadID: v.Squad.ID, Kind: domain.OutingNets,
				State: domain.OutingHeld, Date: today})
			return err
		}),
	},
	"ReplaceAttendance": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			return tx.ReplaceAttendance(ctx, s, v.Outing.ID, nil)
		}),
		ofVictim(func(ctx context.Context, tx *store.Tx, s access.Scope, outing, player domain.ID) error {
			return tx.ReplaceAttendance(ctx, s, outing, []domain.Attendance{{PlayerID: player, Present: domain.PresentYes}})
		}),
	},
	"PutOver": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutOver(ctx, s, v.Over)
			return err
		}),
		underID(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error { // the victim's entry, moved into my outing
			o := v.Over
			o.OutingID, o.PlayerID, o.Version = v.mine.Outing.ID, v.mine.Player.ID, 0
			_, err := tx.PutOver(ctx, s, o)
			return err
		}),
		ofVictim(func(ctx context.Context, tx *store.Tx, s access.Scope, outing, player domain.ID) error {
			_, err := tx.PutOver(ctx, s, domain.OverLog{ID: newID(), OutingID: outing, Date: today, Innings: 9, Over: 9, PlayerID: player,
				Balls: 6, Valid: 6})
			return err
		}),
	},
	"DeleteOver": {write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		return tx.DeleteOver(ctx, s, v.Outing.ID, v.Over.ID, 1)
	}), mixed(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		return tx.DeleteOver(ctx, s, v.mine.Outing.ID, v.Over.ID, 1)
	})},
	"PutSpell": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutSpell(ctx, s, v.Spell)
			return err
		}),
		ofVictim(func(ctx context.Context, tx *store.Tx, s access.Scope, outing, player domain.ID) error {
			_, err := tx.PutSpell(ctx, s, domain.QuickSpell{ID: newID(), OutingID: outing, Date: today, Innings: 1, PlayerID: player,
				Overs: 1, Balls: 6, Valid: 6})
			return err
		}),
	},
	"DeleteSpell": {write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		return tx.DeleteSpell(ctx, s, v.Outing.ID, v.Spell.ID, 1)
	}), mixed(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		return tx.DeleteSpell(ctx, s, v.mine.Outing.ID, v.Spell.ID, 1)
	})},
	"PutPractice": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			_, err := tx.PutPractice(ctx, s, v.Practice)
			return err
		}),
		ofVictim(func(ctx context.Context, tx *store.Tx, s access.Scope, outing, player domain.ID) error {
			_, err := tx.PutPractice(ctx, s, domain.Practice{ID: newID(), OutingID: outing, PlayerID: player, Balls: 6})
			return err
		}),
	},
	"DeletePractice": {write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		return tx.DeletePractice(ctx, s, v.Outing.ID, v.Practice.ID, 1)
	}), mixed(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		return tx.DeletePractice(ctx, s, v.mine.Outing.ID, v.Practice.ID, 1)
	})},
	"AddLogs": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			return tx.AddLogs(ctx, s, nil, []domain.OverLog{{ID: newID(), OutingID: v.Other.ID, Date: today, Innings: 1, Over: 1,
				PlayerID: v.Player.ID, Balls: 6, Valid: 6}}, nil)
		}),
		ofVictim(func(ctx context.Context, tx *store.Tx, s access.Scope, outing, player domain.ID) error {
			return tx.AddLogs(ctx, s, map[domain.ID][]domain.Attendance{outing: {{PlayerID: player, Present: domain.PresentYes}}}, nil, nil)
		}),
		ofVictim(func(ctx context.Context, tx *store.Tx, s access.Scope, outing, player domain.ID) error {
			return tx.AddLogs(ctx, s, nil, nil, []domain.Practice{{ID: newID(), OutingID: outing, PlayerID: player, Balls: 6}})
		}),
	},
	"AddCorrections": {write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		return tx.AddCorrections(ctx, s, []domain.Correction{{ID: newID(), OutingID: v.Outing.ID, At: now, What: "outing", EntryID: v.Outing.ID}})
	})},
	"Corrections": {find(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.Corrections(ctx, s, v.Outing.ID, wide)
	})},
	"RefreshRollup": {mixedRegion(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
		return tx.RefreshRollup(ctx, s, []domain.TouchedDay{{PlayerID: v.Player.ID, Day: today}})
	})},
	"DayLoads": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		var out []domain.DayLoad
		err := tx.DayLoads(ctx, s, from, today, func(l domain.DayLoad) error { out = append(out, l); return nil })
		return out, reach(err)
	})},
	"BowlingRecord": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		rec, err := tx.BowlingRecord(ctx, s, from, today)
		return rec, reach(err)
	})},
	"TouchedPlayers": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		out, err := tx.TouchedPlayers(ctx, s, today, "", 100)
		return out, reach(err)
	})},
	"ClearTouched": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		err := tx.ClearTouched(ctx, s, []domain.ID{v.Player.ID}, today)
		return nil, reach(err)
	})},
	"Notices": {
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
			return tx.Notices(ctx, s, domain.NoticeFilter{State: "all"}, wide)
		}),
		look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
			return tx.Notices(ctx, s, domain.NoticeFilter{State: "waiting", On: today, ClubID: v.Club.ID}, wide)
		}),
	},
	"Notice": {find(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.Notice(ctx, s, v.Notice.ID)
	})},
	"NoticesOf": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) (any, error) {
		return tx.NoticesOf(ctx, s, []domain.ID{v.Player.ID})
	})},
	"PutNotice": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			n := v.Notice
			n.State, n.EndReason = domain.NoticeEnded, domain.EndFamily
			_, err := tx.PutNotice(ctx, s, n)
			return err
		}),
		underID(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error { // the victim's notice, put on my player
			n := v.Notice
			n.PlayerID, n.Version = v.mine.Player.ID, 0
			_, err := tx.PutNotice(ctx, s, n)
			return err
		}),
	},
	"PutNoticeFacts": {
		write(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error {
			f := v.Fact
			f.Withdrawn = true
			return tx.PutNoticeFacts(ctx, s, []domain.NoticeFact{f})
		}),
		underID(func(ctx context.Context, tx *store.Tx, s access.Scope, v victim) error { // the victim's fact, moved to my notice
			f := v.Fact
			f.NoticeID, f.PlayerID = v.mine.Notice.ID, v.mine.Player.ID
			return tx.PutNoticeFacts(ctx, s, []domain.NoticeFact{f})
		}),
	},
	"CheckFence": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		err := tx.CheckFence(ctx, s, "night of the other region", 1)
		if domain.ErrorCodeOf(err) == "lease_lost" { // the attacker has none
			err = nil
		}
		return nil, reach(err)
	})},
	"MarkDone": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		return nil, reach(tx.MarkDone(ctx, s, "night", today, 1, now))
	})},
	"AddAudit": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		return nil, tx.AddAudit(ctx, s, domain.AuditEntry{ID: newID(), At: now, Action: "x"})
	})},
	"Audit": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		return tx.Audit(ctx, s, wide)
	})},
	"Answered": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		_, answer, _, err := tx.Answered(ctx, s, "key")
		return answer, reach(err)
	})},
	"KeepAnswer": {look(func(ctx context.Context, tx *store.Tx, s access.Scope, _ victim) (any, error) {
		return nil, reach(tx.KeepAnswer(ctx, s, "key", "f", nil, now))
	})},
}
