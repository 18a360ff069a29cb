package main

import (
	"context"
	"fmt"
	"io"

	"overhang/internal/database/backup"
	"overhang/internal/database/setup"
)

// keep answers "api backup FILE" and "api restore FILE".
func keep(ctx context.Context, what string, args []string, out io.Writer) error {
	if len(args) != 1 {
		return fmt.Errorf("api %s FILE", what)
	}
	check := fresh
	if what == "restore" {
		check = readable
	}
	if err := check(args[0]); err != nil {
		return err
	}
	url, stop, err := setup.Database(ctx, setup.Log(io.Discard))
	if err != nil {
		return err
	}
	defer stop()
	if what == "restore" {
		if err := backup.Restore(ctx, url, args[0]); err != nil {
			return err
		}
		_, err = fmt.Fprintln(out, "restored; every table equals the one of the backup")
		return err
	}
	sums, err := backup.Write(ctx, url, args[0])
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(out, "%d tables in %s; keep %s.sums with it\n", len(sums), args[0], args[0])
	return err
}
