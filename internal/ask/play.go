package ask

import (
	"context"
	"encoding/json"

	"overhang/internal/plan"
	"overhang/internal/stress"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// A PlayQuestion is one call and one picture, both written out.
type PlayQuestion struct {
	Call       json.RawMessage `json:"call"` // the name of a built-in one, or one in the engine's form
	Picture    string          `json:"picture"`
	SetName    string          `json:"set_name"`
	Family     string          `json:"family"`
	Concept    string          `json:"concept"` // of a run: how it is blocked
	Level      string          `json:"level"`
	PlaySide   string          `json:"play_side"`
	StrongSide string          `json:"strong_side"`
	Down       int             `json:"down"`
	DistanceYd int             `json:"distance_yd"`
	Hash       string          `json:"hash"`
	Timeline   bool            `json:"timeline"`
	// YardsToGoal is 0 where it is not told.
	YardsToGoal int `json:"yards_to_goal"`
	// PositionNames are the staff's own words for defenders.
	PositionNames []tags.PositionName `json:"position_names"`
}

// UsualPlay is what a question means that does not say otherwise.
func UsualPlay() PlayQuestion {
	return PlayQuestion{SetName: "2x2", Family: "dropback", Level: "high_school"}
}

// asked is a question that was read.
type asked struct {
	*PlayQuestion
	call  plan.Named
	level field.Level
	spec  picture.Spec
	terms plan.Terms
}

// read reads the question. Invalid: a call, level or picture there cannot be.
func (q *PlayQuestion) read(ctx context.Context) (*asked, error) {
	compiled, err := compile(ctx, q.Call)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil {
		return nil, unplayable(q.Call, err)
	}
	said := tags.Settings{PositionNames: q.PositionNames}
	compiled = compiled.Naming(said.Names())
	out := &asked{PlayQuestion: q, call: plan.Named{Name: compiled.Call.Name, Compiled: compiled}}
	if out.level, err = field.ParseLevel(q.Level); err != nil {
		return nil, tags.Fieldf(tags.Invalid, "level", "%v", err)
	}
	spot := plan.SpotOn(out.level, q.Hash)
	spot.YardsToGoal = float64(q.YardsToGoal)
	out.spec = picture.Spec{Set: q.SetName, Family: q.Family, Concept: q.Concept, Routes: q.Picture,
		Left: q.PlaySide == "left", Spot: spot}
	out.terms = plan.SituationOf(q.Down, q.DistanceYd, "", tags.DefaultSettings())
	if q.StrongSide == "back" {
		out.terms.Balance = -1
	}
	return out, nil
}

// alone is the repertoire of the question's picture by itself.
func (q *asked) alone() (*plan.Repertoire, error) {
	run := plan.NewRepertoire(q.level, q.terms)
	if err := run.Add(plan.Concept{SetName: q.SetName, Concept: q.Concept, Family: q.Family, Routes: q.Picture,
		Plays: 1},
		q.spec); err != nil {
		return nil, tags.Fieldf(tags.Invalid, "picture", "%v", err)
	}
	return run, nil
}

// ready reads the question and makes the repertoire of its picture.
func (q *PlayQuestion) ready(ctx context.Context) (*asked, *plan.Repertoire, error) {
	a, err := q.read(ctx)
	if err != nil {
		return nil, nil, err
	}
	run, err := a.alone()
	return a, run, err
}

// Played is a call that was set against a picture.
type Played struct {
	Result *stress.Result
	Told   []int        // the findings that are told, by their place in the result
	NeedYd float64      // that is a success; of a written-out play and of a bench
	Faults []tags.Fault // of the call's words and numbers
}

// Play sets the call of a question against its picture; all findings are told.
func Play(ctx context.Context, question PlayQuestion) (*Played, error) {
	q, run, err := question.ready(ctx)
	if err != nil {
		return nil, err
	}
	out := &Played{NeedYd: q.terms.ToGain.Need, Faults: faultsTold(q.call.Compiled.Call.Faults())}
	if out.Result, err = run.Play(ctx, q.call, 0); err != nil {
		return nil, err
	}
	for k := range out.Result.Findings {
		out.Told = append(out.Told, k)
	}
	return out, nil
}

// Finding is the told finding of a number, counted from 1: the first where none is
// named, -1 where none is told. Invalid: no such number.
func (p *Played) Finding(number string) (int, error) { return chosen(p.Told, number) }

// A PlayAnswer is what a call against a picture comes to.
type PlayAnswer struct {
	Call        string         `json:"call"`
	Picture     string         `json:"picture"`
	Stress      float64        `json:"stress"`
	NeedYd      float64        `json:"need_yd"`
	Findings    []plan.Finding `json:"findings"`
	Throws      []Throw        `json:"throws"`
	Warnings    []string       `json:"warnings"`
	Check       string         `json:"check,omitempty"`
	BestAnswer  []Best         `json:"best_answer"`
	Outnumbered []Outnumbered  `json:"outnumbered"`
	Faults      []tags.Fault   `json:"faults,omitempty"` // of the call's words and numbers
	RunFit      *RunFit        `json:"run_fit,omitempty"`
	Run         *plan.RunMeet  `json:"run,omitempty"` // of a run: what it meets
	// OtherReading is told where a man in the gray band may play it the other way; it
	// may be empty then.
	OtherReading *[]plan.Finding `json:"other_reading,omitempty"`
	Timeline     *Timeline       `json:"timeline,omitempty"`
	plan.GivesUp
}

// A Throw is one receiver's best moment.
type Throw struct {
	Receiver   string  `json:"receiver"`
	ReleaseS   float64 `json:"release_s"`
	Separation float64 `json:"separation_yd"`
	Depth      float64 `json:"depth_yd"`
	Complete   float64 `json:"complete"`
	Success    float64 `json:"success"`
	Share      float64 `json:"share"`
}

// A Best is what the same men could do at one moment, free to choose.
type Best struct {
	ReleaseS float64 `json:"release_s"`
	TaughtYd float64 `json:"taught_yd"`
	BestYd   float64 `json:"best_yd"`
}

// Outnumbered is more threats than men who owe them, for a while.
type Outnumbered struct {
	Threats []string `json:"threats"`
	Owners  []string `json:"owners"`
	FromS   float64  `json:"from_s"`
	ToS     float64  `json:"to_s"`
}

// A RunFit says who has which gap of a run, who forces, and who is to spare.
type RunFit struct {
	Gaps  []Gap    `json:"gaps"`
	Force []Gap    `json:"force"`
	Spare []string `json:"spare"`
}

// A Gap of a run, or an edge, and how late its man is.
type Gap struct {
	Gap    string  `json:"gap"`
	Man    string  `json:"man,omitempty"` // nobody when it is empty
	LateYd float64 `json:"late_yd"`
}

// Answer says what the call against the picture comes to; timeline asks where all men
// are as well.
func (p *Played) Answer(timeline bool) *PlayAnswer {
	r := p.Result
	out := &PlayAnswer{Call: r.Rep.Setup.Compiled.Call.Name, Picture: r.Rep.Picture.String(), Stress: r.Stress,
		NeedYd: p.NeedYd, Findings: p.findings(), GivesUp: plan.Given(r), Run: plan.Meet(r),
		Throws: []Throw{}, Warnings: append([]string{}, r.Warnings...), Check: r.Rep.Setup.Check, BestAnswer: []Best{},
		Outnumbered: outnumbered(r), Faults: p.Faults}
	for _, t := range r.Throws {
		out.Throws = append(out.Throws, Throw{r.Threat(t.Receiver), t.Release, t.Separation, t.Depth, t.Complete, t.Success,
			t.Share})
	}
	for _, a := range r.BestChoices(motion.Boost{}) {
		out.BestAnswer = append(out.BestAnswer, Best{a.Release, a.Taught, a.Best})
	}
	if duty.ShowsRun(r.Rep.Picture.Family) {
		out.RunFit = FitOf(r)
	}
	if r.Gray != nil {
		other := told(r, r.Gray)
		out.OtherReading = &other
	}
	if timeline {
		out.Timeline = p.timeline()
	}
	return out
}

// findings are those that are told.
func (p *Played) findings() []plan.Finding {
	out := []plan.Finding{}
	for _, k := range p.Told {
		out = append(out, plan.Tell(p.Result, &p.Result.Findings[k]))
	}
	return out
}

func told(r *stress.Result, fs []stress.Finding) []plan.Finding {
	out := []plan.Finding{}
	for i := range fs {
		out = append(out, plan.Tell(r, &fs[i]))
	}
	return out
}

func outnumbered(r *stress.Result) []Outnumbered {
	out := []Outnumbered{}
	for _, o := range r.Outnumbered {
		x := Outnumbered{Threats: []string{}, Owners: []string{}, FromS: o.From, ToS: o.To}
		for _, i := range o.Threats {
			x.Threats = append(x.Threats, r.Threat(i))
		}
		for _, j := range o.Men {
			x.Owners = append(x.Owners, r.Defender(j))
		}
		out = append(out, x)
	}
	return out
}

// FitOf says who fits the run of a result where.
func FitOf(r *stress.Result) *RunFit {
	f, name := r.RunFit(), func(j int) string {
		if j < 0 {
			return ""
		}
		return r.Defender(j)
	}
	out := &RunFit{Gaps: []Gap{}, Force: []Gap{}, Spare: []string{}}
	for n := range f.Gaps {
		out.Gaps = append(out.Gaps, Gap{f.Gaps[n].Name, name(f.Man[n]), f.Late[n]})
	}
	for n, side := range []string{"strong edge", "weak edge"} {
		out.Force = append(out.Force, Gap{side, name(f.Force[n]), f.ForceLate[n]})
	}
	for _, j := range f.Spare {
		out.Spare = append(out.Spare, r.Defender(j))
	}
	return out
}
