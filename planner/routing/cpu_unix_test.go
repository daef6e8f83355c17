//go:build unix

package routing_test

import (
	"syscall"
	"time"
)

// cpuTime is the processor time this process has used, in user and in kernel mode: on a busy
// machine the clock says how long one waited, this how much was done.
func cpuTime() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
