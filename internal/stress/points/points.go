// Package points says what a down, a distance and the yards to the goal line are worth:
// the points of the next score, from the side of the offense, on average.
//
// The value of a play is the expected value of the next one, and the values of all
// downs together solve one linear system of 20 terms (equations.csv, whose first line
// has source and license). A program's own plays enter the same system.
//
// Known fault: with so few terms the worth of a second down is too straight a line in its distance.
// Second and one is fitted above first and ten a yard nearer everywhere from the 12 to the 95, by .18
// points (far out) to .41 (at the 12); second and two by .15 and less. So a gain that ends a yard short
// on first down is valued up to .4 points above the one that makes it. TestSecondAndOne holds these
// figures.
package points

import (
	_ "embed"
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"sync"
)

//go:embed equations.csv
var file string

const (
	terms       = 20
	transitions = 29546
	// Prior is how many plays the season counts for beside a program's own.
	Prior = 2000
)

// Equations are A x = b, what plays say of the coefficients x; A is row by row.
type Equations struct {
	A [terms][terms]float64
	B [terms]float64
}

var season = sync.OnceValue(func() (e Equations) {
	r := csv.NewReader(strings.NewReader(file))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil || len(rows) != terms {
		panic("points: equations.csv cannot be read")
	}
	for i, row := range rows {
		for j, text := range row {
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				panic("points: equations.csv: " + err.Error())
			}
			if j == terms {
				e.B[i] = v
			} else {
				e.A[i][j] = v
			}
		}
	}
	return e
})

// A Step is one play of a program's own: from a down to the next one, which the other
// side has when Lost, or to a score.
type Step struct {
	Down, Distance, YardsToGoal float64
	Next                        *Step // nil: it ended in Reward, or the half did
	Lost                        bool
	Reward                      float64 // points, from the side of the offense; 0 without a score
}

// A Table is what every down is worth.
type Table struct {
	x        [terms]float64
	settings Settings
	Own      float64 // share of it that is the program's own plays, 0 to 1
	once     sync.Once
	whole    *[4][100][100]float64 // of whole yards: by down less one, distance, yards to go
}

// Season is the table of the season alone, at a program's settings.
func Season(set Settings) *Table { return New(nil, set) }

// New lets a program's own plays in, with the season as Prior plays.
func New(own []Step, set Settings) *Table {
	e, w := season(), float64(Prior)/transitions
	for i := range terms {
		e.B[i] *= w
		for j := range terms {
			e.A[i][j] *= w
		}
	}
	for n := range own {
		e.add(&own[n])
	}
	return &Table{x: solve(e), settings: set, Own: float64(len(own)) / float64(len(own)+Prior)}
}

func (e *Equations) add(s *Step) {
	here, next := basis(s.Down, s.Distance, s.YardsToGoal), [terms]float64{}
	if s.Next != nil {
		next = basis(s.Next.Down, s.Next.Distance, s.Next.YardsToGoal)
	}
	sign := 1.0
	if s.Lost {
		sign = -1
	}
	for i := range terms {
		e.B[i] += here[i] * s.Reward
		for j := range terms {
			e.A[i][j] += here[i] * (here[j] - sign*next[j])
		}
	}
}

// Of is what a down is worth at a distance and so many yards from the goal line.
func (t *Table) Of(down int, distance, toGoal float64) float64 {
	d, y := int(distance), int(toGoal)
	if float64(d) != distance || float64(y) != toGoal || d < 1 || d > y || y > 99 || down < 1 || down > 4 {
		return t.exactly(down, distance, toGoal)
	}
	t.once.Do(t.fill)
	return t.whole[down-1][d][y]
}

func (t *Table) exactly(down int, distance, toGoal float64) float64 {
	return t.fitted(down, distance, toGoal) + t.settings.shift(down, distance, toGoal)
}

// fill works all whole yards out once: a play is valued at a hundred gains.
func (t *Table) fill() {
	t.whole = new([4][100][100]float64)
	for down := 1; down <= 4; down++ {
		for d := 1; d <= 99; d++ {
			for y := d; y <= 99; y++ {
				t.whole[down-1][d][y] = t.exactly(down, float64(d), float64(y))
			}
		}
	}
}

func (t *Table) fitted(down int, distance, toGoal float64) float64 {
	v := 0.0
	for i, b := range basis(float64(down), distance, toGoal) {
		v += b * t.x[i]
	}
	return v
}

// Touchdown is what a touchdown is worth once the other side has kicked off to nobody's
// advantage: seven points, less what the next ball is worth to them at their 25.
const Touchdown = 7.0

// After is what a play is worth that gains so many yards, turnovers apart: the next down,
// the other side's ball, or the score.
func (t *Table) After(down int, distance, toGoal, gain float64) float64 {
	switch {
	case gain >= toGoal:
		return Touchdown
	case toGoal-gain >= 100:
		return -2
	case gain >= distance:
		left := toGoal - gain
		return t.Of(1, min(10, left), left)
	case down >= 4:
		return t.Lost(toGoal - gain)
	}
	return t.Of(down+1, min(distance-gain, toGoal-gain), toGoal-gain)
}

// Lost is what a ball is worth that the other side has so many yards from our goal line.
func (t *Table) Lost(toGoal float64) float64 {
	left := min(max(100-toGoal, 1), 99)
	return -t.Of(1, min(10, left), left)
}

// basis is the 20 terms of a down.
func basis(down, distance, toGoal float64) (b [terms]float64) {
	y := min(max(toGoal, 1), 99)
	s := math.Sqrt(min(max(distance, 0.5), y, 20)) - math.Sqrt(10)
	d := int(down)
	b[0] = 1
	copy(b[1:7], field.at(y))
	if d >= 2 {
		b[5+d] = 1
		b[19] = s * y / 100
	}
	b[9+d] = s
	switch d {
	case 2, 3:
		b[12+d] = y / 100
	case 4:
		copy(b[16:19], fourth.at(y))
	}
	return b
}

// solve solves the system by elimination with pivots: 20 unknowns want no library.
func solve(e Equations) [terms]float64 {
	for i := range terms {
		p := i
		for k := i; k < terms; k++ {
			if math.Abs(e.A[k][i]) > math.Abs(e.A[p][i]) {
				p = k
			}
		}
		e.A[i], e.A[p], e.B[i], e.B[p] = e.A[p], e.A[i], e.B[p], e.B[i]
		for k := i + 1; k < terms; k++ {
			f := e.A[k][i] / e.A[i][i]
			e.B[k] -= f * e.B[i]
			for j := i; j < terms; j++ {
				e.A[k][j] -= f * e.A[i][j]
			}
		}
	}
	return back(&e)
}

// back solves equations of which nothing is left below the diagonal, from the last up.
func back(e *Equations) (x [terms]float64) {
	for i := terms - 1; i >= 0; i-- {
		v := e.B[i]
		for j := i + 1; j < terms; j++ {
			v -= e.A[i][j] * x[j]
		}
		x[i] = v / e.A[i][i]
	}
	return x
}
