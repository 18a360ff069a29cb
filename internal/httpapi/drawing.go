package httpapi

import (
	"io"
	"time"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/reports/drawing"
	"overhang/internal/reports/ink"
	"overhang/internal/tags"
)

// draw answers POST /v1/drawing.
func (s *server) draw(c echo.Context) error {
	_, played, err := playAsked(c)
	if err != nil {
		return err
	}
	return drawPlayed(c, played)
}

// legend answers GET /v1/drawing/legend.
func (s *server) legend(c echo.Context) error {
	return drawn(c, drawing.Legend(widthOf(c)), drawingKind(c, "svg"))
}

// drawCell answers GET .../opponents/{opponent}/drawing.
func (s *server) drawCell(c echo.Context) error {
	q, err := s.desk.Cell(c)
	if err != nil {
		return err
	}
	cell, err := ask.FindCell(c.Request().Context(), s.store, q)
	if err != nil {
		return err
	}
	if cell.Call == nil {
		pic, err := cell.Picture()
		if err != nil {
			return err
		}
		scene := drawing.Concept(pic, optionsOf(c))
		return drawn(c, scene.List(widthOf(c)), drawingKind(c, "svg"))
	}
	played, err := cell.Play(c.Request().Context())
	if err != nil {
		return err
	}
	return drawPlayed(c, played)
}

// drawPlayed answers with what show asks for.
func drawPlayed(c echo.Context, p *ask.Played) error {
	o, w, kind := optionsOf(c), widthOf(c), drawingKind(c, "svg")
	main, err := p.Finding(c.QueryParam("finding"))
	if err != nil {
		return err
	}
	switch show := c.QueryParam("show"); {
	case show == "timeline":
		t := drawing.Time(p.Result, main)
		return drawn(c, t.List(w), kind)
	case show == "playback" && kind == "pdf":
		return tags.Fieldf(tags.Invalid, "format", "a playback is animated: ask for svg")
	case show == "playback":
		moving := drawing.Play(p.Result, main, o)
		return written(c, svgType, func(out io.Writer) error { return moving.SVG(out, w, factor(c, "slow", 1)) })
	case show == "concept":
		scene := drawing.Concept(p.Result.Rep.Picture, o)
		return drawn(c, scene.List(w), kind)
	case show == "call" || main < 0:
		scene := drawing.Call(p.Result, o)
		return drawn(c, scene.List(w), kind)
	}
	scene := drawing.Finding(p.Result, main, o)
	return drawn(c, scene.List(w), kind)
}

const (
	svgType = "image/svg+xml"
	pdfType = "application/pdf"
)

// drawn answers with a list as svg or pdf.
func drawn(c echo.Context, l *ink.List, kind string) error {
	if kind == "pdf" {
		return written(c, pdfType, func(w io.Writer) error { return l.WritePDF(w, time.Now()) })
	}
	return written(c, svgType, l.SVG)
}

// drawingKind is svg or pdf as format or Accept asks for, else what is usual.
func drawingKind(c echo.Context, usual string) string {
	if f := form(c); f == "svg" || f == "pdf" {
		return f
	}
	return usual
}

// The contract has checked the options; an absent one has its default.
func optionsOf(c echo.Context) drawing.Options {
	seen := c.QueryParam("seen_from")
	fromDefense := seen == "defense" || seen == "defence" // British spelling, still taken
	return drawing.Options{Caption: c.QueryParam("caption") != "false", FromDefense: fromDefense}
}

func widthOf(c echo.Context) float64 {
	return factor(c, "width_mm", 180)
}
