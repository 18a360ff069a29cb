package stress

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"
)

var drawn = flag.String("draw-lift", "",
	"write the season's lift beside the engine's, by coverage, as a picture to this file")

// TestDrawLift draws where passers throw, for the page lift.md:
//
//	go test ./internal/stress -run TestDrawLift -args -draw-lift lift.svg
func TestDrawLift(t *testing.T) {
	if *drawn == "" {
		t.Skip("asked for by -draw-lift")
	}
	cells := lifts(t, seenThrows(t, false))
	by := map[string][]cell{}
	for _, c := range cells {
		by[c.coverage] = append(by[c.coverage], c)
	}
	words := []string{"COVER_0", "COVER_1", "2_MAN", "COVER_2", "COVER_3", "COVER_4", "COVER_6"}
	var b strings.Builder
	const wide, high, row = 210, 190, 14
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" font-family="sans-serif" font-size="10">`+
		"\n", 4*wide, 2*high+24)
	fmt.Fprintln(&b, "<title>Where passers throw: log lift by route and coverage, the season's (gray) and the engine's "+
		"(blue)</title>")
	for n, w := range words {
		x, y := float64(n%4*wide), float64(n/4*high)
		fmt.Fprintf(&b, `<text x="%g" y="%g" font-weight="bold">%s</text>`+"\n", x+8, y+16,
			strings.ReplaceAll(strings.ToLower(w), "_", " "))
		zero := x + 130
		fmt.Fprintf(&b, `<path d="M%g %gV%g" stroke="#999"/>`+"\n", zero, y+22, y+26+row*float64(len(by[w])))
		for i, c := range by[w] {
			at := y + 26 + row*float64(i)
			fmt.Fprintf(&b, `<text x="%g" y="%g">%s</text>`+"\n", x+8, at+9, strings.ToLower(c.route))
			fmt.Fprint(&b, bar(zero, at, c.want, "#999"), bar(zero, at+5, c.got, "#1f5fa8"))
		}
	}
	fmt.Fprintf(&b, `<text x="8" y="%d" fill="#555">Gray: the season; blue: the engine. Right: thrown more than `+
		`against other coverages. A full bar is a factor of 2.7. Charting: FTN Data and NFL NextGenStats via nflverse (CC `+
		`BY-SA 4.0), changed.</text>`+"\n</svg>\n", 2*high+14)
	if err := os.WriteFile(*drawn, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}

// bar is a lift as a bar from the zero line, 70 wide at 1.
func bar(zero, y, lift float64, fill string) string {
	w := 70 * max(-1, min(1, lift))
	return fmt.Sprintf(`<rect x="%.1f" y="%g" width="%.1f" height="4" fill="%s"/>`+"\n", zero+min(0, w), y, max(w, -w),
		fill)
}
