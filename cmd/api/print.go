package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"net/url"
	"os"
	"path/filepath"
	"strings"

	"overhang/internal/ask"
	"overhang/internal/database/setup"
	"overhang/internal/reports"
	"overhang/internal/reports/paper"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// printed are the scopes of what the command prints: a review is asked for by a plan.
var printed = []reports.Scope{reports.OfProgram, reports.OfOpponent, reports.ForField}

// printReports writes reports into files, as the API answers them:
//
//	api print [-program demo] [-opponent CODE] [-reports stress,opponent] [-format pdf] [-where 'down=3'] [-out FOLDER]
func printReports(ctx context.Context, args []string, out io.Writer) error {
	fs := flag.NewFlagSet("api print", flag.ContinueOnError)
	program := fs.String("program", "demo", "code of the program")
	opponent := fs.String("opponent", "", "code of the opponent (default: all)")
	names := fs.String("reports", "stress", "which, comma separated: "+strings.Join(reports.Names(printed...), ", ")+
		"; of the program itself, once: "+strings.Join(reports.Names(reports.OfProgram), ", "))
	format := fs.String("format", "pdf", "pdf, html, csv, xlsx or json")
	where := fs.String("where", "", "the situation, as the API's query has it: down=3&distance_band=7-10")
	into := fs.String("out", ".", "the folder to write into; made when missing")
	if err := fs.Parse(args); err != nil {
		return err
	}
	query, err := url.ParseQuery(*where)
	if err != nil {
		return fmt.Errorf("-where: %w", err)
	}
	if _, ok := paper.Formats[*format]; !ok && *format != "json" {
		return fmt.Errorf("-format: %q is none of pdf, html, csv, xlsx, json", *format)
	}
	var kinds []reports.Kind
	for _, name := range strings.Split(*names, ",") {
		k, err := reports.Lookup(name, printed...)
		if err != nil {
			return err
		}
		kinds = append(kinds, k)
	}
	if err := folder(*into); err != nil {
		return err
	}
	log := slog.New(slog.NewTextHandler(os.Stderr, &slog.HandlerOptions{Level: slog.LevelError}))
	store, closeStore, err := setup.Store(ctx, log)
	if err != nil {
		return err
	}
	defer closeStore()
	p, err := store.Program(ctx, *program)
	if err != nil {
		return err
	}
	opponents, err := opponentsOf(ctx, store, p, *opponent)
	if err != nil {
		return err
	}
	for _, k := range kinds {
		of := opponents
		if k.Scope == reports.OfProgram {
			of = make([]tags.Opponent, 1)
		}
		for _, o := range of {
			name := strings.TrimPrefix(o.Code+"-"+k.Name, "-")
			file := filepath.Join(*into, inFolder(name+"."+*format))
			if err := printOne(ctx, store, k, ask.Scope{Program: p, Opponent: o}, query, *format, file); err != nil {
				return fmt.Errorf("%s: %w", name, err)
			}
			fmt.Fprintln(out, file)
		}
	}
	return nil
}

// inFolder is a name as that of a file: a code with a slash leads into no other folder, and two
// that differ before it are two files.
func inFolder(name string) string { return strings.NewReplacer("/", "_", `\`, "_").Replace(name) }

// opponentsOf is the opponent of a code, or all of a program.
func opponentsOf(ctx context.Context, store *postgres.Store, p tags.Program, code string) ([]tags.Opponent, error) {
	if code == "" {
		return store.Opponents().List(ctx, p.ID, postgres.Page{Limit: 500})
	}
	o, err := store.OpponentByCode(ctx, p.ID, code)
	return []tags.Opponent{o}, err
}

// printOne writes one report into a file.
func printOne(ctx context.Context, from ask.Reads, k reports.Kind, of ask.Scope, query url.Values, format,
	file string) error {
	o, err := ask.NewOrder(query, k.Takes)
	if err != nil {
		return err
	}
	o.Opponent = of.Opponent
	o.Of(of.Program)
	made, err := k.Build(ctx, from, o)
	if err != nil {
		return err
	}
	page, err := written(made, format)
	if err != nil {
		return err
	}
	return os.WriteFile(file, page, 0o644)
}

// written is a report in one of its forms, as bytes of a file that stands alone.
func written(made *reports.Made, format string) ([]byte, error) {
	var b bytes.Buffer
	if format == "json" {
		err := json.NewEncoder(&b).Encode(made.Data)
		return b.Bytes(), err
	}
	if err := made.Document.Write(&b, format); err != nil {
		return nil, err
	}
	if format == "html" {
		return reports.Standalone(b.Bytes()), nil
	}
	return b.Bytes(), nil
}
