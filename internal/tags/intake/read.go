package intake

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"runtime"
	"sort"
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

// A File is a spreadsheet that is held in memory.
type File struct {
	Header  []string
	Records []Record
	Bad     []BadRow
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
