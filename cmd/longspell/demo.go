package main

import (
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"os"

	"github.com/spf13/cobra"

	"longspell/internal/clock"
	"longspell/internal/config"
	"longspell/internal/demo"
	"longspell/internal/store"
	"longspell/internal/token"
)

func demoCommand() *cobra.Command {
	c := &cobra.Command{Use: "demo", Short: "Run everything on an embedded database with an invented region", Args: cobra.NoArgs}
	addr := c.Flags().String("addr", "127.0.0.1:8080", "HOST:PORT to listen on")
	dir := c.Flags().String("data", "", "folder for the demo's database (else a folder of its own in the user's cache)")
	c.RunE = func(c *cobra.Command, _ []string) error {
		out := c.OutOrStdout()
		fmt.Fprintln(out, "Longspell demo: an invented region. Nobody and nothing in it is real; it is made anew every day.")
		database, err := demoDatabase(c.Context(), *dir, clock.System{}, out)
		if err != nil {
			return err
		}
		st, err := store.Open(c.Context(), store.Config{URL: database})
		if err != nil {
			return err
		}
		defer st.Close()
		key, err := token.NewKey("demo")
		if err != nil {
			return err
		}
		host, err := demoURL(*addr)
		if err != nil {
			return err
		}
		r, err := assemble(st, []token.Key{key}, config.Settings{PublicURL: host}, slog.New(slog.NewJSONHandler(os.Stderr, &slog.HandlerOptions{Level: slog.LevelWarn})))
		if err != nil {
			return err
		}
		// The demo has one port, so its figures are there too; the service keeps them on an address of their own.
		mux := http.NewServeMux()
		mux.Handle("/metrics", r.metrics)
		mux.Handle("/", r.handler)
		r.handler, r.metrics = mux, nil
		return r.run(c.Context(), *addr, "", func(a net.Addr) {
			fmt.Fprintf(out, "  address   http://%s\n  password  %s   (for every account)\n", a, demo.Password)
			for _, who := range demoAccounts {
				fmt.Fprintf(out, "  sign in   %-24s %s\n", who.email, who.what)
			}
			fmt.Fprintln(out, "ready")
		})
	}
	return c
}

// demoAccounts are the accounts of the demo region, the most telling first.
var demoAccounts = []struct{ email, what string }{
	{"coach@demo.invalid", "coach of two squads: Tonight, This morning"},
	{"clublead@demo.invalid", "lead of the same club"},
	{"officer@demo.invalid", "region officer: every club, pseudonyms for names"},
	{"coach2@demo.invalid", "coach at a school that shares players with the club"},
	{"both@demo.invalid", "coach at two clubs, guardian at a third"},
	{"guardian@demo.invalid", "guardian of one child"},
}

// demoURL is the origin of the demo's own pages.
func demoURL(addr string) (*url.URL, error) {
	host, port, err := net.SplitHostPort(addr)
	if err != nil {
		return nil, fmt.Errorf("--addr %q: %w", addr, err)
	}
	if host == "" {
		return nil, errors.New("--addr needs a host: the demo is for this machine, so give 127.0.0.1:PORT")
	}
	return &url.URL{Scheme: "http", Host: net.JoinHostPort(host, port)}, nil
}
