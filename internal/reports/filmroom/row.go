package filmroom

import (
	"fmt"
	"strings"

	"overhang/internal/tags"
)

// Games is the way into the film room: a program's games by opponent.
type Games struct {
	Program   tags.Program
	Opponents []OpponentGames
	May       bool // the visitor may add games
}

// OpponentGames are the games of one opponent.
type OpponentGames struct {
	Opponent tags.Opponent
	Games    []tags.Game
}

// Downs are the choices of the filter.
func (s *Snaps) Downs() []string { return []string{"1", "2", "3", "4"} }

// Situation says when and where: Q2, 3rd & 7, own 35, left hash. A snap
// without tags says nothing; so do the three below.
func (r Row) Situation() string {
	if r.Play == nil {
		return ""
	}
	p, out := r.Play, []string(nil)
	if p.Quarter != nil {
		out = append(out, fmt.Sprintf("Q%d", *p.Quarter))
	}
	if p.Down != nil {
		down := [...]string{"1st", "2nd", "3rd", "4th"}[(*p.Down-1)&3]
		if p.DistanceYd != nil {
			down += fmt.Sprintf(" & %d", *p.DistanceYd)
		}
		out = append(out, down)
	}
	if y := p.YardsToGoal; y != nil {
		out = append(out, Spot(*y))
	}
	switch {
	case p.Hash == nil:
	case *p.Hash == "middle":
		out = append(out, "middle")
	default:
		out = append(out, *p.Hash+" hash")
	}
	return strings.Join(out, " \u00b7 ")
}

// Spot says a yard line as a staff does: own 35, opp 20.
func Spot(yardsToGoal int) string {
	if yardsToGoal > 50 {
		return fmt.Sprintf("own %d", 100-yardsToGoal)
	}
	return fmt.Sprintf("opp %d", yardsToGoal)
}

// Set says who stood where.
func (r Row) Set() string {
	if r.Play == nil {
		return ""
	}
	motion := r.Play.Motion
	if motion != nil && *motion == "none" {
		motion = nil
	}
	return joined(r.Play.Personnel, r.Play.SetName, motion)
}

// Called says what was run.
func (r Row) Called() string {
	if r.Play == nil {
		return ""
	}
	return joined(r.Play.Family, r.Play.Concept)
}

// Coverage says what the defense played: in our own game, our call.
func (r Row) Coverage() string {
	if r.Play == nil {
		return ""
	}
	return joined(r.Play.Coverage)
}

// Result says what came of it.
func (r Row) Result() string {
	if r.Play == nil {
		return ""
	}
	out := joined(r.Play.Result)
	if g := r.Play.GainYd; g != nil && (*g != 0 || out != "incomplete") {
		out = strings.TrimPrefix(out+strings.Replace(fmt.Sprintf(", %+d yd", *g), "+0 ", "0 ", 1), ", ")
	}
	if r.Play.Touchdown {
		out = strings.TrimPrefix(out+", touchdown", ", ")
	}
	return out
}

func joined(vs ...*string) string {
	var out []string
	for _, v := range vs {
		if v != nil {
			out = append(out, strings.ReplaceAll(*v, "_", " "))
		}
	}
	return strings.Join(out, ", ")
}
