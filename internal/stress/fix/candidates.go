package fix

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

// A bench is what changes are made from: a result, the finding, and who else is near.
type bench struct {
	plan *call.Compiled
	r    *stress.Result
	f    *stress.Finding
	men  []duty.Man
}

// near is how many men are asked to take or help on a throw: those who would miss it
// by least if they were free to go.
const near = 4

func candidates(p *call.Compiled, r *stress.Result, f *stress.Finding) []Change {
	b := &bench{p, r, f, r.Rep.Setup.Men}
	out := b.alignments()
	out = append(out, b.techniques()...)
	out = append(out, b.thresholds()...)
	out = append(out, b.rules()...)
	return append(out, b.runRoles()...)
}

// Moves that are tried, in yards: what can be shown on a field by pointing.
var moves = []field.Yards{-3, -2, -1, 0, 1, 2, 3}

func (b *bench) alignments() (out []Change) {
	m := &b.men[b.f.Man]
	for _, dx := range moves {
		for _, dy := range moves {
			if dx == 0 && dy == 0 || m.At.Y+dy < 1 {
				continue
			}
			out = append(out, moved(m.Slot, m.Align, dx, dy))
		}
	}
	return out
}

func (b *bench) techniques() (out []Change) {
	m := &b.men[b.f.Man]
	row, has := m.Align, m.Technique
	for _, t := range []string{"", "press", "trail"} {
		if t == has || has == "off" && t == "" {
			continue
		}
		words := map[string]string{"": "play off", "press": "press", "trail": "play trail technique"}[t]
		out = append(out, Change{Kind: Technique, Words: told(m.Slot, words),
			edits: []edit{{man: m.Slot.Defender, does: func(d *call.Defender) { d.Align[row].Technique = t }}}})
	}
	rule := m.ShiftAt(b.f.At).Rule
	then := m.Slot.Rules[rule].Then
	for n, word := range []string{"inside", "outside"} {
		side := 2*n - 1
		if now, ok := leveraged(then, int8(side)); ok {
			out = append(out, Change{Kind: Leverage, Words: told(m.Slot, "play "+word+" leverage on your man"),
				edits: []edit{{man: m.Slot.Defender, does: func(d *call.Defender) { d.Rules[rule].Then = call.Duties(now) }}}})
		}
	}
	return out
}

// leveraged puts the man duties of a rule on one side of their man (-1 inside, +1
// outside); false when there is none or it is played so already.
func leveraged(then []call.Duty, side int8) ([]call.Duty, bool) {
	now, changed := slices.Clone(then), false
	for i := range now {
		if d := &now[i]; d.Verb == call.Man && d.Leverage != side {
			d.Leverage, changed = side, true
		}
	}
	return now, changed
}

// Vertical thresholds that are tried: the published ones run from 5 to 12 yd, and
// further (trade notes 3.0).
const shallowest, deepest field.Yards = 4, 12

func (b *bench) thresholds() (out []Change) {
	was := b.plan.Call.Vertical
	for v := shallowest; v <= deepest; v++ {
		if v == was {
			continue
		}
		out = append(out, Change{Kind: Threshold, size: max(v-was, was-v),
			Words: fmt.Sprintf("Treat a receiver as vertical at %g yards, not %g.", v, was),
			edits: []edit{{call: func(c *call.Call) { c.Vertical, c.Under = v, min(c.Under, v) }}}})
	}
	return out
}

// rules makes one rule more for what the receivers have shown: the two of the
// finding, or all of the side of the open one.
func (b *bench) rules() (out []Change) {
	if b.f.Open == b.r.Rep.Run {
		return nil
	}
	pair, side := []int{b.f.Open, b.f.Other}, b.side(b.f.Open)
	for _, at := range b.moments() {
		out = append(out, b.pattern(at, pair)...)
		if !slices.Equal(b.running(pair), side) {
			out = append(out, b.pattern(at, side)...)
		}
	}
	return append(out, b.matches()...)
}

// running leaves out of a list who is no receiver, and sorts it.
func (b *bench) running(of []int) (out []int) {
	for _, i := range of {
		if i >= 0 && i != b.r.Rep.Run && !b.r.Rep.Picture.Receivers[i].Blocks() && !slices.Contains(out, i) {
			out = append(out, i)
		}
	}
	slices.Sort(out)
	return out
}

