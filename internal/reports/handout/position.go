// Package handout makes what a staff carries onto the field out of a week of
// calls and pictures (plan.Week): position sheets, the call sheet, scout cards, the
// practice script, quiz cards. Each is data first, with every number a page shows,
// then a paper.Document.
package handout

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"overhang/internal/plan"
	"overhang/internal/reports/paper"
	"overhang/internal/reports/teach"
	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// A PositionSheet is what each man of each call is taught, against this opponent.
type PositionSheet struct {
	paper.Furniture
	Positions []Position `json:"positions"`
	week      *plan.Week
}

// A Position is one man of one call; a man named for both sides is one position.
type Position struct {
	Call      string      `json:"call"`
	CallTitle string      `json:"call_title"`
	Defender  string      `json:"defender"`
	Sides     []string    `json:"sides"` // strong, weak
	Taught    []Teaching  `json:"taught"`
	Zones     []string    `json:"zones"`   // the ground of the zones his rules name
	Reading   []string    `json:"reading"` // how the words of his rules are meant
	Shown     []Shown     `json:"pictures"`
	Conflict  *InConflict `json:"conflict,omitempty"`
	rusher    bool
	group     string   // whose page he is on
	names     []string // of his slots
	known     []string // every name he answers to
}

// A Teaching is a man's assignment as the call has it, or as a check changes it.
type Teaching struct {
	Check  string   `json:"check,omitempty"`
	When   string   `json:"check_when,omitempty"`
	Sides  []string `json:"sides"`
	Align  []Lineup `json:"align"`
	Keys   string   `json:"keys"`
	Fit    string   `json:"fit,omitempty"`
	Rules  []Line   `json:"rules"`
	taught *call.Defender
}

// A Lineup is one alignment with the sets in which it counts.
type Lineup struct {
	When  string  `json:"when,omitempty"` // "" where nothing is asked
	Where string  `json:"where"`
	Sets  []Stand `json:"sets"`
}

// A Stand is where an alignment puts a man against one set.
type Stand struct {
	SetName string  `json:"set_name"`
	Plays   int     `json:"plays"` // of the opponent from this set, in the pictures
	Side    string  `json:"side"`
	OutYd   float64 `json:"out_yd"` // from the ball toward his own sideline
	DeepYd  float64 `json:"deep_yd"`
}

// A Line is one rule in words.
type Line struct {
	When string `json:"when"`
	Do   string `json:"do"`
}

// A Shown is a picture the opponent will show this man.
type Shown struct {
	SetName  string   `json:"set_name"`
	Concept  string   `json:"concept"`
	Plays    int      `json:"plays"`
	Assumed  int      `json:"assumed_plays,omitempty"` // of these, with routes that nobody saw
	Picture  string   `json:"picture"`
	Check    string   `json:"check,omitempty"`
	Man      string   `json:"man"` // which of the two, for a man of both sides
	Do       []string `json:"do"`  // from the snap on
	Sentence string   `json:"sentence,omitempty"`
	ShortYd  float64  `json:"short_yd"` // of his worst two-way threat here, 0: none
	concept  int
	finding  int // -1: none
}

// An InConflict is the two-way threat that asks most of a man, by how often it is
// run times how badly it hurts, and what answers it.
type InConflict struct {
	SetName     string       `json:"set_name"`
	Concept     string       `json:"concept"`
	Plays       int          `json:"plays"`
	Finding     plan.Finding `json:"finding"`
	Rule        Line         `json:"rule"` // the rule he is under, in words
	Helper      string       `json:"helper,omitempty"`
	HelperShort float64      `json:"helper_short_yd"` // from the catch
	Better      *plan.Better `json:"better,omitempty"`
	Stress      float64      `json:"stress"`
	LeastCall   string       `json:"least_call"`
	LeastStress float64      `json:"least_stress"`
}

const pictures = 3

