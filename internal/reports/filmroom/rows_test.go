package filmroom

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/google/uuid"

	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

func ptr[T any](v T) *T { return &v }

// TestARowSaysWhatIsTagged and nothing else; a snap without tags says nothing.
func TestARowSaysWhatIsTagged(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		say  func(Row) string
		play tags.Play
		want string
	}{
		{Row.Situation, tags.Play{}, ""},
		{Row.Situation, tags.Play{Quarter: ptr(2), Down: ptr(3), DistanceYd: ptr(7), YardsToGoal: ptr(65), Hash: ptr("left")},
			"Q2 · 3rd & 7 · own 35 · left hash"},
		{Row.Situation, tags.Play{Down: ptr(1)}, "1st"},
		{Row.Situation, tags.Play{DistanceYd: ptr(7)}, ""},
		{Row.Situation, tags.Play{Down: ptr(4), YardsToGoal: ptr(1), Hash: ptr("middle")}, "4th · opp 1 · middle"},
		{Row.Situation, tags.Play{YardsToGoal: ptr(51)}, "own 49"},
		{Row.Situation, tags.Play{YardsToGoal: ptr(49)}, "opp 49"},
		{Row.Situation, tags.Play{YardsToGoal: ptr(99)}, "own 1"},
		{Row.Set, tags.Play{Personnel: ptr("11"), SetName: ptr("2x2"), Motion: ptr("jet")}, "11, 2x2, jet"},
		{Row.Set, tags.Play{SetName: ptr("2x2"), Motion: ptr("none")}, "2x2"},
		{Row.Set, tags.Play{Motion: ptr("none")}, ""},
		{Row.Called, tags.Play{Family: ptr("play_action"), Concept: ptr("flood")}, "play action, flood"},
		{Row.Coverage, tags.Play{Coverage: ptr("cover_3")}, "cover 3"},
		{Row.Result, tags.Play{Result: ptr("complete"), GainYd: ptr(12)}, "complete, +12 yd"},
		{Row.Result, tags.Play{Result: ptr("sack"), GainYd: ptr(-7)}, "sack, -7 yd"},
		{Row.Result, tags.Play{Result: ptr("rush"), GainYd: ptr(0)}, "rush, 0 yd"},
		{Row.Result, tags.Play{Result: ptr("incomplete"), GainYd: ptr(0)}, "incomplete"},
		{Row.Result, tags.Play{Result: ptr("incomplete")}, "incomplete"},
		{Row.Result, tags.Play{GainYd: ptr(10)}, "+10 yd"},
		{Row.Result, tags.Play{Result: ptr("rush"), GainYd: ptr(3), Touchdown: true}, "rush, +3 yd, touchdown"},
		{Row.Result, tags.Play{Touchdown: true}, "touchdown"},
		{Row.Result, tags.Play{}, ""},
	} {
		if got := tt.say(Row{Play: &tt.play}); got != tt.want {
			t.Errorf("%+v: %q, want %q", tt.play, got, tt.want)
		}
		if got := tt.say(Row{}); got != "" {
			t.Errorf("a snap without tags says %q", got)
		}
	}
}

// snapsOf are three tagged snaps and one with clips alone, of our own game.
func snapsOf(f Filter) *Snaps {
	play := func(n, down, distance, toGoal, gain int) tags.Play {
		return tags.Play{Number: n, Status: "counted", Quarter: ptr(1), Down: &down, DistanceYd: &distance,
			YardsToGoal: &toGoal,
			GainYd:      &gain, Called: ptr("run"), Concept: ptr("zone")}
	}
	kneel := tags.Play{Number: 9, Status: "kneel"}
	h := Head{Game: tags.Game{Label: "G 1", Ours: true}, Program: tags.Program{Code: "us"}}
	return NewSnaps(h, []tags.Play{play(1, 1, 10, 60, 4), play(2, 3, 6, 56, 2), kneel}, map[int]int{2: 2, 5: 1}, f)
}

