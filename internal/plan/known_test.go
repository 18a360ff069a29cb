package plan

import (
	"bytes"
	"reflect"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
)

// An edited is all that a board is made of.
type edited struct {
	call     *call.Call
	names    call.Names
	paces    call.Paces
	concepts []Concept
	level    field.Level
	settings tags.Settings
}

func (e *edited) board(t *testing.T) Board {
	t.Helper()
	calls := []Named{}
	for _, name := range []string{"cover 1", "quarters match"} {
		calls = append(calls, Named{Name: name, Compiled: must(call.Lookup(name))})
	}
	even := must(call.Compile(e.call)).Naming(e.names)
	n := Named{Name: "ours", Compiled: even}
	if paced, some := even.Pacing(e.paces); some {
		n.Compiled, n.Even = paced, even
	}
	return must(Build(t.Context(), append(calls, n), e.concepts, 60, e.level, SituationOf(0, 0, "", e.settings)))
}

// baseline is made anew each time: an edit may change any part of it.
func baseline(t *testing.T) *edited {
	t.Helper()
	raw := must(must(call.Lookup("cover 3 spot")).Call.Encode())
	concepts := boardConcepts(4)
	held := concepts[3] // which holds the overhang between two
	held.Concept, held.Routes = "curl-flat", "P1 curl@12, P2 flat@3"
	concepts = append(concepts, held)
	return &edited{call: must(call.Decode(bytes.NewReader(raw))), concepts: concepts,
		level: field.HighSchool, settings: tags.DefaultSettings()}
}

// of is a man of the call by his name.
func (e *edited) of(name string) *call.Defender {
	for i := range e.call.Defenders {
		if e.call.Defenders[i].Name == name {
			return &e.call.Defenders[i]
		}
	}
	panic("no " + name)
}

// edits change one thing each of what a board is made of, and so the board.
var edits = map[string]func(*edited){
	"a man's depth":  func(e *edited) { e.of("overhang").Align[0].Depth += 2 },
	"a man's offset": func(e *edited) { e.of("overhang").Align[0].Offset += 2 },
	"a man's body":   func(e *edited) { e.of("overhang").Body = "lineman" },
	"a rule more": func(e *edited) {
		e.of("overhang").Rules = append([]call.Rule{{When: "#2 vertical", Then: "man #2"}}, e.of("overhang").Rules...)
	},
	"a man's duty":        func(e *edited) { r := e.of("overhang").Rules; r[len(r)-1].Then = "man #1" },
	"a man's name":        func(e *edited) { e.of("overhang").Name = "edge" },
	"a man less":          func(e *edited) { e.call.Defenders = e.call.Defenders[1:] },
	"the staff's word":    func(e *edited) { e.names = call.Names{"overhang": "Cat"} },
	"a man half a step":   func(e *edited) { e.paces = call.Paces{"overhang": call.Slower} },
	"a man quicker":       func(e *edited) { e.paces = call.Paces{"overhang": call.Quicker} },
	"a route":             func(e *edited) { e.concepts[0].Routes = "P1 post, P2 flat" },
	"a route's depth":     func(e *edited) { e.concepts[0].Routes = "P1 hitch@7, P2 corner@12" },
	"a family":            func(e *edited) { e.concepts[0].Family = "play_action" },
	"a set":               func(e *edited) { e.concepts[0].SetName = "3x1" },
	"how often it is run": func(e *edited) { e.concepts[0].Plays += 20 },
	"a play's down":       func(e *edited) { e.concepts[0].Faced[0].Down = 3 },
	"a play's distance":   func(e *edited) { e.concepts[0].Faced[0].DistanceYd = 2 },
	"a play's place":      func(e *edited) { e.concepts[0].Faced[0].YardsToGoal = 4 },
	"one play more":       func(e *edited) { e.concepts[0].Faced[1].Plays++ },
	"a down more": func(e *edited) {
		e.concepts[0].Faced = append(e.concepts[0].Faced, tags.Faced{Down: 3, DistanceYd: 15, YardsToGoal: 15, Plays: 3})
	},
	"his results":       func(e *edited) { e.concepts[0].Results = &Results{Level: 0.05} },
	"the level":         func(e *edited) { e.level = field.Pro },
	"what is a success": func(e *edited) { e.settings.SuccessPercent = [3]int{60, 70, 100} },
	"long passes":       func(e *edited) { e.settings.ExplosivePassYd = 8 },
	"his field goals":   func(e *edited) { e.settings.FieldGoalYd = 20 },
	"his punts":         func(e *edited) { e.settings.PuntNetYd = 15 },
	"going for it":      func(e *edited) { e.settings.GoForIt = !e.settings.GoForIt },
}

// An edit of a call, of a picture, of a tag or of a setting is never answered from what was known
// before it: the board is to the last bit that of a process that knows nothing, and another board
// than before. The edit taken back, it is the old board again.
func TestEditsAreNeverAnsweredFromBefore(t *testing.T) {
	pictures = &shelf{most: keptCalls}
	before := baseline(t).board(t)
	for what, edit := range edits {
		e := baseline(t)
		edit(e)
		warm := e.board(t)
		if reflect.DeepEqual(warm.Rows, before.Rows) {
			t.Errorf("%s changes nothing on the board", what)
		}
		if again := baseline(t).board(t); !reflect.DeepEqual(again, before) {
			t.Errorf("%s, taken back, leaves another board", what)
		}
		known := pictures
		pictures = &shelf{most: keptCalls}
		if cold := e.board(t); !reflect.DeepEqual(warm.Rows, cold.Rows) {
			t.Errorf("%s is answered otherwise by who knows the board from before", what)
		}
		pictures = known
	}
}

// A board asked again plays nothing, whatever its plays weigh; one call more plays that call alone.
func TestKnownIsNotPlayedAgain(t *testing.T) {
	pictures = &shelf{most: keptCalls}
	e := baseline(t)
	e.board(t)
	n, first := pictures.calls, KeptNow()
	if first.Misses == 0 || first.Hits != 0 || uint64(first.Calls) != first.Misses || first.Pictures == 0 {
		t.Errorf("a board that nobody asked before keeps %+v", first)
	}
	e.concepts[0].Plays, e.concepts[1].Results = 30, &Results{Level: 0.1}
	if e.board(t); pictures.calls != n {
		t.Errorf("%d more were played for the same board", pictures.calls-n)
	}
	if again := KeptNow(); again.Misses != first.Misses || again.Hits == 0 || again.Calls != first.Calls {
		t.Errorf("the same board again keeps %+v, before %+v", again, first)
	}
	e.of("overhang").Align[0].Depth++
	if e.board(t); pictures.calls <= n || pictures.calls > n+(n+2)/3 {
		t.Errorf("%d more were played for one of three calls, of %d", pictures.calls-n, n)
	}
}

// What is kept has a bound, and what was let go of is played again alike.
func TestKeptHasABound(t *testing.T) {
	pictures = &shelf{most: 60}
	defer func() { pictures = &shelf{most: keptCalls} }()
	before := baseline(t).board(t)
	for range 3 {
		if pictures.calls > 60 || len(pictures.old) == 0 {
			t.Errorf("%d calls are kept; want at most 60 and those before", pictures.calls)
		}
		if again := baseline(t).board(t); !reflect.DeepEqual(again.Rows, before.Rows) {
			t.Error("another board, played again")
		}
	}
}