// Positions makes the sheets of one call, or of all when it is empty, for one
// defender, or for all. It fails with a tags.Error of kind NotFound when there is
// no such call or no such man in it, and when ctx ends.
func Positions(ctx context.Context, f paper.Furniture, w *plan.Week, callName,
	defender string) (*PositionSheet, error) {
	s := &PositionSheet{f, []Position{}, w}
	known := callName == ""
	for i := range w.Calls {
		c := &w.Calls[i]
		if callName != "" && c.Name != callName {
			continue
		}
		known = true
		stands := standsOf(w, c.Compiled)
		for _, p := range men(c) {
			if defender != "" && !slices.Contains(p.known, defender) {
				continue
			}
			p.stand(stands)
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			p.show(w, i)
			s.Positions = append(s.Positions, p)
		}
	}
	switch {
	case !known:
		return nil, tags.Errorf(tags.NotFound, "no active call %q", callName)
	case len(s.Positions) == 0 && defender != "":
		return nil, tags.Errorf(tags.NotFound, "no defender %q in these calls", defender)
	}
	return s, nil
}

// men lists the positions of a call, checks with the man they change.
func men(c *plan.Named) []Position {
	var out []Position
	of := func(s *call.Slot) *Position {
		for i := range out {
			if slices.Contains(out[i].names, s.Name) || out[i].Taught[0].taught == s.Defender {
				return &out[i]
			}
		}
		out = append(out, Position{Call: c.Name, CallTitle: c.Compiled.Call.Title, Defender: s.Title(), rusher: true,
			group: groupOf(s),
			Shown: []Shown{}, Zones: []string{}, Reading: []string{}})
		return &out[len(out)-1]
	}
	for i := range c.Compiled.Slots {
		of(&c.Compiled.Slots[i]).teach(c.Compiled, &c.Compiled.Slots[i], nil)
	}
	for i := range c.Compiled.Checks {
		ch := &c.Compiled.Checks[i]
		for k := range ch.Slots {
			of(&ch.Slots[k]).teach(c.Compiled, &ch.Slots[k], ch)
		}
	}
	return out
}

// groupOf is whose page a man is on: his whom the staff names, else those of one job, be it
// a free safety's or a half safety's; who has the back or the hole in man is an inside
// linebacker. Common practice, no source.
func groupOf(s *call.Slot) string {
	if s.Name != s.Taught {
		return s.Title()
	}
	job := s.Defender.Name
	if len(s.Defender.Roles) > 0 {
		job = s.Defender.Roles[0]
	}
	switch job {
	case "man on back":
		return "middle"
	case "hole":
		return "hook"
	}
	words := strings.Fields(job)
	return words[len(words)-1]
}

var sideNames = map[int]string{call.Strong: "strong", call.Weak: "weak"}

// teach adds a slot: to the teaching of its other side, or as a new one.
func (p *Position) teach(plan *call.Compiled, s *call.Slot, ch *call.CompiledCheck) {
	side := sideNames[s.Side]
	if !slices.Contains(p.names, s.Name) {
		p.names = append(p.names, s.Name)
		p.known = append(p.known, s.Name, s.Taught, s.Defender.Name, s.Title())
	}
	if !slices.Contains(p.Sides, side) {
		p.Sides = append(p.Sides, side)
	}
	for i := range p.Taught {
		if p.Taught[i].taught == s.Defender {
			p.Taught[i].Sides = append(p.Taught[i].Sides, side)
			return
		}
	}
	v := plan.Call.Vertical
	t := Teaching{Sides: []string{side}, Keys: teach.Keys(usedKeys(s)), Fit: teach.Fit(s.Fit), taught: s.Defender}
	if ch != nil {
		t.Check, t.When = ch.Name, teach.Check(&ch.When, v)
	}
	for i := range s.Align {
		l := Lineup{Where: teach.Align(&s.Align[i].Align), Sets: []Stand{}}
		if s.Align[i].When.Op != call.Else {
			l.When = teach.When(&s.Align[i].When, v)
		}
		t.Align = append(t.Align, l)
	}
	for i := range s.Rules {
		r := &s.Rules[i]
		t.Rules = append(t.Rules, Line{teach.When(&r.When, v), teach.Then(r.Then)})
		p.ground(plan.Call, r.Then)
		p.rusher = p.rusher && r.Then[0].Verb == call.Rush
	}
	for _, n := range readingOf(plan.Call, &t) {
		if !slices.Contains(p.Reading, n) {
			p.Reading = append(p.Reading, n)
		}
	}
	p.Taught = append(p.Taught, t)
}

