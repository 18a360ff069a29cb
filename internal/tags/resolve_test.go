package tags

import (
	"slices"
	"strconv"
	"strings"
	"testing"
)

// TestResolve: what cannot be is refused with what can; aliases become their words; the
// unknown is always allowed; and filters that no play can meet together are told.
func TestResolve(t *testing.T) {
	t.Parallel()
	set := DefaultSettings()
	v := NewVocabulary([]Word{{Field: "concept", Word: "smash"}, {Field: "concept", Word: "china", AliasOf: ptr("smash")},
		{Field: "route", Word: "go"}})
	for _, tt := range []struct{ dimension, value, says string }{
		{"down", "3", ""}, {"down", "5", "use 1, 2, 3, 4 or (unknown)"}, {"down", "", ""}, {"down", "3.0", "can't be"},
		{"quarter", "5", ""}, {"quarter", "0", "can't be"},
		{"half", "overtime", ""}, {"half", "third", "use first, second, overtime"},
		{"score_state", "behind 9+", ""}, {"score_state", "behind", "can't be"},
		{"distance_band", "7-10", ""}, {"distance_band", "7-11", "use 1-3, 4-6, 7-10, 11+"},
		{"field_zone", "RED", ""}, {"field_zone", "red", "can't be"},
		{"near_goal", "goal line 3-1", ""}, {"near_goal", "5", "can't be"},
		{"throw_depth_band", "20+", ""}, {"throw_depth_band", "30+", "can't be"},
		{"strength_to", "field", ""}, {"strength_to", "left", "can't be"},
		{"play_to", "balanced", "use field, boundary, middle"}, {"play_strength", "away", ""},
		{"target_area", "middle", ""}, {"target_area", "deep", "can't be"},
		{"target_number", "5", ""}, {"target_number", "6", "can't be"},
		{"target_eligible", "tight_end", ""}, {"target_eligible", "guard", "can't be"},
		{"success", "yes", ""}, {"success", "true", "use yes, no"}, {"blitz", "no", ""},
		{"previous_called", "run", ""}, {"previous_called", NewPossession, ""}, {"previous_called", "punt", "can't be"},
		{"previous_outcome", "no success", ""}, {"previous_outcome", "good", "can't be"},
		{"result", "sack", ""}, {"result", "touchdown", "can't be"}, {"coverage_kind", "man", ""},
		{"week", "12", ""}, {"week", "twelve", "not a whole number"}, {"gain", "-4", ""}, {"gain", "1e2", "not a whole"},
		{"rushers", "5", ""}, {"rushers", "five", "not a whole number"},
		{"personnel", "11", ""}, {"personnel", "1", "two digits"},
		{"concept", "smash", ""}, {"concept", "flood", "unknown word"},
		{"previous_concept", NewPossession, ""}, {"previous_concept", "flood", "unknown word"},
		{"target_route", "go", ""}, {"target_route", "dig", "nearest known are go"},
		{"mood", "good", "unknown dimension"}, {"game", "a\x00", "NUL"},
	} {
		out, err := Resolve(map[string][]string{tt.dimension: {tt.value}}, &set, v, nil)
		switch {
		case tt.says == "" && err != nil:
			t.Errorf("%s=%s: %v; want it taken", tt.dimension, tt.value, err)
		case tt.says == "" && !slices.Equal(out[tt.dimension], []string{tt.value}):
			t.Errorf("%s=%s became %v", tt.dimension, tt.value, out)
		case tt.says != "" && (err == nil || !strings.Contains(err.Error(), tt.says) ||
			!strings.Contains(err.Error(), tt.dimension+": ")):
			t.Errorf("%s=%s: %v; want a refusal of it that says %q", tt.dimension, tt.value, err, tt.says)
		}
	}
	out, err := Resolve(map[string][]string{"concept": {"CHINA", ""}, "previous_concept": {"china"}}, &set, v, nil)
	if err != nil || !slices.Equal(out["concept"], []string{"smash", ""}) || out["previous_concept"][0] != "smash" {
		t.Errorf("aliases: %v, %v", out, err)
	}
}

