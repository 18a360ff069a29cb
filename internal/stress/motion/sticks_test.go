package motion

import (
	"math"
	"slices"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// TestDeeper is the rule by hand: to a yard past the line at least, at most five deeper than
// taught, no deeper than four past the line; as taught where nobody plays the line.
func TestDeeper(t *testing.T) {
	t.Parallel()
	sticks := Sticks{Past: 1, Most: 5, Squat: 4, Up: 1}
	for _, tt := range []struct {
		what             string
		line, mark, want field.Yards
	}{
		{"no line", 0, 6, 6}, {"short of it", 8, 6, 9}, {"far short of it", 15, 6, 11}, {"just past it", 8, 9, 9},
		{"between", 8, 11, 11}, {"at the squat", 8, 12, 12}, {"too deep", 2, 10, 6},
	} {
		pl := &Play{Params: &Params{Sticks: sticks}, played: Band{Line: tt.line}}
		if got := tt.mark + pl.deeper(tt.mark); math.Abs(got-tt.want) > 1e-12 {
			t.Errorf("%s: line %v, taught %v: drops to %v, want %v", tt.what, tt.line, tt.mark, got, tt.want)
		}
		if up := pl.up(); tt.line > 0 && up != tt.line-1 || tt.line == 0 && !math.IsInf(up, -1) {
			t.Errorf("%s: comes up to %v", tt.what, up)
		}
	}
}

// TestBand: which downs are played alike. Late bands are of third and fourth down only, a
// down nobody knows is none of them, and a need of none is played as taught.
func TestBand(t *testing.T) {
	t.Parallel()
	p := &Params{Bands: []Band{{Under: 3, Late: true}, {Under: 7}, {Under: 12, Late: true}}}
	for _, tt := range []struct {
		down int
		need field.Yards
		want int
	}{
		{3, 1, 1}, {4, 2.9, 1}, {3, 3, 2}, {1, 1, 2}, {0, 1, 2}, {2, 6.9, 2}, {2, 7, 0}, {3, 7, 3}, {4, 11.9, 3}, {4, 12,
			0},
	} {
		if got := p.band(tt.down, tt.need); got != tt.want {
			t.Errorf("down %d and %v: band %d, want %d", tt.down, tt.need, got, tt.want)
		}
	}
}

// TestOn: downs that are played alike share a play, however many ask and at once; the play as it
// is taught stays as it was, and runs are fitted alike on all downs.
func TestOn(t *testing.T) {
	t.Parallel()
	params := Defaults(field.HighSchool)
	made := func(family string) *Play {
		p, err := picture.New(picture.Spec{Set: "2x2", Family: family, Routes: "P1 hitch@6", Receiver: params.Receiver,
			Back: params.Back})
		if err != nil {
			t.Fatal(err)
		}
		return Prepare(p, &params)
	}
	pl := made("dropback")
	var asked [8]*Play
	var wait sync.WaitGroup
	for i := range asked {
		wait.Go(func() { asked[i] = pl.On(3, 2.5) })
	}
	wait.Wait()
	for _, other := range asked {
		if other != asked[0] {
			t.Fatal("two plays of one band")
		}
	}
	if third := asked[0]; third == pl || third.Line() == 0 || pl.Line() != 0 || pl.Band != 0 {
		t.Errorf("third and short plays a line at %v; as taught at %v", third.Line(), pl.Line())
	}
	if back := asked[0].On(1, 500); back != pl {
		t.Error("a need of no band is not played as taught")
	}
	if run := made("run"); run.On(3, 2) != run {
		t.Error("a run is fitted otherwise on third and short")
	}
}

// TestReadsRun: on a passing down nobody looks for the run first, unless it is an RPO, a draw
// or a run itself.
func TestReadsRun(t *testing.T) {
	t.Parallel()
	still := []picture.Family{picture.RPO, picture.Draw, picture.Run}
	for f := picture.Dropback; f <= picture.Run; f++ {
		for _, pass := range []bool{false, true} {
			pl := &Play{Picture: &picture.Picture{Family: f}, played: Band{Pass: pass}}
			if got, want := pl.readsRun(), !pass || slices.Contains(still, f); got != want {
				t.Errorf("%v, passing down %v: reads the run %v, want %v", f, pass, got, want)
			}
		}
	}
}

// TestHeld: a receiver who stays in leaves a man nearer to the others or where he was, told
// otherwise only by what his keys show; who is told the same without him is where he was.
func TestHeld(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		g := played(t, drawn(t, levelOf(t)), &Scratch{})
		l := rapid.IntRange(0, len(g.Picture.Receivers)-1).Draw(t, "who stays")
		left := g.Play.without(l)
		if !left.Picture.Receivers[l].Blocks() || slices.Contains(left.runs, l) || len(left.runs) < len(g.runs)-1 {
			t.Fatalf("without %d: %v run, before %v", l, left.runs, g.runs)
		}
		if !g.Picture.Receivers[l].Blocks() {
			return // what it changes is up to the rules
		}
		for _, j := range g.Cover {
			if g.men[j].lost > 0 {
				continue
			}
			for k, live := range g.Live {
				for _, i := range live {
					if d := g.Held(j, i, l, k); math.Abs(d) > 1e-9 {
						t.Fatalf("%s stays in anyhow, and holds %s %v yd", g.Picture.Receivers[l].Name, g.Setup.Men[j].Slot.Name, d)
					}
				}
			}
		}
	})
}
