package door

import (
	ring "container/list"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"sync"
	"time"

	"github.com/labstack/echo/v4"

	"overhang/internal/staff"
)

// What the brake allows: some tries at once, then a wait that doubles with each. It is
// far above what somebody who mistypes meets, and far below what guesses.
const (
	freeTries   = 5
	firstWait   = 2 * time.Second
	longestWait = 15 * time.Minute
	remembers   = time.Hour // after the last try
	mostTracked = 20_000    // pairs: some 4 MB
)

// A brake slows down who tries passwords, by login and address together: nobody locks
// another's login, or an address for everybody behind it. What it keeps is hashed under
// a key of this run, and bounded: the pair that was tried longest ago goes first.
type brake struct {
	open  bool // nobody waits: for tests alone
	key   [32]byte
	mu    sync.Mutex
	pairs map[[32]byte]*ring.Element // of *tried
	order *ring.List                 // the latest first
}

type tried struct {
	pair        [32]byte
	n           int
	last, until time.Time
}

func newBrake() *brake {
	b := &brake{pairs: map[[32]byte]*ring.Element{}, order: ring.New()}
	rand.Read(b.key[:]) // never fails: it ends the program instead
	return b
}

// try counts a try and says how long they have to wait before one counts again; 0: go on.
// A try that has to wait is not counted, so that a wait ends.
func (b *brake) try(login, address string) time.Duration {
	if b.open {
		return 0
	}
	pair, now := b.pair(login, address), time.Now()
	b.mu.Lock()
	defer b.mu.Unlock()
	e := b.entry(pair)
	t := e.Value.(*tried)
	if now.Sub(t.last) > remembers {
		t.n = 0
	}
	if wait := t.until.Sub(now); wait > 0 {
		return wait
	}
	t.n, t.last = t.n+1, now
	if over := t.n - freeTries; over >= 0 {
		t.until = now.Add(min(longestWait, firstWait<<min(over, 10)))
	}
	b.order.MoveToFront(e)
	return 0
}

// entry finds or begins the memory of a pair; the one not tried for longest makes room.
func (b *brake) entry(pair [32]byte) *ring.Element {
	e := b.pairs[pair]
	if e == nil {
		if len(b.pairs) >= mostTracked {
			b.forget(b.order.Back())
		}
		e = b.order.PushFront(&tried{pair: pair})
		b.pairs[pair] = e
	}
	return e
}

// fits forgets the tries of who knew the password in the end.
func (b *brake) fits(login, address string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.forget(b.pairs[b.pair(login, address)])
}

func (b *brake) forget(e *ring.Element) {
	if e != nil {
		delete(b.pairs, e.Value.(*tried).pair)
		b.order.Remove(e)
	}
}

func (b *brake) pair(login, address string) (out [32]byte) {
	h := hmac.New(sha256.New, b.key[:])
	h.Write([]byte(staff.Known(login[:min(len(login), staff.LongestLogin)]))) // however it is typed
	h.Write([]byte{0})
	h.Write([]byte(Network(address)))
	h.Sum(out[:0])
	return out
}

// Slow refuses a password that is tried too soon after too many, wherever it is tried.
func (d *Door) Slow(c echo.Context, login string) error {
	wait := d.brake.try(login, c.RealIP())
	if wait == 0 {
		return nil
	}
	wait = wait.Round(time.Second) + time.Second
	return TooMany(c, wait, "too many tries: wait "+wait.String())
}

// Fits forgets the tries of who knew the password in the end.
func (d *Door) Fits(c echo.Context, login string) { d.brake.fits(login, c.RealIP()) }

// Nameless is a person in the log: the same for all they do while the server runs, and
// nobody's name. Empty where nobody has signed in.
func (d *Door) Nameless(c echo.Context) string {
	w := Visitor(c)
	if w == nil || d.Keys == nil {
		return ""
	}
	h := hmac.New(sha256.New, d.brake.key[:])
	h.Write(w.ID[:])
	return hex.EncodeToString(h.Sum(nil)[:6])
}
