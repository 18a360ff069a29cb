package httpapi

import (
	"context"
	"io"
	"maps"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"overhang/internal/plan"
	"overhang/internal/reports/handout"
	"overhang/internal/reports/paper"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// A SheetOrder asks for one of the sheets that are carried onto the field.
type SheetOrder struct {
	Program  tags.Program
	Opponent tags.Opponent
	Kind     string              // one of SheetKinds
	Filters  map[string][]string // of the opponent's plays
	Call     string              // only this call, "" all
	Defender string              // only this man, "" all
	ForGame  string              // our game it is for, printed
	Date     time.Time
	A4       bool
}

// A Sheet is data with the document it is printed as.
type Sheet interface{ Document() *paper.Document }

// SheetKinds are the kinds of sheets there are.
var SheetKinds = []string{"position"}

// BuildSheet makes a sheet from what is stored. An order for what does not exist is
// a *tags.Error.
func BuildSheet(ctx context.Context, store *postgres.Store, o *SheetOrder) (Sheet, error) {
	w, err := week(ctx, store, o)
	if err != nil {
		return nil, err
	}
	f := paper.Furniture{Program: o.Program.Name, Opponent: o.Opponent.Name, Game: o.ForGame, Plays: w.Plays, Date: o.Date, Invented: o.Program.Invented}
	switch o.Kind {
	case "position":
		return handout.Positions(f, w, o.Call, o.Defender)
	}
	return nil, tags.Errorf(tags.NotFound, "no sheet %q: there are %s", o.Kind, strings.Join(SheetKinds, ", "))
}

func week(ctx context.Context, store *postgres.Store, o *SheetOrder) (*plan.Week, error) {
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
	o := &SheetOrder{Program: programOf(c), Opponent: opponent, Kind: c.Param("kind"), Filters: filters(c), Call: c.QueryParam("call"), Defender: c.QueryParam("defender"),
		ForGame: c.QueryParam("for_game"), Date: time.Now(), A4: c.QueryParam("paper") == "a4"}
	if day := c.QueryParam("date"); day != "" {
		if o.Date, err = time.Parse(time.DateOnly, day); err != nil {
			return tags.Fieldf(tags.Invalid, "date", "%q is no day such as 2026-09-04", day)
		}
	}
	made, err := BuildSheet(c.Request().Context(), s.store, o)
	if err != nil {
		return err
	}
	format := sheetFormat(c)
	if format == "json" {
		return c.JSON(http.StatusOK, made)
	}
	d := made.Document()
	d.A4 = o.A4
	return written(c, paper.Formats[format], func(w io.Writer) error { return d.Write(w, format) })
}

// sheetFormat is what format or Accept asks for, else JSON.
func sheetFormat(c echo.Context) string {
	if f := c.QueryParam("format"); f != "" {
		return f // the contract has checked it
	}
	accept := c.Request().Header.Get("Accept")
	for _, f := range slices.Sorted(maps.Keys(paper.Formats)) {
		kind, _, _ := strings.Cut(paper.Formats[f], ";")
		if strings.Contains(accept, kind) {
			return f
		}
	}
	return "json"
}
