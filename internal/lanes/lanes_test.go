package lanes

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"
)

func ready() error { return nil }

// TestLane: a lane never runs more than it may, lets nobody wait longer than it
// says, refuses what does not fit at once, keeps the order of arrival, and is empty
// in the end. The time is that of the bubble.
func TestLane(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := New().Count // 4 run, 32 wait for 10 s at most, 8 of one person
		var mu sync.Mutex
		var running, most int
		var order []int
		why := map[Refusal]int{}
		var wg sync.WaitGroup
		for i := range 100 {
			wg.Go(func() {
				leave, no, err := l.Enter(t.Context(), Party{Person: fmt.Sprint("person ", i%20)}, ready)
				mu.Lock()
				defer mu.Unlock()
				if why[no]++; no != "" || err != nil {
					return
				}
				order = append(order, i/4) // four get their turn together
				running++
				most = max(most, running)
				mu.Unlock()
				time.Sleep(3 * time.Second)
				mu.Lock()
				running--
				leave()
			})
			synctest.Wait() // one after another
		}
		wg.Wait()
		// Four every 3 s: at 0, 3, 6 and 9 s; who has not had his turn at 10 s is let go.
		if most != 4 || why[""] != 16 || why[TooSlow] != 20 || why[Full] != 64 || !slices.IsSorted(order) {
			t.Errorf("%d ran at once, answers %v, order %v; want 4, 16 answered, 20 too slow, 64 too many, in order", most, why,
				order)
		}
		if l.Inside() != 0 || len(l.by) != 0 {
			t.Errorf("%d are inside in the end: %v", l.Inside(), l.by)
		}
	})
}

// TestLaneShare: one person cannot hold all places, others come in.
func TestLaneShare(t *testing.T) {
	l := New().Count
	ctx, cancel := context.WithCancel(t.Context())
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			if leave, _, _ := l.Enter(ctx, Party{Person: "eager"}, ready); leave != nil {
				<-ctx.Done()
				leave()
			}
		})
	}
	for l.Inside() < 8 {
		runtime.Gosched()
	}
	if _, why, _ := l.Enter(ctx, Party{Person: "eager"}, ready); why != Shared {
		t.Errorf("the ninth place of one person: %q; want %q", why, Shared)
	}
	gone, leave := context.WithCancel(ctx)
	var waiter sync.WaitGroup
	waiter.Go(func() {
		if _, why, err := l.Enter(gone, Party{Person: "other"}, ready); why != TooSlow || err == nil {
			t.Errorf("the other waits until he goes away: %q %v", why, err)
		}
	})
	for l.Inside() < 9 {
		runtime.Gosched()
	}
	leave()
	waiter.Wait()
	cancel()
	wg.Wait()
	if l.Inside() != 0 || len(l.by) != 0 {
		t.Errorf("%d are inside in the end: %v", l.Inside(), l.by)
	}
}

// TestEngineShare: the people of one program never have all turns of the engine, nor
// all places: another program's question runs at once beside them.
func TestEngineShare(t *testing.T) {
	l := New().Engine
	ctx, cancel := context.WithCancel(t.Context())
	why := make(chan Refusal, 40)
	var wg sync.WaitGroup
	for i := range 20 {
		wg.Go(func() {
			leave, no, _ := l.Enter(ctx, Party{fmt.Sprint("hostile ", i), "theirs"}, ready)
			why <- no
			if leave != nil {
				<-ctx.Done()
				leave()
			}
		})
	}
	refused := 0
	for len(why) < 20-l.ofProgram+l.each {
		runtime.Gosched()
	}
	for range 20 - l.ofProgram + l.each {
		if <-why == Shared {
			refused++
		}
	}
	leave, no, err := l.Enter(ctx, Party{"coordinator", "ours"}, ready)
	if refused != 20-l.ofProgram || no != "" || err != nil {
		t.Fatalf("%d of 20 were refused, want %d; the other program's: %q %v", refused, 20-l.ofProgram, no, err)
	}
	leave()
	cancel()
	wg.Wait()
	if l.Inside() != 0 || len(l.by) != 0 || len(l.turns) != 0 {
		t.Errorf("%d are inside in the end: %v %v", l.Inside(), l.by, l.turns)
	}
}

// TestLanesFitThePool: requests that have their turn never wait for a connection.
func TestLanesFitThePool(t *testing.T) {
	l := New()
	const pool = 26 // postgres.Open
	if n := l.Ordinary.Running + l.Count.Running; n >= pool {
		t.Errorf("%d requests run at once on %d connections", n, pool)
	}
}

// TestSignInShare: one address never has all places of the door, nor both turns.
func TestSignInShare(t *testing.T) {
	l := New().SignIn
	var leave []func()
	out, why, err := l.Enter(t.Context(), Party{Person: "192.0.2.1"}, ready)
	if out == nil {
		t.Fatal(why, err)
	}
	leave = append(leave, out)
	for range l.share - 1 {
		if _, why := l.place(Party{Person: "192.0.2.1"}); why != "" {
			t.Fatal(why)
		}
	}
	if _, why := l.place(Party{Person: "192.0.2.1"}); why != Shared {
		t.Errorf("%q, want %q", why, Shared)
	}
	out, why, err = l.Enter(t.Context(), Party{Person: "192.0.2.2"}, ready)
	if out == nil {
		t.Fatalf("another address: %q %v", why, err)
	}
	out()
	leave[0]()
}

// TestSignInRests: an address that signs in again and again from one address has a quarter of the time,
// and keeps no other address waiting.
func TestSignInRests(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := New().SignIn
		const took = 100 * time.Millisecond
		sign := func(address string) {
			leave, why, err := l.Enter(t.Context(), Party{Person: address}, ready)
			if why != "" || err != nil {
				t.Fatalf("%s: %q, %v", address, why, err)
			}
			time.Sleep(took)
			leave()
		}
		begun := time.Now()
		for range 10 {
			sign("a")
		}
		if d := time.Since(begun); d != 9*4*took+took {
			t.Errorf("ten in a row took %v, want %v", d, 9*4*took+took)
		}
		begun = time.Now()
		sign("b")
		if d := time.Since(begun); d != took {
			t.Errorf("another address waited %v", d-took)
		}
		time.Sleep(longestRest)
		if l.Inside() != 0 {
			t.Errorf("%d are inside in the end", l.Inside())
		}
	})
}
