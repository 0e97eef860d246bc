// Package internal holds no code of its own: its tests guard the shape of the tree.
package internal

import (
	"strings"
	"testing"
)

// mayImport is the import table: which package may import which others of this module, its own sub-packages aside. A key
// or a value that ends in "/..." stands for a package and all below it; the longest key that fits a package counts.
//
// This is policy, not a record of what happens to be so. It is not edited to make a build pass: a new edge is argued in the
// commit that adds it, and DEVELOPERS.md is changed with it.
var mayImport = map[string][]string{
	"internal/domain": {},
	"internal/clock":  {},
	"internal/stats":  {},

	"internal/limits/...":    pure,
	"internal/load/...":      pure,
	"internal/pathway/...":   pure,
	"internal/coaching/...":  pure,
	"internal/retention/...": pure,
	"internal/notices/...":   pure,
	"internal/exchange/...":  pure,
	"internal/access/...":    pure,

	"internal/app/...": {
		"internal/domain", "internal/stats", "internal/clock", "internal/limits/...", "internal/load/...", "internal/pathway/...",
		"internal/coaching/...", "internal/retention/...", "internal/notices/...", "internal/exchange/...", "internal/access/...",
	},

	"internal/store/...":     {"internal/domain", "internal/access", "internal/clock", "migrations"},
	"internal/httpapi/...":   {"internal/app", "internal/domain", "internal/access", "api"},
	"internal/overnight/...": {"internal/app", "internal/domain", "internal/clock"},
	"internal/demo/...":      {"internal/app", "internal/domain", "internal/clock", "internal/access", "internal/stats"},
	"internal/mail/...":      {"internal/domain", "internal/clock"},
	"internal/token/...":     {"internal/domain", "internal/clock"},
	"internal/passwd/...":    {"internal/domain", "internal/clock"},
	"internal/config/...":    {"internal/domain", "internal/clock"},

	"internal/testkit/...":           {"internal/...", "migrations", "api"},
	"internal/testkit/pgcluster/...": {},

	"internal":   {},
	"api":        {},
	"deploy":     {},
	"frontend":   {},
	"migrations": {},

	"cmd/longspell": {"internal/...", "api", "frontend", "migrations"},
	"cmd/verify":    {"internal/testkit/pgcluster"},
}

// pure is what a calculation may know: the nouns and the numbers. Never a database, a clock, a request, or each other.
var pure = []string{"internal/domain", "internal/stats"}

// testOnly are packages that only tests may import, and the one command that runs them.
var testOnly = map[string][]string{"internal/testkit/...": {"internal/testkit/...", "cmd/verify"}}

// mayUse says where a third-party module may be imported; tests obey it too. A module that is not here may not be used at all:
// a new one is argued in the commit that adds it.
var mayUse = map[string][]string{
	"gorm.io":                       {"internal/store/..."},
	"modernc.org/sqlite":            {"internal/store/..."},
	"github.com/jackc/pgx/v5":       {"internal/store/..."},
	"github.com/pressly/goose/v3":   {"internal/store/..."},
	"github.com/gin-gonic/gin":      {"internal/httpapi/..."},
	"github.com/gin-contrib":        {"internal/httpapi/..."},
	"github.com/getkin/kin-openapi": {"internal/httpapi/...", "api"},
	"github.com/oapi-codegen":       {"internal/httpapi/..."},
	"github.com/prometheus":         {"internal/httpapi/...", "internal/overnight/..."},
	"github.com/robfig/cron/v3":     {"internal/overnight/..."},
	"github.com/golang-jwt/jwt/v5":  {"internal/token/..."},
	"golang.org/x/crypto":           {"internal/passwd/..."},
	"github.com/wneessen/go-mail":   {"internal/mail/..."},
	"github.com/caarlos0/env/v11":   {"internal/config/..."},
	"gonum.org/v1/gonum":            {"internal/stats"},
	"github.com/spf13":              {"cmd/longspell"},
	"github.com/google/uuid":        {"internal/store/...", "internal/httpapi/..."},
	"golang.org/x/sync":             {"internal/httpapi/...", "internal/overnight/...", "cmd/..."},
	"golang.org/x/time":             {"internal/httpapi/..."},
}

// testsMayUse is added to mayUse for test files, and for the packages that only tests may import.
var testsMayUse = map[string][]string{
	"github.com/google/go-cmp":      {"..."},
	"pgregory.net/rapid":            {"..."},
	"github.com/getkin/kin-openapi": {"api", "internal/httpapi/..."},
	"github.com/goccy/go-yaml":      {"api", "deploy"},
	"github.com/jackc/pgx/v5":       {"internal/testkit/...", "cmd/..."},
	"modernc.org/sqlite":            {"internal/testkit/...", "cmd/..."},
}

