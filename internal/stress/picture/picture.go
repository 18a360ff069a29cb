// Package picture holds what the offense shows: a set, five eligibles with a
// route or a block each, the family of the play, and the paths over time that
// follow from them. Sets and routes are data files in this folder.
//
// The short notation is read and written both ways:
//
//	P1 hitch@6, P2 corner@12, B1 go, back flat@2 play side
//
// P is the side the play is run to, B the other; the number counts from the
// sideline in; @ is the depth of the first break in yards.
package picture

import (
	"fmt"
	"strconv"
	"strings"

	"overhang/internal/stress/field"
)

// A Family says what the backfield shows, and so when the ball can be thrown.
type Family int

const (
	Dropback   Family = iota + 1 // five or seven steps
	Quick                        // three steps or fewer
	PlayAction                   // a run faked, thrown from the pocket
	Boot                         // a run faked, thrown on the move
	Screen                       // thrown behind blockers
	RPO                          // handed off or thrown, by what a defender does
	Draw                         // a pass shown, handed off
	Run                          // no throw
)

var familyNames = [...]string{"", "dropback", "quick", "play_action", "boot", "screen", "rpo", "draw", "run"}

// String is the word of the family.
func (f Family) String() string { return familyNames[f] }

// ParseFamily reads a family; words after it ("rpo, inside run", "boot to the
// play side") are for the reader. "play-action" is "play_action".
func ParseFamily(s string) (Family, error) {
	t := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(s)), "-", "_")
	for i := len(familyNames) - 1; i > 0; i-- {
		if strings.HasPrefix(t, familyNames[i]) {
			return Family(i), nil
		}
	}
	return 0, fmt.Errorf("family %q: need one of %s", s, strings.Join(familyNames[1:], ", "))
}

// A Receiver is one eligible with what he does.
type Receiver struct {
	Name     string // P1..P4, B1..B3, back, back2
	Side     int    // sign of x of the side he counts on; of a back: the side he releases to
	Number   int    // from the sideline in on that side, at the snap; a back counts last
	Back     bool
	Attached bool // next to the line: a tight end
	At       field.Point
	Route    *Route
	Depth    field.Yards // of the first break
	Release  int         // -1 inside, +1 outside, 0 as the route has it
	Fake     bool        // blocks first
	Named    bool        // stands in the picture; the back side go that every picture carries does not
	Path     *Path
	Other    *Path // the branch he did not take, for an option, else nil
}

// Blocks says that he stays in.
func (r *Receiver) Blocks() bool { return r.Route.Block }

// A Picture is what the engine plays a call against.
type Picture struct {
	Set       *Set
	Family    Family
	Play      int    // sign of x of the play side
	Concept   string // for the reader only
	Receivers []Receiver
	Spot      field.Spot
	Runner    field.Speed // speeds the paths were made with
	Back      field.Speed
}

// A Spec is a picture as it is written down.
type Spec struct {
	Set, Family, Concept string
	Routes               string // the notation above
	Rest                 string // the same for receivers the concept does not name; "" leaves them as New says
	Left                 bool   // the play side is the offense's left
	Spot                 field.Spot
	Receiver, Back       field.Speed // how receivers and backs run
}

// New reads a picture. A man who is not named stays in, but the back side #1
// runs a go. A concept that names men only the set's other side has (trips, run
// to the single receiver) is run to that side. It fails on an unknown set, family, route or receiver, naming it.
func New(s Spec) (*Picture, error) {
	set, err := LookupSet(s.Set)
	if err != nil {
		return nil, err
	}
	if turned := set.turned(); !set.has(s.Routes) && turned.has(s.Routes) {
		set = turned
	}
	fam, err := ParseFamily(s.Family)
	if err != nil {
		return nil, err
	}
	if s.Spot.Level == 0 {
		s.Spot.Level = field.HighSchool
	}
	play := +1
	if s.Left {
		play = -1
	}
	p := &Picture{Set: set, Family: fam, Play: play, Concept: s.Concept, Spot: s.Spot, Runner: s.Receiver, Back: s.Back}
	p.line(set)
	for named, routes := range []string{s.Rest, s.Routes} {
		for _, item := range strings.Split(routes, ",") {
			if item = strings.TrimSpace(item); item != "" {
				if err := p.read(item, named == 1); err != nil {
					return nil, fmt.Errorf("%q: %w", item, err)
				}
			}
		}
	}
	p.number()
	for i := range p.Receivers {
		p.trace(&p.Receivers[i])
	}
	return p, nil
}