// usedKeys are the keys some rule of the man uses: what he need not read he is not told to.
func usedKeys(s *call.Slot) (out []call.Who) {
	var said []call.Who
	var from func(c *call.Cond)
	from = func(c *call.Cond) {
		switch c.Op {
		case call.Else, call.And, call.Or, call.Not, call.Set:
		case call.Crosses:
			said = append(said, c.Who, c.With)
		default:
			said = append(said, c.Who)
		}
		for i := range c.Kids {
			from(&c.Kids[i])
		}
	}
	for i := range s.Rules {
		from(&s.Rules[i].When)
		for _, d := range s.Rules[i].Then {
			if d.Verb != call.InZone && d.Verb != call.Hold && d.Verb != call.Rush {
				said = append(said, d.Who)
			}
		}
	}
	for _, k := range s.Reads {
		if slices.Contains(said, k) {
			out = append(out, k)
		}
	}
	return out
}

// readingOf says how the words of a teaching are meant, as far as it uses them.
func readingOf(c *call.Call, t *Teaching) []string {
	var b strings.Builder
	for _, r := range t.Rules {
		b.WriteString(r.When + "; " + r.Do + "; ")
	}
	for _, a := range t.Align {
		b.WriteString(a.When + "; ")
	}
	words, out := b.String(), []string{}
	if strings.Contains(words, "#") {
		out = append(out, "Numbers count from the sideline in on your side; a back who releases counts last on the side "+
			"he goes to.")
	}
	if strings.Contains(words, "receivers on") || strings.Contains(words, "receiver on") {
		out = append(out, "Receivers on a side are those who line up there; backs are not counted.")
	}
	v := teach.Yards(c.Vertical)
	if strings.Contains(words, v) {
		if c.Under < c.Vertical {
			out = append(out, "A break from "+teach.Yards(c.Under)+" to "+v+" is the gray band: be ready for both.")
		}
		out = append(out, "Of two breaks before "+v+" the last counts.")
	}
	return out
}

// ground adds the zones that duties name.
func (p *Position) ground(c *call.Call, ds []call.Duty) {
	for i := range ds {
		if ds[i].Zone == "" {
			continue
		}
		z, _ := c.Zone(ds[i].Zone)
		if s := teach.Zone(ds[i].Zone, z); !slices.Contains(p.Zones, s) {
			p.Zones = append(p.Zones, s)
		}
	}
}

// A spotKey is one alignment of one man as written.
type spotKey struct {
	man   *call.Defender
	align int
}

// standsOf lines the call up against every set the opponent shows, or against the
// standard sets when he has shown none.
func standsOf(w *plan.Week, p *call.Compiled) map[spotKey][]Stand {
	out := map[spotKey][]Stand{}
	for _, set := range setsOf(w) {
		setup, err := lined(w.Level, set.SetName, p)
		if err != nil {
			continue // the week has only sets the engine knows
		}
		for j := range setup.Men {
			m := &setup.Men[j]
			key := spotKey{m.Slot.Defender, m.Align}
			out[key] = append(out[key], Stand{set.SetName, set.Plays, sideNames[m.Slot.Side], float64(m.Side) * m.At.X, m.At.Y})
		}
	}
	return out
}

// lined is a call lined up against a set, before anybody moves.
func lined(level field.Level, set string, c *call.Compiled) (*duty.Setup, error) {
	params := motion.Defaults(level)
	pic, err := picture.New(picture.Spec{Set: set, Family: "dropback", Receiver: params.Receiver, Back: params.Back})
	if err != nil {
		return nil, err
	}
	return duty.New(c, pic, 1, c.Call.Vertical), nil
}

func setsOf(w *plan.Week) []Stand {
	var out []Stand
	for i := range w.Concepts {
		c := &w.Concepts[i]
		k := slices.IndexFunc(out, func(s Stand) bool { return s.SetName == c.SetName })
		if k < 0 {
			k = len(out)
			out = append(out, Stand{SetName: c.SetName})
		}
		out[k].Plays += c.Plays
	}
	slices.SortStableFunc(out, func(a, b Stand) int { return cmp.Compare(b.Plays, a.Plays) })
	if len(out) == 0 {
		for _, n := range picture.SetNames() {
			out = append(out, Stand{SetName: n})
		}
	}
	return out
}

