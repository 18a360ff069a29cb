package main

import (
	"context"
	"fmt"
	"io"
	"os"

	"overhang/internal/cli"
	"overhang/internal/tags"
	"overhang/internal/tags/intake"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/starter"
)

// A job is what is done with every file: as asked, into a store, and what is said of it.
type job struct {
	options
	store     *postgres.Store
	out, errs io.Writer
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
func (j *job) ingest(ctx context.Context, name string) int {
	known, err := j.known(ctx)
	if err != nil {
		return j.failed(ctx, "", err)
	}
	read := j.guessed
	if j.mapping != "" {
		read = j.mapped
	}
	in, err := read(ctx, name, known)
	if ctx.Err() != nil {
		return j.failed(ctx, name+": not loaded: ", err)
	}
	if err != nil {
		fmt.Fprintln(j.errs, err)
		return 1
	}
	defer in.close()
	if j.propose {
		fmt.Fprint(j.out, in.proposal.Text())
		return min(1, in.refused)
	}
	fmt.Fprint(j.errs, in.proposal.Said())
	if in.refused > 0 && !j.keepGood {
		fmt.Fprintf(j.errs, "%s: %d of %d rows are bad; nothing was saved (-keep-good saves the others)\n", name, in.bad,
			in.bad+in.good)
		return 1
	}
	if j.dryRun {
		fmt.Fprintf(j.out, "%s: %d rows are good, %d bad; nothing was saved (-dry-run)\n", name, in.good, in.bad)
		return min(1, in.refused)
	}
	return j.keep(ctx, name, in)
}

// keep stores what was read; the program is made in the same transaction, so that
// an interruption leaves nothing.
func (j *job) keep(ctx context.Context, name string, in *incoming) int {
	var done postgres.Loaded
	err := j.store.Atomically(ctx, func(store *postgres.Store) error {
		p, err := j.into(ctx, store)
		if err != nil {
			return err
		}
		done, err = in.store(ctx, store, p, progress(j.errs, name, "plays"))
		return err
	})
	if err != nil {
		return j.failed(ctx, name+": not loaded: ", err)
	}
	fmt.Fprintf(j.out, "%s: %d plays new, %d changed, %d as they were; %d new words\n", name, done.Inserted, done.Updated,
		done.Unchanged, in.words)
	if j.mapping == "" {
		fmt.Fprintln(j.out, in.proposal.Routes())
	}
	if in.bad == 0 {
		return 0
	}
	return j.keepBad(name, in)
}

// into is the program that a sheet is stored in, made where there is none.
func (j *job) into(ctx context.Context, store *postgres.Store) (tags.Program, error) {
	p := tags.Program{Code: j.program, Name: j.program, Level: j.level}
	if j.mapping != "" { // a mapping brings its own words, which the starter's aliases would rewrite
		return store.EnsureProgram(ctx, p)
	}
	return starter.Ensure(ctx, store, p)
}

// known is what the program has; one that is not there has what it would begin with.
func (j *job) known(ctx context.Context) (k intake.Known, err error) {
	p, err := j.store.Program(ctx, j.program)
	if e := tags.As(err); e != nil && e.Kind == tags.NotFound {
		if j.mapping != "" {
			return intake.Known{Vocabulary: tags.NewVocabulary(nil)}, nil
		}
		return intake.Known{Vocabulary: tags.NewVocabulary(starter.Words())}, nil
	}
	if err != nil {
		return k, err
	}
	if k.Vocabulary, err = j.store.Vocabulary(ctx, p.ID); err != nil {
		return k, err
	}
	k.Opponents, err = j.store.Opponents().List(ctx, p.ID, postgres.Page{Limit: 500})
	return k, err
}

// guessed reads a file by guess.
func (j *job) guessed(_ context.Context, name string, known intake.Known) (*incoming, error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	s, err := intake.ReadSheet(name, data, known, j.answers)
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
func (j *job) mapped(ctx context.Context, name string, known intake.Known) (*incoming, error) {
	m, err := mapping(j.mapping)
	if err != nil {
		return nil, err
	}
	file, size, err := regular(name)
	if err != nil {
		return nil, err
	}
	to := j.errs
	if j.propose {
		to = j.out
	}
	told := progress(j.errs, name, "bytes checked")
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
func (j *job) failed(ctx context.Context, what string, err error) int {
	if ctx.Err() != nil {
		fmt.Fprintf(j.errs, "ingest: interrupted; %snothing of it is saved\n", what)
		return cli.Interrupted
	}
	fmt.Fprintf(j.errs, "ingest: %s%v\nAll of a file is saved or none of it; importing it again changes nothing that is "+
		"there already.\n", what, err)
	return 2
}

func (j *job) keepBad(name string, in *incoming) int {
	file := j.badFile(name)
	w, err := os.Create(file)
	if err == nil {
		err = in.writeBad(w)
		w.Close()
	}
	if err != nil {
		fmt.Fprintln(j.errs, "ingest: the bad rows could not be written:", err)
		return 2
	}
	fmt.Fprintf(j.errs, "%s: %d bad rows were not saved; they are in %s: fix them and import that file\n", name, in.bad,
		file)
	return 1
}
