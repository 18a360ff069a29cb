package main

import (
	"fmt"
	"math/rand/v2"

	"github.com/google/uuid"
)

// A play is one row as every peer gets it, with nothing unknown left out: -1 and ""
// are unknown. The bands are given to the peers ready; we work them out.
type play struct {
	id, game                          uuid.UUID
	opponent, gameLabel               string
	number, quarter, down, distance   int
	toGoal                            int
	band, zone                        string
	personnel, set, called, family    string
	concept, result, coverage         string
	gain, depth                       int // depth -1000: unknown
	throwS                            float64
	touchdown                         bool
	judged, success, first, explosive bool
}

const noDepth = -1000

var (
	sets      = []string{"2x2", "3x1", "empty", "bunch", "tight", "two back", "heavy", "trips"}
	families  = []string{"run", "dropback", "quick", "play_action", "boot", "screen", "rpo", "draw"}
	coverages = []string{"cover 1", "cover 2", "cover 3", "quarters", "cover 0", "palms"}
	personnel = []string{"11", "12", "21", "10", "22", "13"}
)

const (
	ofGame     = 75   // plays
	ofOpponent = 1500 // plays
)

// invent makes n plays of one program, opponent by opponent and game by game: a
// fixed seed, so that every run and every peer has the same.
func invent(n int) []play {
	r := rand.New(rand.NewPCG(23, uint64(n)))
	out := make([]play, n)
	var game uuid.UUID
	for i := range out {
		if i%ofGame == 0 {
			game = uuid.Must(uuid.NewV7())
		}
		p := &out[i]
		p.id, p.game = uuid.Must(uuid.NewV7()), game
		p.opponent = fmt.Sprintf("opponent %d", i/ofOpponent)
		p.gameLabel = fmt.Sprintf("game %d", i/ofGame)
		p.number = i%ofGame + 1
		p.quarter = 1 + (i%ofGame)*4/ofGame
		p.down = 1 + min(3, int(r.ExpFloat64()*.9))
		p.distance = 1 + min(24, int(r.ExpFloat64()*6))
		p.toGoal = 1 + r.IntN(99)
		p.personnel, p.set = personnel[r.IntN(len(personnel))], sets[r.IntN(len(sets))]
		p.concept = fmt.Sprintf("concept %d", min(59, int(r.ExpFloat64()*12)))
		p.coverage = coverages[r.IntN(len(coverages))]
		p.outcome(r)
	}
	return out
}

func (p *play) outcome(r *rand.Rand) {
	p.family = families[r.IntN(len(families))]
	p.called, p.result, p.depth = "pass", "complete", noDepth
	if p.family == "run" || p.family == "draw" || p.family == "rpo" && r.IntN(2) == 0 {
		p.called, p.result = "run", "rush"
		p.gain = int(r.NormFloat64()*5 + 4)
	} else {
		p.result = []string{"complete", "complete", "complete", "complete", "incomplete", "incomplete", "intercepted",
			"sack", "scramble"}[r.IntN(9)]
		p.depth = r.IntN(40) - 5
		p.throwS = float64(12+r.IntN(40)) / 10
		switch p.result {
		case "complete":
			p.gain = int(r.ExpFloat64() * 10)
		case "sack":
			p.gain = -1 - r.IntN(9)
		case "scramble":
			p.gain = r.IntN(15)
		}
	}
	p.gain = max(-20, min(p.gain, p.toGoal))
	p.touchdown = p.gain == p.toGoal
	p.judged = true
	need := []int{0, 40, 60, 100, 100}[p.down]
	p.success = p.touchdown || 100*p.gain >= p.distance*need
	p.first = p.gain >= p.distance
	p.explosive = p.gain >= map[string]int{"run": 12, "pass": 16}[p.called]
	p.band = cut(p.distance, []int{3, 6, 10}, "1-3", "4-6", "7-10", "11+")
	p.zone = cut(p.toGoal, []int{5, 20, 49, 79}, "GOAL", "RED", "OPP49-21", "OWN21-50", "OWN1-20")
}

// cut names the first range whose upper end is not passed.
func cut(n int, upto []int, names ...string) string {
	for i, u := range upto {
		if n <= u {
			return names[i]
		}
	}
	return names[len(names)-1]
}

// A question in every peer's words.
type question struct {
	name    string
	by      []string
	filters [][2]string
}

var questions = []question{
	{"a: 1 dimension, 2 filters", []string{"concept"}, [][2]string{{"down", "3"}, {"distance_band", "7-10"}}},
	{"b: 3 dimensions, 1 filter", []string{"down", "distance_band", "called"}, [][2]string{{"field_zone", "RED"}}},
	{"c: 3 dimensions, no filter", []string{"down", "distance_band", "family"}, nil},
}
