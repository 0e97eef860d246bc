// Package notices decides what to raise for an adult: findings in, notices out. It knows no database and no clock; the night
// and the instants are arguments. Running it twice on the same findings changes nothing the second time.
package notices

import (
	"slices"
	"strings"
	"time"

	"longspell/internal/domain"
)

// VisibleDays is how long a notice of the kind "bowled too much" stays in view after its last day. In the study that looked for
// a delay (adult fast bowlers; Orchard et al., "Fast bowlers in cricket demonstrate up to 3- to 4-week delay...", Am J Sports
// Med 2009;37:1186-92) harm was seen up to four weeks after a heavy match. It says nothing about one child's body.
const VisibleDays = 28

// Found is one finding of a limit set about one player.
type Found struct {
	Key      string // the finding's own stable key
	LimitSet string
	Limit    string
	Weight   string
	Date     domain.Date
	OutingID domain.ID // "" where no single outing is meant
	Innings  int
	Over     int
	Allowed  int // -1 = none
	Actual   int
	Earliest int // 0 = none
	AgeGroup string
	Says     string
	Source   string
}

// Case is what is to be settled for one player: all notices there are, and everything found on the days From..Night, which
// were looked at again.
type Case struct {
	PlayerID domain.ID
	Have     []domain.Notice
	Found    []Found
	From     domain.Date
	Night    domain.Date
	NewID    func() domain.ID
}

// Changes are the rows to store: notices that are new (Version 0) or changed, and facts that are new or changed.
type Changes struct {
	Notices []domain.Notice
	Facts   []domain.NoticeFact
}

// Settle brings the notices of one player in line with what was found. A new fact joins the notice of its matter that is
// still in view, or opens one; a fact that is no longer found is withdrawn, and a notice without any fact left ends as
// corrected.
func Settle(c Case) Changes {
	s := settling{c: c, byKey: map[string]*domain.NoticeFact{}, changed: map[domain.ID]bool{}}
	s.load()
	s.withdraw()
	slices.SortStableFunc(c.Found, func(a, b Found) int {
		if d := a.Date.Compare(b.Date); d != 0 {
			return d
		}
		return strings.Compare(a.Key, b.Key)
	})
	for _, f := range c.Found {
		s.add(f)
	}
	return s.changes()
}

type settling struct {
	c       Case
	notices []*domain.Notice
	byKey   map[string]*domain.NoticeFact
	facts   []*domain.NoticeFact // changed or new
	changed map[domain.ID]bool
}

func (s *settling) load() {
	for _, n := range s.c.Have {
		if n.Kind != domain.BowledTooMuch {
			continue
		}
		n.Facts = slices.Clone(n.Facts)
		s.notices = append(s.notices, &n)
		for i := range n.Facts {
			s.byKey[n.Facts[i].Key] = &n.Facts[i]
		}
	}
}

func (s *settling) withdraw() {
	found := map[string]bool{}
	for _, f := range s.c.Found {
		found[f.Key] = true
	}
	for _, n := range s.notices {
		for i := range n.Facts {
			f := &n.Facts[i]
			looked := !f.Date.Before(s.c.From) && !f.Date.After(s.c.Night)
			if looked && !f.Withdrawn && !found[f.Key] {
				f.Withdrawn = true
				s.facts = append(s.facts, f)
				s.changed[n.ID] = true
			}
		}
	}
}

