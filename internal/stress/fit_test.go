package stress

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"overhang/internal/stress/call"
	"overhang/internal/stress/picture"
)

func played(t interface{ Fatal(...any) }, coverage, set, family string) *Result {
	compiled, err := call.Lookup(coverage)
	if err != nil {
		t.Fatal(err)
	}
	p, err := picture.New(picture.Spec{Set: set, Family: family, Routes: "P1 block", Receiver: standard.Receiver,
		Back: standard.Back})
	if err != nil {
		t.Fatal(err)
	}
	return evaluated(compiled, Prepare(p, &standard), Usual)
}

// Quarters has up to nine in the fit (AFM-QR, trade notes 3.13).
func TestNineInTheFit(t *testing.T) {
	f := played(t, "quarters match", "2x2", "run").RunFit()
	if n := len(f.Spare) + len(f.Gaps); n != 9 || slices.Contains(f.Man, -1) {
		t.Errorf("%d in the fit, men of the gaps %v; want 9 and nobody's none", n, f.Man)
	}
}

// Who forces on the strong side by coverage: trade notes 3.13 with their sources.
func TestForce(t *testing.T) {
	for coverage, want := range map[string]string{
		"quarters match": "safety",   // FIL-BRC: the safety to the run is force
		"cover 2 spot":   "corner",   // BR-CB
		"tampa 2":        "corner",   // BR-CB
		"cover 3 sky":    "overhang", // BOOT-C3: the rolled safety or curl-flat man
		"cover 3 spot":   "overhang",
		"cover 1":        "man on #2", // common practice: the man on the widest who can reach it
		"fire zone":      "overhang",  // P6-SCF: the seam man on his side
		"palms":          "corner",    // FIL-RUN: the defensive back of the attacked side, on either side
	} {
		r := played(t, coverage, "2x2", "run")
		j := r.RunFit().Force[0]
		if j < 0 || !slices.Contains(r.Rep.Setup.Men[j].Slot.Roles, want) {
			t.Errorf("%s: %d forces, want the %s", coverage, j, want)
		}
	}
}

// Trips with a tight end alone on the other side: a corner or linebacker must force at the nub
// (FIL-3X1, trade notes 3.5); here the corner has the deep half.
func TestNubForce(t *testing.T) {
	r := played(t, "quarters, closed back side: corner to the deep half",
		"3x1 with an attached tight end on the other side", "run")
	if j := r.RunFit().Force[1]; j < 0 || !slices.Contains(r.Rep.Setup.Men[j].Slot.Roles, "weak hook") {
		t.Errorf("%d forces at the nub, want the weak hook", j)
	}
}

// A tight end makes a gap more: six against five linemen, seven with him. Two-man has
// the fewest men for them (SCOUT-2M: it gives the quarterback's run): nobody to spare inside.
func TestGapsAreCounted(t *testing.T) {
	for set, want := range map[string]int{"2x2": 6, "3x1": 6, "2x2 attached": 7, "3x1 attached": 7, "2x1": 7} {
		if n := len(played(t, "cover 3 spot", set, "run").RunFit().Gaps); n != want {
			t.Errorf("%s: %d gaps, want %d", set, n, want)
		}
	}
	spare := func(coverage string) int { return len(played(t, coverage, "2x2 attached", "run").RunFit().Spare) }
	for _, compiled := range call.Book() {
		if n := spare(compiled.Call.Name); n < spare("two-man") {
			t.Errorf("%s has %d to spare against a tight end, two-man %d", compiled.Call.Name, n, spare("two-man"))
		}
	}
}

func cost(f *Fit) (sum float64) {
	for n, j := range f.Man {
		if j < 0 {
			sum += 1000
			continue
		}
		sum += max(0, f.Late[n]) + 0.01*(f.Late[n]+120)
	}
	return sum
}

// A man who leaves never fills a gap.
func TestNobodyFillsByLeaving(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		compiled, e := anyCase(t)
		r := evaluated(compiled, drawPlay(t, &standard, rapid.Bool().Draw(t, "left"), e), Usual)
		j := rapid.IntRange(0, len(r.Rep.Setup.Men)-1).Draw(t, "man")
		if with, without := cost(r.RunFit()), cost(r.RunFit(j)); without < with-1e-9 {
			t.Fatalf("without the %s the fit costs %v, with him %v", r.Defender(j), without, with)
		}
	})
}

// The assignment against every way of giving gaps men.
func TestAssignBrute(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gaps, men := rapid.IntRange(1, 4).Draw(t, "gaps"), rapid.IntRange(0, 4).Draw(t, "men")
		fitters := make([][]choice, gaps)
		for n := range fitters {
			for j := range men {
				if rapid.Bool().Draw(t, "may") {
					fitters[n] = append(fitters[n], choice{j, rapid.Float64Range(-5, 5).Draw(t, "late")})
				}
			}
		}
		best := math.Inf(1)
		var try func(n int, used map[int]bool, f *Fit)
		try = func(n int, used map[int]bool, f *Fit) {
			if n == gaps {
				best = min(best, cost(f))
				return
			}
			for _, c := range append(slices.Clone(fitters[n]), choice{-1, 0}) {
				if c.man >= 0 && used[c.man] {
					continue
				}
				used[c.man] = true
				try(n+1, used, &Fit{Man: append(slices.Clone(f.Man), c.man), Late: append(slices.Clone(f.Late), c.late)})
				used[c.man] = false
			}
		}
		try(0, map[int]bool{}, &Fit{})
		var f Fit
		if f.Man, f.Late = assign(fitters); math.Abs(cost(&f)-best) > 1e-9 {
			t.Fatalf("costs %v, the best %v", cost(&f), best)
		}
	})
}

// A middle linebacker who covers #3 and owns a gap is always wrong against the run and
// pass option (MQ-T2): when he plays the stick, his gap is not filled in time. Quarters has men
// to spare, so that its overhang may play the bubble (MQ-2: he has no gap in a four-two-five).
func TestInstead(t *testing.T) {
	b := newBench(t)
	said := func(coverage, set, concept string) (out string) {
		pic := b.pictures[set+"|"+concept]
		plays, err := b.play(set, pic["family"], pic["picture"])
		if err != nil {
			t.Fatal(err)
		}
		compiled, err := call.Lookup(coverage)
		if err != nil {
			t.Fatal(err)
		}
		r := evaluated(compiled, plays[0], Usual)
		for i := range r.Findings {
			out += r.Instead(&r.Findings[i])
		}
		return out
	}
	if s := said("tampa 2", "3x1", "stick-draw"); !strings.Contains(s, "late") && !strings.Contains(s, "nobody") {
		t.Errorf("tampa 2 against stick and draw: %q", s)
	}
	if s := said("quarters match", "2x2", "rpo bubble"); s != "Play the pass, and every gap still has its man." {
		t.Errorf("quarters against a bubble: %q", s)
	}
	if s := said("cover 3 spot", "2x2", "smash"); s != "" {
		t.Errorf("no run action: %q", s)
	}
}
