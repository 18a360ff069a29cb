package ask

import (
	"context"
	"encoding/json"
	"slices"

	"overhang/internal/plan"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
)

// A TrialQuestion is a cell of the board as somebody would have it: the call changed, or
// the depth of a break.
type TrialQuestion struct {
	Call       json.RawMessage `json:"call"` // the name of a call of the program, or one in the engine's form
	Concept    string          `json:"concept"`
	SetName    string          `json:"set_name"`
	Family     string          `json:"family"`
	Picture    string          `json:"picture"` // instead of what they run; "": as they run it
	Timeline   bool            `json:"timeline"`
	Everything bool            `json:"everything"` // also against every other concept they run
}

// A Trial is what becomes of a cell, and of everything else they run.
type Trial struct {
	Play       *PlayAnswer `json:"play"`
	Everything []Tried     `json:"everything"`
	// Over everything they run, by plays; nil where that was not asked.
	AllGivesUp *plan.GivesUp `json:"all,omitempty"`
}

// Tried is the call against one concept they run.
type Tried struct {
	Concept string  `json:"concept"`
	SetName string  `json:"set_name"`
	Family  string  `json:"family"`
	Plays   int     `json:"plays"`
	Assumed int     `json:"assumed_plays,omitempty"` // of these, with routes or a set that nobody saw
	WorstYd float64 `json:"worst_yd"`                // of the largest finding told, 0 for none
	Told    string  `json:"sentence,omitempty"`
	TwoWay  bool    `json:"two_way"`
	plan.GivesUp
}

// Try plays a changed call, or a changed picture, as the board would; nothing is saved.
// NotFound: no such concept with routes in the scope, no such call.
func Try(ctx context.Context, from Reads, in Scope, q TrialQuestion) (*Trial, error) {
	named, err := in.named(ctx, from, q.Call)
	if err != nil {
		return nil, err
	}
	all, err := in.concepts(ctx, from, in.Filters)
	if err != nil {
		return nil, err
	}
	at := slices.IndexFunc(all, func(k plan.Concept) bool {
		return k.Concept == q.Concept && k.SetName == q.SetName && k.Family == q.Family
	})
	if at < 0 {
		return nil, tags.Errorf(tags.NotFound, "no counted play of %s with the concept %q from %q"+
			" and routes in this situation", in.Opponent.Name, q.Concept, q.SetName)
	}
	here := all[at]
	if q.Picture != "" {
		here.Routes = q.Picture
	}
	level, err := field.ParseLevel(in.Program.Level)
	if err != nil {
		return nil, err
	}
	terms := situationOf(in.Filters, in.Program.Settings)
	r, err := plan.Play(ctx, named, &here, level, terms)
	if e := tags.As(err); e != nil && e.Kind == tags.Conflict {
		return nil, tags.Fieldf(tags.Invalid, "picture", "%s", e.Msg)
	}
	if err != nil {
		return nil, err
	}
	out := &Trial{Everything: []Tried{}}
	played := Played{Result: r, Told: plan.Told(r), NeedYd: terms.ToGain.Need}
	out.Play = played.Answer(q.Timeline)
	if q.Everything {
		err = out.everything(ctx, named, all, level, terms)
	}
	return out, err
}

// everything is the board of the call alone.
func (t *Trial) everything(
	ctx context.Context, n plan.Named, all []plan.Concept, level field.Level, terms plan.Terms,
) error {
	b, err := plan.Build(ctx, []plan.Named{n}, all, 0, level, terms)
	if err != nil {
		return err
	}
	for _, c := range b.Rows[0].Cells {
		k := &b.Concepts[c.Concept]
		x := Tried{Concept: k.Concept, SetName: k.SetName, Family: k.Family, Plays: k.Plays, Assumed: k.Assumed,
			GivesUp: c.GivesUp}
		if len(c.Findings) > 0 {
			f := &c.Findings[0]
			x.WorstYd, x.Told, x.TwoWay = f.ShortYd, f.Sentence, f.TwoWay
		}
		if c.Run != nil {
			x.Told = c.Run.Says
		}
		t.Everything = append(t.Everything, x)
	}
	t.AllGivesUp = &b.Rows[0].GivesUp
	return nil
}

// named is the call of a question: one of the program's by its name, or one written out.
func (s *Scope) named(ctx context.Context, from Reads, raw json.RawMessage) (plan.Named, error) {
	var name string
	if json.Unmarshal(raw, &name) != nil {
		c, err := compile(ctx, raw)
		if ctx.Err() != nil {
			return plan.Named{}, ctx.Err()
		}
		if err != nil {
			return plan.Named{}, tags.Fieldf(tags.Invalid, "call", "%v", err)
		}
		return s.ours(c.Call.Name, c), nil
	}
	return s.stored(ctx, from, name)
}

// stored is a call of the call book, compiled.
func (s *Scope) stored(ctx context.Context, from Reads, name string) (plan.Named, error) {
	stored, err := from.CallsOf(ctx, s.Program.ID, false)
	if err != nil {
		return plan.Named{}, err
	}
	i := slices.IndexFunc(stored, func(c tags.Call) bool { return c.Name == name })
	if i < 0 {
		return plan.Named{}, tags.Errorf(tags.NotFound, "no call %q", name)
	}
	var c *call.Compiled
	if c, err = compile(ctx, stored[i].Body); ctx.Err() != nil {
		return plan.Named{}, ctx.Err()
	} else if err != nil {
		return plan.Named{}, tags.Errorf(tags.Conflict, "the call %q cannot be played: %v", name, err)
	}
	return s.ours(name, c), nil
}
