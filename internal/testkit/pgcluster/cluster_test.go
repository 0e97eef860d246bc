package pgcluster_test

import (
	"context"
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib"

	"longspell/internal/testkit/pgcluster"
)

// openDir is a folder that the server's user may reach too: t.TempDir is closed to others.
func openDir(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.Chmod(filepath.Dir(dir), 0o755); err != nil {
		t.Fatal(err)
	}
	return dir
}

func open(t *testing.T, dsn string) *sql.DB {
	t.Helper()
	db, err := sql.Open("pgx", dsn)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = db.Close() })
	return db
}

func exec1(t *testing.T, db *sql.DB, statement string) {
	t.Helper()
	if _, err := db.ExecContext(t.Context(), statement); err != nil {
		t.Fatalf("%s: %v", statement, err)
	}
}

func queryText(t *testing.T, db *sql.DB, query string) string {
	t.Helper()
	var s string
	if err := db.QueryRowContext(t.Context(), query).Scan(&s); err != nil {
		t.Fatalf("%s: %v", query, err)
	}
	return s
}

func serverPID(t *testing.T, c *pgcluster.Cluster) int {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(c.Dir(), "data", "postmaster.pid"))
	if err != nil {
		t.Fatal(err)
	}
	line, _, _ := strings.Cut(string(text), "\n")
	pid, err := strconv.Atoi(line)
	if err != nil {
		t.Fatal(err)
	}
	return pid
}

func wantGone(t *testing.T, dir string, pid int) {
	t.Helper()
	if _, err := os.Stat(dir); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("folder %s is still there (%v)", dir, err)
	}
	if err := syscall.Kill(pid, 0); !errors.Is(err, syscall.ESRCH) {
		t.Errorf("server process %d is still there (%v)", pid, err)
	}
}

func TestClusterFromStartToStop(t *testing.T) {
	t.Parallel()
	parent := openDir(t)
	c, err := pgcluster.Start(t.Context(), pgcluster.Options{Dir: parent, Settings: []string{"work_mem=3MB"}})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = c.Stop() })
	pid := serverPID(t, c)
	if filepath.Dir(c.Dir()) != parent {
		t.Fatalf("made in %s, want inside %s", c.Dir(), parent)
	}

	admin := open(t, c.AdminDSN())
	exec1(t, admin, "CREATE ROLE keeper LOGIN NOSUPERUSER NOBYPASSRLS")
	exec1(t, admin, `CREATE DATABASE "odd name" OWNER keeper`)
	for query, want := range map[string]string{
		"SHOW listen_addresses": "",
		"SHOW work_mem":         "3MB",
		"SHOW server_encoding":  "UTF8",
		"SHOW fsync":            "off",
	} {
		if got := queryText(t, admin, query); got != want {
			t.Errorf("%s = %q, want %q", query, got, want)
		}
	}

	db := open(t, c.DSN("odd name", "keeper"))
	exec1(t, db, "CREATE TABLE note (body text)")
	exec1(t, db, "INSERT INTO note VALUES ('grün')")
	if got := queryText(t, db, "SELECT current_user || ' ' || current_database() || ' ' || body FROM note"); got != "keeper odd name grün" {
		t.Errorf("got %q", got)
	}

	// A connection that is open must not hold up the end.
	if err := c.Stop(); err != nil {
		t.Errorf("stop: %v", err)
	}
	if err := c.Stop(); err != nil {
		t.Errorf("second stop: %v", err)
	}
	wantGone(t, c.Dir(), pid)
	left, err := os.ReadDir(parent)
	if err != nil || len(left) != 0 {
		t.Errorf("left in the parent folder: %v (%v)", left, err)
	}
}

// TestClusterGoesWithItsOwner runs this test binary again as the owner of a cluster and kills it.
func TestClusterGoesWithItsOwner(t *testing.T) {
	t.Parallel()
	owner := exec.Command(os.Args[0], "-test.run=^TestOwnerProcess$")
	owner.Env = append(os.Environ(), "PGCLUSTER_OWNER=1")
	out, err := owner.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := owner.Start(); err != nil {
		t.Fatal(err)
	}
	buf := make([]byte, 4096)
	n, err := out.Read(buf)
	if err != nil {
		t.Fatal(err)
	}
	dir, pidText, ok := strings.Cut(strings.TrimSpace(string(buf[:n])), " ")
	pid, err := strconv.Atoi(pidText)
	if !ok || err != nil {
		t.Fatalf("owner said %q", buf[:n])
	}
	if err := owner.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = owner.Wait() // it was killed: the error is what we asked for

	ctx, cancel := context.WithTimeout(t.Context(), 30*time.Second)
	defer cancel()
	tick := time.NewTicker(20 * time.Millisecond)
	defer tick.Stop()
	for {
		_, err := os.Stat(dir)
		if errors.Is(err, fs.ErrNotExist) {
			break
		}
		select {
		case <-tick.C:
		case <-ctx.Done():
			t.Fatalf("folder %s outlived its owner", dir)
		}
	}
	wantGone(t, dir, pid)
}

// TestOwnerProcess is the owner that TestClusterGoesWithItsOwner kills; run by itself it checks that ForTests gives one server to
// all who ask.
func TestOwnerProcess(t *testing.T) {
	if os.Getenv("PGCLUSTER_OWNER") == "" {
		first, second := pgcluster.ForTests(t), pgcluster.ForTests(t)
		if first != second {
			t.Errorf("two servers: %s and %s", first, second)
		}
		if got := queryText(t, open(t, first), "SELECT rolsuper::text FROM pg_roles WHERE rolname = current_user"); got != "true" {
			t.Errorf("administrator's rights: %s", got)
		}
		return
	}
	c, err := pgcluster.Start(t.Context(), pgcluster.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stdout.WriteString(c.Dir() + " " + strconv.Itoa(serverPID(t, c)) + "\n"); err != nil {
		t.Fatal(err)
	}
	<-make(chan struct{})
}

func TestStartTellsWhy(t *testing.T) {
	t.Parallel()
	t.Run("wrong setting", func(t *testing.T) {
		t.Parallel()
		parent := openDir(t)
		_, err := pgcluster.Start(t.Context(), pgcluster.Options{Dir: parent, Settings: []string{"no_such_setting=1"}})
		if err == nil || !strings.Contains(err.Error(), "no_such_setting") {
			t.Errorf("err = %v, want the server's own word", err)
		}
		if left, _ := os.ReadDir(parent); len(left) != 0 {
			t.Errorf("left behind: %v", left)
		}
	})
	t.Run("no programs", func(t *testing.T) {
		t.Parallel()
		parent := openDir(t)
		_, err := pgcluster.Start(t.Context(), pgcluster.Options{Dir: parent, BinDir: openDir(t)})
		if !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("err = %v, want not exist", err)
		}
		if left, _ := os.ReadDir(parent); len(left) != 0 {
			t.Errorf("left behind: %v", left)
		}
	})
	t.Run("cancelled", func(t *testing.T) {
		t.Parallel()
		parent := openDir(t)
		ctx, cancel := context.WithCancel(t.Context())
		cancel()
		if _, err := pgcluster.Start(ctx, pgcluster.Options{Dir: parent}); !errors.Is(err, context.Canceled) {
			t.Errorf("err = %v, want cancelled", err)
		}
		if left, _ := os.ReadDir(parent); len(left) != 0 {
			t.Errorf("left behind: %v", left)
		}
	})
}
