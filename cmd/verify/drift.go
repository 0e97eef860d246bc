package main

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Generators run in a copy of the working tree: they cannot disturb steps that build from the tree at the same time, and a tree
// with uncommitted work is judged by whether what is generated fits its sources, not by whether it is committed.

// runGoDrift generates the Go side of the contract and compares.
func runGoDrift(ctx context.Context, j *job) error {
	tree, err := j.copyTree(ctx, "go")
	if err != nil {
		return err
	}
	return errors.Join(
		j.do(ctx, command{dir: tree.dir, env: noCGO, args: []string{"go", "generate", "./..."}}),
		tree.unchanged())
}

// runWebDrift generates the contract's types and the built web app and compares.
func runWebDrift(ctx context.Context, j *job) error {
	tree, err := j.copyTree(ctx, "web")
	if err != nil {
		return err
	}
	web := filepath.Join(tree.dir, "frontend")
	if err := os.Symlink(filepath.Join(j.frontend(), "node_modules"), filepath.Join(web, "node_modules")); err != nil {
		return err
	}
	return errors.Join(
		j.each(ctx, web, npmRun("types"), npmRun("build")),
		os.Remove(filepath.Join(web, "node_modules")),
		tree.unchanged())
}

// treeCopy is a copy of the repository's files as they stood, with the sum of each by its name.
type treeCopy struct {
	dir  string
	sums map[string][sha256.Size]byte
}

func (j *job) copyTree(ctx context.Context, name string) (treeCopy, error) {
	files, err := j.sources(ctx)
	if err != nil {
		return treeCopy{}, err
	}
	return copyFiles(j.root, filepath.Join(j.copyDir(), name), files)
}

func copyFiles(from, to string, files []string) (treeCopy, error) {
	tree := treeCopy{dir: to, sums: map[string][sha256.Size]byte{}}
	for _, f := range files {
		text, err := os.ReadFile(filepath.Join(from, f))
		if err != nil {
			return tree, err
		}
		info, err := os.Stat(filepath.Join(from, f))
		if err != nil {
			return tree, err
		}
		target := filepath.Join(to, f)
		if err := os.MkdirAll(filepath.Dir(target), 0o755); err != nil {
			return tree, err
		}
		if err := os.WriteFile(target, text, info.Mode().Perm()); err != nil {
			return tree, err
		}
		tree.sums[f] = sha256.Sum256(text)
	}
	return tree, nil
}

// unchanged fails with the files that are not what was copied, after generators ran in the copy.
func (t treeCopy) unchanged() error {
	var changed []string
	seen := map[string]bool{}
	err := filepath.WalkDir(t.dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(t.dir, path)
		if err != nil {
			return err
		}
		name = filepath.ToSlash(name)
		seen[name] = true
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		switch sum, known := t.sums[name]; {
		case !known:
			changed = append(changed, name+" (not in the repository)")
		case sum != sha256.Sum256(text):
			changed = append(changed, name+" (differs)")
		}
		return nil
	})
	for name := range t.sums {
		if !seen[name] {
			changed = append(changed, name+" (no longer generated)")
		}
	}
	slices.Sort(changed)
	if len(changed) > 0 {
		err = errors.Join(err, fmt.Errorf("generated files do not fit their sources (generate again and commit):\n  %s",
			strings.Join(changed, "\n  ")))
	}
	return err
}
