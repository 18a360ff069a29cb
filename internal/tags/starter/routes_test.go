package starter

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// TestRoutesAreTheirOwn: the routes that are handed out may be changed: the next call gets the library's.
func TestRoutesAreTheirOwn(t *testing.T) {
	t.Parallel()
	first := Routes("smash", "2x2", "left")
	*first[0].BreakDepthYd, first[1].Route = 99, "changed"
	if again := Routes("smash", "2x2", "left"); *again[0].BreakDepthYd != 6 || again[1].Route != "corner" {
		t.Errorf("the library's smash is now %s@%v and %s", again[0].Route, *again[0].BreakDepthYd, again[1].Route)
	}
}

// TestRoutesToASide: to the left and to the right are the same but for the sides; a back and a
// tight end are called what they are; the concept for trips comes first from trips; of what nobody
// knows there is nothing.
func TestRoutesToASide(t *testing.T) {
	t.Parallel()
	said := func(rs []tags.Route) (out []string) {
		for _, r := range rs {
			s := fmt.Sprint(r.Side, " ", r.Number, " ", r.Eligible, " ", r.Route)
			if r.BreakDepthYd != nil {
				s += fmt.Sprint("@", *r.BreakDepthYd)
			}
			out = append(out, s)
		}
		return out
	}
	for _, tt := range []struct {
		concept, set string
		want         []string
	}{
		{"smash", "2x2", []string{"left 1 receiver hitch@6", "left 2 receiver corner@12", "right 1 receiver go"}},
		{"smash", "3x1", []string{"left 1 receiver hitch@6", "left 2 receiver corner@12", "left 3 receiver seam",
			"right 1 receiver go"}},
		{"all-curl", "pro", []string{"left 1 receiver curl@12", "left 2 tight_end hook@7", "right 1 receiver curl@12",
			"left 3 back flat@2", "right 2 back flat@2"}},
		{"no such concept", "2x2", nil}, {"smash", "no such set", nil}, {"", "2x2", nil},
	} {
		left := said(Routes(tt.concept, tt.set, "left"))
		if len(left) != len(tt.want) || !slices.Equal(left, tt.want) {
			t.Errorf("%s from %s: %q, want %q", tt.concept, tt.set, left, tt.want)
		}
		right := said(Routes(tt.concept, tt.set, "right"))
		swap := strings.NewReplacer("left", "right", "right", "left")
		for i := range right {
			if right[i] != swap.Replace(left[i]) {
				t.Errorf("%s from %s to the right: %q, to the left %q", tt.concept, tt.set, right[i], left[i])
			}
		}
	}
}

// TestOfRoutes: the routes of a concept's play side name a concept with just these routes; one
// route more, less or otherwise, or another set, does not.
func TestOfRoutes(t *testing.T) {
	t.Parallel()
	found := 0
	for _, e := range picture.Library() {
		set, err := picture.LookupSet(e.Set)
		if err != nil {
			t.Fatal(err)
		}
		names := make([]string, len(set.Play))
		for _, p := range parts(e.Routes) {
			if at := int(p.who[1] - '1'); p.who[0] == 'P' && at < len(names) {
				names[at] = word(p.what)
			}
		}
		if slices.Contains(names, "") {
			continue // not all of them are named
		}
		found++
		got := OfRoutes(set.Name, names)
		if got == "" || len(entries(got)) == 0 {
			t.Errorf("%s from %s, %q: %q", e.Concept, set.Name, names, got)
		}
		if other := OfRoutes(set.Name, append(slices.Clone(names), "go")); other != "" {
			t.Errorf("%q and a go more are %q", names, other)
		}
		if other := OfRoutes(set.Name, names[:len(names)-1]); other != "" {
			t.Errorf("%q is %q", names[:len(names)-1], other)
		}
	}
	if found < 20 || OfRoutes("2x2", []string{"hitch", "corner"}) != "smash" ||
		OfRoutes("2x2", []string{"corner", "hitch"}) == "smash" ||
		OfRoutes("no such set", []string{"hitch", "corner"}) != "" || OfRoutes("2x2", nil) != "" {
		t.Errorf("%d concepts were compared; a hitch and a corner are %q", found, OfRoutes("2x2", []string{"hitch",
			"corner"}))
	}
}

// TestFamilies: of every concept and run; of what nobody knows there is none.
func TestFamilies(t *testing.T) {
	t.Parallel()
	for concept, want := range map[string]string{"smash": "dropback",
		"slant-flat": "quick", "draw": "draw", "power": "run",
		"inside zone": "run", "boot flood": "boot", "tunnel screen": "screen", "no such concept": "", "": ""} {
		if got := Family(concept); got != want {
			t.Errorf("%q is shown from %q, want %q", concept, got, want)
		}
	}
	for _, r := range RunConcepts {
		if f := Family(r); f != "run" && f != "draw" {
			t.Errorf("the run %s is shown from %q", r, f)
		}
	}
}

// TestWordsHold: every word is found and every other name leads to its word, in capitals too; the
// calls that a new program carries are in the book, and its games can be tagged with them.
func TestWordsHold(t *testing.T) {
	t.Parallel()
	ws := Words()
	v := tags.NewVocabulary(ws)
	for i := range ws {
		to, ok := v.Lookup(ws[i].Field, strings.ToUpper(ws[i].Word))
		if want := ws[i].Word; !ok || ws[i].AliasOf == nil && to != want || ws[i].AliasOf != nil && to != *ws[i].AliasOf {
			t.Errorf("%s %q in capitals is %q, %v", ws[i].Field, ws[i].Word, to, ok)
		}
	}
	for name := range active {
		if _, err := call.Lookup(name); err != nil {
			t.Errorf("carried: %v", err)
		}
		if _, ok := v.Lookup("coverage", name); !ok {
			t.Errorf("nobody can tag %q", name)
		}
	}
}

// TestNumbered: men keep their numbers while the side has them, and close up from inside where it
// has not; a back's route goes to the innermost who is free, and nowhere when nobody is.
func TestNumbered(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		routes, want string
		men          int
	}{
		{"P1 go, P2 out@5", "P1 go, P2 out@5", 2}, {"P1 go, P3 out@5", "P1 go, P2 out@5", 2}, {"P2 go, P3 out@5",
			"P1 go, P2 out@5", 2},
		{"P3 flat@2", "P1 flat@2", 1}, {"P1 go, P3 out@5", "P1 go, P3 out@5", 3},
	} {
		if got := notation(numbered(parts(tt.routes), "P", tt.men)); got != tt.want {
			t.Errorf("%s for %d men: %s, want %s", tt.routes, tt.men, got, tt.want)
		}
	}
	back := part{"back", "flat@2 to the B side"}
	if got := notation(taken(parts("B1 go"), "B", 3, back)); got != "B1 go, B3 flat@2" {
		t.Errorf("the back's flat is run as %s", got)
	}
	if got := notation(taken(parts("B1 go, B2 in@5"), "B", 2, back)); got != "B1 go, B2 in@5" {
		t.Errorf("nobody is free: %s", got)
	}
}
