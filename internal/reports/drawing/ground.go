package drawing

import (
	"math"
	"strconv"

	"overhang/internal/reports/ink"
	"overhang/internal/stress/field"
)

// Markings of the field: lengths from the rule books as collected in the table of
// field geometry beside the checks (hashes and numbers SEEN, high-school numbers
// MEM); ticks are 2 ft long, common practice.
const (
	tick         field.Yards = 2.0 / 3
	numberHeight field.Yards = 2       // 6 ft
	numberWidth  field.Yards = 4.0 / 3 // 4 ft a figure
	numberGap    field.Yards = 1
)

// numberFoot is how far the foot of the yard numbers is from the sideline: tops
// nine yards in at school and college, feet twelve yards in with professionals.
func numberFoot(l field.Level) field.Yards {
	if l == field.Pro {
		return 12
	}
	return 9 - numberHeight
}

// field paints the markings: yard lines, hash marks, numbers, sidelines.
func (sh *sheet) field() {
	f := &sh.scene.Field
	lo, hi := f.edges()
	whole := f.Left == 0 && f.Right == 0
	var yard, hash, ticks [][]ink.Spot
	goal := f.Spot.YardsToGoal
	first, last := math.Ceil(f.Bottom), f.Top
	if goal > 0 {
		first, last = f.Bottom+mod(goal-f.Bottom, 1), min(last, goal-1e-9)
	}
	for y := first; y <= last; y++ {
		if onFive(y, goal) {
			yard = append(yard, sh.across(lo, hi, y))
			continue
		}
		if whole {
			ticks = append(ticks, sh.across(lo, lo+tick, y), sh.across(hi-tick, hi, y))
		}
	}
	for y := first; y <= last; y++ { // inner ends on the row
		in := f.Spot.Level.Hash()
		a, b := in-f.Spot.Sideline(-1), f.Spot.Sideline(1)-in
		if lo <= a-tick && a <= hi {
			hash = append(hash, sh.across(a-tick, a, y))
		}
		if lo <= b && b+tick <= hi {
			hash = append(hash, sh.across(b, b+tick, y))
		}
	}
	sh.Add(ink.Mark{Style: "yardline", Paths: yard})
	sh.Add(ink.Mark{Style: "tick", Paths: ticks})
	sh.Add(ink.Mark{Style: "hash", Name: "hash marks", Paths: hash})
	if whole {
		sh.numbers(lo, hi)
		side := [][]ink.Spot{sh.ats([]field.Point{{X: lo, Y: f.Bottom}, {X: lo, Y: f.Top}}),
			sh.ats([]field.Point{{X: hi, Y: f.Bottom}, {X: hi, Y: f.Top}})}
		sh.Add(ink.Mark{Style: "sideline", Name: "sidelines", Paths: side})
	}
	if goal > 0 && goal <= f.Top {
		sh.Add(ink.Mark{Style: "goalline", Name: "goal line", Paths: [][]ink.Spot{sh.across(lo, hi, goal)}})
	}
	if end := f.Spot.EndLine(); end <= f.Top {
		sh.Add(ink.Mark{Style: "goalline", Name: "end line", Paths: [][]ink.Spot{sh.across(lo, hi, end)}})
	}
	sh.Add(ink.Mark{Style: "scrimmage", Name: "line of scrimmage", Paths: [][]ink.Spot{sh.across(lo, hi, 0)}})
}

func (sh *sheet) across(x0, x1, y field.Yards) []ink.Spot {
	return []ink.Spot{sh.at(field.Point{X: x0, Y: y}), sh.at(field.Point{X: x1, Y: y})}
}

// onFive says that a line crosses the field at y: every five yards from the goal
// line, or from the line of scrimmage when nobody knows where that is.
func onFive(y, goal field.Yards) bool {
	m := mod(goal-y, 5)
	return m < 1e-6 || m > 5-1e-6
}

func mod(x, m float64) float64 { return math.Mod(math.Mod(x, m)+m, m) }

// endZone paints the ground behind the goal line, where it is in sight.
func (sh *sheet) endZone() {
	f := &sh.scene.Field
	goal, end := f.Spot.YardsToGoal, min(f.Top, f.Spot.EndLine())
	if goal > 0 && goal < f.Top {
		lo, hi := f.edges()
		a, b := sh.at(field.Point{X: lo, Y: goal}), sh.at(field.Point{X: hi, Y: end})
		sh.Rect("endzone", "end zone", ink.Corners(min(a.X, b.X), min(a.Y, b.Y), max(a.X, b.X), max(a.Y, b.Y)))
	}
}

// numbers paints the yard numbers with their tops to the middle of the field, as
// they lie on it; where the spot is unknown, an empty frame stands for a figure.
func (sh *sheet) numbers(lo, hi field.Yards) {
	f := &sh.scene.Field
	goal := f.Spot.YardsToGoal
	var paths [][]ink.Spot
	for y := math.Floor(f.Bottom); y <= f.Top; y++ {
		if goal > 0 {
			y = math.Floor(y) + mod(goal, 1)
		}
		from := goal - y
		if d := mod(from, 10); goal <= 0 && d != 5 || goal > 0 && (d > 1e-6 && d < 10-1e-6 || from < 5 || from > 95) {
			continue
		}
		figures := "00"
		if goal > 0 {
			figures = strconv.Itoa(int(math.Round(min(from, 100-from))))
		}
		half := numberGap/2 + numberWidth
		if y-half < f.Bottom || y+half > f.Top {
			continue
		}
		foot := numberFoot(f.Spot.Level)
		for i, side := range []float64{-1, 1} {
			edge := [...]field.Yards{lo, hi}[i]
			for n, c := range figures {
				// Along the line of reading: with the top to the middle, the first
				// figure is downfield on the right side, upfield on the left.
				along := []field.Yards{-numberGap/2 - numberWidth, numberGap / 2}[n]
				for _, stroke := range strokes(c, goal > 0) {
					var pts []ink.Spot
					for _, q := range stroke {
						a := along + q.X*numberWidth
						pts = append(pts, sh.at(field.Point{X: edge - side*(foot+q.Y*numberHeight), Y: y + side*a}))
					}
					paths = append(paths, pts)
				}
			}
		}
	}
	if paths != nil {
		sh.Add(ink.Mark{Style: "number", Name: "yard numbers", Paths: paths})
	}
}

// strokes draws a figure in a unit box, x to the reader's right, y up.
func strokes(c rune, known bool) [][]field.Point {
	box := []field.Point{{}, {X: 1}, {X: 1, Y: 1}, {Y: 1}, {}}
	if !known {
		return [][]field.Point{box}
	}
	switch c {
	case '1':
		return [][]field.Point{{{X: 0.2, Y: 0.75}, {X: 0.55, Y: 1}, {X: 0.55}}}
	case '2':
		return [][]field.Point{{{Y: 1}, {X: 1, Y: 1}, {X: 1, Y: 0.5}, {Y: 0.5}, {}, {X: 1}}}
	case '3':
		return [][]field.Point{{{Y: 1}, {X: 1, Y: 1}, {X: 1}, {}}, {{X: 0.2, Y: 0.5}, {X: 1, Y: 0.5}}}
	case '4':
		return [][]field.Point{{{X: 0, Y: 1}, {X: 0, Y: 0.4}, {X: 1, Y: 0.4}}, {{X: 0.8, Y: 1}, {X: 0.8}}}
	case '5':
		return [][]field.Point{{{X: 1, Y: 1}, {Y: 1}, {Y: 0.5}, {X: 1, Y: 0.5}, {X: 1}, {}}}
	}
	return [][]field.Point{box}
}
