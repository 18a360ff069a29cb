package handout

import (
	"bytes"
	"fmt"
	"os/exec"
	"strings"
	"testing"

	"overhang/internal/plan"
	"overhang/internal/reports/paper"
	"overhang/internal/stress"
	"overhang/internal/stress/field"
)

func situation(calls []plan.Named, name string, concepts []plan.Concept) Situation {
	return Situation{Name: name, Plays: 40, Board: plan.Build(calls, concepts, 40, field.HighSchool, stress.Situation{Need: 4})}
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
	s := Calls(made, calls, []Situation{situation(calls, "1st and 7-10", shown()), situation(calls, "3rd and 4-6", shown()[:1])})
	for _, b := range s.Boxes {
		if len(b.Picks) != 3 {
			t.Errorf("%s: %d calls, want three", b.Situation, len(b.Picks))
		}
		for i, p := range b.Picks {
			if i > 0 && p.Stress < b.Picks[i-1].Stress || len(strings.Fields(p.Reason)) > 5 {
				t.Errorf("%s: %+v", b.Situation, p)
			}
		}
	}
	used := map[string]bool{}
	for _, b := range s.Boxes {
		for _, p := range b.Picks {
			used[p.Call] = true
		}
		for _, a := range b.Alerts {
			used[a.Call] = true
		}
	}
	// The book's own check: quarters match plays solo against trips (quarters-match.json).
	if used["quarters match"] != (len(s.Checks) > 0 && strings.Contains(fmt.Sprint(s.Checks), "{quarters match solo there are three or more receivers on the strong side, unless there are two receivers on the weak side}")) {
		t.Errorf("checks %v of the calls %v", s.Checks, used)
	}
	d := s.Document()
	golden(t, "callsheet", d)
	numbersFrom(t, s, html(t, d), "1 2 3 5 %")
	if ps := sheetPages(t, d); len(ps) != 1 || !strings.Contains(ps[0], "1st and 7-10") {
		t.Errorf("%d pages, want one with the boxes", len(ps))
	}
}

// TestCallSheetSides: many bands with long names take two sides at most; nothing
// tagged and no calls still say what to do next.
func TestCallSheetSides(t *testing.T) {
	calls := named(t, "cover 2 spot", "quarters, both corners locked, backside safety to #3", "cover 3 sky")
	var many []Situation
	for i := range 22 {
		many = append(many, situation(calls, fmt.Sprintf("3rd and a band with a rather long name %d", i), shown()))
	}
	s := Calls(made, calls, many)
	for i := range s.Boxes {
		s.Boxes[i].Alerts = []plan.Alert{{SetName: "a set of theirs with a long name", Plays: 4, Call: "quarters, both corners locked, backside safety to #3", Stress: .3, First: .4}}
	}
	ps := sheetPages(t, s.Document())
	if len(ps) > 2 || !strings.Contains(strings.Join(ps, ""), "name 21") {
		t.Errorf("22 boxes take %d sides, want two at most with the last box", len(ps))
	}
	for what, s := range map[string]*CallSheet{
		"No situation yet":                       Calls(made, calls, nil),
		"No picture tagged or no active call":    Calls(made, calls, []Situation{situation(calls, "1st and 7-10", nil)}),
		"No picture tagged or no active call: y": Calls(made, nil, []Situation{situation(nil, "1st and 7-10", shown())}),
	} {
		if got := strings.Join(sheetPages(t, s.Document()), ""); !strings.Contains(got, what) {
			t.Errorf("the sheet lacks %q:\n%s", what, got)
		}
	}
}