func TestImportTable(t *testing.T) {
	t.Parallel()
	packages := listPackages(t)
	if len(packages) < 3 {
		t.Fatalf("go list found %d packages: the check did not see the module", len(packages))
	}
	for _, fault := range checkImports(packages) {
		t.Error(fault)
	}
}

func TestOnlyTheClockReadsTheTime(t *testing.T) {
	t.Parallel()
	for _, fault := range checkTime(t, "..") {
		t.Error(fault)
	}
}

// TestCheckerSeesBadEdges gives the checker one made-up fault of each kind: a checker that finds nothing proves nothing.
func TestCheckerSeesBadEdges(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		pkg  listedPackage
		want string
	}{
		"OK":                        {listedPackage{ImportPath: "longspell/internal/limits", Imports: []string{"fmt", "longspell/internal/domain"}}, ""},
		"OK own sub-package":        {listedPackage{ImportPath: "longspell/internal/httpapi", Imports: []string{"longspell/internal/httpapi/apigen", "github.com/gin-gonic/gin"}}, ""},
		"OK test of adapter":        {listedPackage{ImportPath: "longspell/internal/httpapi", XTestImports: []string{"longspell/internal/store", "longspell/internal/testkit"}}, ""},
		"sideways":                  {listedPackage{ImportPath: "longspell/internal/limits", Imports: []string{"longspell/internal/load"}}, "may not import internal/load"},
		"outwards":                  {listedPackage{ImportPath: "longspell/internal/domain", Imports: []string{"longspell/internal/store"}}, "may not import internal/store"},
		"between adapters":          {listedPackage{ImportPath: "longspell/internal/httpapi", Imports: []string{"longspell/internal/store"}}, "may not import internal/store"},
		"unknown package":           {listedPackage{ImportPath: "longspell/internal/util"}, "is not in the import table"},
		"unknown at the top":        {listedPackage{ImportPath: "longspell/pkg"}, "is not in the import table"},
		"gorm in a handler":         {listedPackage{ImportPath: "longspell/internal/httpapi", Imports: []string{"gorm.io/gorm/clause"}}, "may not use gorm.io/gorm/clause"},
		"gin in a test":             {listedPackage{ImportPath: "longspell/internal/app", TestImports: []string{"github.com/gin-gonic/gin"}}, "may not use github.com/gin-gonic/gin"},
		"OK driver in the test kit": {listedPackage{ImportPath: "longspell/internal/testkit/db", Imports: []string{"github.com/jackc/pgx/v5"}}, ""},
		"gorm in the test kit":      {listedPackage{ImportPath: "longspell/internal/testkit/db", Imports: []string{"gorm.io/gorm"}}, "may not use gorm.io/gorm"},
		"unknown module":            {listedPackage{ImportPath: "longspell/internal/app", Imports: []string{"example.org/thing"}}, "is not in the table of modules"},
		"test module in code":       {listedPackage{ImportPath: "longspell/internal/app", Imports: []string{"pgregory.net/rapid"}}, "is not in the table of modules"},
		"test kit in code":          {listedPackage{ImportPath: "longspell/cmd/longspell", Imports: []string{"longspell/internal/testkit"}}, "only tests may import internal/testkit"},
		"command in a test":         {listedPackage{ImportPath: "longspell/internal/app", TestImports: []string{"longspell/cmd/longspell"}}, "may not import cmd/longspell"},
		"deeper test kit":           {listedPackage{ImportPath: "longspell/internal/store", Imports: []string{"longspell/internal/testkit/pgcluster"}}, "only tests may import internal/testkit/pgcluster"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			got := strings.Join(checkImports([]listedPackage{c.pkg}), "\n")
			if c.want == "" && got != "" {
				t.Errorf("unwanted fault: %s", got)
			}
			if !strings.Contains(got, c.want) {
				t.Errorf("faults %q, want one with %q", got, c.want)
			}
		})
	}
}

func TestCheckerSeesTheTimeRead(t *testing.T) {
	t.Parallel()
	for source, want := range map[string]int{
		`package p; import "time"; var a = time.Now()`:                                                1,
		`package p; import tick "time"; var a, b = tick.Now, tick.Since(tick.Unix(0, 0))`:             2,
		`package p; import "time"; func f() { time.Sleep(1) }`:                                        1,
		`package p; import ("time"; "testing/synctest"); func f() { time.Sleep(1) }`:                  0,
		`package p; import "time"; var a = time.Unix(0, 0)`:                                           0,
		`package p; type x struct{}; func (x) Now() int { return 1 }; var time x; var a = time.Now()`: 0,
	} {
		if got := timeReads(t, "p_test.go", source); len(got) != want {
			t.Errorf("%s: %d reads %v, want %d", source, len(got), got, want)
		}
	}
	if got := timeReads(t, "p.go", `package p; import "time"; func f() { time.Sleep(1); _ = time.Now() }`); len(got) != 1 {
		t.Errorf("outside a test: %v, want the read alone", got)
	}
}
