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
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/starter"
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
	if err != nil {
		return failed(ctx, errs, "", err)
	}
	defer stop()
	worst := 0
	for _, file := range files {
		worst = max(worst, ingest(ctx, store, o, file, out, errs))
	}
	return worst
}

// What was read of a file, by guess or by a mapping, and what can be done with it.
type incoming struct {
	proposal  *intake.Proposal
	good, bad int // rows
	refused   int // reasons that keep the file out
	words     int // new ones
	store     func(context.Context, *postgres.Store, tags.Program, func(done, of int)) (postgres.Loaded, error)
	writeBad  func(io.Writer) error
	close     func()
}

// ingest loads one file; all or nothing, unless the good rows are to be kept.
func ingest(ctx context.Context, store *postgres.Store, o options, name string, out, errs io.Writer) int {
	known, err := knownTo(ctx, store, o)
	if err != nil {
		return failed(ctx, errs, "", err)
	}
	read := guessed
	if o.mapping != "" {
		read = mapped
	}
	in, err := read(ctx, o, name, known, out, errs)
	if ctx.Err() != nil {
		return failed(ctx, errs, name+": not loaded: ", err)
	}
	if err != nil {
		fmt.Fprintln(errs, err)
		return 1
	}
	defer in.close()
	if o.propose {
		fmt.Fprint(out, in.proposal.Text())
		return min(1, in.refused)
	}
	fmt.Fprint(errs, in.proposal.Said())
	if in.refused > 0 && !o.keepGood {
		fmt.Fprintf(errs, "%s: %d of %d rows are bad; nothing was saved (-keep-good saves the others)\n", name, in.bad,
			in.bad+in.good)
		return 1
	}
	if o.dryRun {
		fmt.Fprintf(out, "%s: %d rows are good, %d bad; nothing was saved (-dry-run)\n", name, in.good, in.bad)
		return min(1, in.refused)
	}
	return keep(ctx, store, o, name, in, out, errs)
}

// keep stores what was read; the program is made in the same transaction, so that
// an interruption leaves nothing.
func keep(ctx context.Context, store *postgres.Store, o options, name string, in *incoming, out,
	errs io.Writer) int {
	var done postgres.Loaded
	err := store.Atomically(ctx, func(store *postgres.Store) error {
		p, err := program(ctx, store, o)
		if err != nil {
			return err
		}
		done, err = in.store(ctx, store, p, progress(errs, name, "plays"))
		return err
	})
	if err != nil {
		return failed(ctx, errs, name+": not loaded: ", err)
	}
	fmt.Fprintf(out, "%s: %d plays new, %d changed, %d as they were; %d new words\n", name, done.Inserted, done.Updated,
		done.Unchanged, in.words)
	if o.mapping == "" {
		fmt.Fprintln(out, in.proposal.Routes())
	}
	if in.bad == 0 {
		return 0
	}
	return keepBad(in, o, name, errs)
}

// program is the one a sheet is stored in, made where there is none.
func program(ctx context.Context, store *postgres.Store, o options) (tags.Program, error) {
	p := tags.Program{Code: o.program, Name: o.program, Level: o.level}
	if o.mapping != "" { // a mapping brings its own words, which the starter's aliases would rewrite
		return store.EnsureProgram(ctx, p)
	}
	return starter.Ensure(ctx, store, p)
}

// knownTo is what a program has; one that is not there has what it would begin with.
func knownTo(ctx context.Context, store *postgres.Store, o options) (k intake.Known, err error) {
	p, err := store.Program(ctx, o.program)
	if e := tags.As(err); e != nil && e.Kind == tags.NotFound {
		if o.mapping != "" {
			return intake.Known{Vocabulary: tags.NewVocabulary(nil)}, nil
		}
		return intake.Known{Vocabulary: tags.NewVocabulary(starter.Words())}, nil
	}
	if err != nil {
		return k, err
	}
	if k.Vocabulary, err = store.Vocabulary(ctx, p.ID); err != nil {
		return k, err
	}
	k.Opponents, err = store.Opponents().List(ctx, p.ID, postgres.Page{Limit: 500})
	return k, err
}

