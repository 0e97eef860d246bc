package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"longspell/internal/app"
	"longspell/internal/clock"
	"longspell/internal/config"
	"longspell/internal/domain"
	"longspell/internal/passwd"
	"longspell/internal/store"
)

func databaseFlag(c *cobra.Command) *string {
	return c.Flags().String("database", "", "where the data are: sqlite:FILE or postgres://… (else LONGSPELL_DATABASE)")
}

// settings reads the environment; what --database says comes before LONGSPELL_DATABASE.
func settings(database string) (config.Settings, error) {
	env := os.Environ()
	if database != "" {
		env = append(env, "LONGSPELL_DATABASE="+database)
	}
	return config.Read(env)
}

// office is the use cases on an open database, for the operator's commands.
type office struct {
	app   *app.App
	store *store.Store
}

func openOffice(ctx context.Context, database string) (*office, error) {
	set, err := settings(database)
	if err != nil {
		return nil, err
	}
	if set.Database == "" {
		return nil, errors.New("no database: set LONGSPELL_DATABASE (sqlite:FILE or postgres://…) or give --database")
	}
	st, err := store.Open(ctx, store.Config{URL: set.Database})
	if err != nil {
		return nil, err
	}
	hasher, err := passwd.New(passwd.Options{Pepper: set.Pepper})
	if err != nil {
		return nil, errors.Join(err, st.Close())
	}
	return &office{app: app.New(app.Deps{Store: app.Adapt(st), Clock: clock.System{}, Passwords: hasher}), store: st}, nil
}

func (o *office) Close() error { return o.store.Close() }

// region finds a region by id or by its exact name.
func (o *office) region(ctx context.Context, name string) (domain.Region, error) {
	all, err := o.app.Directory(ctx)
	if err != nil {
		return domain.Region{}, err
	}
	var names []string
	for _, r := range all {
		if string(r.ID) == strings.ToLower(name) || r.Name == name {
			return r, nil
		}
		names = append(names, fmt.Sprintf("%q", r.Name))
	}
	return domain.Region{}, fmt.Errorf("there is no region %q; there are: %s", name, strings.Join(names, ", "))
}

// withOffice opens the database, runs fn and closes it again.
func withOffice(ctx context.Context, database string, fn func(o *office) error) (err error) {
	o, err := openOffice(ctx, database)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, o.Close()) }()
	return fn(o)
}
