package demo

import (
	"math/rand/v2"

	"overhang/internal/tags"
)

// An opponent has habits: what he calls where, and to which side.
type opponent struct {
	code, name, note string
	runShare         [3]float64 // early down with 7 or less, early down with more, third and fourth
	passes           []habit
	runs             []habit
	fieldSide        float64 // chance that a play from a hash goes to the wide side
}

// A habit is a concept with its weight on early downs and on third and long.
type habit struct {
	concept     string
	early, late float64
}

var opponents = []opponent{
	{code: "alder", name: "Alder (invented)", note: "Trips team; floods and sticks to the field.",
		runShare: [3]float64{.58, .42, .22}, fieldSide: .72,
		passes: []habit{{"flood", 6, 5}, {"stick", 6, 2}, {"snag", 4, 3}, {"four verticals trips", 1, 4}, {"divide", 1, 3},
			{"spacing trips", 2, 1}, {"bubble", 2, 0}, {"rpo stick", 3, 0}, {"boot flood", 2, 1}},
		runs: []habit{{"inside zone", 5, 3}, {"outside zone", 3, 1}}},
	{code: "birch", name: "Birch (invented)", note: "Stretches you deep; seams and posts.", runShare: [3]float64{.48,
		.38, .15}, fieldSide: .5,
		passes: []habit{{"four verticals", 5, 6}, {"switch verticals", 2, 2}, {"dagger", 4, 5}, {"mills", 3, 4},
			{"double post", 2, 2}, {"smash", 3, 2}, {"fade-out", 3, 1}, {"yankee", 2, 0}},
		runs: []habit{{"inside zone", 4, 2}, {"draw", 1, 4}}},
	{code: "cedar", name: "Cedar (invented)", note: "Run first, then play action off it.",
		runShare: [3]float64{.68, .57, .35}, fieldSide: .58,
		passes: []habit{{"rpo bubble", 5, 1}, {"rpo glance", 4, 1}, {"rpo slant", 3, 1}, {"play-action post", 4, 2},
			{"boot flood", 4, 3}, {"yankee", 2, 1}, {"curl-flat", 2, 4}, {"scissors", 1, 3}},
		runs: []habit{{"power", 4, 3}, {"counter", 3, 1}, {"inside zone", 4, 2}}},
	{code: "dogwood", name: "Dogwood (invented)", note: "Quick game; crossers when they need more.",
		runShare: [3]float64{.45, .35, .12}, fieldSide: .55,
		passes: []habit{{"hitches", 4, 1}, {"slant-flat", 5, 1}, {"double slants", 4, 2}, {"mesh", 3, 6}, {"drive", 3, 4},
			{"levels", 2, 3}, {"y-cross", 2, 3}, {"spacing", 3, 1}, {"option", 2, 3}},
		runs: []habit{{"inside zone", 4, 2}, {"draw", 2, 3}}},
}

// state is where a game stands.
type state struct {
	rng            *rand.Rand
	o              *opponent
	number         int
	clock          int // seconds left in the game
	margin         int
	down, distance int
	toGoal         int
	hash           string
	out            []tags.Play
}

// game plays about sixty offensive snaps, drive by drive: down, distance, spot
// and score of each play follow from the one before.
func (o *opponent) game(rng *rand.Rand) []tags.Play {
	s := &state{rng: rng, o: o, clock: 3600}
	for s.clock > 0 && s.number < 75 {
		first := len(s.out)
		s.drive()
		ownHalf(s.out[first:])
		s.clock -= 120 + rng.IntN(110) // the other side has the ball
		if rng.Float64() < .38 {
			s.margin -= []int{3, 7}[rng.IntN(2)]
		}
	}
	return s.out
}

// half is when the second half begins, seconds into the game.
const half = 1800

