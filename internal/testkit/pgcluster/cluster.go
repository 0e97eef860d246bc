package pgcluster

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"time"
)

const (
	port         = "5432" // names the socket file; nothing listens on the network
	socketName   = ".s.PGSQL." + port
	maxSocket    = 100             // bytes; the kernel's limit is 108 on Linux and 104 on the BSDs, with the ending NUL
	readyAfter   = 3 * time.Minute // initdb takes a second or two, and much longer where the machine is busy with other things
	stopAfter    = time.Minute
	pollInterval = 20 * time.Millisecond
)

// Options say how a cluster is started; the zero value is right for tests.
type Options struct {
	// Dir is the folder in which the cluster's own temporary folder is made; "" is the system's. It is left for /tmp where
	// the path would be too long for a socket, or closed to the user that runs the server.
	Dir string
	// Settings are added to the server's command line as name=value, after the ones the package sets.
	Settings []string
	// BinDir is the folder of initdb and postgres; "" finds the newest that is installed, 15 or later.
	BinDir string
}

// Cluster is a running server with its data.
type Cluster struct {
	dir    string
	bin    string
	pipe   io.Closer
	done   chan struct{}
	server *exec.Cmd
	said   *bytes.Buffer // what the supervisor wrote; read only after done is closed
	exit   error         // how the supervisor ended; read only after done is closed
	once   sync.Once
	stop   error
}

// Start makes a cluster, starts its server and returns when it takes connections. ctx bounds the start alone: a cluster that
// was returned runs until Stop, or until the process that started it ends. The superuser is postgres, without a password.
func Start(ctx context.Context, o Options) (*Cluster, error) {
	who, err := serverUser()
	if err != nil {
		return nil, err
	}
	bin := o.BinDir
	if bin == "" {
		bin, err = FindBinaries()
	} else {
		err = usable(bin)
	}
	if err != nil {
		return nil, err
	}
	dir, err := makeDir(o.Dir, who)
	if err != nil {
		return nil, err
	}
	c := &Cluster{dir: dir, bin: bin, done: make(chan struct{})}
	if err := c.launch(who, o.Settings); err != nil {
		return nil, errors.Join(err, os.RemoveAll(dir))
	}
	if err := c.await(ctx); err != nil {
		return nil, errors.Join(err, c.Stop())
	}
	return c, nil
}

// DSN is the address of a database of the cluster for a user, as a URL that libpq and pgx both read. It does not check that
// either exists.
func (c *Cluster) DSN(dbname, user string) string {
	return socketURL(c.dir, dbname, user)
}

// AdminDSN is the address of the maintenance database for the superuser.
func (c *Cluster) AdminDSN() string { return c.DSN("postgres", "postgres") }

// Dir is the folder with the socket and the data; it is gone after Stop.
func (c *Cluster) Dir() string { return c.dir }

// BinDir is the folder of the server's programs: psql, pg_dump and the others of the same version are there.
func (c *Cluster) BinDir() string { return c.bin }

// Stop ends the server, its connections with it, and removes the folder. It may be called more than once; later calls
// return what the first did.
func (c *Cluster) Stop() error {
	c.once.Do(func() { c.stop = c.end() })
	return c.stop
}

func (c *Cluster) end() error {
	closed := c.pipe.Close()
	limit := time.NewTimer(stopAfter)
	defer limit.Stop()
	select {
	case <-c.done:
	case <-limit.C:
		// The supervisor and the server form a process group of their own.
		killed := syscall.Kill(-c.server.Process.Pid, syscall.SIGKILL)
		<-c.done
		return errors.Join(fmt.Errorf("pgcluster: the server did not stop in %s", stopAfter), killed, closed, os.RemoveAll(c.dir))
	}
	return errors.Join(closed, os.RemoveAll(c.dir))
}

// supervisor is a POSIX shell script: $1 the folder, $2 that of the programs, $3 the locale, the rest the server's options. Its
// standard input is the pipe of the owner. Whether initdb runs or the server does, it is ended when the pipe closes, by a signal
// that is sent again until it works: what a shell puts in the background is deaf to it at first. The folder is removed in any
// case, and where something failed the end of the log is told.
const supervisor = `
dir=$1 bin=$2 locale=$3; shift 3
exec 3<&0 </dev/null
run() {
  "$@" >>"$dir/log" 2>&1 3<&- & child=$!
  (read -r _ <&3; while kill -QUIT $child; do sleep 0.1; done) >/dev/null 2>&1 & watcher=$!
  wait $child; status=$?
  kill $watcher 2>/dev/null
  return $status
}
run "$bin/initdb" -D "$dir/data" --username=postgres --auth=trust --no-sync --encoding=UTF8 --locale="$locale" &&
  run "$bin/postgres" -D "$dir/data" -k "$dir" "$@"
status=$?
[ $status -eq 0 ] || tail -n 40 "$dir/log" >&2
rm -rf "$dir" || { sleep 1; rm -rf "$dir"; }
exit $status
`

func (c *Cluster) launch(who *user, settings []string) error {
	args := []string{"-c", supervisor, "pgcluster", c.dir, c.bin, locale(), "-p", port}
	for _, s := range append(serverSettings(), settings...) {
		args = append(args, "-c", s)
	}
	cmd := exec.Command("/bin/sh", args...)
	c.prepare(cmd, who)
	c.said = &bytes.Buffer{}
	cmd.Stdout, cmd.Stderr = c.said, c.said
	pipe, err := cmd.StdinPipe()
	if err != nil {
		return err
	}
	if err := cmd.Start(); err != nil {
		return fmt.Errorf("pgcluster: supervisor: %w", err)
	}
	c.pipe, c.server = onceCloser{pipe}, cmd
	go func() {
		c.exit = cmd.Wait()
		close(c.done)
	}()
	return nil
}

func serverSettings() []string {
	return []string{
		"listen_addresses=", "unix_socket_permissions=0777", "max_connections=200",
		"fsync=off", "synchronous_commit=off", "full_page_writes=off",
		"wal_level=minimal", "max_wal_senders=0", "shared_buffers=32MB", "timezone=UTC",
	}
}

// await returns when the server says that it is ready, and fails when it ends before.
func (c *Cluster) await(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, readyAfter)
	defer cancel()
	tick := time.NewTicker(pollInterval)
	defer tick.Stop()
	for !ready(filepath.Join(c.dir, "data", "postmaster.pid")) {
		select {
		case <-tick.C:
		case <-c.done:
			return fmt.Errorf("pgcluster: the server ended before it was ready: %v\n%s", c.exit, c.said)
		case <-ctx.Done():
			return fmt.Errorf("pgcluster: the server is not ready: %w", ctx.Err())
		}
	}
	return nil
}

// ready reads the server's state from the eighth line of postmaster.pid, where pg_ctl reads it too.
func ready(pidFile string) bool {
	text, err := os.ReadFile(pidFile)
	if err != nil {
		return false
	}
	lines := strings.Split(string(text), "\n")
	return len(lines) >= 8 && strings.TrimSpace(lines[7]) == "ready"
}

// onceCloser hides os.ErrClosed: exec closes the pipe by itself when the supervisor ended first.
type onceCloser struct{ io.Closer }

func (o onceCloser) Close() error {
	if err := o.Closer.Close(); err != nil && !errors.Is(err, os.ErrClosed) {
		return err
	}
	return nil
}
