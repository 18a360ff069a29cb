package pages

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"

	"overhang/internal/plan"
	"overhang/internal/reports/drawing"
	"overhang/internal/tendency"
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
		fmt.Sprintf("%s, between %s and %s", drawing.Points(mid), drawing.Points(low), drawing.Points(high)) +
		`"><path class="axis" d="M` + x(0) +
		` 0V16"/><path class="whisker" d="M` + x(low) + ` 8H` + x(high) + `M` + x(low) + ` 4.5v7M` + x(high) + ` 4.5v7"/>` +
		`<circle class="dot" cx="` + x(mid) + `" cy="8" r="3.2"/></svg>`)
}

// Beside draws a share as Interval does, with a mark where it was expected; no mark below
// 0. It says in words what it draws.
func Beside(share, low, high, expected float64) template.HTML {
	if expected < 0 {
		return Interval(share, low, high)
	}
	const width = 160.0
	x := func(f float64) string { return coord(width * math.Max(0, math.Min(1, f))) }
	return template.HTML(`<svg class="interval beside" viewBox="0 0 160 18" width="160" height="18" role="img"` +
		fmt.Sprintf(` aria-label="expected %.0f%%, was %.0f%%, between %.0f and %.0f">`,
			100*expected, 100*share, 100*low, 100*high) +
		`<path class="axis" d="M0 17.5H160"/><rect class="fill" y="4" height="10" width="` + x(share) +
		`"/><path class="whisker" d="M` + x(low) + ` 9H` + x(high) + `M` + x(low) + ` 5.5v7M` + x(high) + ` 5.5v7"/>` +
		`<path class="meant" d="M` + x(expected) + ` 0V17"/></svg>`)
}

// Calibration draws forecasts against what came: a bin a dot with its 95% interval, on the
// line where a forecast is right. It says in words what it draws.
func Calibration(bins []plan.Bin) template.HTML {
	const side, left, top = 260.0, 40.0, 26.0 // over the field the upright axis has its name
	x := func(f float64) string { return coord(left + side*f) }
	y := func(f float64) string { return coord(top + side*(1-f)) }
	var b, said strings.Builder
	for _, tick := range []float64{0, .25, .5, .75, 1} {
		fmt.Fprintf(&b, `<path class="axis" d="M%s %sH%sM%s %sV%s"/>`, x(0), y(tick), x(1), x(tick), y(0), y(1))
		fmt.Fprintf(&b, `<text x="%s" y="%s" text-anchor="middle">%.0f%%</text>`, x(tick), coord(top+side+18), 100*tick)
		fmt.Fprintf(&b, `<text x="%s" y="%s" text-anchor="end">%.0f%%</text>`, coord(left-6), y(tick-.015), 100*tick)
	}
	fmt.Fprintf(&b, `<path class="right" d="M%s %sL%s %s"/>`, x(0), y(0), x(1), y(1))
	for _, k := range bins {
		if k.Came.N == 0 {
			continue
		}
		thin := ""
		if k.Came.N < tendency.Thin {
			thin = " few"
		}
		fmt.Fprintf(&b, `<path class="whisker" d="M%s %sV%s"/><circle class="dot%s" cx="%s" cy="%s" r="%s"/>`, x(k.Forecast),
			y(k.Came.Low), y(k.Came.High), thin, x(k.Forecast), y(k.Came.Share), coord(4+math.Sqrt(float64(k.Came.N))))
		fmt.Fprintf(&b, `<text x="%s" y="%s">n %d</text>`, coord(left+side*k.Forecast+12), y(k.Came.Share), k.Came.N)
		fmt.Fprintf(&said, " Forecast %.0f%%, came %.0f%% of %d.", 100*k.Forecast, 100*k.Came.Share, k.Came.N)
	}
	return template.HTML(`<svg class="calibration" viewBox="0 0 330 326" role="img"` +
		` aria-label="Forecast against what came.` +
		said.String() + `">` + b.String() +
		fmt.Sprintf(`<text x="%s" y="%s" text-anchor="middle">we said they succeed</text>`,
			x(.5), coord(top+side+36)) + `<text x="2" y="14">they did</text></svg>`)
}
