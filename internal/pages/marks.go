package pages

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
)

// Points on the axis of a spread, from good to bad for us.
const leastPoints, mostPoints = -0.25, 0.4

// coord writes a place in a drawing.
func coord(x float64) string { return strconv.FormatFloat(math.Round(10*x)/10, 'f', -1, 64) }

// Spread draws points a snap as a dot with their 95% interval as a whisker, the axis at
// nothing given up. It says in words what it draws.
func Spread(mid, low, high float64) template.HTML {
	const width = 130.0
	x := func(p float64) string {
		return coord(width * math.Max(0, math.Min(1, (p-leastPoints)/(mostPoints-leastPoints))))
	}
	return template.HTML(`<svg class="interval spread" viewBox="0 0 130 16" width="130" height="16" role="img"` +
		` aria-label="` +
		fmt.Sprintf("%s, between %s and %s", Points(mid), Points(low), Points(high)) + `"><path class="axis" d="M` + x(0) +
		` 0V16"/><path class="whisker" d="M` + x(low) + ` 8H` + x(high) + `M` + x(low) + ` 4.5v7M` + x(high) + ` 4.5v7"/>` +
		`<circle class="dot" cx="` + x(mid) + `" cy="8" r="3.2"/></svg>`)
}

// Costs puts points a snap into one of six shades: below -0.15, then a step of 0.15 each.
func Costs(points float64) int {
	return min(5, max(0, int(math.Floor((points+0.3)/0.15))))
}
