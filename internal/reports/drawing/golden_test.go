package drawing

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"overhang/internal/reports/ink"
)

// golden compares bytes with a file of testdata; -update rewrites it. It keeps
// bytes stable and proves nothing else.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s changed: look at it (-gallery), then run with -update", name)
	}
}

func TestGolden(t *testing.T) {
	smash := pairs[0].play(t)
	pic, _ := pairs[7].picture(t)
	line, legend, play, heat := Time(smash, 0), Legend(180), Play(smash, 0, Options{}),
		Board(board(3, 4), "An invented board")
	for name, l := range map[string]*ink.List{"timeline": line.List(120), "legend": legend, "heat": heat.List(180)} {
		var svg, pdf bytes.Buffer
		if err := l.SVG(&svg); err != nil {
			t.Fatal(err)
		}
		golden(t, name+".svg", svg.Bytes())
		l.WritePDF(&pdf, made)
		golden(t, name+".pdf", pdf.Bytes())
	}
	var moving bytes.Buffer
	if err := play.SVG(&moving, 120, 1); err != nil {
		t.Fatal(err)
	}
	golden(t, "playback.svg", moving.Bytes())
	for name, s := range map[string]Scene{
		"finding": Finding(smash, 0, Options{Caption: true}),
		"call":    Call(smash, Options{FromDefense: true}),
		"concept": Concept(pic, Options{}),
	} {
		var svg, pdf, again bytes.Buffer
		if err := s.SVG(&svg, 120); err != nil {
			t.Fatal(err)
		}
		golden(t, name+".svg", svg.Bytes())
		s.WritePDF(&pdf, 120, made)
		golden(t, name+".pdf", pdf.Bytes())
		if s.WritePDF(&again, 120, made); !bytes.Equal(pdf.Bytes(), again.Bytes()) {
			t.Errorf("%s: the same scene and date gave two PDFs", name)
		}
	}
}