func (s *settling) add(f Found) {
	if old, ok := s.byKey[f.Key]; ok {
		n := s.notice(old.NoticeID)
		if old.Withdrawn {
			old.Withdrawn = false
			s.reopen(n)
			s.facts = append(s.facts, old)
			s.changed[n.ID] = true
		}
		if old.Actual != f.Actual || old.Says != f.Says || old.Earliest != f.Earliest {
			old.Actual, old.Says, old.Earliest = f.Actual, f.Says, f.Earliest
			if !slices.Contains(s.facts, old) {
				s.facts = append(s.facts, old)
			}
		}
		return
	}
	n := s.home(f)
	fact := domain.NoticeFact{ID: s.c.NewID(), NoticeID: n.ID, PlayerID: s.c.PlayerID, Key: f.Key, Date: f.Date, OutingID: f.OutingID,
		Innings: f.Innings, Over: f.Over, Allowed: f.Allowed, Actual: f.Actual, Earliest: f.Earliest, AgeGroup: f.AgeGroup,
		Says: f.Says, Source: f.Source, Late: f.Date.Before(s.c.Night)}
	n.Facts = append(n.Facts, fact)
	// Growing the slice moves the facts, so the pointers of this notice are taken anew.
	for i := range n.Facts {
		p := &n.Facts[i]
		if j := slices.IndexFunc(s.facts, func(q *domain.NoticeFact) bool { return q.ID == p.ID }); j >= 0 {
			s.facts[j] = p
		}
		s.byKey[p.Key] = p
	}
	s.facts = append(s.facts, &n.Facts[len(n.Facts)-1])
	n.Late = n.Late || fact.Late
	s.changed[n.ID] = true
}

// home finds or opens the notice that a new fact belongs to.
func (s *settling) home(f Found) *domain.Notice {
	matter := Matter(f.LimitSet, f.Limit)
	var near *domain.Notice
	for _, n := range s.notices {
		if n.Matter != matter {
			continue
		}
		if !f.Date.Before(n.FirstDay) && !f.Date.After(n.LastDay) {
			s.reopen(n)
			return n
		}
		inReach := !f.Date.After(n.VisibleUntil) && !f.Date.Before(n.FirstDay.AddDays(-VisibleDays))
		if n.State != domain.NoticeEnded && inReach {
			near = n
		}
	}
	if near != nil {
		return near
	}
	n := &domain.Notice{ID: s.c.NewID(), Kind: domain.BowledTooMuch, PlayerID: s.c.PlayerID, Matter: matter, LimitSet: f.LimitSet,
		Limit: f.Limit, Weight: f.Weight, FirstDay: f.Date, LastDay: f.Date, OpenedOn: s.c.Night, State: domain.NoticeOpen}
	s.notices = append(s.notices, n)
	return n
}

// Matter names what a notice of the kind "bowled too much" is about; one player has at most one such notice in view.
func Matter(limitSet, limit string) string {
	return string(domain.BowledTooMuch) + ":" + limitSet + ":" + limit
}

func (s *settling) reopen(n *domain.Notice) {
	if n.State != domain.NoticeEnded {
		return
	}
	n.State, n.EndReason, n.EndedBy, n.EndedAt = domain.NoticeOpen, "", "", time.Time{}
	n.TakenUpBy, n.TakenUpAt = "", time.Time{}
}

func (s *settling) notice(id domain.ID) *domain.Notice {
	for _, n := range s.notices {
		if n.ID == id {
			return n
		}
	}
	return nil
}

func (s *settling) changes() Changes {
	var out Changes
	for _, n := range s.notices {
		if !s.changed[n.ID] {
			continue
		}
		s.span(n)
		out.Notices = append(out.Notices, *n)
	}
	for _, f := range s.facts {
		out.Facts = append(out.Facts, *f)
	}
	return out
}

// span works out the days of a notice from the facts that still hold. FirstDay names the matter, so it only ever moves back.
func (s *settling) span(n *domain.Notice) {
	live := 0
	for _, f := range n.Facts {
		if f.Withdrawn {
			continue
		}
		if live == 0 || f.Date.After(n.LastDay) {
			n.LastDay = f.Date
		}
		if f.Date.Before(n.FirstDay) {
			n.FirstDay = f.Date
		}
		live++
	}
	n.VisibleUntil = n.LastDay.AddDays(VisibleDays)
	if live == 0 && n.State != domain.NoticeEnded {
		n.State, n.EndReason = domain.NoticeEnded, domain.EndCorrected
	}
}
