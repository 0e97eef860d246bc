package deploy

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"longspell/internal/testkit/pgcluster"
)

// server is a cluster of its own: the names of roles are fixed, and roles belong to a whole cluster.
type server struct {
	*pgcluster.Cluster
	env []string
}

func newServer(t *testing.T) server {
	t.Helper()
	c, err := pgcluster.Start(t.Context(), pgcluster.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := c.Stop(); err != nil {
			t.Error(err)
		}
	})
	s := server{c, append(os.Environ(), "PATH="+c.BinDir()+":"+os.Getenv("PATH"), "PGCONNECT_TIMEOUT=20")}
	s.makeRoles(t, "longspell")
	s.makeRoles(t, "longspell") // the second time changes nothing
	s.must(t, []string{"LONGSPELL_OWNER_DATABASE=" + c.DSN("longspell", "longspell_owner")}, binary, "migrate")
	return s
}

func (s server) makeRoles(t *testing.T, database string) {
	t.Helper()
	s.must(t, []string{"LONGSPELL_OWNER_PASSWORD=it's o", "LONGSPELL_APP_PASSWORD=a", "LONGSPELL_BACKUP_PASSWORD=b"},
		"psql", "--no-psqlrc", "--quiet", "--set=database="+database, "--file=postgres-roles.sql", "--dbname="+s.AdminDSN())
}

// run returns what a program says on both outputs.
func run(t *testing.T, env []string, args ...string) (string, error) {
	t.Helper()
	cmd := exec.CommandContext(t.Context(), args[0], args[1:]...)
	cmd.Env = env
	out, err := cmd.CombinedOutput()
	return strings.TrimSpace(string(out)), err
}

func (s server) must(t *testing.T, env []string, args ...string) string {
	t.Helper()
	out, err := run(t, append(s.env, env...), args...)
	if err != nil {
		t.Fatalf("%v: %v\n%s", args, err, out)
	}
	return out
}

// ask runs statements in one transaction as a user.
func (s server) ask(t *testing.T, database, user, statements string) (string, error) {
	t.Helper()
	return run(t, s.env, "psql", "--no-psqlrc", "--quiet", "--tuples-only", "--no-align", "--set=ON_ERROR_STOP=1",
		"--single-transaction", "--dbname="+s.DSN(database, user), "--command="+statements)
}

func (s server) answer(t *testing.T, database, user, statements string) string {
	t.Helper()
	out, err := s.ask(t, database, user, statements)
	if err != nil {
		t.Fatalf("%s as %s: %v\n%s", statements, user, err, out)
	}
	return out
}

const (
	regionOne = "0190a000-0000-7000-8000-000000000001"
	regionTwo = "0190a000-0000-7000-8000-000000000002"
)

// held is a table as the migrations make them, with a row in each of two regions: whose is whose is a matter of row security
// alone, and the test does not need to know a table of the product by heart.
const held = `
	CREATE TABLE held (region_id uuid NOT NULL, n int NOT NULL, PRIMARY KEY (region_id, n));
	INSERT INTO held VALUES ('` + regionOne + `', 1), ('` + regionTwo + `', 2);
	ALTER TABLE held ENABLE ROW LEVEL SECURITY;
	ALTER TABLE held FORCE ROW LEVEL SECURITY;
	CREATE POLICY held_region ON held USING (region_id = (SELECT NULLIF(current_setting('app.region', true), '')::uuid));
	GRANT SELECT ON held TO longspell_app;`

// refused is what the server says to one who may not, not to one who made a mistake.
var refused = regexp.MustCompile(`permission denied|row-level security|must be (owner|superuser|a member)|read-only transaction`)

