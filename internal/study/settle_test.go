package study

import (
	"encoding/json"
	"strings"
	"testing"

	"overhang/internal/tags"
)

// blind are what analysts tagged, name and play as JSON in turn.
func blind(t *testing.T, said ...string) (out []tags.BlindTag) {
	t.Helper()
	for i := 0; i+1 < len(said); i += 2 {
		b := tags.BlindTag{Analyst: said[i]}
		if err := json.Unmarshal([]byte(said[i+1]), &b.Tags); err != nil {
			t.Fatal(err)
		}
		out = append(out, b)
	}
	return out
}

// TestSettle: what all who know it agree on is taken, a difference only by a choice, and
// nothing is guessed. The plays and what must become of them were written by hand.
func TestSettle(t *testing.T) {
	two := blind(t, "ana", `{"down":3,"distance_yd":7,"called":"pass","concept":"smash"}`,
		"ben", `{"down":3,"distance_yd":8,"called":"pass"}`)
	for _, tt := range []struct {
		name    string
		from    []tags.BlindTag
		choices map[string]string
		want    string // the play, "" for a refusal
		refused string // what it says
	}{
		{"one differs and is chosen", two, map[string]string{"distance_yd": "ben"},
			`down 3, distance 8, pass, smash`, ""},
		{"the other way", two, map[string]string{"distance_yd": "ana"}, `down 3, distance 7, pass, smash`, ""},
		{"left open", two, map[string]string{"distance_yd": Unknown}, `down 3, distance ?, pass, smash`, ""},
		{"what one alone knows may be dropped", two, map[string]string{"distance_yd": "ana", "concept": "ben"},
			`down 3, distance 7, pass, ?`, ""},
		{"a difference nobody chose", two, nil, "", "choices.distance_yd"},
		{"somebody who did not tag", two, map[string]string{"distance_yd": "cal"}, "", "cal did not tag"},
		{"a field nobody tagged", two, map[string]string{"distance_yd": "ana", "hash": "ben"}, "", "choices.hash"},
		{"one analyst", two[:1], nil, "", "takes two analysts"},
		{"nobody", nil, nil, "", "takes two analysts"},
	} {
		p, err := Settle(tt.from, tt.choices)
		if got := inWords(&p); err == nil && got != tt.want || err != nil && tt.want != "" {
			t.Errorf("%s: %s, %v; want %s", tt.name, got, err, tt.want)
		}
		if e := tags.As(err); tt.refused != "" && (e == nil || !strings.Contains(e.Error()+fieldsOf(e), tt.refused)) {
			t.Errorf("%s: %v; want a refusal that says %q", tt.name, err, tt.refused)
		}
	}
}

func inWords(p *tags.Play) string {
	number := func(n *int) string {
		if n == nil {
			return "?"
		}
		return string(rune('0' + *n))
	}
	word := func(s *string) string {
		if s == nil {
			return "?"
		}
		return *s
	}
	return "down " + number(p.Down) + ", distance " + number(p.DistanceYd) + ", " + word(p.Called) + ", " + word(p.Concept)
}

func fieldsOf(e *tags.Error) (out string) {
	for _, f := range e.Fields {
		out += " " + f.Field + " " + f.Msg
	}
	return out
}
