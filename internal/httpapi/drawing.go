package httpapi

import (
	"context"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"overhang/internal/plan"
	"overhang/internal/reports/drawing"
	"overhang/internal/stress"
	"overhang/internal/tags"
)

// draw answers POST /v1/drawing.
func (s *server) draw(c echo.Context) error {
	_, r, err := played(c)
	if err != nil {
		return err
	}
	all := make([]int, len(r.Findings))
	for k := range all {
		all[k] = k
	}
	return drawResult(c, r, all)
}

// legend answers GET /v1/drawing/legend.
func (s *server) legend(c echo.Context) error {
	return drawn(c, drawing.Legend(widthOf(c)), drawingKind(c, "svg"))
}

// drawCell answers GET .../opponents/{opponent}/drawing.
func (s *server) drawCell(c echo.Context) error {
	cell, err := s.boardCell(c)
	if err != nil {
		return err
	}
	if cell.call == nil {
		pic, err := cell.concept.Picture(cell.level)
		if err != nil {
			return err
		}
		scene := drawing.Concept(pic, optionsOf(c))
		return drawn(c, scene.List(widthOf(c)), drawingKind(c, "svg"))
	}
	r, err := cell.play(c.Request().Context())
	if err != nil {
		return err
	}
	return drawResult(c, r, plan.Told(r))
}

// A boardCell is one of the program's calls, or none, and one concept of an
// opponent in a situation.
type boardCell struct {
	setting
	opponent tags.Opponent
	call     *plan.Named
	concept  plan.Concept
}

func (b *boardCell) play(ctx context.Context) (*stress.Result, error) {
	return plan.Play(ctx, *b.call, &b.concept, b.level, b.situation)
}

// boardCell finds what the query names: the most frequent concept of that name
// under the filters, and the call.
func (s *server) boardCell(c echo.Context) (*boardCell, error) {
	o, err := s.opponent(c)
	if err != nil {
		return nil, err
	}
	p, f, name := programOf(c), filters(c), c.QueryParam("concept")
	f["concept"] = []string{name} // a name may hold a comma
	rows, err := s.store.ConceptRows(c.Request().Context(), p, o.ID, f)
	if err != nil {
		return nil, err
	}
	concepts := plan.Concepts(rows)
	if len(concepts) == 0 {
		return nil, tags.Errorf(tags.NotFound, "no counted play of %s with the concept %q and routes in this situation", o.Name, name)
	}
	out := &boardCell{opponent: o, concept: concepts[0]}
	if out.setting, err = s.setting(c, f); err != nil {
		return nil, err
	}
	if want := c.QueryParam("call"); want != "" {
		i := slices.IndexFunc(out.calls, func(n plan.Named) bool { return n.Name == want })
		if i < 0 {
			return nil, tags.Errorf(tags.NotFound, "no active call %q", want)
		}
		out.call = &out.calls[i]
	}
	return out, nil
}

// chosen is the finding that the query asks for among those told: the first
// when it asks for none, -1 when there is none.
func chosen(c echo.Context, told []int) (int, error) {
	word := c.QueryParam("finding")
	n, err := strconv.Atoi(word)
	switch {
	case word == "" && len(told) == 0:
		return -1, nil
	case word == "":
		return told[0], nil
	case err != nil || n < 1 || n > len(told):
		return 0, tags.Fieldf(tags.Invalid, "finding", "there are %d findings", len(told))
	}
	return told[n-1], nil
}

// drawResult answers with what show asks for.
func drawResult(c echo.Context, r *stress.Result, told []int) error {
	o, w, kind := optionsOf(c), widthOf(c), drawingKind(c, "svg")
	main, err := chosen(c, told)
	if err != nil {
		return err
	}
	switch show := c.QueryParam("show"); {
	case show == "timeline":
		t := drawing.Time(r, main)
		return drawn(c, t.List(w), kind)
	case show == "playback":
		if kind == "pdf" {
			return tags.Fieldf(tags.Invalid, "format", "a playback moves: ask for svg")
		}
		slow, err := strconv.ParseFloat(c.QueryParam("slow"), 64)
		if err != nil {
			slow = 1
		}
		p := drawing.Play(r, main, o)
		return written(c, svgType, func(out io.Writer) error { return p.SVG(out, w, slow) })
	case show == "concept":
		scene := drawing.Concept(r.Game.Picture, o)
		return drawn(c, scene.List(w), kind)
	case show == "call" || main < 0:
		scene := drawing.Call(r, o)
		return drawn(c, scene.List(w), kind)
	}
	scene := drawing.Finding(r, main, o)
	return drawn(c, scene.List(w), kind)
}

const (
	svgType = "image/svg+xml"
	pdfType = "application/pdf"
)

// drawn answers with a list as svg or pdf.
func drawn(c echo.Context, l *drawing.List, kind string) error {
	if kind == "pdf" {
		return written(c, pdfType, func(w io.Writer) error { return l.WritePDF(w, time.Now()) })
	}
	return written(c, svgType, l.SVG)
}

// drawingKind is svg or pdf as format or Accept asks for, else what is usual.
func drawingKind(c echo.Context, usual string) string {
	accept := c.Request().Header.Get("Accept")
	switch f := c.QueryParam("format"); {
	case f == "svg" || f == "pdf":
		return f
	case f != "":
		return usual
	case strings.Contains(accept, pdfType):
		return "pdf"
	case strings.Contains(accept, svgType):
		return "svg"
	}
	return usual
}

// The contract has checked the options; an absent one has its default.
func optionsOf(c echo.Context) drawing.Options {
	return drawing.Options{Caption: c.QueryParam("caption") != "false", FromDefence: c.QueryParam("seen_from") == "defence"}
}

func widthOf(c echo.Context) float64 {
	if w, err := strconv.ParseFloat(c.QueryParam("width_mm"), 64); err == nil {
		return w
	}
	return 180
}
