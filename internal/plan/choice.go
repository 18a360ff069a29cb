package plan

import (
	"fmt"
	"slices"
	"unicode/utf8"

	"overhang/internal/tags"
)

// A Choice is the coordinator's own. Without a call nothing is chosen yet, and the
// recommendation stands.
type Choice struct {
	Calls []Chosen `json:"calls"`
	Note  string   `json:"note"`
	// Limits are what the recommended mix has to keep to.
	Limits Limits `json:"limits,omitzero"`
}

// A Chosen is a call with how often it is meant.
type Chosen struct {
	Call  string  `json:"call"`  // one of the situation's
	Share float64 `json:"share"` // 0 to 1; those of a situation come to 1 at most
}

// Most of what a plan may hold of the coordinator's words in a situation, in characters.
const longestNote = 2000

// A ChoiceIn is a choice with the situation it is for.
type ChoiceIn struct {
	Situation string `json:"situation"`
	Choice
}

// Choices are those of the plan that say anything, in its order.
func (c *Content) Choices() []ChoiceIn {
	out := []ChoiceIn{}
	for i := range c.Situations {
		if x := &c.Situations[i]; len(x.Choice.Calls) > 0 || x.Choice.Note != "" || !x.Choice.Limits.none() {
			out = append(out, ChoiceIn{x.Name, x.Choice})
		}
	}
	return out
}

// Choose puts choices in place of all that were made: where none is given nothing
// is chosen. It is Invalid with every bad field, and nothing is changed, when a
// situation is not of the plan or given twice, a call is not of the situation or given
// twice, or shares are no shares.
func (c *Content) Choose(choices []ChoiceIn) error {
	made := map[string]Choice{}
	bad := &tags.Error{Kind: tags.Invalid, Msg: "the choices are not valid"}
	for i, x := range choices {
		at := fmt.Sprintf("choices[%d].", i)
		k := slices.IndexFunc(c.Situations, func(s Situation) bool { return s.Name == x.Situation })
		if k < 0 {
			bad.Fields = append(bad.Fields, tags.FieldError{Field: at + "situation",
				Msg: fmt.Sprintf("%q is no situation of the plan", x.Situation)})
			continue
		}
		if _, twice := made[x.Situation]; twice {
			bad.Fields = append(bad.Fields, tags.FieldError{Field: at + "situation", Msg: fmt.Sprintf("%q is there twice",
				x.Situation)})
		}
		bad.Fields = append(bad.Fields, x.wrong(&c.Situations[k], at)...)
		made[x.Situation] = Choice{append([]Chosen{}, x.Calls...), x.Note, x.Limits}
	}
	if len(bad.Fields) > 0 {
		return bad
	}
	for i := range c.Situations {
		s := &c.Situations[i]
		was := s.Choice.Limits.none()
		s.Choice = Choice{Calls: []Chosen{}}
		if x, ok := made[s.Name]; ok {
			s.Choice = x
		}
		if !was || !s.Choice.Limits.none() {
			s.remix()
		}
	}
	return nil
}

// notOnce says why a call can't stand in a list of the situation's calls, "" where it can; seen are those of before.
func (s *Situation) notOnce(call string, seen map[string]bool) (why string) {
	switch {
	case s.Call(call) == nil:
		why = fmt.Sprintf("%q was no active call when the plan was made or refreshed", call)
	case seen[call]:
		why = fmt.Sprintf("%q is there twice", call)
	}
	seen[call] = true
	return why
}

// wrong lists what is wrong with a choice in a situation.
func (x *Choice) wrong(s *Situation, at string) (fs []tags.FieldError) {
	add := func(field, format string, args ...any) {
		fs = append(fs, tags.FieldError{Field: at + field, Msg: fmt.Sprintf(format, args...)})
	}
	sum, seen := 0.0, map[string]bool{}
	for i, k := range x.Calls {
		on := fmt.Sprintf("calls[%d].", i)
		if why := s.notOnce(k.Call, seen); why != "" {
			add(on+"call", "%s", why)
		}
		if !(k.Share >= 0 && k.Share <= 1) {
			add(on+"share", "%v is not from 0 to 1", k.Share)
		}
		sum += k.Share
	}
	if sum > 1+slack {
		add("calls", "the shares come to %.4g: at most 1", sum)
	}
	fs = append(fs, x.Limits.wrong(s, at)...)
	switch {
	case utf8.RuneCountInString(x.Note) > longestNote:
		add("note", "is longer than %d characters", longestNote)
	case !tags.Storable(x.Note):
		add("note", "holds a NUL character or is not UTF-8")
	}
	return fs
}

// slack is by how much what was added up may miss 0 or 1.
const slack = 1e-6
