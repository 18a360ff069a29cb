package study

import (
	"reflect"
	"strings"
	"testing"

	"overhang/internal/tags"
)

// unsaid are members of a play that are no statement about the film: which play it is,
// what is worked out, and what one analyst notes for himself.
var unsaid = map[string]bool{"id": true, "version": true, "game_id": true, "opponent_id": true, "number": true,
	"created_at": true, "updated_at": true, "since_last": true, "note": true, "routes_assumed": true}

// TestEveryTagIsCompared: two analysts are compared on every tag that a play stores; a
// stored tag that statements does not list would never be found to differ.
func TestEveryTagIsCompared(t *testing.T) {
	var p tags.Play
	v := reflect.ValueOf(&p).Elem()
	for i := range v.NumField() {
		if f := v.Field(i); f.Kind() == reflect.Pointer {
			f.Set(reflect.New(f.Type().Elem()))
		}
	}
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
				t.Errorf("%s %s: analysts are not compared on it: add it to statements (agreement.go), "+
					"or say in unsaid why not", of.Name(), name)
			}
		}
	}
	check(reflect.TypeFor[tags.Play](), merged(unsaid, "routes"))
	check(reflect.TypeFor[tags.Route](), map[string]bool{"side": true, "number": true}) // where it stands
}

func merged(m map[string]bool, more ...string) map[string]bool {
	out := map[string]bool{}
	for k := range m {
		out[k] = true
	}
	for _, k := range more {
		out[k] = true
	}
	return out
}
