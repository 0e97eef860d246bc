package store_test

import (
	"errors"
	"fmt"
	"testing"

	"gorm.io/gorm"
	"gorm.io/gorm/clause"

	"longspell/internal/domain"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
)

// leak is a way in which a naive plugin lets a statement reach another region's rows. mine and theirs are regions whose players
// have the names "Anna O'Wren A Oak" and so on; the database handle is confined to mine.
type leak struct {
	name string
	try  func(tx *gorm.DB, mine, theirs *realm) ([]string, error) // names seen, or refused
	want string                                                   // "refused", or "mine" where nothing but my own rows may be seen
}

var leaks = []leak{
	{"1 OR goes round the condition", func(tx *gorm.DB, mine, theirs *realm) ([]string, error) {
		return names(tx.Where("name = ?", theirs.One.Player.Name).Or("name = ?", mine.One.Player.Name))
	}, "mine"},
	{"1b OR in a text with line breaks", func(tx *gorm.DB, mine, theirs *realm) ([]string, error) {
		return names(tx.Where("name = ?\nOR\nname = ?", theirs.One.Player.Name, mine.One.Player.Name))
	}, "mine"},
	{"2 Save of another's row", func(tx *gorm.DB, mine, theirs *realm) ([]string, error) {
		return nil, tx.Save(&store.PlayerRow{RegionID: mine.Region.ID, ID: theirs.One.Player.ID, Name: "stolen", Version: 1}).Error
	}, "refused"},
	{"3 insert that replaces", func(tx *gorm.DB, mine, theirs *realm) ([]string, error) {
		return nil, tx.Clauses(clause.OnConflict{UpdateAll: true}).
			Create(&store.PlayerRow{RegionID: mine.Region.ID, ID: theirs.One.Player.ID, Name: "stolen", Version: 1}).Error
	}, "refused"},
	{"4 update without WHERE", func(tx *gorm.DB, _, _ *realm) ([]string, error) {
		return nil, tx.Model(&store.PlayerRow{}).Updates(map[string]any{"name": "everybody"}).Error
	}, "refused"},
	{"4b delete without WHERE", func(tx *gorm.DB, _, _ *realm) ([]string, error) {
		return nil, tx.Delete(&store.PlayerRow{}).Error
	}, "refused"},
	{"5 Raw", func(tx *gorm.DB, _, _ *realm) ([]string, error) {
		return names(tx.Raw("SELECT * FROM player"))
	}, "refused"},
	{"5b Exec", func(tx *gorm.DB, _, _ *realm) ([]string, error) {
		return nil, tx.Exec("UPDATE player SET name = 'x'").Error
	}, "refused"},
	{"5c table by name into maps", func(tx *gorm.DB, _, _ *realm) ([]string, error) {
		var out []map[string]any
		return nil, tx.Table("player").Find(&out).Error
	}, "refused"},
	{"5d Raw through Rows", func(tx *gorm.DB, _, _ *realm) ([]string, error) {
		rows, err := tx.Raw("SELECT name FROM player").Rows()
		if err == nil {
			_ = rows.Close()
		}
		return nil, err
	}, "refused"},
	{"6 table by name into another struct", func(tx *gorm.DB, _, _ *realm) ([]string, error) {
		var out []struct{ Name string }
		err := tx.Table("player").Find(&out).Error
		return nil, err
	}, "refused"},
	{"6b own row type, other table", func(tx *gorm.DB, _, _ *realm) ([]string, error) {
		return nil, tx.Table("registration").Find(&[]store.PlayerRow{}).Error
	}, "refused"},
	{"7 insert into another's region", func(tx *gorm.DB, _, theirs *realm) ([]string, error) {
		return nil, tx.Create(&store.PlayerRow{RegionID: theirs.Region.ID, ID: newID(), Name: "planted", Version: 1}).Error
	}, "refused"},
	{"7b child of another's parent", func(tx *gorm.DB, mine, theirs *realm) ([]string, error) {
		return nil, tx.Create(&store.RegistrationRow{RegionID: mine.Region.ID, ID: newID(), PlayerID: theirs.One.Player.ID, ClubID: mine.One.Club.ID,
			SeasonID: mine.Season.ID, FromDay: "2026-05-01", Version: 1}).Error
	}, "foreign key"},
	{"7c move into another's region", func(tx *gorm.DB, mine, theirs *realm) ([]string, error) {
		return nil, tx.Model(&store.PlayerRow{}).Where("id = ?", mine.One.Player.ID).Updates(map[string]any{"region_id": theirs.Region.ID}).Error
	}, "refused"},
	{"8 join", func(tx *gorm.DB, _, _ *realm) ([]string, error) {
		return names(tx.Joins("JOIN player p ON p.id = player.id"))
	}, "refused"},
	{"8b FROM of one's own", func(tx *gorm.DB, _, _ *realm) ([]string, error) {
		return names(tx.Clauses(clause.From{Tables: []clause.Table{{Name: "player"}}}))
	}, "refused"},
	{"plain find, count, sub-query, not, unscoped", func(tx *gorm.DB, _, _ *realm) ([]string, error) {
		return names(tx.Unscoped().Not("name = ?", "").Where("id IN (?)",
			tx.Session(&gorm.Session{NewDB: true}).Model(&store.PlayerRow{}).Select("id")))
	}, "mine"},
}

