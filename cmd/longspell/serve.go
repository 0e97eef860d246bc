package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"os"
	_ "time/tzdata" // regions have time zones, and an image from scratch has no file of them

	"github.com/spf13/cobra"

	"longspell/frontend"
	"longspell/internal/app"
	"longspell/internal/clock"
	"longspell/internal/config"
	"longspell/internal/demo"
	"longspell/internal/domain"
	"longspell/internal/httpapi"
	"longspell/internal/overnight"
	"longspell/internal/passwd"
	"longspell/internal/store"
	"longspell/internal/token"
)

var (
	_ app.RegionStore[*store.Tx] = (*store.Store)(nil)
	_ app.Tokens                 = (*token.Issuer)(nil)
	_ app.Passwords              = (*passwd.Hasher)(nil)
	_ httpapi.UseCases           = (*app.App)(nil)
	_ overnight.Runner           = (*app.App)(nil)
)

func serviceCommands() []*cobra.Command { return []*cobra.Command{serveCommand(), demoCommand()} }

func serveCommand() *cobra.Command {
	c := &cobra.Command{Use: "serve", Short: "Run the service; settings come from the environment (deploy/env.example)", Args: cobra.NoArgs}
	c.RunE = func(c *cobra.Command, _ []string) error {
		set, err := settings("")
		if err != nil {
			return err
		}
		if err := set.ForServe(); err != nil {
			return err
		}
		log := slog.New(slog.NewJSONHandler(os.Stderr, nil))
		st, err := store.Open(c.Context(), store.Config{URL: set.Database})
		if err != nil {
			return err
		}
		defer st.Close()
		if err := noDemoData(c.Context(), st); err != nil {
			return err
		}
		keys := make([]token.Key, 0, len(set.TokenKeys))
		for _, k := range set.TokenKeys {
			keys = append(keys, token.Key{ID: k.ID, Secret: k.Secret})
		}
		r, err := assemble(st, keys, set, log)
		if err != nil {
			return err
		}
		r.balancer = balancerTime
		return r.run(c.Context(), set.Addr, set.MetricsAddr, func(a net.Addr) { log.Info("ready", "address", a.String()) })
	}
	return c
}

// noDemoData refuses to serve a database that holds an invented region: nobody may take it for their own.
func noDemoData(ctx context.Context, st *store.Store) error {
	all, err := st.Regions(ctx)
	if err != nil {
		return err
	}
	for _, r := range all {
		if r.Demo {
			return fmt.Errorf("the database holds the demo region %q: serve refuses it; use an empty database", r.Name)
		}
	}
	return nil
}

// assemble puts the service together on an open database.
func assemble(st *store.Store, keys []token.Key, set config.Settings, log *slog.Logger) (running, error) {
	c := clock.System{}
	tokens, err := token.New(keys, c)
	if err != nil {
		return running{}, err
	}
	hasher, err := passwd.New(passwd.Options{Pepper: set.Pepper})
	if err != nil {
		return running{}, err
	}
	a := app.New(app.Deps{Store: app.Adapt(st), Clock: c, Tokens: tokens, Passwords: hasher})
	api, err := httpapi.New(httpapi.Options{
		UseCases: a, Clock: c, Log: log, Ready: st.Ready, WebApp: frontend.Dist(), PublicURL: set.PublicURL, TrustedProxies: set.TrustedProxies,
		Verify: func(t string) (account, login domain.ID, err error) {
			claims, err := tokens.Verify(t)
			return claims.Account, claims.Login, err
		},
	})
	if err != nil {
		return running{}, err
	}
	return running{log: log, handler: api.Handler(), metrics: api.MetricsHandler(), drain: api.Drain,
		scheduler: overnight.New(a, c, holderName(), log)}, nil
}

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
