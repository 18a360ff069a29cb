package handout

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"overhang/internal/plan"
	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// A spotKey is one alignment of one man as written.
type spotKey struct {
	man   *call.Defender
	align int
}

// standsOf lines the call up against every set the opponent shows, or against the
// standard sets when he has shown none: where each alignment stands, and what each man sees.
func standsOf(w *plan.Week, p *call.Compiled) (map[spotKey][]Stand, map[*call.Defender][]look) {
	out, looks := map[spotKey][]Stand{}, map[*call.Defender][]look{}
	for _, set := range setsOf(w) {
		setup, err := lined(w.Level, set.SetName, p)
		if err != nil {
			continue // the week has only sets the engine knows
		}
		for j := range setup.Men {
			m := &setup.Men[j]
			key := spotKey{m.Slot.Defender, m.Align}
			out[key] = append(out[key], Stand{set.SetName, set.Plays, sideNames[m.Slot.Side], float64(m.Side) * m.At.X, m.At.Y,
				missing(setup, m)})
			looks[key.man] = append(looks[key.man], look{setup, m.Side, sideNames[m.Slot.Side]})
		}
	}
	return out, looks
}

// missing reports whether the receiver a man lines up on is not in the set.
func missing(s *duty.Setup, m *duty.Man) bool {
	on := m.Slot.Align[m.Align].On
	if on == "apex" {
		on = "#2" // half way between him and the end man
	}
	number, ok := strings.CutPrefix(on, "#")
	return ok && !slices.ContainsFunc(s.Picture.Receivers, func(r picture.Receiver) bool {
		return r.Side == m.Side && !r.Back && strconv.Itoa(r.Number) == number
	})
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

func (p *Position) stand(at map[spotKey][]Stand, looks map[*call.Defender][]look) {
	for i := range p.Taught {
		t := &p.Taught[i]
		t.looks = looks[t.taught]
		for k := range t.Align {
			t.Align[k].Sets = append(t.Align[k].Sets, at[spotKey{t.taught, k}]...)
		}
	}
}
