package httpapi

import (
	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/desk"
	"overhang/internal/reports"
)

// listed reads a comma separated parameter, or what is usual.
func listed(c echo.Context, name string, usual ...string) []string {
	if s := desk.Listed(c.QueryParam(name)); s != nil {
		return s
	}
	return usual
}

// outcome is the dimension whose values are the outcomes asked about.
func outcome(c echo.Context) string { return listed(c, "of", "called")[0] }

// falsely is the share of false discoveries that is accepted.
func falsely(c echo.Context) float64 { return factor(c, "false_share", ask.FalseShare) }

func (s *server) tells(c echo.Context) error {
	in, err := s.desk.Scope(c)
	if err != nil {
		return err
	}
	out, err := ask.Tells(c.Request().Context(), s.store, in,
		ask.TellsQuestion{Of: listed(c, "of", "called"), By: desk.Listed(c.QueryParam("by")), Within: listed(c, "within"),
			FalseShare: falsely(c)})
	if err != nil {
		return err
	}
	return s.table(c, in, out.Plays, &out.WhyEmpty, sheetOf(reports.TellSheet, out), out)
}

func (s *server) trend(c echo.Context) error {
	in, err := s.desk.Scope(c)
	if err != nil {
		return err
	}
	out, err := ask.Trend(c.Request().Context(), s.store, in,
		ask.TrendQuestion{Of: outcome(c), Recent: number(c, "recent", 3), Earlier: number(c, "earlier", ask.AllGames),
			FalseShare: falsely(c)})
	if err != nil {
		return err
	}
	return s.table(c, in, out.Before+out.After+out.LeftOut, &out.WhyEmpty, sheetOf(reports.TrendSheet, out), out)
}

func (s *server) likeness(c echo.Context) error {
	in, err := s.desk.Scope(c)
	if err != nil {
		return err
	}
	out, err := ask.Likest(c.Request().Context(), s.store, in, outcome(c), listed(c, "within", "down", "distance_band"))
	if err != nil {
		return err
	}
	return s.table(c, in, out.Counted, &out.WhyEmpty, sheetOf(reports.LikenessSheet, out), out)
}

func (s *server) estimates(c echo.Context) error {
	in, err := s.desk.Scope(c)
	if err != nil {
		return err
	}
	out, err := ask.Estimate(c.Request().Context(), s.store, in, outcome(c), listed(c, "chain"))
	if err != nil {
		return err
	}
	return s.table(c, in, out.Counted, &out.WhyEmpty, sheetOf(reports.EstimateSheet, out), out)
}

func (s *server) depths(c echo.Context) error {
	in, err := s.desk.Scope(c)
	if err != nil {
		return err
	}
	out, err := ask.BreakDepths(c.Request().Context(), s.store, in, listed(c, "by"))
	if err != nil {
		return err
	}
	return s.table(c, in, len(out.Items), &out.WhyEmpty, sheetOf(reports.BreakDepthSheet, out), out)
}
