package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"longspell/internal/config"
	"longspell/internal/domain"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
	"longspell/internal/token"
)

// A service from nothing, by the operator's own commands and then over the wire: migrate, make a region and an officer, start, sign
// in, read, stop.
func TestServiceFromNothing(t *testing.T) {
	database := "sqlite:" + filepath.Join(t.TempDir(), "new.db")
	t.Setenv("LONGSPELL_DATABASE", database)
	t.Setenv("LONGSPELL_OWNER_DATABASE", "")
	do := func(stdin string, args ...string) string {
		t.Helper()
		root := newRoot()
		var out bytes.Buffer
		root.SetOut(&out)
		root.SetIn(strings.NewReader(stdin))
		root.SetArgs(args)
		if err := root.ExecuteContext(t.Context()); err != nil {
			t.Fatalf("%v: %v", args, err)
		}
		return strings.TrimSpace(out.String())
	}
	do("", "migrate")
	region := do("", "region", "create", "Vale", "--time-zone", "Europe/London", "--limits", "ecb-2010")
	do("four plain words together\n", "account", "create", "officer@test.invalid", "--region", "Vale", "--name", "Officer")
	if got := do("", "overnight", "--date", "2026-01-01"); !strings.Contains(got, "0 notices opened") {
		t.Errorf("overnight: %s", got)
	}
	if got := do("", "overnight", "--date", "2026-01-01"); !strings.Contains(got, "done before") {
		t.Errorf("overnight again: %s", got)
	}

	base, stop := startService(t, database)
	for path, want := range map[string]int{"/healthz": 200, "/readyz": 200, "/openapi.yaml": 200, "/": 200, "/api/v1/me": 401} {
		res, err := http.Get(base + path)
		if err != nil {
			t.Fatal(err)
		}
		if _ = res.Body.Close(); res.StatusCode != want {
			t.Errorf("%s: %d, want %d", path, res.StatusCode, want)
		}
	}
	t.Setenv("LONGSPELL_ADDR", strings.TrimPrefix(base, "http://"))
	if got := do("", "health"); got != "ready" {
		t.Errorf("health: %s", got)
	}
	res, err := http.Post(base+"/api/v1/sign-in", "application/json", strings.NewReader(`{"email":"officer@test.invalid","password":"four plain words together"}`))
	if err != nil {
		t.Fatal(err)
	}
	var in struct{ AccessToken string }
	if err := json.NewDecoder(res.Body).Decode(&in); err != nil || res.StatusCode != http.StatusOK {
		t.Fatalf("sign-in: %d, %v", res.StatusCode, err)
	}
	_ = res.Body.Close()
	req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, base+"/api/v1/regions/"+region, nil)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Authorization", "Bearer "+in.AccessToken)
	res, err = http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	body, _ := io.ReadAll(res.Body)
	_ = res.Body.Close()
	if res.StatusCode != http.StatusOK || !strings.Contains(string(body), "Europe/London") {
		t.Errorf("region: %d %s", res.StatusCode, body)
	}
	if err := stop(); err != nil {
		t.Errorf("stopping: %v", err)
	}
	root := newRoot()
	root.SetArgs([]string{"health"})
	if err := root.ExecuteContext(t.Context()); err == nil {
		t.Error("a service that has stopped is called ready")
	}
}

// startService runs the service on a free port of the loopback address; stop ends it as a signal would and gives its error.
func startService(t *testing.T, database string) (base string, stop func() error) {
	t.Helper()
	st, err := store.Open(t.Context(), store.Config{URL: database})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = st.Close() })
	key, err := token.NewKey("test")
	if err != nil {
		t.Fatal(err)
	}
	r, err := assemble(st, []token.Key{key}, config.Settings{PublicURL: &url.URL{Scheme: "http", Host: "127.0.0.1"}}, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.WithoutCancel(t.Context()))
	ready, done := make(chan net.Addr, 1), make(chan error, 1)
	go func() { done <- r.run(ctx, "127.0.0.1:0", "", func(a net.Addr) { ready <- a }) }()
	select {
	case a := <-ready:
		base = "http://" + a.String()
	case err := <-done:
		cancel()
		t.Fatal(err)
	}
	return base, func() error {
		cancel()
		return <-done
	}
}

// There is nothing to fall back on: without a database, keys or an address that people type, serve does not start, and it says
// which settings are missing.
func TestServeRefusesToStart(t *testing.T) {
	for _, name := range []string{"LONGSPELL_DATABASE", "LONGSPELL_TOKEN_KEYS", "LONGSPELL_PUBLIC_URL"} {
		t.Setenv(name, "")
	}
	root := newRoot()
	root.SetArgs([]string{"serve"})
	err := root.ExecuteContext(t.Context())
	for _, name := range []string{"LONGSPELL_DATABASE", "LONGSPELL_TOKEN_KEYS", "LONGSPELL_PUBLIC_URL"} {
		if err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%s is not named: %v", name, err)
		}
	}
}

// serve does not take an invented region for a real one, on either database.
func TestServeRefusesDemoData(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, st *store.Store) {
		if err := noDemoData(t.Context(), st); err != nil {
			t.Fatalf("an empty database: %v", err)
		}
		r := domain.Region{ID: "00000000-0000-7000-8000-000000000001", Name: "Invented", TimeZone: "UTC", SeasonStartMonth: 4, SeasonStartDay: 1, Demo: true, CreatedAt: time.Unix(0, 0)}
		if err := st.CreateRegion(t.Context(), r); err != nil {
			t.Fatal(err)
		}
		if err := noDemoData(t.Context(), st); err == nil || !strings.Contains(err.Error(), "Invented") {
			t.Errorf("with the demo region: %v", err)
		}
	})
}

// A command that is not there is refused like an option that is not: one line, status 2, nothing on standard output.
func TestUnknownCommandIsRefused(t *testing.T) {
	t.Parallel()
	root := newRoot()
	var out, errs bytes.Buffer
	root.SetOut(&out)
	root.SetErr(&errs)
	root.SetArgs([]string{"chekc"})
	var done refused
	err := root.ExecuteContext(t.Context())
	if !errors.As(err, &done) || out.Len() != 0 || errs.String() != "longspell: command: \"chekc\": there is no such command; longspell --help lists them\n" {
		t.Errorf("%v; out %q; err %q", err, out.String(), errs.String())
	}
}
