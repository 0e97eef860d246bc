package pgcluster

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestParseMajor(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]int{
		"postgres (PostgreSQL) 15.18 (Debian 15.18-0+deb12u1)\n": 15,
		"postgres (PostgreSQL) 17beta2\n":                        17,
		"postgres (PostgreSQL) 18":                               18,
	} {
		if got, err := parseMajor(text); err != nil || got != want {
			t.Errorf("parseMajor(%q) = %d, %v; want %d", text, got, err, want)
		}
	}
	for _, text := range []string{"", "postgres", "postgres (PostgreSQL) devel"} {
		if got, err := parseMajor(text); err == nil {
			t.Errorf("parseMajor(%q) = %d, want an error", text, got)
		}
	}
}

func TestMajorOfPath(t *testing.T) {
	t.Parallel()
	for dir, want := range map[string]int{
		"/usr/lib/postgresql/15/bin": 15, "/usr/lib/postgresql/9.6/bin": 0, "/opt/bin": 0,
	} {
		if got := majorOfPath(dir); got != want {
			t.Errorf("majorOfPath(%q) = %d, want %d", dir, got, want)
		}
	}
}

func TestWithDatabase(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ dsn, db, user, want string }{
		{"postgres://adm:pw@host:5433/postgres?sslmode=disable", "a b", "", "postgres://adm:pw@host:5433/a%20b?sslmode=disable"},
		{"postgres://adm:pw@host/postgres", "x", "app", "postgres://app@host/x"},
		{"postgresql:///postgres?host=%2Ftmp%2Fs&user=adm&password=p", "x", "app", "postgresql://app@/x?host=%2Ftmp%2Fs"},
		{"host=/tmp/s dbname=postgres", "it's", "app", `host=/tmp/s dbname=postgres dbname='it\'s' user='app' password=''`},
		{"host=/tmp/s dbname=postgres", "", "", "host=/tmp/s dbname=postgres"},
	} {
		got, err := WithDatabase(c.dsn, c.db, c.user)
		if err != nil || got != c.want {
			t.Errorf("WithDatabase(%q, %q, %q) = %q, %v; want %q", c.dsn, c.db, c.user, got, err, c.want)
		}
	}
	if _, err := WithDatabase("postgres://host:port", "x", ""); err == nil {
		t.Error("an address that cannot be read was accepted")
	}
}

func TestMakeDirKeepsTheSocketPathShort(t *testing.T) {
	t.Parallel()
	long := filepath.Join(t.TempDir(), strings.Repeat("d", 90))
	if err := os.Mkdir(long, 0o755); err != nil {
		t.Fatal(err)
	}
	dir, err := makeDir(long, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = os.Remove(dir) })
	if socket := filepath.Join(dir, socketName); len(socket) > maxSocket {
		t.Errorf("socket path %q has %d bytes, want at most %d", socket, len(socket), maxSocket)
	}
}

func TestReachable(t *testing.T) {
	t.Parallel()
	closed := filepath.Join(t.TempDir(), "closed")
	if err := os.Mkdir(closed, 0o700); err != nil {
		t.Fatal(err)
	}
	if reachable(closed, &user{uid: 65534, gid: 65534}) {
		t.Error("a folder of mode 0700 was taken as open to others")
	}
	if !reachable(closed, nil) {
		t.Error("one's own folder was taken as closed")
	}
	if !reachable("/", &user{uid: 65534, gid: 65534}) {
		t.Error("the root folder was taken as closed")
	}
}

func TestFindBinaries(t *testing.T) {
	t.Parallel()
	dir, err := FindBinaries()
	if err != nil {
		t.Fatal(err)
	}
	if err := usable(dir); err != nil {
		t.Errorf("found %s, which does not serve: %v", dir, err)
	}
}
