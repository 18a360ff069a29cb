package tendency

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// thirdDownQuestions asks of each distance whether the run converts more often.
func thirdDownQuestions() []Question {
	var out []Question
	for _, d := range thirdDowns {
		out = append(out, Question{fmt.Sprintf("3rd and %d", d.togo), []string{"run", "pass"}, []string{"made", "not made"},
			[][]int{{d.runWon, d.runs - d.runWon}, {d.passWon, d.passes - d.passWon}}})
	}
	return out
}

// TestNoOverclaim: '3rd and 6 is a running down' was claimed of these counts.
// The interval of the difference holds 0, and among ten questions it is no
// discovery; 3rd and 1 is one.
func TestNoOverclaim(t *testing.T) {
	tells := Tells(thirdDownQuestions(), .05)
	byName := map[string]Tell{}
	for _, x := range tells {
		byName[x.Question] = x
	}
	six, one := byName["3rd and 6"], byName["3rd and 1"]
	if six.Stands || six.Low > 0 || six.High < 0 || six.Adjusted <= .05 || !near(six.P, .06808, 5e-6) {
		t.Errorf("3rd and 6: %+v; want no tell, p .06808, an interval that holds 0 (%s)", six, thirdDownSource)
	}
	if !one.Stands || tells[0].Question != "3rd and 1" || one.Method != "exact" {
		t.Errorf("3rd and 1: %+v; want a tell, the first (%s)", one, thirdDownSource)
	}
	if want := []string{"run", "made"}; !slices.Equal([]string{one.Row, one.Col}, want) &&
		!slices.Equal([]string{one.Row, one.Col}, []string{"pass", "not made"}) {
		t.Errorf("3rd and 1 is told by %s, %s; want %v or its mirror", one.Row, one.Col, want)
	}
	if one.N != 751 || one.With.N+one.Without.N != 751 {
		t.Errorf("3rd and 1 rests on %d plays; want 751 (%s)", one.N, thirdDownSource)
	}
	// Asked alone, 3rd and 6 is still none.
	if x := Tells(thirdDownQuestions()[5:6], .05)[0]; x.Stands {
		t.Errorf("3rd and 6 asked alone: %+v; want no tell (%s)", x, thirdDownSource)
	}
}

// TestTellsOfNoise: when nothing tells, the chance that anything stands is at
// most the rate (Benjamini and Hochberg 1995, theorem 1 with all hypotheses true).
func TestTellsOfNoise(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	const trials = 400
	wrong := 0
	for range trials {
		var qs []Question
		for k := range 12 {
			q := Question{Name: fmt.Sprint(k), Rows: []string{"left", "middle", "right"}, Cols: []string{"run", "pass"},
				Counts: [][]int{{0, 0}, {0, 0}, {0, 0}}}
			for range 60 {
				c := 0
				if rng.Float64() < .55 {
					c = 1
				}
				q.Counts[rng.IntN(3)][c]++
			}
			qs = append(qs, q)
		}
		if Tells(qs, .05)[0].Stands {
			wrong++
		}
	}
	t.Logf("12 questions without an answer, 60 plays each: something stood in %d of %d seeded seasons", wrong, trials)
	if wrong > trials*8/100 { // .05 and three standard errors
		t.Errorf("something stood in %d of %d seasons of pure chance; want 5%%", wrong, trials)
	}
}

func TestTellFindsWhatIsThere(t *testing.T) {
	q := Question{"2nd: backfield", []string{"gun", "pistol", "under center", "empty", "wing"}, []string{"run", "pass"},
		[][]int{{20, 60}, {18, 16}, {24, 4}, {0, 0}, {1, 0}}}
	got := Tells([]Question{q, {Name: "nothing", Rows: []string{"a"}, Cols: []string{"run", "pass"},
		Counts: [][]int{{3, 4}}}, {Name: "empty"}}, .05)
	x := got[0]
	if !x.Stands || x.Row != "under center" && x.Row != "gun" || x.N != 143 || x.With.N+x.Without.N != 143 {
		t.Errorf("the backfield that settles it: %+v", x)
	}
	for _, y := range got[1:] {
		if y.Stands || y.Method != "none" || y.P != 1 {
			t.Errorf("%q has nothing to compare: %+v", y.Question, y)
		}
	}
	if q.Rows[3] != "empty" || q.Counts[4][0] != 1 {
		t.Error("the question asked was changed")
	}
}

func TestPooling(t *testing.T) {
	q := Question{"1st: set", []string{"2x2", "3x1", "rare", "rarer", "once"}, []string{"run", "pass", "trick"},
		[][]int{{500, 300, 2}, {200, 400, 0}, {2, 1, 0}, {1, 1, 0}, {1, 0, 0}}}
	x := Tells([]Question{q}, .05)[0]
	if !x.Stands || x.Method == "none" || x.N != 1408 || len(x.PooledRows)+len(x.PooledCols) == 0 ||
		x.Row != "2x2" && x.Row != "3x1" {
		t.Errorf("thin sets must be pooled and said: %+v", x)
	}
	if slices.Contains(x.PooledRows, Pooled) {
		t.Errorf("pooled rows %v name the pool itself", x.PooledRows)
	}
}

func TestTrend(t *testing.T) {
	got := Trend([]string{"smash", "flood", "mesh"}, []int{9, 21, 30}, []int{25, 5, 10}, .05)
	if got[0].Outcome != "smash" || !got[0].Stands || got[0].Before != (Fraction{9, 60}) ||
		got[0].After != (Fraction{25, 40}) || got[0].Low <= 0 {
		t.Errorf("smash went from 9 of 60 to 25 of 40: %+v", got[0])
	}
	// Table II of Newcombe 1998 read as two spans (method 10, SEEN-code + CALC).
	for _, c := range Trend([]string{"run", "pass"}, []int{48, 32}, []int{56, 14}, .05) {
		if c.Outcome == "run" && (!near(c.Low, .0524, 5e-5) || !near(c.High, .3339, 5e-5)) {
			t.Errorf("48 of 80 to 56 of 70: %.4f to %.4f; want .0524 to .3339 (Newcombe 1998, Table II)", c.Low, c.High)
		}
	}
	for _, c := range Trend([]string{"a", "b"}, []int{0, 0}, []int{3, 4}, .05) {
		if c.Stands || c.P != 1 {
			t.Errorf("a trend from nothing: %+v", c)
		}
	}
}
