package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// The two commands of the README, each to be found in a fenced block of its own under a heading with the word.
var readmeCommands = []struct{ word, command string }{
	{"run", "go run ./cmd/longspell demo"},
	{"test", "go run ./cmd/verify"},
}

// checkReadme looks for the README's two commands, and that CI runs the second.
func checkReadme(_ context.Context, j *job) error {
	text, err := os.ReadFile(filepath.Join(j.root, "README.md"))
	if err != nil {
		return err
	}
	var errs []error
	blocks := fencedBlocks(string(text))
	for _, c := range readmeCommands {
		if !slices.ContainsFunc(blocks, func(b fenced) bool { return b.under(c.word) && b.text == c.command }) {
			errs = append(errs, fmt.Errorf("README.md: no fenced block with %q alone under a heading that says %q", c.command, c.word))
		}
	}
	ci, err := os.ReadFile(filepath.Join(j.root, ".ci", "run"))
	if err != nil {
		return errors.Join(append(errs, err)...)
	}
	if !strings.Contains(string(ci), readmeCommands[1].command) {
		errs = append(errs, fmt.Errorf(".ci/run does not run %q", readmeCommands[1].command))
	}
	return errors.Join(errs...)
}

// fenced is a fenced block of a Markdown text, with the heading it stands under.
type fenced struct{ heading, text string }

// under says whether the block's heading has the word, as a word.
func (f fenced) under(word string) bool {
	letters := func(r rune) bool { return !('a' <= r && r <= 'z') }
	return slices.Contains(strings.FieldsFunc(strings.ToLower(f.heading), letters), word)
}

// fencedBlocks lists the fenced blocks of a Markdown text. A '#' inside a block is no heading.
func fencedBlocks(text string) []fenced {
	var blocks []fenced
	var heading, fence string
	var body []string
	for _, line := range strings.Split(text, "\n") {
		trimmed := strings.TrimSpace(line)
		switch {
		case fence == "" && (strings.HasPrefix(trimmed, "```") || strings.HasPrefix(trimmed, "~~~")):
			fence, body = trimmed[:3], nil
		case fence != "" && strings.HasPrefix(trimmed, fence):
			blocks = append(blocks, fenced{heading, strings.TrimSpace(strings.Join(body, "\n"))})
			fence = ""
		case fence != "":
			body = append(body, line)
		case strings.HasPrefix(line, "#"):
			heading = strings.TrimSpace(strings.TrimLeft(line, "#"))
		}
	}
	return blocks
}
