package fix

import (
	"bytes"
	"context"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

var params = motion.Defaults(field.HighSchool)

func prepared(t interface{ Fatal(...any) }, e picture.Entry, left bool) *motion.Play {
	p, err := picture.New(picture.Spec{Set: e.Set, Family: e.Family, Routes: e.Routes, Left: left,
		Receiver: params.Receiver, Back: params.Back})
	if err != nil {
		t.Fatal(err)
	}
	return motion.Prepare(p, &params)
}

// library is the built-in pictures, each run once: no opponent.
func library(t interface{ Fatal(...any) }, left bool) (ps []Weighted, names []string) {
	for _, e := range picture.Library() {
		ps, names = append(ps, Weighted{stress.Seen{Play: prepared(t, e, left)}, 1}), append(names, e.Concept)
	}
	return ps, names
}

func lookup(t testing.TB, name string) *call.Compiled {
	compiled, err := call.Lookup(name)
	if err != nil {
		t.Fatal(err)
	}
	return compiled
}

// searched asks for the fixes of the largest finding of a call against a concept.
func searched(t *testing.T, coverage, concept string) []Fix {
	t.Helper()
	ps, names := library(t, false)
	c := &Case{Compiled: lookup(t, coverage), Pictures: ps, Setting: stress.Usual}
	for k, n := range names {
		if n == concept {
			return must(Search(context.Background(), c, k, 0, 3))
		}
	}
	t.Fatalf("no concept %q", concept)
	return nil
}

// The cures the trade has published are found by the search, which knows nothing of
// them, and take two fifths of the conflict away at least. One that is not found says why,
// and fails once it is.
func TestPublishedCures(t *testing.T) {
	for _, x := range []struct{ coverage, concept, kind, rule, source, missed string }{
		{"quarters match, no trips check", "four verticals trips", "rule",
			"weak safety | far #3 vertical and single | man far #3",
			"solo: the far safety takes #3 vertical (trade notes 3.5: R425, MQ-POACH)",
			"since men keep their shade the conflict left is #2 beside #1 at 2.8 s; the weak hook's take of #3 cures " +
				"it, the far safety's wins nothing there"},
		{"cover 3 spot", "four verticals", "match", "strong overhang | #1 vertical and #2 vertical | man #2",
			"seams carried underneath (trade notes 3.9, 3.14: TN-RL)", ""},
		{"cover 3 spot", "curl-flat", "trade", "strong corner | #1 vertical and #2 out | man #1",
			"the corner plays #1 when he is vertical, the flat man #2 (trade notes 3.9, 3.14: TN-RL, BR-BOO)", ""},
	} {
		found := false
		for _, a := range searched(t, x.coverage, x.concept) {
			for _, r := range a.Rules {
				found = found || string(a.Kind) == x.kind && r.Defender+" | "+r.When+" | "+r.Then == x.rule &&
					a.Gain() > 0.4*a.Before.Worst
			}
		}
		if found != (x.missed == "") {
			t.Errorf("%s against %s: %s with %q, as in %s: found is %v (missed: %s)", x.concept, x.coverage, x.kind, x.rule,
				x.source, found, x.missed)
		}
	}
}

// anyCase is a call of the book, four pictures and a finding of the first.
func anyCase(t *rapid.T) (c *Case, found int) {
	book, lib := call.Book(), picture.Library()
	c = &Case{Compiled: book[rapid.IntRange(0, len(book)-1).Draw(t, "call")], Setting: stress.Usual}
	for range 3 {
		c.Pictures = append(c.Pictures, Weighted{stress.Seen{Play: prepared(t, rapid.SampledFrom(lib).Draw(t, "concept"),
			false)}, rapid.Float64Range(1, 20).Draw(t, "plays")})
	}
	n := len(must(stress.Evaluate(context.Background(), c.Compiled, c.Pictures[0].Play, c.Setting)).Findings)
	if n == 0 {
		t.Skip("no finding")
	}
	return c, rapid.IntRange(0, n-1).Draw(t, "finding")
}

// What a fix says is what its call does when it is saved, read again and played.
func TestFixesHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, found := anyCase(t)
		before := must(stress.Check(context.Background(), c.Compiled))
		raw, _ := c.Compiled.Call.Encode()
		for _, a := range must(Search(context.Background(), c, 0, found, 1)) {
			text, err := a.Call.Encode()
			if err != nil {
				t.Fatal(err)
			}
			read, err := call.Decode(bytes.NewReader(text))
			if err != nil {
				t.Fatalf("%s: %v", a.Words, err)
			}
			compiled, err := call.Compile(read)
			if err != nil {
				t.Fatalf("%s: %v", a.Words, err)
			}
			if complains(context.Background(), compiled, before) {
				t.Fatalf("%s: the call complains", a.Words)
			}
			total, sum, worst, grown := 0.0, 0.0, 0.0, 0.0
			for i, p := range c.Pictures {
				was, now := mark(must(stress.Weigh(context.Background(), c.Compiled, &p.Seen, c.Setting))),
					mark(must(stress.Weigh(context.Background(), compiled, &p.Seen, c.Setting)))
				total, sum, worst = total+p.Weight, sum+p.Weight*now.Stress, worst+p.Weight*now.Worst
				grown = max(grown, now.Worst-was.Worst)
				if i == 0 && (now != a.After || was != a.Before) {
					t.Fatalf("%s: says %+v to %+v, is %+v to %+v", a.Words, a.Before, a.After, was, now)
				}
			}
			if math.Abs(sum/total-a.StressAfter) > 1e-9 || math.Abs(worst/total-a.WorstAfter) > 1e-9 {
				t.Fatalf("%s: over all %v, %v; is %v, %v", a.Words, a.StressAfter, a.WorstAfter, sum/total, worst/total)
			}
			if (a.Hurt >= 0) != (grown > Matters) {
				t.Fatalf("%s: hurt %d, worst growth %v", a.Words, a.Hurt, grown)
			}
			if a.Gain() < Matters/2 {
				t.Fatalf("%s: gains %v", a.Words, a.Gain())
			}
		}
		if again, _ := c.Compiled.Call.Encode(); !bytes.Equal(raw, again) {
			t.Fatal("the search changed the call it was asked about")
		}
	})
}

