package intake

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"sort"
	"strconv"
	"strings"
	"sync"
	"time"

	"overhang/internal/tags"
)

// A BadRow is a record that cannot be stored.
type BadRow struct {
	Line   int // of the file, the header is line 1
	Fields []tags.FieldError
	Cells  []string
}

// A Record is a play with the game it belongs to.
type Record struct {
	Line             int
	Opponent, Season string
	Game             tags.Game
	Play             tags.Play
	cells            []string

	opponentName string    // as the sheet writes it
	tab, half    string    // a sheet's, while it is read
	goalToGo     bool      // the distance is to the goal line
	downZero     bool      // the cell said 0: a kickoff or a try, or a slip
	day          time.Time // of the game
	words        []use     // what the vocabulary and the tables have to read
	ran          []ran     // routes by the letters of men
	kick         bool      // no play of the offense
	bad          []tags.FieldError
}

// A File is a spreadsheet read through a mapping.
type File struct {
	Header  []string
	Records []Record
	Bad     []BadRow
}

// Read reads a CSV file. It fails on what is wrong with the whole file (no
// header, a missing column, a quote left open); what is wrong with one row is a
// BadRow.
func Read(r io.Reader, m *Mapping) (*File, error) {
	br := bufio.NewReader(r)
	if bom, err := br.Peek(3); err == nil && string(bom) == "\xef\xbb\xbf" {
		br.Discard(3)
	}
	cr := csv.NewReader(br)
	cr.FieldsPerRecord = -1
	header, err := cr.Read()
	if err == io.EOF {
		return nil, errors.New("1: the file is empty: a header row is needed")
	}
	if err != nil {
		return nil, csvError(err)
	}
	f := &File{Header: header}
	at := map[string]int{}
	for i, h := range header {
		at[strings.TrimSpace(h)] = i
	}
	for _, c := range m.columns() {
		if _, ok := at[c]; !ok {
			return nil, fmt.Errorf("1: there is no column %q (the header has %s)", c, strings.Join(header, ", "))
		}
	}
	unknown := map[string]bool{}
	for _, u := range m.Unknown {
		unknown[u] = true
	}
	m.sort()
	games := map[string]int{} // line of each play, by game and number
	for {
		lines, cells, err := some(cr)
		recs, bad := make([]Record, len(cells)), make([][]tags.FieldError, len(cells))
		inParts(len(cells), func(i int) {
			if len(cells[i]) == len(header) {
				recs[i], bad[i] = m.record(row{at, cells[i], unknown}, lines[i])
			}
		})
		f.makeRoom(r, cr.InputOffset(), len(cells))
		for i := range cells {
			f.take(games, lines[i], cells[i], &recs[i], bad[i])
		}
		if err == io.EOF {
			return f, nil
		}
		if err != nil {
			return nil, csvError(err)
		}
	}
}

// makeRoom makes room for all records of a file whose length is known, once its first rows have
// been read: a list that grows is there twice while it does.
func (f *File) makeRoom(r io.Reader, read int64, rows int) {
	file, ok := r.(*os.File)
	if !ok || f.Records != nil || rows < readAtOnce {
		return
	}
	if info, err := file.Stat(); err == nil && info.Mode().IsRegular() {
		f.Records = make([]Record, 0, rows+int(max(0, info.Size()-read)*int64(rows)/max(1, read)*103/100))
	}
}

// take puts a row with what it was read as where it belongs.
func (f *File) take(games map[string]int, line int, cells []string, rec *Record, bad []tags.FieldError) {
	if len(cells) != len(f.Header) {
		f.Bad = append(f.Bad, BadRow{line, []tags.FieldError{{Field: "row", Msg: fmt.Sprintf("%d cells, the header has %d",
			len(cells), len(f.Header))}}, cells})
		return
	}
	key := rec.Opponent + "\x00" + rec.Game.Label + "\x00" + strconv.Itoa(rec.Play.Number)
	if first, ok := games[key]; ok && len(bad) == 0 {
		bad = append(bad, tags.FieldError{Field: "number", Msg: fmt.Sprintf("play %d of this game is on line %d already",
			rec.Play.Number, first)})
	}
	if len(bad) > 0 {
		f.Bad = append(f.Bad, BadRow{line, bad, cells})
		return
	}
	games[key] = line
	f.Records = append(f.Records, *rec)
}