// has says that a side has every receiver on the line whom the routes name.
func (set *Set) has(routes string) bool {
	for _, item := range strings.Split(routes, ",") {
		who, _, _ := strings.Cut(strings.ToLower(strings.TrimSpace(item)), " ")
		for side, there := range map[string]int{"p": len(set.Play), "b": len(set.Back)} {
			if n, err := strconv.Atoi(strings.TrimPrefix(who, side)); err == nil && strings.HasPrefix(who, side) && n > there {
				return false
			}
		}
	}
	return true
}

// turned is the set seen from its other side.
func (set *Set) turned() *Set {
	out := *set
	out.Play, out.PlayAttached, out.PlayOff = set.Back, set.BackAttached, set.backOff
	out.Back, out.BackAttached, out.backOff = set.Play, set.PlayAttached, set.PlayOff
	out.Backfield = nil
	for _, at := range set.Backfield {
		out.Backfield = append(out.Backfield, []field.Yards{-at[0], at[1]})
	}
	return &out
}

// Bunched says that the receivers of a side of the play stand in a bunch or stack.
func (p *Picture) Bunched(side int) bool {
	return side == p.Play && p.Set.PlayOff > 0 || side != p.Play && p.Set.backOff > 0
}

// line puts the eligibles of the set on the field, everybody blocking but the
// back side #1, and narrows the splits when a hash leaves too little room.
func (p *Picture) line(set *Set) {
	put := func(side, n int, x field.Yards, attached, off bool) {
		y := 0.0
		if off {
			y = -1
		}
		name := "P"
		if side != p.Play {
			name = "B"
		}
		r := Receiver{Name: name + strconv.Itoa(n), Side: side, Number: n, Attached: attached,
			At: field.Point{X: float64(side) * x, Y: y}, Route: routes["block"]}
		if side != p.Play && n == 1 {
			r.Route = routes["go"]
		}
		p.Receivers = append(p.Receivers, r)
	}
	for i, x := range narrowed(set.Play, p.Spot.Sideline(p.Play)) {
		put(p.Play, i+1, x, set.PlayAttached == i+1, set.PlayOff == i+1)
	}
	for i, x := range narrowed(set.Back, p.Spot.Sideline(-p.Play)) {
		put(-p.Play, i+1, x, set.BackAttached == i+1, set.backOff == i+1)
	}
	for i, at := range set.Backfield {
		name := "back"
		if i > 0 {
			name = "back" + strconv.Itoa(i+1)
		}
		p.Receivers = append(p.Receivers, Receiver{Name: name, Side: p.Play, Back: true,
			At: field.Point{X: float64(p.Play) * at[0], Y: at[1]}, Route: routes["block"]})
	}
}

// narrowed keeps the widest man four yards from the sideline and the others inside
// him: two yards apart where they must give way, never wider than the set has them.
func narrowed(xs []field.Yards, edge field.Yards) []field.Yards {
	out := make([]field.Yards, len(xs))
	most := edge - 4
	for i, x := range xs {
		out[i] = min(x, most)
		if i+1 < len(xs) {
			most = out[i] - min(x-xs[i+1], 2)
		}
	}
	return out
}

