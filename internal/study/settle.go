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
		return tags.Play{}, tags.Errorf(tags.Conflict, "%d analysts tagged the clip blind: two at least are needed",
			len(blind))
	}
	said := map[string]map[string]json.RawMessage{} // by field and analyst
	var analysts []string
	for i := range blind {
		b := &blind[i]
		analysts = append(analysts, b.Analyst)
		raw, err := json.Marshal(b.Tags)
		if err != nil {
			return tags.Play{}, err
		}
		var fields map[string]json.RawMessage
		if err := json.Unmarshal(raw, &fields); err != nil {
			return tags.Play{}, err
		}
		for f, v := range fields {
			if string(v) == "null" || string(v) == "[]" || f == "note" {
				continue // unknown is no statement
			}
			if said[f] == nil {
				said[f] = map[string]json.RawMessage{}
			}
			said[f][b.Analyst] = v
		}
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
		case chosen && values[who] == nil: // he left it open
		case chosen:
			play[f] = values[who]
		case same(values):
			play[f] = values[slices.Min(slices.Collect(maps.Keys(values)))]
		default:
			var parts []string
			for _, a := range slices.Sorted(maps.Keys(values)) {
				parts = append(parts, a+" "+string(values[a]))
			}
			fault("choices."+f, "is open: "+strings.Join(parts, ", "))
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
