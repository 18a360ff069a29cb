package reports

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/study"
	"overhang/internal/tags"
)

// filled puts another value into every field of an answer, so that no column can show the
// number of its neighbor.
func filled[T any]() (v T) {
	n := 0
	fill(reflect.ValueOf(&v).Elem(), &n)
	return v
}

func fill(v reflect.Value, n *int) {
	*n++
	switch v.Kind() {
	case reflect.Int, reflect.Int64:
		v.SetInt(int64(*n))
	case reflect.Float64:
		v.SetFloat(float64(*n) + 0.5)
	case reflect.Bool:
		v.SetBool(true)
	case reflect.String:
		v.SetString(fmt.Sprint("word ", *n))
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(v.Elem(), n)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		fill(v.Index(0), n)
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() {
			return
		}
		for i := range v.NumField() {
			if v.Field(i).CanSet() {
				fill(v.Field(i), n)
			}
		}
	}
}

// members are the members of a value as the API has it, those of objects in it too where their
// name is no member's.
func members(t *testing.T, v any) map[string]any {
	t.Helper()
	raw, err := json.Marshal(v)
	var out map[string]any
	if err = errors.Join(err, json.Unmarshal(raw, &out)); err != nil {
		t.Fatal(err)
	}
	return out
}

// sameAs holds a row of a sheet against members of the API's answer: a column that has the name of one
// shows it. It returns how many do.
func sameAs(t *testing.T, s *Sheet, row []any, m map[string]any) (n int) {
	t.Helper()
	if len(row) != len(s.Columns) {
		t.Fatalf("%s: %d cells under %d columns", s.Name, len(row), len(s.Columns))
	}
	for i, name := range s.Columns {
		want, there := m[name]
		if _, deep := want.([]any); !there || deep {
			continue
		}
		n++
		raw, err := json.Marshal(row[i])
		var got any
		if err = errors.Join(err, json.Unmarshal(raw, &got)); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: column %s shows %v, the API's %v", s.Name, name, got, want)
		}
	}
	return n
}

// TestSheetsAreTheAnswers: every column of a sheet that is called as a member of the API's answer
// shows that member, no column stands twice, and every row is as wide as the head.
func TestSheetsAreTheAnswers(t *testing.T) {
	t.Parallel()
	down := "3"
	keys := map[string]*string{"down": &down}
	cell, tell, like := filled[ask.CellScored](), filled[study.Tell](), filled[study.Likeness]()
	cell.Keys = keys
	depth := filled[ask.RouteDepth]()
	depth.Keys = keys
	play := filled[tags.Play]()
	tells := &ask.TellsAnswer{}
	tells.Tells.Tells = []study.Tell{tell}
	tendencies := TendencySheet(&ask.TendenciesAnswer{By: []string{"down"}, Cells: []ask.CellScored{cell},
		LeftOut: map[string]int{
			"success: no gain": 4}})
	trend := &ask.TrendAnswer{}
	trend.Of, trend.Changes = "concept", []study.Change{filled[study.Change]()}
	for _, tt := range []struct {
		sheet Sheet
		of    any
		least int // columns that are compared
	}{
		{tendencies, cell, 20}, {TellSheet(tells), tell, 17}, {LikenessSheet(&ask.Likeness{Items: []study.Likeness{like}}),
			like, 5},
		{TrendSheet(trend), trend.Changes[0], 8},
		{BreakDepthSheet(&ask.Depths{By: []string{"down"}, Items: []ask.RouteDepth{depth}}), depth, 12},
		{SnapSheet(&ask.SnapsAnswer{Items: []tags.Play{play}, Games: []ask.GameLabel{{ID: play.GameID, Label: "week 1"}}}),
			play, 25},
	} {
		s := &tt.sheet
		if len(s.Rows) != 1 {
			t.Fatalf("%s: %d rows", s.Name, len(s.Rows))
		}
		if n := sameAs(t, s, s.Rows[0], members(t, tt.of)); n < tt.least {
			t.Errorf("%s: %d of its columns %q are members of the answer", s.Name, n, s.Columns)
		}
		for i, c := range s.Columns {
			if slices.Contains(s.Columns[:i], c) || c == "" {
				t.Errorf("%s: column %q stands twice", s.Name, c)
			}
		}
	}
	if got := *tendencies.Rows[0][0].(*string); got != "3" || !slices.ContainsFunc(tendencies.Notes,
		func(n string) bool {
			return strings.Contains(n, "4 plays, success: no gain")
		}) {
		t.Errorf("the group is %q; notes %q", got, tendencies.Notes)
	}
}

// TestUnknownStaysUnknown: what nobody tagged is an empty field of the CSV, never nothing counted.
func TestUnknownStaysUnknown(t *testing.T) {
	t.Parallel()
	s := SnapSheet(&ask.SnapsAnswer{Items: []tags.Play{{Number: 7, Meta: tags.Meta{
		ID: uuid.MustParse("01890a5d-ac96-774b-bcce-b302099a8057")}}}})
	var b bytes.Buffer
	if err := s.WriteCSV(&b); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil || len(rows) != 2 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for i, name := range rows[0] {
		want := map[string]string{"number": "7", "touchdown": "false", "routes_assumed": "false",
			"id": "01890a5d-ac96-774b-bcce-b302099a8057"}[name]
		if rows[1][i] != want {
			t.Errorf("%s is %q, want %q", name, rows[1][i], want)
		}
	}
}

// TestRoutesSaid: routes as one text, the target marked, an unknown depth left out.
func TestRoutesSaid(t *testing.T) {
	t.Parallel()
	six := 6.5
	got := routesSaid([]tags.Route{{Side: "left", Number: 1, Route: "hitch", BreakDepthYd: &six}, {Side: "right",
		Number: 3,
		Route:  "go", Targeted: true}})
	if want := "left 1 hitch at 6.5; right 3 go (target)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if routesSaid(nil) != nil || orNil("") != nil || orNil("x") != "x" {
		t.Error("what is unknown is said")
	}
}

