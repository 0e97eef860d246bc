// Package clock is the only place that asks what time it is. Everything else is given a Clock, or a date.
package clock

import (
	"sync"
	"time"
)

// Clock tells the instant, UTC, whole microseconds (what both databases keep).
type Clock interface {
	Now() time.Time
}

// System is the machine's clock.
type System struct{}

// Now returns the present instant in UTC, cut to microseconds.
func (System) Now() time.Time { return time.Now().UTC().Truncate(time.Microsecond) }

// Fixed is a clock that stands still until it is moved; for tests and the rehearsal of a season.
type Fixed struct {
	mu sync.Mutex
	t  time.Time
}

// NewFixed starts at t.
func NewFixed(t time.Time) *Fixed { return &Fixed{t: t.UTC().Truncate(time.Microsecond)} }

// Now returns the instant that was set last.
func (f *Fixed) Now() time.Time {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.t
}

// Set moves the clock to t.
func (f *Fixed) Set(t time.Time) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.t = t.UTC().Truncate(time.Microsecond)
}

// Advance moves the clock by d.
func (f *Fixed) Advance(d time.Duration) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.t = f.t.Add(d)
}
