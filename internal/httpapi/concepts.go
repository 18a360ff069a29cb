package httpapi

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/reports"
)

func (s *server) concepts(c echo.Context) error {
	in, err := s.desk.Scope(c)
	if err != nil {
		return err
	}
	out, err := ask.ConceptPictures(c.Request().Context(), s.store, in, number(c, "least_plays", 0))
	if err != nil {
		return err
	}
	in.Filters = in.Theirs() // why there is none is asked of the opponent's plays
	return s.table(c, in, out.Plays, &out.WhyEmpty, sheetOf(reports.ConceptSheet, out), out)
}

func (s *server) conceptSuggestions(c echo.Context) error {
	in, err := s.desk.Scope(c)
	if err != nil {
		return err
	}
	out, err := ask.SuggestConcepts(c.Request().Context(), s.store, in)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, out)
}
