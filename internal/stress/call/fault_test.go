package call

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"overhang/internal/stress/field"
)

// sound is a call without a fault in its words: every part of one, small.
func sound() *Call {
	els := Rule{"else", "zone flat"}
	return &Call{Name: "ours", Under: 5, Vertical: 7,
		Zones: map[string]Zone{"spot": {X0: 2, X1: 9, Y0: 0, Y1: 12, X: 5, Y: 8, Sink: 9}},
		Defenders: []Defender{
			{Name: "corner", Side: "both", Roles: []string{"corner"}, Body: "back", Keys: []string{"#1", "far #2"},
				Fit:   "force",
				Align: []Align{{On: "#1", Offset: -1, Depth: 6, Technique: "press", Missing: 15}},
				Rules: []Rule{{"#1 vertical", "man #1"}, {"far #2 in before 5", "help zone spot"}, els}},
			{Name: "middle", Side: "strong", Align: []Align{{When: "trips", On: "hash", Depth: 4}, {On: "ball", Depth: 5}},
				Rules: []Rule{els}},
		},
		Checks: []Check{{Name: "empty", When: "empty", Defenders: []Defender{{Name: "middle", Side: "strong",
			Align: []Align{{On: "ball"}}, Rules: []Rule{els}}}}},
		Gives: []Gift{{Receiver: "#2", When: "trips", Why: "the flat is far"}},
	}
}

