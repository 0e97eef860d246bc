package store_test

import (
	"encoding/base64"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"longspell/internal/domain"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
)

// Whatever the size of the pages, a list read page by page is the list: in order, nothing twice, nothing left out.
func TestPagesCoverTheList(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		ctx, op := t.Context(), r.operator()
		want := []domain.ID{r.One.Outing.ID, r.One.Other.ID, r.Two.Outing.ID, r.Two.Other.ID}
		r.in(t, op, func(tx *store.Tx) error {
			for i := range 37 {
				o := domain.Outing{ID: newID(), ClubID: r.One.Club.ID, Kind: domain.OutingNets, State: domain.OutingHeld,
					Date: today.AddDays(-i / 9)} // many of one day
				want = append(want, o.ID)
				if _, err := tx.PutOuting(ctx, op, o); err != nil {
					return err
				}
				p := domain.Player{ID: newID(), Name: fmt.Sprintf("Same Name %d", i/5)}
				if _, err := tx.PutPlayer(ctx, op, p); err != nil {
					return err
				}
			}
			return nil
		})
		r.read(t, op, func(tx *store.Tx) error {
			rapid.Check(t, func(rt *rapid.T) {
				var got []domain.Outing
				p := domain.Page{Size: rapid.IntRange(1, 50).Draw(rt, "size")}
				for more := true; more; more = p.After != "" {
					page, err := tx.Outings(ctx, op, domain.OutingFilter{}, p)
					if err != nil {
						rt.Fatal(err)
					}
					if len(page.Items) > p.Size || (page.Next != "" && len(page.Items) < p.Size) {
						rt.Fatalf("%d entries on a page of %d", len(page.Items), p.Size)
					}
					got = append(got, page.Items...)
					p.After = page.Next
				}
				for i := 1; i < len(got); i++ {
					a, b := got[i-1], got[i]
					if a.Date.Before(b.Date) || a.Date == b.Date && a.ID <= b.ID {
						rt.Fatalf("%s %s before %s %s", a.Date, a.ID, b.Date, b.ID)
					}
				}
				seen := ids(got, func(o domain.Outing) domain.ID { return o.ID })
				slices.Sort(seen)
				if !slices.Equal(seen, sortedIDs(want...)) {
					rt.Fatalf("%d outings, want %d", len(seen), len(want))
				}
			})
			return nil
		})
	})
}

func TestPlayersPageByNameAndID(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		ctx, op := t.Context(), r.operator()
		r.in(t, op, func(tx *store.Tx) error {
			for _, name := range []string{"Zed", "Zed", "Zed", "älva", "Änne", "adam", "ZED"} {
				if _, err := tx.PutPlayer(ctx, op, domain.Player{ID: newID(), Name: name}); err != nil {
					return err
				}
			}
			return nil
		})
		var got []string
		r.read(t, op, func(tx *store.Tx) error {
			p := domain.Page{Size: 2}
			for more := true; more; more = p.After != "" {
				page, err := tx.Players(ctx, op, domain.PlayerFilter{}, p)
				if err != nil {
					return err
				}
				for _, v := range page.Items {
					got = append(got, strings.ToLower(v.Name))
				}
				p.After = page.Next
			}
			return nil
		})
		if len(got) != 11 || got[0] != "adam" || !slices.Equal(got[5:], []string{"zed", "zed", "zed", "zed", "älva", "änne"}) {
			t.Errorf("in order of bytes, small letters: %q", got)
		}
	})
}

func TestPageTokens(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		ctx, op := t.Context(), r.operator()
		r.read(t, op, func(tx *store.Tx) error {
			first, err := tx.Outings(ctx, op, domain.OutingFilter{}, domain.Page{Size: 1})
			if err != nil || first.Next == "" {
				t.Fatal(first, err)
			}
			use := func(f domain.OutingFilter, token string) error {
				_, err := tx.Outings(ctx, op, f, domain.Page{Size: 1, After: token})
				return err
			}
			if err := use(domain.OutingFilter{}, first.Next); err != nil {
				t.Errorf("its own: %v", err)
			}
			plain, err := base64.RawURLEncoding.DecodeString(first.Next)
			if err != nil {
				t.Fatal(err)
			}
			code := func(s string) string { return base64.RawURLEncoding.EncodeToString([]byte(s)) }
			for what, err := range map[string]error{
				"another filter":     use(domain.OutingFilter{ClubID: r.One.Club.ID}, first.Next),
				"no token":           use(domain.OutingFilter{}, "%%%"),
				"no JSON":            use(domain.OutingFilter{}, code("x")),
				"another version":    use(domain.OutingFilter{}, code(strings.Replace(string(plain), `"v":1`, `"v":2`, 1))),
				"an id that is none": use(domain.OutingFilter{}, code(strings.Replace(string(plain), string(first.Items[0].ID), "x", 1))),
				"fewer values": use(domain.OutingFilter{}, code(strings.Replace(string(plain),
					`"k":["`+first.Items[0].Date.String()+`",`, `"k":[`, 1))),
			} {
				wantCode(t, what, err, "page_token")
			}
			_, err = tx.Clubs(ctx, op, domain.Page{Size: 1, After: first.Next})
			wantCode(t, "another list", err, "page_token")
			for _, size := range []int{0, -1, 101} {
				_, err := tx.Clubs(ctx, op, domain.Page{Size: size})
				wantCode(t, fmt.Sprint("size ", size), err, "page_size")
			}
			return nil
		})
	})
}
