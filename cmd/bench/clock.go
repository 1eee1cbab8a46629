package main

import (
	"context"
	"syscall"
	"time"
)

// clock is the time this process has computed, on all cores together, which
// other programs on the machine do not stretch.
func clock() time.Duration {
	var r syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
		return 0
	}
	return time.Duration(r.Utime.Nano() + r.Stime.Nano())
}

// wall is the time on the wall, from no moment in particular.
func wall() time.Duration { return time.Since(began) }

var began = time.Now()

// untilClock ends a context when so much more has passed on a clock.
func untilClock(ctx context.Context, clock func() time.Duration, more time.Duration) (context.Context, context.CancelFunc) {
	ctx, stop := context.WithCancel(ctx)
	end := clock() + more
	go func() {
		tick := time.NewTicker(5 * time.Millisecond)
		defer tick.Stop()
		for {
			select {
			case <-ctx.Done():
				return
			case <-tick.C:
				if clock() >= end {
					stop()
					return
				}
			}
		}
	}()
	return ctx, stop
}
