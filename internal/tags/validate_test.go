package tags

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
)

// fieldsOf are the fields an error names, in its order; an error that names none is told.
func fieldsOf(t *testing.T, err error) []string {
	t.Helper()
	if err == nil {
		return nil
	}
	e := As(err)
	if e == nil || e.Kind != Invalid || len(e.Fields) == 0 {
		t.Fatalf("%v; want a refusal of the input that names its fields", err)
	}
	var out []string
	for _, f := range e.Fields {
		if f.Msg == "" {
			t.Errorf("%s: refused without a word", f.Field)
		}
		out = append(out, f.Field)
	}
	return out
}

// TestNounsValidate: every noun refuses what cannot be kept, by the field it stands in, and
// takes what is just within the bounds.
func TestNounsValidate(t *testing.T) {
	t.Parallel()
	long := func(n int) string { return strings.Repeat("x", n) }
	id := uuid.New()
	for _, tt := range []struct {
		name   string
		noun   interface{ Validate() error }
		fields string
	}{
		{"season", &Season{Label: "this year"}, ""},
		{"season without a label", &Season{Label: " \t"}, "label"},
		{"season that nobody sees", &Season{Label: "\u200b\u3164\ufe0f"}, "label"}, // UAX 44: default ignorable
		{"season of two lines", &Season{Label: "this\r\nyear"}, "label"},
		{"season of 60 letters of three bytes", &Season{Label: strings.Repeat("\u5e74", 60)}, ""}, // as JSON Schema counts
		{"season of 60", &Season{Label: long(60)}, ""},
		{"season of 61", &Season{Label: long(61)}, "label"},
		{"season with NUL", &Season{Label: "a\x00b"}, "label"},
		{"season that is not UTF-8", &Season{Label: "a\xff"}, "label"},
		{"opponent", &Opponent{Code: "ruby", Name: "Ruby"}, ""},
		{"opponent without anything", &Opponent{}, "code name"},
		{"opponent whose code is an identity", &Opponent{Code: id.String(), Name: "Ruby"}, "code"},
		{"opponent with a note of two lines", &Opponent{Code: "ruby", Name: "Ruby", Note: ptr("a\nb")}, ""},
		{"opponent with an empty note", &Opponent{Code: "ruby", Name: "Ruby", Note: ptr("")}, "note"},
		{"opponent with a long note", &Opponent{Code: "ruby", Name: "Ruby", Note: ptr(long(4000))}, ""},
		{"opponent with too long a note", &Opponent{Code: "ruby", Name: "Ruby", Note: ptr(long(4001))}, "note"},
		{"game", &Game{Label: "game 1"}, ""},
		{"game of week 0", &Game{Label: "game 1", Week: ptr(0)}, ""},
		{"game of week 60", &Game{Label: "game 1", Week: ptr(60)}, ""},
		{"game of week -1", &Game{Label: "game 1", Week: ptr(-1)}, "week"},
		{"game of week 61", &Game{Label: "game 1", Week: ptr(61)}, "week"},
		{"game against nobody", &Game{Label: "game 1", Versus: ptr(" ")}, "versus"},
		{"film in a folder", &Film{Location: "wide/game 1.mp4"}, ""},
		{"film at an address", &Film{Location: "https://films.example/1.mp4"}, ""},
		{"film without a place", &Film{}, "location"},
		{"film at an address of no host", &Film{Location: "https:///1.mp4"}, "location"},
		{"film by another protocol", &Film{Location: "ftp://films.example/1.mp4"}, "location"},
		{"film at no address", &Film{Location: "https://[::1/1.mp4"}, "location"},
		{"film whose place no index holds", &Film{Location: strings.Repeat("\u5e74", 700)}, "location"},
		{"film from an empty angle", &Film{Location: "1.mp4", Angle: ptr("")}, "angle"},
		{"clip", &Clip{StartS: 0, EndS: 0.1}, ""},
		{"clip of a whole day", &Clip{StartS: 0, EndS: 86400}, ""},
		{"clip that ends where it begins", &Clip{StartS: 3, EndS: 3}, "end_s"},
		{"clip before the film", &Clip{StartS: -0.1, EndS: 3}, "start_s"},
		{"clip past a day", &Clip{StartS: 86401, EndS: 86402}, "start_s end_s"},
		{"clip from no number", &Clip{StartS: math.NaN(), EndS: 3}, "start_s end_s"},
		{"clip to no number", &Clip{StartS: 3, EndS: math.NaN()}, "end_s"},
		{"clip to no end", &Clip{StartS: 3, EndS: math.Inf(1)}, "end_s"},
		{"clip of snap 0", &Clip{StartS: 3, EndS: 4, Number: ptr(0)}, "number"},
		{"clip of snap 1000", &Clip{StartS: 3, EndS: 4, Number: ptr(1000)}, "number"},
		{"word", &Word{Field: "concept", Word: "smash"}, ""},
		{"word of a field that has none", &Word{Field: "down", Word: "third"}, "field"},
		{"word that means itself", &Word{Field: "concept", Word: "smash", AliasOf: ptr("smash")}, "alias_of"},
		{"word without letters", &Word{Field: "concept"}, "word"},
		{"call", &Call{Name: "ours", Body: json.RawMessage(`{"a":[1]}`)}, ""},
		{"call without a body", &Call{Name: "ours"}, "body"},
		{"call that is not JSON", &Call{Name: "ours", Body: json.RawMessage(`{"a":`)}, "body"},
		{"call with an escaped NUL", &Call{Name: "ours", Body: json.RawMessage(`{"a":["\u0000"]}`)}, "body"},
		{"call with an escaped NUL as a key", &Call{Name: "ours", Body: json.RawMessage(`{"\u0000":1}`)}, "body"},
		{"call that is not UTF-8", &Call{Name: "ours", Body: json.RawMessage("{\"a\":\"\xff\"}")}, "body"},
		{"call without a name", &Call{Body: json.RawMessage(`{}`)}, "name"},
		{"plan's head", &PlanHead{Label: "week 3"}, ""},
		{"plan's head without a label", &PlanHead{}, "label"},
		{"plan that nobody locked", &PlanHead{Label: "week 3", LockedBy: ptr("ann")}, "locked_by"},
		{"plan that somebody locked", &PlanHead{Label: "week 3", LockedBy: ptr("ann"), LockedAt: &time.Time{}}, ""},
		{"plan", &Plan{PlanHead: PlanHead{Label: "week 3"}, Content: json.RawMessage(" {} ")}, ""},
		{"plan of a list", &Plan{PlanHead: PlanHead{Label: "week 3"}, Content: json.RawMessage(`[]`)}, "content"},
		{"plan of half an object", &Plan{PlanHead: PlanHead{Label: "week 3"}, Content: json.RawMessage(`{`)}, "content"},
		{"plan of nothing", &Plan{PlanHead: PlanHead{Label: "week 3"}}, "content"},
		{"edit of nothing", &PlayEdit{}, "plays"},
		{"edit looked at", &PlayEdit{Where: map[string]string{"down": "3"}}, ""},
		{"edit of what nobody looked at", &PlayEdit{Where: map[string]string{"down": "3"}, Apply: true}, "plays"},
		{"edit by name and by filter", &PlayEdit{Where: map[string]string{"down": "3"}, Plays: []PlaySeen{{ID: id}}}, "where"},
		{"edit of one play twice", &PlayEdit{Plays: []PlaySeen{{ID: id}, {ID: uuid.New()}, {ID: id}}}, "plays[2].id"},
		{"edit of too many", &PlayEdit{Plays: manySeen(MostEdited + 1)}, "plays"},
		{"edit of as many as go", &PlayEdit{Plays: manySeen(MostEdited)}, ""},
		{"blind tag", &BlindTag{Analyst: "ann"}, ""},
		{"blind tag of nobody", &BlindTag{}, "analyst"},
		{"blind tag of a 5th down", &BlindTag{Analyst: "ann", Tags: Seen{Play{Down: ptr(5)}}}, "tags.down"},
	} {
		if got := strings.Join(fieldsOf(t, tt.noun.Validate()), " "); got != tt.fields {
			t.Errorf("%s: refused for %q; want %q", tt.name, got, tt.fields)
		}
	}
}

