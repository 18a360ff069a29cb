package httpapi

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"overhang/internal/plan"
	"overhang/internal/reports"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
)

// pictures are an opponent's concept pictures under the filters of a request.
func (s *server) pictures(c echo.Context, p tags.Program, o tags.Opponent, only map[string][]string) ([]plan.Concept, error) {
	rows, err := s.store.ConceptRows(c.Request().Context(), p, o.ID, only)
	if err != nil {
		return nil, err
	}
	return plan.Concepts(rows), nil
}

func (s *server) concepts(c echo.Context) error {
	p, err := asking(c)
	if err != nil {
		return err
	}
	o, err := s.opponent(c)
	if err != nil {
		return err
	}
	all, err := s.pictures(c, p, o, filters(c))
	if err != nil {
		return err
	}
	least, _ := strconv.Atoi(c.QueryParam("least_plays")) // the contract has checked it
	sheet := reports.Sheet{Name: "concepts", Columns: []string{"set_name", "concept", "family", "concept_plays", "receiver", "in_picture", "route", "plays", "depth_known", "median_depth_yd", "lower_quartile_yd", "upper_quartile_yd", "disagreements"},
		Notes: []string{"P is the side the concept is run to, B the other; the number counts from the sideline in; depths are those of the break"}}
	items, plays := []plan.Concept{}, 0
	for _, k := range all {
		plays += k.Plays
		if k.Plays < least {
			continue
		}
		items = append(items, k)
		for i, rs := range [][]plan.Receiver{k.Receivers, k.Seldom} {
			for _, r := range rs {
				sheet.Rows = append(sheet.Rows, []any{k.SetName, k.Concept, k.Family, k.Plays, r.Name, i == 0, r.Route, r.N, r.Known, r.Median, r.Lower, r.Upper, strings.Join(r.Others, "; ")})
			}
		}
	}
	return s.table(c, p, max(plays, len(all)), sheet, map[string]any{"opponent": o.Code, "items": items})
}

// mostSuggested is how many plays one answer looks at.
const mostSuggested = 200

func (s *server) conceptSuggestions(c echo.Context) error {
	p, err := asking(c)
	if err != nil {
		return err
	}
	o, err := s.opponent(c)
	if err != nil {
		return err
	}
	plays, n, err := s.store.UnnamedPlays(c.Request().Context(), p, o.ID, filters(c), mostSuggested)
	if err != nil {
		return err
	}
	own, err := s.pictures(c, p, o, nil)
	if err != nil {
		return err
	}
	level, err := field.ParseLevel(p.Level)
	if err != nil {
		return err
	}
	items, err := plan.Suggest(plays, own, level)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, map[string]any{"opponent": o.Code, "plays": n, "items": items,
		"method": fmt.Sprintf("apart is 0 for the same routes at the same depths and 1 for nothing in common; at most %d plays, the latest first; nothing is tagged by it", mostSuggested)})
}
