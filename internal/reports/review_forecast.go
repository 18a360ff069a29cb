package reports

import (
	"fmt"

	"overhang/internal/plan"
	"overhang/internal/reports/drawing"
	"overhang/internal/reports/paper"
	"overhang/internal/tendency"
)

// calibrated says what the stress was worth as a forecast.
func (r *ReviewReport) calibrated() []paper.Block {
	c := &r.Calibration
	out := []paper.Block{paper.H2("Was the forecast right?")}
	parts := &paper.Table{Name: "calibration", DataOnly: true, Columns: paper.Cols("plays", "", "successes", "",
		"mean_forecast", "", "success_rate", "", "success_low", "", "success_high", "", "brier", "", "reliability", "",
		"resolution", "", "uncertainty", "", "within_bins", "", "assumed_plays", "")}
	if c.Came.N == 0 {
		return append(out, paper.P("No play of the plan has our call, their concept and the result all tagged.%s",
			because(c.LeftOut)), parts)
	}
	parts.Rows = append(parts.Rows, paper.Cells(paper.I(c.Came.N), paper.I(c.Came.X), paper.Share(c.Forecast),
		paper.Share(c.Came.Share), paper.Share(c.Came.Low), paper.Share(c.Came.High),
		paper.F("%.3f", c.Brier), paper.F("%.3f", c.Reliability), paper.F("%.3f", c.Resolution),
		paper.F("%.3f", c.Uncertainty), paper.F("%.3f", c.Within), paper.I(c.Assumed)))
	out = append(out, gaveUp(c)...)
	verdict := "the forecast is inside it"
	if c.Forecast < c.Came.Low || c.Forecast > c.Came.High {
		verdict = "the forecast is outside it"
	}
	out = append(out, paper.P("On %d plays%s the plan had a forecast for our call against their concept. On "+
		"average it said %.0f%%; %d succeeded (%.0f%%, 95%% interval %.0f to %.0f, %s).%s",
		c.Came.N, aside(c.AssumedText()), 100*c.Forecast, c.Came.X, 100*c.Came.Share, 100*c.Came.Low, 100*c.Came.High,
		verdict, because(c.LeftOut)),
		paper.P("Brier score %.3f, the mean squared distance of forecast and outcome; always forecasting the %.0f%% that "+
			"came would have scored %.3f. Its parts: reliability %.3f (how far off the forecasts were), less resolution %.3f "+
			"(how well they told plays apart), plus uncertainty %.3f (the plays' own), plus %.3f within the bins.",
			c.Brier, 100*c.Came.Share, c.Uncertainty, c.Reliability, c.Resolution, c.Uncertainty, c.Within))
	if c.Came.High-c.Came.Low > 0.2 { // what calls differ by against one concept: a staff estimate, no source
		out = append(out, paper.B("%d plays is a small sample: the true rate may be anywhere from %.0f to %.0f%%, and "+
			"the parts are mostly noise. Wait for more games before you judge the forecast.", c.Came.N, 100*c.Came.Low,
			100*c.Came.High))
	}
	t := &paper.Table{Name: "reliability", Columns: paper.Cols(append([]string{"from", "Forecast from#", "to", "to#",
		"mean_forecast", "Mean#"}, fractionCols("came", "They succeeded")...)...)}
	for _, b := range c.Bins {
		mean := paper.Share(b.Forecast)
		if b.Came.N == 0 {
			mean = paper.Unknown()
		}
		t.Rows = append(t.Rows, paper.Row{Thin: b.Came.N < tendency.Thin, Cells: append([]paper.Cell{paper.Share(b.From),
			paper.Share(b.To), mean}, fractionCells(b.Came)...)})
	}
	return append(out, t,
		paper.N("Forecasts assume the middle of the distance band; success is judged by the play's own distance."), parts)
}

// gaveUp says what the plan's points and explosive plays were worth as a forecast.
func gaveUp(c *plan.Calibrated) []paper.Block {
	t := &paper.Table{Name: "gave_up", DataOnly: true, Columns: paper.Cols("measure", "", "plays", "", "mean_forecast", "",
		"mean_came", "", "difference", "", "difference_low", "", "difference_high", "", "brier", "")}
	var out []paper.Block
	for _, m := range []struct {
		name, words string
		of          *plan.Scored
		say         func(float64) string
	}{
		{"points", "Gave up, in points a snap: the plan said %s, it was %s on %d plays (%s; 95%% %s to %s).", c.Points,
			drawing.Points},
		{"explosive", "Explosive plays: the plan said %s, it was %s of %d plays (%s; 95%% %s to %s).", c.Explosive,
			func(v float64) string { return fmt.Sprintf("%.0f%%", 100*v) }},
	} {
		s := m.of
		if s == nil {
			continue
		}
		out = append(out, paper.P(m.words, m.say(s.Forecast), m.say(s.Came), s.Plays, apartWords(s), m.say(s.Low),
			m.say(s.High)))
		brier := paper.Unknown()
		if s.Brier != nil {
			brier = paper.F("%.3f", *s.Brier)
		}
		num := func(v float64) paper.Cell { return paper.F("%.3f", v) }
		t.Rows = append(t.Rows, paper.Cells(paper.T(m.name), paper.I(s.Plays), num(s.Forecast), num(s.Came),
			num(s.Difference), num(s.Low), num(s.High), brier))
	}
	if len(out) == 0 {
		return nil
	}
	return append(out, t)
}

// apartWords says whether what came differs from what was forecast by more than chance.
func apartWords(s *plan.Scored) string {
	switch {
	case s.Low > 0:
		return "more than the plan said, beyond chance"
	case s.High < 0:
		return "less than the plan said, beyond chance"
	}
	return "within chance"
}
