package httpapi

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/getkin/kin-openapi/openapi3"

	"overhang/api"
	"overhang/internal/door"
)

func ready() error { return nil }

// TestLane: a lane never runs more than it may, lets nobody wait longer than it
// says, refuses what does not fit at once, keeps the order of arrival, and is empty
// in the end. The time is that of the bubble.
func TestLane(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := newLanes().count // 4 run, 32 wait for 10 s at most, 8 of one person
		var mu sync.Mutex
		var running, most int
		var order []int
		why := map[refusal]int{}
		var wg sync.WaitGroup
		for i := range 100 {
			wg.Go(func() {
				leave, no, err := l.enter(t.Context(), party{person: fmt.Sprint("person ", i%20)}, ready)
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
		if most != 4 || why[""] != 16 || why[tooSlow] != 20 || why[isFull] != 64 || !slices.IsSorted(order) {
			t.Errorf("%d ran at once, answers %v, order %v; want 4, 16 answered, 20 too slow, 64 too many, in order", most, why,
				order)
		}
		if l.inside() != 0 || len(l.by) != 0 {
			t.Errorf("%d are inside in the end: %v", l.inside(), l.by)
		}
	})
}

// TestLaneShare: one person cannot hold all places, others come in.
func TestLaneShare(t *testing.T) {
	l := newLanes().count
	ctx, cancel := context.WithCancel(t.Context())
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			if leave, _, _ := l.enter(ctx, party{person: "eager"}, ready); leave != nil {
				<-ctx.Done()
				leave()
			}
		})
	}
	for l.inside() < 8 {
		runtime.Gosched()
	}
	if _, why, _ := l.enter(ctx, party{person: "eager"}, ready); why != isShared {
		t.Errorf("the ninth place of one person: %q; want %q", why, isShared)
	}
	gone, leave := context.WithCancel(ctx)
	var waiter sync.WaitGroup
	waiter.Go(func() {
		if _, why, err := l.enter(gone, party{person: "other"}, ready); why != tooSlow || err == nil {
			t.Errorf("the other waits until he goes away: %q %v", why, err)
		}
	})
	for l.inside() < 9 {
		runtime.Gosched()
	}
	leave()
	waiter.Wait()
	cancel()
	wg.Wait()
	if l.inside() != 0 || len(l.by) != 0 {
		t.Errorf("%d are inside in the end: %v", l.inside(), l.by)
	}
}

// TestEngineShare: the people of one program never have all turns of the engine, nor
// all places: another program's question runs at once beside them.
func TestEngineShare(t *testing.T) {
	l := newLanes().engine
	ctx, cancel := context.WithCancel(t.Context())
	why := make(chan refusal, 40)
	var wg sync.WaitGroup
	for i := range 20 {
		wg.Go(func() {
			leave, no, _ := l.enter(ctx, party{fmt.Sprint("hostile ", i), "theirs"}, ready)
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
		if <-why == isShared {
			refused++
		}
	}
	leave, no, err := l.enter(ctx, party{"coordinator", "ours"}, ready)
	if refused != 20-l.ofProgram || no != "" || err != nil {
		t.Fatalf("%d of 20 were refused, want %d; the other program's: %q %v", refused, 20-l.ofProgram, no, err)
	}
	leave()
	cancel()
	wg.Wait()
	if l.inside() != 0 || len(l.by) != 0 || len(l.turns) != 0 {
		t.Errorf("%d are inside in the end: %v %v", l.inside(), l.by, l.turns)
	}
}

// TestLanesFitThePool: requests that have their turn never wait for a connection.
func TestLanesFitThePool(t *testing.T) {
	l := newLanes()
	const pool = 26 // postgres.Open
	if n := l.ordinary.running + l.count.running; n >= pool {
		t.Errorf("%d requests run at once on %d connections", n, pool)
	}
}

// TestLater: every operation but those that never wait says that it may be refused
// for the load, and every cost stands at a route that is served.
func TestLater(t *testing.T) {
	doc, err := openapi3.NewLoader().LoadFromData(api.Document)
	if err != nil {
		t.Fatal(err)
	}
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			for _, status := range []string{"429", "503"} {
				r := op.Responses.Value(status)
				if door.Open(path) {
					continue
				}
				if r == nil || r.Ref != "#/components/responses/Later" {
					t.Errorf("%s %s does not document %s with Retry-After", method, path, status)
				}
			}
		}
	}
	e, err := New(nil, slog.New(slog.NewTextHandler(io.Discard, nil)))
	if err != nil {
		t.Fatal(err)
	}
	served := map[string]bool{}
	for _, r := range e.Routes() {
		path := strings.TrimSuffix(r.Path, "/")
		served[path], served[r.Method+" "+path] = true, true
	}
	for path := range costs {
		if !served[path] {
			t.Errorf("%s costs something and is not served", path)
		}
	}
}

// TestSignInShare: one address never has all places of the door, nor both turns.
func TestSignInShare(t *testing.T) {
	l := newLanes().signIn
	var leave []func()
	out, why, err := l.enter(t.Context(), party{person: "192.0.2.1"}, ready)
	if out == nil {
		t.Fatal(why, err)
	}
	leave = append(leave, out)
	for range l.share - 1 {
		if _, why := l.place(party{person: "192.0.2.1"}); why != "" {
			t.Fatal(why)
		}
	}
	if _, why := l.place(party{person: "192.0.2.1"}); why != isShared {
		t.Errorf("%q, want %q", why, isShared)
	}
	out, why, err = l.enter(t.Context(), party{person: "192.0.2.2"}, ready)
	if out == nil {
		t.Fatalf("another address: %q %v", why, err)
	}
	out()
	leave[0]()
}
