package plan

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/fix"
	"overhang/internal/tags"
)

// A Spot is where a man could line up, and what the call gives up from there.
type Spot struct {
	OffsetYd float64 `json:"offset_yd"` // as the alignment has it, out is positive
	DepthYd  float64 `json:"depth_yd"`
	Stress   float64 `json:"stress"`   // over the pictures in which the alignment counts, by plays
	WorstYd  float64 `json:"worst_yd"` // mean of the largest finding of each
	FitS     float64 `json:"to_fit_s"` // from there to his place in the run fit; 0 without a run role
}

// An AlignmentSweep moves a man over one line of a man's alignment.
type AlignmentSweep struct {
	Defender string     `json:"defender"`
	Align    call.Align `json:"align"`      // as it is taught
	Pictures int        `json:"pictures"`   // in which it counts
	Offsets  []float64  `json:"offsets_yd"` // of the rows of spots
	Depths   []float64  `json:"depths_yd"`  // of their columns; none is under a yard
	Spots    [][]Spot   `json:"spots"`
}

// Here says that he stands there as he is taught.
func (s *AlignmentSweep) Here(x *Spot) bool {
	return x.OffsetYd == s.Align.Offset && x.DepthYd == s.Align.Depth
}

// Place says an offset from the landmark.
func (s *AlignmentSweep) Place(x *Spot) string {
	on := s.Align.On
	switch on {
	case "ball", "end man", "back", "hash":
		on = "the " + on
	case "apex":
		on = "halfway between #2 and the end man"
	}
	yards := func(y float64) string {
		if y == 1 {
			return "1 yard"
		}
		return fmt.Sprintf("%g yards", y)
	}
	switch {
	case x.OffsetYd > 0:
		return yards(x.OffsetYd) + " outside " + on
	case x.OffsetYd < 0:
		return yards(-x.OffsetYd) + " inside " + on
	case s.Align.On == "apex":
		return on
	}
	return "on " + on
}

// SweepAlignment moves the man of a name over reach yards to every side, by whole yards, and
// plays everything they run in which the alignment that counts against concept k
// counts too. It fails with a tags.Error when the call has no such man there.
func (r *Repertoire) SweepAlignment(ctx context.Context, n Named, k int, defender string,
	reach int) (*AlignmentSweep, error) {
	res, err := r.Play(ctx, n, k)
	if err != nil {
		return nil, err
	}
	men, names := res.Rep.Setup.Men, []string{}
	for j := range men {
		names = append(names, res.Defender(j))
	}
	j := slices.Index(names, defender)
	for k := range men {
		if j < 0 && men[k].Slot.Taught == defender {
			j = k
		}
	}
	if j < 0 {
		return nil, tags.Fieldf(tags.Invalid, "defender", "is not a defender in this call against this picture: choose %s",
			strings.Join(names, ", "))
	}
	depth := men[j].Slot.Defender.Align[men[j].Align].Depth
	var offsets, depths []field.Yards
	for d := -float64(reach); d <= float64(reach); d++ {
		offsets = append(offsets, d)
		if depth+d >= 1 {
			depths = append(depths, d)
		}
	}
	p, err := fix.SweepAlignment(ctx, r.against(n), k, j, offsets, depths)
	if err != nil {
		return nil, err
	}
	out := &AlignmentSweep{Defender: p.Defender, Align: p.Row, Pictures: p.Pictures}
	for _, line := range p.Grid {
		var row []Spot
		out.Offsets = append(out.Offsets, line[0].Offset)
		for _, x := range line {
			row = append(row, Spot{x.Offset, x.Depth, x.Stress, x.Worst, x.ToFit})
		}
		out.Spots = append(out.Spots, row)
	}
	for _, x := range out.Spots[0] {
		out.Depths = append(out.Depths, x.DepthYd)
	}
	return out, nil
}

// A Break is what becomes of a picture when one route breaks at another depth.
type Break struct {
	DepthYd  float64 `json:"depth_yd"`
	Owner    string  `json:"owner"` // who owes him by the rules then, "": nobody
	Rule     string  `json:"rule"`  // of the owner
	Stress   float64 `json:"stress"`
	WorstYd  float64 `json:"worst_yd"` // the larger reading where two were played
	Sentence string  `json:"sentence,omitempty"`
	Gray     bool    `json:"gray"` // between the call's under and vertical thresholds: both readings were played
}

// A Flip is where a route becomes another man's, between two depths that were played.
type Flip struct {
	FromYd float64 `json:"from_yd"`
	ToYd   float64 `json:"to_yd"`
	From   string  `json:"from"` // who owes him before, "": nobody
	To     string  `json:"to"`
}

// A BreakSweep is over the depth at which one route breaks.
type BreakSweep struct {
	Receiver string  `json:"receiver"` // as the picture names him
	Route    string  `json:"route"`
	NowYd    float64 `json:"now_yd"` // where the picture has it break
	Breaks   []Break `json:"breaks"`
	Flips    []Flip  `json:"flips"`
}

// Moves are what a finding is about: its man, and the first of its receivers whose
// route has a break, "" for none.
func Moves(r *stress.Result, f *stress.Finding) (defender, receiver string) {
	for _, i := range []int{f.Open, f.Other} {
		if i < 0 || i == r.Rep.Run || receiver != "" {
			continue
		}
		if x := &r.Rep.Picture.Receivers[i]; x.Named && !x.Blocks() && !x.Route.Vertical {
			receiver = x.Name
		}
	}
	return r.Defender(f.Man), receiver
}

// SweepBreak lets the route of a receiver of concept k break at other depths, from and to
// included. It fails with a tags.Error when the picture names no such receiver, or
// none whose route has a break.
func (r *Repertoire) SweepBreak(ctx context.Context, n Named, k int, receiver string, from, to,
	step float64) (*BreakSweep, error) {
	out := &BreakSweep{Receiver: receiver, Breaks: []Break{}, Flips: []Flip{}}
	bs, err := fix.SweepBreak(ctx, n.Compiled, r.specs[k], receiver, steps(from, to, step), r.params, r.terms.Setting,
		r.pictures[k].Downs...)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil {
		return nil, tags.Fieldf(tags.Invalid, "receiver", "%v", err)
	}
	for _, x := range r.pictures[k].Play.Picture.Receivers {
		if x.Name == receiver {
			out.Route, out.NowYd = x.Route.Name, x.Depth
		}
	}
	for i, b := range bs {
		out.Breaks = append(out.Breaks, Break{b.Depth, b.Owner, b.Rule, b.Stress, b.Worst, b.Finding, b.Gray})
		if i > 0 && b.Owner != bs[i-1].Owner {
			out.Flips = append(out.Flips, Flip{bs[i-1].Depth, b.Depth, bs[i-1].Owner, b.Owner})
		}
	}
	return out, nil
}

// steps are the depths from one to the other, a step apart.
func steps(from, to, step float64) (out []field.Yards) {
	for i := 0; from+float64(i)*step <= to+1e-9; i++ {
		out = append(out, from+float64(i)*step)
	}
	return out
}
