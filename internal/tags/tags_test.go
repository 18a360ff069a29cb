package tags

import (
	"strings"
	"testing"
)

func ptr[T any](v T) *T { return &v }

func TestPlayValidate(t *testing.T) {
	good := func() Play { return Play{Number: 1, Status: "counted"} }
	for _, tt := range []struct {
		name   string
		change func(*Play)
		fields string // in order; "" for a good play
	}{
		{"nothing known but the number", func(*Play) {}, ""},
		{"everything at its edge", func(p *Play) {
			p.Down, p.DistanceYd, p.YardsToGoal, p.GainYd, p.Quarter, p.ClockS = ptr(4), ptr(99), ptr(1), ptr(-99), ptr(5),
				ptr(900)
		}, ""},
		{"a down of 5", func(p *Play) { p.Down = ptr(5) }, "down"},
		{"a distance of 0", func(p *Play) { p.DistanceYd = ptr(0) }, "distance_yd"},
		{"all bad fields at once", func(p *Play) {
			p.Number, p.Down, p.Hash, p.Personnel = 0, ptr(0), ptr("center"),
				ptr("1x")
		}, "down hash number personnel"},
		{"six routes", func(p *Play) { p.Routes = make([]Route, 6) }, "routes"},
		{"one number twice on a side", func(p *Play) {
			r := Route{Side: "left", Number: 1, Eligible: "receiver", Route: "go"}
			p.Routes = []Route{r, r}
		}, "routes[1].number"},
		{"two targets", func(p *Play) {
			p.Routes = []Route{{Side: "left", Number: 1, Eligible: "receiver", Route: "go", Targeted: true},
				{Side: "right", Number: 1, Eligible: "receiver", Route: "go", Targeted: true}}
		}, "routes"},
		{"a run that was called a pass", func(p *Play) { p.Family, p.Called = ptr("run"), ptr("pass") }, "family"},
	} {
		p := good()
		tt.change(&p)
		err := p.Validate()
		var got []string
		if e := As(err); e != nil {
			for _, f := range e.Fields {
				if n := len(got); n == 0 || got[n-1] != f.Field {
					if !strings.HasPrefix(f.Field, "routes[") || tt.fields == f.Field {
						got = append(got, f.Field)
					}
				}
			}
		}
		if strings.Join(got, " ") != tt.fields {
			t.Errorf("%s: bad fields %v (%v); want %q", tt.name, got, err, tt.fields)
		}
	}
}

func TestVocabulary(t *testing.T) {
	v := NewVocabulary([]Word{{Field: "concept", Word: "smash"}, {Field: "concept", Word: "china", AliasOf: ptr("smash")},
		{Field: "concept", Word: "curl-flat"}, {Field: "concept", Word: "flood"}})
	if w, ok := v.Lookup("concept", "  China "); !ok || w != "smash" {
		t.Errorf(`Lookup("China") = %q, %v; want the word it stands for`, w, ok)
	}
	if near := v.Nearest("concept", "smsh"); len(near) == 0 || near[0] != "smash" {
		t.Errorf(`Nearest("smsh") = %v; want smash first`, near)
	}
}

func TestTendencyQuery(t *testing.T) {
	for by, word := range map[string]string{"": "missing", "down,down": "twice", "mood": "unknown dimension"} {
		q := TendencyQuery{}
		if by != "" {
			q.By = strings.Split(by, ",")
		}
		if err := q.Validate(); err == nil || !strings.Contains(err.Error(), word) {
			t.Errorf("by %q: %v; want an error that says %q", by, err, word)
		}
	}
	if err := (&TendencyQuery{By: []string{"down"}, Within: []string{"hash"}}).Validate(); err == nil {
		t.Error("within a dimension that is not asked for: no error")
	}
}
