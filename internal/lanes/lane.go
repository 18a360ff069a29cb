package lanes

import (
	"context"
	"sync"
	"time"

	"golang.org/x/sync/semaphore"
)

// A Lane is a bounded queue in front of one kind of work: so many requests run,
// so many wait, for so long, and nobody holds more than their share of the places.
// What does not fit is refused at once: a queue that grows helps nobody, since
// a client that waits in it has given up before its turn.
type Lane struct {
	Name    string
	Running int           // at once
	waiting int           // at most
	wait    time.Duration // at most
	share   int           // of one person who is known, running and waiting
	// Where what runs can last, it is shared out as well: so many places of the people
	// of one program together, and so many of a person's or a program's run at once.
	ofProgram, each int // 0: any
	// A person's turn comes again so many times as long later as the last one took.
	rest int

	slots *semaphore.Weighted // first come, first served
	mu    sync.Mutex
	all   int
	by    map[string]int                 // places, by person and by program
	turns map[string]*semaphore.Weighted // of those who have a place, where each is not 0
}

// A Party is for whom a request takes a place; a name is "" when nobody knows it.
type Party struct{ Person, Program string }

// names are the keys a party counts under.
func (p Party) names() (out []string) {
	if p.Person != "" {
		out = append(out, "person "+p.Person)
	}
	if p.Program != "" {
		out = append(out, "program "+p.Program)
	}
	return out
}

// A Refusal says which bound of a lane a request met.
type Refusal string

const (
	Full     Refusal = "full"  // as many wait as may
	TooSlow  Refusal = "slow"  // its turn did not come
	Shared   Refusal = "share" // the same person has enough places
	TooOften Refusal = "rate"  // the same person asks too often
)

// Enter takes a place, lets the request get ready and waits for a turn; leave gives
// both back. A request that was not let in is told why, or has an error of its own.
func (l *Lane) Enter(ctx context.Context, who Party, ready func() error) (leave func(), why Refusal, err error) {
	turns, why := l.place(who)
	if why != "" {
		return nil, why, nil
	}
	if err := ready(); err != nil {
		l.free(who)
		return nil, "", err
	}
	var wait context.Context  // begun where there is something to wait for
	for i, s := range turns { // their own first: who waits for those keeps nobody else waiting
		if s.TryAcquire(1) {
			continue
		}
		if wait == nil {
			var cancel context.CancelFunc
			wait, cancel = context.WithTimeout(ctx, l.wait)
			defer cancel()
		}
		if s.Acquire(wait, 1) != nil {
			release(turns[:i])
			l.free(who)
			return nil, TooSlow, ctx.Err()
		}
	}
	begun := time.Now()
	return func() { l.leave(turns, who, time.Since(begun)) }, "", nil
}

// longestRest is how long somebody's turn rests at most.
const longestRest = 2 * time.Second

// leave gives a turn in the lane back at once, and somebody's own once it has rested.
func (l *Lane) leave(turns []*semaphore.Weighted, who Party, took time.Duration) {
	own := len(turns) - 1
	release(turns[own:])
	back := func() { release(turns[:own]); l.free(who) }
	if l.rest == 0 || own == 0 {
		back()
		return
	}
	time.AfterFunc(min(time.Duration(l.rest)*took, longestRest), back)
}

func release(turns []*semaphore.Weighted) {
	for _, s := range turns {
		s.Release(1)
	}
}

// place takes a place in the lane for somebody and says whose turns they have to wait for.
func (l *Lane) place(who Party) (turns []*semaphore.Weighted, why Refusal) {
	l.mu.Lock()
	defer l.mu.Unlock()
	names := who.names()
	switch {
	case who.Person != "" && l.share > 0 && l.by["person "+who.Person] >= l.share:
		return nil, Shared
	case who.Program != "" && l.ofProgram > 0 && l.by["program "+who.Program] >= l.ofProgram:
		return nil, Shared
	case l.all >= l.Running+l.waiting:
		return nil, Full
	}
	l.all++
	for _, n := range names {
		l.by[n]++
		if l.each == 0 {
			continue
		}
		if l.turns[n] == nil {
			l.turns[n] = semaphore.NewWeighted(int64(l.each))
		}
		turns = append(turns, l.turns[n])
	}
	return append(turns, l.slots), ""
}

func (l *Lane) free(who Party) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.all--
	for _, n := range who.names() {
		if l.by[n]--; l.by[n] == 0 {
			delete(l.by, n)
			delete(l.turns, n)
		}
	}
}

// Inside is how many run and wait.
func (l *Lane) Inside() int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.all
}
