package main

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"time"
)

// noCGO is how the product is built. Vet and staticcheck use it too, and so share one build of everything with it.
var noCGO = []string{"CGO_ENABLED=0"}

// allSteps are the steps in the order in which they start, as far as what they wait for allows. Those of Go and those of the web
// app alternate, so that with two at a time the one side downloads while the other compiles.
func allSteps() []step {
	const short, long = 10 * time.Minute, 20 * time.Minute
	return []step{
		{name: "toolchain", title: "Go's version, modules as their checksums say", limit: long, run: checkToolchain},
		{name: "install", title: "install programs that are missing", limit: long, run: install},
		{name: "format", title: "gofmt", limit: short, needs: []string{"install"}, run: checkFormat},
		{name: "readme", title: "the README's two commands", limit: short, run: checkReadme},
		{name: "hygiene", title: "what must not be in the repository", limit: short, needs: []string{"install"}, run: checkHygiene},
		{name: "build", title: "CGO_ENABLED=0 go build", limit: long, needs: []string{"toolchain"}, run: buildProduct},
		{name: "web-install", title: "npm ci", limit: long, needs: []string{"install"}, run: installWeb},
		{name: "vet", title: "go vet", limit: long, needs: []string{"toolchain"}, after: []string{"build"}, run: goTool("go", "vet", "./...")},
		{name: "web-lint", title: "eslint, prettier", limit: short, needs: []string{"web-install"}, run: webScripts("lint", "format:check")},
		{name: "staticcheck", title: "staticcheck", limit: long, needs: []string{"toolchain"}, after: []string{"vet"}, run: goTool("go", "tool", "staticcheck", "./...")},
		{name: "web-types", title: "svelte-check", limit: short, needs: []string{"web-install"}, after: []string{"web-lint"}, run: webScripts("check")},
		{name: "drift", title: "Go of the contract as generated", limit: long, needs: []string{"toolchain", "install"}, after: []string{"staticcheck"}, run: runGoDrift},
		{name: "web-drift", title: "types and built web app as generated", limit: short, needs: []string{"web-install"}, after: []string{"web-types"}, run: runWebDrift},
		{name: "web-test", title: "unit tests of the web app", limit: short, needs: []string{"web-install"}, after: []string{"web-drift"}, run: runWebTests},
		{name: "test", title: "go test -race, SQLite and PostgreSQL", limit: 25 * time.Minute, needs: []string{"toolchain", "install"}, after: []string{"drift"}, run: runGoTests},
		{name: "browser", title: "browser tests in Chromium", limit: long, needs: []string{"install", "web-install", "build"}, after: []string{"test", "web-test"}, run: runBrowserTests},
	}
}

// buildProduct builds every package, and the binary that the browser tests run.
func buildProduct(ctx context.Context, j *job) error {
	if err := os.MkdirAll(filepath.Dir(j.binary()), 0o755); err != nil {
		return err
	}
	return errors.Join(
		j.do(ctx, command{env: noCGO, args: []string{"go", "build", "./..."}}),
		j.do(ctx, command{env: noCGO, args: []string{"go", "build", "-o", j.binary(), "./cmd/longspell"}}))
}

func goTool(args ...string) func(context.Context, *job) error {
	return func(ctx context.Context, j *job) error { return j.do(ctx, command{env: noCGO, args: args}) }
}

func webScripts(names ...string) func(context.Context, *job) error {
	return func(ctx context.Context, j *job) error {
		var lines [][]string
		for _, n := range names {
			lines = append(lines, npmRun(n))
		}
		return j.each(ctx, j.frontend(), lines...)
	}
}
