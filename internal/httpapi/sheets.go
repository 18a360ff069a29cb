package httpapi

import (
	"context"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/plan"
	"overhang/internal/reports/handout"
	"overhang/internal/reports/paper"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// A sheetOrder asks for one of the sheets that are carried onto the field.
type sheetOrder struct {
	Program  tags.Program
	Opponent tags.Opponent
	Kind     string              // one of SheetKinds
	Filters  map[string][]string // of the opponent's plays
	Plan     string              // of the call sheet: the plan it is of, "" none
	Call     string              // only this call, "" all
	Defender string              // only this man, "" all
	ForGame  string              // our game it is for, printed
	Date     time.Time
	A4       bool
	Cards    int     // at most so many, 0: the usual number
	PerPage  int     // scout cards a side
	Minutes  float64 // of a practice, 0: the usual day
}

// A sheet is data with the document it is printed as.
type sheet interface{ Document() *paper.Document }

// SheetKinds are the kinds of sheets there are.
var SheetKinds = []string{"call", "position", "scout", "practice", "quiz"}

// buildSheet makes a sheet from what is stored. An order for what does not exist is
// a *tags.Error.
func buildSheet(ctx context.Context, store *postgres.Store, o *sheetOrder) (sheet, error) {
	if o.Plan != "" {
		return planSheet(ctx, store, o)
	}
	w, err := week(ctx, store, o)
	if err != nil {
		return nil, err
	}
	f := o.furniture(w.Plays)
	switch o.Kind {
	case "position":
		return handout.Positions(f, w, o.Call, o.Defender)
	case "call":
		xs, err := situations(ctx, store, o, w.Calls)
		if err != nil {
			return nil, err
		}
		return handout.Calls(f, w.Calls, xs), nil
	case "scout":
		us, err := usages(ctx, store, o)
		if err != nil {
			return nil, err
		}
		return handout.Scout(f, w, us, o.Cards, o.PerPage)
	case "practice":
		xs, err := stretches(ctx, store, o, w.Calls)
		if err != nil {
			return nil, err
		}
		return handout.MakePractice(f, w.Level, xs)
	case "quiz":
		return handout.MakeQuiz(f, w, o.Call, o.Defender, o.Cards)
	}
	return nil, tags.Errorf(tags.NotFound, "no sheet %q: there are %s", o.Kind, strings.Join(SheetKinds, ", "))
}

func (o *sheetOrder) furniture(plays int) paper.Furniture {
	return paper.Furniture{Program: o.Program.Name, Opponent: o.Opponent.Name, Game: o.ForGame, Plays: plays, Date: o.Date, Invented: o.Program.Invented}
}

// planSheet makes the call sheet of a plan.
func planSheet(ctx context.Context, store *postgres.Store, o *sheetOrder) (sheet, error) {
	id, err := uuid.Parse(o.Plan)
	switch {
	case o.Kind != "call":
		return nil, tags.Fieldf(tags.Invalid, "plan", "is for the call sheet")
	case len(o.Filters) > 0:
		return nil, tags.Fieldf(tags.Invalid, "plan", "has situations and numbers of its own: leave the filters out")
	case err != nil:
		return nil, tags.Fieldf(tags.Invalid, "plan", "%q is the id of no plan", o.Plan)
	}
	p, err := store.Plans().Get(ctx, o.Program.ID, id)
	if err != nil {
		return nil, err
	}
	if p.OpponentID != o.Opponent.ID {
		return nil, tags.Errorf(tags.NotFound, "there is no plan %s against that opponent", id)
	}
	content, err := plan.Read(p.Content)
	if err != nil {
		return nil, err
	}
	if o.ForGame == "" && p.GameID != nil {
		g, err := store.Games().Get(ctx, o.Program.ID, *p.GameID)
		if err != nil {
			return nil, err
		}
		o.ForGame = g.Label
	}
	calls, err := activeCalls(ctx, store, o.Program)
	if err != nil {
		return nil, err
	}
	return handout.PlannedCalls(o.furniture(content.Plays), calls, handout.Planned{Label: p.Label, MadeAt: content.MadeAt, LockedAt: p.LockedAt}, &content), nil
}

func week(ctx context.Context, store *postgres.Store, o *sheetOrder) (*plan.Week, error) {
	calls, err := activeCalls(ctx, store, o.Program)
	if err != nil {
		return nil, err
	}
	rows, err := store.ConceptRows(ctx, o.Program, o.Opponent.ID, o.Filters)
	if err != nil {
		return nil, err
	}
	total, err := store.CountPlays(ctx, o.Program, o.Opponent.ID, o.Filters)
	if err != nil {
		return nil, err
	}
	level, err := field.ParseLevel(o.Program.Level)
	if err != nil {
		return nil, err
	}
	return plan.NewWeek(calls, plan.Concepts(rows), total, level, situationOf(o.Filters, o.Program.Settings)), nil
}

// sheet answers GET .../opponents/{opponent}/sheets/{kind}.
func (s *server) sheet(c echo.Context) error {
	opponent, err := s.opponent(c)
	if err != nil {
		return err
	}
	o := &sheetOrder{Program: programOf(c), Opponent: opponent, Kind: c.Param("kind"), Filters: filters(c), Plan: c.QueryParam("plan"), Call: c.QueryParam("call"), Defender: c.QueryParam("defender"),
		ForGame: c.QueryParam("for_game"), Date: time.Now(), A4: c.QueryParam("paper") == "a4", PerPage: 2}
	// The contract has checked the numbers.
	if n, err := strconv.Atoi(c.QueryParam("cards")); err == nil {
		o.Cards = n
	}
	if n, err := strconv.Atoi(c.QueryParam("per_page")); err == nil {
		o.PerPage = n
	}
	if m, err := strconv.ParseFloat(c.QueryParam("minutes"), 64); err == nil {
		o.Minutes = m
	}
	if day := c.QueryParam("date"); day != "" {
		if o.Date, err = time.Parse(time.DateOnly, day); err != nil {
			return tags.Fieldf(tags.Invalid, "date", "%q is no day such as 2026-09-04", day)
		}
	}
	made, err := buildSheet(c.Request().Context(), s.store, o)
	if err != nil {
		return err
	}
	if reportFormat(c) == "json" {
		return c.JSON(http.StatusOK, made)
	}
	d := made.Document()
	d.A4 = o.A4
	return printed(c, d)
}
