package tags

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"
)

// TestHyphens: a hyphen and a blank are one where that leaves one word, and a word as it stands goes first.
func TestHyphens(t *testing.T) {
	t.Parallel()
	v := NewVocabulary([]Word{{Field: "concept", Word: "slant-flat"}, {Field: "concept", Word: "y-cross"},
		{Field: "concept", Word: "a-b c"}, {Field: "concept", Word: "a b-c"}, {Field: "concept", Word: "now screen"}})
	for said, want := range map[string]string{"Slant Flat": "slant-flat", "y cross": "y-cross", "now-screen": "now screen",
		"a-b c": "a-b c", "a b c": "", "slantflat": ""} {
		if got, ok := v.Lookup("concept", said); got != want || ok != (want != "") {
			t.Errorf("%q: %q, %v; want %q", said, got, ok, want)
		}
	}
}

// TestApply: aliases become the word they stand for wherever a play keeps words; one that
// nobody knows is refused in its place with the nearest that are known; and what the play
// shares with others is left alone.
func TestApply(t *testing.T) {
	t.Parallel()
	v := NewVocabulary([]Word{{Field: "concept", Word: "smash"}, {Field: "concept", Word: "china", AliasOf: ptr("smash")},
		{Field: "set_name", Word: "trips"}, {Field: "route", Word: "go"}, {Field: "route", Word: "fade", AliasOf: ptr("go")}})
	shared := []Route{{Side: "left", Number: 1, Eligible: "receiver", Route: "Fade"}}
	p := Play{Concept: ptr(" CHINA "), TargetRoute: ptr("fade"), Routes: shared}
	if err := v.Apply(&p); err != nil {
		t.Fatal(err)
	}
	if *p.Concept != "smash" || *p.TargetRoute != "go" || p.Routes[0].Route != "go" {
		t.Errorf("applied: %q %q %q; want smash, go, go", *p.Concept, *p.TargetRoute, p.Routes[0].Route)
	}
	if shared[0].Route != "Fade" {
		t.Errorf("the routes it came with say %q now", shared[0].Route)
	}
	p = Play{Concept: ptr("smahs"), SetName: ptr("trips"), Motion: ptr("jet"),
		Routes: []Route{{Route: "go"}, {Route: "gone"}}}
	err := v.Apply(&p)
	if got := strings.Join(fieldsOf(t, err), " "); got != "concept motion routes[1].route" {
		t.Errorf("refused for %q", got)
	}
	for _, says := range []string{`"smahs"; the nearest known are smash`, `"jet": the vocabulary has no words`,
		`"gone"; the nearest known are go`} {
		if !strings.Contains(err.Error(), says) {
			t.Errorf("%v; want it to say %s", err, says)
		}
	}
	unknown := v.Unknown(&p)
	want := []Word{{Field: "motion", Word: "jet"}, {Field: "concept", Word: "smahs"}, {Field: "route", Word: "gone"}}
	if !slices.Equal(unknown, want) {
		t.Errorf("unknown: %v; want %v", unknown, want)
	}
	spelled := v.Spellings("concept")
	if !maps.Equal(spelled, map[string]string{"smash": "smash", "china": "smash"}) {
		t.Errorf("spellings: %v", spelled)
	}
	spelled["smash"] = "lost"
	if w, _ := v.Lookup("concept", "smash"); w != "smash" {
		t.Errorf("changing what Spellings gave changed the vocabulary: smash is %q", w)
	}
}

// TestNearest: at most three, the nearest first, each once however often it is written.
func TestNearest(t *testing.T) {
	t.Parallel()
	var ws []Word
	for _, w := range []string{"curl", "curl flat", "curls", "corner", "dig"} {
		ws = append(ws, Word{Field: "concept", Word: w})
	}
	ws = append(ws, Word{Field: "concept", Word: "curle", AliasOf: ptr("curl")})
	v := NewVocabulary(ws)
	got := v.Nearest("concept", "curl")
	if len(got) != 3 || got[0] != "curl" || slices.Contains(got, "dig") || slices.Contains(got, "corner") {
		t.Errorf("near curl: %v; want curl, then the two that hold it", got)
	}
	if got := v.Nearest("route", "go"); got != nil {
		t.Errorf("near go, without a word of routes: %v", got)
	}
}

// TestFold: case and blanks do not matter; everything else does.
func TestFold(t *testing.T) {
	t.Parallel()
	for s, want := range map[string]string{"  Four   Verticals\t": "four verticals", "4-VERTS": "4-verts",
		"": "", "ÜBER": "über", "a\u00a0b": "a b"} {
		if got := Fold(s); got != want {
			t.Errorf("Fold(%q) = %q; want %q", s, got, want)
		}
		if got := Fold(Fold(s)); got != want {
			t.Errorf("folded twice, %q is %q", s, got)
		}
	}
}

