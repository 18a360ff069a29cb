package drawing

import (
	"testing"

	"overhang/internal/reports/ink"
	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// men are the styles of the signs of men.
var men = map[string]bool{"eligible": true, "defender": true, "conflict": true, "lineman": true, "rusher": true}

// hidden counts the signs of men that a label lies on: its card touches the box round the sign
// by more than a hair. It reads the laid out marks, as a writer does.
func hidden(l *ink.List) (labels, over int) {
	around := func(m *ink.Mark) ink.Box {
		if m.Paths == nil {
			return ink.Around(m.At, m.RX, m.RY)
		}
		b := ink.Corners(m.Paths[0][0].X, m.Paths[0][0].Y, m.Paths[0][0].X, m.Paths[0][0].Y)
		for _, p := range m.Paths[0] {
			b = ink.Corners(min(b.X0, p.X), min(b.Y0, p.Y), max(b.X1, p.X), max(b.Y1, p.Y))
		}
		return b
	}
	var signs []ink.Box
	for i := range l.Marks {
		if m := &l.Marks[i]; men[m.Style] && m.Name != "" {
			signs = append(signs, around(m))
		}
	}
	const hair = 0.3 // mm2
	for i := range l.Marks {
		if l.Marks[i].Style != "paper" {
			continue
		}
		labels++
		card := around(&l.Marks[i])
		for _, s := range signs {
			if card.Overlap(s) > hair {
				over++
			}
		}
	}
	return labels, over
}

// TestLabelsHideNobody draws every call of the book against every picture of the library, as
// call, as finding and as card, at the widths they are printed at: no label lies on a man.
func TestLabelsHideNobody(t *testing.T) {
	params := motion.Defaults(field.HighSchool)
	labels, over := 0, 0
	see := func(what string, s Scene, w float64) {
		n, bad := hidden(s.List(w))
		labels += n
		if over += bad; bad > 0 && over < 20 {
			t.Errorf("%s, %g mm: a label lies on %d men", what, w, bad)
		}
	}
	for _, e := range picture.Library() {
		pic, err := picture.New(picture.Spec{Set: e.Set, Family: e.Family, Routes: e.Routes, Concept: e.Concept,
			Receiver: params.Receiver, Back: params.Back})
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range []float64{58, 188} {
			see(e.Concept, Concept(pic, Options{}), w)
		}
		play := stress.Prepare(pic, &params)
		for _, c := range call.Book() {
			r := must(stress.Evaluate(t.Context(), c, play, stress.Usual))
			what := e.Concept + " against " + c.Call.Name
			see(what, Call(r, Options{FromDefense: true}), 188)
			see(what+", one man", Call(r, Options{FromDefense: true, Bare: r.Rep.Setup.Men[4].Slot.Name}), 58)
			if len(r.Findings) > 0 {
				see(what+", finding", Finding(r, 0, Options{FromDefense: true}), 92)
			}
		}
	}
	if over > 0 || labels < 5000 {
		t.Errorf("%d labels lie on men, of %d", over, labels)
	}
}
