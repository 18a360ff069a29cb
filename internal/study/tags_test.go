package study

import (
	"reflect"
	"strings"
	"testing"

	"overhang/internal/tags"
)

// TestEveryTagIsCompared: two analysts are compared on every tag that a play stores; a
// stored tag that statements leaves out would never be found to differ.
func TestEveryTagIsCompared(t *testing.T) {
	var p tags.Play
	v := reflect.ValueOf(&p).Elem()
	for i := range v.NumField() {
		if f := v.Field(i); f.Kind() == reflect.Pointer {
			f.Set(reflect.New(f.Type().Elem()))
			if f.Elem().Kind() == reflect.String {
				f.Elem().SetString("x")
			}
		}
	}
	p.Status = "counted"
	depth, direction := 6.0, "in"
	p.Routes = []tags.Route{{Side: "left", Number: 1, Eligible: "back", Route: "hitch", BreakDepthYd: &depth,
		BreakDirection: &direction}}
	said := map[string]bool{}
	for s := range statements(&p) {
		said[s.field] = true
	}
	check := func(of reflect.Type, skip map[string]bool) {
		for i := range of.NumField() {
			name, _, _ := strings.Cut(of.Field(i).Tag.Get("json"), ",")
			if name != "" && name != "-" && !skip[name] && !said[name] {
				t.Errorf("%s %s: analysts are not compared on it: its kind is unknown to text (agreement.go), "+
					"or unsaid leaves it out", of.Name(), name)
			}
		}
	}
	check(reflect.TypeFor[tags.Play](), map[string]bool{"game_id": true, "opponent_id": true, "number": true,
		"since_last": true, "note": true, "routes_assumed": true, "routes": true})
	check(reflect.TypeFor[tags.Route](), map[string]bool{"side": true, "number": true}) // where it stands
}