// side lists who runs a route on the side of receiver i.
func (b *bench) side(i int) (out []int) {
	rs := b.r.Rep.Picture.Receivers
	for n := range rs {
		if rs[n].Side == rs[i].Side {
			out = append(out, n)
		}
	}
	return b.running(out)
}

// pattern makes the changes that hang on what some receivers have shown by a moment.
func (b *bench) pattern(at field.Seconds, seen []int) (out []Change) {
	j, i, l := b.f.Man, b.f.Open, b.f.Other
	if _, ok := b.when(j, at, seen); !ok {
		return nil
	}
	takes := func(m, n int) act {
		when, _ := b.when(m, at, seen)
		return act{m, when, []call.Duty{{Verb: call.Man, Who: b.who(m, n)}}}
	}
	out = append(out, b.taught(Rule, takes(j, i)))
	two := l >= 0 && l != i && l != b.r.Rep.Run
	for _, h := range b.helpers(i) {
		if now := b.men[h].ShiftAt(at); !owed(now.Duties, i) {
			when, _ := b.when(h, at, seen)
			help := call.Duty{Verb: call.HelpOn, Who: b.who(h, i), Help: true}
			out = append(out, b.taught(Help, act{h, when, append(slices.Clone(b.men[h].Slot.Rules[now.Rule].Then), help)}))
		}
		out = append(out, b.taught(Rule, takes(h, i)))
		if two {
			out = append(out, b.taught(Trade, takes(h, i), takes(j, l)))
		}
	}
	if !two {
		return out
	}
	out = append(out, b.taught(Rule, takes(j, l)))
	for _, h := range b.helpers(l) {
		out = append(out, b.taught(Rule, takes(h, l)), b.taught(Trade, takes(h, l), takes(j, i)))
	}
	return out
}

// matches lets a man shadow one of the receivers from the snap and take him if he
// goes vertical, by himself or with all of his side: a rule that waits until he has is
// late by then.
func (b *bench) matches() (out []Change) {
	for _, i := range b.running([]int{b.f.Open, b.f.Other}) {
		if duty.Seen(b.r.Rep.Picture.Receivers[i].Path, b.declared([]int{i}), b.plan.Call.Vertical)&call.Vertical == 0 {
			continue
		}
		for _, h := range b.r.Rep.Cover {
			if owed(b.men[h].Owed(0), i) {
				continue // he plays him from the snap already
			}
			n := b.who(h, i)
			alone, _ := b.when(h, b.declared([]int{i}), []int{i})
			takes := []call.Duty{{Verb: call.Man, Who: n}}
			shadow := act{h, b.beside(h, []call.Cond{{Op: call.Sees, Who: n, States: call.Undeclared}}),
				[]call.Duty{{Verb: call.Read, Who: n, Leverage: -1}}}
			out = append(out, b.taught(Match, act{h, alone, takes}, shadow))
			if when, _ := b.when(h, b.declared(b.side(i)), b.side(i)); when.String() != alone.String() {
				out = append(out, b.taught(Match, act{h, when, takes}, shadow))
			}
		}
	}
	return out
}

// owed says that a man's duties name a receiver.
func owed(duties []duty.Duty, i int) bool {
	return slices.ContainsFunc(duties, func(d duty.Duty) bool { return d.Target == i })
}

// An act is a rule that a man would be taught.
type act struct {
	man  int
	when call.Cond
	then []call.Duty
}

func (b *bench) taught(kind Kind, acts ...act) Change {
	ch := Change{Kind: kind, size: float64(len(acts))}
	var words []string
	for _, a := range acts {
		m := &b.men[a.man]
		t := Taught{m.Slot.Name, a.when.String(), call.Duties(a.then)}
		words = append(words, told(m.Slot, "when "+t.When+", "+t.Then))
		ch.Rules = append(ch.Rules, t)
		ch.edits = append(ch.edits, edit{man: m.Slot.Defender, does: first(a.when, a.then)})
	}
	ch.Words = strings.Join(words, " ")
	return ch
}

// moments are when the pattern of the finding can be told: once both receivers have
// shown whether they are short or vertical, and once both have broken.
func (b *bench) moments() []field.Seconds {
	pair := b.running([]int{b.f.Open, b.f.Other})
	early, late := b.declared(pair), 0.0
	for _, i := range pair {
		if bs := b.r.Rep.Picture.Receivers[i].Path.Breaks; len(bs) > 0 {
			late = max(late, bs[len(bs)-1].T)
		}
	}
	if late > early {
		return []field.Seconds{early, late}
	}
	return []field.Seconds{early}
}

