package httpapi

import (
	"encoding/json"
	"net/http"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/reports"
	"overhang/internal/reports/drawing"
)

// asked reads the question of a body: one call and one picture.
func asked(c echo.Context) (ask.PlayQuestion, error) {
	q := ask.UsualPlay()
	if err := json.NewDecoder(c.Request().Body).Decode(&q); err != nil {
		return q, echo.NewHTTPError(http.StatusBadRequest, "the body is not valid JSON: "+err.Error())
	}
	return q, nil
}

// playAsked plays the question of a body.
func playAsked(c echo.Context) (q ask.PlayQuestion, played *ask.Played, err error) {
	if q, err = asked(c); err == nil {
		played, err = ask.Play(c.Request().Context(), q)
	}
	return q, played, err
}

// stress answers POST /v1/stress.
func (s *server) stress(c echo.Context) error {
	q, played, err := playAsked(c)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, played.Answer(q.Timeline))
}

// try answers POST .../opponents/{opponent}/try.
func (s *server) try(c echo.Context) error {
	in, err := s.desk.Scope(c)
	if err != nil {
		return err
	}
	var q ask.TrialQuestion
	if err := json.NewDecoder(c.Request().Body).Decode(&q); err != nil {
		return echo.NewHTTPError(http.StatusBadRequest, "the body is not valid JSON: "+err.Error())
	}
	out, err := ask.Try(c.Request().Context(), s.recent, in, q)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, out)
}

func (s *server) book(c echo.Context) error { return c.JSON(http.StatusOK, items(ask.Book())) }

func (s *server) stressBoard(c echo.Context) error {
	in, err := s.desk.Scope(c)
	if err != nil {
		return err
	}
	b, err := ask.Board(c.Request().Context(), s.store, in)
	if err != nil {
		return err
	}
	if kind := drawingKind(c, ""); kind != "" {
		heat := drawing.Board(&b, "Our calls against "+in.Opponent.Name)
		return drawn(c, heat.List(widthOf(c)), kind)
	}
	return sent(c, sheetOf(reports.BoardSheet, &b), b)
}
