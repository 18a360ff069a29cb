package paper

import (
	"fmt"

	"overhang/internal/reports/ink"
)

// A tagger puts what is painted into the document's structure.
type tagger struct {
	*ink.Structure
	at    *ink.Element // the section that is being painted
	level int          // of the last heading in it
}

// mark paints content of an element, which comes to stand where the first of it is painted.
func (p *press) mark(e *ink.Element, paint func()) {
	p.tags.Under(p.tags.at, e)
	p.tags.Mark(e, paint)
}

// tagged makes pieces the content of one element.
func (p *press) tagged(role string, ps []piece) []piece {
	return p.content(ps, &ink.Element{Role: role}, func() {})
}

// headed makes pieces a heading: of the level that is asked for, or of the next one below the
// last, so that none is left out.
func (p *press) headed(level int, ps []piece) []piece {
	e := &ink.Element{}
	return p.content(ps, e, func() {
		if e.Role == "" {
			p.tags.level = min(level, p.tags.level+1)
			e.Role = fmt.Sprint("H", p.tags.level)
		}
	})
}

func (p *press) content(ps []piece, e *ink.Element, first func()) []piece {
	for i := range ps {
		paint := ps[i].paint
		if paint == nil {
			continue
		}
		ps[i].paint = func(x, y float64) {
			first()
			p.mark(e, func() { paint(x, y) })
		}
	}
	return ps
}

// section paints what belongs together, a card, under an element of its own.
func (p *press) section(paint func()) {
	at, level := p.tags.at, p.tags.level
	p.tags.at = p.tags.Under(at, &ink.Element{Role: "Sect"})
	paint()
	p.tags.at, p.tags.level = at, level
}

// cells are a row of a table in the structure.
func cells(t *Table, head bool) (row *ink.Element, out []*ink.Element) {
	role := map[bool]string{true: "TH", false: "TD"}[head]
	for range t.Columns {
		out = append(out, &ink.Element{Role: role})
	}
	return &ink.Element{Role: "TR"}, out
}
