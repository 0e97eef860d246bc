package main

import (
	"context"
	"fmt"
	"log/slog"
	"net"
	"os"
	_ "time/tzdata" // regions have time zones, and an image from scratch has no file of them

	"github.com/spf13/cobra"

	"longspell/frontend"
	"longspell/internal/app"
	"longspell/internal/clock"
	"longspell/internal/config"
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

func serviceCommands() []*cobra.Command {
	return []*cobra.Command{serveCommand(), demoCommand(), healthCommand()}
}

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
		UseCases: a, Pages: tokens.Sealer("pages"), Clock: c, Log: log, Ready: st.Ready, WebApp: frontend.Dist(), PublicURL: set.PublicURL, TrustedProxies: set.TrustedProxies,
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