// TestCommas: a name with commas is one value of a query, which parts values by commas, and says the
// longest name that there is.
func TestCommas(t *testing.T) {
	t.Parallel()
	set := DefaultSettings()
	v := NewVocabulary([]Word{{Field: "concept", Word: "smash"}, {Field: "concept", Word: "switch"},
		{Field: "concept", Word: "smash, switch"}})
	names := map[string][]string{"opponent": {"oak, jv", "oak"}}
	for _, tt := range []struct{ dimension, asked, want string }{
		{"concept", "smash, switch", "smash, switch"}, {"concept", "smash, Switch,smash", "smash, switch|smash"},
		{"concept", "switch,smash", "switch|smash"}, {"concept", "smash,,switch", "smash||switch"},
		{"opponent", "oak, jv", "oak, jv"}, {"opponent", "oak,oak, jv", "oak|oak, jv"}, {"opponent", "elm,oak", "elm|oak"},
		{"down", "1,2", "1|2"},
	} {
		out, err := Resolve(map[string][]string{tt.dimension: strings.Split(tt.asked, ",")}, &set, v, names)
		if got := strings.Join(out[tt.dimension], "|"); err != nil || got != tt.want {
			t.Errorf("%s=%s asks for %q, %v; want %q", tt.dimension, tt.asked, got, err, tt.want)
		}
	}
}

// TestContradictions: of two filters that exclude each other the second is told why; one
// pair that goes together is enough, and the unknown goes with everything.
func TestContradictions(t *testing.T) {
	t.Parallel()
	set := DefaultSettings()
	for _, tt := range []struct {
		filters map[string][]string
		field   string
	}{
		{map[string][]string{"quarter": {"1"}, "half": {"second"}}, "half"},
		{map[string][]string{"quarter": {"1", "3"}, "half": {"second"}}, ""},
		{map[string][]string{"quarter": {""}, "half": {"second"}}, ""},
		{map[string][]string{"quarter": {"5"}, "half": {"overtime"}}, ""},
		{map[string][]string{"distance": {"7"}, "distance_band": {"4-6"}}, "distance_band"},
		{map[string][]string{"distance": {"6"}, "distance_band": {"4-6"}}, ""},
		{map[string][]string{"called": {"run"}, "family": {"dropback"}}, "family"},
		{map[string][]string{"called": {"pass"}, "family": {"run"}}, "family"},
		{map[string][]string{"called": {"run"}, "family": {"rpo"}}, ""},
		{map[string][]string{"called": {"run"}, "result": {"sack"}}, "result"},
		{map[string][]string{"called": {"run"}, "result": {"rush", "sack"}}, ""},
		{map[string][]string{"called": {"pass"}, "result": {"scramble"}}, ""},
	} {
		_, err := Resolve(tt.filters, &set, nil, nil)
		if got := strings.Join(fieldsOf(t, err), " "); got != tt.field {
			t.Errorf("%v: refused for %q; want %q", tt.filters, got, tt.field)
		}
	}
}

// TestDimensionsResolve: every dimension takes the unknown, and each value of its own list.
func TestDimensionsResolve(t *testing.T) {
	t.Parallel()
	set, v := DefaultSettings(), NewVocabulary(nil)
	for _, d := range Dimensions {
		if _, err := Resolve(map[string][]string{d: {""}}, &set, v, nil); err != nil {
			t.Errorf("%s unknown: %v", d, err)
		}
		for _, x := range closed(d, &set) {
			if _, err := Resolve(map[string][]string{d: {x}}, &set, v, nil); err != nil {
				t.Errorf("%s=%s, of its own list: %v", d, x, err)
			}
		}
		if uses := UsesVocabulary(map[string][]string{d: nil}); uses != (vocabularyField(d) != "") {
			t.Errorf("%s uses the vocabulary: %v", d, uses)
		}
		if f := vocabularyField(d); f != "" && !slices.Contains(Allowed("vocabulary"), f) {
			t.Errorf("%s holds words of %s, which the vocabulary does not have", d, f)
		}
	}
}

// TestBandsOfTheDefaults: every yard of a field is in one zone and every distance in one
// band of the defaults.
func TestBandsOfTheDefaults(t *testing.T) {
	t.Parallel()
	set := DefaultSettings()
	for of, bands := range map[string][]Band{"distance": set.DistanceBands, "yards to goal": set.FieldZones} {
		for yd := 1; yd <= 99; yd++ {
			n := 0
			for _, b := range bands {
				if b.From <= yd && yd <= b.To {
					n++
				}
			}
			if n != 1 {
				t.Errorf("%s %s is in %d bands", of, strconv.Itoa(yd), n)
			}
		}
	}
}
