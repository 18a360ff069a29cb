package main

import (
	"context"
	"fmt"
	"os"
	"runtime"
	"runtime/debug"
	"strconv"

	"overhang/internal/database/setup"
	"overhang/internal/lanes"
	"overhang/internal/tags/postgres"
)

// serving is the store that requests are answered from: behind the walls where people sign
// in, with the memory that it may use.
func (f *flags) serving(ctx context.Context, store *postgres.Store) (served *postgres.Store, err error) {
	served = store
	if !f.demo && !f.noLogin {
		if served, err = setup.Walled(ctx, store); err != nil {
			return nil, err
		}
	}
	kept, err := keptMB()
	if err != nil {
		return nil, err
	}
	served.Keep(kept << 20)
	return served, nil
}

// keptMB is the memory for plays that are kept to count them, in megabytes.
func keptMB() (int, error) {
	v := os.Getenv("OVERHANG_KEPT_MB")
	if v == "" {
		return postgres.KeptBytes >> 20, nil
	}
	mb, err := strconv.Atoi(v)
	if err != nil || mb < 0 || mb > 1<<20 {
		return 0, fmt.Errorf("OVERHANG_KEPT_MB=%s: a whole number of megabytes, 0 for none", v)
	}
	return mb, nil
}

// ease makes room for the engine's threads, and collects garbage a third as often as Go would of
// itself, up to some 450 MB beside the kept plays (in megabytes). To collect, every thread has to
// stop for a moment, and the engine's, which the machine runs last, keep all others waiting for
// it: 20 to 80 ms each time on two cores that are full. Go's own settings come first. The lanes
// are as wide as the machine is, so it is called once they are made.
func ease() {
	kept, _ := keptMB() // refused when the store was opened
	if os.Getenv("GOMAXPROCS") == "" {
		runtime.GOMAXPROCS(runtime.GOMAXPROCS(0) + lanes.Threads())
	}
	if os.Getenv("GOGC") == "" && os.Getenv("GOMEMLIMIT") == "" {
		debug.SetGCPercent(300)
		debug.SetMemoryLimit(int64(450+kept) << 20)
	}
}
