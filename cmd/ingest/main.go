// Command ingest loads plays from a spreadsheet: CSV with a mapping file.
//
//	ingest -program CODE -map MAPPING.yaml [-keep-good -bad FILE] [-dry-run] PLAYS.csv...
//
// It ends with 0 when every row was stored, 1 when something was wrong with the
// input and 2 when the program itself failed.
package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"

	"overhang/internal/database/setup"
	"overhang/internal/tags"
	"overhang/internal/tags/intake"
	"overhang/internal/tags/postgres"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

type options struct {
	program, mapping, bad string
	keepGood, dryRun      bool
}

func run(ctx context.Context, args []string, out, errs io.Writer) int {
	var o options
	fs := flag.NewFlagSet("ingest", flag.ContinueOnError)
	fs.SetOutput(errs)
	fs.StringVar(&o.program, "program", "demo", "code of the program whose plays these are; made when missing")
	fs.StringVar(&o.mapping, "map", "", "the mapping file")
	fs.BoolVar(&o.keepGood, "keep-good", false, "store the good rows of a file with bad ones")
	fs.StringVar(&o.bad, "bad", "", "with -keep-good: where the bad rows go (usual: FILE.bad.csv)")
	fs.BoolVar(&o.dryRun, "dry-run", false, "check everything, store nothing")
	if err := fs.Parse(args); err != nil {
		return 2
	}
	if o.mapping == "" || fs.NArg() == 0 {
		fmt.Fprintln(errs, "ingest: need -map MAPPING.yaml and at least one CSV file; -help lists the flags")
		return 1
	}
	store, stop, err := setup.Store(ctx, setup.Log(errs))
	if err != nil {
		fmt.Fprintln(errs, "ingest:", err)
		return 2
	}
	defer stop()
	worst := 0
	for _, file := range fs.Args() {
		worst = max(worst, ingest(ctx, store, o, file, out, errs))
	}
	return worst
}

// ingest loads one file; all or nothing, unless the good rows are to be kept.
func ingest(ctx context.Context, store *postgres.Store, o options, name string, out, errs io.Writer) int {
	m, f, err := read(o.mapping, name)
	if err != nil {
		fmt.Fprintln(errs, err)
		return 1
	}
	p, err := store.EnsureProgram(ctx, tags.Program{Code: o.program, Name: o.program, Level: "professional"})
	if err != nil {
		fmt.Fprintln(errs, "ingest:", err)
		return 2
	}
	v, err := store.Vocabulary(ctx, p.ID)
	if err != nil {
		fmt.Fprintln(errs, "ingest:", err)
		return 2
	}
	fresh := f.Words(v, m)
	for _, b := range f.Bad {
		for _, e := range b.Fields {
			fmt.Fprintf(errs, "%s:%d: %s: %s\n", name, b.Line, e.Field, e.Msg)
		}
	}
	if len(f.Bad) > 0 && !o.keepGood {
		fmt.Fprintf(errs, "%s: %d of %d rows are bad; nothing was stored (-keep-good stores the others)\n", name, len(f.Bad), len(f.Bad)+len(f.Records))
		return 1
	}
	if o.dryRun {
		fmt.Fprintf(out, "%s: %d rows are good, %d bad; nothing was stored (-dry-run)\n", name, len(f.Records), len(f.Bad))
		return min(1, len(f.Bad))
	}
	done, err := f.Store(ctx, store, p, fresh, progress(errs))
	if err != nil {
		fmt.Fprintf(errs, "%s: not loaded: %v\nAll of it is stored or nothing; feeding it again changes nothing of what is there already.\n", name, err)
		return 2
	}
	fmt.Fprintf(out, "%s: %d plays new, %d changed, %d as they were; %d new words\n", name, done.Inserted, done.Updated, done.Unchanged, len(fresh))
	if len(f.Bad) == 0 {
		return 0
	}
	return keepBad(f, o, name, errs)
}

func read(mapping, name string) (*intake.Mapping, *intake.File, error) {
	mf, err := os.Open(mapping)
	if err != nil {
		return nil, nil, err
	}
	defer mf.Close()
	m, err := intake.ReadMapping(mf)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", mapping, err)
	}
	cf, err := os.Open(name)
	if err != nil {
		return nil, nil, err
	}
	defer cf.Close()
	f, err := intake.Read(cf, m)
	if err != nil {
		return nil, nil, fmt.Errorf("%s:%w; nothing was stored", name, err)
	}
	return m, f, nil
}

func keepBad(f *intake.File, o options, name string, errs io.Writer) int {
	if o.bad == "" {
		o.bad = name + ".bad.csv"
	}
	w, err := os.Create(o.bad)
	if err == nil {
		err = f.WriteBad(w)
		w.Close()
	}
	if err != nil {
		fmt.Fprintln(errs, "ingest: the bad rows could not be written:", err)
		return 2
	}
	fmt.Fprintf(errs, "%s: %d bad rows were not stored; they are in %s: mend them and feed that file\n", name, len(f.Bad), o.bad)
	return 1
}

// progress draws a bar where somebody can see it.
func progress(errs io.Writer) func(done, of int) {
	file, ok := errs.(*os.File)
	if !ok || !term.IsTerminal(int(file.Fd())) {
		return nil
	}
	var bar *progressbar.ProgressBar
	return func(done, of int) {
		if bar == nil {
			bar = progressbar.Default(int64(of), "plays")
		}
		bar.Set(done)
	}
}
