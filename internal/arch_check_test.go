package internal

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"io/fs"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "longspell"

// listedPackage is what the check needs of the answer of go list.
type listedPackage struct {
	ImportPath   string
	Imports      []string
	TestImports  []string
	XTestImports []string
}

// listPackages asks go list with -e: what does not compile is for the compiler to say, its imports are read all the same.
func listPackages(t *testing.T) []listedPackage {
	t.Helper()
	cmd := exec.CommandContext(t.Context(), "go", "list", "-e", "-json=ImportPath,Imports,TestImports,XTestImports", "./...")
	cmd.Dir = ".."
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, stderr.String())
	}
	var packages []listedPackage
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listedPackage
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			return packages
		} else if err != nil {
			t.Fatalf("go list: %v", err)
		}
		packages = append(packages, p)
	}
}

// checkImports returns one line for each import that the tables do not allow.
func checkImports(packages []listedPackage) []string {
	var faults []string
	for _, p := range packages {
		name := inModule(p.ImportPath)
		allowed, known := rowOf(name)
		if !known {
			faults = append(faults, fmt.Sprintf("%s is not in the import table", name))
			continue
		}
		for _, path := range p.Imports {
			faults = appendFault(faults, name, codeFault(name, path, allowed))
		}
		for _, path := range slices.Concat(p.TestImports, p.XTestImports) {
			faults = appendFault(faults, "a test of "+name, testFault(name, path))
		}
	}
	slices.Sort(faults)
	return slices.Compact(faults)
}

func appendFault(faults []string, who, fault string) []string {
	if fault == "" {
		return faults
	}
	return append(faults, who+" "+fault)
}

func codeFault(name, path string, allowed []string) string {
	if !ours(path) {
		if isTestOnly(name) {
			return testModuleFault(name, path)
		}
		return moduleFault(name, path, mayUse)
	}
	target := inModule(path)
	for kit, users := range testOnly {
		if fits(kit, target) && !fitsAny(users, name) {
			return "may not import " + target + ": only tests may import " + target
		}
	}
	if !fitsAny(allowed, target) && !sameTree(name, target) {
		return "may not import " + target
	}
	return ""
}

// testFault is milder inside the module: a test puts parts together that the code keeps apart. Nothing imports a command.
func testFault(name, path string) string {
	if ours(path) {
		if target := inModule(path); strings.HasPrefix(target, "cmd/") && !sameTree(name, target) {
			return "may not import " + target
		}
		return ""
	}
	return testModuleFault(name, path)
}

func testModuleFault(name, path string) string {
	if moduleFault(name, path, testsMayUse) == "" {
		return ""
	}
	return moduleFault(name, path, mayUse)
}

// isTestOnly says whether a package is part of the tests though its files are not named so.
func isTestOnly(name string) bool {
	for kit := range testOnly {
		if fits(kit, name) {
			return true
		}
	}
	return false
}

func moduleFault(name, path string, table map[string][]string) string {
	if first, _, _ := strings.Cut(path, "/"); !strings.Contains(first, ".") {
		return "" // the standard library
	}
	for prefix, users := range table {
		if path == prefix || strings.HasPrefix(path, prefix+"/") {
			if fitsAny(users, name) {
				return ""
			}
			return "may not use " + path
		}
	}
	return "uses " + path + ", which is not in the table of modules"
}

// rowOf finds the row of the import table for a package: the longest key that fits.
func rowOf(name string) (allowed []string, known bool) {
	longest := -1
	for key, row := range mayImport {
		if fits(key, name) && len(key) > longest {
			longest, allowed, known = len(key), row, true
		}
	}
	return allowed, known
}

// sameTree says whether two packages stand under one row of the table that ends in "/...", or are one (an external test).
func sameTree(a, b string) bool {
	if a == b {
		return true
	}
	for key := range mayImport {
		if strings.HasSuffix(key, "/...") && fits(key, a) && fits(key, b) {
			return true
		}
	}
	return false
}

func fits(pattern, name string) bool {
	if pattern == "..." {
		return true
	}
	tree, below := strings.CutSuffix(pattern, "/...")
	return name == tree || below && strings.HasPrefix(name, tree+"/")
}

func fitsAny(patterns []string, name string) bool {
	return slices.ContainsFunc(patterns, func(p string) bool { return fits(p, name) })
}

func ours(path string) bool { return path == module || strings.HasPrefix(path, module+"/") }

func inModule(path string) string { return strings.TrimPrefix(path, module+"/") }

// checkTime returns one line for each place that asks the machine for the time, where the code is not the clock's, and for each test
// that sleeps. cmd/verify times its steps, and files of benchmarks alone (*_bench_test.go) measure.
func checkTime(t *testing.T, root string) []string {
	t.Helper()
	var faults []string
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		name = filepath.ToSlash(name)
		if d.IsDir() {
			skip := d.Name() == "node_modules" || d.Name() == "testdata" || d.Name() == ".git"
			if skip || name == "internal/clock" || name == "cmd/verify" {
				return fs.SkipDir
			}
			return nil
		}
		if strings.HasSuffix(name, ".go") && !strings.HasSuffix(name, "_bench_test.go") {
			for _, read := range timeReads(t, path, nil) {
				faults = append(faults, name+":"+read)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return faults
}

// timeReads lists uses of time.Now, Since and Until in one file, in a test's also of Sleep; source as for parser.ParseFile.
func timeReads(t *testing.T, path string, source any) []string {
	t.Helper()
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, path, source, 0)
	if err != nil {
		t.Fatal(err)
	}
	local, bubble := "", false
	for _, spec := range file.Imports {
		bubble = bubble || spec.Path.Value == `"testing/synctest"`
		if spec.Path.Value == `"time"` {
			local = "time"
			if spec.Name != nil {
				local = spec.Name.Name
			}
		}
	}
	banned := []string{"Now", "Since", "Until"}
	if strings.HasSuffix(path, "_test.go") && !bubble { // in a synctest bubble no real time passes
		banned = append(banned, "Sleep")
	}
	var reads []string
	ast.Inspect(file, func(n ast.Node) bool {
		sel, ok := n.(*ast.SelectorExpr)
		if !ok || local == "" {
			return true
		}
		x, ok := sel.X.(*ast.Ident)
		if ok && x.Name == local && slices.Contains(banned, sel.Sel.Name) {
			line := set.Position(sel.Pos()).Line
			reads = append(reads, strconv.Itoa(line)+": time."+sel.Sel.Name+": ask internal/clock, or take the time as an argument; a test waits for what it waits for")
		}
		return true
	})
	return reads
}
