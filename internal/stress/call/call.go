// Package call holds what a coordinator teaches: where each defender lines up,
// whom he reads, and what he does when. The JSON form is described by
// schema.json beside this file; the built-in book is the folder book.
//
// A rule reads aloud: when "#2 vertical" then "man #2". Numbers are own-side;
// "far #2" is the other side's. Offsets are positive toward the defender's own
// sideline. Depth thresholds belong to the call, and a rule may override them
// ("#1 in before 5"). "#1 crosses #2" holds once the two have changed places, neither
// past the threshold: who trades keys on it still calls them by their first numbers.
package call

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"

	"overhang/internal/stress/field"
)

// A Call is one defensive call as it is taught.
type Call struct {
	Name      string          `json:"name"`
	Title     string          `json:"title,omitempty"`
	Source    string          `json:"source,omitempty"`
	Under     field.Yards     `json:"under_yd,omitempty"`
	Vertical  field.Yards     `json:"vertical_yd,omitempty"`
	Zones     map[string]Zone `json:"zones,omitempty"` // beside or instead of the standard zones
	Defenders []Defender      `json:"defenders"`
	Checks    []Check         `json:"checks,omitempty"`
	Gives     []Gift          `json:"gives,omitempty"` // throws it gives up and knows it
	names     Names           // how the staff that plays it says its men; see Naming
	paces     Paces           // who of them is half a step off his man; see Pacing
}

// A Defender is one man's assignment. Side "both" makes a strong and a weak
// copy; the strong side is the one with more receivers.
type Defender struct {
	Name  string   `json:"name"`
	Side  string   `json:"side"` // strong, weak, both
	Roles []string `json:"roles,omitempty"`
	Body  string   `json:"body,omitempty"` // back, linebacker or lineman
	Align []Align  `json:"align"`
	Keys  []string `json:"keys,omitempty"`
	Fit   string   `json:"fit,omitempty"` // run role: gap, plug, alley, force, cutback
	Rules []Rule   `json:"rules"`
}

// An Align is where he lines up; the first whose condition holds counts.
type Align struct {
	When      string      `json:"when,omitempty"`
	On        string      `json:"on"` // #1..#4, apex, end man, back, hash, ball
	Offset    field.Yards `json:"offset_yd"`
	Depth     field.Yards `json:"depth_yd"`
	Technique string      `json:"technique,omitempty"` // off (usual), press, trail
	Missing   field.Yards `json:"if_missing_yd,omitempty"`
}

// A Rule is one line of what he is taught; the first whose condition holds counts.
type Rule struct {
	When string `json:"when"`
	Then string `json:"then"`
}

// A Check replaces defenders of the call against some sets.
type Check struct {
	Name      string     `json:"name"`
	When      string     `json:"when"` // judged from the strong side
	Defenders []Defender `json:"defenders"`
}

// A Zone is a piece of ground in own-side terms: x grows toward the defender's
// sideline. He owes catches inside the rectangle; he drops to the landmark, and
// no deeper than the sink depth when two threats pull him.
type Zone struct {
	X0 field.Yards `json:"x0_yd"`
	X1 field.Yards `json:"x1_yd"`
	Y0 field.Yards `json:"y0_yd"`
	Y1 field.Yards `json:"y1_yd"`
	X  field.Yards `json:"x_yd"`
	Y  field.Yards `json:"y_yd"`
	// Sink is how deep he may be carried; 0 for a deep zone: as deep as the deepest.
	Sink field.Yards `json:"sink_yd,omitempty"`
}

// Decode reads the JSON form. Unknown members are refused by name, and a call that is
// larger than anything that is taught.
func Decode(r io.Reader) (*Call, error) {
	dec := json.NewDecoder(r)
	dec.DisallowUnknownFields()
	var c Call
	if err := dec.Decode(&c); err != nil {
		return nil, fmt.Errorf("call: %w", err)
	}
	if err := c.bounded(); err != nil {
		return nil, err
	}
	return &c, nil
}

// Encode writes the JSON form, one member a line, as the book's files have it.
func (c *Call) Encode() ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	err := enc.Encode(c)
	return b.Bytes(), err
}
