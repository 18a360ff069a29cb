package intake

import (
	"slices"
	"strings"

	"overhang/internal/tags"
)

// Pairs reads answers as they are typed, "Ball on=spot" or "concept:smsh=smash"; the
// last = cuts. What has none is refused, by the name of the list it stood in.
func Pairs(list string, texts []string) (map[string]string, error) {
	out := map[string]string{}
	for _, t := range texts {
		i := strings.LastIndex(t, "=")
		if i < 1 || list == "word" && !strings.Contains(t[:i], ":") {
			form := map[string]string{"column": "HEAD=FIELD", "word": "FIELD:THEIRS=OURS"}[list]
			return nil, tags.Fieldf(tags.Invalid, list, "%q is not %s", t, form)
		}
		out[strings.TrimSpace(t[:i])] = strings.TrimSpace(t[i+1:])
	}
	return out, nil
}

// Refusals are the reasons that keep the sheet out, each once, with its first
// place: rows are named, and what is wrong with the heads.
func (s *Sheet) Refusals() []tags.FieldError {
	out := []tags.FieldError{}
	for _, q := range s.Proposal.Problems {
		if q.Severity == "error" {
			msg := places(q.Cells, q.Count) + inTab(q.Tab) + ": " + q.Message
			out = append(out, tags.FieldError{Row: q.Rows[0], Field: strings.Trim(q.Field, "<>"), Msg: msg})
		}
	}
	slices.SortStableFunc(out, func(a, b tags.FieldError) int { return a.Row - b.Row })
	return out
}
