// Package motion is the geometry under the rules: how receivers and defenders
// run, when and where a ball can be caught, and by how many yards a defender
// misses it.
package motion

import (
	"strings"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// Params are the numbers of the model a coach could argue with. Defaults makes
// them for a level of play.
type Params struct {
	Level      field.Level
	Receiver   field.Speed
	Back       field.Speed // a running back
	Body       map[string]field.Speed
	Reaction   field.Seconds        // to the ball, by a man who owes the throw
	Choice     field.Seconds        // added to it by a second throw he owes (Hick's law)
	Busy       field.Seconds        // to a ball thrown to another, by a man who has his own receiver
	Late       field.Seconds        // to the ball, by one who does not
	Perception field.Seconds        // age of what a defender sees of his man
	ZoneEyes   field.Seconds        // the same for a zone man, whose eyes are on the passer
	Start      field.Seconds        // a defender's first step
	RunRead    field.Seconds        // added to it for a man with an inside run role, who must see pass first
	Ball       field.YardsPerSecond // mean ground speed of a throw
	Contest    field.Yards          // r0: a man this near the catch point contests it
	Jam        field.Seconds        // delay of a receiver who is jammed
	Range      field.Yards          // longest throw
	Need       field.Yards          // depth at which a short catch starts to matter
	Turn       field.Seconds        // catch and turn upfield
	// the passer throws at most this long before the break, so that the ball meets the route
	Before field.Seconds
	Early  field.Seconds // thrown earlier before the break than that it holds nobody: no finding is made of it
	After  field.Seconds // the catch is at least this long after the break
	// Step is the time step of a defender's movement; the state is exact for a
	// constant control within it, and a step is cut at every change of duty.
	Step field.Seconds
	// Ahead is how far a deep man, who must not be run by, looks ahead.
	Ahead field.Seconds
	Bail  float64 // share of his speed with which a deep man goes back, his eyes on the passer
	// Edge: a catch is in bounds by so much at least. Past: an out and up is thrown to no less
	// than this depth. Short of Need by Whole a catch costs all of Turn, then the runner goes on
	// with the share Upfield of his speed.
	Edge, Past, Whole field.Yards
	Upfield           float64
	// A runner is at the line so long after the mesh, and no sooner after the read.
	ToLine, Soonest field.Seconds
	// A man who presses within this of a receiver delays him; a bump that is ordered later delays nobody.
	Press  field.Yards
	BumpBy field.Seconds
	Par    Par
	Man    Man
	Zone   Zone
	Under  Under
	Help   Help
	Fit    Fit
	Bodies Bodies
	Sticks Sticks
	Bands  []Band // a need of none of them is played as taught
	Family map[picture.Family]Clock
}

// A Clock is when and from where a family throws.
type Clock struct {
	First, Last field.Seconds // release, as early and as late as it comes
	Rhythm      field.Seconds // from when on the passer chooses: his drop is done; 0: from First
	Passer      field.Point
	FitUntil    field.Seconds // run fitters are held this long, 0: nobody is
	Deep        field.Yards   // a route without a break is a threat once caught past this
	Limit       field.Yards   // nothing deeper is thrown, 0: no limit
	Drop        field.Yards   // an underneath man who sees this drop goes no deeper than this
	Mesh        field.Seconds // the runner has the ball or not
}

// Defaults returns the parameters for a level. Speeds of professionals are
// fitted by eye to tracked plays (motion_metrics: receivers reach 7.7 yd/s by
// 2 s with tau 0.71; ball 19.2 yd/s); high school is assumed 8% slower,
// college 4%, reactions equal.
func Defaults(l field.Level) Params {
	k, ball := 1.0, 19.5
	switch l {
	case field.HighSchool:
		k, ball = 0.92, 18
	case field.College:
		k, ball = 0.96, 19
	}
	speed := func(v, tau float64) field.Speed { return field.Speed{Max: v * k, Tau: tau} }
	return Params{
		Level:    l,
		Receiver: speed(8.5, 0.7), Back: speed(7.8, 0.7),
		Body:     map[string]field.Speed{"back": speed(8.4, 0.6), "linebacker": speed(7.8, 0.6), "lineman": speed(6.5, 0.7)},
		Reaction: 0.35, Choice: 0.25, Busy: 1, Late: 0.65, Perception: 0.07, ZoneEyes: 0.45, Start: 0.3, RunRead: 0.3,
		Ball: ball, Contest: 1.25, Jam: 0.3, Range: 45, Need: 4, Turn: 0.3, Before: 1.2, Early: 0.6, After: 0.2,
		Step: 0.05, Ahead: 1.5, Bail: 0.65,
		Edge: 0.5, Past: 6, Whole: 2, Upfield: 0.8, ToLine: 0.8, Soonest: 0.3, Press: 4, BumpBy: 1,
		Par: Par{Off: 5, Shade: 1, Back: 3},
		Man: Man{Hip: field.Point{X: 0.8, Y: -0.6}, Match: 0.4, Give: 0.8, Keep: 0.5, Backs: 1, Turn: 2.5,
			Ahead: 0.4, Level: 1.5,
			Cushion: 1, Least: 1, Most: 2, Beside: 0.25, Released: 1.5, Back: 2, Near: 2, Cut: 0.95, Far: 2.5},
		Zone: Zone{Soft: 1.5, Close: 0.7, Stem: 1, Broken: 0.5, One: 0.8, Wide: 1, Short: 4, DeepOne: 0.75,
			DeepSeveral: 0.25, Over: 1, Runs: 10},
		Under: Under{Deep: 13, Past: 1},
		Help: Help{In: 2, Over: 3, Under: 2, Match: 0.5, Close: 0.8, Lead: 0.5, Between: 0.5, Sink: 10.5,
			Beneath: 1, Middle: 0.6},
		Fit: Fit{Share: 0.7, DeepShare: 0.35, Deep: 7, Close: 0.6, Rush: 0.5, Comes: 0.5},
		Bodies: Bodies{Round: 3, Whole: 0.8, Cost: 0.6, Most: 0.5, Together: 6, Off: 1, Gives: 1.5, Back: 1,
			Closes: 0.8, Ahead: 0.5},
		Sticks: Sticks{Past: 1, Most: 5, Squat: 4, Up: 1},
		Bands: []Band{{Under: 3.5, Late: true, Line: 2}, {Under: 6.5, Late: true, Line: 5}, {Under: 6.5},
			{Under: 11, Line: 8, Pass: true}, {Under: 100, Line: 14, Pass: true}},
		Family: map[picture.Family]Clock{
			picture.Dropback: {Drop: 20, First: 1.6, Rhythm: 2.2, Last: 3.4, Passer: field.Point{Y: -6.5}, Deep: 15},
			picture.Quick:    {Drop: 6.5, First: 1.2, Last: 2.0, Passer: field.Point{Y: -5}, Deep: 12},
			picture.PlayAction: {Drop: 20, First: 2.2, Last: 3.5, Passer: field.Point{Y: -7.5}, FitUntil: 1.3, Deep: 15,
				Mesh: 1.0},
			picture.Boot: {Drop: 20, First: 2.2, Last: 3.5, Passer: field.Point{X: 7, Y: -6}, FitUntil: 1.2, Deep: 15,
				Mesh: 0.9},
			picture.Screen: {Drop: 6.5, First: 0.8, Last: 1.4, Passer: field.Point{Y: -5}, Deep: 15, Limit: 12},
			picture.RPO: {Drop: 6.5, First: 0.9, Last: 2.1, Passer: field.Point{Y: -4.5}, FitUntil: 0.9, Deep: 12,
				Limit: 18, Mesh: 0.8},
			picture.Draw: {Drop: 8, First: 1.1, Last: 1.9, Passer: field.Point{Y: -5}, FitUntil: 0.9, Deep: 15, Limit: 12,
				Mesh: 1.0},
			picture.Run: {Drop: 5, First: 0.9, Last: 0.9, Passer: field.Point{Y: -5}, FitUntil: 2, Deep: 15, Limit: -10,
				Mesh: 0.8},
		},
	}
}

// Speed returns how a defender runs, by his body class and his pace (call.Slot's Runs); an
// unknown class is a back.
func (p *Params) Speed(runs string) field.Speed {
	body, pace, _ := strings.Cut(runs, " ")
	s, ok := p.Body[body]
	if !ok {
		s = p.Body["back"]
	}
	s.Max *= paces[call.Pace(pace)]
	return s
}

// paces are the parts of his speed that a man runs with who is half a step off the man he
// covers: a yard in twenty. A stride at full speed is about two yards; no source.
var paces = map[call.Pace]float64{"": 1, call.Slower: 0.95, call.Quicker: 1.05}
