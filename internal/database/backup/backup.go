// Package backup keeps a database in a file by PostgreSQL's own programs, and
// proves of a restored one that it equals the original.
package backup

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"net/url"
	"os"
	"os/exec"
	"slices"
	"strings"

	"overhang/internal/database/localdb"
	"overhang/internal/tags/postgres"
)

// Write keeps the database at address in a file of pg_dump's custom form, and
// beside it, in file.sums, how many rows every table has and what they add up to
// at that very moment: writers may go on. Both files are whole, or neither is there.
func Write(ctx context.Context, address, file string) (postgres.Sums, error) {
	if _, err := os.Stat(file); err == nil {
		return nil, fmt.Errorf("backup: %s exists", file)
	}
	part := file + ".part"
	defer os.Remove(part)
	var sums postgres.Sums
	err := postgres.Snapshot(ctx, address, func(snapshot string, at postgres.Sums) error {
		sums = at
		return run(ctx, "pg_dump", address, "--format=custom", "--no-owner", "--snapshot="+snapshot, "--file="+part)
	})
	if err != nil {
		return nil, fmt.Errorf("backup: %w", err)
	}
	if err := os.Chmod(part, 0o600); err != nil {
		return nil, err
	}
	if err := os.WriteFile(file+".sums", []byte(text(sums)), 0o600); err != nil {
		return nil, err
	}
	return sums, os.Rename(part, file)
}

// Restore fills the empty database at address from a file of Write's, in one
// transaction, and compares it with the sums. It refuses a database that holds
// anything. An error leaves it empty, but for sums that differ, which it names.
func Restore(ctx context.Context, address, file string) error {
	want, err := os.ReadFile(file + ".sums")
	if err != nil {
		return fmt.Errorf("restore: the sums that belong to the backup: %w", err)
	}
	if err := postgres.MakeReady(ctx, address); err != nil {
		return fmt.Errorf("restore: %w", err)
	}
	if err := run(ctx, "pg_restore", address, "--exit-on-error", "--single-transaction", "--no-owner", file); err != nil {
		return fmt.Errorf("restore: %w", err)
	}
	return postgres.Snapshot(ctx, address, func(_ string, sums postgres.Sums) error {
		if got := text(sums); got != string(want) {
			return fmt.Errorf("restore: the restored database is not the one of the backup:\nbackup:\n%srestored:\n%s", want,
				got)
		}
		return nil
	})
}

func text(s postgres.Sums) string {
	var b strings.Builder
	for _, t := range slices.Sorted(maps.Keys(s)) {
		fmt.Fprintf(&b, "%s %s\n", t, s[t])
	}
	return b.String()
}

// run calls one of PostgreSQL's programs on a database; the password goes by the
// environment, which other users cannot read.
func run(ctx context.Context, program, address string, args ...string) error {
	path, err := localdb.Program(program)
	if err != nil {
		return err
	}
	u, err := url.Parse(address)
	if err != nil {
		return errors.New("the database address is no URL")
	}
	password, _ := u.User.Password()
	u.User = url.User(u.User.Username())
	cmd := exec.CommandContext(ctx, path, append([]string{"--dbname=" + u.String()}, args...)...)
	cmd.Env = append(os.Environ(), "PGPASSWORD="+password)
	var said strings.Builder
	cmd.Stdout, cmd.Stderr = io.Discard, &said
	if err := cmd.Run(); err != nil {
		return fmt.Errorf("%s: %w: %s", program, err, strings.TrimSpace(said.String()))
	}
	return nil
}
