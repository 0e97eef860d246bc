package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"time"
)

// killAfter is how long a command has to end after SIGTERM.
const killAfter = 10 * time.Second

// workplace is what all steps share.
type workplace struct {
	root string   // the repository
	temp string   // logs, the built binary, the copy of the tree
	env  []string // of every command
}

func newWorkplace() (*workplace, error) {
	root, err := findRoot()
	if err != nil {
		return nil, err
	}
	temp, err := os.MkdirTemp("", "longspell-verify-")
	if err != nil {
		return nil, err
	}
	return &workplace{root: root, temp: temp, env: stepEnv(os.Environ())}, nil
}

// binary is the built product, for the browser tests.
func (w *workplace) binary() string { return filepath.Join(w.temp, "bin", "longspell") }

// copyDir is the copy of the tree in which generators run.
func (w *workplace) copyDir() string { return filepath.Join(w.temp, "copy") }

func (w *workplace) frontend() string { return filepath.Join(w.root, "frontend") }

// clean leaves only the logs.
func (w *workplace) clean() {
	if err := removeAll(filepath.Dir(w.binary()), w.copyDir()); err != nil {
		fmt.Fprintln(os.Stderr, "verify:", err)
	}
}

// stepEnv makes commands quiet, colourless and free of questions, and keeps git's owner check out of Go's builds: a clone may
// belong to another user.
func stepEnv(environ []string) []string {
	set := map[string]string{
		"CI": "true", "NO_COLOR": "1", "FORCE_COLOR": "0", "TERM": "dumb",
		"DEBIAN_FRONTEND": "noninteractive", "npm_config_update_notifier": "false",
		"PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD": "1",
	}
	goflags := "-buildvcs=false"
	var env []string
	for _, kv := range environ {
		name, value, _ := strings.Cut(kv, "=")
		if name == "GOFLAGS" {
			goflags = strings.TrimSpace(value + " " + goflags)
			continue
		}
		if _, ours := set[name]; !ours {
			env = append(env, kv)
		}
	}
	for name, value := range set {
		env = append(env, name+"="+value)
	}
	env = append(env, "GOFLAGS="+goflags)
	slices.Sort(env)
	return env
}

// job is a step that runs: its log, its commands, what it counts and notes.
type job struct {
	*workplace
	logPath string
	echo    io.Writer
	file    *os.File
	log     io.Writer
	begun   time.Time
	tests   counts
	notes   []string

	mu     sync.Mutex
	status string
}

func newJob(w *workplace, name string, echo io.Writer) *job {
	return &job{workplace: w, logPath: w.logName(name), echo: echo, begun: time.Now()}
}

func (j *job) open() (err error) {
	j.file, err = os.Create(j.logPath)
	if err == nil {
		j.log = &locked{w: io.MultiWriter(j.file, j.echo)}
	}
	return err
}

// locked lets a command's two outputs go into one log.
type locked struct {
	mu sync.Mutex
	w  io.Writer
}

func (l *locked) Write(b []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.w.Write(b)
}

// close ends the log with the error, so that the log alone tells the whole story.
func (j *job) close(err error) error {
	if j.file == nil {
		return nil
	}
	if err != nil {
		fmt.Fprintf(j.log, "\n%v\n", err)
	}
	return j.file.Close()
}

// note is shown in the summary, whether the step passed or not.
func (j *job) note(format string, args ...any) {
	j.notes = append(j.notes, fmt.Sprintf(format, args...))
}

func (j *job) setProgress(s string) {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.status = s
}

func (j *job) progress() string {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.status
}

// command is a command line with its folder and what it needs in its environment beside the workplace's.
type command struct {
	dir  string // the repository if empty
	env  []string
	args []string
	out  io.Writer // takes standard output in place of the log
}

// do runs a command with its output in the log. It is a process group of its own, all of which is gone when do returns.
func (j *job) do(ctx context.Context, c command) error {
	cmd := exec.CommandContext(ctx, c.args[0], c.args[1:]...)
	if cmd.Dir = c.dir; c.dir == "" {
		cmd.Dir = j.root
	}
	cmd.Env = slices.Concat(j.env, c.env)
	cmd.Stdout, cmd.Stderr = j.log, j.log
	if c.out != nil {
		cmd.Stdout = c.out
	}
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGTERM) }
	cmd.WaitDelay = killAfter
	fmt.Fprintf(j.log, "$ %s\n", strings.Join(slices.Concat(c.env, c.args), " "))
	if err := cmd.Start(); err != nil {
		return err
	}
	err := cmd.Wait()
	if killed := syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL); killed != nil && !errors.Is(killed, syscall.ESRCH) {
		err = errors.Join(err, killed)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", strings.Join(c.args, " "), err)
	}
	return nil
}

// each runs command lines one after the other, all of them even when one fails.
func (j *job) each(ctx context.Context, dir string, lines ...[]string) error {
	var errs []error
	for _, args := range lines {
		errs = append(errs, j.do(ctx, command{dir: dir, args: args}))
	}
	return errors.Join(errs...)
}

// git answers with the standard output of git, in a clone that may belong to another user.
func (j *job) git(ctx context.Context, args ...string) (string, error) {
	var out strings.Builder
	err := j.do(ctx, command{args: slices.Concat([]string{"git", "-c", "safe.directory=*"}, args), out: &out})
	return out.String(), err
}

// sources lists the files of the repository as they stand in the working tree, ignored ones aside.
func (j *job) sources(ctx context.Context) ([]string, error) {
	out, err := j.git(ctx, "ls-files", "-z", "--cached", "--others", "--exclude-standard")
	if err != nil {
		return nil, err
	}
	var files []string
	for _, name := range strings.Split(strings.TrimRight(out, "\x00"), "\x00") {
		info, err := os.Lstat(filepath.Join(j.root, name))
		if errors.Is(err, os.ErrNotExist) {
			continue // deleted, and not yet committed as such
		}
		if err != nil {
			return nil, err
		}
		if info.Mode().IsRegular() {
			files = append(files, name)
		}
	}
	slices.Sort(files)
	return slices.Compact(files), nil
}
