// Command ingest loads plays from spreadsheets: CSV or XLSX as a coach keeps
// them, read by guess, or CSV with a mapping file.
//
//	ingest [-program CODE] PLAYS...            guess, check, store
//	ingest -propose PLAYS...                   say how they would be read and why; store nothing
//	ingest -program CODE -map MAPPING.yaml PLAYS.csv...
//
// It ends with 0 when every row was stored, 1 when something was wrong with the
// input and 2 when the command line was wrong or the program itself failed.
package main

import (
	"cmp"
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"syscall"

	"overhang/internal/cli"
	"overhang/internal/database/setup"
	"overhang/internal/tags"
	"overhang/internal/tags/intake"
)

var commands = cli.Program{Name: "ingest",
	About: "ingest brings the plays of spreadsheets into a program: CSV or XLSX, read by guess, or by a mapping file.",
	Notes: `Exit codes: 0 every row was saved, 1 something was wrong with the input, 2 the command line is wrong or ` +
		`the program failed, 130 interrupted (nothing of that file is saved).
OVERHANG_DATABASE_URL is the PostgreSQL to use; without it a private one starts: its data in OVERHANG_DATA_DIR,
its binaries in OVERHANG_POSTGRES_BIN.
`,
	Commands: []cli.Command{{Args: "FILE...", Files: true,
		About: "save the plays of the files, all of each file or nothing", Flags: []cli.Flag{
			{Name: "propose", About: "say how the files would be read and why; save nothing"},
			{Name: "program", Value: "CODE",
				About: "whose plays these are (default: demo); created if missing, and without -map filled with the standard " +
					"words and calls"},
			{Name: "level", Value: "LEVEL", About: "level of a new program: high_school (default), college or professional"},
			{Name: "opponent", Value: "NAME", About: "whose plays these are, whatever the sheet says"},
			{Name: "season", Value: "LABEL", About: "the season, whatever the sheet says"},
			{Name: "game", Value: "LABEL", About: "the game, whatever the sheet says"},
			{Name: "ours", About: "our games: the coverage is the call we made"},
			{Name: "tab", Value: "NAME", About: "read this tab; repeatable"},
			{Name: "column", Value: "HEAD=FIELD",
				About: "what a column is, by head or letter; an empty field leaves it out; repeatable"},
			{Name: "word", Value: "FIELD:THEIRS=OURS",
				About: "what a word stands for; nothing after = leaves the tag empty; repeatable"},
			{Name: "map", Value: "FILE.yaml", About: "read by this mapping file instead of guessing (CSV with commas)"},
			{Name: "keep-good", About: "save the good rows of a file with bad ones"},
			{Name: "bad", Value: "FILE", About: "with -keep-good: where the bad rows go (default: FILE.bad.csv)"},
			{Name: "dry-run", About: "check everything, save nothing"}}}}}

func main() {
	if code, done := commands.Answer(os.Args[1:], os.Stdout, os.Stderr); done {
		os.Exit(code)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

type options struct {
	program, level, mapping, bad string
	keepGood, dryRun, propose    bool
	columns, words               []string
	answers                      intake.Answers
}

// parse reads the flags, which are known to be ours.
func parse(args []string, errs io.Writer) (o options, files []string, err error) {
	fs := flag.NewFlagSet("ingest", flag.ContinueOnError)
	fs.SetOutput(errs)
	list := func(to *[]string) func(string) error {
		return func(s string) error { *to = append(*to, s); return nil }
	}
	fs.StringVar(&o.program, "program", "demo", "")
	fs.StringVar(&o.level, "level", "high_school", "")
	fs.StringVar(&o.mapping, "map", "", "")
	fs.BoolVar(&o.propose, "propose", false, "")
	fs.BoolVar(&o.keepGood, "keep-good", false, "")
	fs.StringVar(&o.bad, "bad", "", "")
	fs.BoolVar(&o.dryRun, "dry-run", false, "")
	fs.StringVar(&o.answers.Opponent, "opponent", "", "")
	fs.StringVar(&o.answers.Season, "season", "", "")
	fs.StringVar(&o.answers.Game, "game", "", "")
	fs.BoolVar(&o.answers.Ours, "ours", false, "")
	fs.Func("tab", "", list(&o.answers.Tabs))
	fs.Func("column", "", list(&o.columns))
	fs.Func("word", "", list(&o.words))
	if err = fs.Parse(args); err != nil {
		return o, nil, err
	}
	if o.answers.Columns, err = intake.Pairs("column", o.columns); err != nil {
		return o, nil, err
	}
	if o.answers.Words, err = intake.Pairs("word", o.words); err != nil {
		return o, nil, err
	}
	made := tags.Program{Code: o.program, Name: o.program, Level: o.level, Settings: tags.DefaultSettings()}
	return o, fs.Args(), made.Validate()
}

func run(ctx context.Context, args []string, out, errs io.Writer) int {
	o, files, err := parse(args, errs)
	if err != nil {
		fmt.Fprintln(errs, "ingest:", err)
		return 2
	}
	if len(files) == 0 {
		fmt.Fprintln(errs, "ingest: name at least one file; ingest help lists the flags")
		return 2
	}
	for _, file := range append(files, o.mapping) { // before a database starts
		if file == "" {
			continue
		}
		if _, err := os.Stat(file); err != nil {
			fmt.Fprintln(errs, "ingest:", err)
			return 1
		}
	}
	if o.keepGood && !o.propose && !o.dryRun {
		for _, file := range files {
			if err := o.writable(file); err != nil {
				fmt.Fprintln(errs, "ingest: nothing was saved:", err)
				return 2
			}
		}
	}
	store, stop, err := setup.Store(ctx, setup.Log(errs))
	j := &job{o, store, out, errs}
	if err != nil {
		return j.failed(ctx, "", err)
	}
	defer stop()
	worst := 0
	for _, file := range files {
		worst = max(worst, j.ingest(ctx, file))
	}
	return worst
}

// badFile is where the bad rows of a file go.
func (o *options) badFile(name string) string { return cmp.Or(o.bad, name+".bad.csv") }

// writable reports why the bad rows of a file could not be kept, before a database starts.
func (o *options) writable(name string) error {
	f, err := os.CreateTemp(filepath.Dir(o.badFile(name)), ".overhang-")
	if err != nil {
		return fmt.Errorf("the bad rows could not be written: %w", err)
	}
	f.Close()
	return os.Remove(f.Name())
}
