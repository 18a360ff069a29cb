package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"overhang/internal/httpapi"
	"overhang/internal/reports"
	"overhang/internal/setup"
)

// selfScout is the one report that is of no opponent.
const selfScout = "self-scout"

// printReports writes reports into files, by the same answers the API gives:
//
//	api print [-program demo] [-opponent CODE] [-reports stress,opponent] [-format pdf] [-where 'down=3'] [-out FOLDER]
func printReports(ctx context.Context, args []string, out io.Writer) error {
	fs := flag.NewFlagSet("api print", flag.ContinueOnError)
	program := fs.String("program", "demo", "code of the program")
	opponent := fs.String("opponent", "", "code of the opponent; absent: all of them")
	kinds := fs.String("reports", "stress", "which, comma separated: stress, opponent, self-scout (of the program, once), "+strings.Join(httpapi.SheetKinds, ", "))
	format := fs.String("format", "pdf", "pdf, html, csv, xlsx or json")
	where := fs.String("where", "", "the situation, as the API's query has it: down=3&distance_band=7-10")
	folder := fs.String("out", ".", "the folder to write into; made when missing")
	if err := fs.Parse(args); err != nil {
		return err
	}
	query, err := url.ParseQuery(*where)
	if err != nil {
		return fmt.Errorf("-where: %w", err)
	}
	query.Set("format", *format)
	// A fault of ours goes to the log, as when serving; a line a report does not.
	log := slog.New(slog.NewTextHandler(os.Stderr, &slog.HandlerOptions{Level: slog.LevelError}))
	store, closeStore, err := setup.Store(ctx, log)
	if err != nil {
		return err
	}
	defer closeStore()
	h, err := httpapi.New(store, log)
	if err != nil {
		return err
	}
	base := "/v1/programs/" + url.PathEscape(*program) + "/opponents"
	codes := []string{*opponent}
	if *opponent == "" {
		if codes, err = opponents(ctx, h, base); err != nil {
			return err
		}
	}
	if err := os.MkdirAll(*folder, 0o755); err != nil {
		return err
	}
	for i, code := range codes {
		for _, kind := range strings.Split(*kinds, ",") {
			if kind == selfScout && i > 0 {
				continue
			}
			file, path := placeOf(kind, base, code)
			body, err := ask(ctx, h, path+"?"+query.Encode())
			if err != nil {
				return fmt.Errorf("%s of %s: %w", kind, code, err)
			}
			if *format == "html" {
				body = reports.Standalone(body)
			}
			file = filepath.Join(*folder, filepath.Base(file+"."+*format))
			if err := os.WriteFile(file, body, 0o644); err != nil {
				return err
			}
			fmt.Fprintln(out, file)
		}
	}
	return nil
}

// placeOf is the name of a report's file, and where the API has it.
func placeOf(kind, base, code string) (file, path string) {
	at := base + "/" + url.PathEscape(code)
	switch {
	case kind == selfScout:
		return kind, strings.TrimSuffix(base, "/opponents") + "/reports/" + kind
	case slices.Contains(httpapi.SheetKinds, kind):
		return code + "-" + kind, at + "/sheets/" + kind
	}
	return code + "-" + kind, at + "/reports/" + url.PathEscape(kind)
}

// opponents lists the codes of a program's opponents.
func opponents(ctx context.Context, h http.Handler, base string) ([]string, error) {
	body, err := ask(ctx, h, base+"?limit=500")
	if err != nil {
		return nil, err
	}
	var list struct{ Items []struct{ Code string } }
	if err := json.Unmarshal(body, &list); err != nil {
		return nil, err
	}
	var out []string
	for _, o := range list.Items {
		out = append(out, o.Code)
	}
	return out, nil
}

// An answer keeps what a handler says.
type answer struct {
	header http.Header
	status int
	body   bytes.Buffer
}

func (a *answer) Header() http.Header         { return a.header }
func (a *answer) WriteHeader(status int)      { a.status = status }
func (a *answer) Write(b []byte) (int, error) { return a.body.Write(b) }

// ask puts one question to the API without a network; a problem is an error.
func ask(ctx context.Context, h http.Handler, path string) ([]byte, error) {
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, path, http.NoBody)
	if err != nil {
		return nil, err
	}
	a := &answer{header: http.Header{}, status: http.StatusOK}
	h.ServeHTTP(a, req)
	if a.status == http.StatusOK {
		return a.body.Bytes(), nil
	}
	var problem struct {
		Title, Detail string
		Errors        []struct{ Field, Message string }
	}
	if err := json.Unmarshal(a.body.Bytes(), &problem); err != nil {
		return nil, fmt.Errorf("status %d", a.status)
	}
	words := []string{problem.Title, problem.Detail}
	for _, e := range problem.Errors {
		words = append(words, e.Field+": "+e.Message)
	}
	return nil, fmt.Errorf("%s", strings.Join(words, "; "))
}
