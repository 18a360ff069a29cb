package ask

import (
	"math"

	"overhang/internal/stress"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

// A Timeline is where all twenty-two are ten times a second, x positive to the
// offense's right, y downfield, in yards; with what moves when a coach drags it: where a
// man's alignment is written in the call, where a route breaks.
type Timeline struct {
	Offense []string `json:"offense"`
	Defense []string `json:"defense"`
	Frames  []Frame  `json:"frames"`
	Men     []Stance `json:"men"`     // in the order of defense
	Routes  []Route  `json:"routes"`  // in the order of offense, eligibles only
	Threats []Threat `json:"threats"` // a finding that is told each
}

// A Frame is one moment of a timeline.
type Frame struct {
	TimeS   float64      `json:"t_s"`
	Offense [][2]float64 `json:"offense"`
	Defense [][2]float64 `json:"defense"`
}

// A Stance is where a defender's place is written in his call, and what he is told when.
type Stance struct {
	Place    string       `json:"place"`    // of the defender in the call, a JSON Pointer
	Line     int          `json:"line"`     // of his alignment that counts here
	On       string       `json:"on"`       // the landmark of that line
	Out      int          `json:"out"`      // the sign of x that is outside for him
	Landmark bool         `json:"landmark"` // it is there: else if_missing_yd counts, from the ball
	Role     string       `json:"role"`
	Rushes   bool         `json:"rushes"`
	Rules    []Assignment `json:"rules"`
}

// An Assignment is the rule a man is under from a moment on.
type Assignment struct {
	FromS float64 `json:"from_s"`
	When  string  `json:"when"`
	Then  string  `json:"then"`
	Owes  []int   `json:"owes"` // the eligibles he owes himself, by their place in offense
}

// A Route is what an eligible runs, with its first break.
type Route struct {
	Receiver string     `json:"receiver"` // as the picture's notation names him
	Number   int        `json:"number"`
	Route    string     `json:"route"`
	Named    bool       `json:"named"` // stands in the picture
	Blocks   bool       `json:"blocks"`
	DepthYd  float64    `json:"depth_yd"`
	Breaks   bool       `json:"breaks"` // its depth can be another one
	BreakS   float64    `json:"break_s"`
	BreakAt  [2]float64 `json:"break_at"`
}

// A Threat is who is in a finding, by their places in defense and offense.
type Threat struct {
	Man   int   `json:"man"`
	Open  int   `json:"open"`  // -1: the run
	Other int   `json:"other"` // -1: nobody else, or the run
	Throw *Ball `json:"throw,omitempty"`
}

// A Ball is the throw of a finding, when it is largest.
type Ball struct {
	ReleaseS float64    `json:"release_s"`
	FlightS  float64    `json:"flight_s"`
	From     [2]float64 `json:"from"`
	At       [2]float64 `json:"at"`
}

func (p *Played) timeline() *Timeline {
	r := p.Result
	pic := r.Rep.Picture
	out := &Timeline{Frames: []Frame{}, Men: []Stance{}, Routes: []Route{}, Threats: p.threats()}
	for i := range pic.Receivers {
		out.Offense = append(out.Offense, pic.Receivers[i].Name)
		out.Routes = append(out.Routes, routeOf(r, i))
	}
	out.Offense = append(out.Offense, "passer", "left tackle", "left guard", "center", "right guard", "right tackle")
	for j := range r.Rep.Setup.Men {
		out.Defense = append(out.Defense, r.Defender(j))
		out.Men = append(out.Men, stanceOf(r.Rep.Setup, j))
	}
	for _, f := range r.Rep.Timeline() {
		out.Frames = append(out.Frames, Frame{math.Round(f.T*10) / 10, places(f.Offense), places(f.Defense)})
	}
	return out
}

func routeOf(r *stress.Result, i int) Route {
	x := &r.Rep.Picture.Receivers[i]
	out := Route{Receiver: x.Name, Number: x.Number, Route: x.Route.Name,
		Named: x.Named, Blocks: x.Blocks(), DepthYd: x.Depth}
	if bs := x.Path.Breaks; len(bs) > 0 && x.Named && !x.Blocks() && !x.Route.Vertical {
		out.Breaks, out.BreakS, out.BreakAt = true, bs[0].T, place(x.Path.At(bs[0].T))
	}
	return out
}

func stanceOf(s *duty.Setup, j int) Stance {
	m := &s.Men[j]
	out := Stance{Place: m.Slot.Path(), Line: m.Align, On: m.Slot.Align[m.Align].On, Out: m.Side,
		Landmark: s.OnLandmark(j), Rushes: motion.Rushes(m), Rules: []Assignment{}}
	if len(m.Slot.Roles) > 0 {
		out.Role = m.Slot.Roles[0]
	}
	for _, sh := range m.Shifts {
		rule := m.Slot.Rules[sh.Rule].Rule
		a := Assignment{FromS: sh.From, When: rule.When, Then: rule.Then, Owes: []int{}}
		for _, d := range sh.Duties {
			if d.Target >= 0 && !d.Help {
				a.Owes = append(a.Owes, d.Target)
			}
		}
		out.Rules = append(out.Rules, a)
	}
	return out
}

func (p *Played) threats() []Threat {
	g, out := p.Result.Rep, []Threat{}
	eligible := func(i int) int {
		if i == g.Run || i == stress.NoThreat {
			return -1
		}
		return i
	}
	for _, k := range p.Told {
		f := &p.Result.Findings[k]
		x := Threat{Man: f.Man, Open: eligible(f.Open), Other: eligible(f.Other)}
		if x.Open >= 0 {
			th := &g.Of(f.Open)[int(math.Round((f.At-g.Releases[0])/motion.Tick))]
			x.Throw = &Ball{f.At, th.Flight, place(g.Clock.Passer), place(th.At)}
		}
		out = append(out, x)
	}
	return out
}

// places are points to the hundredth of a yard.
func places(ps []field.Point) [][2]float64 {
	out := make([][2]float64, len(ps))
	for i, p := range ps {
		out[i] = place(p)
	}
	return out
}

func place(p field.Point) [2]float64 {
	return [2]float64{math.Round(p.X*100) / 100, math.Round(p.Y*100) / 100}
}
