package httpapi

import (
	"context"
	"maps"
	"slices"
	"strconv"

	"github.com/labstack/echo/v4"

	"overhang/internal/plan"
	"overhang/internal/reports"
	"overhang/internal/reports/drawing"
	"overhang/internal/stress"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// A bench is one call against one picture, with everything the call is weighed over;
// the picture is the first concept of the repertoire.
type bench struct {
	call plan.Named
	run  *plan.Repertoire
	need float64
}

// cellParams choose the picture of a cell; every other filter chooses the plays.
var cellParams = []string{"concept", "set_name", "family"}

// cellBench is a cell of the board beside everything the opponent runs in the
// situation.
func (s *server) cellBench(c echo.Context) (*boardCell, *bench, error) {
	cell, err := s.boardCell(c)
	if err != nil {
		return nil, nil, err
	}
	f := filters(c)
	maps.DeleteFunc(f, func(name string, _ []string) bool { return slices.Contains(cellParams, name) })
	rows, err := s.store.ConceptRows(c.Request().Context(), programOf(c), cell.opponent.ID, f)
	if err != nil {
		return nil, nil, err
	}
	k := &cell.concept
	all := slices.DeleteFunc(plan.Concepts(rows), func(x plan.Concept) bool {
		return x.SetName == k.SetName && x.Concept == k.Concept && x.Family == k.Family
	})
	if _, err := k.Picture(cell.level); err != nil {
		return nil, nil, err
	}
	b, err := plan.Build(c.Request().Context(), nil, append([]plan.Concept{*k}, all...), 0, cell.level, cell.situation)
	if err != nil {
		return nil, nil, err
	}
	return cell, &bench{*cell.call, b.Run, cell.situation.Need}, nil
}

// inlineBench is the call and the picture of a body, beside the built-in pictures
// when over asks for them.
func inlineBench(c echo.Context) (*bench, error) {
	q, err := asked(c)
	if err != nil {
		return nil, err
	}
	run, err := q.alone()
	if err != nil {
		return nil, err
	}
	if c.QueryParam("over") != "picture" {
		for _, e := range picture.Library() {
			k := plan.Concept{SetName: e.Set, Concept: e.Concept, Family: e.Family, Routes: e.Routes, Plays: 1}
			if err := run.Add(k, picture.Spec{Set: e.Set, Family: e.Family, Concept: e.Concept, Routes: e.Routes, Left: q.spec.Left, Spot: q.spec.Spot}); err != nil {
				return nil, err
			}
		}
	}
	return &bench{q.call, run, q.set.Situation.Need}, nil
}

// answers answers GET .../opponents/{opponent}/answers.
func (s *server) answers(c echo.Context) error {
	_, b, err := s.cellBench(c)
	if err != nil {
		return err
	}
	return b.answer(c)
}

// answersTo answers POST /v1/answers.
func (s *server) answersTo(c echo.Context) error {
	b, err := inlineBench(c)
	if err != nil {
		return err
	}
	return b.answer(c)
}

func (b *bench) answer(c echo.Context) error {
	perKind := 3
	if n, err := strconv.Atoi(c.QueryParam("per_kind")); err == nil { // the contract has checked it
		perKind = n
	}
	ctx := c.Request().Context()
	r, err := b.run.Play(ctx, b.call, 0)
	if err != nil {
		return err
	}
	told := plan.Told(r)
	found, err := chosen(c, told)
	if err != nil {
		return err
	}
	out, err := b.answersTo(ctx, r, found, perKind)
	if err != nil {
		return err
	}
	return sent(c, out.Sheet(), out)
}

// answersTo looks for what would cure a finding of a result, none when it is -1.
func (b *bench) answersTo(ctx context.Context, r *stress.Result, found, perKind int) (reports.Answers, error) {
	var f *plan.Finding
	var as []plan.Answer
	if found >= 0 {
		x := plan.Tell(r, &r.Findings[found])
		var err error
		if as, err = b.run.Answers(ctx, b.call, 0, found, perKind); err != nil {
			return reports.Answers{}, err
		}
		f = &x
	}
	return reports.BuildAnswers(b.call, b.run, 0, f, b.need, as)
}

// sweepAlignment answers GET .../sweeps/alignment.
func (s *server) sweepAlignment(c echo.Context) error {
	_, b, err := s.cellBench(c)
	if err != nil {
		return err
	}
	return b.sweepAlignment(c)
}

// sweepAlignmentOf answers POST /v1/sweeps/alignment.
func (s *server) sweepAlignmentOf(c echo.Context) error {
	b, err := inlineBench(c)
	if err != nil {
		return err
	}
	return b.sweepAlignment(c)
}

// usualReach is by how many yards a man is moved to every side.
const usualReach = 3

func (b *bench) sweepAlignment(c echo.Context) error {
	reach := usualReach
	if n, err := strconv.Atoi(c.QueryParam("reach_yd")); err == nil {
		reach = n
	}
	out, err := b.run.Stands(c.Request().Context(), b.call, 0, c.QueryParam("defender"), reach)
	if err != nil {
		return err
	}
	if kind := drawingKind(c, ""); kind != "" {
		d := drawing.Stand(out, b.call.Name)
		return drawn(c, d.List(widthOf(c)), kind)
	}
	return sent(c, reports.StandSheet(out), out)
}

// sweepBreak answers GET .../sweeps/break.
func (s *server) sweepBreak(c echo.Context) error {
	_, b, err := s.cellBench(c)
	if err != nil {
		return err
	}
	return b.sweepBreak(c)
}

// sweepBreakOf answers POST /v1/sweeps/break.
func (s *server) sweepBreakOf(c echo.Context) error {
	b, err := inlineBench(c)
	if err != nil {
		return err
	}
	return b.sweepBreak(c)
}

// A sweep over breaks is from, to and by so many yards, as long as nobody says otherwise.
const shallowest, deepest, depthStep = 2.0, 16.0, 0.5

func (b *bench) sweepBreak(c echo.Context) error {
	from, to := shallowest, deepest
	for name, at := range map[string]*float64{"from_yd": &from, "to_yd": &to} {
		if y, err := strconv.ParseFloat(c.QueryParam(name), 64); err == nil {
			*at = y
		}
	}
	if to < from {
		return tags.Fieldf(tags.Invalid, "to_yd", "is less than from_yd")
	}
	out, err := b.run.Breaks(c.Request().Context(), b.call, 0, c.QueryParam("receiver"), from, to, depthStep)
	if err != nil {
		return err
	}
	if kind := drawingKind(c, ""); kind != "" {
		d := drawing.Breaks(out, b.call.Name)
		return drawn(c, d.List(widthOf(c)), kind)
	}
	return sent(c, reports.DepthSheet(out), out)
}
