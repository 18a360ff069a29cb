package call

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"reflect"
	"slices"
	"strings"

	"overhang/internal/stress/field"
)

// A Severity says whether a call with a fault can be saved.
type Severity string

// A call with a fault of severity Refused is not saved; a Warning is only told.
const (
	Refused Severity = "refused"
	Warning Severity = "warning"
)

// A Fault is something wrong with a call, in words for the coordinator: where it stands
// in the document, which defender it is, which line.
type Fault struct {
	Path     string   `json:"path"`           // JSON Pointer (RFC 6901) into the document
	Defender string   `json:"defender"`       // with his side, without where both copies have it; "call" for the call
	Rule     string   `json:"rule,omitempty"` // the condition of the line
	Message  string   `json:"message"`
	Severity Severity `json:"severity"`
}

// Words of the language that are no conditions and no duties.
var (
	bodies     = []string{"back", "linebacker", "lineman"}
	techniques = []string{"off", "press", "trail"}
	landmarks  = []string{"#1", "#2", "#3", "#4", "#5", "apex", "end man", "back", "hash", "ball"}
	roles      = []string{"corner", "cloud corner", "safety", "half safety", "free safety", "overhang", "hook",
		"strong hook", "weak hook", "middle", "hole", "rusher", "man on #1", "man on #2", "man on #3", "man on #4",
		"man on #5", "man on back"}
)

// notReceiver says what names one.
const notReceiver = `%q is not a receiver: type #1 to #5 or back, with "far" in front for the other side`

// How far from the ball and from the line a man may be told to stand or a zone to reach.
const (
	sideline = field.Width / 2
	besides  = 12.0 // from a landmark that is not the ball
	deepest  = 40.0
	ceiling  = 30.0 // of a threshold
)

// Faults lists what is wrong with the words and numbers of a call, all of it, whether or
// not it can be compiled.
func (c *Call) Faults() []Fault {
	var out []Fault
	if c.Name == "" {
		out = append(out, whole("/name", "give the call a name"))
	}
	out = append(out, c.thresholds()...)
	for _, name := range slices.Sorted(maps.Keys(c.Zones)) {
		out = append(out, c.zoneFaults(name)...)
	}
	if len(c.Defenders) == 0 {
		out = append(out, whole("/defenders", "nobody is in this call: add at least one defender"))
	}
	out = append(out, c.manned("/defenders", c.Defenders)...)
	for i := range c.Checks {
		out = append(out, c.checkFaults(i)...)
	}
	return append(out, c.giftFaults()...)
}

func whole(path, format string, args ...any) Fault {
	return Fault{Path: path, Defender: "call", Message: fmt.Sprintf(format, args...), Severity: Refused}
}

func (c *Call) thresholds() (out []Fault) {
	for _, x := range []struct {
		name string
		yd   field.Yards
	}{{"under_yd", c.Under}, {"vertical_yd", c.Vertical}} {
		if x.yd < 0 || x.yd > ceiling {
			out = append(out, whole("/"+x.name, "%g yards won't work: type a depth from 0 to %g yards", x.yd, ceiling))
		}
	}
	if c.Under > 0 && c.Vertical > 0 && c.Under > c.Vertical {
		out = append(out, whole("/under_yd", "under up to %g yards and vertical from %g are crossed: make the "+
			"first the smaller one", c.Under, c.Vertical))
	}
	return out
}

func (c *Call) zoneFaults(name string) (out []Fault) {
	z, path := c.Zones[name], "/zones/"+pointer(name)
	if z.X0 >= z.X1 || z.Y0 >= z.Y1 {
		out = append(out, whole(path, "the zone is empty: from %g to %g across and %g to %g deep; make each second "+
			"number the larger one", z.X0, z.X1, z.Y0, z.Y1))
	}
	if math.Abs(z.X) > sideline || z.Y < -besides || z.Y > deepest {
		out = append(out, whole(path, "its landmark, %g yards out and %g deep, is off the field: type up to %g out "+
			"and from %g to %g deep", z.X, z.Y, math.Floor(sideline), -besides, deepest))
	}
	if z.Sink < 0 || z.Sink > deepest {
		out = append(out, whole(path+"/sink_yd", "can't sink to %g yards: type a depth from 0 to %g yards", z.Sink, deepest))
	}
	return out
}

func (c *Call) checkFaults(i int) []Fault {
	ch, path := &c.Checks[i], fmt.Sprintf("/checks/%d", i)
	out := c.manned(path+"/defenders", ch.Defenders)
	if _, err := ParseCond(ch.When); err != nil {
		out = append(out, whole(path+"/when", "check %s: %v", ch.Name, err))
	}
	if len(ch.Defenders) == 0 {
		out = append(out, whole(path+"/defenders", "check %s changes nobody: add a defender who does "+
			"something else", ch.Name))
	}
	for k := range c.Checks[:i] {
		switch {
		case sameWhen(c.Checks[k].When, ch.When):
			out = append(out, whole(path+"/when", "check %s never comes up: check %s has the same condition, %q; change one "+
				"of them", ch.Name, c.Checks[k].Name, ch.When))
		case strings.EqualFold(c.Checks[k].Name, ch.Name):
			out = append(out, whole(path+"/name", "two checks are called %q: rename one", ch.Name))
		}
	}
	return out
}

