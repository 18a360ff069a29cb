package tags

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Dimensions a tendency can be grouped by and filtered on. What each one means
// is written in api/openapi.yaml; the store has its SQL.
var Dimensions = []string{
	"opponent", "season", "game", "week", "games_ago", "ours", "quarter", "half", "two_minute", "score_state", "down",
	"distance", "distance_band", "field_zone", "near_goal", "hash",
	"personnel", "set_name", "strength", "strength_to", "backfield", "motion",
	"called", "family", "play_fake", "run_option", "concept", "play_side", "play_to", "play_strength",
	"target_number", "target_eligible", "target_route", "target_area", "throw_depth", "throw_depth_band",
	"throw_time", "pressured",
	"result",
	"gain", "first_down", "success", "explosive", "touchdown",
	"shell", "coverage", "coverage_kind", "rushers", "blitzers", "blitz",
	"previous_called", "previous_family", "previous_concept", "previous_result", "previous_outcome",
}

// NewPossession is what the previous play is called when it belongs to another
// possession, or to none.
const NewPossession = "new possession"

// ScoreStates are the states of the score, as the offense sees it: eight points,
// a touchdown with two points after it, are one score.
var ScoreStates = []string{"behind 9+", "behind 1-8", "even", "ahead 1-8", "ahead 9+"}

// NearGoal are the stretches before the goal line for which a defense calls apart: the red
// zone by tens, and the goal line. Common practice, no source.
var NearGoal = []string{"red zone 20-11", "red zone 10-4", "goal line 3-1"}

// NearGoalMiddle is how far from the goal line the middle of each stretch of NearGoal is.
var NearGoalMiddle = map[string]int{NearGoal[0]: 15, NearGoal[1]: 7, NearGoal[2]: 2}

// ThrowDepthBands are the bands of how far past the line a ball was thrown.
var ThrowDepthBands = []string{"behind the line", "0-9", "10-19", "20+"}

// InsideRoutes are routes that end toward the middle of the field, no matter who runs them: where
// a tagger did not say which way the target broke, they say it. They are the built-in
// routes that break inside and run on; a test of the pages holds them together.
var InsideRoutes = []string{"slant", "glance", "in", "dig", "drift", "post", "inside post", "bender", "divide",
	"shallow",
	"over", "cross", "mesh", "angle", "tunnel", "option", "corner-post"}

// TargetAreas are where a ball is thrown across the field, as the offense sees it.
var TargetAreas = []string{"left", "middle", "right"}

var yesNo = []string{"yes", "no"}

// closed returns every value a dimension can have, nil where there is no such list.
func closed(dimension string, set *Settings) []string {
	switch dimension {
	case "quarter":
		return []string{"1", "2", "3", "4", "5"}
	case "half":
		return []string{"first", "second", "overtime"}
	case "down":
		return []string{"1", "2", "3", "4"}
	case "score_state":
		return ScoreStates
	case "distance_band":
		return BandNames(set.DistanceBands)
	case "field_zone":
		return BandNames(set.FieldZones)
	case "near_goal":
		return NearGoal
	case "throw_depth_band":
		return ThrowDepthBands
	case "strength_to":
		return []string{"field", "boundary", "middle", "balanced"}
	case "play_to":
		return []string{"field", "boundary", "middle"}
	case "play_strength":
		return []string{"to", "away", "balanced"}
	case "target_area":
		return TargetAreas
	case "target_number":
		return []string{"1", "2", "3", "4", "5"}
	case "target_eligible":
		return fixed["eligible"]
	case "ours", "two_minute", "play_fake", "run_option", "pressured", "first_down", "success", "explosive", "touchdown",
		"blitz":
		return yesNo
	case "previous_called", "previous_family", "previous_result":
		return append(slices.Clone(fixed[strings.TrimPrefix(dimension, "previous_")]), NewPossession)
	case "previous_outcome":
		return []string{"explosive", "success", "no success", NewPossession}
	}
	return fixed[dimension]
}

// vocabularyField names the field of the vocabulary whose words a dimension
// holds, "" when it holds none.
func vocabularyField(dimension string) string {
	switch dimension {
	case "target_route":
		return "route"
	case "previous_concept":
		return "concept"
	case "set_name", "backfield", "motion", "concept", "coverage":
		return dimension
	}
	return ""
}

