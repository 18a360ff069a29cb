package plan

import (
	"testing"

	"overhang/internal/tags"
)

// TestKicking: where no long field goal is tried, first and ten at the 30 is worth less, and
// where they go for it on fourth down it is worth more again (the direction is that of
// expected_points_settings, which package points is held against); what a staff cannot mean
// is refused with its name.
func TestKicking(t *testing.T) {
	usual := tags.DefaultSettings()
	short, bold := usual, usual
	short.FieldGoalYd = 30
	bold.FieldGoalYd, bold.GoForIt = 30, true
	at := func(s tags.Settings) float64 { return SituationOf(1, 10, "", s).Points.Of(1, 10, 30) }
	if !(at(short) < at(usual)-0.1 && at(bold) > at(short)+0.05) {
		t.Errorf("first and ten at the 30: %.2f, with short kicks %.2f, going for it %.2f", at(usual), at(short), at(bold))
	}
	if SituationOf(1, 10, "", short).Points != SituationOf(3, 2, "", short).Points {
		t.Error("the same settings make the table twice")
	}
	p := tags.Program{Code: "aspen", Name: "Aspen", Settings: usual}
	if err := p.Validate(); err != nil || p.Level != "high_school" {
		t.Errorf("without a level: %v, %q", err, p.Level)
	}
	p.Settings.FieldGoalYd, p.Settings.PuntNetYd = 15, 80
	if e := tags.As(p.Validate()); e == nil || len(e.Fields) != 2 || e.Fields[0].Field != "settings.field_goal_yd" {
		t.Errorf("a field goal of 15 yards: %v", e)
	}
}