// TestFaultsOneByOne breaks a sound call in one place at a time: the one fault that is found is
// named by where it stands (a JSON Pointer) and by whose it is.
func TestFaultsOneByOne(t *testing.T) {
	t.Parallel()
	if fs := sound().Faults(); len(fs) > 0 {
		t.Fatalf("a sound call has faults: %+v", fs)
	}
	const corner, middle = "corner", "middle"
	for _, tt := range []struct {
		path, who string
		spoil     func(*Call)
		says      string
	}{
		{"/name", "call", func(c *Call) { c.Name = "" }, "name"},
		{"/under_yd", "call", func(c *Call) { c.Under = -1 }, "-1"},
		{"/under_yd", "call", func(c *Call) { c.Under = 7.5 }, "7.5"}, // past the vertical one
		{"/vertical_yd", "call", func(c *Call) { c.Vertical = 30.5 }, "30.5"},
		{"/vertical_yd", "call", func(c *Call) { c.Vertical = -0.5 }, "-0.5"},
		{"/zones/spot", "call", func(c *Call) { zone(c, func(z *Zone) { z.X1 = z.X0 }) }, "2"},
		{"/zones/spot", "call", func(c *Call) { zone(c, func(z *Zone) { z.Y1 = -1 }) }, "-1"},
		{"/zones/spot", "call", func(c *Call) { zone(c, func(z *Zone) { z.X = 27 }) }, "27"},
		{"/zones/spot", "call", func(c *Call) { zone(c, func(z *Zone) { z.Y = -12.5 }) }, "-12.5"},
		{"/zones/spot", "call", func(c *Call) { zone(c, func(z *Zone) { z.Y = 41 }) }, "41"},
		{"/zones/spot/sink_yd", "call", func(c *Call) { zone(c, func(z *Zone) { z.Sink = -1 }) }, "-1"},
		{"/zones/spot/sink_yd", "call", func(c *Call) { zone(c, func(z *Zone) { z.Sink = 40.5 }) }, "40.5"},
		{"/zones/a~1b~0c", "call", func(c *Call) { c.Zones["a/b~c"] = Zone{} }, ""}, // RFC 6901, 3
		{"/defenders/0/name", "a defender with no name", func(c *Call) { c.Defenders[0].Name = "" }, "name"},
		{"/defenders/0/side", corner, func(c *Call) { c.Defenders[0].Side = "left" }, `"left"`},
		{"/defenders/1/side", middle, func(c *Call) { c.Defenders[1].Side = "" }, "strong"},
		{"/defenders/0/body", corner, func(c *Call) { c.Defenders[0].Body = "bakc" }, `"back"`},
		{"/defenders/0/fit", corner, func(c *Call) { c.Defenders[0].Fit = "spill" }, "alley"},
		{"/defenders/0/roles/0", corner, func(c *Call) { c.Defenders[0].Roles[0] = "corne" }, `"corner"`},
		{"/defenders/0/keys/2", corner, func(c *Call) { c.Defenders[0].Keys = append(c.Defenders[0].Keys, "#6") }, "#6"},
		{"/defenders/0/keys/0", corner, func(c *Call) { c.Defenders[0].Keys[0] = "#1 out" }, "#1 out"},
		{"/defenders/0/align", corner, func(c *Call) { c.Defenders[0].Align = nil }, "line"},
		{"/defenders/1/align/0/when", middle, func(c *Call) { c.Defenders[1].Align[0].When = "tripps" }, "tripps"},
		{"/defenders/1/align/1/on", middle, func(c *Call) { c.Defenders[1].Align[1].On = "" }, "apex"},
		{"/defenders/1/align/1/on", middle, func(c *Call) { c.Defenders[1].Align[1].On = "bal" }, `"ball"`},
		{"/defenders/0/align/0/technique", corner, func(c *Call) { c.Defenders[0].Align[0].Technique = "soft" }, "trail"},
		{"/defenders/0/align/0/offset_yd", corner, func(c *Call) { c.Defenders[0].Align[0].Offset = -12.5 }, "-12.5"},
		{"/defenders/1/align/1/offset_yd", middle, func(c *Call) { c.Defenders[1].Align[1].Offset = 26.7 }, "26.7"},
		{"/defenders/0/align/0/depth_yd", corner, func(c *Call) { c.Defenders[0].Align[0].Depth = -0.1 }, "-0.1"},
		{"/defenders/0/align/0/depth_yd", corner, func(c *Call) { c.Defenders[0].Align[0].Depth = 40.1 }, "40.1"},
		{"/defenders/0/align/0/if_missing_yd", corner, func(c *Call) { c.Defenders[0].Align[0].Missing = 27 }, "27"},
		{"/defenders/0/rules/0/when", corner, func(c *Call) { c.Defenders[0].Rules[0].When = "#1 sideways" }, "sideways"},
		{"/defenders/0/rules/1/when", corner, func(c *Call) { c.Defenders[0].Rules[1].When = "far #2 in before 31" }, "31"},
		{"/defenders/0/rules/1/when", corner, func(c *Call) {
			c.Defenders[0].Rules[1].When = "trips or not far #2 in before 31"
		}, "31"},
		{"/defenders/0/rules/0/then", corner, func(c *Call) { c.Defenders[0].Rules[0].Then = "tackle #1" }, "tackle"},
		{"/defenders/0/rules/1/then", corner, func(c *Call) { c.Defenders[0].Rules[1].Then = "zone spto" }, `"spot"`},
		{"/defenders/0/rules", corner, func(c *Call) { c.Defenders[0].Rules[2].When = "#1 out" }, "else"},
		{"/defenders/1/rules", middle, func(c *Call) { c.Defenders[1].Rules = nil }, "else"},
		{"/defenders/2/name", middle, func(c *Call) { c.Defenders = append(c.Defenders, c.Defenders[1]) }, "/defenders/1"},
		{"/checks/0/when", "call", func(c *Call) { c.Checks[0].When = "emty" }, "emty"},
		{"/checks/0/defenders", "call", func(c *Call) { c.Checks[0].Defenders = nil }, "empty"},
		{"/checks/0/defenders/0/align", middle, func(c *Call) { c.Checks[0].Defenders[0].Align = nil }, "line"},
		{"/checks/1/name", "call", func(c *Call) { again(c, "Empty", "trips") }, "Empty"},
		{"/checks/1/when", "call", func(c *Call) { again(c, "other", " EMPTY ") }, "empty"},
		{"/gives/0/receiver", "call", func(c *Call) { c.Gives[0].Receiver = "#9" }, "#9"},
		{"/gives/0/receiver", "call", func(c *Call) { c.Gives[0].Receiver = "#1 out" }, "#1 out"},
		{"/gives/0/when", "call", func(c *Call) { c.Gives[0].When = "tripps" }, "tripps"},
		{"/gives/0/why", "call", func(c *Call) { c.Gives[0].Why = "" }, "why"},
	} {
		c := sound()
		tt.spoil(c)
		fs := c.Faults()
		if len(fs) != 1 || fs[0].Path != tt.path || fs[0].Defender != tt.who || fs[0].Severity != Refused {
			t.Errorf("%s of the %s: found %+v", tt.path, tt.who, fs)
		} else if !strings.Contains(fs[0].Message, tt.says) {
			t.Errorf("%s: %q does not say %q", tt.path, fs[0].Message, tt.says)
		}
	}
	nobody := &Call{Name: "nobody"}
	if fs := nobody.Faults(); len(fs) != 1 || fs[0].Path != "/defenders" {
		t.Errorf("nobody is in the call: %+v", fs)
	}
}

