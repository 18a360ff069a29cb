package stress

import (
	"flag"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	beside "overhang/integration/outside"
)

var liftDir = flag.String("lift-pictures", "", "write pictures of the seasons' lift and the engine's into this folder")

// A picture of one coverage: a row a route, the season's bar over the engine's, to the right
// where passers throw it more against this coverage than elsewhere.
const (
	liftWide  = 300
	liftRow   = 22
	liftTop   = 34
	liftZero  = 185.0
	liftScale = 80.0 // pixels of a log lift of one
)

// TestLiftPictures draws where passers of the seasons in -target-lift throw beside where
// the engine's do, one picture a coverage. With -lift-pictures DIR it writes them.
func TestLiftPictures(t *testing.T) {
	if !there(*liftFile) {
		beside.Missing(t, "no table of targets")
	}
	by := map[string][]cell{}
	for _, c := range lifts(t, seenThrows(t, false)) {
		by[c.coverage] = append(by[c.coverage], c)
	}
	if len(by) < 5 {
		t.Errorf("%d coverages have cells", len(by))
	}
	for _, coverage := range slices.Sorted(maps.Keys(by)) {
		svg := liftPicture(coverage, by[coverage])
		if bars := strings.Count(svg, "<rect"); bars != 2*len(by[coverage])+2 {
			t.Errorf("%s: %d bars for %d routes", coverage, bars, len(by[coverage]))
		}
		if *liftDir == "" {
			continue
		}
		name := filepath.Join(*liftDir, "lift-"+strings.ReplaceAll(strings.ToLower(coverage), "_", "-")+".svg")
		if err := os.WriteFile(name, []byte(svg), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func liftPicture(coverage string, cells []cell) string {
	slices.SortFunc(cells, func(a, b cell) int { return strings.Compare(a.route, b.route) })
	high := liftTop + liftRow*len(cells) + 8
	title := strings.ToLower(strings.ReplaceAll(coverage, "_", " "))
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" font-family="sans-serif" `+
		`font-size="11" role="img" aria-label="%s: where passers throw, the seasons and the engine">`+"\n", liftWide, high,
		liftWide, title)
	fmt.Fprintf(&b, `<text x="6" y="16" font-size="13" font-weight="bold">%s</text>`+"\n", title)
	fmt.Fprintf(&b, `<rect x="150" y="7" width="9" height="9" fill="#444"/><text x="163" y="16">seasons</text>`+"\n")
	fmt.Fprintf(&b, `<rect x="225" y="7" width="9" height="9" fill="#4a90c4"/><text x="238" y="16">engine</text>`+"\n")
	fmt.Fprintf(&b, `<path d="M%.0f %dV%d" stroke="#999"/>`+"\n", liftZero, liftTop-8, high-4)
	for n, c := range cells {
		y := liftTop + liftRow*n
		fmt.Fprintf(&b, `<text x="6" y="%d">%s</text>`, y+12, strings.ToLower(c.route))
		liftBar(&b, y, c.want, "#444")
		liftBar(&b, y+9, c.got, "#4a90c4")
	}
	return b.String() + "</svg>\n"
}

// liftBar is a lift of at most 1.3 to either side.
func liftBar(b *strings.Builder, y int, lift float64, fill string) {
	wide := liftScale * min(1.3, math.Abs(lift))
	x := liftZero
	if lift < 0 {
		x -= wide
	}
	fmt.Fprintf(b, `<rect x="%.1f" y="%d" width="%.1f" height="8" fill="%s"><title>%.2f</title></rect>`+"\n", x, y, wide,
		fill, lift)
}
