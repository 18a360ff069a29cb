package httpapi

import (
	"context"
	"io"
	"net/http"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"

	"overhang/internal/door"
	"overhang/internal/tags"
	"overhang/internal/tags/intake"
	"overhang/internal/tags/postgres"
	"overhang/internal/wire"
)

// bounded limits bodies; spreadsheets have a limit of their own.
func bounded() echo.MiddlewareFunc {
	sheet := func(c echo.Context) bool {
		return c.Request().Method == http.MethodPost && (strings.HasSuffix(c.Path(), "/imports") ||
			strings.HasSuffix(c.Path(), "/imports/proposals"))
	}
	usual := middleware.BodyLimitWithConfig(middleware.BodyLimitConfig{Limit: bodyLimit,
		Skipper: func(c echo.Context) bool { return empty(c.Request()) || sheet(c) }})
	large := middleware.BodyLimitWithConfig(middleware.BodyLimitConfig{Limit: sheetLimit,
		Skipper: func(c echo.Context) bool { return !sheet(c) }})
	return func(next echo.HandlerFunc) echo.HandlerFunc { return usual(large(next)) }
}

// An imported answer says what an import did, and how it read the sheet.
type imported struct {
	Added     int             `json:"added"`
	Changed   int             `json:"changed"`
	Unchanged int             `json:"unchanged"`
	NewWords  int             `json:"new_words"`
	Proposal  intake.Proposal `json:"proposal"`
}

// proposeImport says how a spreadsheet would come in, and stores nothing.
func (s *server) proposeImport(c echo.Context) error {
	sheet, err := s.sheet(c)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, &sheet.Proposal)
}

// importSheet stores a spreadsheet's plays: all of them, or with keep_good=true
// those of the good rows, or nothing.
func (s *server) importSheet(c echo.Context) error {
	sheet, err := s.sheet(c)
	if err != nil {
		return err
	}
	if bad := sheet.Refusals(); len(bad) > 0 && c.QueryParam("keep_good") != "true" {
		return &tags.Error{Kind: tags.Invalid, Msg: "nothing was saved: the sheet has rows that can't be", Fields: bad}
	}
	if wire.Chosen(c) == lines {
		return s.importTelling(c, sheet)
	}
	out, err := s.storeSheet(c, sheet, nil)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, out)
}

func (s *server) storeSheet(c echo.Context, sheet *intake.Sheet, progress func(done, of int)) (*imported, error) {
	done, err := sheet.Store(c.Request().Context(), s.store, door.ProgramOf(c), sheet.Fresh, progress)
	if err != nil {
		return nil, err
	}
	return &imported{done.Inserted, done.Updated, done.Unchanged, len(sheet.Fresh), sheet.Proposal}, nil
}

// lines is JSON, one value a line.
const lines = "application/x-ndjson"

// An importLine is one line of an import that tells how far it is: progress, and at
// the end either its result or the problem that undid all of it.
type importLine struct {
	Done    *int      `json:"done,omitempty"`
	Of      *int      `json:"of,omitempty"`
	Result  *imported `json:"result,omitempty"`
	Problem *problem  `json:"problem,omitempty"`
}

// importTelling stores a sheet and says a line ten times a second at most, and at
// each tenth of the rows.
func (s *server) importTelling(c echo.Context, sheet *intake.Sheet) error {
	w := c.Response()
	w.Header().Set(echo.HeaderContentType, lines)
	w.WriteHeader(http.StatusOK)
	say := func(l importLine) {
		c.Echo().JSONSerializer.Serialize(c, &l, "")
		w.Flush()
	}
	var last time.Time
	out, err := s.storeSheet(c, sheet, func(done, of int) {
		if done == 1 || done == of || done%max(of/10, 1) == 0 && time.Since(last) > 100*time.Millisecond {
			last = time.Now()
			say(importLine{Done: &done, Of: &of})
		}
	})
	if err != nil {
		p := s.status(err, c)
		say(importLine{Problem: &p})
		return nil
	}
	say(importLine{Result: out})
	return nil
}

// sheet reads the body as a spreadsheet, by what the query says of it.
func (s *server) sheet(c echo.Context) (*intake.Sheet, error) {
	data, err := io.ReadAll(c.Request().Body)
	if err != nil {
		return nil, err
	}
	a, err := answersOf(c)
	if err != nil {
		return nil, err
	}
	known, err := s.knownTo(c.Request().Context(), door.ProgramOf(c).ID)
	if err != nil {
		return nil, err
	}
	sheet, err := intake.ReadSheet(c.QueryParam("name"), data, known, a)
	if err != nil {
		return nil, tags.Fieldf(tags.Invalid, "file", "%v", err)
	}
	return sheet, nil
}

func (s *server) knownTo(ctx context.Context, program uuid.UUID) (k intake.Known, err error) {
	if k.Vocabulary, err = s.store.Vocabulary(ctx, program); err != nil {
		return k, err
	}
	k.Opponents, err = s.store.Opponents().List(ctx, program, postgres.Page{Limit: 500})
	return k, err
}

// answersOf reads a person's answers to a proposal: tab, column, word, opponent,
// season, game, ours.
func answersOf(c echo.Context) (a intake.Answers, err error) {
	q := c.QueryParams()
	if a.Columns, err = intake.Pairs("column", q["column"]); err != nil {
		return a, err
	}
	if a.Words, err = intake.Pairs("word", q["word"]); err != nil {
		return a, err
	}
	a.Tabs, a.Opponent, a.Season, a.Game = q["tab"], q.Get("opponent"), q.Get("season"), q.Get("game")
	a.Ours = q.Get("ours") == "true"
	return a, nil
}
