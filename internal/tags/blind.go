package tags

import (
	"encoding/json"
	"maps"

	"github.com/google/uuid"
)

// A BlindTag is what one analyst saw on a clip, tagged without looking at what
// others tagged. It is no play: nothing is counted from it until the clip is settled.
type BlindTag struct {
	Meta
	ClipID  uuid.UUID `json:"clip_id" db:"clip_id"`
	Analyst string    `json:"analyst" db:"analyst"`
	Tags    Seen      `json:"tags" db:"tags"`
}

// Seen is a play as one analyst saw it: without the game and the number, which
// the clip knows. Its JSON form is that of a play without them.
type Seen struct{ Play }

// MarshalJSON leaves out what a sighting does not say.
func (s Seen) MarshalJSON() ([]byte, error) {
	raw, err := json.Marshal(s.Play)
	if err != nil {
		return nil, err
	}
	var fields map[string]json.RawMessage
	if err := json.Unmarshal(raw, &fields); err != nil {
		return nil, err
	}
	maps.DeleteFunc(fields, func(name string, _ json.RawMessage) bool {
		switch name {
		case "id", "version", "updated_at", "game_id", "opponent_id", "number":
			return true
		}
		return false
	})
	return json.Marshal(fields)
}

// Validate checks a blind tag as a play is checked.
func (b *BlindTag) Validate() error {
	var c check
	c.line("analyst", b.Analyst, 80)
	if b.Tags.Status == "" {
		b.Tags.Status = "counted"
	}
	p := b.Tags.Play
	p.Number = 1 // the clip's affair
	if e := As(p.Validate()); e != nil {
		for _, f := range e.Fields {
			c.add("tags."+f.Field, "%s", f.Msg)
		}
	}
	return invalid("the blind tag", c.fs)
}
