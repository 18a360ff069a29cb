package httpapi_test

import (
	"html"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"overhang/internal/tags"
)

// TestEveryRowHasItsSnaps: whatever the tendencies page groups by, the number of a row
// leads to as many snaps as it says, and those of all rows are all that was counted: the
// page that counts and the page that lists know one meaning of a filter.
func TestEveryRowHasItsSnaps(t *testing.T) {
	t.Parallel()
	c, s := serve(t)
	thrown := snap(4, 3, 9, 14, "pass", "complete")
	thrown.Family, thrown.SetName, thrown.Concept, thrown.PlaySide = ptr("dropback"), ptr("2x2"), ptr("smash"), ptr("left")
	thrown.Strength, thrown.Hash, thrown.ScoreMargin, thrown.Blitzers = ptr("left"), ptr("right"), ptr(-3), ptr(1)
	thrown.ThrowDepth, thrown.YardsToGoal = ptr(12), ptr(40)
	thrown.Routes = []tags.Route{{Side: "left", Number: 2, Eligible: "tight_end", Route: "hitch",
		BreakDepthYd: ptr(5.0), Targeted: true}}
	run := snap(1, 1, 10, 2, "run", "rush")
	run.Hash, run.YardsToGoal, run.Coverage = ptr("left"), ptr(8), ptr("cover 3")
	load(t, s, "early", 1, run, thrown, snap(2, 2, 8, 0, "pass", "incomplete"), tags.Play{})
	load(t, s, "late", 2, snap(3, 1, 10, 11, "run", "rush"), thrown)
	row := regexp.MustCompile(`<a href="([^"]*/snaps\?[^"]*)" aria-label="(\d+) plays?: their snaps">`)
	const page = "/programs/ours/opponents/o1/tendencies?by="
	for _, by := range append(tags.Dimensions, "down,distance_band", "half,called&down=1", "game&success=yes") {
		_, raw := c.do("GET", page+by, "", "Accept", "text/html")
		rows := row.FindAllStringSubmatch(raw, -1)
		if len(rows) == 0 {
			t.Errorf("by %s: no row", by)
		}
		sum := 0
		for _, x := range rows {
			want, _ := strconv.Atoi(x[2])
			_, list := c.do("GET", html.UnescapeString(x[1]), "", "Accept", "text/html")
			if got := strings.Count(list, `data-of="snap"`); got != want {
				t.Errorf("by %s: a row of %d plays leads to %d snaps: %s", by, want, got, x[1])
			}
			sum += want
		}
		if !strings.Contains(by, "&") && sum != 6 {
			t.Errorf("by %s: the rows hold %d plays; 6 are counted", by, sum)
		}
	}
}