// Left and right have the same fixes, and asking twice gives the same.
func TestFixesMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		book := call.Book()
		compiled := book[rapid.IntRange(0, len(book)-1).Draw(t, "call")]
		e := rapid.SampledFrom(picture.Library()).Draw(t, "concept")
		var said [3]string
		for side, left := range []bool{false, true, false} {
			seen := stress.Seen{Play: prepared(t, e, left)}
			c := &Case{Compiled: compiled, Pictures: []Weighted{{seen, 1}}, Setting: stress.Usual}
			if len(must(stress.Evaluate(context.Background(), compiled, c.Pictures[0].Play, c.Setting)).Findings) == 0 {
				t.Skip("no finding")
			}
			for _, a := range must(Search(context.Background(), c, 0, 0, 2)) {
				said[side] += a.Words + "\n"
			}
		}
		if said[0] != said[1] || said[0] != said[2] {
			t.Fatalf("right:\n%sleft:\n%sagain:\n%s", said[0], said[1], said[2])
		}
	})
}

// A rule sheet's threshold is where the ownership of #2 flips: past 5 yd he is the
// safety's (YFO-Q), past 7 in another staff's sheet (BD-S); trade notes 3.0.
func TestThresholdSweep(t *testing.T) {
	for threshold, source := range map[field.Yards]string{5: "YFO-Q", 7: "BD-S"} {
		c := copied(lookup(t, "quarters match").Call)
		c.Vertical, c.Under = threshold, threshold
		compiled, err := call.Compile(c)
		if err != nil {
			t.Fatal(err)
		}
		spec := picture.Spec{Set: "2x2", Family: "dropback", Routes: "P1 go, P2 dig@12", Receiver: params.Receiver,
			Back: params.Back}
		var depths []field.Yards
		for d := 3.0; d <= 12; d += 0.5 {
			depths = append(depths, d)
		}
		bs, err := SweepBreak(context.Background(), compiled, spec, "P2", depths, &params, stress.Usual)
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range bs {
			want := "strong safety"
			if b.Depth <= threshold {
				want = "overhang"
			}
			if math.Abs(b.Depth-threshold) > 0.5 && b.Owner != want {
				t.Errorf("%s, break at %g yd with the threshold at %g: the %s's, want the %s's", source, b.Depth, threshold,
					b.Owner, want)
			}
		}
	}
}

