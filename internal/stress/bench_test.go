package stress

import (
	"math"
	"syscall"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// BenchmarkEvaluate is one call of a board against one prepared picture at full
// fidelity: rules, movement, every window, findings, score. Pictures are prepared
// once, and all calls are played against one before the next, as a board does.
func BenchmarkEvaluate(b *testing.B) {
	var ev Evaluator
	evaluate(b, func() *Evaluator { return &ev })
}

// BenchmarkEvaluateAlone is the same when no other call was played before.
func BenchmarkEvaluateAlone(b *testing.B) {
	evaluate(b, func() *Evaluator { return new(Evaluator) })
}

// BenchmarkWeigh is the same as a board asks it: with four downs, and with the receivers'
// answers to what the call shows.
func BenchmarkWeigh(b *testing.B) {
	var ev Evaluator
	book, plays, i := call.Book(), benchPlays(b), 0
	downs := []Down{{ToGain{Need: 4, Down: 1, Distance: 10, YardsToGoal: 70}, 4},
		{ToGain{Need: 4.2, Down: 2, Distance: 7, YardsToGoal: 60}, 3},
		{ToGain{Need: 5, Down: 3, Distance: 5, YardsToGoal: 55}, 2},
		{ToGain{Need: 9, Down: 3, Distance: 9, YardsToGoal: 40}, 1}}
	before := processor(b)
	for b.Loop() {
		seen := Seen{Play: plays[(i/len(book))%len(plays)], Downs: downs}
		must(ev.Weigh(b.Context(), book[i%len(book)], &seen, Usual))
		i++
	}
	b.ReportMetric(float64(b.N)/(processor(b)-before), "evaluations/core-s")
}

func benchPlays(b *testing.B) (plays []*motion.Play) {
	params := motion.Defaults(field.HighSchool)
	for _, e := range picture.Library() {
		p, err := picture.New(picture.Spec{Set: e.Set, Family: e.Family, Routes: e.Routes, Receiver: params.Receiver,
			Back: params.Back})
		if err != nil {
			b.Fatal(err)
		}
		plays = append(plays, Prepare(p, &params))
	}
	return plays
}

func evaluate(b *testing.B, room func() *Evaluator) {
	book, plays, i := call.Book(), benchPlays(b), 0
	b.ReportAllocs()
	before := processor(b)
	for b.Loop() {
		room().Evaluate(b.Context(), book[i%len(book)], plays[(i/len(book))%len(plays)], Usual)
		i++
	}
	b.ReportMetric(float64(b.N)/(processor(b)-before), "evaluations/core-s")
}

// BenchmarkPrepare is what a picture costs once.
func BenchmarkPrepare(b *testing.B) {
	params := motion.Defaults(field.HighSchool)
	lib := picture.Library()
	i := 0
	for b.Loop() {
		e := lib[i%len(lib)]
		p, err := picture.New(picture.Spec{Set: e.Set, Family: e.Family, Routes: e.Routes, Receiver: params.Receiver,
			Back: params.Back})
		if err != nil {
			b.Fatal(err)
		}
		Prepare(p, &params)
		i++
	}
}

// BenchmarkFloor is the bare arithmetic an evaluation cannot do without:
// positions of 22 men at 10 Hz for 4 s, and the nearest defender of each of the
// other side at every step.
func BenchmarkFloor(b *testing.B) {
	var off, def [11]field.Point
	sink := 0.0
	before := processor(b)
	for b.Loop() {
		for j := range def {
			off[j], def[j] = field.Point{X: float64(4*j - 20)}, field.Point{X: float64(4*j - 20), Y: 7}
		}
		for k := 0; k < 40; k++ {
			e := 1 - math.Exp(-0.1*float64(k)/0.7)
			for j := range def {
				off[j] = off[j].Add(field.Point{X: 0.01, Y: 0.78 * e})
				def[j] = def[j].Add(field.Point{X: 0.01, Y: 0.7 * e})
			}
			for i := range off {
				near := math.Inf(1)
				for j := range def {
					near = min(near, off[i].Dist(def[j]))
				}
				sink += near
			}
		}
	}
	b.ReportMetric(float64(b.N)/(processor(b)-before), "evaluations/core-s")
	if math.IsNaN(sink) {
		b.Fatal("not a number")
	}
}

// processor is how many seconds cores have spent on this process: on a machine that others use
// too an evaluation costs as much by it as on an idle one, nearly.
func processor(b *testing.B) float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}
