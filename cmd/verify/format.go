package main

import (
	"bytes"
	"context"
	"fmt"
	"go/format"
	"os"
	"path/filepath"
	"strings"
)

// checkFormat does what gofmt -l does, over the repository's own Go files.
func checkFormat(ctx context.Context, j *job) error {
	files, err := j.sources(ctx)
	if err != nil {
		return err
	}
	var bad []string
	for _, f := range files {
		if filepath.Ext(f) != ".go" {
			continue
		}
		text, err := os.ReadFile(filepath.Join(j.root, f))
		if err != nil {
			return err
		}
		if fault := formatFault(text); fault != "" {
			bad = append(bad, f+": "+fault)
		}
	}
	if len(bad) > 0 {
		return fmt.Errorf("run gofmt -w on:\n  %s", strings.Join(bad, "\n  "))
	}
	return nil
}

func formatFault(text []byte) string {
	want, err := format.Source(text)
	if err != nil {
		return err.Error()
	}
	if !bytes.Equal(want, text) {
		return "not formatted"
	}
	return ""
}