func TestSweepRefusals(t *testing.T) {
	spec := picture.Spec{Set: "2x2", Family: "dropback", Routes: "P1 go, P2 dig@12", Receiver: params.Receiver,
		Back: params.Back}
	for receiver, want := range map[string]string{"P1": "no break", "P3": "no receiver", "B2": "no receiver"} {
		if _, err := SweepBreak(context.Background(), lookup(t, "palms"), spec, receiver, []field.Yards{5}, &params,
			stress.Usual); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", receiver, err)
		}
	}
}

// Standing where he stands costs what it costs; a man outside of #2 gives up less to an
// out-breaking route than one inside of him, and more to an in-breaking one: leverage,
// common practice, no source.
func TestAlignmentSweep(t *testing.T) {
	out := prepared(t, picture.Entry{Set: "2x2", Family: "dropback", Routes: "P1 go, P2 out@5"}, false)
	in := prepared(t, picture.Entry{Set: "2x2", Family: "dropback", Routes: "P1 go, P2 in@5"}, false)
	compiled := lookup(t, "cover 1")
	offsets := []field.Yards{-2, 0, 2}
	sweep := func(pl *motion.Play) [][]Place {
		c := &Case{Compiled: compiled, Pictures: []Weighted{{stress.Seen{Play: pl}, 3}}, Setting: stress.Usual}
		r := must(stress.Weigh(context.Background(), compiled, &c.Pictures[0].Seen, stress.Usual))
		for j := range r.Rep.Setup.Men {
			if r.Defender(j) != "strong overhang" {
				continue
			}
			s := must(SweepAlignment(context.Background(), c, 0, j, offsets, []field.Yards{0}))
			here := s.Grid[1][0]
			if math.Abs(here.Stress-r.Stress) > 1e-9 || math.Abs(here.Worst-mark(r).Worst) > 1e-9 || s.Pictures != 1 {
				t.Errorf("where he stands: %+v, played %v and %+v", here, r.Stress, mark(r))
			}
			return s.Grid
		}
		t.Fatal("no overhang")
		return nil
	}
	o, i := sweep(out), sweep(in)
	if o[2][0].Worst >= min(o[0][0].Worst, o[1][0].Worst) {
		t.Errorf("an out beats a man outside of #2 by as much as one inside of him: %v", o)
	}
	if i[2][0].Stress <= i[0][0].Stress {
		t.Errorf("an in beats a man inside of #2 as often as one outside of him: %v", i)
	}
	if o[2][0].ToFit >= o[0][0].ToFit {
		t.Errorf("to his force fit at 9 yd it is shorter from outside: %v", o)
	}
}

// BenchmarkSearch asks for the fixes of one conflict against sixteen pictures, as many
// as a board has.
func BenchmarkSearch(b *testing.B) {
	ps, _ := library(b, false)
	c := &Case{Compiled: lookup(b, "cover 3 spot"), Pictures: ps[:16], Setting: stress.Usual}
	k := -1
	for i := range c.Pictures {
		if len(must(stress.Evaluate(context.Background(), c.Compiled, c.Pictures[i].Play, c.Setting)).Findings) > 0 {
			k = i
			break
		}
	}
	b.ResetTimer()
	for range b.N {
		must(Search(context.Background(), c, k, 0, 3))
	}
}