// TestNewSnaps: tagged snaps and those that have clips alone, in the order of the game; second
// down must follow first; our own game lacks our call where no coverage is tagged.
func TestNewSnaps(t *testing.T) {
	t.Parallel()
	s := snapsOf(Filter{})
	var rows []string
	for _, r := range s.Rows {
		rows = append(rows, fmt.Sprint(r.Number, " ", r.Clips, " ", r.Play != nil))
	}
	if got := strings.Join(rows, ", "); got != "1 0 true, 2 2 true, 5 1 false, 9 0 true" || s.Total != 4 {
		t.Errorf("%s of %d", got, s.Total)
	}
	if s.Broken != 1 || len(s.Rows[1].Breaks) != 1 || len(s.Rows[0].Breaks) != 0 {
		t.Errorf("%d broken: third down after a gain of 4 on 1st and 10; %+v", s.Broken, s.Rows[1].Breaks)
	}
	lacks := map[string]int{}
	for i, m := range s.Missing {
		lacks[m.Field] = m.N
		if i > 0 && m.N > s.Missing[i-1].N {
			t.Errorf("%s stands after what fewer lack", m.Field)
		}
	}
	if lacks["coverage"] != 2 {
		t.Errorf("%d snaps of our game lack our call, want the 2 that count: %v", lacks["coverage"], s.Missing)
	}
}

// TestFilters: what each shows; the whole is counted all the same.
func TestFilters(t *testing.T) {
	t.Parallel()
	for want, f := range map[string]Filter{"1 2 5 9": {}, "5": {Only: "bare"}, "2": {Only: "broken"}, "1": {Down: "1"},
		"": {Down: "4"}, "1 2": {Missing: "coverage"}, "2 ": {Missing: "coverage", Down: "3"}} {
		s := snapsOf(f)
		var rows []string
		for _, r := range s.Rows {
			rows = append(rows, fmt.Sprint(r.Number))
		}
		if got := strings.Join(rows, " "); got != strings.TrimSpace(want) || s.Total != 4 {
			t.Errorf("%+v shows %s of %d, want %s of 4", f, got, s.Total, want)
		}
	}
	s := snapsOf(Filter{})
	for _, x := range s.Filters()[1:] {
		if n := len(snapsOf(Filter{Only: x[0]}).Rows); n == 4 || x[1] == "" {
			t.Errorf("the filter %v shows %d of 4", x, n)
		}
	}
	s.Rows = make([]Row, 2*perBlock+1)
	if b := s.Blocks(); len(b) != 3 || len(b[0]) != perBlock || len(b[2]) != 1 {
		t.Errorf("%d blocks", len(b))
	}
}

// TestReviewAddress: of a plan for no game, the game is named; the half where one is asked for.
func TestReviewAddress(t *testing.T) {
	t.Parallel()
	s, id, game := snapsOf(Filter{}), uuid.New(), uuid.New()
	p := tags.PlanHead{Meta: tags.Meta{ID: id}}
	at := "/v1/programs/us/plans/" + id.String() + "/review?format=html"
	if got := s.Review(p, ""); got != at+"&game=G+1" {
		t.Error(got)
	}
	p.GameID = &game
	if got := s.Review(p, "first"); got != at+"&half=first" {
		t.Error(got)
	}
}

// TestShapes: those of words the engine knows, by small letters, and every concept of the
// library with its other name.
func TestShapes(t *testing.T) {
	t.Parallel()
	s := NewShapes([]tags.Word{{Field: "route", Word: "Hitch"}, {Field: "route", Word: "waltz"}, {Field: "set_name",
		Word: "3X1"},
		{Field: "set_name", Word: "7x4"}, {Field: "concept", Word: "hitch"}})
	if _, ok := s.Routes["hitch"]; !ok || len(s.Routes) != 1 || len(s.Sets) != 1 || len(s.Sets["3x1"].Play) != 3 {
		t.Errorf("routes %v, sets %v", s.Routes, s.Sets)
	}
	more := 0
	for _, e := range picture.Library() {
		if e.Also != "" {
			more++
		}
	}
	if len(s.Usual) != len(picture.Library())+more {
		t.Errorf("%d usual concepts", len(s.Usual))
	}
	if raw, err := s.JSON(); err != nil || !json.Valid([]byte(raw)) || strings.Contains(raw, "null") {
		t.Errorf("%v: %.200s", err, raw)
	}
}

// TestKeys: each choice has a letter of its own that it holds; one that has none left has none.
func TestKeys(t *testing.T) {
	t.Parallel()
	f := Field{Choices: []string{"run", "rpo", "r", "play_action"}}
	for choice, want := range map[string]string{"run": "r", "rpo": "p", "r": "", "play_action": "l", "none": ""} {
		if got := f.Key(choice); got != want {
			t.Errorf("%s is picked by %q, want %q", choice, got, want)
		}
	}
	if f.Said("play_action") != "play action" {
		t.Error("a choice is shown with its underscore")
	}
	seen := map[string]bool{}
	tg := &Tagging{}
	for _, d := range tg.Directions() {
		k := tg.DirectionKey(d)
		if k == "" || seen[k] {
			t.Errorf("%s is picked by %q", d, k)
		}
		seen[k] = true
	}
}
