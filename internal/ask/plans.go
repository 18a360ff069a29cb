package ask

import (
	"context"
	"encoding/json"
	"time"

	"github.com/google/uuid"

	"overhang/internal/plan"
	"overhang/internal/tags"
)

// A PlanQuestion asks for a new plan.
type PlanQuestion struct {
	OpponentID uuid.UUID  `json:"opponent_id"`
	GameID     *uuid.UUID `json:"game_id"`
	Label      string     `json:"label"`
	CopyOf     *uuid.UUID `json:"copy_of"`
}

// Choices are what the coordinator means to call, by situation.
type Choices = []plan.ChoiceIn

// A PlanChange is what the coordinator changes in a plan.
type PlanChange struct {
	GameID  *uuid.UUID `json:"game_id"`
	Label   string     `json:"label"`
	Choices Choices    `json:"choices"`
}

// A PlanAnswer is a plan as it is read.
type PlanAnswer struct {
	tags.PlanHead
	MadeAt     time.Time     `json:"made_at"`
	Plays      int           `json:"plays"`
	Situations []PlannedCall `json:"situations"`
}

// A PlannedCall is a situation with what the two ways to call it give up.
type PlannedCall struct {
	plan.Situation
	Recommended *plan.Price `json:"recommended_price,omitempty"`
	Own         *plan.Price `json:"own_price,omitempty"`
}

// ReadPlan reads a stored plan.
func ReadPlan(p tags.Plan) (PlanAnswer, error) {
	content, err := plan.Read(p.Content)
	out := PlanAnswer{p.PlanHead, content.MadeAt, content.Plays, []PlannedCall{}}
	for i := range content.Situations {
		x := &content.Situations[i]
		out.Situations = append(out.Situations, PlannedCall{*x, x.Recommended(), x.Own()})
	}
	return out, err
}

// NewPlan is a plan to be stored: a copy of another, or a snapshot of now with nothing
// chosen.
func NewPlan(ctx context.Context, from Reads, p tags.Program, q PlanQuestion) (tags.Plan, error) {
	out := tags.Plan{PlanHead: tags.PlanHead{OpponentID: q.OpponentID, GameID: q.GameID, Label: q.Label}}
	var content plan.Content
	var err error
	if q.CopyOf != nil {
		content, err = copied(ctx, from, p.ID, q)
	} else {
		content, err = Snapshot(ctx, from, p, q.OpponentID)
	}
	if err == nil {
		out.Content, err = json.Marshal(content)
	}
	return out, err
}

// copied is the content of the plan to copy.
func copied(ctx context.Context, from Reads, program uuid.UUID, q PlanQuestion) (out plan.Content, err error) {
	of, err := from.Plan(ctx, program, *q.CopyOf)
	if e := tags.As(err); e != nil && e.Kind == tags.NotFound {
		return out, tags.Fieldf(tags.Invalid, "copy_of", "there is no plan %s", q.CopyOf)
	}
	if err != nil {
		return out, err
	}
	if of.OpponentID != q.OpponentID {
		return out, tags.Fieldf(tags.Invalid, "copy_of", "%s is against another opponent", of.Label)
	}
	return plan.Read(of.Content)
}

// An OpenPlan is a stored plan with its content, to be changed.
type OpenPlan struct {
	*tags.Plan
	content plan.Content
}

// Change changes a plan that is not stored yet.
func Change(p *tags.Plan, change func(*OpenPlan) error) error {
	open := &OpenPlan{Plan: p}
	var err error
	if open.content, err = plan.Read(p.Content); err != nil {
		return err
	}
	if err := change(open); err != nil {
		return err
	}
	p.Content, err = json.Marshal(open.content)
	return err
}

// Choose takes the coordinator's choices instead of those there are. Invalid: what is
// wrong with them, by "choices[n].field".
func (p *OpenPlan) Choose(in Choices) error { return p.content.Choose(in) }

// Refresh takes the snapshot anew and keeps the choices.
func (p *OpenPlan) Refresh(ctx context.Context, from Reads, program tags.Program) error {
	fresh, err := Snapshot(ctx, from, program, p.OpponentID)
	if err != nil {
		return err
	}
	p.content, err = p.content.Refreshed(fresh)
	return err
}

// A PlanEntered is a plan as a person sees it who is changing it.
type PlanEntered struct {
	Content plan.Content
	Choices Choices // those of the plan, or those entered
	Wrong   error   // with those entered
}

// Entered is a plan with what a person wrote that is not stored; nil: what is stored
// stands.
func Entered(p tags.Plan, entered Choices) (out PlanEntered, err error) {
	if out.Content, err = plan.Read(p.Content); err != nil {
		return out, err
	}
	out.Choices = entered
	if entered == nil {
		out.Choices = out.Content.Choices()
	} else {
		out.Wrong = out.Content.Choose(entered)
	}
	return out, nil
}
