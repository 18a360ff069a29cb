package intake

import (
	"bufio"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"iter"
	"strings"
	"sync"

	"github.com/google/uuid"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// A Mapped is a CSV file read through a mapping. All of it is read to check it, and again to store
// what is good; neither keeps more rows than those it is at, so that a file may have any length.
// What is kept is a line of every game, the line of every play of it, and the lines of bad rows.
type Mapped struct {
	Fresh []tags.Word // new words that the vocabulary gets
	Good  int         // rows that can be stored
	Bad   []int       // lines of the others, in their order

	m     *Mapping
	file  io.ReadSeeker
	sum   uint32 // of the file as it was checked
	games []mappedGame
	at    map[gameKey]int
}

// A mappedGame is a game of the file.
type mappedGame struct {
	postgres.GameOf
	line  int     // of its first play that is stored; 0: none is
	lines []int32 // of its plays, by their numbers; 0: none
}

// A mappedRow is a row of the file and what it was read as.
type mappedRow struct {
	Record
	bad     []tags.FieldError
	refused error       // by the vocabulary
	unknown []tags.Word // words it lacks and gets
}

// errChanged ends an import of a file that somebody writes to meanwhile.
var errChanged = errors.New("the file was changed while it was read: feed it again")

// Check reads all of a CSV file and keeps what is needed to store it. It fails on what is wrong
// with the whole file (no header, a missing column, a quote left open); of what is wrong with one
// row it tells bad, in the order of the lines. progress is told how many bytes are read.
func Check(ctx context.Context, file io.ReadSeeker, m *Mapping, v *tags.Vocabulary, bad func(BadRow),
	progress func(done int)) (*Mapped, error) {
	f := &Mapped{m: m, file: file, at: map[gameKey]int{}}
	seen := map[string]bool{}
	look := func(r *mappedRow) {
		switch {
		case len(r.bad) > 0:
		case m.NewWords == "add":
			r.unknown = v.Unknown(&r.Play)
		default:
			r.refused = v.Apply(&r.Play)
		}
	}
	m.sort()
	sum, err := f.each(ctx, look, func(rows []mappedRow, at int64) error {
		for i := range rows {
			r := &rows[i]
			if wrong := f.take(r); len(wrong) > 0 {
				f.Bad = append(f.Bad, r.Line)
				bad(BadRow{r.Line, wrong, r.cells})
				continue
			}
			f.Good++
			for _, w := range r.unknown {
				if !seen[w.Field+w.Word] {
					w.Word = strings.Clone(w.Word)
					seen[w.Field+w.Word] = true
					f.Fresh = append(f.Fresh, w)
				}
			}
		}
		progress(int(at))
		return nil
	})
	if err != nil {
		return nil, err
	}
	f.sum = sum
	return f, nil
}

// take notes a row's play and game, and says what is wrong with it.
func (f *Mapped) take(r *mappedRow) []tags.FieldError {
	if len(r.bad) > 0 {
		return r.bad
	}
	at, ok := f.at[r.key()]
	if !ok {
		at = len(f.games)
		key := gameKey{strings.Clone(r.Opponent), strings.Clone(r.Game.Label)}
		f.at[key] = at
		f.games = append(f.games, mappedGame{})
	}
	g, n := &f.games[at], r.Play.Number
	if n < len(g.lines) && g.lines[n] != 0 {
		return []tags.FieldError{{Field: "number", Msg: fmt.Sprintf("play %d of this game is on line %d already", n,
			g.lines[n])}}
	}
	if n >= len(g.lines) {
		g.lines = append(g.lines, make([]int32, n+1-len(g.lines))...)
	}
	g.lines[n] = int32(r.Line)
	if r.refused != nil {
		return tags.As(r.refused).Fields
	}
	if g.line == 0 {
		g.line, g.GameOf = r.Line, cloned(r.gameOf())
	}
	g.Game.Ours = g.Game.Ours || r.Game.Ours
	return nil
}

// cloned is a game that does not hold the text of its whole row.
func cloned(g postgres.GameOf) postgres.GameOf {
	for _, s := range []*string{&g.Opponent.Code, &g.Opponent.Name, &g.Season, &g.Game.Label} {
		*s = strings.Clone(*s)
	}
	if g.Game.Versus != nil {
		versus := strings.Clone(*g.Game.Versus)
		g.Game.Versus = &versus
	}
	return g
}

// Store puts the good rows away in one transaction: words, games where they are missing, plays.
// progress is told how many are done, none at first.
func (f *Mapped) Store(ctx context.Context, s *postgres.Store, p tags.Program,
	progress func(done, of int)) (done postgres.Loaded, err error) {
	err = s.Atomically(ctx, func(s *postgres.Store) error {
		if err := s.AddWords(ctx, p.ID, f.Fresh); err != nil {
			return err
		}
		if err := f.ensureGames(ctx, s, p.ID); err != nil {
			return err
		}
		progress(0, f.Good)
		done, err = s.LoadBatches(ctx, p.ID, f.batches(ctx), func(done int) { progress(done, f.Good) })
		return err
	})
	return done, err
}

// ensureGames finds or makes the games of the good rows.
func (f *Mapped) ensureGames(ctx context.Context, s *postgres.Store, program uuid.UUID) error {
	games, lines, of := []postgres.GameOf{}, []int{}, []*mappedGame{}
	for i := range f.games {
		g := &f.games[i]
		if g.lines = nil; g.line > 0 {
			games, lines, of = append(games, g.GameOf), append(lines, g.line), append(of, g)
		}
	}
	if err := ensureGames(ctx, s, program, games, lines); err != nil {
		return err
	}
	for i, g := range of {
		g.Game = games[i].Game
	}
	return nil
}

// batches are the plays of the good rows; one batch is read while the one before is stored.
func (f *Mapped) batches(ctx context.Context) iter.Seq2[[]*tags.Play, error] {
	return func(yield func([]*tags.Play, error) bool) {
		ctx, stop := context.WithCancel(ctx)
		var reading sync.WaitGroup
		defer reading.Wait()
		defer stop()
		ready := make(chan []*tags.Play)
		var failed error
		reading.Go(func() {
			defer close(ready)
			failed = f.again(ctx, func(plays []*tags.Play) error {
				select {
				case ready <- plays:
					return nil
				case <-ctx.Done():
					return ctx.Err()
				}
			})
		})
		for plays := range ready {
			if !yield(plays, nil) {
				return
			}
		}
		if failed != nil {
			yield(nil, failed)
		}
	}
}

// again reads the file once more and hands over the plays of its good rows.
func (f *Mapped) again(ctx context.Context, do func([]*tags.Play) error) error {
	bad := f.Bad
	sum, err := f.each(ctx, nil, func(rows []mappedRow, _ int64) error {
		plays := make([]*tags.Play, 0, len(rows))
		for i := range rows {
			r := &rows[i]
			if len(bad) > 0 && bad[0] == r.Line {
				bad = bad[1:]
				continue
			}
			at, ok := f.at[r.key()]
			if !ok || len(r.bad) > 0 {
				return errChanged
			}
			plays = append(plays, r.in(&f.games[at].Game))
		}
		return do(plays)
	})
	if err == nil && sum != f.sum {
		return errChanged
	}
	return err
}

// WriteBad writes the bad rows with their header, to be mended and fed again.
func (f *Mapped) WriteBad(w io.Writer) error {
	if _, err := f.file.Seek(0, io.SeekStart); err != nil {
		return err
	}
	cr := csvReader(f.file)
	out := csv.NewWriter(w)
	out.UseCRLF = true
	bad, head := f.Bad, true
	for {
		cells, err := cr.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return csvError(err)
		}
		if line, _ := cr.FieldPos(0); head {
			head = false
			out.Write(cells)
		} else if len(bad) > 0 && bad[0] == line {
			bad = bad[1:]
			out.Write(cells)
		}
	}
	out.Flush()
	return out.Error()
}

