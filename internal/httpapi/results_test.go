package httpapi_test

import (
	"strings"
	"testing"

	"overhang/internal/tags"
)

// TestResults: an opponent who succeeds more often than the others on the same downs gives
// every number of its board that much more, drawn toward everybody; the page says so. What
// was assumed (45 plays overall) is of the design; the counts are invented.
func TestResults(t *testing.T) {
	t.Parallel()
	c, s := serve(t)
	c.smashes()
	of := func() (success float64, results map[string]any) {
		t.Helper()
		b := c.must(200, "GET", ours+"/opponents/o1/stress", "")
		results, _ = b["concepts"].([]any)[0].(map[string]any)["results"].(map[string]any)
		return b["calls"].([]any)[0].(map[string]any)["cells"].([]any)[0].(map[string]any)["success"].(float64), results
	}
	before, r := of()
	if r == nil || r["learned"] != false || r["worth_plays"] != 45.0 {
		t.Fatalf("results %v", r)
	}
	// the others fail on the same downs, all of it
	loadFor(t, s, "o2", "a", 1, many([]tags.Play(nil), 60, snap(1, 1, 10, 0, "pass", "incomplete"))...)
	level := r["level"].(float64)
	after, r := of()
	t.Logf("level %.3f, then %.3f; success %.3f, then %.3f", level, r["level"], before, after)
	if r["all_plays"].(float64) < 60 {
		t.Errorf("of all opponents %v plays", r["all_plays"])
	}
	if got, want := after-before, r["level"].(float64)-level; got*want < 0 || want == 0 {
		t.Errorf("the level moved by %.4f, success by %.4f", want, got)
	}
	_, page := c.do("GET", "/programs/ours/opponents/o1/board", "")
	if !strings.Contains(page, `id="results"`) ||
		!strings.Contains(page, "how close is assumed until you have six opponents") {
		t.Error("the board's page does not say what their results add")
	}
}
