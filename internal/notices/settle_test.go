package notices

import (
	"fmt"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"longspell/internal/domain"
)

func ids() func() domain.ID {
	n := 0
	return func() domain.ID {
		n++
		return domain.ID(fmt.Sprintf("00000000-0000-7000-8000-%012d", n))
	}
}

func found(key, limit, date string, actual int) Found {
	return Found{Key: key, LimitSet: "ecb-2010", Limit: limit, Weight: "limit", Date: domain.MustDate(date), Allowed: 10,
		Actual: actual, AgeGroup: "U13", Says: fmt.Sprintf("%d overs, where 10 are allowed.", actual), Source: "printed"}
}

// apply plays the store: it keeps what Settle wants stored.
func apply(have []domain.Notice, ch Changes) []domain.Notice {
	out := make([]domain.Notice, 0, len(have)+len(ch.Notices))
	byID := map[domain.ID]int{}
	for _, n := range have {
		byID[n.ID] = len(out)
		out = append(out, n)
	}
	for _, n := range ch.Notices {
		facts := []domain.NoticeFact{}
		if i, ok := byID[n.ID]; ok {
			facts = out[i].Facts
		}
		n.Version++
		n.Facts = facts
		if i, ok := byID[n.ID]; ok {
			out[i] = n
		} else {
			byID[n.ID] = len(out)
			out = append(out, n)
		}
	}
	for _, f := range ch.Facts {
		n := &out[byID[f.NoticeID]]
		kept := false
		facts := append([]domain.NoticeFact{}, n.Facts...)
		for i := range facts {
			if facts[i].ID == f.ID {
				facts[i], kept = f, true
			}
		}
		if !kept {
			facts = append(facts, f)
		}
		n.Facts = facts
	}
	return out
}

func settle(have []domain.Notice, night, from string, newID func() domain.ID, fs ...Found) ([]domain.Notice, Changes) {
	ch := Settle(Case{PlayerID: "p", Have: have, Found: fs, From: domain.MustDate(from), Night: domain.MustDate(night), NewID: newID})
	return apply(have, ch), ch
}

func TestOpensOnceAndGathers(t *testing.T) {
	t.Parallel()
	newID := ids()
	have, _ := settle(nil, "2026-05-09", "2026-05-09", newID, found("a", "day_overs", "2026-05-09", 11))
	if len(have) != 1 || have[0].State != domain.NoticeOpen || have[0].Late {
		t.Fatalf("first night: %+v", have)
	}
	have, _ = settle(have, "2026-05-16", "2026-05-16", newID, found("b", "day_overs", "2026-05-16", 12))
	if len(have) != 1 || len(have[0].Facts) != 2 {
		t.Fatalf("second night: want one notice with two facts, got %+v", have)
	}
	if got, want := have[0].VisibleUntil, domain.MustDate("2026-06-13"); got != want {
		t.Errorf("visible until %v, want 28 days after the last day, %v", got, want)
	}
}

func TestSecondRunChangesNothing(t *testing.T) {
	t.Parallel()
	newID := ids()
	fs := []Found{found("a", "day_overs", "2026-05-09", 11), found("b", "spell_overs", "2026-05-09", 7)}
	have, _ := settle(nil, "2026-05-09", "2026-05-09", newID, fs...)
	_, ch := settle(have, "2026-05-09", "2026-05-09", newID, fs...)
	if len(ch.Notices)+len(ch.Facts) != 0 {
		t.Errorf("second run changes %+v", ch)
	}
}

func TestOtherMatterOrLongAfterOpensAnother(t *testing.T) {
	t.Parallel()
	newID := ids()
	have, _ := settle(nil, "2026-05-09", "2026-05-09", newID, found("a", "day_overs", "2026-05-09", 11))
	have, _ = settle(have, "2026-05-10", "2026-05-10", newID, found("b", "run_of_days", "2026-05-10", 3))
	have, _ = settle(have, "2026-07-10", "2026-07-10", newID, found("c", "day_overs", "2026-07-10", 11))
	if len(have) != 3 {
		t.Errorf("got %d notices, want one per matter and one long after", len(have))
	}
}

