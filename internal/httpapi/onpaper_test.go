package httpapi_test

import (
	"fmt"
	"os/exec"
	"strings"
	"testing"

	"overhang/internal/reports/drawing"
)

// onPaper is the text of a PDF, read by poppler, which is not ours.
func (c *client) onPaper(path string) string {
	c.t.Helper()
	r, raw := c.do("GET", path, "")
	if r.StatusCode != 200 {
		c.t.Fatalf("%s: %d", path, r.StatusCode)
	}
	cmd := exec.Command("pdftotext", "-raw", "-", "-")
	cmd.Stdin = strings.NewReader(raw)
	out, err := cmd.Output()
	if err != nil {
		c.t.Fatalf("pdftotext (poppler-utils): %v", err)
	}
	return strings.Join(strings.Fields(string(out)), " ")
}

// paperSaysTheAnswers holds the call sheet on paper against its plan as the API tells it, and
// the board on paper against the stress board: calls, plays and chances are those of the answers.
func paperSaysTheAnswers(t *testing.T, c *client) {
	plans := c.must(200, "GET", "/v1/programs/demo/plans", "")["items"].([]any)
	id := plans[0].(map[string]any)["id"].(string)
	sheet := c.onPaper("/v1/programs/demo/opponents/dogwood/sheets/call?format=pdf&plan=" + id)
	chosen := 0
	for _, x := range c.must(200, "GET", "/v1/programs/demo/plans/"+id, "")["situations"].([]any) {
		s := x.(map[string]any)
		calls := s["choice"].(map[string]any)["calls"].([]any)
		if len(calls) == 0 {
			continue
		}
		chosen++
		name := strings.ReplaceAll(strings.ToUpper(s["situation"].(string)), " AND ", " & ")
		want := fmt.Sprintf("%s (n = %v) OUR CHOICE", name, s["plays"])
		if !strings.Contains(sheet, want) {
			t.Errorf("the call sheet lacks %q", want)
		}
		for _, call := range calls {
			if said := strings.ToUpper(call.(map[string]any)["call"].(string)); !strings.Contains(sheet, said) {
				t.Errorf("%s: %s is chosen and not on the sheet", name, said)
			}
		}
	}
	if chosen == 0 || strings.Count(sheet, "OUR CHOICE") != chosen {
		t.Errorf("%d boxes of our choice on paper, %d in the plan", strings.Count(sheet, "OUR CHOICE"), chosen)
	}
	board := c.onPaper(alder + "/reports/stress?format=pdf&down=3")
	for _, x := range c.must(200, "GET", alder+"/stress?down=3", "")["calls"].([]any) {
		r := x.(map[string]any)
		want := fmt.Sprintf("%s %s ", r["call"], drawing.Points(r["gives_up_points"].(float64)))
		if !strings.Contains(board, want) {
			t.Errorf("the board on paper lacks %q", want)
		}
	}
}
