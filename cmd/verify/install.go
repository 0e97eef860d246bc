package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"

	"longspell/internal/testkit/pgcluster"
)

// What the repository is built with, as go.mod and package.json have it.
var (
	oldestGo   = version{1, 26}
	oldestNode = version{20, 19}
)

// version is a major and a minor number.
type version struct{ major, minor int }

func (v version) before(o version) bool {
	return v.major < o.major || v.major == o.major && v.minor < o.minor
}

func (v version) String() string { return fmt.Sprintf("%d.%d", v.major, v.minor) }

// parseVersion reads the first two numbers of "go1.26.8", "v20.20.2" or "git version 2.39.5".
func parseVersion(text string) (version, error) {
	start := strings.IndexAny(text, "0123456789")
	if start < 0 {
		return version{}, fmt.Errorf("no version in %q", text)
	}
	parts := strings.FieldsFunc(text[start:], func(r rune) bool { return r < '0' || r > '9' })
	major, err := strconv.Atoi(parts[0])
	if err != nil || len(parts) < 2 {
		return version{}, fmt.Errorf("no version in %q", text)
	}
	minor, err := strconv.Atoi(parts[1])
	return version{major, minor}, err
}

// checkToolchain looks at what must be there before anything can be installed.
func checkToolchain(ctx context.Context, j *job) error {
	v, err := parseVersion(runtime.Version())
	if err == nil && v.before(oldestGo) {
		err = fmt.Errorf("go %s is too old: %s or later is needed", v, oldestGo)
	}
	return errors.Join(err, j.each(ctx, "", []string{"go", "version"}, []string{"go", "mod", "verify"}))
}

// need is a program that a Debian package brings.
type need struct {
	what     string
	packages []string
	have     func() bool
}

func needs() []need {
	inPath := func(names ...string) func() bool {
		return func() bool {
			return slices.ContainsFunc(names, func(n string) bool { _, err := exec.LookPath(n); return err == nil })
		}
	}
	return []need{
		{"git", []string{"git"}, inPath("git")},
		{"a C compiler (the race detector links with it)", []string{"gcc", "libc6-dev"}, inPath("gcc", "cc", "clang")},
		{"Node.js", []string{"nodejs"}, inPath("node")},
		{"npm", []string{"npm"}, inPath("npm")},
		{"a PostgreSQL server", []string{"postgresql"}, func() bool { _, err := pgcluster.FindBinaries(); return err == nil }},
		{"sqlite3", []string{"sqlite3"}, inPath("sqlite3")},
		{"Chromium", []string{"chromium"}, func() bool { _, err := findChromium(); return err == nil }},
	}
}

// findChromium finds the browser for the browser tests.
func findChromium() (string, error) {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", errors.New("no Chromium is installed")
}

// install brings the programs that are missing, with apt-get as root, and then checks that all are there.
func install(ctx context.Context, j *job) error {
	var packages []string
	for _, n := range needs() {
		if !n.have() {
			fmt.Fprintf(j.log, "missing: %s\n", n.what)
			packages = append(packages, n.packages...)
		}
	}
	if len(packages) > 0 {
		if err := aptInstall(ctx, j, packages); err != nil {
			return err
		}
		j.note("installed %s", strings.Join(packages, " "))
	}
	for _, n := range needs() {
		if !n.have() {
			return fmt.Errorf("%s is not there, even after installing %s", n.what, strings.Join(n.packages, " "))
		}
	}
	return checkNode(ctx, j)
}

func aptInstall(ctx context.Context, j *job, packages []string) error {
	wanted := strings.Join(packages, " ")
	if _, err := exec.LookPath("apt-get"); err != nil {
		return fmt.Errorf("missing, and there is no apt-get to install them with: %s", wanted)
	}
	if os.Geteuid() != 0 {
		return fmt.Errorf("missing, and only root can install them: %s", wanted)
	}
	apt := []string{"apt-get", "-q", "-o", "DPkg::Lock::Timeout=300"}
	j.setProgress("apt-get install " + wanted)
	if err := j.do(ctx, command{args: append(slices.Clone(apt), "update")}); err != nil {
		return err
	}
	return j.do(ctx, command{args: slices.Concat(apt, []string{"install", "-y", "--no-install-recommends"}, packages)})
}

func checkNode(ctx context.Context, j *job) error {
	var out strings.Builder
	if err := j.do(ctx, command{args: []string{"node", "--version"}, out: &out}); err != nil {
		return err
	}
	v, err := parseVersion(out.String())
	if err == nil && v.before(oldestNode) {
		err = fmt.Errorf("version %s of Node.js is too old: %s or later is needed", v, oldestNode)
	}
	return err
}

// installWeb brings node_modules to what the lock file says; where it is so already, it is left alone.
func installWeb(ctx context.Context, j *job) error {
	web := j.frontend()
	wanted, err := os.ReadFile(filepath.Join(web, "package-lock.json"))
	if err != nil {
		return err
	}
	have, err := os.ReadFile(filepath.Join(web, "node_modules", ".package-lock.json"))
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	why, err := lockDifference(wanted, have)
	if err != nil {
		return err
	}
	if why == "" {
		fmt.Fprintln(j.log, "node_modules is what the lock file says")
		return nil
	}
	fmt.Fprintln(j.log, why)
	return j.do(ctx, command{dir: web, args: []string{"npm", "ci", "--no-audit", "--no-fund"}})
}

// lockDifference compares package-lock.json with the list that npm keeps inside node_modules, and says what is not as wanted; ""
// when all is. Packages for other systems are optional and may be missing.
func lockDifference(wanted, have []byte) (string, error) {
	type lock struct {
		Packages map[string]struct {
			Version  string
			Optional bool
		}
	}
	var want, got lock
	if err := json.Unmarshal(wanted, &want); err != nil {
		return "", fmt.Errorf("package-lock.json: %w", err)
	}
	if len(have) == 0 {
		return "nothing is installed", nil
	}
	if err := json.Unmarshal(have, &got); err != nil {
		return "the list of what is installed cannot be read", nil // npm ci makes it new
	}
	for name, w := range want.Packages {
		g, there := got.Packages[name]
		if name != "" && !there && !w.Optional || there && g.Version != w.Version {
			return fmt.Sprintf("%s: want %q, have %q", name, w.Version, g.Version), nil
		}
	}
	for name := range got.Packages {
		if _, known := want.Packages[name]; !known {
			return name + " is installed and not wanted", nil
		}
	}
	return "", nil
}
