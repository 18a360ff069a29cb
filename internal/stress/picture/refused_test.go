package picture

import (
	"strings"
	"testing"
)

// TestRefusedPictures: a picture that cannot be read is refused with the word that is wrong.
func TestRefusedPictures(t *testing.T) {
	t.Parallel()
	usual := Spec{Set: "2x2", Family: "dropback", Routes: "P1 hitch"}
	with := func(change func(*Spec)) Spec { s := usual; change(&s); return s }
	routes := func(r string) Spec { return with(func(s *Spec) { s.Routes = r }) }
	for name, tt := range map[string]struct {
		spec  Spec
		names string
	}{
		"a set nobody stands in":  {with(func(s *Spec) { s.Set = "7x4" }), "7x4"},
		"a family nobody runs":    {with(func(s *Spec) { s.Family = "waltz" }), "waltz"},
		"a route nobody runs":     {routes("P1 waltz"), "waltz"},
		"a man who is not there":  {routes("P7 hitch"), "P7"},
		"a man without a name":    {routes("hitch"), "hitch"},
		"a depth in words":        {routes("P1 hitch@deep"), "deep"},
		"a depth that is none":    {routes("P1 hitch@NaN"), "NaN"},
		"a depth without an end":  {routes("P1 hitch@Inf"), "Inf"},
		"a depth behind the back": {routes("P1 hitch@-8.5"), "-8.5"},
		"a depth past the lights": {routes("P1 hitch@60.5"), "60.5"},
		"the second of two":       {routes("P1 hitch, P2 waltz"), "P2 waltz"},
		"what the others run":     {with(func(s *Spec) { s.Rest = "B1 waltz" }), "B1 waltz"},
	} {
		if p, err := New(tt.spec); err == nil || !strings.Contains(err.Error(), tt.names) {
			t.Errorf("%s: %v, %v; want a refusal that says %q", name, p, err, tt.names)
		}
	}
	for _, ok := range []string{"P1 hitch@-8", "P1 hitch@60", " p1 HITCH@5.5 ", ""} {
		if _, err := New(routes(ok)); err != nil {
			t.Errorf("%q: %v", ok, err)
		}
	}
}
