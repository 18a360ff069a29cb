package handout

import (
	"bytes"
	"context"
	"fmt"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/golden"
	"overhang/internal/reports/paper"
	"overhang/internal/stress"
	"overhang/internal/stress/field"
)

func situation(calls []plan.Named, name string, concepts []plan.Concept) ask.SituationBoard {
	return ask.SituationBoard{Name: name, Plays: 40, Board: must(plan.Build(context.Background(), calls, concepts, 40,
		field.HighSchool, plan.Terms{Setting: stress.Usual}))}
}

func sheetPages(t *testing.T, d *paper.Document) []string {
	t.Helper()
	var pdf bytes.Buffer
	if err := d.Write(&pdf, "pdf"); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("pdftotext", "-layout", "-", "-") // poppler: a reader that is not ours
	cmd.Stdin = &pdf
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("pdftotext (poppler-utils): %v", err)
	}
	ps := strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
	for i := range ps {
		ps[i] = strings.Join(strings.Fields(ps[i]), " ")
	}
	return ps
}

func TestCallSheet(t *testing.T) {
	calls := named(t, "cover 2 spot", "quarters match", "cover 3 sky", "palms")
	s := Calls(made, calls, []ask.SituationBoard{situation(calls, "1st and 7-10", shown()), situation(calls, "3rd and 4-6",
		shown()[:1])})
	for _, b := range s.Boxes {
		if len(b.Picks) != 2 {
			t.Errorf("%s: %d calls, want two", b.Situation, len(b.Picks))
		}
		for _, p := range b.Picks { // in the order of the points they give up, which boards are held to
			if len(strings.Fields(p.Reason)) > 5 {
				t.Errorf("%s: %+v", b.Situation, p)
			}
		}
	}
	used := map[string]bool{}
	for _, b := range s.Boxes {
		for _, p := range b.Picks {
			used[p.Call] = true
		}
	}
	for _, b := range s.Boxes {
		for _, a := range b.Alerts {
			if !used[a.Call] {
				t.Errorf("%s: against %s %s, which no box carries", b.Situation, a.SetName, a.Call)
			}
		}
	}
	// The book's own check: quarters match plays solo against trips (quarters-match.json).
	if used["quarters match"] != (len(s.Checks) > 0 && strings.Contains(fmt.Sprint(s.Checks),
		"{quarters match solo trips to the strong side, unless two receivers to the weak side [3x1]}")) {
		t.Errorf("checks %v of the calls %v", s.Checks, used)
	}
	d := s.Document()
	golden.Document(t, "callsheet", d)
	numbersFrom(t, s, html(t, d), "1 2 3 5%")
	ps := sheetPages(t, d)
	if len(ps) != 1 || !strings.Contains(ps[0], "1ST & 7-10") {
		t.Errorf("%d pages, want one with the boxes", len(ps))
	}
	if strings.Contains(ps[0], "%") {
		t.Errorf("percentages nobody asked for:\n%s", ps[0])
	}
	if used["quarters match"] && !strings.Contains(ps[0], "QUARTERS MATCH vs 3x1: SOLO") {
		t.Errorf("the check of quarters match is not said:\n%s", ps[0])
	}
	if s.Percent = true; !strings.Contains(strings.Join(sheetPages(t, s.Document()), ""), "gives up") {
		t.Error("with percentages: nothing is said of what a call gives up")
	}
}

// TestCallSheetSides: many bands with long names, of calls that are recommended in short
// ones, take two sides at most; nothing tagged and no calls still say what to do next.
func TestCallSheetSides(t *testing.T) {
	calls := named(t, "cover 2 spot", "cover 3 sky")
	var many []ask.SituationBoard
	for i := range 22 {
		many = append(many, situation(calls, fmt.Sprintf("3rd and a band with a rather long name %d", i), shown()))
	}
	s := Calls(made, calls, many)
	for i := range s.Boxes {
		s.Boxes[i].Alerts = []plan.Alert{{SetName: "a set of theirs with a long name", Plays: 4,
			Call: "quarters, both corners locked, backside safety to #3", Stress: .3, First: .4}}
	}
	ps := sheetPages(t, s.Document())
	if len(ps) > 2 || !strings.Contains(strings.Join(ps, ""), "NAME 21") {
		t.Errorf("22 boxes take %d sides, want two at most with the last box", len(ps))
	}
	for what, s := range map[string]*CallSheet{
		"No situation yet": Calls(made, calls, nil),
		"(n = 40) base":    Calls(made, calls, []ask.SituationBoard{situation(calls, "1st and 7-10", nil)}),
		"(n = 40) base ":   Calls(made, nil, []ask.SituationBoard{situation(nil, "1st and 7-10", shown())}),
	} {
		if got := strings.Join(sheetPages(t, s.Document()), ""); !strings.Contains(got, what) {
			t.Errorf("the sheet lacks %q:\n%s", what, got)
		}
	}
}