// ownHalf moves the plays of a drive that would go on over halftime into the half in which most of
// them were; no rule book lets a drive go on over it.
func ownHalf(drive []tags.Play) {
	last := len(drive) - 1
	if last < 1 || elapsed(&drive[0]) >= half || elapsed(&drive[last]) < half {
		return
	}
	before := 0
	for before <= last && elapsed(&drive[before]) < half {
		before++
	}
	const hurried = 6 // seconds a play, at least
	from, to := elapsed(&drive[0]), half-3
	if 2*before < len(drive) || to-from < hurried*last {
		from = half + 5
		to = max(elapsed(&drive[last]), from+hurried*last)
	}
	for i := range drive {
		at := from + (to-from)*i/last
		drive[i].Quarter, drive[i].ClockS = ptr(1+at/900), ptr(900-at%900)
	}
}

// elapsed is how long a game was on when a play began, seconds.
func elapsed(p *tags.Play) int { return 900**p.Quarter - *p.ClockS }

func (s *state) drive() {
	s.down, s.distance, s.toGoal = 1, 10, 55+s.rng.IntN(30)
	s.hash = pick(s.rng, "left", "middle", "right")
	for s.clock > 0 {
		if s.down == 4 && (s.distance > 2 || s.toGoal > 50) {
			if s.toGoal < 35 {
				s.margin += 3 // a field goal
			}
			return
		}
		p := s.snap()
		s.out = append(s.out, p)
		s.clock -= 22 + s.rng.IntN(14)
		if p.Touchdown {
			s.margin += 7
			return
		}
		if r := *p.Result; r == "intercepted" || r == "fumble_lost" {
			return
		}
		gain := *p.GainYd
		s.toGoal -= gain
		if gain >= s.distance {
			s.down, s.distance = 1, min(10, s.toGoal)
		} else if s.down++; s.down > 4 {
			return
		} else {
			s.distance -= gain
		}
		s.hash = pick(s.rng, "left", "middle", "right", s.hash)
	}
}

// snap tags one play.
func (s *state) snap() tags.Play {
	s.number++
	quarter := min(4, 1+(3600-s.clock)/900)
	p := tags.Play{Number: s.number, Status: "counted", Quarter: &quarter, Down: ptr(s.down), DistanceYd: ptr(s.distance),
		YardsToGoal: ptr(s.toGoal),
		ClockS:      ptr(min(900, s.clock-900*(4-quarter))), Hash: ptr(s.hash), ScoreMargin: ptr(s.margin),
		Motion: ptr(pick(s.rng, "none", "none", "jet", "across"))}
	late := s.down >= 3 && s.distance > 3
	if s.rng.Float64() < s.runs() {
		s.run(&p, late)
	} else {
		s.pass(&p, late)
	}
	s.defense(&p)
	if *p.GainYd >= s.toGoal {
		p.GainYd, p.Touchdown = ptr(s.toGoal), true
	}
	return p
}

// runs is how often the opponent runs in this down and distance.
func (s *state) runs() float64 {
	switch {
	case s.down >= 3 && s.distance <= 2:
		return .75
	case s.down >= 3:
		return s.o.runShare[2]
	case s.distance > 7:
		return s.o.runShare[1]
	}
	return s.o.runShare[0]
}

// defense tags what was shown.
func (s *state) defense(p *tags.Play) {
	if s.rng.Float64() < .5 {
		p.Shell, p.Coverage = ptr("one_high"), ptr(pick(s.rng, "cover 1", "cover 3", "cover 3"))
	} else {
		p.Shell, p.Coverage = ptr("two_high"), ptr(pick(s.rng, "cover 2", "cover 4", "cover 4", "cover 6"))
	}
	p.Rushers, p.Blitzers = ptr(4), ptr(0)
	if s.rng.Float64() < .2 {
		p.Rushers, p.Blitzers = ptr(5), ptr(1)
	}
}

func pick(r *rand.Rand, words ...string) string { return words[r.IntN(len(words))] }

func ptr[T any](v T) *T { return &v }
