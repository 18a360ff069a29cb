package lanes

import (
	"runtime"
	"time"

	"golang.org/x/sync/semaphore"
)

// Lanes keep costly questions away from tagging: whatever is asked, an analyst
// never waits behind a board. Together they run less than the store has
// connections, so that nobody waits a second time for one of those.
type Lanes struct {
	Door, Ordinary, Count, Engine, Fixes, Live, Film, SignIn, Players *Lane

	had account // of what is done aside
}

// New makes the lanes of one server.
func New() *Lanes {
	engine := lane("engine", max(2, runtime.GOMAXPROCS(0)/2), 32, 10*time.Second, 8) // arithmetic: half of the processors
	engine.ofProgram, engine.each = 16, max(1, engine.Running/2)                     // one program never has all of them
	// what would cure a conflict: asked once an open page, and never behind boards and reports
	fixes := lane("fixes", 2, 32, 10*time.Second, 8)
	fixes.each = 1
	// one call against one picture, a few milliseconds: what is dragged is asked for at once or not
	// at all
	live := lane("live", 2, 16, 2*time.Second, 4)
	live.each = 1 // and one program never has both
	// as many as passwords are hashed at once; the share is of an address
	signIn := lane("sign_in", 2, 32, 10*time.Second, 12)
	signIn.each = 1
	// A hash runs on threads that its library starts, before everybody's boards: a flood of sign-ins
	// from one address gets a quarter of the processors' time.
	signIn.rest = 3
	return &Lanes{had: account{had: map[string]usage{}},
		// who asks: a look-up of a millisecond; more at once would only want connections that are
		// not there yet, which cost the database fifty times as much
		Door:     lane("door", 4, 256, 2*time.Second, 0),
		Ordinary: lane("ordinary", 20, 256, 5*time.Second, 16), // fewer than run: one person cannot hold them all
		Count:    lane("count", 4, 32, 10*time.Second, 8),
		Engine:   engine,
		Fixes:    fixes,
		Live:     live,
		Film:     lane("film", 200, 0, 0, 16), // lasts as long as somebody watches
		SignIn:   signIn,
		// a squad opens its link at once, from one address; what is dear in it is made once a minute
		Players: lane("players", 2, 128, 10*time.Second, 64),
	}
}

// lane is one in which so many run at once and so many wait at most so long; share is what
// one person may hold of it, 0 without bound.
func lane(name string, running, waiting int, wait time.Duration, share int) *Lane {
	return &Lane{Name: name, Running: running, waiting: waiting, wait: wait, share: share,
		slots: semaphore.NewWeighted(int64(running)), by: map[string]int{}, turns: map[string]*semaphore.Weighted{}}
}

// List is all of them, in the order they are told.
func (l *Lanes) List() []*Lane {
	return []*Lane{l.Door, l.Ordinary, l.Count, l.Engine, l.Fixes, l.Live, l.Film, l.SignIn, l.Players}
}
