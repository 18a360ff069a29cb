package plan

import (
	"testing"

	"overhang/internal/tags"
)

func TestCallbook(t *testing.T) {
	two, four := "cover 2", "cover 4"
	v := tags.NewVocabulary([]tags.Word{{Field: "coverage", Word: two}, {Field: "coverage", Word: four},
		{Field: "coverage", Word: "cover 1"},
		{Field: "coverage", Word: "cloud", AliasOf: &two}, {Field: "coverage", Word: "box", AliasOf: &four},
		{Field: "coverage", Word: "read", AliasOf: &four}})
	b := NewCallbook(v, []Named{{Name: "Cover 1"}, {Name: "cloud"}, {Name: "box"}, {Name: "read"}, {Name: "cover  1"}})
	for coverage, want := range map[string]string{"cover 1": "Cover 1", "COVER 1": "Cover 1", "cover 2": "cloud",
		"cloud": "cloud", "cover 4": "" /* box or read */, "box": "box", "cover 6": ""} {
		got := ""
		if c := b.Call(coverage); c != nil {
			got = c.Name
		}
		if got != want {
			t.Errorf("%q means %q, want %q", coverage, got, want)
		}
	}
	b.Renamed(map[string]string{"Cover 6": "box", "lost": "nobody's"})
	if c := b.Call("cover 6"); c == nil || c.Name != "box" || b.Call("lost") != nil {
		t.Errorf("by its former name the call is %v, one that is gone %v", c, b.Call("lost"))
	}
}
