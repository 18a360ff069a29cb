package httpapi

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/desk"
	"overhang/internal/door"
	"overhang/internal/reports"
	"overhang/internal/staff"
	"overhang/internal/tags"
)

func (s *server) agreement(c echo.Context) error {
	game, _ := uuid.Parse(c.QueryParam("game_id")) // the contract has checked the form; absent is uuid.Nil
	a, err := ask.Agreement(c.Request().Context(), s.store, door.ProgramOf(c).ID, game)
	if err != nil {
		return err
	}
	return sent(c, sheetOf(reports.AgreementSheet, a), a)
}

// ownEyes keeps tagging blind where people sign in: an analyst reads and writes
// only what they tagged themselves, under their login; a coordinator may see all.
func (s *server) ownEyes(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		w := door.Visitor(c)
		if w == nil || door.RoleOf(c).Reaches(staff.Coordinator) {
			return next(c)
		}
		named := c.QueryParam("analyst")
		if m := c.Request().Method; m == http.MethodPost || m == http.MethodPut {
			raw, err := io.ReadAll(c.Request().Body)
			if err != nil {
				return err
			}
			c.Request().Body = io.NopCloser(bytes.NewReader(raw))
			var in tags.BlindTag
			if err := json.Unmarshal(raw, &in); err != nil {
				return echo.NewHTTPError(http.StatusBadRequest, "the body is not valid JSON: "+err.Error())
			}
			named = in.Analyst
		}
		if named != "" && named != w.Login {
			return echo.NewHTTPError(http.StatusForbidden, "clips are tagged blind: tag, and read, as "+w.Login)
		}
		if c.Param("id") != "" {
			id, err := desk.Identity(c, "blind tags")
			if err != nil {
				return err
			}
			b, err := s.store.BlindTags().Get(c.Request().Context(), door.ProgramOf(c).ID, id)
			if err != nil {
				return err
			}
			if b.Analyst != w.Login {
				return tags.Errorf(tags.NotFound, "there is no blind tag %s of yours", id)
			}
		}
		return next(c)
	}
}

// settle makes the clip's play of what was tagged blind.
func (s *server) settle(c echo.Context) error {
	clip, err := desk.Identity(c, "clips")
	if err != nil {
		return err
	}
	var in struct {
		Number  int               `json:"number"`
		Choices map[string]string `json:"choices"`
	}
	if err := json.NewDecoder(c.Request().Body).Decode(&in); err != nil {
		return echo.NewHTTPError(http.StatusBadRequest, "the body is not valid JSON: "+err.Error())
	}
	ctx, program := c.Request().Context(), door.ProgramOf(c).ID
	shown, err := s.store.Clips().Get(ctx, program, clip)
	if err != nil {
		return err
	}
	var seen int64
	if shown.PlayID != nil { // somebody's play is changed
		if seen, err = ifMatch(c); err != nil {
			return err
		}
	}
	p, err := ask.Settled(ctx, s.store, program, clip, in.Choices)
	if err != nil {
		return err
	}
	who, err := desk.Analyst(c)
	if err != nil {
		return err
	}
	if p, err = s.store.By(who).Settle(ctx, program, clip, seen, in.Number, p); err != nil {
		return err
	}
	c.Response().Header().Set("Content-Location", "/v1/programs/"+door.ProgramOf(c).Code+"/plays/"+p.ID.String())
	return answer(c, http.StatusOK, p.Identity(), p)
}