// guessed reads a file by guess.
func guessed(_ context.Context, o options, name string, known intake.Known, _, _ io.Writer) (*incoming, error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	s, err := intake.ReadSheet(name, data, known, o.answers)
	if err != nil {
		return nil, fmt.Errorf("%s: %w; nothing was saved", name, err)
	}
	return &incoming{proposal: &s.Proposal, good: len(s.Records), bad: len(s.Bad), refused: len(s.Bad) + len(s.Refusals()),
		words: len(s.Fresh), writeBad: s.WriteBad, close: func() {},
		store: func(ctx context.Context, store *postgres.Store, p tags.Program,
			progress func(done, of int)) (postgres.Loaded, error) {
			return s.Store(ctx, store, p, s.Fresh, progress)
		}}, nil
}

// mapped reads a file by the mapping, and says of each bad row what is wrong with it.
func mapped(ctx context.Context, o options, name string, known intake.Known, out, errs io.Writer) (*incoming, error) {
	m, err := mapping(o.mapping)
	if err != nil {
		return nil, err
	}
	file, size, err := regular(name)
	if err != nil {
		return nil, err
	}
	to := errs
	if o.propose {
		to = out
	}
	told := progress(errs, name, "bytes checked")
	f, err := intake.Check(ctx, file, m, known.Vocabulary, func(b intake.BadRow) {
		for _, e := range b.Fields {
			fmt.Fprintf(to, "%s:%d: %s: %s\n", name, b.Line, e.Field, e.Msg)
		}
	}, func(done int) { told(done, size) })
	if err != nil {
		file.Close()
		return nil, fmt.Errorf("%s:%w; nothing was saved", name, err)
	}
	return &incoming{proposal: &intake.Proposal{File: name, Plays: f.Good, Refused: len(f.Bad)}, good: f.Good,
		bad: len(f.Bad), refused: len(f.Bad), words: len(f.Fresh), store: f.Store, writeBad: f.WriteBad,
		close: func() { file.Close() }}, nil
}

func mapping(name string) (*intake.Mapping, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	m, err := intake.ReadMapping(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return m, nil
}

// regular opens a file that can be read twice: what comes out of a pipe is put by first.
func regular(name string) (file *os.File, size int, err error) {
	file, err = os.Open(name)
	if err != nil {
		return nil, 0, err
	}
	if info, err := file.Stat(); err == nil && info.Mode().IsRegular() {
		return file, int(info.Size()), nil
	}
	defer file.Close()
	put, err := os.CreateTemp("", "ingest-")
	if err != nil {
		return nil, 0, err
	}
	os.Remove(put.Name()) // it goes when it is closed
	n, err := io.Copy(put, file)
	if err != nil {
		put.Close()
	}
	return put, int(n), err
}

// failed says what the program itself could not do.
func failed(ctx context.Context, errs io.Writer, what string, err error) int {
	if ctx.Err() != nil {
		fmt.Fprintf(errs, "ingest: interrupted; %snothing of it is saved\n", what)
		return cli.Interrupted
	}
	fmt.Fprintf(errs, "ingest: %s%v\nAll of a file is saved or none of it; importing it again changes nothing that is "+
		"there already.\n", what, err)
	return 2
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

func keepBad(in *incoming, o options, name string, errs io.Writer) int {
	file := o.badFile(name)
	w, err := os.Create(file)
	if err == nil {
		err = in.writeBad(w)
		w.Close()
	}
	if err != nil {
		fmt.Fprintln(errs, "ingest: the bad rows could not be written:", err)
		return 2
	}
	fmt.Fprintf(errs, "%s: %d bad rows were not saved; they are in %s: fix them and import that file\n", name, in.bad,
		file)
	return 1
}
