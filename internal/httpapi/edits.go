package httpapi

import (
	"context"
	"encoding/json"
	"net/http"
	"slices"
	"strconv"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/desk"
	"overhang/internal/door"
	"overhang/internal/staff"
	"overhang/internal/tags"
)

// edits serves what is done to plays beyond one at a time: history and undo, bulk
// edits, merges of words, the chain of a game.
func (s *server) edits(g *echo.Group) {
	g.GET("/plays/:id/history", history("plays", s.store.History, changeAt))
	g.GET("/calls/:id/versions", history("calls", s.store.CallVersions,
		func(x *tags.CallVersion) int64 { return x.Version }))
	g.GET("/changes/:change", s.getChange)
	g.POST("/changes/:change/undo", s.undoChange)
	g.POST("/play-edits", s.editPlays)
	g.GET("/merges", s.listMerges)
	g.POST("/merges", s.mergeWords)
	g.GET("/games/:id/next", s.nextPlay)
	g.GET("/games/:id/check", s.checkGame)
}

func (s *server) getProgram(c echo.Context) error {
	p := door.ProgramOf(c)
	return answer(c, http.StatusOK, &p.Meta, p)
}

func (s *server) replaceProgram(c echo.Context) error {
	seen, err := ifMatch(c)
	if err != nil {
		return err
	}
	p := door.ProgramOf(c)
	p.Settings = tags.Settings{}
	if err := json.NewDecoder(c.Request().Body).Decode(&p); err != nil {
		return echo.NewHTTPError(http.StatusBadRequest, "the body is not valid JSON: "+err.Error())
	}
	if p, err = s.store.ReplaceProgram(c.Request().Context(), p.Code, seen, p); err != nil {
		return err
	}
	return answer(c, http.StatusOK, &p.Meta, p)
}

// changePage reads limit and cursor of a page of changes.
func changePage(c echo.Context) (limit int, cursor int64, err error) {
	limit = 100
	if v := c.QueryParam("limit"); v != "" {
		limit, _ = strconv.Atoi(v) // the contract has checked it
	}
	if v := c.QueryParam("cursor"); v != "" {
		if cursor, err = strconv.ParseInt(v, 10, 64); err != nil || cursor < 1 {
			return 0, 0, tags.Fieldf(tags.Invalid, "cursor", "did not come from this list: start again without it")
		}
	}
	return limit, cursor, nil
}

// A historyPage is a page of what was changed, or of what something said.
type historyPage[T any] struct {
	Items      []T    `json:"items"`
	NextCursor string `json:"next_cursor,omitempty"`
}

// onePage answers a page that was asked for with one more than its limit; at says where an item stands.
func onePage[T any](c echo.Context, items []T, limit int, at func(*T) int64) error {
	out := historyPage[T]{Items: append([]T{}, items[:min(limit, len(items))]...)}
	if len(items) > limit {
		out.NextCursor = strconv.FormatInt(at(&items[limit-1]), 10)
	}
	return c.JSON(http.StatusOK, out)
}

func changeAt(x *tags.PlayChange) int64 { return x.ID }

// history answers a page of what one thing of a noun was, the latest first.
func history[T any](noun string, read func(_ context.Context, program, id uuid.UUID, limit int, before int64) ([]T,
	error), at func(*T) int64) echo.HandlerFunc {
	return func(c echo.Context) error {
		id, err := desk.Identity(c, noun)
		if err != nil {
			return err
		}
		limit, before, err := changePage(c)
		if err != nil {
			return err
		}
		items, err := read(c.Request().Context(), door.ProgramOf(c).ID, id, limit+1, before)
		if err != nil {
			return err
		}
		return onePage(c, items, limit, at)
	}
}

func changeOf(c echo.Context) (uuid.UUID, error) {
	id, err := uuid.Parse(c.Param("change"))
	if err != nil {
		return id, tags.Errorf(tags.NotFound, "there is no change %q", c.Param("change"))
	}
	return id, nil
}

func (s *server) getChange(c echo.Context) error {
	id, err := changeOf(c)
	if err != nil {
		return err
	}
	limit, after, err := changePage(c)
	if err != nil {
		return err
	}
	cs, err := s.store.Change(c.Request().Context(), door.ProgramOf(c).ID, id, limit+1, after)
	if err != nil {
		return err
	}
	return onePage(c, cs, limit, changeAt)
}

func (s *server) undoChange(c echo.Context) error {
	id, err := changeOf(c)
	if err != nil {
		return err
	}
	merge, err := s.store.IsMerge(c.Request().Context(), door.ProgramOf(c).ID, id)
	if err != nil {
		return err
	}
	if merge && !door.RoleOf(c).Reaches(staff.Coordinator) {
		return echo.NewHTTPError(http.StatusForbidden, "that is for a program's coordinator: the change merged two words")
	}
	who, err := desk.Analyst(c)
	if err != nil {
		return err
	}
	cs, err := s.store.By(who).Undo(c.Request().Context(), door.ProgramOf(c).ID, id)
	if err != nil {
		return err
	}
	return onePage(c, cs, len(cs), changeAt)
}

func (s *server) editPlays(c echo.Context) error {
	e, who, err := sentBy(c, func(context.Context, *tags.PlayEdit) error { return nil })
	if err != nil {
		return err
	}
	out, err := s.store.By(who).EditPlays(c.Request().Context(), door.ProgramOf(c).ID, e)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, out)
}

func (s *server) listMerges(c echo.Context) error {
	limit := 100
	if v := c.QueryParam("limit"); v != "" {
		limit, _ = strconv.Atoi(v) // the contract has checked it
	}
	ms, err := s.store.Merges(c.Request().Context(), door.ProgramOf(c).ID, limit)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, items(ms))
}

func (s *server) mergeWords(c echo.Context) error {
	m, who, err := sentBy(c, func(context.Context, *tags.Merge) error { return nil })
	if err != nil {
		return err
	}
	ctx, program := c.Request().Context(), door.ProgramOf(c).ID
	if m, err = s.store.By(who).MergeWords(ctx, program, m.Field, m.Word, m.Into); err != nil {
		return err
	}
	return c.JSON(http.StatusCreated, m)
}

// nextPlay proposes what follows the last play tagged, or the one of a number.
func (s *server) nextPlay(c echo.Context) error {
	id, err := desk.Identity(c, "games")
	if err != nil {
		return err
	}
	ps, err := s.store.GamePlays(c.Request().Context(), door.ProgramOf(c).ID, id)
	if err != nil {
		return err
	}
	var last *tags.Play
	if len(ps) > 0 {
		last = &ps[len(ps)-1]
	}
	if v := c.QueryParam("after"); v != "" {
		n, _ := strconv.Atoi(v) // the contract has checked it
		at := slices.IndexFunc(ps, func(p tags.Play) bool { return p.Number == n })
		if at < 0 {
			return tags.Errorf(tags.NotFound, "this game has no play %d", n)
		}
		last = &ps[at]
	}
	return c.JSON(http.StatusOK, tags.Propose(last))
}

// A gameCheck is what is wrong with a game's plays, and how far they are tagged.
type gameCheck struct {
	Chain  tags.Chain    `json:"chain"`
	Tagged tags.Progress `json:"tagged"`
}

func (s *server) checkGame(c echo.Context) error {
	id, err := desk.Identity(c, "games")
	if err != nil {
		return err
	}
	ps, err := s.store.GamePlays(c.Request().Context(), door.ProgramOf(c).ID, id)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, gameCheck{tags.CheckChain(ps), tags.ProgressOf(ps)})
}