func manySeen(n int) (out []PlaySeen) {
	for range n {
		out = append(out, PlaySeen{ID: uuid.New()})
	}
	return out
}

// TestProgramValidate: a program's code stands in addresses (RFC 3986, 2.3: unreserved
// characters), and its settings are refused one by one.
func TestProgramValidate(t *testing.T) {
	t.Parallel()
	for code, good := range map[string]bool{"a": true, "7-hills": true, "-hills": false, "": false, "Hills": false,
		"hill s": false, "hills/": false, "höhe": false, strings.Repeat("a", 40): true, strings.Repeat("a", 41): false} {
		p := Program{Code: code, Name: "Hills", Settings: DefaultSettings()}
		if got := fieldsOf(t, p.Validate()); (len(got) == 0) != good {
			t.Errorf("code %q: %v; want it taken: %v", code, got, good)
		}
		if p.Level != "high_school" {
			t.Errorf("a program that says no level is of %q", p.Level)
		}
	}
	for _, tt := range []struct {
		name   string
		change func(*Settings)
		fields string
	}{
		{"defaults", func(*Settings) {}, ""},
		{"success of no yard", func(s *Settings) { s.SuccessPercent[1] = 0 }, "settings.success_percent"},
		{"success of more than all", func(s *Settings) { s.SuccessPercent[2] = 101 }, "settings.success_percent"},
		{"explosive runs of 0", func(s *Settings) { s.ExplosiveRunYd = 0 }, "settings.explosive_run_yd"},
		{"explosive passes of 100", func(s *Settings) { s.ExplosivePassYd = 100 }, "settings.explosive_pass_yd"},
		{"new words", func(s *Settings) { s.NewWords = "guess" }, "settings.new_words"},
		{"no distances", func(s *Settings) { s.DistanceBands = nil }, "settings.distance_bands"},
		{"bands that overlap", func(s *Settings) { s.DistanceBands[1].From = 3 }, "settings.distance_bands[1]"},
		{"a band twice", func(s *Settings) { s.FieldZones[1].Name = s.FieldZones[0].Name }, "settings.field_zones[1].name"},
		{"a band upside down", func(s *Settings) { s.FieldZones[4] = Band{"x", 5, 4} }, "settings.field_zones[4]"},
		{"a gap between bands", func(s *Settings) { s.DistanceBands[1].From = 5 }, ""},
		{"bands to the goal line", func(s *Settings) { s.DistanceBands[3].To = 100 }, "settings.distance_bands[3]"},
		{"too many bands", func(s *Settings) {
			s.DistanceBands = nil
			for i := range 21 {
				s.DistanceBands = append(s.DistanceBands, Band{string(rune('a' + i)), i + 1, i + 1})
			}
		}, "settings.distance_bands"},
		{"a field goal of 17", func(s *Settings) { s.FieldGoalYd = 17 }, "settings.field_goal_yd"},
		{"a field goal of 70", func(s *Settings) { s.FieldGoalYd = 70 }, ""},
		{"a punt of 61", func(s *Settings) { s.PuntNetYd = 61 }, "settings.punt_net_yd"},
		{"no zone", func(s *Settings) { s.TimeZone = "Nowhere/Town" }, "settings.time_zone"},
		{"the server's zone", func(s *Settings) { s.TimeZone = "Local" }, "settings.time_zone"},
		{"a zone", func(s *Settings) { s.TimeZone = "America/Chicago" }, ""},
		{"names", func(s *Settings) { s.PositionNames = []PositionName{{"middle", "Mike"}} }, ""},
		{"a name twice", func(s *Settings) {
			s.PositionNames = []PositionName{{"middle", "Mike"}, {"Middle", "Mac"}}
		}, "settings.position_names[1].position"},
		{"a name with a blank before", func(s *Settings) {
			s.PositionNames = []PositionName{{"middle", " Mike"}}
		}, "settings.position_names[0].name"},
		{"a name of 25", func(s *Settings) {
			s.PositionNames = []PositionName{{"middle", strings.Repeat("m", 25)}}
		}, "settings.position_names[0].name"},
		{"our man of no pace", func(s *Settings) { s.OurMen = []OurMan{{Name: "corner", Pace: "fast"}} },
			"settings.our_men[0].pace"},
		{"our man twice", func(s *Settings) {
			s.OurMen = []OurMan{{Name: "corner", Pace: "slower"}, {Name: "Corner", Pace: "quicker"}}
		}, "settings.our_men[1].name"},
		{"our man for the season and for one", func(s *Settings) {
			s.OurMen = []OurMan{{Name: "corner", Pace: "slower"}, {Name: "corner", Pace: "quicker", Opponent: "ruby"}}
		}, ""},
		{"too many men", func(s *Settings) {
			for range mostPositions + 1 {
				s.OurMen = append(s.OurMen, OurMan{Name: uuid.NewString(), Pace: "slower"})
			}
		}, "settings.our_men"},
	} {
		p := Program{Code: "hills", Name: "Hills", Settings: DefaultSettings()}
		tt.change(&p.Settings)
		got := slices.Compact(fieldsOf(t, p.Validate()))
		if strings.Join(got, " ") != tt.fields {
			t.Errorf("%s: refused for %q; want %q", tt.name, got, tt.fields)
		}
	}
}