func zone(c *Call, change func(*Zone)) {
	z := c.Zones["spot"]
	change(&z)
	c.Zones["spot"] = z
}

func again(c *Call, name, when string) {
	c.Checks = append(c.Checks, Check{Name: name, When: when, Defenders: c.Checks[0].Defenders})
}

// TestBounds are the last numbers that are taken: a call at all of them at once has no fault.
func TestBounds(t *testing.T) {
	t.Parallel()
	c := sound()
	c.Under, c.Vertical = 30, 30
	zone(c, func(z *Zone) { z.X, z.Y, z.Sink = -26.6, -12, 40 })
	c.Defenders[0].Align[0] = Align{On: "#1", Offset: 12, Depth: 40, Missing: -26.6}
	c.Defenders[1].Align[1] = Align{On: "ball", Offset: -26.6}
	c.Defenders[0].Rules[1].When = "far #2 in before 30"
	if fs := c.Faults(); len(fs) > 0 {
		t.Errorf("%+v", fs)
	}
}

// TestIdleKey: a key that no rule asks about is a warning; what a duty names is asked about.
func TestIdleKey(t *testing.T) {
	t.Parallel()
	c := sound()
	c.Defenders[0].Keys = []string{"#1", "#3", "far #2"}
	if fs := c.Faults(); len(fs) != 1 || fs[0].Path != "/defenders/0/keys/1" || fs[0].Severity != Warning {
		t.Errorf("#3 is read for nothing: %+v", fs)
	}
	c.Defenders[0].Rules[1].Then = "man #3"
	if fs := c.Faults(); len(fs) > 0 {
		t.Errorf("a duty names #3: %+v", fs)
	}
	c.Defenders[0].Rules[1].Then = "man #" // cannot be read: it may be about #3
	if fs := c.Faults(); len(fs) != 1 || fs[0].Path != "/defenders/0/rules/1/then" {
		t.Errorf("an unreadable duty: %+v", fs)
	}
}

