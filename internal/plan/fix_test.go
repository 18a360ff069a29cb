package plan

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// everything is the built-in pictures with as many plays as letters in their names.
func everything(t *testing.T) *Repertoire {
	t.Helper()
	run := NewRepertoire(field.HighSchool, Terms{Setting: stress.Usual})
	for _, e := range picture.Library()[:16] {
		c := Concept{SetName: e.Set, Concept: e.Concept, Family: e.Family, Routes: e.Routes, Plays: len(e.Concept)}
		if err := run.Add(c, c.spec(field.HighSchool)); err != nil {
			t.Fatal(err)
		}
	}
	return run
}

// TestFixes: what a fix says is what its call gives up when it is written down,
// read again and played against each picture.
func TestFixes(t *testing.T) {
	run := everything(t)
	asked, hurts := 0, 0
	for _, name := range []string{"cover 3 spot", "cover 2 spot", "palms"} {
		p, err := call.Lookup(name)
		if err != nil {
			t.Fatal(err)
		}
		n := Named{Name: "our " + name, Compiled: p}
		for k := range run.Concepts {
			r := must(run.Play(context.Background(), n, k))
			told := Told(r)
			if len(told) == 0 {
				continue
			}
			won := math.Inf(1)
			for _, a := range must(run.Fixes(context.Background(), n, k, told[0], 2)) {
				asked++
				wins := a.AllPointsBefore - a.AllPointsAfter
				if wins < 0.005 || wins > won+1e-12 {
					t.Errorf("%s against %s: a fix wins %.4f points, the one before it %.4f", name, run.Concepts[k].Concept, wins, won)
				}
				won = wins
				raw, err := json.Marshal(a.Call)
				if err != nil {
					t.Fatal(err)
				}
				c, err := call.Decode(strings.NewReader(string(raw)))
				if err != nil {
					t.Fatal(err)
				}
				changed, err := call.Compile(c)
				if err != nil || len(must(changed.Check(context.Background()))) > 0 || !strings.HasPrefix(c.Title,
					n.Name+", changed: ") {
					t.Fatalf("%s: %v %v, titled %q", a.Words, err, must(changed.Check(context.Background())), c.Title)
				}
				all, plays := 0.0, 0.0
				for i := range run.Concepts {
					w := float64(run.Concepts[i].Plays)
					all, plays = all+w*must(run.Play(context.Background(), Named{Name: "", Compiled: changed}, i)).Stress, plays+w
				}
				if math.Abs(all/plays-a.AllStressAfter) > 1e-9 || math.Abs(a.WorstBefore-a.WorstAfter-a.GainYd) > 1e-9 ||
					math.Abs(a.AllWorstBefore-a.AllWorstAfter-a.NetYd) > 1e-9 {
					t.Errorf("%s: over all it says %v, played %v; %+v", a.Words, a.AllStressAfter, all/plays, a)
				}
				if a.Hurts != nil {
					hurts++
					if a.Hurts.To <= a.Hurts.From || a.Hurts.Concept == run.Concepts[k].Concept {
						t.Errorf("%s hurts %+v", a.Words, a.Hurts)
					}
				}
			}
		}
		if p.Call.Name != name || strings.Contains(p.Call.Title, "changed") {
			t.Errorf("the search changed the call it was asked about: %q", p.Call.Title)
		}
	}
	if asked < 10 || hurts == 0 {
		t.Errorf("%d fixes, %d that hurt: this tests too little", asked, hurts)
	}
}

// TestSweeps: the middle of a grid is where he stands, none is under a yard, and a
// flip stands between two depths with two owners.
func TestSweeps(t *testing.T) {
	run := everything(t)
	p, err := call.Lookup("quarters match")
	if err != nil {
		t.Fatal(err)
	}
	n := Named{Name: "quarters match", Compiled: p}
	men := must(run.Play(context.Background(), n, 0)).Rep.Setup.Men
	for j := range men {
		s, err := run.SweepAlignment(context.Background(), n, 0, men[j].Slot.Name, 2)
		if err != nil {
			t.Fatal(err)
		}
		here := 0
		for i, row := range s.Spots {
			for m, x := range row {
				if x.OffsetYd != s.Offsets[i] || x.DepthYd != s.Depths[m] || x.DepthYd < 1 || math.IsNaN(x.Stress) {
					t.Errorf("%s: %+v at %v, %v", s.Defender, x, s.Offsets[i], s.Depths[m])
				}
				if s.Here(&x) {
					here++
				}
			}
		}
		if here != 1 || len(s.Spots) != 5 || s.Pictures < 1 {
			t.Errorf("%s: he stands at %d places of %d rows, in %d pictures", s.Defender, here, len(s.Spots), s.Pictures)
		}
	}
	d, err := run.SweepBreak(context.Background(), n, 0, "P2", 2, 16, 0.5)
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Breaks) != 29 || len(d.Flips) == 0 || d.NowYd < 2 {
		t.Errorf("%d depths, flips %v, now at %v", len(d.Breaks), d.Flips, d.NowYd)
	}
	for _, f := range d.Flips {
		i := int((f.FromYd - 2) / 0.5)
		if f.From == f.To || d.Breaks[i].Owner != f.From || d.Breaks[i+1].Owner != f.To || d.Breaks[i+1].DepthYd != f.ToYd {
			t.Errorf("flip %+v; there stand %+v and %+v", f, d.Breaks[i], d.Breaks[i+1])
		}
	}
	for _, err := range []error{second(run.SweepAlignment(context.Background(), n, 0, "rover", 2)),
		second(run.SweepBreak(context.Background(), n, 0, "P7", 2, 16, 1))} {
		var e *tags.Error
		if !errors.As(err, &e) || e.Kind != tags.Invalid || len(e.Fields) != 1 {
			t.Errorf("%v; want the field named", err)
		}
	}
}

func second[T any](_ T, err error) error { return err }

// BenchmarkCell asks what a cell's page asks, against sixteen pictures.
func BenchmarkCell(b *testing.B) {
	run := NewRepertoire(field.HighSchool, Terms{Setting: stress.Usual})
	for _, e := range picture.Library()[:16] {
		c := Concept{SetName: e.Set, Concept: e.Concept, Family: e.Family, Routes: e.Routes, Plays: 1}
		if err := run.Add(c, c.spec(field.HighSchool)); err != nil {
			b.Fatal(err)
		}
	}
	p, err := call.Lookup("cover 3 spot")
	if err != nil {
		b.Fatal(err)
	}
	n := Named{Name: "cover 3 spot", Compiled: p}
	k, r := 0, must(run.Play(context.Background(), n, 0))
	for ; len(Told(r)) == 0; r = must(run.Play(context.Background(), n, k)) {
		k++
	}
	found := Told(r)[0]
	for name, ask := range map[string]func(){
		"fixes":  func() { must(run.Fixes(context.Background(), n, k, found, 3)) },
		"stands": func() { run.SweepAlignment(context.Background(), n, k, r.Defender(r.Findings[found].Man), 3) },
		"breaks": func() { run.SweepBreak(context.Background(), n, k, "P2", 2, 16, 0.5) },
	} {
		b.Run(name, func(b *testing.B) {
			for range b.N {
				ask()
			}
		})
	}
}
