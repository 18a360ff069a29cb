package stress

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// anyRoutes gives everybody of a set a route of the vocabulary at some depth.
func anyRoutes(t *rapid.T, set *picture.Set) string {
	names := picture.RouteNames()
	var items []string
	put := func(who string) {
		route, _ := picture.LookupRoute(rapid.SampledFrom(names).Draw(t, who))
		item := who + " " + route.Name
		if !route.Block && !route.Vertical {
			item += fmt.Sprintf("@%g", float64(rapid.IntRange(0, 20).Draw(t, who+" depth")))
		}
		items = append(items, item)
	}
	for n := range set.Play {
		put(fmt.Sprintf("P%d", n+1))
	}
	for n := range set.Back {
		put(fmt.Sprintf("B%d", n+1))
	}
	for n := range set.Backfield {
		put([]string{"back", "back2", "back3"}[n])
	}
	return strings.Join(items, ", ")
}

// sane says that every number of a result is one, and everything can be said.
func sane(t *rapid.T, r *Result) {
	if !(r.Stress >= 0 && r.Stress <= 1) {
		t.Fatalf("stress %v", r.Stress)
	}
	for i := range r.Findings {
		f := &r.Findings[i]
		if !(f.Size > 0 && f.Size <= 120) || math.IsNaN(f.Between) || math.IsInf(f.Between, 0) || f.From > f.At ||
			f.At > f.To || r.Sentence(f) == "" || r.Rule(f) == "" {
			t.Fatalf("finding %+v", f)
		}
		r.Instead(f)
	}
	for _, a := range r.BestChoices(motion.Boost{}) {
		if math.IsNaN(a.Taught) || math.IsInf(a.Taught, 0) || math.IsNaN(a.Best) || a.Best > a.Taught {
			t.Fatalf("best answer %+v", a)
		}
	}
}

// Any play a staff can tag, against any call of the book, at any level and spot: every
// number is one, chances lie in [0,1], nothing is further than the field.
func TestAnyPicture(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		level := rapid.SampledFrom([]field.Level{field.HighSchool, field.College, field.Pro}).Draw(t, "level")
		params := motion.Defaults(level)
		name := rapid.SampledFrom(picture.SetNames()).Draw(t, "set")
		set, _ := picture.LookupSet(name)
		family := rapid.SampledFrom([]string{"dropback", "quick", "play_action", "boot", "screen", "rpo", "draw",
			"run"}).Draw(t, "family")
		spot := field.Spot{Level: level, FromMiddle: rapid.Float64Range(-8, 8).Draw(t, "ball"),
			YardsToGoal: float64(rapid.IntRange(0, 99).Draw(t, "to goal"))}
		spec := picture.Spec{Set: name, Family: family, Routes: anyRoutes(t, set), Left: rapid.Bool().Draw(t, "left"),
			Spot: spot, Receiver: params.Receiver, Back: params.Back}
		pic, err := picture.New(spec)
		if err != nil {
			t.Fatalf("%+v: %v", spec, err)
		}
		book := call.Book()
		compiled := book[rapid.IntRange(0, len(book)-1).Draw(t, "call")]
		need := rapid.Float64Range(0, 30).Draw(t, "need")
		r := evaluated(compiled, Prepare(pic, &params), Setting{Balance: 1, ToGain: ToGain{Need: need}})
		spec.Left, spec.Spot.FromMiddle = !spec.Left, -spec.Spot.FromMiddle
		turned, err := picture.New(spec)
		if err != nil {
			t.Fatal(err)
		}
		if m := evaluated(compiled, Prepare(turned, &params),
			Setting{Balance: 1, ToGain: ToGain{Need: need}}); math.Abs(m.Stress-r.Stress) > 1e-9 ||
			len(m.Findings) != len(r.Findings) {
			t.Fatalf("turned round: stress %v and %v, %d and %d findings", r.Stress, m.Stress, len(r.Findings), len(m.Findings))
		}
		for _, th := range r.Throws {
			for _, x := range []float64{th.Complete, th.Success, th.Share} {
				if !(x >= 0 && x <= 1) {
					t.Fatalf("throw %+v", th)
				}
			}
		}
		sane(t, r)
		for _, fr := range r.Rep.Timeline() {
			for _, p := range append(fr.Offense, fr.Defense...) {
				if !(math.Abs(p.X) < 60 && math.Abs(p.Y) < 120) {
					t.Fatalf("at %.1f s somebody is at %v", fr.T, p)
				}
			}
		}
	})
}

// anyCall makes defenders of the words of the rule language, whatever sense they make.
func anyCall(t *rapid.T) *call.Call {
	one := func(of ...string) string { return rapid.SampledFrom(of).Draw(t, "word") }
	who := func() string { return one("#1", "#2", "#3", "#4", "back", "far #1", "far #2", "far #3", "far back") }
	atom := func() string {
		if rapid.IntRange(0, 3).Draw(t, "fact") == 0 {
			return one("trips", "single away", "twins", "empty", "two backs", "bunch", "strong", "tight end", "run",
				"#1 crosses #2")
		}
		return who() + " " + one("vertical", "out", "in", "stop", "up", "short", "deep in", "out/up", "block", "absent",
			"released", "in before 4")
	}
	duty := func() string {
		switch v := one("man", "carry", "under", "help", "zone", "help zone", "read", "squeeze", "bump", "hold"); v {
		case "zone", "help zone":
			return v + " " + one("flat", "hook", "curl-flat", "third", "far third", "post", "half", "pole", "cloud", "rat")
		case "hold":
			return v
		default:
			return v + " " + who() + one("", "", " inside", " outside")
		}
	}
	c := &call.Call{Name: "any", Vertical: float64(rapid.IntRange(4, 15).Draw(t, "vertical")),
		Under: float64(rapid.IntRange(2, 6).Draw(t, "under"))}
	for n := range rapid.IntRange(1, 11).Draw(t, "men") {
		d := call.Defender{Name: fmt.Sprintf("man %d", n), Side: one("strong", "weak"), Body: one("back", "linebacker",
			"lineman"), Fit: one("", "gap", "plug", "alley", "force", "cutback"), Keys: []string{who()}}
		d.Align = []call.Align{{On: one("#1", "#2", "#3", "apex", "end man", "back", "hash", "ball"),
			Offset: float64(rapid.IntRange(-6, 6).Draw(t, "offset")), Depth: float64(rapid.IntRange(0, 18).Draw(t, "depth")),
			Technique: one("", "press", "trail"), Missing: 8}}
		for range rapid.IntRange(0, 3).Draw(t, "rules") {
			d.Rules = append(d.Rules, call.Rule{When: one(atom(), atom()+" and "+atom(), atom()+" or "+atom(), "not "+atom()),
				Then: one(duty(), duty()+"; "+duty())})
		}
		d.Rules = append(d.Rules, call.Rule{When: "else", Then: one(duty(), "rush", duty()+"; "+duty())})
		c.Defenders = append(c.Defenders, d)
	}
	return c
}

// Any call that reads, however odd, plays any picture of the library in numbers, and
// can be checked.
func TestAnyCall(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		compiled, err := call.Compile(anyCall(t))
		if err != nil {
			t.Fatal(err)
		}
		checked(compiled)
		r := evaluated(compiled, drawPlay(t, &standard, rapid.Bool().Draw(t, "left"),
			rapid.SampledFrom(picture.Library()).Draw(t, "concept")), Usual)
		sane(t, r)
		r.Rep.Timeline()
	})
}