// TestCheckOneByOne is what is found in a call that can be read and does not hold together.
func TestCheckOneByOne(t *testing.T) {
	t.Parallel()
	man := func(name string, rules ...Rule) Defender {
		return Defender{Name: name, Side: "strong", Align: []Align{{On: "ball"}}, Rules: append(rules, Rule{"else",
			"hold"})}
	}
	eleven := func(change func(*Call)) *Call {
		c := &Call{Name: "ours"}
		for i := range 11 {
			c.Defenders = append(c.Defenders, man(fmt.Sprintf("man %d", i+1)))
		}
		change(c)
		return c
	}
	crossing := Rule{"#1 crosses #2", "man #2"}
	for _, tt := range []struct {
		name     string
		change   func(*Call)
		path     string // "" nothing is found
		severity Severity
	}{
		{"eleven", func(*Call) {}, "", ""},
		{"ten", func(c *Call) { c.Defenders = c.Defenders[1:] }, "/defenders", Warning},
		{"twelve", func(c *Call) { c.Defenders = append(c.Defenders, man("man 12")) }, "/defenders", Refused},
		{"a contradiction", func(c *Call) {
			c.Defenders[2] = man("man 3", Rule{"#1 out", "man #1"}, Rule{"#1 out", "man #2"})
		}, "/defenders/2/rules/1", Refused},
		{"the same line twice", func(c *Call) {
			c.Defenders[2] = man("man 3", Rule{"#1 out", "man #1"}, Rule{"#1 out", "man #1"})
		}, "/defenders/2/rules/1", Refused},
		{"two men at once", func(c *Call) { c.Defenders[2] = man("man 3", Rule{"#1 out", "man #1; man #2"}) },
			"/defenders/2/rules/0", Refused},
		{"one man twice", func(c *Call) { c.Defenders[2] = man("man 3", Rule{"#1 out", "man #1; bump #2; zone flat"}) },
			"", ""},
		{"never reached", func(c *Call) {
			c.Defenders[4] = man("man 5", Rule{"#2 short", "man #2"}, Rule{"#2 out", "hold"})
		}, "/defenders/4/rules/1", Refused},
		{"never reached past everything", func(c *Call) {
			c.Defenders[4] = man("man 5", Rule{"trips or not trips", "man #2"}, Rule{"#2 out", "hold"})
		}, "/defenders/4/rules/1", Refused},
		{"reached by depth", func(c *Call) {
			c.Defenders[4] = man("man 5", Rule{"#2 out before 3", "man #2"}, Rule{"#2 out", "hold"})
		}, "", ""},
		{"half an exchange", func(c *Call) { c.Defenders[5] = man("man 6", crossing) }, "/defenders/5/rules/0", Refused},
		{"an exchange", func(c *Call) {
			c.Defenders[5], c.Defenders[6] = man("man 6", crossing), man("man 7", Rule{"#2 crosses #1", "man #1"})
		}, "", ""},
		{"an exchange across the ball", func(c *Call) {
			c.Defenders[5], c.Defenders[6] = man("man 6", crossing), man("man 7", Rule{"#2 crosses #1", "man #1"})
			c.Defenders[6].Side = "weak"
		}, "/defenders/5/rules/0", Refused},
		{"no crossing is none", func(c *Call) { c.Defenders[5] = man("man 6", Rule{"not #1 crosses #2", "man #1"}) }, "",
			""},
		{"a stranger in a check", func(c *Call) {
			c.Checks = []Check{{Name: "trips", When: "trips", Defenders: []Defender{man("man 33")}}}
		}, "/checks/0/defenders/0/name", Refused},
		{"a check of one of them", func(c *Call) {
			c.Checks = []Check{{Name: "trips", When: "trips", Defenders: []Defender{man("man 3", Rule{"#1 out", "man #1"})}}}
		}, "", ""},
		{"a fault in a check", func(c *Call) {
			c.Checks = []Check{{Name: "trips", When: "trips", Defenders: []Defender{man("man 3", Rule{"#1 out",
				"man #1; man #2"})}}}
		}, "/checks/0/defenders/0/rules/0", Refused},
	} {
		p, err := Compile(eleven(tt.change))
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		fs, err := p.Check(t.Context())
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
		}
		at := func(f Fault) bool { return f.Path == tt.path && f.Severity == tt.severity }
		if (tt.path == "") != (len(fs) == 0) || tt.path != "" && !slices.ContainsFunc(fs, at) {
			t.Errorf("%s: %+v, want one at %q", tt.name, fs, tt.path)
		}
	}
}

