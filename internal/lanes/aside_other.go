//go:build !linux

package lanes

import "time"

// A thread is one of the machine's, where niceness is known by thread.
type thread struct{}

func thisThread() thread { return thread{} }

func (thread) yield(int) {}

func (thread) nice() (int, error) { return 0, nil }

var started = time.Now()

// time is what passes, where a thread's own cannot be told.
func (thread) time() time.Duration { return time.Since(started) }
