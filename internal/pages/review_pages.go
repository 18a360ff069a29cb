package pages

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/door"
	"overhang/internal/reports"
)

// reviewPage holds a plan against what happened, in pictures.
func (s *Site) reviewPage(c echo.Context) error {
	p, err := s.planOfPath(c)
	if err != nil {
		return err
	}
	in, err := s.desk.Scope(c)
	if err != nil {
		return err
	}
	sh, err := s.shell(c, "Review: "+p.Label, "plans", "")
	if err != nil {
		return err
	}
	sh.Styles = []string{"field.css"}
	return s.showLate(c, sh, "the review", "review.html", func() (any, error) {
		a, err := ask.Review(c.Request().Context(), s.store, in, p.ID, c.QueryParam("earlier") == "true")
		if err != nil {
			return nil, err
		}
		return NewReview(in.Opponent, sh.Base(), sh.Home(), c.QueryParam("half"), a), nil
	})
}

// selfScoutPage says what our own calls say about us.
func (s *Site) selfScoutPage(c echo.Context) error {
	in, err := s.desk.Scope(c)
	if err != nil {
		return err
	}
	sh, err := s.shell(c, "Self-scout", "", "self-scout")
	if err != nil {
		return err
	}
	return s.showLate(c, sh, "what opponents will have on us", "selfscout.html", func() (any, error) {
		a, err := ask.SelfScout(c.Request().Context(), s.store, in)
		if err != nil {
			return nil, err
		}
		return &SelfScout{Home: sh.Home(), Report: reports.BuildSelfScout(a), Tells: a.Tells}, nil
	})
}

// nightPage is what a tablet shows on the night of the game.
func (s *Site) nightPage(c echo.Context) error {
	p, err := s.planOfPath(c)
	if err != nil {
		return err
	}
	program := door.ProgramOf(c)
	night, err := ask.NightOfPlan(p, &program.Settings)
	if err != nil {
		return err
	}
	sh, err := s.shell(c, "Game night: "+p.Label, "plans", "")
	if err != nil {
		return err
	}
	sh.Wide, sh.Styles, sh.Scripts = true, []string{"field.css"}, []string{"callkit.js", "shelf.js", "night.js"}
	page := &Night{Base: sh.Base(), Program: sh.Home(), Plan: p.PlanHead, Night: night}
	return s.show(c, http.StatusOK, sh, "night.html", page)
}
