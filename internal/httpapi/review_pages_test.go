package httpapi_test

import (
	"fmt"
	"html"
	"strings"
	"testing"

	"overhang/internal/demo"
)

// TestReviewPages: the review and the self-scout in pictures say the numbers of the API's
// answers, by half too, and every mark says in words what it draws.
func TestReviewPages(t *testing.T) {
	t.Parallel()
	c, store := serve(t)
	if err := demo.Load(t.Context(), store); err != nil {
		t.Fatal(err)
	}
	p := c.must(200, "GET", "/v1/programs/demo/plans", "")["items"].([]any)[0].(map[string]any)
	for _, half := range []string{"", "?half=first"} {
		at := fmt.Sprintf("/v1/programs/demo/plans/%s/review%s", p["id"], half)
		r := c.must(200, "GET", at, "")
		came := r["calibration"].(map[string]any)["came"].(map[string]any)
		_, page := c.do("GET", fmt.Sprintf("/programs/demo/opponents/%s/plans/%s/review%s",
			p["opponent_id"], p["id"], half), "")
		page = html.UnescapeString(page)
		want := []string{fmt.Sprintf("%.0f plays", r["plays"]), fmt.Sprintf("of %.0f play", came["plays"])}
		for _, x := range r["situations"].([]any) {
			s := x.(map[string]any)
			want = append(want, "<h3>"+s["situation"].(string)+" ")
			for _, x := range s["concepts"].([]any) {
				k := x.(map[string]any)
				ran, predicted := k["ran"].(map[string]any), k["predicted"].(map[string]any)
				if s["ran"] == 0.0 || ran["x"] == 0.0 && predicted["share"].(float64) < 0.1 {
					continue // neither run nor expected on a tenth of the plays
				}
				want = append(want, fmt.Sprintf("expected %.0f%%, was %.0f%%", 100*predicted["share"].(float64),
					100*ran["share"].(float64)))
			}
		}
		for _, w := range want {
			if !strings.Contains(page, w) {
				t.Errorf("%s lacks %q", half, w)
			}
		}
		if a, b := strings.Count(page, "<svg class"), strings.Count(page, `role="img"`); a != b || a == 0 {
			t.Errorf("%d drawings, %d of them named", a, b)
		}
	}
	scout := c.must(200, "GET", "/v1/programs/demo/reports/self-scout", "")
	_, page := c.do("GET", "/programs/demo/self-scout", "")
	for _, x := range scout["calls"].([]any) {
		k := x.(map[string]any)
		if w := fmt.Sprintf("%.0f of %.0f", k["plays"], k["of_plays"]); !strings.Contains(page, w) {
			t.Errorf("the self-scout lacks %s: %s", k["call"], w)
		}
	}
}
