package pages

import (
	"net/http"
	"overhang/internal/ask"
	"overhang/internal/reports"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// pages serves what a person reads.
func (s *Site) pages(e *echo.Echo) {
	e.GET("/", s.front)
	e.GET("/programs/:program/opponents/:opponent/cell", s.cellPage)
	e.GET(opponentPath+"/board", s.boardPage)
}

// boardPage answers the question in its address.
func (s *Site) boardPage(c echo.Context) error {
	in, err := s.desk.Scope(c)
	if err != nil {
		return err
	}
	if n := c.QueryParam("last_games"); n != "" && in.Filters["games_ago"] == nil {
		return tags.Fieldf(tags.Invalid, "last_games", "need a number of games from 1 to 60")
	}
	sh, err := s.shell(c, "Board: "+in.Opponent.Name, "board", "")
	if err != nil {
		return err
	}
	sh.Wide, sh.Styles, sh.Scripts = true, []string{"field.css"}, []string{"callkit.js", "board.js"}
	return s.showLate(c, sh, "the board", "board.html", func() (any, error) {
		ctx := c.Request().Context()
		seen, err := ask.Seen(ctx, s.store, in, "personnel", "set_name")
		if err != nil {
			return nil, err
		}
		a, err := ask.First(ctx, s.store, in)
		if err != nil {
			return nil, err
		}
		page := NewBoard(in.Opponent, sh.Base(), sh.Home(), c.QueryParams(), &in.Program.Settings, seen)
		page.Fill(a)
		return page, nil
	})
}

// front lists programs with their opponents.
func (s *Site) front(c echo.Context) error {
	type entry struct {
		Program   tags.Program
		Opponents []tags.Opponent
	}
	ps, err := s.door.Programs(c)
	if err != nil {
		return err
	}
	var out []entry
	for _, p := range ps {
		os, err := s.store.Opponents().List(postgres.InProgram(c.Request().Context(), p.ID), p.ID, postgres.Page{Limit: 200,
			After: uuid.Nil})
		if err != nil {
			return err
		}
		out = append(out, entry{p, os})
	}
	sh, err := s.shell(c, "Programs", "", "")
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, sh, "programs.html", out)
}

// GamePlan answers with the whole board as a page.
func (s *Site) GamePlan(c echo.Context, g *reports.GamePlan) error {
	sh, err := s.shell(c, "Board: "+g.Opponent, "board", "")
	if err != nil {
		return err
	}
	sh.Wide = true
	return s.show(c, http.StatusOK, sh, "gameplan.html", g)
}