// TestReadDuties: every verb with whom it is about, and what is refused, by the words.
func TestReadDuties(t *testing.T) {
	t.Parallel()
	for s, want := range map[string][]Duty{
		"man #1":                    {{Verb: Man, Who: Who{Number: 1}}},
		"MAN far #2 Inside":         {{Verb: Man, Who: Who{Number: 2, Far: true}, Leverage: -1}},
		"man back outside trail":    {{Verb: Man, Leverage: 1, Trail: true}},
		"help #3":                   {{Verb: HelpOn, Who: Who{Number: 3}, Help: true}},
		"zone flat":                 {{Verb: InZone, Zone: "flat"}},
		"zone far curl-flat":        {{Verb: InZone, Zone: "curl-flat", FarZone: true}},
		"help zone middle third":    {{Verb: InZone, Zone: "middle third", Help: true}},
		"hold":                      {{Verb: Hold}},
		"rush":                      {{Verb: Rush}},
		"bump #1; zone flat":        {{Verb: Bump, Who: Who{Number: 1}}, {Verb: InZone, Zone: "flat"}},
		"under #2 ; squeeze #1":     {{Verb: Under, Who: Who{Number: 2}}, {Verb: Squeeze, Who: Who{Number: 1}}},
		"carry #5":                  {{Verb: Carry, Who: Who{Number: 5}}},
		"read far back":             {{Verb: Read, Who: Who{Far: true}}},
		"  man   #1":                nil,
		"tackle #1":                 nil,
		"man":                       nil,
		"man #0":                    nil,
		"man #1 loosely":            nil,
		"man #1;":                   nil,
		"":                          nil,
		"man #1 inside; loiter #2":  nil,
		"man #12":                   nil,
		"help":                      nil,
		"zone flat; zone":           {{Verb: InZone, Zone: "flat"}, {Verb: InZone}},
		"man far #2 outside inside": {{Verb: Man, Who: Who{Number: 2, Far: true}, Leverage: -1}},
	} {
		got, err := ParseDuties(s)
		if (err != nil) != (want == nil) || want != nil && !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %+v, %v; want %+v", s, got, err, want)
		}
	}
	if _, err := ParseDuties("man #1; loiter #2"); err == nil || !strings.Contains(err.Error(), `"loiter #2"`) {
		t.Errorf("%v; want the part that is wrong", err)
	}
}

// TestAreas: a zone lies on the right as it is written and on the left as its image; its edges
// are its own.
func TestAreas(t *testing.T) {
	t.Parallel()
	for name, z := range standardZones {
		a := areaOf(name, z)
		l, r := a.Side(-1), a.Side(1)
		if l.X0 != -r.X1 || l.X1 != -r.X0 || l.Mark != r.Mark.Mirror() || l.Y0 != r.Y0 || l.Y1 != r.Y1 || l.Sink != z.Sink {
			t.Errorf("%s: %+v on the left, %+v on the right", name, l, r)
		}
		for at, want := range map[field.Point]bool{{X: r.X0, Y: r.Y0}: true,
			{X: r.X1, Y: r.Y1}: true, {X: r.X0 - 0.01, Y: r.Y0}: false,
			{X: r.X1 + 0.01, Y: r.Y1}: false, {X: r.X1, Y: r.Y1 + 0.01}: false, {X: r.X0, Y: r.Y0 - 0.01}: false} {
			if r.Holds(at) != want || l.Holds(at.Mirror()) != want {
				t.Errorf("%s holds %v: %v, want %v", name, at, r.Holds(at), want)
			}
		}
		if z.Sink > 0 && (z.Sink < z.Y || z.X0 > z.X || z.X1 < z.X) {
			t.Errorf("%s: its landmark is %v out and %v deep; it sinks to %v between %v and %v", name, z.X, z.Y, z.Sink, z.X0,
				z.X1)
		}
	}
}

// TestNear holds what is taken for a slip of the fingers against the distance of Damerau (one
// letter put in, left out or changed, or two neighbors changed about) worked out in full.
func TestNear(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		letters := rapid.StringOfN(rapid.RuneFrom([]rune("abc")), 0, 6, -1)
		a, b := letters.Draw(t, "a"), letters.Draw(t, "b")
		if got, want := near(a, b), damerau(a, b) <= 1; got != want && a != b {
			t.Fatalf("%q and %q: near %v, distance %d", a, b, got, damerau(a, b))
		}
	})
}

// damerau is the optimal string alignment distance (Damerau 1964).
func damerau(a, b string) int {
	d := make([][]int, len(a)+1)
	for i := range d {
		d[i] = make([]int, len(b)+1)
		for j := range d[i] {
			switch {
			case i == 0 || j == 0:
				d[i][j] = i + j
				continue
			case a[i-1] == b[j-1]:
				d[i][j] = d[i-1][j-1]
			default:
				d[i][j] = 1 + min(d[i-1][j], d[i][j-1], d[i-1][j-1])
			}
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d[i][j] = min(d[i][j], d[i-2][j-2]+1)
			}
		}
	}
	return d[len(a)][len(b)]
}

