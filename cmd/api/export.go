package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"time"

	"github.com/google/uuid"

	"overhang/internal/archive"
	"overhang/internal/database/setup"
	"overhang/internal/tags/postgres"
)

// forms are the ways to write an export.
var forms = map[string]writer{"csv": archive.Write, "parquet": archive.WriteParquet}

type writer func(context.Context, io.Writer, *postgres.Export, time.Time) error

// carry answers "api export -program CODE FILE.zip", "api import [-program CODE]
// FILE.zip" and "api remove -program CODE FILE.zip", which is an export and then
// the end of the program.
func carry(ctx context.Context, what string, args []string, out io.Writer) error {
	fs := flag.NewFlagSet("api "+what, flag.ContinueOnError)
	code := fs.String("program", "", "code of the program; import: absent, the one it was exported under")
	format := fs.String("format", "csv", "export: csv, or parquet, which is to be read and not imported")
	if err := fs.Parse(args); err != nil {
		return err
	}
	write, ok := forms[*format]
	if !ok || *format != "csv" && what != "export" {
		return fmt.Errorf("-format %q: an export is csv or parquet, all else is csv", *format)
	}
	if fs.NArg() != 1 || *code == "" && what != "import" {
		return fmt.Errorf("api %s -program CODE FILE.zip", what)
	}
	check := fresh
	if what == "import" {
		check = readable
	}
	if err := check(fs.Arg(0)); err != nil {
		return err
	}
	store, closeStore, err := setup.Store(ctx, setup.Log(io.Discard))
	if err != nil {
		return err
	}
	defer closeStore()
	if what == "import" {
		return importProgram(ctx, store, *code, fs.Arg(0), out)
	}
	p, err := store.Program(ctx, *code)
	if err != nil {
		return err
	}
	export, proof := store.Export, func(*os.File) error { return nil }
	if what == "remove" { // what is to be all that is left must come back: it is tried before anything is deleted
		export = store.RemoveProgram
		proof = func(f *os.File) error { return comesBack(ctx, store, f) }
	}
	if err := writeFile(ctx, export, write, p.ID, fs.Arg(0), proof); err != nil {
		return err
	}
	_, err = fmt.Fprintf(out, "%s: everything %s owned at one moment\n", fs.Arg(0), p.Code)
	if err == nil && what == "remove" {
		_, err = fmt.Fprintf(out, "%s is removed; api import %s brings it back, without its staff\n", p.Code, fs.Arg(0))
	}
	return err
}

// comesBack fails when an export cannot be imported: the program it is of stays then.
func comesBack(ctx context.Context, store *postgres.Store, f *os.File) error {
	info, err := f.Stat()
	if err == nil {
		err = archive.Try(ctx, store, f, info.Size())
	}
	if err != nil {
		return fmt.Errorf("nothing was removed, since what was exported could not be imported: %w", err)
	}
	return nil
}

// writeFile writes an export to a new file that stands a proof, whole or not at all. It is on the
// disk before the export ends, and stays whatever becomes of the program then.
func writeFile(ctx context.Context, export func(context.Context, uuid.UUID, func(*postgres.Export) error) error,
	write writer, program uuid.UUID, name string, proof func(*os.File) error) error {
	f, err := os.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_RDWR, 0o600)
	if err != nil {
		return err
	}
	defer f.Close()
	whole := false
	err = export(ctx, program, func(e *postgres.Export) error {
		err := write(ctx, f, e, time.Now())
		if err == nil {
			err = f.Sync()
		}
		if err == nil {
			err = proof(f)
		}
		whole = err == nil
		return err
	})
	if !whole {
		err = errors.Join(err, os.Remove(name))
	}
	return err
}

func importProgram(ctx context.Context, store *postgres.Store, code, name string, out io.Writer) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	made, err := archive.Import(ctx, store, f, info.Size(), code)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	_, err = fmt.Fprintf(out,
		"program %s: %d opponents, %d games, %d plays, %d changes of plays\nNobody is of it yet: api invite -program %s\n",
		made.Code, made.Rows["opponents"], made.Rows["games"], made.Rows["plays"], made.Rows["play_changes"], made.Code)
	return err
}
