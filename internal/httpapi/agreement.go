package httpapi

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/reports"
	"overhang/internal/staff"
	"overhang/internal/study"
	"overhang/internal/tags"
)

func (s *server) agreement(c echo.Context) error {
	game, _ := uuid.Parse(c.QueryParam("game_id")) // the contract has checked the form; absent is uuid.Nil
	blind, err := s.store.Sightings(c.Request().Context(), programOf(c).ID, game, uuid.Nil)
	if err != nil {
		return err
	}
	a := study.Agree(blind)
	return sent(c, agreementSheet(a), a)
}

// ownEyes keeps tagging blind where people sign in: an analyst reads and writes
// only what he tagged himself, under his login; a coordinator may see all.
func (s *server) ownEyes(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		w := who(c)
		if w == nil || roleOf(c).Reaches(staff.Coordinator) {
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
			id, err := identity(c, "blind tags")
			if err != nil {
				return err
			}
			b, err := s.store.BlindTags().Get(c.Request().Context(), programOf(c).ID, id)
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

// agreementSheet has a row for every field and every pair of analysts.
func agreementSheet(a study.Agreement) reports.Sheet {
	out := reports.Sheet{Name: "agreement", Columns: []string{"field", "units", "values", "same", "alpha", "alpha_interval", "a", "b", "pair_units", "pair_same", "kappa"},
		Notes: []string{"alpha: Krippendorff, over all analysts; kappa: Cohen, of two; empty where nothing varies", "units: clips, or eligibles of clips, that two at least tagged"}}
	for _, f := range a.Fields {
		for _, p := range f.Pairs {
			out.Rows = append(out.Rows, []any{f.Field, f.Units, f.Values, f.Same, f.Alpha, f.Interval, p.A, p.B, p.Units, p.Same, p.Kappa})
		}
	}
	return out
}

// settle makes the clip's play of what was tagged blind.
func (s *server) settle(c echo.Context) error {
	clip, err := identity(c, "clips")
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
	ctx, program := c.Request().Context(), programOf(c).ID
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
	blind, err := s.store.Sightings(ctx, program, uuid.Nil, clip)
	if err != nil {
		return err
	}
	p, err := study.Settle(blind, in.Choices)
	if err != nil {
		return err
	}
	who, err := analyst(c)
	if err != nil {
		return err
	}
	if p, err = s.store.By(who).Settle(ctx, program, clip, seen, in.Number, p); err != nil {
		return err
	}
	c.Response().Header().Set("Content-Location", "/v1/programs/"+programOf(c).Code+"/plays/"+p.ID.String())
	return answer(c, http.StatusOK, p.Identity(), p)
}
