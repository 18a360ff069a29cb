// Package backup keeps a database in a file by PostgreSQL's own programs, and
// proves of a restored one that it equals the original.
package backup

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
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
// beside it, in file.sums, the digest of that file, digests of the schema, and how many rows
// every table has and what they add up to at that very moment: writers may go on. Both files are
// whole, or neither is there.
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
	if err := keep(part, file, sums); err != nil {
		return nil, err
	}
	return sums, nil
}

// keep writes the sums of a backup, of its file and of its tables, and puts the backup beside
// them; of what fails it leaves neither.
func keep(part, file string, sums postgres.Sums) error {
	digest, err := Digest(part)
	if err != nil {
		return err
	}
	noted := file + ".sums"
	if err = os.WriteFile(noted, []byte(fileLine+digest+"\n"+text(sums)), 0o600); err == nil {
		err = os.Rename(part, file)
	}
	if err != nil {
		os.Remove(noted)
	}
	return err
}

// fileLine begins the line of the sums that has the backup's own digest.
const fileLine = "file sha256:"

// Digest is the SHA-256 of a file, in hexadecimal, as sha256sum prints it.
func Digest(file string) (string, error) {
	f, err := os.Open(file)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// Restore fills the empty database at address from a file of Write's, in one transaction. Before
// that it compares the file with its digest in sums, which is kept elsewhere ("": beside the
// file); after it the schema and every table. It refuses a database that holds anything. An error
// leaves the database empty, but for a schema or tables that differ, which it names.
func Restore(ctx context.Context, address, file, sums string) error {
	if sums == "" {
		sums = file + ".sums"
	}
	raw, err := os.ReadFile(sums)
	if err != nil {
		return fmt.Errorf("restore: the sums that belong to the backup: %w", err)
	}
	want, err := verify(file, string(raw))
	if err != nil {
		return fmt.Errorf("restore: %w; nothing was restored", err)
	}
	if err := postgres.MakeReady(ctx, address); err != nil {
		return fmt.Errorf("restore: %w", err)
	}
	if err := run(ctx, "pg_restore", address, "--exit-on-error", "--single-transaction", "--no-owner", file); err != nil {
		return fmt.Errorf("restore: %w", err)
	}
	return postgres.Snapshot(ctx, address, func(_ string, got postgres.Sums) error {
		if diff := differ(want, text(got)); diff != "" {
			return fmt.Errorf("restore: the restored database is not the one of the backup: drop it. What differs:\n%s", diff)
		}
		return nil
	})
}

// verify compares a backup with the digest that its sums begin with, and returns the rest of them.
func verify(file, sums string) (rest string, err error) {
	first, rest, _ := strings.Cut(sums, "\n")
	want, ok := strings.CutPrefix(first, fileLine)
	if !ok || !strings.Contains(rest, "schema: ") {
		return "", errors.New("the sums have no digests of file and schema: they were cut, or come from a version before " +
			"there were any, which restores them")
	}
	got, err := Digest(file)
	if err == nil && got != want {
		err = fmt.Errorf("%s is not the file that was backed up: its SHA-256 is %s, the sums have %s", file, got, want)
	}
	return rest, err
}

// differ lists the lines that only one of two texts has.
func differ(want, got string) string {
	var b strings.Builder
	for _, side := range []struct{ name, own, other string }{{"backup", want, got}, {"restored", got, want}} {
		for line := range strings.Lines(side.own) {
			if !strings.Contains("\n"+side.other, "\n"+line) {
				fmt.Fprintf(&b, "%s: %s", side.name, line)
			}
		}
	}
	return b.String()
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
