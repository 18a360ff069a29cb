package filmroom

import (
	"encoding/json"
	"strings"

	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// Shapes is what the page needs to draw a play while it is tagged and to propose
// the usual routes of a concept: of each word of the program the set or route it
// means to the engine, and the routes of the built-in concepts.
type Shapes struct {
	Routes map[string]RouteShape `json:"routes"`
	Sets   map[string]SetShape   `json:"sets"`
	Usual  []Usual               `json:"usual"`
}

// A RouteShape is a route from the snap on: the usual depth of its break in yards,
// then legs of direction (degrees, 90 to his own sideline) and yards.
type RouteShape struct {
	Depth field.Yards      `json:"depth"`
	Out   field.Yards      `json:"out"` // width gained before the break, yards
	Legs  [][2]field.Yards `json:"legs"`
	Block bool             `json:"block,omitempty"`
	Over  bool             `json:"over,omitempty"` // climbs across to the far side
}

// A SetShape is how far from the ball the receivers of each side stand, from the
// sideline in; a tight end is the number of the one on the line, 0 for none.
type SetShape struct {
	Play         []field.Yards `json:"play"`
	Back         []field.Yards `json:"back"`
	PlayTightEnd int           `json:"play_tight_end"`
	BackTightEnd int           `json:"back_tight_end"`
}

// A Usual is a concept with its routes in the short notation of pictures.
type Usual struct {
	Set     string `json:"set"`
	Concept string `json:"concept"`
	Routes  string `json:"routes"`
}

// NewShapes gathers the shapes of a vocabulary; a word the engine has no shape for
// is left out, and the page draws it by its direction.
func NewShapes(ws []tags.Word) *Shapes {
	s := &Shapes{Routes: map[string]RouteShape{}, Sets: map[string]SetShape{}}
	for i := range ws {
		switch ws[i].Field {
		case "route":
			if r, err := picture.LookupRoute(ws[i].Word); err == nil {
				s.Routes[strings.ToLower(ws[i].Word)] = shapeOf(r)
			}
		case "set_name":
			if t, err := picture.LookupSet(ws[i].Word); err == nil {
				s.Sets[strings.ToLower(ws[i].Word)] = SetShape{t.Play, t.Back, t.PlayAttached, t.BackAttached}
			}
		}
	}
	for _, e := range picture.Library() {
		s.Usual = append(s.Usual, Usual{e.Set, e.Concept, e.Routes})
		if e.Also != "" {
			s.Usual = append(s.Usual, Usual{e.Set, e.Also, e.Routes})
		}
	}
	return s
}

func shapeOf(r *picture.Route) RouteShape {
	out := RouteShape{Depth: r.Depth, Out: r.StemOut - r.StemIn + r.DriftOut, Block: r.Block, Over: r.Over,
		Legs: [][2]field.Yards{}}
	for _, l := range r.Legs {
		out.Legs = append(out.Legs, [2]field.Yards{field.Yards(l.Dir), l.Len})
	}
	return out
}

// JSON is the shapes as the page's script reads them.
func (s *Shapes) JSON() (string, error) {
	b, err := json.Marshal(s)
	return string(b), err
}