// TestPlannedRows: a call that was chosen has its share, one beside it none, and where nothing was
// chosen it is unknown; plans of before have no points.
func TestPlannedRows(t *testing.T) {
	t.Parallel()
	p := filled[plan.Predicted]()
	p.Call = "palms"
	old := p
	old.GivesUp, old.Group, old.Watch, old.For = nil, 0, nil, ""
	chosen := &plan.Choice{Calls: []plan.Chosen{{Call: "palms", Share: .4}}}
	const share = 10
	for _, tt := range []struct {
		call  *plan.Predicted
		by    *plan.Choice
		share any
	}{{&p, chosen, .4}, {&p, &plan.Choice{}, nil}, {&p, &plan.Choice{Calls: []plan.Chosen{{Call: "sky", Share: 1}}},
		0.0}, {&old, chosen, .4}} {
		if got := predicted(tt.call, tt.by); got[share] != tt.share {
			t.Errorf("chosen %+v: %v, want %v", tt.by.Calls, got[share], tt.share)
		}
	}
	row := predicted(&old, chosen)
	for _, i := range []int{1, 2, 3, 4, 9, 12, 13, 14} {
		if row[i] != nil {
			t.Errorf("kept before there were points: cell %d is %v", i, row[i])
		}
	}
	one := plan.Situation{Name: "3rd and 7", Where: map[string]string{"down": "3"}, Calls: []plan.Predicted{p, old}}
	s := PlanSheet(&ask.PlanAnswer{Situations: []ask.PlannedCall{{Situation: one}}})
	if len(s.Rows) != 2 || s.Columns[1] != "down" || s.Rows[0][1] != "3" || len(s.Rows[0]) != len(s.Columns) {
		t.Errorf("%q: %v", s.Columns, s.Rows)
	}
	sameAs(t, &s, s.Rows[0], map[string]any{"call": "palms", "mix_share": p.Share, "mix_for": p.For, "stress": p.Stress,
		"gives_up_points": p.GivesUp.Points, "watch_short_yd": p.Watch.ShortYd, "watch_defender": p.Watch.Defender})
}

// TestBoardRows: a row a cell, with its concept and the first thing found; nothing found is unknown.
func TestBoardRows(t *testing.T) {
	t.Parallel()
	full, empty := filled[plan.Cell](), plan.Cell{Call: "sky", Concept: 0}
	full.Call, full.Concept = "palms", 1
	b := &plan.Board{Concepts: []plan.Concept{{Concept: "mesh"}, {Concept: "smash", SetName: "2x2", Family: "dropback",
		Plays: 9}},
		Rows: []plan.Row{{Cells: []plan.Cell{full, empty}}}}
	s := BoardSheet(b)
	f := &full.Findings[0]
	if n := sameAs(t, &s, s.Rows[0], map[string]any{"call": "palms",
		"concept": "smash", "set_name": "2x2", "family": "dropback",
		"plays": 9.0, "gives_up_points": full.Points, "stress": full.Stress, "success": full.Success,
		"explosive": full.Explosive,
		"touchdown": full.Touchdown, "turnover": full.Turnover, "mean_gain_yd": full.MeanGain, "kind": f.Kind,
		"defender": f.Defender,
		"open":     f.Open, "other": f.Other, "short_yd": f.ShortYd, "sentence": f.Sentence}); n != len(s.Columns) {
		t.Errorf("%d of %d columns were compared", n, len(s.Columns))
	}
	sameAs(t, &s, s.Rows[1], map[string]any{"call": "sky", "concept": "mesh", "defender": nil, "sentence": nil,
		"short_yd": nil})
}

// TestKinds: every kind is found under its scope and nowhere else, by its own path; a name nobody
// has is refused with those there are.
func TestKinds(t *testing.T) {
	t.Parallel()
	scopes := []Scope{OfProgram, OfOpponent, OfPlan, ForField}
	for _, k := range Kinds {
		for _, s := range scopes {
			got, err := Lookup(k.Name, s)
			if (err == nil) != (s == k.Scope) || err == nil && got.Title != k.Title {
				t.Errorf("%s under scope %d: %+v, %v", k.Name, s, got.Title, err)
			}
		}
		if k.Build == nil || k.Title == "" || k.Cost == 0 || k.Scope != ForField &&
			!strings.HasSuffix(k.Path(), "/"+k.Name) {
			t.Errorf("%s lacks something: %+v, path %s", k.Name, k, k.Path())
		}
	}
	if all := Names(scopes...); len(all) != len(Kinds) || len(Names()) != 0 {
		t.Errorf("names %q", all)
	}
	_, err := Lookup("horoscope", OfProgram, OfOpponent)
	if e := tags.As(err); e == nil || e.Kind != tags.NotFound || !strings.Contains(e.Msg, "horoscope") ||
		!strings.Contains(e.Msg, "stress") {
		t.Errorf("no such report: %v", err)
	}
}

// TestStandalone: a page for a file has the stylesheet in it, once, in the place of the link.
func TestStandalone(t *testing.T) {
	t.Parallel()
	page := []byte(`<head><link rel="stylesheet" href="/assets/style.css"></head>`)
	got := string(Standalone(page))
	if strings.Contains(got, "<link") || strings.Count(got, "<style>") != 1 || !strings.Contains(got, string(Style())) ||
		!strings.HasPrefix(got, "<head><style>") {
		t.Errorf("%.80q", got)
	}
	if other := []byte("<head></head>"); !bytes.Equal(Standalone(other), other) {
		t.Error("a page without the link is changed")
	}
}
