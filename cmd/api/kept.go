package main

import (
	"fmt"
	"os"
	"strconv"

	"overhang/internal/tags/postgres"
)

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
