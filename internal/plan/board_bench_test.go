package plan

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"slices"
	"syscall"
	"testing"
	"time"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// A board of 40 calls against 60 pictures, each on four downs: three times what one board holds at
// most, as the boards of several situations come to.
const benchCalls, benchPictures = 40, 60

// BenchmarkBoardCold is a board from its calls and concepts to its mix of which nothing is known;
// core-ms are those of all cores together, and MB what is kept of it.
func BenchmarkBoardCold(b *testing.B) {
	board(b, func([]Concept) { pictures = &shelf{most: keptCalls} })
}

// BenchmarkBoardAgain is the same board asked again.
func BenchmarkBoardAgain(b *testing.B) {
	board(b, func([]Concept) {})
}

// BenchmarkBoardAnew is the same weighed anew: every concept was run on other downs than the last
// time more or less often, and does better or worse.
func BenchmarkBoardAnew(b *testing.B) {
	n := 0
	board(b, func(cs []Concept) {
		n++
		for i := range cs {
			f := slices.Clone(cs[i].Faced)
			f[n%len(f)].Plays++
			cs[i].Faced, cs[i].Plays = f, cs[i].Plays+1
			cs[i].Results = &Results{Plays: n, Level: 0.001 * float64(n)}
		}
	})
}

func board(b *testing.B, before func([]Concept)) {
	defer debug.SetGCPercent(debug.SetGCPercent(300)) // as api serves
	calls, concepts := boardCalls(b, benchCalls), boardConcepts(benchPictures)
	pictures = &shelf{most: keptCalls}
	empty := heap()
	boardOf(b, calls, concepts)
	kept := heap() - empty
	used := processor(b)
	b.ResetTimer()
	for b.Loop() {
		before(concepts)
		boardOf(b, calls, concepts)
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/1000/float64(b.N), "ms")
	b.ReportMetric(float64((processor(b)-used).Microseconds())/1000/float64(b.N), "core-ms")
	b.ReportMetric(kept, "MB")
}

// BenchmarkKept prints what a picture and a call against it take of the memory, in kB, with what
// keptPicture and keptCall say of them: a board of one call, and what 40 calls more add to it.
func BenchmarkKept(b *testing.B) {
	calls, concepts := boardCalls(b, benchCalls+1), boardConcepts(benchPictures)
	for b.Loop() {
		pictures = &shelf{most: keptCalls}
		empty := heap()
		boardOf(b, calls[:1], concepts)
		one, few := heap(), KeptNow()
		boardOf(b, calls, concepts)
		all, many := heap(), KeptNow()
		call := (all - one) / float64(many.Calls-few.Calls)
		b.ReportMetric(call*1024, "kB/call")
		b.ReportMetric((one-empty-float64(few.Calls)*call)/float64(few.Pictures)*1024, "kB/picture")
		b.ReportMetric(float64(many.Bytes)/(1<<20)/(all-empty), "told/taken")
	}
}

// heap is what is in use, in MB.
func heap() float64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return float64(m.HeapAlloc) / (1 << 20)
}

// processor is the time that all cores have spent on this process: what a board costs is told
// by it on a machine that others use too.
func processor(tb testing.TB) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		tb.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// boardOf is a board over as many concepts as there are.
func boardOf(tb testing.TB, calls []Named, concepts []Concept) *Board {
	terms := SituationOf(0, 0, "", tags.DefaultSettings())
	b := Board{Rows: []Row{}, Run: NewRepertoire(field.HighSchool, terms)}
	for _, c := range concepts {
		if err := b.Run.Add(c, c.spec(field.HighSchool)); err != nil {
			tb.Fatal(err)
		}
		b.Plays, b.Covered = b.Plays+c.Plays, b.Covered+c.Plays
	}
	b.Concepts = b.Run.Concepts
	if err := b.play(tb.Context(), calls); err != nil {
		tb.Fatal(err)
	}
	return &b
}

// boardCalls are the calls of the book, then the same with one man a yard deeper.
func boardCalls(tb testing.TB, n int) (out []Named) {
	book := call.Book()
	for k := range n {
		c := *book[k%len(book)].Call
		c.Defenders = append([]call.Defender{}, c.Defenders...)
		if by := float64(k / len(book)); by > 0 {
			last := &c.Defenders[len(c.Defenders)-1]
			last.Align = append([]call.Align{}, last.Align...)
			for i := range last.Align {
				last.Align[i].Depth += by
			}
			c.Name += fmt.Sprintf(" %g deeper", by)
		}
		compiled, err := call.Compile(&c)
		if err != nil {
			tb.Fatal(err)
		}
		out = append(out, Named{Name: c.Name, Compiled: compiled})
	}
	return out
}

// boardConcepts are the first concepts of the built-in pictures on four downs each.
func boardConcepts(n int) (out []Concept) {
	for k, e := range picture.Library()[:n] {
		faced := []tags.Faced{{Down: 1, DistanceYd: 10, YardsToGoal: 70, Plays: 4},
			{Down: 2, DistanceYd: 7, YardsToGoal: 60, Plays: 3}, {Down: 3, DistanceYd: 5, YardsToGoal: 55, Plays: 2},
			{Down: 3, DistanceYd: 9, YardsToGoal: 40, Plays: 1 + k%3}}
		plays := 0
		for _, f := range faced {
			plays += f.Plays
		}
		out = append(out, Concept{SetName: e.Set, Concept: e.Concept, Family: e.Family, Routes: e.Routes, Plays: plays,
			Faced: faced})
	}
	return out
}
