package httpapi

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/pages"
	"overhang/internal/reports"
)

// reviewPage holds a plan against what happened, in pictures.
func (s *server) reviewPage(c echo.Context) error {
	p, err := s.planOfPath(c)
	if err != nil {
		return err
	}
	in, err := s.scope(c)
	if err != nil {
		return err
	}
	a, err := ask.Review(c.Request().Context(), s.store, in, p.ID, c.QueryParam("earlier") == "true")
	if err != nil {
		return err
	}
	sh, err := s.shell(c, "Review: "+p.Label, "plans", "")
	if err != nil {
		return err
	}
	sh.Styles = []string{"field.css"}
	page := pages.NewReview(in.Opponent, sh.Base(), sh.Home(), c.QueryParam("half"), a)
	return s.show(c, http.StatusOK, sh, "review.html", page)
}

// selfScoutPage says what our own calls say about us.
func (s *server) selfScoutPage(c echo.Context) error {
	in, err := s.scope(c)
	if err != nil {
		return err
	}
	a, err := ask.SelfScout(c.Request().Context(), s.store, in)
	if err != nil {
		return err
	}
	sh, err := s.shell(c, "Self-scout", "", "self-scout")
	if err != nil {
		return err
	}
	r := reports.BuildSelfScout(a)
	page := &pages.SelfScout{Home: sh.Home(), Report: r, Tells: a.Tells}
	return s.show(c, http.StatusOK, sh, "selfscout.html", page)
}

// nightPage is what a tablet shows on the night of the game.
func (s *server) nightPage(c echo.Context) error {
	p, err := s.planOfPath(c)
	if err != nil {
		return err
	}
	program := programOf(c)
	night, err := ask.NightOfPlan(p, &program.Settings)
	if err != nil {
		return err
	}
	sh, err := s.shell(c, "Game night: "+p.Label, "plans", "")
	if err != nil {
		return err
	}
	sh.Wide, sh.Styles, sh.Scripts = true, []string{"field.css"}, []string{"callkit.js", "night.js"}
	page := &pages.Night{Base: sh.Base(), Program: sh.Home(), Plan: p.PlanHead, Night: night}
	return s.show(c, http.StatusOK, sh, "night.html", page)
}
