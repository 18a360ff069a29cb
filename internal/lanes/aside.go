package lanes

import (
	"cmp"
	"fmt"
	"math"
	"net/http"
	"runtime"
	"runtime/debug"
	"sync"
	"time"
)

// Work that lasts (the engine's) is done aside: on a thread of its own
// that the machine runs after every other, so that an analyst's play, and the database that
// stores it, never wait for a board. Whose program has had more of the processors lately
// comes later still, and so does what has lasted long already: a board of a fifth of a second
// passes a search of three.
const (
	// How much later, in steps of the machine's scheduler: what somebody drags and looks at,
	// who is seldom here, what lasts, and who has had more than a fair part, dragging too.
	atOnce, seldom, lasting, often = 0, 4, 9, 13
	// The part: so much processor time within so long, with older time counting less.
	fair   = 3 * time.Second
	lately = 10 * time.Second
	// So much processor time of one piece of work is long, and so much is very long.
	long, veryLong = 300 * time.Millisecond, time.Second
	look           = 100 * time.Millisecond // how often that is looked at
)

// An account says how much processor time everybody had lately.
type account struct {
	mu  sync.Mutex
	had map[string]usage
}

type usage struct {
	time time.Duration // as it counted at
	at   time.Time
}

func (u usage) now(now time.Time) time.Duration {
	return time.Duration(float64(u.time) * math.Exp(-float64(now.Sub(u.at))/float64(lately)))
}

// later is how much later somebody's work is done than everything else; usual is for who has
// had no more than their part.
func (a *account) later(who string, usual int) int {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.had[who].now(time.Now()) > fair {
		return often
	}
	return usual
}

// charge notes what somebody has had; one who had nothing for long is forgotten.
func (a *account) charge(who string, took time.Duration) {
	a.mu.Lock()
	defer a.mu.Unlock()
	now := time.Now()
	a.had[who] = usage{a.had[who].now(now) + took, now}
	if len(a.had) > 1000 {
		for k, u := range a.had {
			if u.now(now) < time.Millisecond {
				delete(a.had, k)
			}
		}
	}
}

// Lasts reports whether what runs in a lane is to be done aside.
func (l *Lanes) Lasts(of *Lane) bool { return of == l.Engine || of == l.Fixes || of == l.Live }

// Aside does somebody's work of a lane on a thread of its own and returns when it is done. A
// panic is the caller's.
func (l *Lanes) Aside(of *Lane, who Party, work func() error) error {
	usual := seldom
	if of == l.Live {
		usual = atOnce
	}
	return l.had.aside(cmp.Or(who.Program, who.Person), usual, work)
}

func (a *account) aside(who string, usual int, work func() error) (err error) {
	var broke any
	done := make(chan struct{})
	go func() {
		defer close(done)
		defer func() {
			if broke = recover(); broke != nil && broke != http.ErrAbortHandler {
				broke = fmt.Errorf("%v\n%s", broke, debug.Stack())
			}
		}()
		runtime.LockOSThread() // for good: the thread ends with its work, since its place cannot be taken back
		self := thisThread()
		before, steps := self.time(), a.later(who, usual)
		self.yield(steps)
		defer func() { a.charge(who, self.time()-before) }()
		defer self.watch(before, steps)()
		err = work()
	}()
	<-done
	if broke != nil {
		panic(broke)
	}
	return err
}

// watch makes a thread come later the longer its work lasts, until the caller ends it; before
// is the processor time that the thread had when the work began, steps how much later it began.
func (t thread) watch(before time.Duration, steps int) (end func()) {
	over, ended := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(ended)
		tick := time.NewTicker(look)
		defer tick.Stop()
		for steps < often {
			select {
			case <-over:
				return
			case <-tick.C:
			}
			if now := later(t.time()-before, steps); now != steps {
				t.yield(now - steps)
				steps = now
			}
		}
	}()
	return func() { close(over); <-ended } // its number may be another's once the thread has ended
}

// later is how much later work comes that took so long already.
func later(took time.Duration, steps int) int {
	switch {
	case took >= veryLong:
		return often
	case took >= long:
		return max(steps, lasting)
	}
	return steps
}

// Threads is how many threads do such work at once, a board on all cores: as many processors more than the machine has
// should be told to the runtime (GOMAXPROCS), since each of them holds one while the machine
// runs another thread.
func Threads() int {
	l := New()
	return l.Engine.Running*runtime.NumCPU() + l.Fixes.Running + l.Live.Running
}
