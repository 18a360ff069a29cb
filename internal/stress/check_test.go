package stress

import (
	"strings"
	"testing"

	"overhang/internal/stress/call"
)

// 8: an unreachable rule, a contradiction, an eligible nobody owes, a twelfth man
// are reported, naming defender and rule; the built-in book has none of them.
func TestCheck(t *testing.T) {
	const corner = `{"name":"corner","side":"both","align":[{"on":"#1","offset_yd":0,"depth_yd":7,"if_missing_yd":15}],"rules":[%s{"when":"else","then":"zone third"}]}`
	for _, tt := range []struct {
		name, rules, defender, rule, word string
	}{
		{"a rule behind one that always holds first",
			`{"when":"#1 vertical","then":"man #1"},{"when":"#1 vertical and #2 out","then":"man #2"},`, "corner",
			"#1 vertical and #2 out", "never gets used"},
		{"the narrow rule behind the wide one",
			`{"when":"#1 in","then":"zone third"},{"when":"#1 in before 5","then":"man #2"},`, "corner", "#1 in before 5",
			"never gets used"},
		{"a contradiction", `{"when":"#1 in","then":"man #1"},{"when":"#1 in","then":"man #2"},`, "corner", "#1 in",
			"contradicts"},
		{"two men at once", `{"when":"#1 in","then":"man #1; man #2"},`, "corner", "#1 in", "two receivers"},
		{"nobody in the middle", ``, "call", "", "nobody has the play side's #2"},
	} {
		c, err := call.Decode(strings.NewReader(`{"name":"x","defenders":[` + strings.Replace(corner, "%s", tt.rules, 1) +
			`]}`))
		if err != nil {
			t.Fatal(err)
		}
		p, err := call.Compile(c)
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, x := range checked(p) {
			found = found || x.Defender == tt.defender && x.Rule == tt.rule && strings.Contains(x.Message, tt.word)
		}
		if !found {
			t.Errorf("%s: %+v; want %s, %q, %q", tt.name, checked(p), tt.defender, tt.rule, tt.word)
		}
	}
	for _, p := range call.Book() {
		for _, x := range checked(p) {
			if x.Severity == call.Refused {
				t.Errorf("built-in %s: %+v", p.Call.Name, x)
			}
		}
		for _, x := range p.Call.Faults() {
			if x.Severity == call.Refused {
				t.Errorf("built-in %s: %+v", p.Call.Name, x)
			}
		}
		if n := len(p.Slots); n != 11 {
			t.Errorf("built-in %s has %d men", p.Call.Name, n)
		}
	}
}

func TestUnreadable(t *testing.T) {
	for bad, word := range map[string]string{
		`{"name":"x","defenders":[{"name":"a","side":"left","align":[],"rules":[]}]}`:                                                                                                           "side",
		`{"name":"x","defenders":[{"name":"a","side":"weak","align":[],"rules":[]}]}`:                                                                                                           "alignment",
		`{"name":"x","defenders":[{"name":"a","side":"weak","align":[{"on":"ball","offset_yd":0,"depth_yd":5}],"rules":[{"when":"#1 sideways","then":"hold"},{"when":"else","then":"hold"}]}]}`: "sideways",
		`{"name":"x","defenders":[{"name":"a","side":"weak","align":[{"on":"ball","offset_yd":0,"depth_yd":5}],"rules":[{"when":"else","then":"tackle #1"}]}]}`:                                 "tackle",
		`{"name":"x","defenders":[{"name":"a","side":"weak","align":[{"on":"ball","offset_yd":0,"depth_yd":5}],"rules":[{"when":"else","then":"zone nowhere"}]}]}`:                              "nowhere",
		`{"name":"x","defenders":[{"name":"a","side":"weak","align":[{"on":"ball","offset_yd":0,"depth_yd":5}],"rules":[{"when":"#1 in","then":"hold"}]}]}`:                                     "else",
		`{"name":"x","color":"red","defenders":[]}`: "color",
	} {
		c, err := call.Decode(strings.NewReader(bad))
		if err == nil {
			_, err = call.Compile(c)
		}
		if err == nil || !strings.Contains(err.Error(), word) {
			t.Errorf("%s: %v; want an error that names %q", bad, err, word)
		}
	}
}
