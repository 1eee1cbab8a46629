//go:build unix

package dbtest

import (
	"syscall"
	"time"
)

// Processor is the processor's time this program has used so far: on a busy
// machine the clock says little.
func Processor() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
