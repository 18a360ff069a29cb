package plan

import (
	"errors"
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"
	"testing"
)

// TestOnCores: each piece is done once; what is worked beside the caller goes by way of the
// context; an error ends the work; and a panic anywhere is the caller's, not the program's end.
func TestOnCores(t *testing.T) {
	const pieces = 200
	var aside atomic.Int32
	ctx := WithAside(t.Context(), func(work func() error) error {
		aside.Add(1)
		return work()
	})
	var mu sync.Mutex
	done := map[int]int{}
	err := onCores(ctx, pieces, func() func(int) error {
		return func(k int) error {
			mu.Lock()
			defer mu.Unlock()
			done[k]++
			return nil
		}
	})
	if err != nil || len(done) != pieces || int(aside.Load()) != runtime.NumCPU()-1 {
		t.Errorf("%d of %d pieces done, %d workers beside the caller's, %v", len(done), pieces, aside.Load(), err)
	}
	for k, n := range done {
		if n != 1 {
			t.Errorf("piece %d was done %d times", k, n)
		}
	}
	broken := errors.New("broken")
	if err := onCores(ctx, pieces, func() func(int) error { return func(int) error { return broken } }); !errors.Is(err,
		broken) {
		t.Errorf("an error of a piece: %v", err)
	}
	if err := onCores(ctx, 0, func() func(int) error { return func(int) error { return broken } }); err != nil {
		t.Errorf("no pieces: %v", err)
	}
	if runtime.NumCPU() == 1 {
		t.Skip("one processor: nobody works beside the caller")
	}
	// The worker beside panics: the caller's pieces wait until it has one.
	other := make(chan bool)
	var workers atomic.Int32
	defer func() {
		if why := recover(); why != "lost" {
			t.Errorf("the caller's panic is %v; want the worker's", why)
		}
	}()
	err = onCores(WithAside(t.Context(), func(func() error) error {
		close(other)
		panic("lost")
	}), 2, func() func(int) error {
		workers.Add(1)
		return func(int) error { <-other; return nil }
	})
	t.Error(fmt.Sprint("no panic came: ", err))
}
