package handout

import (
	"fmt"
	"slices"
	"testing"

	"overhang/internal/reports/teach"
	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/picture"
)

// TestToldIsPlayed: over every call of the built-in book and every concept of the library, men who
// know only the rules on their pages, those of one side or of both, do at every moment what men do
// who know all rules. The source is the engine's rule layer, which knows nothing of pages.
func TestToldIsPlayed(t *testing.T) {
	w := weekOf(whole(), library())
	shorter := 0
	for i := range w.Calls {
		c := w.Calls[i].Compiled
		stands, looks := standsOf(w, c)
		for _, p := range men(&w.Calls[i]) {
			p.stand(stands, looks)
			for _, page := range []*Position{&p, p.on("strong"), p.on("weak")} {
				for k := range page.Taught {
					tt := &page.Taught[k]
					shorter += len(tt.rules) - len(tt.told())
					told := retold(c, tt)
					for j := range w.Concepts {
						samePlay(t, w.Results[i][j].Rep.Picture, c, told, p.Defender)
					}
				}
			}
		}
	}
	if shorter < 50 {
		t.Errorf("pages leave %d rules away; want what no set shown can bring left away", shorter)
	}
}

// retold is a call in which the man of a teaching knows only what his page tells.
func retold(c *call.Compiled, t *Teaching) *call.Compiled {
	out := *c
	change := func(slots []call.Slot) []call.Slot {
		slots = slices.Clone(slots)
		for i := range slots {
			if slots[i].Defender == t.taught && slices.Contains(t.Sides, sideNames[slots[i].Side]) {
				slots[i].Rules = t.told()
			}
		}
		return slots
	}
	out.Slots, out.Checks = change(c.Slots), slices.Clone(c.Checks)
	for i := range out.Checks {
		out.Checks[i].Slots, out.Checks[i].All = change(c.Checks[i].Slots), change(c.Checks[i].All)
	}
	return &out
}

// samePlay fails when two calls set against a picture have a man do different things.
func samePlay(t *testing.T, p *picture.Picture, whole, told *call.Compiled, who string) {
	t.Helper()
	a, b := duty.New(whole, p, 1, whole.Call.Vertical), duty.New(told, p, 1, whole.Call.Vertical)
	for j := range a.Men {
		if x, y := done(&a.Men[j]), done(&b.Men[j]); !slices.Equal(x, y) {
			t.Errorf("%s, %s against %s: %v with all rules, %v with those of his page", whole.Call.Name, who, p, x, y)
		}
	}
}

// done is what a man does from when on, as a coach says it.
func done(m *duty.Man) (out []string) {
	was := ""
	for _, sh := range m.Shifts {
		if do := teach.Then(m.Slot.Rules[sh.Rule].Then); do != was {
			out, was = append(out, fmt.Sprintf("%.2f s %s", sh.From, do)), do
		}
	}
	return out
}
