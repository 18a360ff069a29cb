package main

import (
	"context"
	"flag"
	"fmt"
	"io"

	"overhang/internal/database/backup"
	"overhang/internal/database/setup"
)

// keep answers "api backup FILE" and "api restore [-sums FILE] FILE".
func keep(ctx context.Context, what string, args []string, out io.Writer) error {
	fs := flag.NewFlagSet("api "+what, flag.ContinueOnError)
	var sums string
	if what == "restore" {
		fs.StringVar(&sums, "sums", "", "the backup's sums, kept elsewhere; absent: beside it")
	}
	if err := fs.Parse(args); err != nil {
		return err
	}
	if fs.NArg() != 1 {
		return fmt.Errorf("api %s FILE", what)
	}
	file := fs.Arg(0)
	check := fresh
	if what == "restore" {
		check = readable
	}
	if err := check(file); err != nil {
		return err
	}
	url, stop, err := setup.Database(ctx, setup.Log(io.Discard))
	if err != nil {
		return err
	}
	defer stop()
	if what == "restore" {
		if err := backup.Restore(ctx, url, file, sums); err != nil {
			return err
		}
		_, err = fmt.Fprintln(out, "restored; file, schema and every table equal those of the backup")
		return err
	}
	tables, err := backup.Write(ctx, url, file)
	if err != nil {
		return err
	}
	digest, err := backup.Digest(file + ".sums")
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(out, "%d sums of %s in %s.sums; keep a copy of those elsewhere, or their SHA-256:\n%s\n",
		len(tables), file, file, digest)
	return err
}