func sameWhen(a, b string) bool {
	x, errX := ParseCond(a)
	y, errY := ParseCond(b)
	return errX == nil && errY == nil && x.String() == y.String()
}

// manned lists the faults of the defenders below a path.
func (c *Call) manned(path string, ds []Defender) (out []Fault) {
	seen := map[string]string{} // name with side: where
	for i := range ds {
		d := &ds[i]
		m := &manFaults{c: c, d: d, path: fmt.Sprintf("%s/%d", path, i)}
		m.words()
		m.alignment()
		m.ruled()
		m.idleKeys()
		for _, side := range sidesOf(d.Side) {
			if name := d.named(side); seen[name] == "" {
				seen[name] = m.path
			} else {
				m.add("/name", "", "two men are called %q: rename one (the other is %s)", name, seen[name])
			}
		}
		out = append(out, m.out...)
	}
	return out
}

// manFaults gathers what is wrong with one defender.
type manFaults struct {
	c    *Call
	d    *Defender
	path string
	out  []Fault
}

func (m *manFaults) add(below, rule, format string, args ...any) {
	who := m.d.Name
	if who == "" {
		who = "a defender with no name"
	}
	m.out = append(m.out, Fault{m.path + below, who, rule, fmt.Sprintf(format, args...), Refused})
}

// oneOf complains about a word that is none of some, "" allowed.
func (m *manFaults) oneOf(below, what, word string, of []string) {
	if word != "" && !slices.Contains(of, word) {
		m.add(below, "", "unknown %s %q%s", what, word, meant(word, of))
	}
}

func (m *manFaults) words() {
	d := m.d
	if d.Name == "" {
		m.add("/name", "", "give the defender a name")
	}
	if sidesOf(d.Side) == nil {
		m.add("/side", "", "unknown side %q: type strong, weak or both", d.Side)
	}
	m.oneOf("/body", "body", d.Body, bodies)
	m.oneOf("/fit", "run role", d.Fit, slices.Sorted(maps.Keys(Place)))
	for i, r := range d.Roles {
		m.oneOf(fmt.Sprintf("/roles/%d", i), "role", r, roles)
	}
	for i, k := range d.Keys {
		if _, rest, err := parseWho(k); err != nil || rest != "" {
			m.add(fmt.Sprintf("/keys/%d", i), "", notReceiver, k)
		}
	}
}

func (m *manFaults) alignment() {
	if len(m.d.Align) == 0 {
		m.add("/align", "", "say where he lines up")
	}
	for i := range m.d.Align {
		a, at := &m.d.Align[i], fmt.Sprintf("/align/%d", i)
		if _, err := ParseCond(a.When); err != nil {
			m.add(at+"/when", a.When, "%v", err)
		}
		if a.On == "" {
			m.add(at+"/on", a.When, "say what he lines up on: ball, hash, #1 to #5, apex, back or end man")
		}
		m.oneOf(at+"/on", "landmark", a.On, landmarks)
		m.oneOf(at+"/technique", "technique", a.Technique, techniques)
		most := besides
		if a.On == "ball" || a.On == "hash" {
			most = sideline
		}
		if math.Abs(a.Offset) > most {
			m.add(at+"/offset_yd", a.When, "%g yards from %s is off the field: type a number from %g to %g", a.Offset, a.On,
				-math.Floor(most), math.Floor(most))
		}
		if a.Depth < 0 || a.Depth > deepest {
			m.add(at+"/depth_yd", a.When, "%g yards deep won't work: type a depth from 0 to %g yards", a.Depth, deepest)
		}
		if math.Abs(a.Missing) > sideline {
			m.add(at+"/if_missing_yd", a.When, "%g yards from the ball is off the field: type a number from %g to %g",
				a.Missing, -math.Floor(sideline), math.Floor(sideline))
		}
	}
}

func (m *manFaults) ruled() {
	for i := range m.d.Rules {
		r, at := &m.d.Rules[i], fmt.Sprintf("/rules/%d", i)
		if when, err := ParseCond(r.When); err != nil {
			m.add(at+"/when", r.When, "%v", err)
		} else if d := when.deepest(); d > ceiling {
			m.add(at+"/when", r.When, "%g yards won't work: type a depth from 0 to %g yards", d, ceiling)
		}
		then, err := ParseDuties(r.Then)
		if err != nil {
			m.add(at+"/then", r.When, "%v", err)
		}
		for _, d := range then {
			if _, known := m.c.Zone(d.Zone); d.Zone != "" && !known {
				m.add(at+"/then", r.When, "unknown zone %q%s", d.Zone, meant(d.Zone, m.c.zoneNames()))
			}
		}
	}
	if n := len(m.d.Rules); n == 0 || !sameWhen(m.d.Rules[n-1].When, "else") {
		m.add("/rules", "", "end with the rule \"else\", so he always has a job")
	}
}

