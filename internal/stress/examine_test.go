package stress

import (
	"encoding/json"
	"slices"
	"strconv"
	"strings"
	"testing"

	"overhang/internal/stress/call"
)

// A spoiled call is one of the book with one text changed, and what must be said of it.
type spoiled struct {
	name, call, old, new string
	path, word           string
	severity             call.Severity
}

var spoils = []spoiled{
	{"a mistyped name in a check", "quarters match", `"name": "strong safety"`, `"name": "strong safty"`,
		"/checks/0/defenders/0/name", `did you mean "strong safety"?`, call.Refused},
	{"the same leaves twelve", "quarters match", `"name": "strong safety"`, `"name": "strong safty"`,
		"/checks/0/defenders", "12 men", call.Refused},
	{"a man named twice", "cover 6", `"name": "weak half safety"`, `"name": "weak corner"`, "/defenders/5/name", "two men",
		call.Refused},
	{"ten men", "cover 3 spot", `"name": "strong hook", "side"`, `"name": "weak hook", "side"`, "/defenders", "",
		call.Warning},
	{"thresholds crossed", "palms", `"under_yd": 5`, `"under_yd": 9`, "/under_yd", "crossed", call.Refused},
	{"a threshold of zero", "palms", `"vertical_yd": 5`, `"vertical_yd": 0`, "/vertical_yd", "usual depth", call.Refused},
	{"off the field", "cover 3 spot", `"offset_yd": -1.5`, `"offset_yd": -41.5`, "/defenders/2/align/3/offset_yd",
		"off the field", call.Refused},
	{"too deep", "cover 3 spot", `"depth_yd": 13`, `"depth_yd": 130`, "/defenders/1/align/0/depth_yd",
		"type a depth", call.Refused},
	{"behind the line", "cover 3 spot", `"depth_yd": 13`, `"depth_yd": -2`, "/defenders/1/align/0/depth_yd",
		"type a depth", call.Refused},
	{"a technique", "two-man", `"technique": "trail"`, `"technique": "trial"`, "/defenders/0/align/0/technique",
		`did you mean "trail"?`, call.Refused},
	{"a landmark", "tampa 2", `"on": "apex"`, `"on": "apx"`, "/defenders/2/align/3/on", "landmark", call.Refused},
	{"a run role", "tampa 2", `"fit": "plug"`, `"fit": "plugg"`, "/defenders/3/fit", "run role", call.Refused},
	{"a role", "tampa 2", `"roles": ["middle"]`, `"roles": ["midle"]`, "/defenders/3/roles/0", `did you mean "middle"?`,
		call.Refused},
	{"a key", "tampa 2", `"keys": ["#3"]`, `"keys": ["#9"]`, "/defenders/3/keys/0", "not a receiver", call.Refused},
	{"a key no rule uses", "tampa 2", `"keys": ["#3"]`, `"keys": ["#3", "far #3"]`, "/defenders/3/keys/1",
		"none of his rules", call.Warning},
	{"a zone", "cover 3 spot", `"zone middle third"`, `"zone middle thrid"`, "/defenders/1/rules/0/then",
		`did you mean "middle third"?`, call.Refused},
	{"an action", "palms", `"#2 up"`, `"#2 upp"`, "/defenders/0/rules/2/when", "upp", call.Refused},
	{"a member", "palms", `"title"`, `"tittle"`, "/tittle", `did you mean "title"?`, call.Refused},
	{"a member of a line-up", "cover 3 spot", `"offset_yd": -1.5`, `"ofset_yd": -1.5`, "/defenders/2/align/3/ofset_yd",
		`did you mean "offset_yd"?`, call.Refused},
	{"twelve men and a word", "cover 3 spot", `"defenders": [`, `"defenders": [{"name": "twelfth", "side": "strong",
		"align": [{"on": "bal", "offset_yd": 0, "depth_yd": 5}], "rules": [{"when": "else", "then": "zone hole"}]},`,
		"/defenders", "12 men", call.Refused},
	{"a rush at a receiver", "tampa 2", `"then": "rush"`, `"then": "rush #2"`, "/defenders/4/rules/0/then",
		`type "rush" alone`, call.Refused},
	{"a crossing", "cover 3 mable", `"#1 crosses #2", "then": "man #1 inside"`, `"#1 crosess #2", "then": "man #1 inside"`,
		"/defenders/3/rules/0/when", `did you mean "crosses"?`, call.Refused},
	{"both at once", "palms", `"#2 out and #1 in/stop"`, `"#2 out and #2 in/stop"`, "/defenders/0/rules/0", "never true",
		call.Refused},
	{"a depth below zero", "palms", `"vertical_yd": 5`, `"vertical_yd": -5`, "/vertical_yd", "type a depth", call.Refused},
	{"a route given up", "cover 2 carry", `"route": "dig"`, `"route": "digg"`, "/gives/0/route", "digg", call.Refused},
	{"a check behind another", "cover 6", `"checks": [`, `"checks": [{"name": "all", "when": "trips or single or twins",
		"defenders": [{"name": "middle", "side": "strong", "align": [{"on": "ball", "offset_yd": 0, "depth_yd": 5}],
		"rules": [{"when": "else", "then": "zone hole"}]}]},`, "/checks/1/when", "put it in front", call.Refused},
	{"half an exchange", "cover 3 mable", `{"when": "#1 crosses #2", "then": "man #1 inside"},`, ``,
		"/defenders/0/rules/0", "half an exchange", call.Refused},
}