func TestRolesMayDoNoMoreThanTheyNeed(t *testing.T) {
	t.Parallel()
	s := newServer(t)
	for role, want := range map[string]string{"longspell_owner": "t f f f f f", "longspell_app": "t f f f f f", "longspell_backup": "t f f f f t"} {
		got := s.answer(t, "longspell", "postgres", `SELECT concat_ws(' ', rolcanlogin, rolsuper, rolcreatedb, rolcreaterole, rolreplication, rolbypassrls)
			FROM pg_roles WHERE rolname = '`+role+`'`)
		if got != want {
			t.Errorf("%s: login, superuser, createdb, createrole, replication, bypassrls = %s, want %s", role, got, want)
		}
	}
	if got := s.answer(t, "longspell", "postgres", `SELECT count(*) FROM pg_shdepend d JOIN pg_roles r ON r.oid = d.refobjid
		WHERE d.deptype = 'o' AND r.rolname IN ('longspell_app', 'longspell_backup')`); got != "0" {
		t.Errorf("the service's and the backup's role own %s things, want none", got)
	}
	if got := s.answer(t, "longspell", "longspell_app", "SELECT count(*) FROM club"); got != "0" {
		t.Errorf("without a region the service sees %s clubs", got)
	}
	for _, attempt := range []string{
		"DELETE FROM audit", "UPDATE audit SET role = ''", "DELETE FROM correction", "DELETE FROM outing", "UPDATE goose_db_version SET version_id = 0",
		"CREATE TABLE mine (x int)", "CREATE TEMP TABLE mine (x int)", "CREATE SCHEMA mine", "DROP TABLE club", "TRUNCATE club",
		"ALTER TABLE club DISABLE ROW LEVEL SECURITY", "ALTER TABLE club NO FORCE ROW LEVEL SECURITY", "DROP POLICY club_region ON club",
		"SET ROLE longspell_owner", "SET ROLE longspell_backup", "ALTER ROLE longspell_app BYPASSRLS", "SET SESSION AUTHORIZATION postgres",
		"SELECT rolpassword FROM pg_authid", "CREATE FUNCTION f() RETURNS int LANGUAGE sql AS 'SELECT 1'", "COPY club TO '/dev/null'",
	} {
		if out, err := s.ask(t, "longspell", "longspell_app", attempt); err == nil || !refused.MatchString(out) {
			t.Errorf("the service may: %s\n%s", attempt, out)
		}
	}
	for _, attempt := range []string{"DELETE FROM club", "CREATE TABLE mine (x int)", "SET ROLE longspell_owner"} {
		if out, err := s.ask(t, "longspell", "longspell_backup", attempt); err == nil || !refused.MatchString(out) {
			t.Errorf("the backup may: %s\n%s", attempt, out)
		}
	}
}

func TestRolesScriptNeedsItsPasswords(t *testing.T) {
	t.Parallel()
	c, err := pgcluster.Start(t.Context(), pgcluster.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = c.Stop() })
	s := server{c, append(os.Environ(), "PATH="+c.BinDir()+":"+os.Getenv("PATH"))}
	out, err := run(t, append(s.env, "LONGSPELL_OWNER_PASSWORD=o", "LONGSPELL_APP_PASSWORD=a"),
		"psql", "--no-psqlrc", "--quiet", "--file=postgres-roles.sql", "--dbname="+c.AdminDSN())
	if err == nil || !strings.Contains(out, "LONGSPELL_BACKUP_PASSWORD is not set") {
		t.Errorf("without a password: %v\n%s", err, out)
	}
	if got := s.answer(t, "postgres", "postgres", "SELECT count(*) FROM pg_roles WHERE rolname LIKE 'longspell%'"); got != "0" {
		t.Errorf("%s roles were made all the same", got)
	}
}

