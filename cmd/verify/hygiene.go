package main

import (
	"bytes"
	"context"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

const (
	largestFile = 1 << 20 // bytes
	longFile    = 400     // lines: look again
)

// checkHygiene reads every file of the repository for what must not be in it.
func checkHygiene(ctx context.Context, j *job) error {
	files, err := j.sources(ctx)
	if err != nil {
		return err
	}
	paths := machinePaths(j.root)
	var faults []string
	for _, f := range files {
		text, err := os.ReadFile(filepath.Join(j.root, f))
		if err != nil {
			return err
		}
		faults = append(faults, fileFaults(f, text, paths)...)
		if n := bytes.Count(text, []byte("\n")); n > longFile && handWritten(f) {
			j.note("%s has %d lines", f, n)
		}
	}
	for _, f := range []string{"LICENSE", "README.md", "DEVELOPERS.md", ".ci/run", "compose.yaml"} {
		if !slices.Contains(files, f) {
			faults = append(faults, f+": is missing")
		}
	}
	if len(faults) > 0 {
		return fmt.Errorf("%s", strings.Join(faults, "\n"))
	}
	return nil
}

func inDist(name string) bool { return strings.HasPrefix(name, "frontend/dist/") }

// handWritten says whether somebody keeps the file in hand: code that is neither generated nor a test.
func handWritten(name string) bool {
	if inDist(name) || strings.Contains(name, ".gen.") || strings.HasSuffix(name, ".d.ts") || strings.HasSuffix(name, "schema.sql") {
		return false
	}
	if strings.HasSuffix(name, "_test.go") || strings.HasSuffix(name, ".test.ts") || strings.HasSuffix(name, ".spec.ts") {
		return false
	}
	return slices.Contains([]string{".go", ".ts", ".svelte", ".css", ".sql", ".sh", ".js"}, filepath.Ext(name))
}

// machinePaths matches folders of the machine that a change was made on: the repository's own, the one it lies in, and homes.
func machinePaths(root string) *regexp.Regexp {
	folders := []string{regexp.QuoteMeta(root)}
	if up := filepath.Dir(root); strings.Count(up, "/") == 1 && up != "/" && up != "/tmp" && up != "/home" {
		folders = append(folders, regexp.QuoteMeta(up+"/"))
	}
	folders = append(folders, "/(root|home|Users)/[A-Za-z._-]")
	return regexp.MustCompile(`(^|[\s"'=(:,\x60])(` + strings.Join(folders, "|") + `)`)
}

// In a lock file or a client's settings, an address of where packages are fetched from binds everybody to one machine's.
var registryHost = regexp.MustCompile(`"resolved":\s*"http|^\s*registry\s*=\s*http|GOPROXY\s*=\s*"?http`)

// webSkip finds tests of the web app that are passed over, put off, or keep the others from running.
var webSkip = regexp.MustCompile(`\b(test|it|describe|suite)(\.\w+)*\.(skip|only|todo|fixme|skipIf|runIf)\b`)

// fileFaults returns a line for each fault of one file.
func fileFaults(name string, text []byte, machine *regexp.Regexp) []string {
	if inDist(name) {
		return nil
	}
	var faults []string
	if len(text) > largestFile {
		faults = append(faults, fmt.Sprintf("%s: %d bytes, at most %d are kept", name, len(text), largestFile))
	}
	if bytes.IndexByte(text, 0) >= 0 {
		return faults // not text
	}
	web := strings.HasSuffix(name, ".test.ts") || strings.HasSuffix(name, ".spec.ts")
	for i, line := range strings.Split(string(text), "\n") {
		at := fmt.Sprintf("%s:%d: ", name, i+1)
		if machine.MatchString(line) {
			faults = append(faults, at+"a path of one machine: "+strings.TrimSpace(line))
		}
		if registryHost.MatchString(line) {
			faults = append(faults, at+"an address of a package registry")
		}
		if web && webSkip.MatchString(line) {
			faults = append(faults, at+"a test that is passed over, or keeps others from running")
		}
	}
	if strings.HasSuffix(name, "_test.go") || strings.HasPrefix(name, "internal/testkit/") && strings.HasSuffix(name, ".go") {
		faults = append(faults, goSkips(name, text)...)
	}
	return faults
}

// goSkips finds calls of Skip, Skipf and SkipNow on what a test usually calls its T.
func goSkips(name string, text []byte) []string {
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, name, text, 0)
	if err != nil {
		return []string{err.Error()}
	}
	var faults []string
	ast.Inspect(file, func(n ast.Node) bool {
		call, ok := n.(*ast.CallExpr)
		if !ok {
			return true
		}
		sel, ok := call.Fun.(*ast.SelectorExpr)
		if !ok || !slices.Contains([]string{"Skip", "Skipf", "SkipNow"}, sel.Sel.Name) {
			return true
		}
		if x, ok := sel.X.(*ast.Ident); ok && slices.Contains([]string{"t", "tb", "b", "f", "rt"}, x.Name) {
			faults = append(faults, set.Position(call.Pos()).String()+": a test that is passed over")
		}
		return true
	})
	return faults
}
