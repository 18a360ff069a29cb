package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/uuid"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// An offense is what somebody runs on first and ten at its own 40, as the engine plays it
// against some calls: ten passes of the library and four runs, as often as the invented
// season's first opponent runs his fourteen concepts on first down.
type offense struct {
	shares   []float64
	concepts []Concept
	calls    []string
	results  [][]*stress.Result // by call and concept
	set      stress.Setting
}

var at40 = stress.ToGain{Need: 4, Down: 1, Distance: 10, YardsToGoal: 60}

func anOffense(t *testing.T) *offense {
	t.Helper()
	terms := SituationOf(1, 10, "", tags.DefaultSettings())
	terms.ToGain = at40
	r := NewRepertoire(field.HighSchool, terms)
	add := func(c Concept, rest string) {
		spec := c.spec(field.HighSchool)
		spec.Rest = rest
		if err := r.Add(c, spec); err != nil {
			t.Fatal(err)
		}
	}
	for i, e := range picture.Library() {
		if i%6 == 0 && len(r.Concepts) < 10 {
			add(Concept{SetName: e.Set, Concept: e.Concept, Family: e.Family, Routes: e.Routes}, e.Rest)
		}
	}
	for _, run := range [][2]string{{"2x1", "inside zone"}, {"3x1", "inside zone"}, {"2x2", "outside zone"},
		{"2x2", "power"}} {
		add(Concept{SetName: run[0], Concept: run[1], Family: "run", Routes: nobodyOut}, "")
	}
	out := &offense{concepts: r.Concepts, set: terms.Setting,
		calls: []string{"cover 1", "cover 3 spot", "quarters match", "palms"}}
	for _, n := range []float64{21, 14, 14, 9, 6, 6, 6, 4, 21, 2, 15, 14, 9, 6} {
		out.shares = append(out.shares, n/147)
	}
	for _, name := range out.calls {
		n := Named{Name: name, Compiled: must(call.Lookup(name))}
		var row []*stress.Result
		for k := range r.Concepts {
			row = append(row, must(r.play(t.Context(), new(stress.Evaluator), n, k)))
		}
		out.results = append(out.results, row)
	}
	return out
}

// pick draws one of some chances.
func pick(rng *rand.Rand, chances []float64) int {
	x, i := rng.Float64(), 0
	for ; i+1 < len(chances) && x > chances[i]; i++ {
		x -= chances[i]
	}
	return i
}

// TestSeasonsHold: of 4,000 seasons drawn from the engine with its stated error (what a call gives
// up to each concept is off by offPoints, and the concepts come by chance) the intervals of a row
// hold 93 to 97% of what the call truly gives up. The standard is the definition of a 95% interval;
// of 400 alone one in twenty such checks would be off by chance.
func TestSeasonsHold(t *testing.T) {
	rng := rand.New(rand.NewPCG(16, 400))
	o := anOffense(t)
	for _, plays := range []int{25, 60, 150} {
		held, success := 0, 0
		const seasons = 4000
		for range seasons {
			of := o.results[rng.IntN(len(o.results))]
			b, row, truth, chance := Board{}, Row{}, 0.0, 0.0
			ran := make([]int, len(o.shares))
			for range plays {
				ran[pick(rng, o.shares)]++
			}
			for i, n := range ran {
				off, says := rng.NormFloat64(), of[i].Value
				truth += o.shares[i] * (says.Points + offPoints*off)
				chance += o.shares[i] * (says.Success + offSuccess*off)
				if n > 0 {
					b.Concepts = append(b.Concepts, Concept{Plays: n})
					row.Cells = append(row.Cells, Cell{Concept: len(row.Cells), Stress: says.Success, GivesUp: givesUp(says)})
				}
			}
			b.weigh(&row)
			if truth >= row.PointsLow && truth <= row.PointsHigh {
				held++
			}
			if chance >= row.Low && chance <= row.High {
				success++
			}
		}
		for what, n := range map[string]int{"points": held, "success": success} {
			t.Logf("%d plays: the interval of %s holds %.1f%%", plays, what, 100*float64(n)/seasons)
			if n < 93*seasons/100 || n > 97*seasons/100 {
				t.Errorf("%d plays: the interval of %s holds %d of %d truths, want 93 to 97%%", plays, what, n, seasons)
			}
		}
	}
}