func TestCorrectionEndsAndFindsAgain(t *testing.T) {
	t.Parallel()
	newID := ids()
	a := found("a", "day_overs", "2026-05-09", 11)
	have, _ := settle(nil, "2026-05-09", "2026-05-09", newID, a)
	have, _ = settle(have, "2026-05-11", "2026-05-09", newID)
	if have[0].State != domain.NoticeEnded || have[0].EndReason != domain.EndCorrected || !have[0].Facts[0].Withdrawn {
		t.Fatalf("a corrected log ends the notice: %+v", have[0])
	}
	have, _ = settle(have, "2026-05-12", "2026-05-09", newID, a)
	if len(have) != 1 || have[0].State != domain.NoticeOpen || have[0].Facts[0].Withdrawn {
		t.Fatalf("put right again, it opens again: %+v", have)
	}
}

func TestEndedNoticeStaysEndedButTakesNewFactsOfItsDays(t *testing.T) {
	t.Parallel()
	newID := ids()
	a := found("a", "day_overs", "2026-05-09", 11)
	have, _ := settle(nil, "2026-05-09", "2026-05-09", newID, a)
	have[0].State, have[0].EndReason, have[0].EndedBy, have[0].EndedAt = domain.NoticeEnded, domain.EndAdultDecided, "x", time.Unix(1, 0)
	got, ch := settle(have, "2026-05-10", "2026-05-09", newID, a)
	if len(ch.Notices) != 0 || got[0].State != domain.NoticeEnded {
		t.Fatalf("the same fact must not wake an ended notice: %+v", ch)
	}
	got, _ = settle(have, "2026-05-10", "2026-05-09", newID, a, found("b", "day_overs", "2026-05-09", 12))
	if len(got) != 1 || got[0].State != domain.NoticeOpen || !got[0].Facts[1].Late {
		t.Fatalf("a late fact of the same day opens it again, marked late: %+v", got)
	}
}

// However the same findings arrive over the nights, the facts in the end are exactly the findings, and no two notices of a
// matter share their first day (the database's unique key).
func TestAnyOrderOfNightsGivesTheFindings(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		newID := ids()
		start := domain.MustDate("2026-05-01")
		limitNames := []string{"day_overs", "spell_overs"}
		all := map[string]Found{}
		var have []domain.Notice
		night := start
		for range rapid.IntRange(1, 12).Draw(t, "nights") {
			night = night.AddDays(rapid.IntRange(1, 20).Draw(t, "gap"))
			for range rapid.IntRange(0, 3).Draw(t, "new") {
				d := night.AddDays(-rapid.IntRange(0, 40).Draw(t, "back"))
				l := rapid.SampledFrom(limitNames).Draw(t, "limit")
				k := fmt.Sprintf("%s/%s/%d", l, d, rapid.IntRange(1, 2).Draw(t, "over"))
				all[k] = found(k, l, d.String(), 11)
			}
			if rapid.Bool().Draw(t, "drop") {
				for k := range all {
					delete(all, k)
					break
				}
			}
			if len(have) > 0 && rapid.Bool().Draw(t, "end") {
				have[0].State, have[0].EndReason = domain.NoticeEnded, domain.EndReturned
			}
			from := start.AddDays(-60)
			var fs []Found
			for _, f := range all {
				fs = append(fs, f)
			}
			have = apply(have, Settle(Case{PlayerID: "p", Have: have, Found: fs, From: from, Night: night, NewID: newID}))
		}
		want, got := map[string]bool{}, map[string]bool{}
		for k := range all {
			want[k] = true
		}
		keys := map[string]bool{}
		for _, n := range have {
			k := n.Matter + n.FirstDay.String()
			if keys[k] {
				t.Fatalf("two notices with the key %s", k)
			}
			keys[k] = true
			for _, f := range n.Facts {
				if !f.Withdrawn {
					got[f.Key] = true
				}
			}
		}
		if d := cmp.Diff(want, got); d != "" {
			t.Fatalf("facts differ from findings (-want +got):\n%s", d)
		}
	})
}