// UsesVocabulary says whether a filter asks for a word of the vocabulary.
func UsesVocabulary(filters map[string][]string) bool {
	for d := range filters {
		if vocabularyField(d) != "" {
			return true
		}
	}
	return false
}

// Resolve returns the filters with aliases replaced by the words they stand for.
// Invalid: an unknown dimension, a value that cannot occur (with the values or
// the nearest words that can), values that exclude each other. "" asks for the
// unknown and is always allowed. v may be nil when UsesVocabulary says no. names are those of a
// dimension that the settings and the vocabulary don't know.
func Resolve(filters map[string][]string, set *Settings, v *Vocabulary,
	names map[string][]string) (map[string][]string, error) {
	var c check
	out := map[string][]string{}
	for _, d := range sortedKeys(filters) {
		if !slices.Contains(Dimensions, d) {
			c.add(d, "unknown dimension")
			continue
		}
		known := func(x string) bool {
			if field := vocabularyField(d); field != "" {
				_, ok := v.Lookup(field, x)
				return ok
			}
			return slices.Contains(closed(d, set), x) || slices.Contains(names[d], x)
		}
		for _, x := range together(filters[d], known) {
			out[d] = append(out[d], c.value(d, x, set, v))
		}
	}
	if len(c.fs) == 0 {
		c.contradictions(out, set)
	}
	return out, invalid("the query", c.fs)
}

// together puts in one what the commas of a query have cut: a name may have some itself.
func together(vs []string, known func(string) bool) (out []string) {
	for i := 0; i < len(vs); {
		n := len(vs) - i
		for n > 1 && !known(strings.Join(vs[i:i+n], ",")) {
			n--
		}
		out = append(out, strings.Join(vs[i:i+n], ","))
		i += n
	}
	return out
}

func (c *check) value(d, x string, set *Settings, v *Vocabulary) string {
	if x == "" {
		return x
	}
	if !Storable(x) {
		c.add(d, "holds a NUL character or is not UTF-8")
		return x
	}
	if known := closed(d, set); known != nil && !slices.Contains(known, x) {
		c.add(d, "%q can't be: use %s or (unknown)", x, strings.Join(known, ", "))
	}
	switch d {
	case "games_ago", "week", "distance", "throw_depth", "gain", "rushers", "blitzers":
		if _, err := strconv.Atoi(x); err != nil {
			c.add(d, "%q is not a whole number", x)
		}
	case "personnel":
		if !personnelForm.MatchString(x) {
			c.add(d, "%q is not two digits: backs, then tight ends", x)
		}
	}
	field := vocabularyField(d)
	if field == "" || d == "previous_concept" && x == NewPossession {
		return x
	}
	word, ok := v.Lookup(field, x)
	if !ok {
		c.add(d, "%s", v.unknown(field, x))
	}
	return word
}

// contradictions finds pairs of filters of which no play can meet both.
func (c *check) contradictions(filters map[string][]string, set *Settings) {
	for _, pair := range []struct {
		a, b, why string
		together  func(a, b string) bool
	}{
		{"quarter", "half", "no such quarter is in that half", func(q, h string) bool {
			return h == map[string]string{"1": "first", "2": "first", "3": "second", "4": "second", "5": "overtime"}[q]
		}},
		{"distance", "distance_band", "no such distance is in that band", func(d, name string) bool {
			n, _ := strconv.Atoi(d)
			return slices.ContainsFunc(set.DistanceBands,
				func(b Band) bool { return b.Name == name && b.From <= n && n <= b.To })
		}},
		{"called", "family", "no play is called so and of that family", func(called, family string) bool {
			return !(called == "run" && family == "dropback" || called == "pass" && family == "run")
		}},
		{"called", "result", "a throw, a sack and a scramble were called a pass", func(called, result string) bool {
			return called == "pass" || !slices.Contains([]string{"scramble", "complete", "incomplete", "intercepted", "sack"},
				result)
		}},
	} {
		as, bs := filters[pair.a], filters[pair.b]
		if len(as) == 0 || len(bs) == 0 {
			continue
		}
		met := false
		for _, a := range as {
			for _, b := range bs {
				met = met || a == "" || b == "" || pair.together(a, b)
			}
		}
		if !met {
			c.add(pair.b, "%s cannot hold with %s: %s", shown(bs), fmt.Sprintf("%s %s", pair.a, shown(as)), pair.why)
		}
	}
}

func shown(vs []string) string { return strings.Join(vs, " or ") }

func sortedKeys[V any](m map[string]V) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}
