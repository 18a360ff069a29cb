package drawing

import (
	"math"
	"slices"
	"testing"

	"overhang/internal/reports/ink"
)

// groups are styles that mean different things in the same place, by their sign.
var groups = map[string][]string{
	"lines of routes":           {"route", "open", "other", "help"},
	"lines from a defender":     {"match", "help", "fit", "to-zone", "track"},
	"lines of a run":            {"carry", "fake", "block", "bend"},
	"ways he lacks":             {"to-open", "to-other"},
	"lenses":                    {"zone", "zone-help"},
	"shields":                   {"defender", "conflict", "ghost"},
	"ground":                    {"paper", "ground"},
	"bars of when it is open":   {"span", "span-main"},
	"lines over the field":      {"yardline", "route"},
	"pulling and staying":       {"block", "pull"},
	"where the defender stands": {"here", "flip"},
}

// gray is how light a color is in black and white, 0 to 1 (relative luminance, WCAG 2.2).
func gray(color string) float64 {
	if color == "" {
		return 1
	}
	part := func(c int) float64 {
		v := float64(c) / 255
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	r, g, b := ink.RGB(color)
	return 0.2126*part(r) + 0.7152*part(g) + 0.0722*part(b)
}

// told says that two looks are told apart without their colors: by dash, by a third in width, by
// being filled or not, or by grays a tenth apart.
func told(a, b ink.Style) bool {
	wide := math.Max(a.Width, b.Width) >= 1.3*math.Min(a.Width, b.Width)
	ink := math.Abs(gray(a.Stroke)-gray(b.Stroke)) > 0.1 || math.Abs(gray(a.Fill)-gray(b.Fill)) > 0.1
	return !slices.Equal(a.Dash, b.Dash) || wide || ink || (a.Fill == "") != (b.Fill == "")
}

// TestBlackAndWhite: nothing is told by color alone.
func TestBlackAndWhite(t *testing.T) {
	for what, names := range groups {
		for i, a := range names {
			for _, b := range names[:i] {
				x, okX := styles[a]
				y, okY := styles[b]
				if !okX || !okY {
					t.Fatalf("%s: no style %q or %q", what, a, b)
				}
				if !told(x, y) {
					t.Errorf("%s: %q and %q differ by color alone", what, a, b)
				}
			}
		}
	}
	red, blue := styles["open"], styles["open"]
	blue.Stroke = "#b35a00"
	if told(red, blue) {
		t.Error("two hues of one gray are taken for two looks")
	}
}