// deepest is the largest threshold that a condition names for itself.
func (c Cond) deepest() field.Yards {
	d := c.Before
	for _, k := range c.Kids {
		d = max(d, k.deepest())
	}
	return d
}

// idleKeys warns of receivers he is told to read and no line of his asks about.
func (m *manFaults) idleKeys() {
	asked := map[Who]bool{}
	for _, r := range m.d.Rules {
		when, err := ParseCond(r.When)
		then, errThen := ParseDuties(r.Then)
		if err != nil || errThen != nil {
			return // what cannot be read may ask about him
		}
		for _, w := range when.Whos() {
			asked[w] = true
		}
		for _, d := range then {
			asked[d.Who] = asked[d.Who] || d.Zone == "" && d.Verb != Hold && d.Verb != Rush
		}
	}
	for i, k := range m.d.Keys {
		if w, _, err := parseWho(k); err == nil && !asked[w] {
			m.add(fmt.Sprintf("/keys/%d", i), "", "he reads %s, but none of his rules uses it: add a rule, or drop the key", k)
			m.out[len(m.out)-1].Severity = Warning
		}
	}
}

func (c *Call) zoneNames() []string {
	names := slices.Collect(maps.Keys(standardZones))
	names = slices.AppendSeq(names, maps.Keys(c.Zones))
	slices.Sort(names)
	return names
}

// Lenient reads the JSON form of a call with all that is wrong with its words and numbers;
// the call is nil when the bytes are no call at all.
func Lenient(raw []byte) (*Call, []Fault) {
	var c Call
	if err := json.Unmarshal(raw, &c); err != nil {
		return nil, []Fault{whole("", "this is no call in JSON: %v", err)}
	}
	out := unknownMembers("", raw, reflect.TypeFor[Call]())
	var any map[string]json.RawMessage
	if json.Unmarshal(raw, &any) == nil {
		for _, name := range []string{"under_yd", "vertical_yd"} {
			if string(bytes.TrimSpace(any[name])) == "0" {
				out = append(out, whole("/"+name, "0 yards won't work: leave it out for the usual depth"))
			}
		}
	}
	if err := c.bounded(); err != nil {
		out = append(out, whole("", "%v", err))
	}
	out = append(out, c.Faults()...)
	if c.thresholds() != nil { // what the rules do by depths nobody can mean would be told once a rule
		c.Under, c.Vertical = 0, 0
	}
	return &c, out
}

// unknownMembers lists all members of a document that its type does not have.
func unknownMembers(path string, raw json.RawMessage, t reflect.Type) (out []Fault) {
	switch t.Kind() {
	case reflect.Slice:
		var items []json.RawMessage
		if json.Unmarshal(raw, &items) == nil {
			for i := range items {
				out = append(out, unknownMembers(fmt.Sprintf("%s/%d", path, i), items[i], t.Elem())...)
			}
		}
	case reflect.Map, reflect.Struct:
		var members map[string]json.RawMessage
		if json.Unmarshal(raw, &members) != nil {
			return nil
		}
		for _, name := range slices.Sorted(maps.Keys(members)) {
			at := path + "/" + pointer(name)
			if of, known := memberType(t, name); known {
				out = append(out, unknownMembers(at, members[name], of)...)
			} else {
				out = append(out, whole(at, "unknown member %q%s", name, meant(name, memberNames(t))))
			}
		}
	}
	return out
}

// memberType is the type of a member, as JSON is read: whatever its case.
func memberType(t reflect.Type, name string) (reflect.Type, bool) {
	if t.Kind() == reflect.Map {
		return t.Elem(), true
	}
	for f := range t.Fields() {
		if strings.EqualFold(memberName(f), name) {
			return f.Type, true
		}
	}
	return nil, false
}

func memberNames(t reflect.Type) (out []string) {
	for f := range t.Fields() {
		if name := memberName(f); name != "" {
			out = append(out, name)
		}
	}
	return out
}

func memberName(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	return name
}

// pointer escapes a name for a JSON Pointer (RFC 6901, 3).
func pointer(name string) string {
	return strings.NewReplacer("~", "~0", "/", "~1").Replace(name)
}

// meant says what to type instead: the word that one letter more, less or otherwise would
// make, else all there are.
func meant(word string, of []string) string {
	for _, w := range of {
		if near(word, w) {
			return fmt.Sprintf(": did you mean %q?", w)
		}
	}
	return ": type one of " + strings.Join(of, ", ")
}

// near reports whether two words differ by one letter put in, left out or changed, or by
// two neighbors changed about.
func near(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	switch len(b) - len(a) {
	case 0:
		return i < len(a) && (a[i+1:] == b[i+1:] ||
			i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:])
	case 1:
		return a[i:] == b[i+1:]
	}
	return false
}
