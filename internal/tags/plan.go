package tags

import (
	"bytes"
	"encoding/json"
	"time"

	"github.com/google/uuid"
)

// A PlanHead is a game plan without what it says: what a list shows.
type PlanHead struct {
	Meta
	OpponentID uuid.UUID  `json:"opponent_id" db:"opponent_id"`
	GameID     *uuid.UUID `json:"game_id,omitempty" db:"game_id"` // of the opponent, where the plan is for one
	Label      string     `json:"label" db:"label"`
	LockedAt   *time.Time `json:"locked_at,omitempty" db:"locked_at"` // from then on it never changes
	LockedBy   *string    `json:"locked_by,omitempty" db:"locked_by"` // nil where nobody had to say who he is
}

// A Plan is a game plan against an opponent: what was recommended and predicted in
// each situation when it was made, and what the coordinator chose. The content is
// the JSON form of plan.Content (internal/plan), which reads and checks it.
type Plan struct {
	PlanHead
	Content json.RawMessage `json:"content" db:"content"`
}

// Validate checks the head.
func (p *PlanHead) Validate() error {
	var c check
	p.check(&c)
	return invalid("the plan", c.fs)
}

func (p *PlanHead) check(c *check) {
	c.line("label", p.Label, 120)
	c.optionalLine("locked_by", p.LockedBy, 200)
	if p.LockedBy != nil && p.LockedAt == nil {
		c.add("locked_by", "nobody locked a plan that is not locked")
	}
}

// Validate checks the head, and that the content is an object.
func (p *Plan) Validate() error {
	var c check
	p.check(&c)
	if raw := bytes.TrimSpace(p.Content); len(raw) == 0 || raw[0] != '{' || !json.Valid(raw) {
		c.add("content", "is no JSON object")
	}
	return invalid("the plan", c.fs)
}
