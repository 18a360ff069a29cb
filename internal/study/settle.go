package study

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"

	"overhang/internal/tags"
)

// Unknown, as a choice, leaves a field open that analysts differ on.
const Unknown = "(unknown)"

// Settle makes one play of what analysts tagged blind on one clip. A field on
// which all who know it agree is theirs; on every other choices must name the
// analyst who is right, or Unknown. routes are settled as a whole. Invalid: a
// field left open, a choice of somebody who did not tag, a clip tagged by one only.
func Settle(blind []tags.BlindTag, choices map[string]string) (tags.Play, error) {
	if len(blind) < 2 {
		return tags.Play{}, tags.Errorf(tags.Conflict, "only %d tagged this clip blind; it takes two analysts",
			len(blind))
	}
	said, analysts, err := tell(blind)
	if err != nil {
		return tags.Play{}, err
	}
	bad := &tags.Error{Kind: tags.Invalid, Msg: "the clip cannot be settled"}
	fault := func(field, msg string) { bad.Fields = append(bad.Fields, tags.FieldError{Field: field, Msg: msg}) }
	play := map[string]json.RawMessage{}
	for _, f := range slices.Sorted(maps.Keys(said)) {
		who, chosen := choices[f]
		switch values := said[f]; {
		case chosen && who == Unknown:
		case chosen && !slices.Contains(analysts, who):
			fault("choices."+f, who+" did not tag the clip")
		case chosen && values[who] == nil: // they left it open
		case chosen:
			play[f] = values[who]
		case same(values):
			play[f] = values[slices.Min(slices.Collect(maps.Keys(values)))]
		default:
			fault("choices."+f, "is open: "+differing(values))
		}
	}
	for _, f := range slices.Sorted(maps.Keys(choices)) {
		if said[f] == nil {
			fault("choices."+f, "nobody tagged it")
		}
	}
	if len(bad.Fields) > 0 {
		return tags.Play{}, bad
	}
	raw, err := json.Marshal(play)
	if err != nil {
		return tags.Play{}, err
	}
	var p tags.Play
	return p, json.Unmarshal(raw, &p)
}

// An OpenField is one that Settle wants a choice for.
type OpenField struct {
	Field  string
	Values map[string]json.RawMessage // by analyst
}

// Open lists, by name, the fields of one clip that analysts who know them differ on.
func Open(blind []tags.BlindTag) ([]OpenField, error) {
	said, _, err := tell(blind)
	var out []OpenField
	for _, f := range slices.Sorted(maps.Keys(said)) {
		if !same(said[f]) {
			out = append(out, OpenField{f, said[f]})
		}
	}
	return out, err
}

// told is what analysts say, by field and analyst.
type told map[string]map[string]json.RawMessage

// tell gathers what was tagged; what is unknown is no statement, and a note is none.
func tell(blind []tags.BlindTag) (said told, analysts []string, err error) {
	said = told{}
	for i := range blind {
		b := &blind[i]
		analysts = append(analysts, b.Analyst)
		raw, err := json.Marshal(b.Tags)
		if err != nil {
			return nil, nil, err
		}
		var fields map[string]json.RawMessage
		if err := json.Unmarshal(raw, &fields); err != nil {
			return nil, nil, err
		}
		for f, v := range fields {
			if string(v) == "null" || string(v) == "[]" || f == "note" {
				continue
			}
			if said[f] == nil {
				said[f] = map[string]json.RawMessage{}
			}
			said[f][b.Analyst] = v
		}
	}
	return said, analysts, nil
}

// differing says who tagged what.
func differing(values map[string]json.RawMessage) string {
	var parts []string
	for _, a := range slices.Sorted(maps.Keys(values)) {
		parts = append(parts, a+" "+string(values[a]))
	}
	return strings.Join(parts, ", ")
}

// same says that all values are equal; routes are compared as they stand.
func same(values map[string]json.RawMessage) bool {
	var first json.RawMessage
	for _, v := range values {
		if first != nil && string(v) != string(first) {
			return false
		}
		first = v
	}
	return true
}
