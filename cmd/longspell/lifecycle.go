package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"

	"longspell/internal/overnight"
)

// Time limits of a connection and of stopping. A phone at the pitch sends slowly, but not for ever.
const (
	readHeaderTime = 10 * time.Second
	readTime       = 60 * time.Second
	writeTime      = 120 * time.Second
	idleTime       = 120 * time.Second
	balancerTime   = 5 * time.Second  // between "not ready" and taking no new work (production)
	inFlightTime   = 20 * time.Second // for requests that are under way when stopping
)

// running is a service that has been put together: it listens, runs the nights that are due, and stops in order.
type running struct {
	log       *slog.Logger
	handler   http.Handler
	metrics   http.Handler // nil = none
	drain     func()       // makes /readyz say no
	scheduler *overnight.Scheduler
	balancer  time.Duration
}

// run listens on addr (and metricsAddr) until ctx ends, then stops: first not ready, then no new work, then what is under way
// is let finish. ready is told the address once requests are answered.
func (r running) run(ctx context.Context, addr, metricsAddr string, ready func(net.Addr)) error {
	main, err := net.Listen("tcp", addr)
	if err != nil {
		return fmt.Errorf("cannot listen on %s: %w", addr, err)
	}
	servers := []*http.Server{server(r.handler)}
	failed := make(chan error, 2)
	serve := func(s *http.Server, l net.Listener) {
		if err := s.Serve(l); !errors.Is(err, http.ErrServerClosed) {
			failed <- err
		}
	}
	if r.metrics != nil && metricsAddr != "" {
		l, err := net.Listen("tcp", metricsAddr)
		if err != nil {
			return errors.Join(fmt.Errorf("cannot listen for metrics on %s: %w", metricsAddr, err), main.Close())
		}
		s := server(r.metrics)
		servers = append(servers, s)
		go serve(s, l)
	}
	go serve(servers[0], main)
	work, stopWork := context.WithCancel(context.WithoutCancel(ctx))
	defer stopWork()
	if err := r.scheduler.Start(work); err != nil {
		return err
	}
	ready(main.Addr())

	select {
	case err = <-failed:
	case <-ctx.Done():
		r.log.Info("stopping")
	}
	r.drain()
	if err == nil {
		time.Sleep(r.balancer)
	}
	stopWork() // a night under way gives up at its next chunk; the ledger has it run again
	r.scheduler.Stop()
	return errors.Join(err, shutDown(servers))
}

func server(h http.Handler) *http.Server {
	return &http.Server{Handler: h, ReadHeaderTimeout: readHeaderTime, ReadTimeout: readTime, WriteTimeout: writeTime, IdleTimeout: idleTime,
		MaxHeaderBytes: 32 << 10}
}

func shutDown(servers []*http.Server) error {
	ctx, cancel := context.WithTimeout(context.Background(), inFlightTime)
	defer cancel()
	var errs []error
	for _, s := range servers {
		errs = append(errs, s.Shutdown(ctx))
	}
	return errors.Join(errs...)
}
