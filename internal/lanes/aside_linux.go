package lanes

import (
	"syscall"
	"time"
)

// yield puts the calling thread behind every other by so many steps of niceness; where that is
// not allowed it stays where it is.
func yield(steps int) {
	const self = 0
	kept, err := syscall.Getpriority(syscall.PRIO_PROCESS, self) // the system call counts from 20 down
	if err == nil {
		_ = syscall.Setpriority(syscall.PRIO_PROCESS, self, min(19, 20-kept+steps))
	}
}

// threadTime is the processor time of the calling thread.
func threadTime() time.Duration {
	const thread = 1 // RUSAGE_THREAD
	var r syscall.Rusage
	if syscall.Getrusage(thread, &r) != nil {
		return 0
	}
	return time.Duration(r.Utime.Nano() + r.Stime.Nano())
}
