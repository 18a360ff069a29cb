package plan

import (
	"context"
	"errors"
	"runtime"
	"sync/atomic"
)

type asideKey struct{}

// WithAside says how a board that is asked with the context works on another core: aside does the
// work before it returns. A server has a thread for it that comes after other people's.
func WithAside(ctx context.Context, aside func(work func() error) error) context.Context {
	return context.WithValue(ctx, asideKey{}, aside)
}

// onCores does so many pieces of work, the next by who is free; the first that fails ends it, and a
// panic is the caller's. Each core begins with a worker of its own.
func onCores(ctx context.Context, pieces int, worker func() func(piece int) error) error {
	aside, _ := ctx.Value(asideKey{}).(func(func() error) error)
	if aside == nil {
		aside = func(work func() error) error { return work() }
	}
	var next atomic.Int32
	errs := make([]error, max(1, min(runtime.NumCPU(), pieces)))
	work := func() (err error) {
		do := worker()
		for k := int(next.Add(1)) - 1; k < pieces && err == nil; k = int(next.Add(1)) - 1 {
			err = do(k)
		}
		return err
	}
	broke := make(chan any, len(errs))
	for n := 1; n < len(errs); n++ {
		go func() {
			defer func() { broke <- recover() }()
			errs[n] = aside(work)
		}()
	}
	errs[0] = work()
	for range len(errs) - 1 {
		if why := <-broke; why != nil {
			panic(why)
		}
	}
	return errors.Join(errs...)
}
