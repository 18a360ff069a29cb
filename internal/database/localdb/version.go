package localdb

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// Oldest is the oldest major version of PostgreSQL that the tests have run on.
// Debian 12, which they run on, has no other; newer ones are let in untested.
const Oldest = 15

// Fits says in words why a server of a version, as it names itself ("15.4
// (Debian ...)"), cannot be used; nil when it can, or names nothing readable.
func Fits(version string) error {
	n := major(version)
	if n == 0 || n >= Oldest {
		return nil
	}
	return fmt.Errorf("this is PostgreSQL %s, and %d is the oldest that works here: nothing was done. "+
		"Install a newer one, or name another server in OVERHANG_DATABASE_URL", version, Oldest)
}

// major reads the first number of a version, 0 without one.
func major(version string) int {
	digits, _, _ := strings.Cut(strings.TrimSpace(version), ".")
	digits, _, _ = strings.Cut(digits, " ")
	n, _ := strconv.Atoi(digits)
	return n
}

// fits looks at the programs found, and at the folder that another version may
// have written, before anything is made.
func (s *Server) fits(ctx context.Context) error {
	out, err := s.command(ctx, "postgres", "--version").Output()
	if err != nil {
		return fmt.Errorf("%s does not run: %w", filepath.Join(s.bin, "postgres"), err)
	}
	_, version, _ := strings.Cut(strings.TrimSpace(string(out)), ") ")
	if err := Fits(version); err != nil {
		return fmt.Errorf("%s: %w", s.bin, err)
	}
	raw, err := os.ReadFile(filepath.Join(s.dir, "data", "PG_VERSION"))
	if was := major(string(raw)); err == nil && was != 0 && was != major(version) {
		return fmt.Errorf("the data in %s is PostgreSQL %d's, and the programs in %s are %d's: name those of %d in "+
			"OVERHANG_POSTGRES_BIN, or bring the data over with api backup there and api restore here", s.dir, was, s.bin,
			major(version), was)
	}
	return nil
}