// TestExamine: every fault of the list is refused (or warned of) at its place in the
// document; the list is that of what a coordinator's own call got wrong, common practice.
func TestExamine(t *testing.T) {
	t.Parallel()
	for _, s := range spoils {
		faults := examined(t, s)
		if !slices.ContainsFunc(faults, func(f call.Fault) bool {
			return f.Path == s.path && f.Severity == s.severity && strings.Contains(f.Message, s.word) && f.Defender != ""
		}) {
			t.Errorf("%s: no fault at %q that says %q: %+v", s.name, s.path, s.word, faults)
		}
	}
}

// examined spoils a call of the book and lists its faults, each of which must stand at a
// place that the document has.
func examined(t *testing.T, s spoiled) []call.Fault {
	t.Helper()
	raw := bookFile(t, s.call)
	bad := strings.Replace(raw, s.old, s.new, 1)
	if bad == raw {
		t.Fatalf("%s: nothing to change in %s", s.name, s.call)
	}
	_, faults, err := Examine(t.Context(), []byte(bad))
	if err != nil {
		t.Fatal(err)
	}
	var doc any
	if err := json.Unmarshal([]byte(bad), &doc); err != nil {
		t.Fatal(err)
	}
	for _, f := range faults {
		if !stands(doc, f.Path) {
			t.Errorf("%s: the document has no %q: %+v", s.name, f.Path, f)
		}
	}
	return faults
}

// bookFile is a call of the book as its file has it, but for the white space.
func bookFile(t *testing.T, name string) string {
	t.Helper()
	p, err := call.Lookup(name)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := p.Call.Encode()
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for _, line := range strings.Split(string(raw), "\n") {
		line = strings.TrimSpace(line)
		b.WriteString(line)
		if strings.HasSuffix(line, ",") {
			b.WriteByte(' ')
		}
	}
	return strings.ReplaceAll(b.String(), `} {`, `}{`)
}

// stands follows a JSON Pointer (RFC 6901); the member at its end may be missing, since
// it can be that which is missing.
func stands(doc any, path string) bool {
	if path == "" {
		return true
	}
	parts := strings.Split(path[1:], "/")
	for n, p := range parts {
		switch v := doc.(type) {
		case map[string]any:
			next, ok := v[p]
			if !ok {
				return n == len(parts)-1
			}
			doc = next
		case []any:
			i, err := strconv.Atoi(p)
			if err != nil || i >= len(v) {
				return false
			}
			doc = v[i]
		default:
			return false
		}
	}
	return true
}

// TestExamineAll: all faults of a document are told at once, and the same check twice is
// one of them.
func TestExamineAll(t *testing.T) {
	t.Parallel()
	p, err := call.Lookup("quarters match")
	if err != nil {
		t.Fatal(err)
	}
	raw, err := p.Call.Encode()
	if err != nil {
		t.Fatal(err)
	}
	var c call.Call
	if err := json.Unmarshal(raw, &c); err != nil {
		t.Fatal(err)
	}
	again := c.Checks[0]
	again.Name = "solo again"
	c.Checks = append(c.Checks, again)
	c.Defenders[0].Align[0].Technique = "prss"
	c.Defenders[1].Fit = "ally"
	c.Defenders[2].Rules[0].When = "#2 sideways"
	if raw, err = json.Marshal(c); err != nil {
		t.Fatal(err)
	}
	_, faults, err := Examine(t.Context(), raw)
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/checks/1/when", "/defenders/0/align/0/technique", "/defenders/1/fit",
		"/defenders/2/rules/0/when"} {
		if !slices.ContainsFunc(faults, func(f call.Fault) bool { return f.Path == path && f.Severity == call.Refused }) {
			t.Errorf("nothing is said of %s: %+v", path, faults)
		}
	}
}