// TestPlayBounds: each number of a play is taken at its bounds and refused one past them.
// Four downs, five quarters with overtime, 99 yards between the goal lines and eleven men
// are of every rule book; the others are as far as anything sensible goes.
func TestPlayBounds(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		field  string
		lo, hi int
		at     func(*Play) **int
	}{
		{"quarter", 1, 5, func(p *Play) **int { return &p.Quarter }},
		{"clock_s", 0, 900, func(p *Play) **int { return &p.ClockS }},
		{"down", 1, 4, func(p *Play) **int { return &p.Down }},
		{"distance_yd", 1, 99, func(p *Play) **int { return &p.DistanceYd }},
		{"yards_to_goal", 1, 99, func(p *Play) **int { return &p.YardsToGoal }},
		{"score_margin", -199, 199, func(p *Play) **int { return &p.ScoreMargin }},
		{"gain_yd", -99, 99, func(p *Play) **int { return &p.GainYd }},
		{"throw_depth_yd", -40, 99, func(p *Play) **int { return &p.ThrowDepth }},
		{"rushers", 0, 11, func(p *Play) **int { return &p.Rushers }},
		{"blitzers", 0, 11, func(p *Play) **int { return &p.Blitzers }},
	} {
		for v, bad := range map[int]string{tt.lo: "", tt.hi: "", tt.lo - 1: tt.field, tt.hi + 1: tt.field} {
			p := Play{Number: 1, Status: "counted"}
			*tt.at(&p) = &v
			if got := strings.Join(fieldsOf(t, p.Validate()), " "); got != bad {
				t.Errorf("%s %d: refused for %q; want %q", tt.field, v, got, bad)
			}
		}
	}
	for s, good := range map[float64]bool{0: true, 30: true, -0.1: false, 30.1: false, math.NaN(): false,
		math.Inf(1): false} {
		p := Play{Number: 1, Status: "counted", ThrowS: &s}
		if got := fieldsOf(t, p.Validate()); (len(got) == 0) != good {
			t.Errorf("thrown after %v s: %v; want it taken: %v", s, got, good)
		}
	}
	for s, good := range map[string]bool{"11": true, "00": true, "23": true, "50": true, "33": false, "51": false,
		"1": false, "111": false, "61": false, "1١": false} {
		p := Play{Number: 1, Status: "counted", Personnel: &s}
		if got := fieldsOf(t, p.Validate()); (len(got) == 0) != good {
			t.Errorf("personnel %q: %v; want it taken: %v", s, got, good)
		}
	}
}

