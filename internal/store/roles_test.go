package store_test

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"testing"

	"longspell/internal/store"
	"longspell/internal/testkit/db"
)

// The runtime role may do what tables.go says and no more; a trail can be added to and never changed.
func TestRightsOfTheRuntimeRole(t *testing.T) {
	t.Parallel()
	w := newWalls(t)
	got := map[string]string{}
	for _, r := range rowsOf(t, w.admin, `SELECT table_name, string_agg(privilege_type, ', ' ORDER BY position(privilege_type IN 'SELECT INSERT UPDATE DELETE')) FROM information_schema.role_table_grants
		WHERE grantee = $1 GROUP BY table_name`, db.RuntimeRole(t)) {
		got[r[0]] = r[1]
	}
	want := store.Grants()
	want["goose_db_version"] = "SELECT"
	same(t, "rights", got, want)
	for _, statement := range []string{"UPDATE audit SET action = 'x'", "DELETE FROM audit", "UPDATE correction SET reason = 'x'",
		"DELETE FROM correction", "TRUNCATE audit",
		"DELETE FROM player", "DELETE FROM account", "CREATE TABLE x (y int)", "ALTER TABLE player DISABLE ROW LEVEL SECURITY", "DROP POLICY player_region ON player"} {
		w.as(t, w.runtime, w.a.Region.ID, func(tx *sql.Tx) {
			if _, err := tx.ExecContext(t.Context(), statement); sqlState(err) != "42501" {
				t.Errorf("%s: %v, want it refused", statement, err)
			}
		})
	}
}

// The store does not start as a role that no wall binds, or where a wall is down.
func TestOpenRefusesWeakWalls(t *testing.T) {
	t.Parallel()
	w := newWalls(t)
	wantRefusal(t, "superuser", openOnly(w.urls.Admin), "superuser", "runtime role")
	wantRefusal(t, "owner", openOnly(w.urls.Owner), "owns the tables")
	for _, c := range []struct{ do, undo, says string }{
		{"ALTER TABLE player NO FORCE ROW LEVEL SECURITY", "ALTER TABLE player FORCE ROW LEVEL SECURITY", "player"},
		{"ALTER TABLE over_log DISABLE ROW LEVEL SECURITY", "ALTER TABLE over_log ENABLE ROW LEVEL SECURITY", "over_log"},
		{"CREATE POLICY second ON notice USING (true)", "DROP POLICY second ON notice", "notice"},
		{"CREATE TABLE diary (region_id uuid)", "DROP TABLE diary", "diary"},
	} {
		execute(t, w.owner, c.do)
		wantRefusal(t, c.do, openOnly(w.urls.Runtime), c.says, "row-level security")
		execute(t, w.owner, c.undo)
	}
	if err := openOnly(w.urls.Runtime); err != nil {
		t.Errorf("all walls up: %v", err)
	}
}

func TestOpenRefusesBypassingRole(t *testing.T) {
	t.Parallel()
	u := db.EmptyPostgres(t)
	admin := open(t, "pgx", u.Admin)
	role := "longspell_bypass_" + strings.ReplaceAll(string(newID()), "-", "")
	execute(t, admin, "CREATE ROLE "+role+" LOGIN BYPASSRLS")
	defer func() {
		execute(t, admin, "DROP OWNED BY "+role)
		execute(t, admin, "DROP ROLE "+role)
	}()
	if err := store.Migrate(t.Context(), u.Owner, role); err != nil {
		t.Fatal(err)
	}
	wantRefusal(t, "bypass", openOnly(strings.Replace(u.Runtime, db.RuntimeRole(t), role, 1)), "BYPASSRLS")
}

// Behind a pooler that gives connections by transaction nothing is kept prepared, and everything works.
func TestStoreBehindAPooler(t *testing.T) {
	t.Parallel()
	s, err := store.Open(t.Context(), store.Config{URL: db.PostgresURLs(t).Runtime, BehindPooler: true, Conns: 1})
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = s.Close() }()
	r := newRealm(t, s, "A")
	r.read(t, r.operator(), func(tx *store.Tx) error {
		_, err := tx.Outing(t.Context(), r.operator(), r.One.Outing.ID)
		return err
	})
	if n := rowsOf(t, s.Pool(), "SELECT count(*)::text FROM pg_prepared_statements"); n[0][0] != "0" {
		t.Errorf("%s statements are kept prepared", n[0][0])
	}
}

// The region is told to PostgreSQL for one transaction, committed or not: on connections that many regions share, each sees its own
// and a query outside any sees nothing.
func TestRegionSettingEndsWithTheTransaction(t *testing.T) {
	t.Parallel()
	s, err := store.Open(t.Context(), store.Config{URL: db.PostgresURLs(t).Runtime, Conns: 3})
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = s.Close() }()
	realms := []*realm{newRealm(t, s, "A"), newRealm(t, s, "B"), newRealm(t, s, "C")}
	failed := errors.New("a third of them")
	together(t, 12, func(i int) (bool, error) {
		for round := range 20 {
			r := realms[(i+round)%3]
			err := s.InRegion(context.Background(), r.operator(), func(tx *store.Tx) error {
				page, err := tx.Clubs(context.Background(), r.operator(), wide)
				if err != nil || len(page.Items) != 2 || !strings.HasPrefix(page.Items[0].Name, r.Region.Name) {
					return fmt.Errorf("region %s sees %v, %v", r.Region.Name, page.Items, err)
				}
				if round%3 == 0 {
					return failed
				}
				return nil
			})
			if err != nil && !errors.Is(err, failed) {
				return false, err
			}
			var n int
			var setting sql.NullString
			if err := s.Pool().QueryRow("SELECT (SELECT count(*) FROM club), current_setting('app.region', true)").Scan(&n, &setting); err != nil {
				return false, err
			}
			if n != 0 || setting.String != "" {
				return false, fmt.Errorf("outside any transaction: %d clubs, setting %q", n, setting.String)
			}
		}
		return true, nil
	})
}
