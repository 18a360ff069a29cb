package handout

import (
	"bytes"
	"context"
	"slices"
	"strings"
	"testing"

	"overhang/internal/plan"
	"overhang/internal/stress/duty"
	"overhang/internal/tags"
)

// TestWhoIsHis: whom a man has is what the trade says. The rows are of ../shared/checks/ownership.csv
// (common practice, no source): O01, O02, O60, O66.
func TestWhoIsHis(t *testing.T) {
	verts := plan.Concepts([]tags.ConceptRow{route("2x2", "verts", 20, "play", 1, "go", 0),
		route("2x2", "verts", 20, "play", 2, "seam", 0)})
	for _, x := range []struct {
		row, call, group, man string
		want                  int
	}{{"O01", "quarters match", "corner", "corner", 1}, {"O02", "quarters match", "safety", "safety", 2},
		{"O60", "cover 3 match", "corner", "corner", 1}, {"O66", "cover 1", "overhang", "overhang", 2}} {
		w := weekOf(named(t, x.call), verts)
		p, err := OnPhone(t.Context(), made, w, x.group)
		if err != nil {
			t.Fatalf("%s: %v; groups %q", x.row, err, Groups(w))
		}
		seen := 0
		for _, q := range p.Questions {
			play := w.Results[0][0].Rep.Picture
			if !strings.HasSuffix(q.Man, x.man) || len(q.Mine) == 0 { // the side that nobody comes to
				continue
			}
			seen++
			if len(q.Mine) != 1 || play.Receivers[q.Mine[0]].Number != x.want {
				t.Errorf("%s, %s in %s: has %v, want #%d of the play side", x.row, q.Man, x.call, q.Mine, x.want)
			}
			if len(q.Ways) != len(play.Receivers) || len(q.Front.Ties)+len(q.Front.Zones) > 0 {
				t.Errorf("%s: %d to point at of %d; the front shows what he owes: %v", x.row, len(q.Ways),
					len(play.Receivers), q.Front.Ties)
			}
		}
		if seen == 0 {
			for _, q := range p.Questions {
				t.Logf("%s is asked, and has %v", q.Man, q.Mine)
			}
			t.Errorf("%s: nobody is asked; groups %q", x.row, Groups(w))
		}
	}
}

// TestEveryRouteHasHisMan: a receiver whom the rules give to somebody is the answer of that
// man's question, and each question is about its own call, man and picture.
func TestEveryRouteHasHisMan(t *testing.T) {
	w := weekOf(whole(), shown())
	for i := range w.Calls {
		for k := range w.Concepts {
			setup := w.Results[i][k].Rep.Setup
			for r := range setup.Picture.Receivers {
				j := duty.Owner(setup, r)
				if j >= 0 && !setup.Picture.Receivers[r].Blocks() && !slices.Contains(has(setup, j), r) {
					t.Errorf("%s against %s: %s owes %d and has %v", w.Calls[i].Name, w.Concepts[k].Concept,
						setup.Men[j].Slot.Name, r, has(setup, j))
				}
			}
		}
	}
	ids := map[string]bool{}
	for _, g := range Groups(w) {
		p, err := OnPhone(context.Background(), made, w, g)
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Questions) > usualQuestions {
			t.Errorf("%s: %d questions", g, len(p.Questions))
		}
		for _, q := range p.Questions {
			if ids[q.ID] {
				t.Errorf("%s: two questions are %s", g, q.ID)
			}
			ids[q.ID] = true
		}
	}
	if len(ids) < 12 {
		t.Errorf("%d questions of the whole book, want a dozen at least", len(ids))
	}
}

// TestPhoneIsThePacket: the phone shows the page that the printer prints, word for word.
func TestPhoneIsThePacket(t *testing.T) {
	w := weekOf(whole(), shown())
	s, err := Positions(t.Context(), made, w, "", "")
	if err != nil {
		t.Fatal(err)
	}
	var printed bytes.Buffer
	if err := s.Document().WriteBody(&printed); err != nil {
		t.Fatal(err)
	}
	for _, g := range Groups(w) {
		p, err := OnPhone(t.Context(), made, w, g)
		if err != nil {
			t.Fatal(err)
		}
		var phone bytes.Buffer
		if err := p.Packet.WriteBody(&phone); err != nil {
			t.Fatal(err)
		}
		_, page, ok := strings.Cut(phone.String(), `<div class="spread">`)
		page = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(page), "</div>")) // that of the whole
		if !ok || !strings.Contains(printed.String(), page) {
			t.Errorf("%s: the phone's page is none of the packet's", g)
		}
	}
	_, err = OnPhone(t.Context(), made, w, "goalkeeper")
	if e := tags.As(err); e == nil || e.Kind != tags.NotFound {
		t.Errorf("a group that is none: %v", err)
	}
}
