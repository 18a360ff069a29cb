package drawing

import (
	"bytes"
	"testing"

	"overhang/internal/reports/golden"
	"overhang/internal/reports/ink"
)

func TestGolden(t *testing.T) {
	smash := pairs[0].play(t)
	pic, _ := pairs[7].picture(t)
	line, legend, play, heat := Time(smash, 0), Legend(180), Play(smash, 0, Options{}),
		Board(board(3, 4), "An invented board")
	for name, l := range map[string]*ink.List{"timeline": line.List(120), "legend": legend, "heat": heat.List(180)} {
		var svg bytes.Buffer
		if err := l.SVG(&svg); err != nil {
			t.Fatal(err)
		}
		golden.File(t, name+".svg", svg.Bytes())
	}
	var moving bytes.Buffer
	if err := play.SVG(&moving, 120, 1); err != nil {
		t.Fatal(err)
	}
	golden.File(t, "playback.svg", moving.Bytes())
	for name, s := range map[string]Scene{
		"finding": Finding(smash, 0, Options{Caption: true}),
		"call":    Call(smash, Options{FromDefense: true}),
		"concept": Concept(pic, Options{}),
	} {
		var svg, pdf, again bytes.Buffer
		if err := s.SVG(&svg, 120); err != nil {
			t.Fatal(err)
		}
		golden.File(t, name+".svg", svg.Bytes())
		s.WritePDF(&pdf, 120, made)
		if s.WritePDF(&again, 120, made); !bytes.Equal(pdf.Bytes(), again.Bytes()) {
			t.Errorf("%s: the same scene and date gave two PDFs", name)
		}
	}
}