// declared is when all of some receivers have shown whether they are short or vertical.
func (b *bench) declared(receivers []int) field.Seconds {
	all := 0.0
	for _, i := range receivers {
		p := b.r.Rep.Picture.Receivers[i].Path
		t := p.Crosses(b.plan.Call.Vertical)
		if len(p.Breaks) > 0 {
			t = min(t, p.Breaks[0].T)
		}
		all = max(all, t)
	}
	return all
}

// when is what receivers have shown by a moment, from a man's side; false when they
// have shown nothing.
func (b *bench) when(m int, at field.Seconds, receivers []int) (call.Cond, bool) {
	var atoms []call.Cond
	for _, i := range b.running(receivers) {
		if s := shown(duty.Seen(b.r.Rep.Picture.Receivers[i].Path, at, b.plan.Call.Vertical)); s != 0 {
			atoms = append(atoms, call.Cond{Op: call.Sees, Who: b.who(m, i), States: s})
		}
	}
	return b.beside(m, atoms), len(atoms) > 0
}

// beside joins the atoms of a condition. A man told to look across to the other side
// is told for how many receivers on his own he may.
func (b *bench) beside(m int, atoms []call.Cond) call.Cond {
	far := slices.ContainsFunc(atoms, func(a call.Cond) bool { return a.Who.Far })
	if own := []string{"", "single", "twins"}; far {
		if n := b.r.Rep.Picture.Count(b.men[m].Side); n > 0 && n < len(own) {
			atoms = append(atoms, call.Cond{Op: call.Set, Fact: call.FactOf(own[n])})
		}
	}
	if len(atoms) == 1 {
		return atoms[0]
	}
	return call.Cond{Op: call.And, Kids: atoms}
}

// shown is the most telling of what a receiver has been seen to do, 0 when nothing.
func shown(s call.State) call.State {
	for _, one := range []call.State{call.DeepOut, call.DeepIn, call.DeepStop, call.Vertical,
		call.TurnedUp, call.OutBreak, call.InBreak, call.StopBreak} {
		if s&one != 0 {
			return one
		}
	}
	return 0
}

// who names a receiver from a man's own side.
func (b *bench) who(m, i int) call.Who {
	r := &b.r.Rep.Picture.Receivers[i]
	w := call.Who{Number: int8(r.Number), Far: r.Side != b.men[m].Side}
	if r.Back {
		w.Number = 0
	}
	return w
}

// helpers are the men who would miss a throw by least if they were free to go for it,
// but for the man of the finding and his twin on the other side.
func (b *bench) helpers(i int) []int {
	if i < 0 || i == b.r.Rep.Run {
		return nil
	}
	g := b.r.Rep
	k := slices.Index(g.Releases, b.f.At)
	var out []int
	for _, h := range g.Cover {
		if b.men[h].Slot.Defender != b.men[b.f.Man].Slot.Defender {
			out = append(out, h)
		}
	}
	miss := func(h int) field.Yards { return g.Free(h, i, k, motion.Boost{}).Miss }
	slices.SortStableFunc(out, func(x, y int) int { return cmp.Compare(miss(x), miss(y)) })
	return out[:min(len(out), near)]
}

// runRoles lets a man who is between run and pass play the pass: without a run role, or
// with that of another, who takes his.
func (b *bench) runRoles() (out []Change) {
	m := &b.men[b.f.Man]
	if b.f.Other != b.r.Rep.Run {
		return nil
	}
	out = append(out, Change{Kind: RunRole, Words: told(m.Slot, "read pass first; every gap still has its man"),
		edits: []edit{{man: m.Slot.Defender, does: func(d *call.Defender) { d.Fit = "" }}}})
	for _, h := range b.r.Rep.Cover {
		o := &b.men[h]
		if call.Inside(o.Slot.Fit) || o.Slot.Defender == m.Slot.Defender {
			continue
		}
		mine, his := m.Slot.Fit, o.Slot.Fit
		out = append(out, Change{Kind: RunRole, Words: told(m.Slot,
			fmt.Sprintf("read pass first; your run role (%s) goes to %s", mine, o.Slot.Group())),
			edits: []edit{{man: m.Slot.Defender, does: func(d *call.Defender) { d.Fit = his }}, {man: o.Slot.Defender,
				does: func(d *call.Defender) { d.Fit = mine }}}})
	}
	return out
}
