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
// (Play), and can be changed on many plays at once (PlayEdit). A tag in one of the three
// only would be refused, or come back undocumented.
func TestEveryTagIsInTheDocument(t *testing.T) {
	t.Parallel()
	doc, err := openapi3.NewLoader().LoadFromData(api.Document)
	if err != nil {
		t.Fatal(err)
	}
	properties := func(name string) openapi3.Schemas { return doc.Components.Schemas[name].Value.Properties }
	edit := properties("PlayEdit")["set"].Value.Properties
	one := map[string]bool{"game_id": true, "number": true, "routes": true, "routes_assumed": true} // of one play only
	play := reflect.TypeFor[tags.Play]()
	for i := range play.NumField() {
		name, _, _ := strings.Cut(play.Field(i).Tag.Get("json"), ",")
		if play.Field(i).Anonymous {
			continue // its identity, which every noun has
		}
		if properties("Play")[name] == nil {
			t.Errorf("%s: not under Play in api/openapi.yaml", name)
		}
		if name != "opponent_id" && properties("PlayInput")[name] == nil { // which is the game's
			t.Errorf("%s: not under PlayInput in api/openapi.yaml", name)
		}
		if name != "opponent_id" && !one[name] && edit[name] == nil {
			t.Errorf("%s: not under the set of PlayEdit in api/openapi.yaml", name)
		}
	}
}
