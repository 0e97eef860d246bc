package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"time"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	ctx = withoutOrphanage(ctx)
	code := verify(ctx, os.Args[1:], os.Stdout)
	stop()
	os.Exit(code)
}

// verify is the command; it returns the exit status: 0 passed, 1 failed, 2 the options make no sense.
func verify(ctx context.Context, args []string, out io.Writer) int {
	flags := flag.NewFlagSet("verify", flag.ContinueOnError)
	flags.SetOutput(out)
	list := flags.Bool("list", false, "name the steps and do nothing")
	only := flags.String("only", "", "comma-separated `steps` to run, with what they need")
	verbose := flags.Bool("v", false, "show the output of the steps as they run")
	if err := flags.Parse(args); err != nil {
		return 2
	}
	steps, err := choose(allSteps(), *only)
	if err != nil {
		fmt.Fprintln(out, "verify:", err)
		return 2
	}
	if *list {
		for _, s := range steps {
			fmt.Fprintf(out, "%-12s %s\n", s.name, s.title)
		}
		return 0
	}
	w, err := newWorkplace()
	if err != nil {
		fmt.Fprintln(out, "verify:", err)
		return 1
	}
	fmt.Fprintf(out, "Logs of each step: %s\n", w.temp)
	begun := time.Now()
	results := newRunner(w, out, *verbose).run(ctx, steps)
	w.clean()
	return summarise(out, w, results, time.Since(begun), ctx.Err())
}

// choose returns the named steps with all that they need, in the order of all; every step for "".
func choose(all []step, only string) ([]step, error) {
	if only == "" {
		return all, nil
	}
	byName := map[string]step{}
	for _, s := range all {
		byName[s.name] = s
	}
	wanted := map[string]bool{}
	var want func(name string) error
	want = func(name string) error {
		s, ok := byName[name]
		if !ok {
			return fmt.Errorf("there is no step %q; -list names them", name)
		}
		wanted[name] = true
		for _, n := range s.needs {
			if err := want(n); err != nil {
				return err
			}
		}
		return nil
	}
	for _, name := range strings.Split(only, ",") {
		if err := want(strings.TrimSpace(name)); err != nil {
			return nil, err
		}
	}
	var chosen []step
	for _, s := range all {
		if wanted[s.name] {
			chosen = append(chosen, s)
		}
	}
	return chosen, nil
}

// withoutOrphanage ends the run when `go run` that started us is gone: it does not pass a SIGTERM on to its child. Under any
// other parent we go on without it, as a command that was put in the background does.
func withoutOrphanage(ctx context.Context) context.Context {
	parent := os.Getppid()
	name, err := os.ReadFile(fmt.Sprintf("/proc/%d/comm", parent))
	if err != nil || strings.TrimSpace(string(name)) != "go" {
		return ctx
	}
	ctx, cancel := context.WithCancelCause(ctx)
	go func() {
		tick := time.NewTicker(time.Second)
		defer tick.Stop()
		for {
			select {
			case <-ctx.Done():
				return
			case <-tick.C:
				if os.Getppid() != parent {
					cancel(errors.New("the go command that started this is gone"))
				}
			}
		}
	}()
	return ctx
}

// findRoot goes up from the working folder to the one that holds go.mod.
func findRoot() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir, nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", errors.New("go.mod is not in this folder or above it: run from inside the repository")
		}
		dir = up
	}
}
