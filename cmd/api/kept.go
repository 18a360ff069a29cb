package main

import (
	"context"
	"fmt"
	"os"
	"strconv"

	"overhang/internal/database/setup"
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
	return served, allowKept(served)
}

// allowKept gives the store the memory that OVERHANG_KEPT_MB allows for plays that are kept to
// count them.
func allowKept(s *postgres.Store) error {
	v := os.Getenv("OVERHANG_KEPT_MB")
	if v == "" {
		return nil
	}
	mb, err := strconv.Atoi(v)
	if err != nil || mb < 0 || mb > 1<<20 {
		return fmt.Errorf("OVERHANG_KEPT_MB=%s: a whole number of megabytes, 0 for none", v)
	}
	s.Keep(mb << 20)
	return nil
}
