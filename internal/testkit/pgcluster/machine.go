package pgcluster

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	osuser "os/user"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"syscall"
)

// OldestMajor is the oldest PostgreSQL that the product runs on.
const OldestMajor = 15

// user is whom the server runs as where that is not whom we are.
type user struct{ uid, gid int }

// serverUser is nil where we may run the server ourselves, that is, are not root.
func serverUser() (*user, error) {
	if os.Geteuid() != 0 {
		return nil, nil
	}
	for _, name := range []string{"postgres", "nobody"} {
		u, err := osuser.Lookup(name)
		if err != nil {
			continue
		}
		uid, err1 := strconv.Atoi(u.Uid)
		gid, err2 := strconv.Atoi(u.Gid)
		if err1 != nil || err2 != nil || uid == 0 {
			continue
		}
		return &user{uid: uid, gid: gid}, nil
	}
	return nil, errors.New("pgcluster: PostgreSQL does not run as root, and there is neither a user postgres nor nobody")
}

// prepare gives a child the user, the working folder and an environment without settings of other PostgreSQL servers, and a process
// group of its own, so that what ends the owner's group leaves the supervisor to clean up.
func (c *Cluster) prepare(cmd *exec.Cmd, who *user) {
	cmd.Dir = c.dir
	cmd.Env = []string{"LC_ALL=C", "HOME=" + c.dir, "PATH=" + c.bin + ":/usr/bin:/bin:/usr/local/bin"}
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	if who != nil {
		cmd.SysProcAttr.Credential = &syscall.Credential{Uid: uint32(who.uid), Gid: uint32(who.gid)}
	}
}

func locale() string {
	if runtime.GOOS == "linux" {
		return "C.UTF-8"
	}
	return "C" // C.UTF-8 is not on every system; the encoding is UTF8 either way
}

// makeDir makes the cluster's folder inside parent and gives it to who. It falls back to /tmp where parent cannot be used.
func makeDir(parent string, who *user) (string, error) {
	if parent == "" {
		parent = os.TempDir()
	}
	parent, err := filepath.Abs(parent)
	if err != nil {
		return "", err
	}
	const longestRandom = 10 // MkdirTemp puts a 32-bit number in place of the star
	if len(parent)+len("/lspg-")+longestRandom+len("/"+socketName) > maxSocket || !reachable(parent, who) {
		parent = "/tmp"
	}
	dir, err := os.MkdirTemp(parent, "lspg-*")
	if err != nil {
		return "", fmt.Errorf("pgcluster: %w", err)
	}
	if who == nil {
		return dir, nil
	}
	if err := os.Chown(dir, who.uid, who.gid); err != nil {
		return "", errors.Join(fmt.Errorf("pgcluster: %w", err), os.Remove(dir))
	}
	return dir, nil
}

// reachable says whether who may go down to dir. It looks at the permission for everybody alone, which is the one that a user
// who owns nothing there has.
func reachable(dir string, who *user) bool {
	if who == nil {
		return true
	}
	for {
		info, err := os.Stat(dir)
		if err != nil || info.Mode().Perm()&0o001 == 0 {
			return false
		}
		up := filepath.Dir(dir)
		if up == dir {
			return true
		}
		dir = up
	}
}

// FindBinaries finds the folder that holds initdb and postgres of the newest PostgreSQL installed, OldestMajor or later. It
// asks pg_config, looks where Debian and its kin install every version, then in PATH.
func FindBinaries() (string, error) {
	var seen []string
	var errs []error
	for _, dir := range candidateDirs() {
		if slices.Contains(seen, dir) {
			continue
		}
		seen = append(seen, dir)
		err := usable(dir)
		if err == nil {
			return dir, nil
		}
		if !errors.Is(err, fs.ErrNotExist) {
			errs = append(errs, err)
		}
	}
	err := fmt.Errorf("pgcluster: no PostgreSQL server of version %d or later is installed (looked in %s)",
		OldestMajor, strings.Join(seen, ", "))
	return "", errors.Join(append([]error{err}, errs...)...)
}

func candidateDirs() []string {
	var dirs []string
	if out, err := exec.Command("pg_config", "--bindir").Output(); err == nil {
		dirs = append(dirs, strings.TrimSpace(string(out)))
	}
	versions, _ := filepath.Glob("/usr/lib/postgresql/*/bin") // the pattern is well-formed: the only error there is
	slices.SortFunc(versions, func(a, b string) int { return majorOfPath(b) - majorOfPath(a) })
	dirs = append(dirs, versions...)
	if initdb, err := exec.LookPath("initdb"); err == nil {
		if real, err := filepath.EvalSymlinks(initdb); err == nil {
			dirs = append(dirs, filepath.Dir(real))
		}
	}
	return dirs
}

// majorOfPath reads 15 from /usr/lib/postgresql/15/bin, and 0 from what has another form.
func majorOfPath(dir string) int {
	major, err := strconv.Atoi(filepath.Base(filepath.Dir(dir)))
	if err != nil {
		return 0
	}
	return major
}

// usable says why a folder does not serve; a client-only installation has neither initdb nor postgres.
func usable(dir string) error {
	for _, name := range []string{"initdb", "postgres"} {
		if _, err := os.Stat(filepath.Join(dir, name)); err != nil {
			return err
		}
	}
	out, err := exec.Command(filepath.Join(dir, "postgres"), "--version").Output()
	if err != nil {
		return fmt.Errorf("pgcluster: %s: %w", filepath.Join(dir, "postgres"), err)
	}
	major, err := parseMajor(string(out))
	if err != nil {
		return err
	}
	if major < OldestMajor {
		return fmt.Errorf("pgcluster: %s is PostgreSQL %d", dir, major)
	}
	return nil
}

// parseMajor reads 15 from "postgres (PostgreSQL) 15.18 (Debian ...)".
func parseMajor(version string) (int, error) {
	_, rest, found := strings.Cut(version, "(PostgreSQL) ")
	end := strings.IndexFunc(rest, func(r rune) bool { return r < '0' || r > '9' })
	if end < 0 {
		end = len(rest)
	}
	major, err := strconv.Atoi(rest[:end])
	if !found || err != nil {
		return 0, fmt.Errorf("pgcluster: cannot read a version from %q", version)
	}
	return major, nil
}
