package lanes

import (
	"syscall"
	"time"

	"golang.org/x/sys/unix"
)

// A thread is one of the machine's, by its number.
type thread int

func thisThread() thread { return thread(syscall.Gettid()) }

// yield puts a thread behind every other by so many steps of niceness more; where that is
// not allowed it stays where it is.
func (t thread) yield(steps int) {
	if now, err := t.nice(); err == nil {
		_ = syscall.Setpriority(syscall.PRIO_PROCESS, int(t), min(19, now+steps))
	}
}

// nice is how much later than others a thread comes.
func (t thread) nice() (int, error) {
	kept, err := syscall.Getpriority(syscall.PRIO_PROCESS, int(t)) // the system call counts from 20 down
	return 20 - kept, err
}

// time is the processor time that a thread has had.
func (t thread) time() time.Duration {
	const scheduled, ofThread = 2, 4 // how Linux numbers a thread's clock: ~number, then three bits
	var at unix.Timespec
	if unix.ClockGettime(int32(^int(t)<<3|ofThread|scheduled), &at) != nil {
		return 0
	}
	return time.Duration(at.Nano())
}
