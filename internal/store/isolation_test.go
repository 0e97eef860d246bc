package store_test

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
)

func TestEveryMethodIsAttempted(t *testing.T) {
	t.Parallel()
	methods := reflect.TypeFor[*store.Tx]()
	for m := range methods.Methods() {
		if _, ok := attempts[m.Name]; !ok {
			t.Errorf("nobody attempts to reach another's rows by %s: add it to attempts", m.Name)
		}
	}
	for name := range attempts {
		if _, ok := methods.MethodByName(name); !ok {
			t.Errorf("there is no method %s", name)
		}
	}
}

func TestIsolation(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		a, b := newRealm(t, s, "A"), newRealm(t, s, "B")
		for _, way := range []struct{ attacker, victim *realm }{{a, b}, {b, a}} {
			r := way.attacker
			v := victim{realm: way.victim, side: way.victim.One, mine: r.One}
			for name, scope := range map[string]access.Scope{"operator": r.operator(), "overnight": r.overnight(), "officer": r.officer(t),
				"lead": r.lead(t, r.One), "coach": r.coach(t, r.One), "parent": r.parent(t, r.One), "counting": r.counting(t, r.One)} {
				attack(t, r, scope, v, fmt.Sprintf("region %s, %s", r.Region.Name, name))
			}
			wrongScope(t, r, v)
		}
		for _, way := range []struct{ mine, theirs side }{{a.One, a.Two}, {a.Two, a.One}} {
			v := victim{realm: a, side: way.theirs, mine: way.mine}
			for name, scope := range map[string]access.Scope{"lead": a.lead(t, way.mine), "coach": a.coach(t, way.mine),
				"parent":   a.parent(t, way.mine),
				"counting": a.counting(t, way.mine)} {
				attack(t, a, scope, v, fmt.Sprintf("club %s, %s", way.mine.Club.Name, name))
			}
		}
		control(t, victim{realm: a, side: a.One, mine: side{}})
	})
}

func attack(t *testing.T, r *realm, s access.Scope, v victim, who string) {
	t.Helper()
	for _, method := range sorted(attempts) {
		for i, a := range attempts[method] {
			if a.reuse && !v.sameRegion() {
				continue
			}
			err := r.s.InRegion(t.Context(), s, func(tx *store.Tx) error {
				seen, err := a.call(t.Context(), tx, s, v)
				if a.refused {
					told := domain.ErrorKindOf(err) == domain.KindNotFound || errors.Is(err, store.ErrReach)
					if !told {
						t.Errorf("%s: %s (attempt %d): %v, want not_found", who, method, i, err)
					}
				} else if err != nil {
					t.Errorf("%s: %s (attempt %d): %v", who, method, i, err)
				}
				if id, leaked := holds(t, seen, v.ids()); leaked {
					t.Errorf("%s: %s (attempt %d) shows %s", who, method, i, id)
				}
				return errRollback
			})
			if !errors.Is(err, errRollback) {
				t.Fatalf("%s: %s: %v", who, method, err)
			}
		}
	}
}

// control does the same in the victim's own name: what was refused is done, and what was hidden is seen. Else the attempts
// would prove nothing.
func control(t *testing.T, v victim) {
	t.Helper()
	for _, method := range sorted(attempts) {
		sees := false
		for i, a := range attempts[method] {
			if a.never {
				continue
			}
			for _, s := range []access.Scope{v.overnight(), v.operator()} {
				_ = v.s.InRegion(t.Context(), s, func(tx *store.Tx) error {
					seen, err := a.call(t.Context(), tx, s, v)
					if err != nil {
						t.Errorf("own: %s (attempt %d): %v", method, i, err)
					}
					if _, ok := holds(t, seen, v.ids()); ok {
						sees = true
					}
					return errRollback
				})
			}
		}
		reads := !slices.ContainsFunc([]string{"Put", "Add", "Delete", "Replace", "Keep", "Mark", "Clear", "Refresh", "Update", "Check",
			"Answered", "Gorm", "Region", "Seasons",
			"Adoptions", "Audit"}, func(p string) bool { return strings.HasPrefix(method, p) && method != "Registrations" })
		if reads && !sees {
			t.Errorf("own: %s shows nothing to its own", method)
		}
	}
}

// wrongScope gives every method a scope of the victim's region, and one of nobody, inside a transaction of the attacker's.
func wrongScope(t *testing.T, r *realm, v victim) {
	t.Helper()
	for _, method := range sorted(attempts) {
		for i, a := range attempts[method] {
			for name, s := range map[string]access.Scope{"another region's": v.operator(), "nobody's": {}} {
				_ = r.s.InRegion(t.Context(), r.operator(), func(tx *store.Tx) error {
					seen, err := a.call(t.Context(), tx, s, v)
					if err == nil {
						t.Errorf("%s (attempt %d) takes %s scope and gives %v", method, i, name, seen)
					}
					return errRollback
				})
			}
		}
	}
}

func holds(t *testing.T, seen any, ids []domain.ID) (domain.ID, bool) {
	t.Helper()
	b, err := json.Marshal(seen)
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range ids {
		if strings.Contains(string(b), string(id)) {
			return id, true
		}
	}
	return "", false
}

func sorted[K cmp.Ordered, V any](m map[K]V) []K {
	var out []K
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// Of identity and ledger: what is asked with a scope sees that scope's region alone.
func TestLedgerIsolation(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		a, b := newRealm(t, s, "A"), newRealm(t, s, "B")
		ctx := t.Context()
		fence, ok, err := s.TakeLease(ctx, a.overnight(), "night", "one", now, time.Hour)
		if err != nil || !ok {
			t.Fatal(fence, ok, err)
		}
		if _, ok, err := s.TakeLease(ctx, b.overnight(), "night", "two", now, time.Hour); err != nil || !ok {
			t.Errorf("the lease of one region stands in the way of another's: %v %v", ok, err)
		}
		a.in(t, a.overnight(), func(tx *store.Tx) error { return tx.MarkDone(ctx, a.overnight(), "night", today, fence, now) })
		if done, err := s.Done(ctx, b.overnight(), "night", today); err != nil || done {
			t.Errorf("done in another region: %v %v", done, err)
		}
		if last, err := s.LastDone(ctx, b.overnight(), "night"); err != nil || !last.IsZero() {
			t.Errorf("last done in another region: %v %v", last, err)
		}
		for name, sc := range map[string]access.Scope{"lead": a.lead(t, a.One), "officer": a.officer(t), "counting": a.counting(t, a.One),
			"nobody": {}} {
			_, _, take := s.TakeLease(ctx, sc, "night", "x", now, time.Hour)
			_, done := s.Done(ctx, sc, "night", today)
			_, last := s.LastDone(ctx, sc, "night")
			for what, err := range map[string]error{"take": take, "done": done, "last": last, "release": s.ReleaseLease(ctx, sc, "night",
				"one", fence)} {
				if err == nil {
					t.Errorf("%s may %s", name, what)
				}
			}
		}
	})
}

func joined(parts ...map[string][]attempt) map[string][]attempt {
	out := map[string][]attempt{}
	for _, m := range parts {
		maps.Copy(out, m)
	}
	return out
}
