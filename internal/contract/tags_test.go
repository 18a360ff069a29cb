package contract

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"overhang/api"
	"overhang/internal/tags"
)

// TestEveryTagIsInTheDocument: what a play stores can be sent (PlayInput), is answered
// (Play), can be changed on many plays at once (PlayEdit) and tagged blind (Seen), and a tag of
// fixed words has them there. A tag that one of them lacks would be refused, or come back
// undocumented.
func TestEveryTagIsInTheDocument(t *testing.T) {
	t.Parallel()
	doc, err := openapi3.NewLoader().LoadFromData(api.Document)
	if err != nil {
		t.Fatal(err)
	}
	properties := func(name string) openapi3.Schemas { return doc.Components.Schemas[name].Value.Properties }
	// Which play it is, or not of an analyst's eyes: nobody sets these on many plays, or tags them blind.
	const which, unseen = " game_id number routes_assumed ", " since_last note "
	lists := []struct {
		name, without string
		tags          openapi3.Schemas
	}{{"Play", "", properties("Play")}, {"PlayInput", " opponent_id ", properties("PlayInput")},
		{"the set of PlayEdit", " opponent_id " + which, properties("PlayEdit")["set"].Value.Properties},
		{"Seen", " opponent_id " + which + unseen, properties("Seen")}}
	play := reflect.TypeFor[tags.Play]()
	for i := range play.NumField() {
		name, _, _ := strings.Cut(play.Field(i).Tag.Get("json"), ",")
		for _, l := range lists {
			p := l.tags[name]
			switch {
			case play.Field(i).Anonymous: // its identity, which every noun has
			case p == nil && !strings.Contains(l.without, " "+name+" "):
				t.Errorf("%s: not under %s in api/openapi.yaml", name, l.name)
			case p != nil && tags.Allowed(name) != nil && !reflect.DeepEqual(words(p), tags.Allowed(name)):
				t.Errorf("%s: the words under %s are %q, in package tags %q", name, l.name, words(p), tags.Allowed(name))
			}
		}
	}
}

// words are what a property may say, without null.
func words(p *openapi3.SchemaRef) (out []string) {
	for _, v := range p.Value.Enum {
		if w, ok := v.(string); ok {
			out = append(out, w)
		}
	}
	return out
}

// TestEveryFieldIsDescribed: each parameter, header and member of the document says what it is.
func TestEveryFieldIsDescribed(t *testing.T) {
	t.Parallel()
	doc, err := openapi3.NewLoader().LoadFromData(api.Document)
	if err != nil {
		t.Fatal(err)
	}
	said := 0
	told := func(at, description string) {
		if said++; strings.TrimSpace(description) == "" {
			t.Errorf("%s has no description", at)
		}
	}
	var walk func(at string, s *openapi3.SchemaRef)
	walk = func(at string, s *openapi3.SchemaRef) {
		if s == nil || s.Ref != "" {
			return
		}
		for name, m := range s.Value.Properties {
			told(at+"."+name, m.Value.Description)
			walk(at+"."+name, m)
		}
		walk(at+"[]", s.Value.Items)
		for _, part := range s.Value.AllOf {
			walk(at, part)
		}
	}
	for name, s := range doc.Components.Schemas {
		walk(name, s)
	}
	content := func(at string, c openapi3.Content) {
		for _, m := range c {
			walk(at, m.Schema)
		}
	}
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			at := method + " " + path
			for _, p := range slices.Concat(item.Parameters, op.Parameters) {
				told(at+" "+p.Value.Name, p.Value.Description)
				walk(at+" "+p.Value.Name, p.Value.Schema)
			}
			if op.RequestBody != nil {
				content(at, op.RequestBody.Value.Content)
			}
			for status, r := range op.Responses.Map() {
				for name, h := range r.Value.Headers {
					told(at+" "+status+" "+name, h.Value.Description)
				}
				content(at+" "+status, r.Value.Content)
			}
		}
	}
	if said < 1500 {
		t.Errorf("only %d were looked at", said)
	}
}
