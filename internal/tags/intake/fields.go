package intake

import (
	"fmt"
	"strconv"

	"overhang/internal/tags"
)

// setters put a text value into a play's field, by field name.
var setters = map[string]func(*tags.Play, string) error{
	"number":         func(p *tags.Play, v string) error { return whole(v, func(n int) { p.Number = n }) },
	"status":         func(p *tags.Play, v string) error { p.Status = v; return nil },
	"quarter":        number(func(p *tags.Play) **int { return &p.Quarter }),
	"clock_s":        number(func(p *tags.Play) **int { return &p.ClockS }),
	"down":           number(func(p *tags.Play) **int { return &p.Down }),
	"distance_yd":    number(func(p *tags.Play) **int { return &p.DistanceYd }),
	"yards_to_goal":  number(func(p *tags.Play) **int { return &p.YardsToGoal }),
	"score_margin":   number(func(p *tags.Play) **int { return &p.ScoreMargin }),
	"gain_yd":        number(func(p *tags.Play) **int { return &p.GainYd }),
	"rushers":        number(func(p *tags.Play) **int { return &p.Rushers }),
	"blitzers":       number(func(p *tags.Play) **int { return &p.Blitzers }),
	"hash":           text(func(p *tags.Play) **string { return &p.Hash }),
	"personnel":      text(func(p *tags.Play) **string { return &p.Personnel }),
	"set_name":       text(func(p *tags.Play) **string { return &p.SetName }),
	"strength":       text(func(p *tags.Play) **string { return &p.Strength }),
	"backfield":      text(func(p *tags.Play) **string { return &p.Backfield }),
	"motion":         text(func(p *tags.Play) **string { return &p.Motion }),
	"called":         text(func(p *tags.Play) **string { return &p.Called }),
	"family":         text(func(p *tags.Play) **string { return &p.Family }),
	"concept":        text(func(p *tags.Play) **string { return &p.Concept }),
	"play_side":      text(func(p *tags.Play) **string { return &p.PlaySide }),
	"result":         text(func(p *tags.Play) **string { return &p.Result }),
	"shell":          text(func(p *tags.Play) **string { return &p.Shell }),
	"coverage":       text(func(p *tags.Play) **string { return &p.Coverage }),
	"target_route":   text(func(p *tags.Play) **string { return &p.TargetRoute }),
	"coverage_kind":  text(func(p *tags.Play) **string { return &p.CoverageOf }),
	"throw_depth_yd": number(func(p *tags.Play) **int { return &p.ThrowDepth }),
	"throw_s":        func(p *tags.Play, v string) error { return decimal(v, func(f float64) { p.ThrowS = &f }) },
	"play_fake":      optionalTruth(func(p *tags.Play) **bool { return &p.PlayFake }),
	"run_option":     optionalTruth(func(p *tags.Play) **bool { return &p.RunOption }),
	"pressured":      optionalTruth(func(p *tags.Play) **bool { return &p.Pressured }),
	"since_last":     text(func(p *tags.Play) **string { return &p.SinceLast }),
	"note":           text(func(p *tags.Play) **string { return &p.Note }),
	"touchdown":      func(p *tags.Play, v string) error { return truth(v, func(b bool) { p.Touchdown = b }) },
}

var routeSetters = map[string]func(*tags.Route, string) error{
	"side":            func(r *tags.Route, v string) error { r.Side = v; return nil },
	"number":          func(r *tags.Route, v string) error { return whole(v, func(n int) { r.Number = n }) },
	"eligible":        func(r *tags.Route, v string) error { r.Eligible = v; return nil },
	"route":           func(r *tags.Route, v string) error { r.Route = v; return nil },
	"break_depth_yd":  func(r *tags.Route, v string) error { return decimal(v, func(d float64) { r.BreakDepthYd = &d }) },
	"break_direction": func(r *tags.Route, v string) error { r.BreakDirection = &v; return nil },
	"targeted":        func(r *tags.Route, v string) error { return truth(v, func(b bool) { r.Targeted = b }) },
}

func text(at func(*tags.Play) **string) func(*tags.Play, string) error {
	return func(p *tags.Play, v string) error { *at(p) = &v; return nil }
}

func number(at func(*tags.Play) **int) func(*tags.Play, string) error {
	return func(p *tags.Play, v string) error { return whole(v, func(n int) { *at(p) = &n }) }
}

func optionalTruth(at func(*tags.Play) **bool) func(*tags.Play, string) error {
	return func(p *tags.Play, v string) error { return truth(v, func(b bool) { *at(p) = &b }) }
}

func decimal(v string, set func(float64)) error {
	f, err := strconv.ParseFloat(v, 64)
	if err != nil {
		return fmt.Errorf("%q is not a number", v)
	}
	set(f)
	return nil
}

// whole reads a whole number; "7.0", as spreadsheets write it, is one.
func whole(v string, set func(int)) error {
	f, err := strconv.ParseFloat(v, 64)
	if err != nil || f != float64(int(f)) {
		return fmt.Errorf("%q is not a whole number", v)
	}
	set(int(f))
	return nil
}

func truth(v string, set func(bool)) error {
	switch v {
	case "1", "true", "yes", "TRUE":
		set(true)
	case "0", "false", "no", "FALSE":
		set(false)
	default:
		return fmt.Errorf("%q is neither yes nor no", v)
	}
	return nil
}
