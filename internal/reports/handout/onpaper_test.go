package handout

import (
	"bytes"
	"context"
	"math"
	"testing"

	"overhang/integration/outside"
	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/paper"
	"overhang/internal/stress"
	"overhang/internal/stress/field"
)

// TestSheetsOnPaper: every sheet, on letter and A4 and with percentages, is sound, opens with
// title, language, tags and bookmarks, has no text below 8.5 pt and none that is pale in black
// and white; a call's capitals on the call sheet, as they come out of a printer, are 20 minutes
// of arc high at 70 cm (geometry).
func TestSheetsOnPaper(t *testing.T) {
	calls := []string{"cover 3 sky", "quarters match", "palms"}
	w := weekOf(named(t, calls...), withRuns())
	packet, err1 := Positions(context.Background(), made, w, "", "")
	scout, err2 := Scout(context.Background(), made, w, usages(), 0, 2)
	quiz, err3 := MakeQuiz(made, w, "", "", 0)
	script, err4 := MakePractice(made, field.HighSchool, []ask.Stretch{{Period: plan.UsualPeriods[1],
		Board: must(plan.Build(context.Background(), w.Calls, w.Concepts, 1, field.HighSchool,
			plan.Terms{Setting: stress.Usual}))}}, nil)
	if err1 != nil || err2 != nil || err3 != nil || err4 != nil {
		t.Fatal(err1, err2, err3, err4)
	}
	sheet := func(percent bool) *paper.Document {
		s := Calls(made, w.Calls, []ask.SituationBoard{situation(w.Calls, "1st and 7-10", shown()),
			situation(w.Calls, "3rd and 4-6", shown())})
		s.Percent = percent
		s.Boxes[0].Own = true
		return s.Document()
	}
	arc := 700 * math.Tan(20.0/60*math.Pi/180)
	for _, a4 := range []bool{false, true} {
		for k, d := range []*paper.Document{packet.Document(), scout.Document(), quiz.Document(), script.Document(),
			sheet(false), sheet(true)} {
			d.A4 = a4
			var b bytes.Buffer
			if err := d.Write(&b, "pdf"); err != nil {
				t.Fatal(err)
			}
			pdf := b.Bytes()
			outside.SoundPDF(t, pdf)
			outside.OpenedPDF(t, pdf)
			if least := outside.LeastPDFText(t, pdf); least < 8.5 {
				t.Errorf("%s, A4 %v: the smallest text is %.2f pt", d.Title, a4, least)
			}
			if pale := outside.PaleText(t, pdf); len(pale) > 0 {
				t.Errorf("%s, A4 %v: pale in black and white: %v", d.Title, a4, pale)
			}
			if bad := outside.UnmarkedPDF(t, pdf); len(bad) > 0 {
				t.Errorf("%s, A4 %v: %d pieces outside of the structure: %.200q", d.Title, a4, len(bad), bad)
			}
			if k < 4 {
				continue
			}
			if tall := outside.InkHeight(t, pdf, "COVER"); tall < arc {
				t.Errorf("A4 %v, sheet %d: capitals of a call are %.2f mm; 20 minutes of arc at 70 cm are %.2f", a4, k, tall,
					arc)
			} else {
				t.Logf("A4 %v, sheet %d: capitals of %.2f mm, wanted %.2f", a4, k, tall, arc)
			}
		}
	}
}
