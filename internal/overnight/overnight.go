// Package overnight ticks. A cron line in UTC wakes it every few minutes; which nights are still to be run is read from the
// ledger, per region and local date, so that missed ticks, daylight saving, several replicas and restarts change nothing.
//
// robfig/cron skips or doubles runs that are timed inside a changed hour of a local zone (tried: Europe/London 01:30 on 29
// March and 25 October 2026), so it only ever gives the tick.
package overnight

import (
	"context"
	"errors"
	"log/slog"
	"time"

	"github.com/robfig/cron/v3"

	"longspell/internal/app"
	"longspell/internal/clock"
	"longspell/internal/domain"
)

// Runner runs one local date of one region; app.App is one.
type Runner interface {
	Night(ctx context.Context, region domain.ID, date domain.Date, holder string, progress func(done int)) (app.NightReport, error)
	LastNight(ctx context.Context, region domain.ID) (domain.Date, error)
	Directory(ctx context.Context) ([]domain.Region, error)
}

// dayIsOver is how long after local midnight a day counts as over: late logs of the evening belong to it, and the notices
// are there long before anybody gets up.
const dayIsOver = 3 * time.Hour

// catchUp is the most nights that are run after a long time down; older days are looked at in the first of them.
const catchUp = 31

// tick is when the runner looks at the ledger.
const tick = "CRON_TZ=UTC */5 * * * *"

// Scheduler runs the nights that are due.
type Scheduler struct {
	runner Runner
	clock  clock.Clock
	holder string
	log    *slog.Logger
	cron   *cron.Cron
}

// New makes a scheduler; holder names this process in the lease.
func New(r Runner, c clock.Clock, holder string, log *slog.Logger) *Scheduler {
	return &Scheduler{runner: r, clock: c, holder: holder, log: log}
}

// Start looks at the ledger at once and then at every tick, until Stop.
func (s *Scheduler) Start(ctx context.Context) error {
	// The job itself recovers from a panic inside SkipIfStillRunning: the other way round a panic would keep its token and no
	// run would follow it.
	s.cron = cron.New(cron.WithLocation(time.UTC), cron.WithChain(cron.SkipIfStillRunning(cron.DiscardLogger), cron.Recover(panics{s.log})))
	job := cron.FuncJob(func() { s.Tick(ctx) })
	id, err := s.cron.AddJob(tick, job)
	if err != nil {
		return err
	}
	s.cron.Start()
	go s.cron.Entry(id).WrappedJob.Run()
	return nil
}

// Stop lets a running night end and starts no other.
func (s *Scheduler) Stop() {
	if s.cron != nil {
		<-s.cron.Stop().Done()
	}
}

// Tick runs every night that is due, region by region, oldest first. One region's failure does not stop the others.
func (s *Scheduler) Tick(ctx context.Context) {
	regions, err := s.runner.Directory(ctx)
	if err != nil {
		s.log.Error("overnight: the regions cannot be listed", "error", err)
		return
	}
	for _, r := range regions {
		if ctx.Err() != nil {
			return
		}
		s.region(ctx, r)
	}
}

func (s *Scheduler) region(ctx context.Context, r domain.Region) {
	last, err := s.runner.LastNight(ctx, r.ID)
	if err != nil {
		s.log.Error("overnight: the ledger cannot be read", "region", r.ID, "error", err)
		return
	}
	for _, d := range Due(s.clock.Now(), r, last) {
		rep, err := s.runner.Night(ctx, r.ID, d, s.holder, nil)
		switch {
		case errors.Is(err, app.ErrBusy):
			return
		case err != nil:
			s.log.Error("overnight: a night failed and will be tried again", "region", r.ID, "date", d.String(), "error", err)
			return
		case !rep.Already:
			s.log.Info("overnight: done", "region", r.ID, "date", d.String(), "players", rep.Players, "opened", rep.Opened)
		}
	}
}

// Due lists the local dates of a region that are over at the instant now and come after the last one done, oldest first. A
// region without any starts with yesterday; after a long time down at most catchUp nights are run.
func Due(now time.Time, r domain.Region, last domain.Date) []domain.Date {
	over := domain.DateOf(now.Add(-dayIsOver), r.Location()).AddDays(-1)
	first := last.AddDays(1)
	if last.IsZero() {
		first = over
	}
	if earliest := over.AddDays(1 - catchUp); first.Before(earliest) {
		first = earliest
	}
	var out []domain.Date
	for d := first; !d.After(over); d = d.AddDays(1) {
		out = append(out, d)
	}
	return out
}

// panics writes a recovered panic to the log, the way cron asks for it.
type panics struct{ log *slog.Logger }

func (p panics) Info(msg string, kv ...any) { p.log.Debug("overnight: "+msg, kv...) }
func (p panics) Error(err error, msg string, kv ...any) {
	p.log.Error("overnight: "+msg, append(kv, "error", err)...)
}