// readAtOnce is how many rows are checked together.
const readAtOnce = 4096

// some reads rows with their lines, and the error that ends them.
func some(cr *csv.Reader) (lines []int, rows [][]string, err error) {
	for len(rows) < readAtOnce {
		cells, err := cr.Read()
		if err != nil {
			return lines, rows, err
		}
		line, _ := cr.FieldPos(0)
		lines, rows = append(lines, line), append(rows, cells)
	}
	return lines, rows, nil
}

// inParts does something for each of n, on every processor where there are many.
func inParts(n int, do func(i int)) {
	workers := 1
	if n > 500 {
		workers = runtime.GOMAXPROCS(0)
	}
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for i := n * w / workers; i < n*(w+1)/workers; i++ {
				do(i)
			}
		})
	}
	wg.Wait()
}

func csvError(err error) error {
	var pe *csv.ParseError
	if errors.As(err, &pe) {
		return fmt.Errorf("%d: %w", pe.Line, pe.Err)
	}
	return err
}

// record maps one row; every field that cannot be used is named.
func (m *Mapping) record(r row, line int) (Record, []tags.FieldError) {
	rec := Record{Line: line, Opponent: m.Opponent.value(r), Season: m.Season.value(r), cells: r.cells}
	rec.Game.Label = m.Game.value(r)
	var bad []tags.FieldError
	complain := func(field string, err error) { bad = append(bad, tags.FieldError{Field: field, Msg: err.Error()}) }
	if rec.Opponent == "" {
		complain("opponent", errors.New("is missing"))
	}
	if rec.Game.Label == "" {
		complain("game", errors.New("is missing"))
	}
	if v := m.Week.value(r); v != "" {
		if err := whole(v, func(n int) { rec.Game.Week = &n }); err != nil {
			complain("week", err)
		}
	}
	if v := m.Versus.value(r); v != "" {
		rec.Game.Versus = &v
	}
	if v := m.Ours.value(r); v != "" {
		if err := truth(v, func(b bool) { rec.Game.Ours = b }); err != nil {
			complain("ours", err)
		}
	}
	p := &rec.Play
	p.Status = "counted"
	for _, field := range m.fields {
		s := m.Fields[field]
		if v := s.value(r); v != "" {
			if err := setters[field](p, v); err != nil {
				complain(field, err)
			}
		}
	}
	for i, route := range m.Routes {
		bad = append(bad, m.route(p, r, i, route)...)
	}
	if err := p.Validate(); err != nil {
		bad = append(bad, tags.As(err).Fields...)
	}
	return rec, bad
}

// route adds one eligible's route where the row has one.
func (m *Mapping) route(p *tags.Play, r row, i int, from map[string]Source) []tags.FieldError {
	name := from["route"]
	if name.value(r) == "" {
		return nil
	}
	var rt tags.Route
	var bad []tags.FieldError
	for _, field := range m.routes[i] {
		s := from[field]
		if v := s.value(r); v != "" {
			if err := routeSetters[field](&rt, v); err != nil {
				bad = append(bad, tags.FieldError{Field: fmt.Sprintf("routes[%d].%s", i, field), Msg: err.Error()})
			}
		}
	}
	p.Routes = append(p.Routes, rt)
	return bad
}

// sort says in which order a row's fields are read, and those of its routes.
func (m *Mapping) sort() {
	m.fields, m.routes = sortedKeys(m.Fields), nil
	for _, r := range m.Routes {
		m.routes = append(m.routes, sortedKeys(r))
	}
}

func sortedKeys[V any](m map[string]V) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

// WriteBad writes the bad rows with their header, to be mended and fed again.
func (f *File) WriteBad(w io.Writer) error {
	cw := csv.NewWriter(w)
	cw.UseCRLF = true
	cw.Write(f.Header)
	for _, b := range f.Bad {
		cw.Write(b.Cells)
	}
	cw.Flush()
	return cw.Error()
}
