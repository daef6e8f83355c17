package signin

import (
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// Limit is how often something may be tried: a few at once, then one every so often.
type Limit struct {
	Burst int
	Every time.Duration
}

// Limits counts tries by whom they concern: an account, an address. It is safe for concurrent use.
type Limits struct {
	limit Limit
	now   func() time.Time
	mu    sync.Mutex
	by    map[string]*rate.Limiter
}

// NewLimits makes a counter.
func NewLimits(limit Limit, now func() time.Time) *Limits {
	return &Limits{limit: limit, now: now, by: map[string]*rate.Limiter{}}
}

// maxCounted bounds the memory that strangers can make us use. What is full again is forgotten; if that is not enough,
// everything is.
const maxCounted = 20_000

// Try counts a try and reports whether it is allowed, and if not, when one will be.
func (l *Limits) Try(key string) (ok bool, wait time.Duration) {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := l.now()
	limiter := l.by[key]
	if limiter == nil {
		if len(l.by) >= maxCounted {
			l.sweep(now)
		}
		limiter = rate.NewLimiter(rate.Every(l.limit.Every), l.limit.Burst)
		l.by[key] = limiter
	}
	r := limiter.ReserveN(now, 1)
	if wait = r.DelayFrom(now); wait > 0 {
		r.CancelAt(now) // a try that was not made costs nothing
		return false, wait
	}
	return true, 0
}

func (l *Limits) sweep(now time.Time) {
	for key, limiter := range l.by {
		if limiter.TokensAt(now) >= float64(l.limit.Burst) {
			delete(l.by, key)
		}
	}
	if len(l.by) >= maxCounted {
		clear(l.by)
	}
}
