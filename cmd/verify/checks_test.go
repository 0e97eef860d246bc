package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestParseVersion(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]version{
		"go1.26.8": {1, 26}, "v20.20.2\n": {20, 20}, "git version 2.39.5": {2, 39}, "go1.27rc1": {1, 27},
	} {
		if got, err := parseVersion(text); err != nil || got != want {
			t.Errorf("parseVersion(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "devel", "v20"} {
		if got, err := parseVersion(text); err == nil {
			t.Errorf("parseVersion(%q) = %v, want an error", text, got)
		}
	}
	for _, c := range []struct {
		a, b version
		want bool
	}{{version{18, 19}, oldestNode, true}, {version{20, 18}, oldestNode, true}, {version{20, 19}, oldestNode, false}, {version{22, 1}, oldestNode, false}} {
		if got := c.a.before(c.b); got != c.want {
			t.Errorf("%v before %v: %v", c.a, c.b, got)
		}
	}
}

func TestLockDifference(t *testing.T) {
	t.Parallel()
	const wanted = `{"packages":{"":{"version":"0.1.0"},"node_modules/a":{"version":"1.0.0"},"node_modules/b":{"version":"2.0.0","optional":true}}}`
	for have, want := range map[string]string{
		"": "nothing is installed",
		`{"packages":{"node_modules/a":{"version":"1.0.0"}}}`:                                      "",
		`{"packages":{"node_modules/a":{"version":"1.0.0"},"node_modules/b":{"version":"2.0.0"}}}`: "",
		`{"packages":{"node_modules/a":{"version":"1.0.1"}}}`:                                      `want "1.0.0", have "1.0.1"`,
		`{"packages":{"node_modules/a":{"version":"1.0.0"},"node_modules/b":{"version":"1.0.0"}}}`: `want "2.0.0", have "1.0.0"`,
		`{"packages":{}}`: `want "1.0.0", have ""`,
		`{"packages":{"node_modules/a":{"version":"1.0.0"},"node_modules/c":{"version":"1.0.0"}}}`: "not wanted",
		"{": "cannot be read",
	} {
		got, err := lockDifference([]byte(wanted), []byte(have))
		if err != nil || want == "" && got != "" || !strings.Contains(got, want) {
			t.Errorf("%s: %q, %v; want %q", have, got, err, want)
		}
	}
	if _, err := lockDifference([]byte("{"), nil); err == nil {
		t.Error("a lock file that cannot be read was accepted")
	}
}

func TestFormatFault(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"package p\n\nvar a = 1\n": "", "package p\nvar  a = 1\n": "not formatted", "package\n": "expected",
	} {
		if got := formatFault([]byte(text)); want == "" && got != "" || !strings.Contains(got, want) {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

func TestFencedBlocks(t *testing.T) {
	t.Parallel()
	text := strings.Join([]string{
		"# Name", "", "## Run it", "", "```sh", "# a comment", "go run ./cmd/longspell demo", "```",
		"### How to test", "~~~", "go run ./cmd/verify", "~~~", "## Latest", "```", "go run ./cmd/verify", "```",
	}, "\n")
	blocks := fencedBlocks(text)
	if len(blocks) != 3 {
		t.Fatalf("%d blocks: %q", len(blocks), blocks)
	}
	if b := blocks[0]; !b.under("run") || b.text != "# a comment\ngo run ./cmd/longspell demo" {
		t.Errorf("first block %q", b)
	}
	if b := blocks[1]; !b.under("test") || b.text != "go run ./cmd/verify" {
		t.Errorf("second block %q", b)
	}
	if b := blocks[2]; b.under("test") {
		t.Errorf("%q does not say test", b.heading)
	}
}

func TestReadmeCommandsMustStandAlone(t *testing.T) {
	t.Parallel()
	j := newJob(testPlace(t), "a", nil)
	write := func(name, text string) {
		t.Helper()
		path := filepath.Join(j.root, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write(".ci/run", "exec go run ./cmd/verify\n")
	write("README.md", "## Run it\n```sh\ngo run ./cmd/longspell demo\n```\n## Test it\n```sh\ngo run ./cmd/verify\n```\n")
	if err := checkReadme(t.Context(), j); err != nil {
		t.Errorf("good README: %v", err)
	}
	write("README.md", "## Run it\n```sh\ngo run ./cmd/longspell demo\ngo run ./cmd/verify\n```\n")
	err := checkReadme(t.Context(), j)
	if err == nil || strings.Count(err.Error(), "README.md:") != 2 {
		t.Errorf("two commands in one block: %v", err)
	}
	write(".ci/run", "exec make\n")
	if err := checkReadme(t.Context(), j); err == nil || !strings.Contains(err.Error(), ".ci/run") {
		t.Errorf("CI that runs something else: %v", err)
	}
}

func TestFileFaults(t *testing.T) {
	t.Parallel()
	machine := machinePaths("/src/longspell")
	// The faulty texts are put together, so that this file has none itself.
	home, skip := "/"+"root/x", "Skip"
	for _, c := range []struct{ name, text, want string }{
		{"a.go", "package a // see /etc/longspell and frontend/src/longspell", ""},
		{"a.md", "cd /src/longspell", "path of one machine"},
		{"a.md", `"/src/longspell/x"`, "path of one machine"},
		{"a.md", "cp " + home, "path of one machine"},
		{"a.md", "/var" + home, ""},
		{"package-lock.json", `"resolved": ` + `"https://example.org/a.tgz"`, "package registry"},
		{".npmrc", "registry=" + "https://example.org", "package registry"},
		{"a_test.go", "package a\nfunc f(t T) { t." + skip + "() }", "passed over"},
		{"a_test.go", "package a\nfunc f(t T) { t." + skip + `f("%d", 1) }`, "passed over"},
		{"a_test.go", "package a\nfunc f(d D) { d." + skip + "(3) }", ""},
		{"a_test.go", "package a\n// t." + skip + "() is not used", ""},
		{"a.test.ts", "it." + "skip('x', () => {})", "passed over"},
		{"a.spec.ts", "test.describe." + "only('x', () => {})", "passed over"},
		{"a.spec.ts", "test.describe('only here', () => {})", ""},
		{"big.bin", strings.Repeat("\x00", largestFile+1), "bytes, at most"},
		{"frontend/dist/big.js", strings.Repeat("x", largestFile+1), ""},
	} {
		got := strings.Join(fileFaults(c.name, []byte(c.text), machine), "\n")
		if c.want == "" && got != "" || !strings.Contains(got, c.want) {
			t.Errorf("%s %.40q: %q, want %q", c.name, c.text, got, c.want)
		}
	}
}

func TestHandWritten(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]bool{
		"internal/app/app.go": true, "frontend/src/App.svelte": true, "internal/httpapi/apigen/api.gen.go": false,
		"internal/app/app_test.go": false, "frontend/src/api/schema.d.ts": false, "frontend/dist/assets/a.js": false, "README.md": false,
	} {
		if got := handWritten(name); got != want {
			t.Errorf("handWritten(%q) = %v", name, got)
		}
	}
}

func TestTreeCopySeesDrift(t *testing.T) {
	t.Parallel()
	from, to := t.TempDir(), filepath.Join(t.TempDir(), "copy")
	write := func(path, text string) {
		t.Helper()
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write(filepath.Join(from, "a.txt"), "a")
	write(filepath.Join(from, "b.txt"), "b")
	tree, err := copyFiles(from, to, []string{"a.txt", "b.txt"})
	if err != nil {
		t.Fatal(err)
	}
	if err := tree.unchanged(); err != nil {
		t.Errorf("untouched copy: %v", err)
	}
	write(filepath.Join(to, "a.txt"), "other")
	write(filepath.Join(to, "c.txt"), "c")
	if err := os.Remove(filepath.Join(to, "b.txt")); err != nil {
		t.Fatal(err)
	}
	err = tree.unchanged()
	for _, want := range []string{"a.txt (differs)", "b.txt (no longer generated)", "c.txt (not in the repository)"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("no %q in %v", want, err)
		}
	}
}
