package httpapi

import (
	"bytes"
	"encoding/json"
	"math"
	"net/http"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/drawing"
	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// question is one call and one picture, inline.
type question struct {
	Call       json.RawMessage `json:"call"`
	Picture    string          `json:"picture"`
	SetName    string          `json:"set_name"`
	Family     string          `json:"family"`
	Level      string          `json:"level"`
	PlaySide   string          `json:"play_side"`
	StrongSide string          `json:"strong_side"`
	Down       int             `json:"down"`
	DistanceYd int             `json:"distance_yd"`
	Hash       string          `json:"hash"`
	Timeline   bool            `json:"timeline"`
	// YardsToGoal is 0 where it is not told.
	YardsToGoal int `json:"yards_to_goal"`
}

// throwOut is the wire form of one receiver's best moment.
type throwOut struct {
	Receiver   string  `json:"receiver"`
	ReleaseS   float64 `json:"release_s"`
	Separation float64 `json:"separation_yd"`
	Depth      float64 `json:"depth_yd"`
	Complete   float64 `json:"complete"`
	Success    float64 `json:"success"`
	Share      float64 `json:"share"`
}

func (s *server) stress(c echo.Context) error {
	q, r, err := played(c)
	if err != nil {
		return err
	}
	out := answerOf(r, q.set.Situation)
	if q.Timeline {
		out["timeline"] = timelineOf(r)
	}
	return c.JSON(http.StatusOK, out)
}

// An inline is a question that was read.
type inline struct {
	question
	call  plan.Named
	level field.Level
	spec  picture.Spec
	set   stress.Setting
}

// asked reads the question of a body.
func asked(c echo.Context) (*inline, error) {
	q := &inline{question: question{SetName: "2x2", Family: "dropback", Level: "high_school"}}
	if err := json.NewDecoder(c.Request().Body).Decode(&q.question); err != nil {
		return nil, echo.NewHTTPError(http.StatusBadRequest, "the body is not valid JSON: "+err.Error())
	}
	compiled, err := compile(q.Call)
	if err != nil {
		return nil, tags.Fieldf(tags.Invalid, "call", "%v", err)
	}
	q.call = plan.Named{Name: compiled.Call.Name, Plan: compiled}
	if q.level, err = field.ParseLevel(q.Level); err != nil {
		return nil, tags.Fieldf(tags.Invalid, "level", "%v", err)
	}
	spot := plan.SpotOn(q.level, q.Hash)
	spot.YardsToGoal = float64(q.YardsToGoal)
	q.spec = picture.Spec{Set: q.SetName, Family: q.Family, Routes: q.Picture, Left: q.PlaySide == "left", Spot: spot}
	q.set = stress.Usual
	q.set.Situation = plan.SituationOf(q.Down, q.DistanceYd, "", tags.DefaultSettings())
	if q.StrongSide == "back" {
		q.set.Balance = -1
	}
	return q, nil
}

// alone is the repertoire of the question's picture by itself.
func (q *inline) alone() (*plan.Repertoire, error) {
	run := plan.NewRepertoire(q.level, q.set)
	if err := run.Add(plan.Concept{SetName: q.SetName, Family: q.Family, Routes: q.Picture, Plays: 1}, q.spec); err != nil {
		return nil, tags.Fieldf(tags.Invalid, "picture", "%v", err)
	}
	return run, nil
}

// played reads the question of a body and plays it.
func played(c echo.Context) (*inline, *stress.Result, error) {
	q, err := asked(c)
	if err != nil {
		return nil, nil, err
	}
	run, err := q.alone()
	if err != nil {
		return nil, nil, err
	}
	r, err := run.Play(c.Request().Context(), q.call, 0)
	return q, r, err
}

// timelineOf is where all twenty-two are ten times a second, x positive to the
// offence's right, y downfield, in yards.
func timelineOf(r *stress.Result) map[string]any {
	var men []string
	for i := range r.Game.Picture.Receivers {
		men = append(men, r.Game.Picture.Receivers[i].Name)
	}
	men = append(men, "passer", "left tackle", "left guard", "center", "right guard", "right tackle")
	var defence []string
	for j := range r.Game.Setup.Men {
		defence = append(defence, r.Defender(j))
	}
	frames := []map[string]any{}
	xy := func(ps []field.Point) [][2]float64 {
		out := make([][2]float64, len(ps))
		for i, p := range ps {
			out[i] = [2]float64{math.Round(p.X*100) / 100, math.Round(p.Y*100) / 100}
		}
		return out
	}
	for _, f := range r.Game.Timeline() {
		frames = append(frames, map[string]any{"t_s": math.Round(f.T*10) / 10, "offence": xy(f.Offence), "defence": xy(f.Defence)})
	}
	return map[string]any{"offence": men, "defence": defence, "frames": frames}
}

func answerOf(r *stress.Result, sit stress.Situation) map[string]any {
	tell := func(fs []stress.Finding) []plan.Finding {
		out := []plan.Finding{}
		for i := range fs {
			out = append(out, plan.Tell(r, &fs[i]))
		}
		return out
	}
	throws := []throwOut{}
	for _, t := range r.Throws {
		throws = append(throws, throwOut{r.Threat(t.Receiver), t.Release, t.Separation, t.Depth, t.Complete, t.Success, t.Share})
	}
	out := map[string]any{"call": r.Game.Setup.Plan.Call.Name, "picture": r.Game.Picture.String(), "stress": r.Stress, "need_yd": sit.Need,
		"findings": tell(r.Findings), "throws": throws, "warnings": append([]string{}, r.Warnings...)}
	if r.Game.Setup.Check != "" {
		out["check"] = r.Game.Setup.Check
	}
	best := []map[string]float64{}
	for _, a := range r.BestAnswers(motion.Boost{}) {
		best = append(best, map[string]float64{"release_s": a.Release, "taught_yd": a.Taught, "best_yd": a.Best})
	}
	out["best_answer"] = best
	outnumbered := []map[string]any{}
	for _, o := range r.Outnumbered {
		threats, owners := []string{}, []string{}
		for _, i := range o.Threats {
			threats = append(threats, r.Threat(i))
		}
		for _, j := range o.Men {
			owners = append(owners, r.Defender(j))
		}
		outnumbered = append(outnumbered, map[string]any{"threats": threats, "owners": owners, "from_s": o.From, "to_s": o.To})
	}
	out["outnumbered"] = outnumbered
	if duty.ShowsRun(r.Game.Picture.Family) {
		out["run_fit"] = fitOf(r)
	}
	if r.Grey != nil {
		out["other_reading"] = tell(r.Grey)
	}
	return out
}

// A fitOut is the wire form of one gap.
type fitOut struct {
	Gap    string  `json:"gap"`
	Man    string  `json:"man,omitempty"`
	LateYd float64 `json:"late_yd"`
}

// fitOf says who has which gap of a run, who forces, and who is to spare.
func fitOf(r *stress.Result) map[string]any {
	f, name := r.RunFit(), func(j int) string {
		if j < 0 {
			return ""
		}
		return r.Defender(j)
	}
	gaps, force, spare := []fitOut{}, []fitOut{}, []string{}
	for n := range f.Gaps {
		gaps = append(gaps, fitOut{f.Gaps[n].Name, name(f.Man[n]), f.Late[n]})
	}
	for n, side := range []string{"strong edge", "weak edge"} {
		force = append(force, fitOut{side, name(f.Force[n]), f.ForceLate[n]})
	}
	for _, j := range f.Spare {
		spare = append(spare, r.Defender(j))
	}
	return map[string]any{"gaps": gaps, "force": force, "spare": spare}
}

// compile reads a call: the name of a built-in one, or one in the engine's form.
func compile(raw json.RawMessage) (*call.Plan, error) {
	var name string
	if json.Unmarshal(raw, &name) == nil {
		return call.Lookup(name)
	}
	c, err := call.Decode(bytes.NewReader(raw))
	if err != nil {
		return nil, err
	}
	return call.Compile(c)
}

func (s *server) book(c echo.Context) error {
	out := []*call.Call{}
	for _, p := range call.Book() {
		out = append(out, p.Call)
	}
	return c.JSON(http.StatusOK, map[string]any{"items": out})
}

// opponent finds the opponent of the path, by id or by code.
func (s *server) opponent(c echo.Context) (tags.Opponent, error) {
	ctx, p, word := c.Request().Context(), programOf(c), c.Param("opponent")
	if id, err := uuid.Parse(word); err == nil {
		return s.store.Opponents().Get(ctx, p.ID, id)
	}
	return s.store.OpponentByCode(ctx, p.ID, word)
}

// A setting is what a board is played under.
type setting struct {
	calls     []plan.Named // the program's active ones
	level     field.Level
	situation stress.Situation
}

// setting finds what a board under filters is played under.
func (s *server) setting(c echo.Context, f map[string][]string) (out setting, err error) {
	in := ask.Scope{Program: programOf(c), Filters: f}
	x, err := in.Setting(c.Request().Context(), s.store)
	return setting{x.Calls, x.Level, x.Situation}, err
}

func (s *server) stressBoard(c echo.Context) error {
	o, err := s.opponent(c)
	if err != nil {
		return err
	}
	b, err := ask.Board(c.Request().Context(), s.store, ask.Scope{Program: programOf(c), Opponent: o, Filters: filters(c)})
	if err != nil {
		return err
	}
	if kind := drawingKind(c, ""); kind != "" {
		heat := drawing.Board(&b, "Our calls against "+o.Name)
		return drawn(c, heat.List(widthOf(c)), kind)
	}
	return c.JSON(http.StatusOK, b)
}
