package httpapi

import (
	"fmt"
	"math"
	"net/netip"
	"sync"
	"time"

	"github.com/gin-gonic/gin"
	"golang.org/x/time/rate"

	"longspell/internal/domain"
)

// Rate is how often something may happen: Burst at once, then PerSecond.
type Rate struct {
	PerSecond float64
	Burst     int
}

// Rates are the limits on requests. A zero Rate is the usual one.
type Rates struct {
	Source  Rate // one network address, all its people together: a whole club may share one
	Account Rate // one signed-in person, on all devices
	SignIn  Rate // attempts to sign in from one network address
}

// usualRates leave room for thirty phones behind one router on a club night, and for an app that sends a weekend's taps at once.
var usualRates = Rates{
	Source:  Rate{PerSecond: 50, Burst: 400},
	Account: Rate{PerSecond: 10, Burst: 120},
	SignIn:  Rate{PerSecond: 0.5, Burst: 30},
}

func (r Rates) orUsual() Rates {
	pick := func(have, usual Rate) Rate {
		if have == (Rate{}) {
			return usual
		}
		return have
	}
	return Rates{pick(r.Source, usualRates.Source), pick(r.Account, usualRates.Account), pick(r.SignIn, usualRates.SignIn)}
}

// mostBuckets bounds the memory of one limit; whoever comes when it is full shares one bucket.
const mostBuckets = 20_000

// limit holds one token bucket for each caller.
type limit struct {
	name string
	rate Rate

	mu       sync.Mutex
	buckets  map[string]*rate.Limiter
	overflow *rate.Limiter
}

func newLimit(name string, r Rate) *limit {
	return &limit{name: name, rate: r, buckets: map[string]*rate.Limiter{}, overflow: r.limiter()}
}

func (r Rate) limiter() *rate.Limiter { return rate.NewLimiter(rate.Limit(r.PerSecond), r.Burst) }

func (l *limit) bucket(key string, now time.Time) *rate.Limiter {
	l.mu.Lock()
	defer l.mu.Unlock()
	if b := l.buckets[key]; b != nil {
		return b
	}
	if len(l.buckets) >= mostBuckets {
		l.forgetIdle(now)
	}
	if len(l.buckets) >= mostBuckets {
		return l.overflow
	}
	b := l.rate.limiter()
	l.buckets[key] = b
	return b
}

// forgetIdle drops the buckets that are full again: a new one would be the same.
func (l *limit) forgetIdle(now time.Time) {
	for key, b := range l.buckets {
		if b.TokensAt(now) >= float64(l.rate.Burst) {
			delete(l.buckets, key)
		}
	}
}

// take lets one request through or refuses it, and says in both cases how much is left (Internet-Draft "RateLimit header fields for
// HTTP", IETF httpapi).
func (l *limit) take(c *gin.Context, key string, now time.Time) error {
	b := l.bucket(key, now)
	ok := b.AllowN(now, 1)
	left := b.TokensAt(now)
	full := math.Ceil((float64(l.rate.Burst) - left) / l.rate.PerSecond)
	c.Header("RateLimit-Policy", fmt.Sprintf("%q;q=%d;w=%d", l.name, l.rate.Burst, int(math.Ceil(float64(l.rate.Burst)/l.rate.PerSecond))))
	c.Header("RateLimit", fmt.Sprintf("%q;r=%d;t=%d", l.name, max(int(left), 0), int(full)))
	if ok {
		return nil
	}
	wait := time.Duration((1 - left) / l.rate.PerSecond * float64(time.Second))
	return &domain.Error{Kind: domain.KindTooMany, Code: "too_many_requests", RetryAfter: max(wait, time.Second),
		Message: "Too many requests in a short time. Wait a moment, then go on."}
}

// source is the network that a request comes from: the address, of IPv6 the /64 that one household has.
func source(c *gin.Context) string {
	a, err := netip.ParseAddr(c.ClientIP())
	if err != nil {
		return "unknown"
	}
	a = a.Unmap()
	if a.Is4() {
		return a.String()
	}
	p, err := a.WithZone("").Prefix(64)
	if err != nil {
		return "unknown"
	}
	return p.String()
}