// read takes one item of the notation: receiver, route@depth, qualifiers; named says that
// the concept names him.
func (p *Picture) read(item string, named bool) error {
	who, rest, _ := strings.Cut(item, " ")
	var r *Receiver
	for i := range p.Receivers {
		if strings.EqualFold(p.Receivers[i].Name, who) {
			r = &p.Receivers[i]
		}
	}
	if r == nil {
		return fmt.Errorf("no receiver %q in set %s (it has %s)", who, p.Set.Name, p.names())
	}
	rest, err := p.qualify(r, strings.TrimSpace(rest))
	if err != nil {
		return err
	}
	name, depth, hasDepth := strings.Cut(rest, "@")
	if r.Route, err = LookupRoute(name); err != nil {
		return err
	}
	r.Depth, r.Named = r.Route.Depth, named
	if hasDepth {
		d, err := strconv.ParseFloat(strings.TrimSpace(depth), 64)
		if err != nil || !(d >= -8 && d <= 60) { // NaN is neither
			return fmt.Errorf("break depth %q: need yards from -8 to 60", depth)
		}
		r.Depth = d
	}
	return nil
}

// qualify takes the qualifiers off and returns what is left: the route.
func (p *Picture) qualify(r *Receiver, s string) (string, error) {
	s = strings.ToLower(s)
	if i := strings.IndexByte(s, '('); i >= 0 {
		s = s[:i]
	}
	take := func(q string) bool {
		if !strings.Contains(s, q) {
			return false
		}
		s = strings.Join(strings.Fields(strings.ReplaceAll(s, q, " ")), " ")
		return true
	}
	if take("to the b side") || r.Back && take("to the other side") || take("back side") {
		if r.Back {
			r.Side = -p.Play
		}
	}
	take("play side")
	take("to the other side")
	take("over the ball")
	if take("inside release") {
		r.Release = -1
	}
	if take("outside release") {
		r.Release = +1
	}
	r.Fake = take("after a fake block")
	return s, nil
}

func (p *Picture) names() string {
	var out []string
	for _, r := range p.Receivers {
		out = append(out, r.Name)
	}
	return strings.Join(out, ", ")
}

// number counts the backs last on the side they release to, in backfield order.
func (p *Picture) number() {
	count := map[int]int{p.Play: len(p.Set.Play), -p.Play: len(p.Set.Back)}
	for i := range p.Receivers {
		if r := &p.Receivers[i]; r.Back && !r.Blocks() {
			count[r.Side]++
			r.Number = count[r.Side]
		}
	}
}

// Count returns how many receivers line up on a side (backs not counted).
func (p *Picture) Count(side int) int {
	if side == p.Play {
		return len(p.Set.Play)
	}
	return len(p.Set.Back)
}

// At returns the receiver who counts as number n on a side at the snap among
// those lined up there, or -1.
func (p *Picture) At(side, n int) int {
	for i := range p.Receivers {
		if r := &p.Receivers[i]; !r.Back && r.Side == side && r.Number == n {
			return i
		}
	}
	return -1
}

// String writes the picture in the notation, named receivers only.
func (p *Picture) String() string {
	var out []string
	for i := range p.Receivers {
		if r := &p.Receivers[i]; r.Named {
			out = append(out, p.item(r))
		}
	}
	return strings.Join(out, ", ")
}

func (p *Picture) item(r *Receiver) string {
	s := r.Name + " "
	if r.Release < 0 {
		s += "inside release "
	} else if r.Release > 0 {
		s += "outside release "
	}
	s += r.Route.Name
	if !r.Route.Block && !r.Route.Vertical {
		s += "@" + strconv.FormatFloat(r.Depth, 'g', -1, 64)
	}
	if r.Back && r.Side != p.Play {
		s += " to the B side"
	}
	if r.Fake {
		s += " after a fake block"
	}
	return s
}

// Attaches says that a side has a man next to the line.
func (p *Picture) Attaches(side int) bool {
	for i := range p.Receivers {
		if r := &p.Receivers[i]; r.Attached && r.Side == side {
			return true
		}
	}
	return false
}
