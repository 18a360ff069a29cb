//go:build !linux

package lanes

import "time"

// yield is for machines that know niceness by thread.
func yield(int) {}

var started = time.Now()

// threadTime is the time that passes, where a thread's own cannot be told.
func threadTime() time.Duration { return time.Since(started) }