func TestBackupAndRestoreOfPostgreSQL(t *testing.T) {
	t.Parallel()
	s := newServer(t)
	s.answer(t, "longspell", "longspell_owner", held)
	asService := []string{"LONGSPELL_DATABASE=" + s.DSN("longspell", "longspell_app")}
	region := s.must(t, asService, binary, "region", "create", "Invented Vale", "--time-zone=Europe/London")
	folder := t.TempDir()
	backup := s.must(t, []string{"LONGSPELL_BACKUP_DATABASE=" + s.DSN("longspell", "longspell_backup")}, "./backup.sh", folder)

	// The service's role is held by row security and has not all rights: its backup must fail, not leave rows out.
	out, err := run(t, append(s.env, "LONGSPELL_BACKUP_DATABASE="+s.DSN("longspell", "longspell_app")), "./backup.sh", folder)
	if err == nil || !refused.MatchString(out) {
		t.Errorf("a backup as the service: %v\n%s", err, out)
	}
	left, err := os.ReadDir(folder)
	if err != nil || len(left) != 2 {
		t.Errorf("%d files kept, want the backup and its sum (%v)", len(left), err)
	}

	restore := func(database string) (string, error) {
		return run(t, append(s.env, "LONGSPELL_RESTORE_DATABASE="+s.DSN(database, "longspell_owner")), "./restore.sh", backup)
	}
	if out, err := restore("longspell"); err == nil || !strings.Contains(out, "not empty") {
		t.Errorf("over a database that is in use: %v\n%s", err, out)
	}
	s.makeRoles(t, "again")
	if out, err := restore("again"); err != nil || !strings.HasPrefix(out, "restored ") {
		t.Fatalf("restore: %v\n%s", err, out)
	}
	const tables = "SELECT string_agg(relname || ' ' || relrowsecurity || ' ' || relforcerowsecurity || ' ' || coalesce(relacl::text, ''), E'\n' ORDER BY relname)" +
		" FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace"
	if was, is := s.answer(t, "longspell", "postgres", tables), s.answer(t, "again", "postgres", tables); was != is {
		t.Errorf("tables, their walls and rights were\n%s\nand are\n%s", was, is)
	}
	if got := s.answer(t, "again", "longspell_backup", "SELECT string_agg(n::text, ' ' ORDER BY n) FROM held"); got != "1 2" {
		t.Errorf("rows of both regions: %q", got)
	}
	inOne := "SET LOCAL app.region = '" + regionOne + "'; SELECT string_agg(n::text, ' ') FROM held"
	if got := s.answer(t, "again", "longspell_app", inOne); got != "1" {
		t.Errorf("the service sees %q of region one", got)
	}
	asService[0] = "LONGSPELL_DATABASE=" + s.DSN("again", "longspell_app")
	if got, want := s.must(t, asService, binary, "region", "list"), region+"\tInvented Vale\tEurope/London"; got != want {
		t.Errorf("regions after the restore: %q, want %q", got, want)
	}
}

func TestBackupAndRestoreOfSQLite(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	live := filepath.Join(dir, "it's live.db")
	out, err := run(t, os.Environ(), "sqlite3", "-bail", live, "PRAGMA journal_mode = WAL; CREATE TABLE ball (n INTEGER); INSERT INTO ball VALUES (6), (7);")
	if err != nil {
		t.Fatalf("sqlite3: %v\n%s", err, out)
	}
	backup, err := run(t, append(os.Environ(), "LONGSPELL_BACKUP_DATABASE=sqlite:"+live), "./backup.sh", filepath.Join(dir, "it's kept"))
	if err != nil {
		t.Fatalf("backup: %v\n%s", err, backup)
	}
	if info, err := os.Stat(backup); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("others may read the backup: %v (%v)", info.Mode(), err)
	}
	restore := func(to string) (string, error) {
		return run(t, append(os.Environ(), "LONGSPELL_RESTORE_DATABASE=sqlite:"+to), "./restore.sh", backup)
	}
	restored := filepath.Join(dir, "restored.db")
	if out, err := restore(restored); err != nil || out != "restored 1 tables" {
		t.Errorf("restore: %v\n%s", err, out)
	}
	if out, err := run(t, os.Environ(), "sqlite3", "-readonly", restored, "SELECT sum(n) FROM ball"); err != nil || out != "13" {
		t.Errorf("restored data: %q, %v", out, err)
	}
	if out, err := restore(restored); err == nil || !strings.Contains(out, "already there") {
		t.Errorf("over a database that is there: %v\n%s", err, out)
	}
	if err := os.WriteFile(backup, append([]byte(read(t, backup)), 0), 0o600); err != nil {
		t.Fatal(err)
	}
	other := filepath.Join(dir, "other.db")
	if out, err := restore(other); err == nil || !strings.Contains(out, "not what was backed up") {
		t.Errorf("of a changed backup: %v\n%s", err, out)
	}
	if _, err := os.Stat(other); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a changed backup left something behind: %v", err)
	}
}

func TestBackupRefusesWhatItCannotRead(t *testing.T) {
	t.Parallel()
	for database, want := range map[string]string{"": "is not set", "mysql://x": "neither", "sqlite:/no/such.db": "no file"} {
		out, err := run(t, append(os.Environ(), "LONGSPELL_BACKUP_DATABASE="+database), "./backup.sh", t.TempDir())
		if err == nil || !strings.Contains(out, want) {
			t.Errorf("%q: %v, %q; want %q", database, err, out, want)
		}
	}
}
