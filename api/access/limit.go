package access

import (
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// Limit is how often something may be done: Burst at once, then Per second.
type Limit struct {
	Per   float64
	Burst int
}

// Limits counts for each of many names, and forgets those that have been quiet
// long enough to have their whole burst back. It is safe for use by many
// goroutines.
type Limits struct {
	limit Limit
	most  int
	mu    sync.Mutex
	names map[string]*rate.Limiter
}

// NewLimits counts for up to most names; more share one count.
func NewLimits(l Limit, most int) *Limits {
	return &Limits{limit: l, most: most, names: map[string]*rate.Limiter{}}
}

// Take counts one for a name at a moment. When it is too much, wait is how long
// until one is free again.
func (l *Limits) Take(name string, now time.Time) (wait time.Duration, ok bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	r := l.names[name]
	if r == nil {
		if len(l.names) >= l.most {
			l.forget(now)
		}
		if len(l.names) >= l.most {
			name = "" // a flood of names is one name
			r = l.names[name]
		}
	}
	if r == nil {
		r = rate.NewLimiter(rate.Limit(l.limit.Per), l.limit.Burst)
		l.names[name] = r
	}
	if r.AllowN(now, 1) {
		return 0, true
	}
	return time.Duration((1 - r.TokensAt(now)) / l.limit.Per * float64(time.Second)), false
}

// Free says whether Take would do, and counts nothing.
func (l *Limits) Free(name string, now time.Time) (wait time.Duration, ok bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	r := l.names[name]
	if r == nil {
		return 0, true
	}
	if have := r.TokensAt(now); have < 1 {
		return time.Duration((1 - have) / l.limit.Per * float64(time.Second)), false
	}
	return 0, true
}

func (l *Limits) forget(now time.Time) {
	for name, r := range l.names {
		if r.TokensAt(now) >= float64(l.limit.Burst) {
			delete(l.names, name)
		}
	}
}