// TestPointer escapes the examples of RFC 6901, section 5.
func TestPointer(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{"a/b": "a~1b", "m~n": "m~0n",
		"c%d": "c%d", "~1": "~01", "": "", " ": " "} {
		if got := pointer(name); got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}

// TestBookTwice: a call of the book, written and read, is the same call, and reads the same
// leniently, without a word about it.
func TestBookTwice(t *testing.T) {
	t.Parallel()
	for _, p := range Book() {
		raw, err := p.Call.Encode()
		if err != nil {
			t.Fatal(err)
		}
		again, err := Decode(strings.NewReader(string(raw)))
		if err != nil || !reflect.DeepEqual(again, p.Call) {
			t.Errorf("%s, read again: %v", p.Call.Name, err)
		}
		c, fs := Lenient(raw)
		for _, f := range fs {
			if f.Severity == Refused {
				t.Errorf("%s: %+v", p.Call.Name, f)
			}
		}
		if !reflect.DeepEqual(c, p.Call) {
			t.Errorf("%s, read leniently, is another call", p.Call.Name)
		}
	}
	if _, err := Lookup("no such call"); err == nil || !strings.Contains(err.Error(), "no such call") {
		t.Errorf("Lookup: %v", err)
	}
}

// TestLenient: what is no call is said at the root; what is one is read with all its faults.
func TestLenient(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		raw   string
		read  bool
		paths []string
	}{
		{`{`, false, []string{""}}, {`[]`, false, []string{""}}, {``, false, []string{""}}, {`{"name":3}`, false,
			[]string{""}},
		{`{"name":"x","vertical_yd":0}`, true, []string{"/vertical_yd", "/defenders"}},
		{`{"name":"x","under_yd": 0 }`, true, []string{"/under_yd", "/defenders"}},
		{`{"name":"x","color":"red"}`, true, []string{"/color", "/defenders"}},
		{`{"name":"x","color":"red","zones":{"a/b":{"x1_yd":9,"y1_yd":9,"z":1}},"gives":[{"receiver":"#1","why":"x","y":2}]}`,
			true, []string{"/color", "/gives/0/y", "/zones/a~1b/z", "/defenders"}},
		{`{"name":""}`, true, []string{"/name", "/defenders"}},
	} {
		c, fs := Lenient([]byte(tt.raw))
		var paths []string
		for _, f := range fs {
			paths = append(paths, f.Path)
		}
		if (c != nil) != tt.read || !slices.Equal(paths, tt.paths) {
			t.Errorf("%s: read %v, faults at %q; want %q", tt.raw, c != nil, paths, tt.paths)
		}
	}
	_, fs := Lenient([]byte(`{"name":"x","color":"red"}`))
	if !strings.Contains(fs[0].Message, "color") {
		t.Errorf("an unknown member: %q", fs[0].Message)
	}
}

// TestCompileRefuses: what cannot be played is refused with the call, the man and the words.
func TestCompileRefuses(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		change func(*Call)
		says   []string
	}{
		{func(c *Call) { c.Gives[0].Receiver = "#7" }, []string{"ours", "#7"}},
		{func(c *Call) { c.Gives[0].When = "tripps" }, []string{"ours", "tripps"}},
		{func(c *Call) { c.Defenders = nil }, []string{"ours", "one defender"}},
		{func(c *Call) { c.Checks[0].When = "emty" }, []string{"ours", "empty", "emty"}},
		{func(c *Call) { c.Checks[0].Defenders[0].Side = "up" }, []string{"ours", "middle", `"up"`}},
		{func(c *Call) { c.Defenders[0].Keys[0] = "him" }, []string{"ours", "strong corner", `"him"`}},
		{func(c *Call) { c.Defenders[1].Align = nil }, []string{"ours", "middle", "alignment"}},
		{func(c *Call) { c.Defenders[1].Align[0].When = "tripps" }, []string{"ours", "middle", "tripps"}},
		{func(c *Call) { c.Defenders[0].Rules[2].When = "#1 out" }, []string{"ours", "strong corner", "else"}},
		{func(c *Call) { c.Defenders[0].Rules[2].Then = "zone moon" }, []string{"ours", "strong corner", "moon"}},
	} {
		c := sound()
		tt.change(c)
		_, err := Compile(c)
		for _, w := range tt.says {
			if err == nil || !strings.Contains(err.Error(), w) {
				t.Errorf("%v; want %q in it", err, w)
			}
		}
	}
	gone, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := CompileWithin(gone, sound()); !errors.Is(err, context.Canceled) {
		t.Errorf("nobody waits: %v", err)
	}
}

