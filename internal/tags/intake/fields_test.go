package intake

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"testing"

	"overhang/internal/tags"
)

// TestSetters: a field of each kind takes its value and nothing else, and what the text
// is not is refused with the field left unknown.
func TestSetters(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ field, value, want string }{
		{"number", "7", `"number":7`}, {"down", "3.0", `"down":3`}, {"down", "3.5", ""}, {"down", "third", ""},
		{"status", "kneel", `"status":"kneel"`}, {"throw_s", "2.4", `"throw_s":2.4`}, {"throw_s", "soon", ""},
		{"hash", "left", `"hash":"left"`}, {"pressured", "yes", `"pressured":true`},
		{"pressured", "0", `"pressured":false`}, {"pressured", "perhaps", ""}, {"touchdown", "1", `"touchdown":true`},
		{"coverage_kind", "man", `"coverage_kind":"man"`},
	} {
		var p, none tags.Play
		err := setters[c.field](&p, c.value)
		got, _ := json.Marshal(p)
		before, _ := json.Marshal(none)
		if (err == nil) != (c.want != "") || c.want == "" && string(got) != string(before) ||
			!strings.Contains(string(got), c.want) {
			t.Errorf("%s = %q: %v, %s; want %s", c.field, c.value, err, got, c.want)
		}
	}
}

// TestSettersAreTheTags: every single value of a play and of a route can be mapped but its
// identity, and assumed routes, which nobody saw.
func TestSettersAreTheTags(t *testing.T) {
	t.Parallel()
	for _, no := range []string{"id", "version", "updated_at", "game_id", "opponent_id", "routes", "routes_assumed",
		""} {
		if setters[no] != nil {
			t.Errorf("a sheet could set %q", no)
		}
	}
	if n := len(setters); n < 31 {
		t.Errorf("%d fields of a play can be mapped: %v", n, slices.Sorted(maps.Keys(setters)))
	}
	want := []string{"break_depth_yd", "break_direction", "eligible", "number", "route", "side", "targeted"}
	if got := slices.Sorted(maps.Keys(routeSetters)); !slices.Equal(got, want) {
		t.Errorf("of a route %v; want %v", got, want)
	}
}