func names(q *gorm.DB) ([]string, error) {
	var rows []store.PlayerRow
	err := q.Find(&rows).Error
	var out []string
	for _, r := range rows {
		out = append(out, r.Name)
	}
	return out, err
}

// The leaks of gorm plugins that add a tenant's condition: each is tried on both databases.
func TestGuardStopsEveryKnownLeak(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		mine, theirs := newRealm(t, s, "A"), newRealm(t, s, "B")
		ours := map[string]bool{mine.One.Player.Name: true, mine.One.Loose.Name: true, mine.Two.Player.Name: true, mine.Two.Loose.Name: true}
		for _, l := range leaks {
			err := s.InRegion(t.Context(), mine.operator(), func(tx *store.Tx) error {
				seen, err := l.try(tx.Gorm().WithContext(store.WithRegion(t.Context(), mine.Region.ID)), mine, theirs)
				switch {
				case l.want == "mine" && (err != nil || len(seen) == 0):
					t.Errorf("%s: saw %v, %v; want my own rows", l.name, seen, err)
				case l.want == "refused" && !errors.Is(err, store.ErrRefused):
					t.Errorf("%s: %v, want it refused by the guard", l.name, err)
				case l.want == "foreign key" && !errors.Is(err, gorm.ErrForeignKeyViolated):
					t.Errorf("%s: %v, want it refused by the composite key", l.name, err)
				}
				for _, n := range seen {
					if !ours[n] {
						t.Errorf("%s: saw %q of the other region", l.name, n)
					}
				}
				return errRollback
			})
			if !errors.Is(err, errRollback) {
				t.Fatal(err)
			}
		}
		unchanged(t, theirs)
	})
}

var errRollback = fmt.Errorf("roll back")

func unchanged(t *testing.T, r *realm) {
	t.Helper()
	r.read(t, r.operator(), func(tx *store.Tx) error {
		p, err := tx.Player(t.Context(), r.operator(), r.One.Player.ID)
		if err == nil && p != r.One.Player {
			t.Errorf("player is now %+v", p)
		}
		return err
	})
}

// Without a region in the context nothing of a region is reached, whatever is asked.
func TestGuardRefusesStatementsWithoutRegion(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		g := s.Gorm().WithContext(t.Context())
		tries := map[string]func() error{
			"find":   func() error { return g.Find(&[]store.PlayerRow{}).Error },
			"count":  func() error { var n int64; return g.Model(&store.PlayerRow{}).Count(&n).Error },
			"pluck":  func() error { return g.Model(&store.PlayerRow{}).Pluck("name", &[]string{}).Error },
			"create": func() error { return g.Create(&store.PlayerRow{RegionID: newID(), ID: newID(), Name: "x"}).Error },
			"update": func() error {
				return g.Model(&store.PlayerRow{}).Where("id = ?", newID()).Updates(map[string]any{"name": "x"}).Error
			},
			"delete": func() error { return g.Where("id = ?", newID()).Delete(&store.PlayerRow{}).Error },
			"first":  func() error { return g.First(&store.PlayerRow{}).Error },
			"rows": func() error {
				rows, err := g.Model(&store.PlayerRow{}).Rows()
				if err == nil {
					_ = rows.Close()
				}
				return err
			},
			"whole row": func() error { return g.Where("id = ?", newID()).Updates(&store.PlayerRow{Name: "x"}).Error },
		}
		for name, try := range tries {
			if err := try(); !errors.Is(err, store.ErrRefused) {
				t.Errorf("%s: %v, want it refused", name, err)
			}
		}
		if err := g.Find(&[]store.AccountRow{}).Error; err != nil {
			t.Errorf("what is global needs no region: %v", err)
		}
	})
}

func TestScopeOfNobodyAndOfAnotherRegion(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		a, b := newRealm(t, s, "A"), newRealm(t, s, "B")
		var zero = domain.Page{Size: 10}
		if err := s.InRegion(t.Context(), (&realm{}).operator(), func(*store.Tx) error { return nil }); !errors.Is(err, store.ErrScope) {
			t.Errorf("scope without region: %v", err)
		}
		a.in(t, a.operator(), func(tx *store.Tx) error {
			if _, err := tx.Clubs(t.Context(), b.operator(), zero); !errors.Is(err, store.ErrScope) {
				t.Errorf("scope of another region: %v", err)
			}
			return nil
		})
	})
}
