package pages

import (
	"context"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/door"
	"overhang/internal/study"
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// Studies is the page of the questions that need more than counting: what gives a play
// away, what changed, what to expect where few plays are, who is like them, and how far
// taggers agree. Each is a section with the same question as a file and as a request.
type Studies struct {
	Opponent  tags.Opponent
	Base      string
	Of        string // the dimension of outcomes
	Outcomes  []string
	Tells     *ask.TellsAnswer
	Trend     *ask.TrendAnswer
	Estimates *ask.Estimates
	Likeness  *ask.Likeness
	Agreement study.Agreement
	program   string
}

// outcomes are what can be asked about, in the order a staff asks.
var outcomes = []string{"called", "concept", "family", "play_side", "play_to", "personnel", "set_name", "motion",
	"target_eligible", "target_area"}

// studiesPage answers the questions of its address.
func (s *Site) studiesPage(c echo.Context) error {
	o, err := s.desk.Opponent(c)
	if err != nil {
		return err
	}
	sh, err := s.shell(c, "Tells and more: "+o.Name, "tendencies", "")
	if err != nil {
		return err
	}
	page := &Studies{Opponent: o, Base: sh.Base(), Of: "called", Outcomes: outcomes, program: sh.Home()}
	if slices.Contains(outcomes, c.QueryParam("of")) {
		page.Of = c.QueryParam("of")
	}
	return s.showLate(c, sh, "what gives them away", "studies.html", func() (any, error) {
		return page, s.study(c.Request().Context(), door.ProgramOf(c), page)
	})
}

// study asks the questions of the page.
func (s *Site) study(ctx context.Context, p tags.Program, page *Studies) (err error) {
	o := page.Opponent
	in := ask.Scope{Program: p, Opponent: o, Filters: map[string][]string{"opponent": {o.Code}}}
	if page.Tells, err = ask.Tells(ctx, s.store, in, ask.TellsQuestion{Of: []string{page.Of},
		FalseShare: ask.FalseShare}); err != nil {
		return err
	}
	if page.Trend, err = ask.Trend(ctx, s.store, in, ask.TrendQuestion{Of: page.Of, Recent: 3, Earlier: ask.AllGames,
		FalseShare: ask.FalseShare}); err != nil {
		return err
	}
	if page.Estimates, err = ask.Estimate(ctx, s.store, in, page.Of, estimated); err != nil {
		return err
	}
	all := ask.Scope{Program: p, Opponent: o, Filters: map[string][]string{}}
	page.Likeness, err = ask.Likest(ctx, s.store, all, page.Of, estimated)
	if e := tags.As(err); err != nil && (e == nil || e.Kind != tags.NotFound) {
		return err
	}
	page.Agreement, err = ask.Agreement(ctx, s.store, p.ID, [16]byte{})
	return err
}

// estimated are the dimensions of a situation, the coarsest first.
var estimated = []string{"down", "distance_band"}

// Asked is a section's question to the API; format csv, xlsx or json.
func (p *Studies) Asked(section, format string) string {
	q := url.Values{"format": {format}, "of": {p.Of}}
	at := "/v1" + p.program + "/" + section
	switch section {
	case "likeness":
		at = "/v1" + p.Base + "/likeness"
	case "agreement":
		q.Del("of")
	case "estimates":
		q.Set("chain", strings.Join(estimated, ","))
		fallthrough
	default:
		q.Set("opponent", p.Opponent.Code)
	}
	return at + "?" + q.Encode()
}

// TellSnaps is where the snaps of a tell are listed.
func (p *Studies) TellSnaps(t study.Tell) string {
	return p.Base + "/snaps?" + url.Values{t.Dimension: {t.Value}}.Encode()
}

// OutcomeSnaps is where the snaps of an outcome are listed.
func (p *Studies) OutcomeSnaps(outcome string) string {
	return p.Base + "/snaps?" + url.Values{p.Of: {outcome}}.Encode()
}

// SituationSnaps is where the snaps of an estimated situation are listed.
func (p *Studies) SituationSnaps(e study.Estimate) string {
	q := url.Values{}
	for d, v := range e.Keys {
		q.Set(d, v)
	}
	return p.Base + "/snaps?" + q.Encode()
}

// Situation says an estimated situation.
func (p *Studies) Situation(e study.Estimate) string {
	var out []string
	for _, d := range p.Estimates.Chain {
		v := e.Keys[d]
		out = append(out, Value(d, &v))
	}
	return strings.Join(out, " and ")
}

// Likely are the outcomes of an estimate that are worth telling.
func (p *Studies) Likely(e study.Estimate) []study.Outcome {
	return e.Outcomes[:min(3, len(e.Outcomes))]
}

// Own says how much of an estimate comes from the situation's own plays.
func (p *Studies) Own(e study.Estimate) string { return Percent(e.From[0].Weight) }

// Standing counts what stands beyond chance.
func (p *Studies) Standing() string {
	n := 0
	for i := range p.Tells.Tells.Tells {
		if t := &p.Tells.Tells.Tells[i]; t.Stands && readable(t) {
			n++
		}
	}
	return fmt.Sprintf("%s of %d questions", Many(n, "tell"), p.Tells.Asked)
}

// Shown are the tells to show: those that stand, then the nearest, forty at most.
func (p *Studies) Shown() []study.Tell {
	var all []study.Tell
	for i := range p.Tells.Tells.Tells {
		if t := &p.Tells.Tells.Tells[i]; len(all) < 40 && readable(t) {
			all = append(all, *t)
		}
	}
	return all
}

// readable reports whether a tell is about something that has a name: what is thin is counted
// together, and nobody can look for that.
func readable(t *study.Tell) bool {
	return t.Value != tendency.Pooled && t.Outcome != tendency.Pooled
}