// TestCompiled: a man of both sides is two, the call's thresholds are seven and five where it has
// none, and a zone of the call comes before the standard one of its name.
func TestCompiled(t *testing.T) {
	t.Parallel()
	c := sound()
	c.Under, c.Vertical = 0, 0
	c.Zones["flat"] = Zone{X0: 1, X1: 2, Y0: 1, Y1: 2, X: 1, Y: 1, Sink: 2}
	p, err := Compile(c)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for i := range p.Slots {
		names = append(names, p.Slots[i].Name+" "+p.Slots[i].Path())
	}
	if want := []string{"strong corner /defenders/0", "weak corner /defenders/0",
		"middle /defenders/1"}; !slices.Equal(names, want) {
		t.Errorf("the men are %q, want %q", names, want)
	}
	if c.Under != 5 || c.Vertical != 7 {
		t.Errorf("thresholds %v and %v", c.Under, c.Vertical)
	}
	if r := p.Slots[0].Rules[2].Then[0].Area.Side(1); r.X1 != 2 {
		t.Errorf("the flat is %+v, the call has its own", r)
	}
	if all := p.Checks[0].All; len(all) != 3 || all[2].Path() != "/checks/0/defenders/0" ||
		p.Slots[2].Path() == all[2].Path() {
		t.Errorf("after the check: %+v", all)
	}
}

// TestSaidOfMen: how both copies of a man are told together, and the place of a run role.
func TestSaidOfMen(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{"safety": "safeties",
		"slot man": "slot men", "man on #2": "men on #2", "CB": "CBs",
		"hook": "hooks"} {
		if got := plural(name); got != want {
			t.Errorf("more than one %s: %q, want %q", name, got, want)
		}
	}
	for role, at := range Place {
		if Inside(role) != (role != "force") || at.Y < 0 || at.X < 0 || at.X > field.Width/2 {
			t.Errorf("%s stands at %v, inside %v", role, at, Inside(role))
		}
	}
	if Inside("") {
		t.Error("no role fits inside")
	}
}

// TestSides: whose position a man's is, wherever he has a twin in some call.
func TestSides(t *testing.T) {
	t.Parallel()
	for _, p := range Book() {
		for i := range p.Slots {
			s := &p.Slots[i]
			pos := s.Position()
			if s.Defender.Side == "both" && pos != sideWord(s.Side)+" "+s.Defender.Name || !s.Is(s.Taught) || !s.Is(s.Name) ||
				!strings.HasSuffix(s.Taught, strings.TrimPrefix(strings.TrimPrefix(pos, "strong "), "weak ")) {
				t.Errorf("%s: the %s keeps the position %q", p.Call.Name, s.Taught, pos)
			}
		}
	}
}

// FuzzLenient: whatever is sent as a call is read or refused with a fault, and a call without a
// refused fault can be written again as JSON.
func FuzzLenient(f *testing.F) {
	raw, _ := sound().Encode()
	f.Add(string(raw))
	f.Add(`{"name":"x","defenders":[{"name":"a","side":"both","align":[{"on":"#2"}],` +
		`"rules":[{"when":"else","then":"man #1"}]}]}`)
	f.Fuzz(func(t *testing.T, s string) {
		c, fs := Lenient([]byte(s))
		if c == nil && len(fs) == 0 {
			t.Fatal("neither read nor refused")
		}
		if c == nil || slices.ContainsFunc(fs, func(f Fault) bool { return f.Severity == Refused }) {
			return
		}
		if raw, err := c.Encode(); err != nil || !json.Valid(raw) || math.IsNaN(c.Vertical) {
			t.Fatalf("%v: %s", err, raw)
		}
		if _, err := Compile(c); err != nil {
			t.Fatalf("no fault, and it cannot be played: %v", err)
		}
	})
}
