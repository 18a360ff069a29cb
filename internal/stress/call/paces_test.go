package call

import "testing"

// TestPacing: a man of ours is found by the call's word, by the staff's, with his side and
// without; nobody else changes, and the call itself does not.
func TestPacing(t *testing.T) {
	ours := Names{"middle": "Mike", "corner": "CB"}
	for _, c := range []struct {
		by           Paces
		taught, runs string
	}{
		{Paces{"mike": Slower}, "middle", "linebacker slower"},
		{Paces{"middle": Slower}, "middle", "linebacker slower"},
		{Paces{"cb": Quicker}, "weak corner", "back quicker"},
		{Paces{"strong corner": Slower}, "strong corner", "back slower"},
		{Paces{"strong corner": Slower}, "weak corner", "back"},
		{Paces{"strong cb": Slower, "corner": Quicker}, "strong corner", "back slower"},
		{Paces{"nose": Slower}, "middle", "linebacker"},
	} {
		_, even := named(t, "palms", ours)
		p, some := even.Pacing(c.by)
		if _, nobody := c.by["nose"]; some == nobody {
			t.Errorf("%v: somebody is not even: %t", c.by, some)
		}
		for i, s := range p.Slots {
			if s.Taught == c.taught && s.Runs != c.runs {
				t.Errorf("%v: the %s runs as a %q, want %q", c.by, s.Taught, s.Runs, c.runs)
			}
			if even.Slots[i].Runs != even.Slots[i].Body {
				t.Errorf("the even call's %s runs as a %q", s.Taught, even.Slots[i].Runs)
			}
		}
	}
}
