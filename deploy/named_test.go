package deploy

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// binary is the product, built once for the tests of this package.
var binary string

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "longspell-deploy-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	binary = filepath.Join(dir, "longspell")
	build := exec.Command("go", "build", "-buildvcs=false", "-o", binary, "../cmd/longspell")
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	code := 1
	if out, err := build.CombinedOutput(); err != nil {
		fmt.Fprintf(os.Stderr, "build: %v\n%s", err, out)
	} else {
		code = m.Run()
	}
	if err := os.RemoveAll(dir); err != nil {
		fmt.Fprintln(os.Stderr, err)
	}
	os.Exit(code)
}

// TestCommandsThatAreNamedExist asks the binary about every command that these files and the README name.
func TestCommandsThatAreNamedExist(t *testing.T) {
	t.Parallel()
	named := namedCommands(t)
	if len(named) < 6 {
		t.Fatalf("found only %v: the search does not see what is named", named)
	}
	for _, command := range named {
		// Asked for help with a command that is not there, the binary tells about itself and is content.
		if out, err := run(t, os.Environ(), binary, command, "--help"); err != nil || !strings.Contains(out, "longspell "+command) {
			t.Errorf("longspell %s is named and not there (%v)", command, err)
		}
	}
}

func namedCommands(t *testing.T) []string {
	t.Helper()
	var named []string
	for _, s := range compose(t).Services {
		if s.Build.Dockerfile != "" {
			named = append(named, s.Command...)
		}
		if test := s.Healthcheck.Test; len(test) > 2 && test[1] == "/longspell" {
			named = append(named, test[2])
		}
	}
	inText := regexp.MustCompile("(?:`|/bin/|cmd/)longspell ([a-z]+)")
	for _, file := range []string{"runbook.md", "longspell.service", "longspell-migrate.service", "env.example", "../README.md", "../DEVELOPERS.md"} {
		for _, m := range inText.FindAllStringSubmatch(read(t, file), -1) {
			named = append(named, m[1])
		}
	}
	slices.Sort(named)
	return slices.Compact(named)
}

// TestSettingsThatAreNamedExist holds env.example against the settings that the program reads, both ways.
func TestSettingsThatAreNamedExist(t *testing.T) {
	t.Parallel()
	var explained []string
	for _, name := range exampleNames(t) {
		if !strings.HasSuffix(name, "_PASSWORD") && name != "LONGSPELL_BACKUP_DATABASE" && name != "LONGSPELL_RESTORE_DATABASE" {
			explained = append(explained, name)
		}
	}
	inCode := settingsInCode(t)
	for _, name := range explained {
		if !slices.Contains(inCode, name) {
			t.Errorf("env.example explains %s, which nothing reads", name)
		}
	}
	for _, name := range inCode {
		if !slices.Contains(explained, name) {
			t.Errorf("%s is read and not explained in env.example", name)
		}
	}
}

// settingsInCode are the names in the struct tags of the configuration, with the prefix that all have.
func settingsInCode(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob("../internal/config/*.go")
	if err != nil || len(files) == 0 {
		t.Fatalf("no configuration (%v)", err)
	}
	tag := regexp.MustCompile(`\benv:"([A-Z][A-Z0-9_]*)`)
	var names []string
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		for _, m := range tag.FindAllStringSubmatch(read(t, f), -1) {
			names = append(names, "LONGSPELL_"+strings.TrimPrefix(m[1], "LONGSPELL_"))
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}
