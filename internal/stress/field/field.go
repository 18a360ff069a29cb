// Package field holds the ground every play stands on: units, points, the
// dimensions of the field by rule book, and the frame of reference.
//
// The frame: x runs across the field with the ball at 0, y downfield with the
// line of scrimmage at 0. Own-side terms (a zone, an offset) grow toward the
// sideline of the side they belong to; the sign of x of that side turns them
// into the frame, so that a mirrored play gives the same numbers.
package field

import (
	"fmt"
	"math"
)

// Units are aliases: they name what a number is in every signature without
// forcing a conversion into every formula of the model.
type (
	// Yards is a distance on the field.
	Yards = float64
	// Seconds is a time since the snap, or a duration.
	Seconds = float64
	// YardsPerSecond is a speed.
	YardsPerSecond = float64
)

// Width is the distance between the sidelines at every level: 160 ft.
const Width Yards = 160.0 / 3

// EndZone is the depth of an end zone at every level: 10 yd.
const EndZone Yards = 10

// Feet converts a length in feet to yards.
func Feet(ft float64) Yards { return ft / 3 }

// A Level is the rule book a game is played under. The zero Level is invalid.
type Level int

const (
	HighSchool Level = iota + 1 // NFHS
	College                     // NCAA
	Pro                         // professional
)

var levelNames = map[Level]string{HighSchool: "high_school", College: "college", Pro: "professional"}

// String is the word of the level.
func (l Level) String() string { return levelNames[l] }

// ParseLevel reads "high_school", "college" or "professional".
func ParseLevel(s string) (Level, error) {
	for _, l := range []Level{HighSchool, College, Pro} {
		if levelNames[l] == s {
			return l, nil
		}
	}
	return 0, fmt.Errorf("level %q: need high_school, college or professional", s)
}

// Hash returns the distance from a sideline to the nearer row of hash marks:
// high school 53 ft 4 in, college 60 ft, professional 70 ft 9 in. It panics on
// an invalid level.
func (l Level) Hash() Yards {
	switch l {
	case HighSchool:
		return Width / 3
	case College:
		return Feet(60)
	case Pro:
		return Feet(70.75)
	}
	panic("field: invalid Level")
}

// A Spot is where the ball lies before the snap and how much field is left.
type Spot struct {
	Level       Level
	FromMiddle  Yards // x of the ball from the middle of the field
	YardsToGoal Yards // 0 means unknown: the end line bounds nothing
}

// HashSpot is the largest FromMiddle a ball can have at a level.
func (l Level) HashSpot() Yards { return Width/2 - l.Hash() }

// Sideline returns how far the sideline of a side (sign of x) is from the ball.
func (s Spot) Sideline(side int) Yards { return Width/2 - float64(side)*s.FromMiddle }

// EndLine returns the y of the end line, +Inf when the spot is unknown.
func (s Spot) EndLine() Yards {
	if s.YardsToGoal <= 0 {
		return math.Inf(1)
	}
	return s.YardsToGoal + EndZone
}

// A Point is a place on the field, or a displacement, or a velocity.
type Point struct{ X, Y float64 }

// Add is p moved by q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub is the way from q to p.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Times is k times the way p.
func (p Point) Times(k float64) Point { return Point{p.X * k, p.Y * k} }

// Len is the length of the way p, in its unit.
func (p Point) Len() float64 { return math.Sqrt(p.X*p.X + p.Y*p.Y) }

// Dist is how far q is.
func (p Point) Dist(q Point) float64 { return p.Sub(q).Len() }

// Dot is the inner product.
func (p Point) Dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }

// Mirror is the point on the other side of the ball.
func (p Point) Mirror() Point { return Point{-p.X, p.Y} }

// AtMost is p, or the way of length n in its direction when p is longer.
func (p Point) AtMost(n float64) Point {
	if p.Dot(p) <= n*n {
		return p
	}
	return p.Times(n / p.Len())
}

// Toward returns the point a share k of the way from p to q.
func (p Point) Toward(q Point, k float64) Point { return p.Add(q.Sub(p).Times(k)) }