func (p *Position) stand(at map[spotKey][]Stand) {
	for i := range p.Taught {
		t := &p.Taught[i]
		for k := range t.Align {
			t.Align[k].Sets = append(t.Align[k].Sets, at[spotKey{t.taught, k}]...)
		}
	}
}

// show picks the pictures: those run most, a picture that puts him in conflict
// counting for more by the yards he is short.
func (p *Position) show(w *plan.Week, ci int) {
	if p.rusher {
		return
	}
	var worst float64
	for k := range w.Concepts {
		c, r := &w.Concepts[k], w.Results[ci][k]
		s := Shown{SetName: c.SetName, Concept: c.Concept, Plays: c.Plays, Assumed: c.Assumed,
			Picture: r.Rep.Picture.String(),
			Check:   r.Rep.Setup.Check, Do: []string{}, concept: k, finding: -1}
		j := p.man(r)
		if f := p.finding(r); f >= 0 {
			s.finding, j = f, r.Findings[f].Man
			s.Sentence, s.ShortYd = r.Sentence(&r.Findings[f]), r.Findings[f].Size
			if hurt := float64(c.Plays) * s.ShortYd; hurt > worst {
				worst = hurt
				p.Conflict = inConflict(w, ci, k, f)
			}
		}
		if j < 0 {
			continue
		}
		m := &r.Rep.Setup.Men[j]
		s.Man, s.Do = m.Slot.Name, does(m, w.Calls[ci].Compiled.Call.Vertical)
		p.Shown = append(p.Shown, s)
	}
	slices.SortStableFunc(p.Shown, func(a, b Shown) int {
		return cmp.Compare(float64(b.Plays)*(1+b.ShortYd), float64(a.Plays)*(1+a.ShortYd))
	})
	p.Shown = p.Shown[:min(len(p.Shown), pictures)]
}

// man finds him in a result: the one to the side of the play first.
func (p *Position) man(r *stress.Result) int {
	found := -1
	for j := range r.Rep.Setup.Men {
		m := &r.Rep.Setup.Men[j]
		if slices.Contains(p.names, m.Slot.Name) && (found < 0 || m.Side == r.Rep.Picture.Play) {
			found = j
		}
	}
	return found
}

// finding is his worst two-way threat on a receiver the picture names, -1: none.
func (p *Position) finding(r *stress.Result) int {
	for _, k := range plan.Told(r) {
		f := &r.Findings[k]
		if !f.Single && slices.Contains(p.names, r.Defender(f.Man)) {
			return k
		}
	}
	return -1
}

// does tells a man's duties in a picture from the snap on.
func does(m *duty.Man, vertical float64) []string {
	var out []string
	for i, sh := range m.Shifts {
		r := &m.Slot.Rules[sh.Rule]
		do := teach.Then(r.Then)
		switch {
		case i == 0 && r.When.Op == call.Else:
			out = append(out, "At the snap: "+do+".")
		case i == 0:
			out = append(out, "At the snap, since "+teach.When(&r.When, vertical)+": "+do+".")
		case r.When.Op == call.Else:
			out = append(out, "Then: "+do+".")
		default:
			out = append(out, "When "+teach.When(&r.When, vertical)+": "+do+".")
		}
	}
	return out
}

func inConflict(w *plan.Week, ci, k, found int) *InConflict {
	c, r := &w.Concepts[k], w.Results[ci][k]
	f := &r.Findings[found]
	out := &InConflict{SetName: c.SetName, Concept: c.Concept, Plays: c.Plays,
		Finding: plan.Tell(r, f), Better: plan.Best(r, f), Stress: r.Stress}
	m := &r.Rep.Setup.Men[f.Man]
	rule := &m.Slot.Rules[m.ShiftAt(f.At).Rule]
	out.Rule = Line{teach.When(&rule.When, w.Calls[ci].Compiled.Call.Vertical), teach.Then(rule.Then)}
	if j, short := plan.Help(r, f); j >= 0 {
		out.Helper, out.HelperShort = r.Defender(j), short
	}
	least := w.Least(k)
	out.LeastCall, out.LeastStress = w.Calls[least].Name, w.Results[least][k].Stress
	return out
}