// TestPlannedCalls: of a plan, what the coordinator chose by its share, else what was
// recommended, the mix first; each box says which, the sheet whether it is locked.
func TestPlannedCalls(t *testing.T) {
	calls := named(t, "cover 2 spot", "quarters match", "cover 3 sky", "palms")
	c := &plan.Content{MadeAt: made.Date}
	for _, x := range []ask.SituationBoard{situation(calls, "1st and 7-10", shown()), situation(calls, "3rd and 4-6",
		shown()[:1]), situation(calls, "4th down", nil), situation(calls, "GOAL", nil)} {
		c.Situations = append(c.Situations, plan.Take(x.Name, nil, &x.Board, false))
	}
	err := c.Choose([]plan.ChoiceIn{{Situation: "3rd and 4-6",
		Choice: plan.Choice{Calls: []plan.Chosen{{Call: "palms", Share: .25}, {Call: "cover 3 sky", Share: .6}},
			Note: "wet field"}},
		{Situation: "GOAL", Choice: plan.Choice{Calls: []plan.Chosen{{Call: "palms", Share: 1}}}}})
	if err != nil {
		t.Fatal(err)
	}
	s := PlannedCalls(made, calls, Planned{Label: "week 5", MadeAt: c.MadeAt}, c)
	if first := s.Boxes[0]; first.Own || !first.Picks[0].Mixed() || len(first.Picks) < 2 {
		t.Errorf("nothing chosen: %+v; want the mix first, two calls at least", first)
	}
	if own := s.Boxes[1]; !own.Own || len(own.Picks) != 2 || own.Picks[0].Call != "cover 3 sky" ||
		*own.Picks[0].Own != .6 || own.Picks[1].Call != "palms" || own.Note != "wet field" {
		t.Errorf("chosen: %+v; want cover 3 sky before palms", own)
	}
	d := s.Document()
	golden.Document(t, "callsheet-plan", d)
	numbersFrom(t, s, html(t, d), "1 2 3 5%")
	text := strings.Join(strings.Fields(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(html(t, d), " ")), " ")
	for _, want := range []string{"3RD & 4-6 (n = 40) OUR CHOICE COVER 3 SKY PALMS", "Note: wet field",
		"4TH DOWN (n = 40) base", "GOAL (n = 40) OUR CHOICE PALMS", "Stats as of Sep 4, 2026"} {
		if !strings.Contains(text, want) {
			t.Errorf("the sheet lacks %q:\n%s", want, text)
		}
	}
	at := made.Date
	if ps := sheetPages(t, d); len(ps) != 1 || !strings.Contains(ps[0], "Call sheet, draft") {
		t.Errorf("%d pages, want one: %v", len(ps), ps)
	}
	if ps := sheetPages(t, PlannedCalls(made, calls, Planned{"week 5", c.MadeAt, &at},
		c).Document()); !strings.Contains(ps[0], "Call sheet, locked") {
		t.Errorf("a locked plan: %s", ps[0])
	}
}

// TestPersonnelBoxes: their personnel has a box where another call than base comes first, else a
// line says that it has none of its own.
func TestPersonnelBoxes(t *testing.T) {
	first := func(group, call string, own bool) Box {
		return Box{Situation: group + " personnel", Group: group, Back: true, Plays: 20, Behind: 20, Own: own,
			Picks: []plan.Pick{{Call: call}}, Alerts: []plan.Alert{}}
	}
	s := CallSheet{Furniture: made, Base: "cover 1", Boxes: []Box{{Situation: "1st and 7-10", Plays: 30, Behind: 30,
		Picks: []plan.Pick{{Call: "cover 1"}}}, first("11", "cover 1", false), first("12", "palms", false),
		first("21", "cover 1", true)}}
	text := strings.Join(sheetPages(t, s.Document()), " ")
	for _, want := range []string{"12 PERSONNEL (n = 20)", "21 PERSONNEL (n = 20)", "OUR CHOICE", "Same vs 11 personnel"} {
		if !strings.Contains(text, want) {
			t.Errorf("the sheet lacks %q:\n%s", want, text)
		}
	}
	if strings.Contains(text, "11 PERSONNEL") {
		t.Errorf("a box says no more than base does:\n%s", text)
	}
}