// TestPlayVocabulary: the words a play uses are those the vocabulary is asked for.
func TestPlayVocabulary(t *testing.T) {
	t.Parallel()
	p := Play{SetName: ptr("Trips"), Motion: ptr("none"), TargetRoute: ptr("GO"), Routes: []Route{{Route: "Dig "}}}
	fields, folded := p.Vocabulary()
	if got := fmt.Sprint(fields, folded); got != "[set_name motion route route] [trips none go dig]" {
		t.Errorf("words: %s", got)
	}
	used := map[string]bool{}
	for _, x := range p.words() {
		used[x.field] = true
	}
	used["route"] = true
	for _, f := range Allowed("vocabulary") {
		if !used[f] {
			t.Errorf("no play keeps a word of %s", f)
		}
	}
}

// TestSplit: undoing a merge gives the word back where it stood, and nowhere else.
func TestSplit(t *testing.T) {
	t.Parallel()
	m := Merge{Field: "route", Word: "fade", Into: "go"}
	r := func(side string, n int, route string) Route { return Route{Side: side, Number: n, Route: route} }
	before := Play{TargetRoute: ptr("fade"), Routes: []Route{r("left", 1, "fade"),
		r("left", 2, "go"), r("right", 1, "fade")}}
	now := Play{TargetRoute: ptr("go"), Routes: []Route{r("right", 1, "dig"), r("left", 2, "go"), r("left", 1, "go")}}
	if !m.Split(&now, &before) {
		t.Fatal("nothing came back")
	}
	if *now.TargetRoute != "fade" {
		t.Errorf("the target's route is %q; want fade", *now.TargetRoute)
	}
	want := []Route{r("right", 1, "dig"), r("left", 2, "go"), r("left", 1, "fade")}
	if !slices.Equal(now.Routes, want) {
		t.Errorf("routes: %v; want %v: the one tagged since and the one that never was fade stay", now.Routes, want)
	}
	other := Play{Concept: ptr("go")}
	if m.Split(&other, &Play{Concept: ptr("fade")}) || *other.Concept != "go" {
		t.Errorf("a concept was split by a merge of routes: %q", *other.Concept)
	}
	concept := Merge{Field: "concept", Word: "china", Into: "smash"}
	since := Play{Concept: ptr("flood")}
	if concept.Split(&since, &Play{Concept: ptr("china")}) || *since.Concept != "flood" {
		t.Errorf("what was tagged since was split: %q", *since.Concept)
	}
}

// TestProgress: what is not counted lacks nothing; a run lacks no routes; a pass, and a play
// of which nobody knows whether it was one, does.
func TestProgress(t *testing.T) {
	t.Parallel()
	full := Play{Status: "counted", Quarter: ptr(1), Down: ptr(3), DistanceYd: ptr(6), YardsToGoal: ptr(40),
		Hash: ptr("left"), Personnel: ptr("11"), SetName: ptr("trips"), Called: ptr("pass"), Family: ptr("dropback"),
		Concept: ptr("smash"), Result: ptr("complete"), GainYd: ptr(7), PlaySide: ptr("left"), Routes: []Route{{}}}
	run := full
	run.Called, run.Family, run.Result, run.PlaySide, run.Routes = ptr("run"), ptr("run"), ptr("rush"), nil, nil
	unknown := run
	unknown.Called = nil
	miss := full
	miss.Result, miss.GainYd = ptr("incomplete"), nil // no gain is a gain of nothing
	const lacking = "[] [] [called play_side routes] []"
	if got := fmt.Sprint(full.Lacks(), run.Lacks(), unknown.Lacks(), miss.Lacks()); got != lacking {
		t.Errorf("lacking: %s; want %s", got, lacking)
	}
	if got := (&Play{Status: "kneel"}).Lacks(); got != nil {
		t.Errorf("a kneel lacks %v", got)
	}
	if got := (&Play{Status: "counted"}).Lacks(); len(got) != 14 || got[0] != "quarter" || got[13] != "routes" {
		t.Errorf("a bare play lacks %v; want all fourteen in the order they are entered", got)
	}
	p := ProgressOf([]Play{full, run, unknown, {Status: "spike"}})
	if p.Plays != 3 || p.Full != 2 || p.Partial != 1 ||
		!maps.Equal(p.Missing, map[string]int{"called": 1, "play_side": 1, "routes": 1}) {
		t.Errorf("progress: %+v", p)
	}
}

