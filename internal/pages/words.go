package pages

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"
	"time"

	"overhang/internal/reports/drawing"
	"overhang/internal/reports/filmroom"
	"overhang/internal/reports/ink"
)

// words are the functions of the templates: how a number or a day is written for
// a person.
var words = template.FuncMap{
	"asset":       assetPath,
	"pct":         Percent,
	"points":      drawing.Points,
	"spread":      Spread,
	"beside":      Beside,
	"calibration": Calibration,
	"costs":       drawing.Costs,
	"yards":       func(f float64) string { return strings.TrimSuffix(decimals(1, f), ".0") },
	"yd":          func(f float64) string { return decimals(1, f) },
	"whole":       func(f float64) string { return fmt.Sprintf("%.0f", 100*f) },
	"whole1":      func(f float64) string { return decimals(0, f) },
	"change":      Change,
	"inHundred":   InHundred,
	"ord":         Ordinal,
	"deref":       func(f *float64) float64 { return *f },
	"inc":         func(i int) int { return i + 1 },
	"tag":         filmroom.Label,
	"label":       func(s string) string { return strings.ReplaceAll(s, "_", " ") },
	"day":         func(t time.Time) string { return Day(t, time.UTC) },
	"moment":      func(t time.Time) string { return Moment(t, time.UTC) },
	"bar":         Interval,
	"shade":       drawing.Shade,
	"many":        Many,
	"capital":     ink.Capital,
	"dimension":   Dimension,
	"value":       Value,
	"said":        func(d, v string) string { return Value(d, &v) },
	"bands":       bands,
	"words":       fieldWords,
	"list":        func(vs ...string) []string { return vs },
}

// decimals writes a number with so many decimals; a zero has no sign.
func decimals(n int, f float64) string {
	s := strconv.FormatFloat(f, 'f', n, 64)
	if bare, ok := strings.CutPrefix(s, "-"); ok && strings.Trim(bare, "0.") == "" {
		return bare
	}
	return s
}

// Percent writes a share as a staff does: 38%.
func Percent(f float64) string { return fmt.Sprintf("%.0f%%", 100*f) }

// Change writes a difference of shares in points with its sign.
func Change(f float64) string {
	switch n := math.Round(100 * f); {
	case n < 0:
		return fmt.Sprintf("\u2212%.0f", -n)
	case n > 0:
		return fmt.Sprintf("+%.0f", n)
	}
	return "0"
}

// InHundred says a difference of shares as a coach would: "on 2 more plays in 100".
func InHundred(f float64) string {
	n := int(math.Round(100 * math.Abs(f)))
	switch {
	case n == 0:
		return "no more and no less often"
	case f < 0:
		return "on " + Many(n, "fewer play") + " in 100"
	}
	return "on " + Many(n, "more play") + " in 100"
}

// Ordinal writes a down: 1st, 2nd, 3rd, 4th; anything else stays as it is.
func Ordinal(s string) string {
	if o := map[string]string{"1": "1st", "2": "2nd", "3": "3rd", "4": "4th"}[s]; o != "" {
		return o
	}
	return s
}

// Many counts things: 1 snap, 3 snaps.
func Many(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + one + "s"
}

// Interval draws a share as a bar with its 95% interval as a whisker. It says in
// words what it draws.
func Interval(share, low, high float64) template.HTML {
	const width = 120.0
	x := func(f float64) string {
		return strconv.FormatFloat(math.Round(10*width*math.Max(0, math.Min(1, f)))/10, 'f', -1, 64)
	}
	return template.HTML(`<svg class="interval" viewBox="0 0 120 16" width="120" height="16" role="img" aria-label="` +
		fmt.Sprintf("%.0f%%, between %.0f and %.0f", 100*share, 100*low, 100*high) +
		`"><path class="axis" d="M0 15.5H120"/><rect class="fill" y="3" height="10" width="` + x(share) +
		`"/><path class="whisker" d="M` + x(low) + ` 8H` + x(high) + `M` + x(low) + ` 4.5v7M` + x(high) + ` 4.5v7"/></svg>`)
}