// csvReader reads a file from its beginning on, without the mark some programs put there.
func csvReader(r io.Reader) *csv.Reader {
	br := bufio.NewReaderSize(r, 1<<16)
	if bom, err := br.Peek(3); err == nil && string(bom) == "\xef\xbb\xbf" {
		br.Discard(3)
	}
	cr := csv.NewReader(br)
	cr.FieldsPerRecord = -1
	return cr
}

// readAtOnce is how many rows are checked, and stored, together.
const readAtOnce = 5000

// each reads the file from its beginning and hands its rows over in their order, many at once, with
// how far it is. Where look is given it looks at each, on every processor. It returns a sum of the file.
func (f *Mapped) each(ctx context.Context, look func(*mappedRow), do func([]mappedRow, int64) error) (uint32, error) {
	if _, err := f.file.Seek(0, io.SeekStart); err != nil {
		return 0, err
	}
	sum := crc32.NewIEEE()
	cr := csvReader(io.TeeReader(f.file, sum))
	head, err := f.m.header(cr)
	if err != nil {
		return 0, err
	}
	for ctx.Err() == nil {
		rows, err := some(cr)
		inParts(len(rows), func(i int) {
			f.m.read(&rows[i], head)
			if look != nil {
				look(&rows[i])
			}
		})
		if err := do(rows, cr.InputOffset()); err != nil {
			return 0, err
		}
		if err == io.EOF {
			return sum.Sum32(), nil
		}
		if err != nil {
			return 0, csvError(err)
		}
	}
	return 0, ctx.Err()
}

// header reads the row of heads, which has every column that the mapping reads.
func (m *Mapping) header(cr *csv.Reader) (head row, err error) {
	head.cells, err = cr.Read()
	if err == io.EOF {
		return head, errors.New("1: the file is empty: a header row is needed")
	}
	if err != nil {
		return head, csvError(err)
	}
	head.at, head.unknown = map[string]int{}, map[string]bool{}
	for i, h := range head.cells {
		head.at[strings.TrimSpace(h)] = i
	}
	for _, c := range m.columns() {
		if _, ok := head.at[c]; !ok {
			return head, fmt.Errorf("1: there is no column %q (the header has %s)", c, strings.Join(head.cells, ", "))
		}
	}
	for _, u := range m.Unknown {
		head.unknown[u] = true
	}
	return head, nil
}

// some reads the cells and lines of rows, and the error that ends them.
func some(cr *csv.Reader) ([]mappedRow, error) {
	var all [][]string
	var lines []int
	var err error
	for len(all) < readAtOnce {
		var cells []string
		if cells, err = cr.Read(); err != nil {
			break
		}
		line, _ := cr.FieldPos(0)
		all, lines = append(all, cells), append(lines, line)
	}
	rows := make([]mappedRow, len(all))
	for i := range rows {
		rows[i].Line, rows[i].cells = lines[i], all[i]
	}
	return rows, err
}

// read makes a record of a row's cells.
func (m *Mapping) read(r *mappedRow, head row) {
	if len(r.cells) != len(head.cells) {
		r.bad = []tags.FieldError{{Field: "row", Msg: fmt.Sprintf("%d cells, the header has %d", len(r.cells),
			len(head.cells))}}
		return
	}
	r.Record, r.bad = m.record(row{head.at, r.cells, head.unknown}, r.Line)
}
