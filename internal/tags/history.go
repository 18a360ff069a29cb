package tags

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"time"

	"github.com/google/uuid"
)

// A PlayChange is one change of one play.
type PlayChange struct {
	ID       int64     `json:"-" db:"id"`
	ChangeID uuid.UUID `json:"change_id" db:"change_id"` // what was done together; undoing is by it
	PlayID   uuid.UUID `json:"play_id" db:"play_id"`
	At       time.Time `json:"at" db:"at"`
	Who      *string   `json:"who,omitempty" db:"who"`
	How      string    `json:"how" db:"how"`                 // edit, bulk edit, load, merge, undo
	Before   *Play     `json:"before,omitempty" db:"before"` // absent: it was made
	After    *Play     `json:"after,omitempty" db:"after"`   // absent: it was removed
	Fields   []string  `json:"fields" db:"-"`                // that differ, by name
}

// A CallVersion is what a call said from some time on.
type CallVersion struct {
	Version int64           `json:"version" db:"version"`
	At      time.Time       `json:"at" db:"at"`
	Who     *string         `json:"who,omitempty" db:"who"`
	Name    string          `json:"name" db:"name"`
	Active  bool            `json:"active" db:"active"`
	Body    json.RawMessage `json:"body" db:"body"`
}

// Name fills in the fields that differ.
func (c *PlayChange) Name() {
	c.Fields = []string{}
	if c.Before != nil && c.After != nil {
		for name := range c.Before.Changes(c.After) {
			c.Fields = append(c.Fields, name)
		}
		slices.Sort(c.Fields)
	}
}

// A Difference is a field before and after; nil is unknown.
type Difference struct {
	Before any `json:"before"`
	After  any `json:"after"`
}

// Changes returns the fields in which another state of the play differs.
func (p *Play) Changes(after *Play) map[string]Difference {
	out := map[string]Difference{}
	a, b := p.object(), after.object()
	for _, name := range playFields {
		if !reflect.DeepEqual(a[name], b[name]) {
			out[name] = Difference{a[name], b[name]}
		}
	}
	return out
}

// playFields are the fields of a play as the API names them, without those that
// are not anybody's to set.
var playFields = func() (out []string) {
	t := reflect.TypeFor[Play]()
	for i := range t.NumField() {
		name, _, _ := bytes.Cut([]byte(t.Field(i).Tag.Get("json")), []byte(","))
		if n := string(name); n != "" && n != "opponent_id" {
			out = append(out, n)
		}
	}
	return out
}()

// object is the play as the API shows it.
func (p *Play) object() map[string]any {
	raw, err := json.Marshal(p)
	var out map[string]any
	if err == nil {
		err = json.Unmarshal(raw, &out)
	}
	if err != nil {
		panic(fmt.Sprintf("tags: a play is not JSON: %v", err)) // only a programmer can make one that is not
	}
	return out
}

// A Patch is a change of some fields: JSON Merge Patch (RFC 7396), null is unknown.
type Patch map[string]json.RawMessage

// Apply returns the play with the patch applied, checked. What says which play it
// is cannot be patched.
func (x Patch) Apply(p Play) (Play, error) {
	var c check
	for _, name := range sortedKeys(x) {
		if !slices.Contains(playFields, name) || name == "game_id" || name == "number" {
			c.add("set."+name, "cannot be set for several plays")
		}
	}
	if len(x) == 0 {
		c.add("set", "is empty: name at least one field")
	}
	if len(c.fs) > 0 {
		return p, invalid("the change", c.fs)
	}
	fields := map[string]any{}
	for name, v := range p.object() {
		fields[name] = v
	}
	for name, v := range x {
		if string(v) == "null" {
			delete(fields, name)
		} else {
			fields[name] = v
		}
	}
	raw, err := json.Marshal(fields)
	if err != nil {
		return p, Fieldf(Invalid, "set", "%v", err)
	}
	out := Play{}
	if err := json.Unmarshal(raw, &out); err != nil {
		return p, Fieldf(Invalid, "set", "%v", err)
	}
	if out.Status == "" {
		out.Status = p.Status
	}
	if out.Routes == nil {
		out.Routes = []Route{}
	}
	return out, out.Validate()
}
