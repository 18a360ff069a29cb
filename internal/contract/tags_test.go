package contract

import (
	"reflect"
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