// TestSettingsWords: a man of ours against one opponent goes before the season's; names and
// paces are found in small letters; a zone that nobody knows is UTC.
func TestSettingsWords(t *testing.T) {
	t.Parallel()
	s := Settings{OurMen: []OurMan{{Name: "Corner", Pace: "slower", Opponent: "ruby"}, {Name: "corner", Pace: "quicker"},
		{Name: "Mike", Pace: "slower"}}, PositionNames: []PositionName{{"Strong Overhang", "Nickel"}},
		TimeZone: "America/Chicago"}
	if got := s.Paces("ruby"); got["corner"] != "slower" || got["mike"] != "slower" {
		t.Errorf("against ruby: %v; want her own corner before the season's", got)
	}
	if got := s.Paces("onyx"); got["corner"] != "quicker" {
		t.Errorf("against onyx: %v; want the season's corner", got)
	}
	if got := s.Names(); got["strong overhang"] != "Nickel" {
		t.Errorf("names: %v", got)
	}
	// Central Standard Time is six hours behind UTC (IANA time zone database, America/Chicago).
	if _, off := time.Date(2026, 1, 2, 12, 0, 0, 0, s.Zone()).Zone(); off != -6*3600 {
		t.Errorf("in January the desk's clock is %d s from UTC; want six hours behind", off)
	}
	s.TimeZone = "Nowhere/Town"
	if s.Zone() != time.UTC {
		t.Errorf("a zone nobody knows is %v; want UTC", s.Zone())
	}
}

// TestSeenJSON: a sighting says nothing of which play it is.
func TestSeenJSON(t *testing.T) {
	t.Parallel()
	raw, err := json.Marshal(Seen{Play{Number: 7, Down: ptr(3), Routes: []Route{}}})
	if err != nil {
		t.Fatal(err)
	}
	var got map[string]any
	if err := json.Unmarshal(raw, &got); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"id", "version", "updated_at", "game_id", "opponent_id", "number"} {
		if v, there := got[name]; there {
			t.Errorf("%s: %v; want it left out", name, v)
		}
	}
	if got["down"] != 3.0 {
		t.Errorf("the down is %v; want 3", got["down"])
	}
}

// TestPlayChangeName: the fields of a change are named in order; making and removing name none.
func TestPlayChangeName(t *testing.T) {
	t.Parallel()
	c := PlayChange{Before: &Play{Down: ptr(3), Hash: ptr("left")}, After: &Play{Down: ptr(4), GainYd: ptr(2)}}
	c.Name()
	if got := strings.Join(c.Fields, " "); got != "down gain_yd hash" {
		t.Errorf("fields: %q", got)
	}
	for _, c := range []PlayChange{{After: &Play{}}, {Before: &Play{}}} {
		if c.Name(); c.Fields == nil || len(c.Fields) != 0 {
			t.Errorf("made or removed: fields %v; want an empty list", c.Fields)
		}
	}
}

// TestErrors: what the caller did wrong is found under wraps, and told with its fields.
func TestErrors(t *testing.T) {
	t.Parallel()
	err := fmt.Errorf("while saving: %w", Fieldf(Conflict, "code", "%q is taken", "ruby"))
	e := As(err)
	if e == nil || e.Kind != Conflict || e.Error() != `the code cannot be used; code: "ruby" is taken` {
		t.Errorf("%+v", e)
	}
	if As(errors.New("the disk is full")) != nil || As(nil) != nil {
		t.Error("an error of ours is shown as the caller's")
	}
	if got := Errorf(NotFound, "no %s %d", "play", 7); As(got).Kind != NotFound || got.Error() != "no play 7" {
		t.Errorf("%v", got)
	}
	if got := (Meta{Version: 12}).Tag(); got != `"12"` { // an entity tag is quoted (RFC 9110, 8.8.3)
		t.Errorf("tag %s", got)
	}
}

// TestAssumedSide: the play's side, else the strong one, else right; balanced is no side.
func TestAssumedSide(t *testing.T) {
	t.Parallel()
	for want, p := range map[string]Play{"right": {Strength: ptr("balanced")},
		"left": {PlaySide: ptr("left"), Strength: ptr("right")}} {
		if got := AssumedSide(&p); got != want {
			t.Errorf("%+v: %s; want %s", p, got, want)
		}
	}
	if got := AssumedSide(&Play{Strength: ptr("left")}); got != "left" {
		t.Errorf("strong left: %s", got)
	}
}