// planned is the plan of the offense: what each call gives up to each concept as it is drawn.
func (o *offense) planned() *Content {
	s := Situation{Name: "1st and 10"}
	for _, c := range o.concepts {
		s.Concepts = append(s.Concepts, Observed{SetName: c.SetName, Concept: c.Concept, Family: c.Family})
	}
	for k, name := range o.calls {
		p := Predicted{Call: name}
		for c, r := range o.results[k] {
			set := o.set
			if o.concepts[c].Runs() { // which are explosive sooner, as the season's are
				set.Explosive = set.ExplosiveRun
			}
			v := r.Outcome().On(at40, &set)
			p.Against, p.Points, p.Explosive = append(p.Against, v.Success), append(p.Points, v.Points),
				append(p.Explosive, v.Explosive)
		}
		s.Calls = append(s.Calls, p)
	}
	return &Content{Situations: []Situation{s}}
}

// season draws plays as the engine has them end; of those that fail one more in so many is
// drawn again until it does not.
func (o *offense) season(rng *rand.Rand, plays int, kinder float64) []tags.Play {
	out := make([]tags.Play, plays)
	for n := range out {
		k, c := rng.IntN(len(o.calls)), pick(rng, o.shares)
		end, concept := o.results[k][c].Outcome(), &o.concepts[c]
		gain, lost := ended(rng, end)
		if rng.Float64() < kinder {
			for gain < int(at40.Need) || lost {
				gain, lost = ended(rng, end)
			}
		}
		p := tags.Play{Meta: tags.Meta{ID: uuid.New()}, Down: ptr(1), DistanceYd: ptr(10), YardsToGoal: ptr(60),
			GainYd: &gain, Touchdown: gain >= 60, Coverage: &o.calls[k], SetName: &concept.SetName,
			Concept: &concept.Concept, Family: &concept.Family, PlaySide: ptr("right"), Called: ptr("pass"),
			Routes: []tags.Route{{Side: "right", Number: 1, Eligible: "receiver", Route: "go"}}}
		if concept.Runs() {
			p.Called, p.Routes = ptr("run"), nil
		}
		if lost {
			p.Result = ptr("intercepted")
		}
		out[n] = p
	}
	return out
}

// ended draws how a play ends: its gain, and whether the ball was lost.
func ended(rng *rand.Rand, o *stress.Outcome) (gain int, lost bool) {
	chances := append([]float64{o.Intercepted}, o.Yards[:]...)
	if i := pick(rng, chances); i > 0 {
		return i - 1 - 15, false // the first of Yards is a loss of 15
	}
	return 0, true
}

// TestSeasonsTold: of 400 seasons of 160 plays drawn from the engine's own outcomes the review
// tells 5 in a hundred apart from the plan, in success, in points and in explosive plays; of those in
// which a third of the plays that fail do not (about one play in six) nearly all in success, and
// most in points, which differ more from play to play.
func TestSeasonsTold(t *testing.T) {
	rng := rand.New(rand.NewPCG(16, 401))
	o, set := anOffense(t), tags.DefaultSettings()
	plan, book := o.planned(), builtIn()
	told := func(kinder float64) (apart [3]int) {
		for range 400 {
			plays := o.season(rng, 160, kinder)
			in := map[uuid.UUID]bool{}
			for i := range plays {
				in[plays[i].ID] = true
			}
			var r Review
			r.calibrate(plan, &OurPlays{Plays: plays, Within: []map[uuid.UUID]bool{in}, Book: book, Settings: set})
			c := &r.Calibration
			if c.Came.N != 160 || c.Points.Plays != 160 {
				t.Fatalf("%d and %d of 160 plays judged: %v", c.Came.N, c.Points.Plays, c.LeftOut)
			}
			for k, is := range []bool{c.Forecast < c.Came.Low || c.Forecast > c.Came.High,
				c.Points.Low > 0 || c.Points.High < 0, c.Explosive.Low > 0 || c.Explosive.High < 0} {
				if is {
					apart[k]++
				}
			}
		}
		return apart
	}
	right := told(0)
	t.Logf("right chances: of 400 told apart %d in success, %d in points, %d in explosive plays", right[0], right[1],
		right[2])
	for _, n := range right {
		if math.Abs(float64(n)-20) > 14 { // 3.2 standard deviations of 400 tries at 1 in 20
			t.Errorf("of 400 seasons from the plan's own chances %v are told apart, want about 20", right)
		}
	}
	wrong := told(1.0 / 3)
	t.Logf("wrong chances: of 400 told apart %d in success, %d in points, %d in explosive plays", wrong[0], wrong[1],
		wrong[2])
	if wrong[0] < 380 || wrong[1] < 200 {
		t.Errorf("of 400 seasons from wrong chances %v are told apart", wrong)
	}
}
