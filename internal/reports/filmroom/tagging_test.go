package filmroom

import (
	"reflect"
	"strings"
	"testing"

	"overhang/internal/tags"
)

// elsewhere are members of a play that the page sets without a field of its form, or
// leaves as they came: spreadsheets bring the last four.
var elsewhere = map[string]bool{"game_id": true, "opponent_id": true, "number": true, "routes": true,
	"routes_assumed": true, "throw_depth_yd": true, "throw_s": true, "target_route": true, "strength": true}

// TestEveryTagHasAField: what a play stores can be tagged, or stands in elsewhere; and the
// form has no field that a play does not store.
func TestEveryTagHasAField(t *testing.T) {
	fields := map[string]bool{}
	for _, g := range NewTagging(Head{}, nil, nil).Groups {
		for _, f := range g.Fields {
			if fields[f.Name] {
				t.Errorf("%s stands twice in the form", f.Name)
			}
			fields[f.Name] = true
			if f.Kind == "choice" && len(f.Choices) < 2 {
				t.Errorf("%s is a choice of %v: add its values in tags", f.Name, f.Choices)
			}
		}
	}
	play := reflect.TypeFor[tags.Play]()
	for i := range play.NumField() {
		if play.Field(i).Anonymous {
			continue // its identity
		}
		name, _, _ := strings.Cut(play.Field(i).Tag.Get("json"), ",")
		if name != "-" && !fields[name] && !elsewhere[name] {
			t.Errorf("%s: nobody can tag it: add a field to form (tagging.go), or say in elsewhere where it comes from", name)
		}
		delete(fields, name)
	}
	for name := range fields {
		t.Errorf("the form has the field %s, a play has not", name)
	}
}