// TestRouteBounds: what is wrong with a route is told by its place in the list.
func TestRouteBounds(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		change func(*Route)
		field  string
	}{
		"good":           {func(*Route) {}, ""},
		"side":           {func(r *Route) { r.Side = "middle" }, "routes[0].side"},
		"eligible":       {func(r *Route) { r.Eligible = "guard" }, "routes[0].eligible"},
		"number 0":       {func(r *Route) { r.Number = 0 }, "routes[0].number"},
		"number 6":       {func(r *Route) { r.Number = 6 }, "routes[0].number"},
		"no route":       {func(r *Route) { r.Route = "" }, "routes[0].route"},
		"break":          {func(r *Route) { r.BreakDirection = ptr("down") }, "routes[0].break_direction"},
		"depth":          {func(r *Route) { r.BreakDepthYd = ptr(60.5) }, "routes[0].break_depth_yd"},
		"no depth":       {func(r *Route) { r.BreakDepthYd = ptr(math.NaN()) }, "routes[0].break_depth_yd"},
		"deepest depth":  {func(r *Route) { r.BreakDepthYd = ptr(60.0) }, ""},
		"behind the men": {func(r *Route) { r.BreakDepthYd = ptr(-15.0) }, ""},
	} {
		r := Route{Side: "left", Number: 1, Eligible: "receiver", Route: "go"}
		tt.change(&r)
		p := Play{Number: 1, Status: "counted", Routes: []Route{r}}
		if got := strings.Join(fieldsOf(t, p.Validate()), " "); got != tt.field {
			t.Errorf("%s: refused for %q; want %q", name, got, tt.field)
		}
	}
}
