package app

import (
	"context"
	"time"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/limits"
	"longspell/internal/notices"
)

// Notices lists the notices that wait for the caller: those about players inside the scope.
func (a *App) Notices(ctx context.Context, c Call, f NoticeFilter, p domain.Page) (out domain.Slice[NoticeView], err error) {
	err = a.read(ctx, c, access.NoticeRead, func(tx Tx, s access.Scope) error {
		if f.On.IsZero() {
			f.On = s.Today()
		}
		page, err := tx.Notices(ctx, s, f, p)
		if err != nil {
			return err
		}
		out.Next = page.Next
		out.Items, err = a.noticeViews(ctx, tx, s, page.Items)
		return err
	})
	return out, err
}

// Notice reads one notice with its facts.
func (a *App) Notice(ctx context.Context, c Call, id domain.ID) (v NoticeView, err error) {
	err = a.read(ctx, c, access.NoticeRead, func(tx Tx, s access.Scope) error {
		v, err = a.noticeView(ctx, tx, s, id)
		return err
	})
	return v, err
}

// HandleNotice takes a notice up, puts it back, or ends it with a reason that is kept.
func (a *App) HandleNotice(ctx context.Context, c Call, cmd HandleNotice) (v NoticeView, err error) {
	if (cmd.State == domain.NoticeEnded) != (cmd.Reason != "") || cmd.Reason == domain.EndCorrected {
		return v, domain.Invalid("end_reason", "Say why the notice ends, and only then. Choose one of the reasons in the list.",
			domain.FieldError{Pointer: "/endReason", Detail: "needed when the state is ended, and only then"})
	}
	err = a.write(ctx, c, access.NoticeHandle, func(tx Tx, s access.Scope) error {
		n, err := tx.Notice(ctx, s, cmd.ID)
		if err != nil {
			return err
		}
		if n.Version != cmd.Version {
			return domain.Conflict("version_stale", "Somebody else changed this notice. Reload it, then decide again.")
		}
		if n.State == domain.NoticeEnded {
			return domain.Conflict("notice_ended", "This notice has ended already. A new finding would open it again.")
		}
		now := a.clock.Now()
		n.State = cmd.State
		switch cmd.State {
		case domain.NoticeTakenUp:
			n.TakenUpBy, n.TakenUpAt = s.Account(), now
		case domain.NoticeOpen:
			n.TakenUpBy, n.TakenUpAt = "", time.Time{}
		case domain.NoticeEnded:
			n.EndReason, n.EndedBy, n.EndedAt = cmd.Reason, s.Account(), now
		}
		if _, err := tx.PutNotice(ctx, s, n); err != nil {
			return err
		}
		err = a.trail(ctx, tx, s, string(cmd.State), "notice", n.ID, map[string]string{"player": string(n.PlayerID), "reason": string(cmd.Reason)})
		if err != nil {
			return err
		}
		v, err = a.noticeView(ctx, tx, s, cmd.ID)
		return err
	})
	return v, err
}

func (a *App) noticeView(ctx context.Context, tx Tx, s access.Scope, id domain.ID) (NoticeView, error) {
	n, err := tx.Notice(ctx, s, id)
	if err != nil {
		return NoticeView{}, err
	}
	vs, err := a.noticeViews(ctx, tx, s, []domain.Notice{n})
	if err != nil {
		return NoticeView{}, err
	}
	return vs[0], nil
}

// noticeViews cuts notices to what the scope may see: a pseudonym for an officer, an outing only where the caller may read
// outings of its club.
func (a *App) noticeViews(ctx context.Context, tx Tx, s access.Scope, ns []domain.Notice) ([]NoticeView, error) {
	var ids []domain.ID
	for _, n := range ns {
		ids = append(ids, n.PlayerID)
	}
	players, err := tx.PlayersByID(ctx, s, ids)
	if err != nil {
		return nil, err
	}
	byID := map[domain.ID]domain.Player{}
	for _, p := range players {
		byID[p.ID] = p
	}
	st, err := standingOf(ctx, tx, s, ids)
	if err != nil {
		return nil, err
	}
	out := make([]NoticeView, 0, len(ns))
	for _, n := range ns {
		v := NoticeView{Notice: n, DoNext: notices.DoNext(n.Limit), Caution: notices.Caution}
		var named bool
		v.PlayerName, named = st.shownName(s, byID[n.PlayerID])
		for _, c := range st.clubs[n.PlayerID] {
			v.ClubNames = append(v.ClubNames, c.ClubName)
		}
		if set, ok := limits.Lookup(n.LimitSet); ok {
			v.SetTitle, v.SetPublisher, v.SetYear = set.Title, set.Publisher, set.Year
		}
		if v.Facts, err = a.factViews(ctx, tx, s, n, named); err != nil {
			return nil, err
		}
		for i, f := range v.Facts {
			n.Facts[i].Says = f.Says
		}
		v.Says = notices.Says(n)
		out = append(out, v)
	}
	return out, nil
}

// factViews cuts the facts of a notice to what the scope may see: where the outing is another club's, only the figures.
func (a *App) factViews(ctx context.Context, tx Tx, s access.Scope, n domain.Notice, named bool) ([]NoticeFactView, error) {
	out := make([]NoticeFactView, 0, len(n.Facts))
	seen := map[domain.ID]bool{}
	for _, f := range n.Facts {
		v := NoticeFactView{NoticeFact: f, Limit: n.Limit}
		if f.OutingID != "" && named {
			known, asked := seen[f.OutingID]
			if !asked {
				_, err := tx.Outing(ctx, s, f.OutingID)
				if err != nil && domain.ErrorKindOf(err) != domain.KindNotFound {
					return nil, err
				}
				known = err == nil
				seen[f.OutingID] = known
			}
			v.ShowOuting = known
		}
		if f.OutingID != "" && !v.ShowOuting {
			v.Says = notices.Figures(n.Limit, f)
		}
		out = append(out, v)
	}
	return out, nil
}
