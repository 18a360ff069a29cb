package ask

import (
	"bytes"
	"context"
	"encoding/json"
	"slices"
	"strings"

	"overhang/internal/plan"
	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/tags"
)

// Book lists the built-in calls.
func Book() []*call.Call {
	out := []*call.Call{}
	for _, p := range call.Book() {
		out = append(out, p.Call)
	}
	return out
}

// compile reads a call: the name of a built-in one, or one in the engine's form.
func compile(ctx context.Context, raw json.RawMessage) (*call.Compiled, error) {
	var name string
	if json.Unmarshal(raw, &name) == nil {
		return call.Lookup(name)
	}
	c, err := call.Decode(bytes.NewReader(raw))
	if err != nil {
		return nil, err
	}
	return call.CompileWithin(ctx, c)
}

// unplayable says why a call cannot be compiled, with the place of each word or number of
// it that is wrong.
func unplayable(raw json.RawMessage, why error) error {
	bad := &tags.Error{Kind: tags.Invalid, Msg: "the call cannot be used",
		Fields: []tags.FieldError{{Field: "call", Msg: why.Error()}}}
	if _, faults := call.Lenient(raw); len(faults) > 0 && faults[0].Path != "" {
		bad.Faults = faultsTold(faults)
	}
	return bad
}

// faultsTold are the engine's faults as a caller is told them.
func faultsTold(faults []call.Fault) (out []tags.Fault) {
	for _, x := range faults {
		out = append(out, tags.Fault{Path: x.Path, Defender: x.Defender, Rule: x.Rule, Message: x.Message,
			Severity: string(x.Severity)})
	}
	return out
}

// CheckCall lets only calls be stored that the engine can play and that hold together;
// all faults are told at once, each with its place, its defender and its line. What was not
// tried of it is put into the call.
func CheckCall(ctx context.Context, v *tags.Call) error {
	c, faults, err := stress.Examine(ctx, v.Body)
	if err != nil {
		return err
	}
	if c != nil {
		v.NotTried = c.Untried()
	}
	bad := &tags.Error{Kind: tags.Invalid, Msg: "the call does not hold together", Faults: faultsTold(faults)}
	for _, x := range faults {
		if x.Severity != call.Refused {
			continue
		}
		where := "body: " + x.Defender
		if x.Rule != "" {
			where += ": when " + x.Rule
		}
		bad.Fields = append(bad.Fields, tags.FieldError{Field: where, Msg: x.Message})
	}
	if len(bad.Fields) > 0 {
		return bad
	}
	return nil
}

// activeCalls compiles the program's active calls.
func (s *Scope) activeCalls(ctx context.Context, from Reads) ([]plan.Named, error) {
	return s.compiled(ctx, from, true)
}

// ours is a call in the staff's words, played by its own men against the scope's opponent.
func (s *Scope) ours(name string, c *call.Compiled) plan.Named {
	even := c.Naming(s.Program.Settings.Names())
	by := call.Paces{}
	for who, pace := range s.Program.Settings.Paces(s.Opponent.Code) {
		by[who] = call.Pace(pace)
	}
	out := plan.Named{Name: name, Compiled: even}
	if paced, some := even.Pacing(by); some {
		out.Compiled, out.Even = paced, even
	}
	return out
}

func (s *Scope) compiled(ctx context.Context, from Reads, activeOnly bool) ([]plan.Named, error) {
	stored, err := from.CallsOf(ctx, s.Program.ID, activeOnly)
	if err != nil {
		return nil, err
	}
	var out []plan.Named
	for _, x := range stored {
		c, err := compile(ctx, x.Body)
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err != nil {
			return nil, tags.Errorf(tags.Conflict, "the call %q cannot be played: %v", x.Name, err)
		}
		n := s.ours(x.Name, c)
		n.Doubts = doubts(c)
		out = append(out, n)
	}
	return out, nil
}

// doubts says what of a stored call a stricter check refuses by now: it is played all the
// same, with the warning. The words and numbers are looked at, not every picture.
func doubts(p *call.Compiled) (out []string) {
	for _, f := range p.Call.Faults() {
		if f.Severity == call.Refused {
			out = append(out, "saved before the check was stricter; "+f.Defender+": "+f.Message)
		}
	}
	return out
}

// callbook reads what the coverages of our games mean: the program's calls, then
// the built-in ones; with the vocabulary it goes by.
func (s *Scope) callbook(ctx context.Context, from Reads) (book plan.Callbook, v *tags.Vocabulary, err error) {
	if v, err = from.Vocabulary(ctx, s.Program.ID); err != nil {
		return book, v, err
	}
	calls, err := s.compiled(ctx, from, false)
	if err != nil {
		return book, v, err
	}
	for _, b := range call.Book() {
		calls = append(calls, s.ours(b.Call.Name, b))
	}
	former, err := from.FormerNames(ctx, s.Program.ID)
	if err != nil {
		return book, v, err
	}
	book = plan.NewCallbook(v, calls)
	book.Renamed(former)
	return book, v, nil
}

// A Position is a defender as calls name one, to be given the staff's own word.
type Position struct {
	Position string   `json:"position"`
	Calls    []string `json:"calls"` // that have such a man; empty: a word is kept for it, no call has it
}

// Positions lists the defenders of a program's calls, those of most calls first, then
// those that only a word is kept for.
func Positions(ctx context.Context, from Reads, p tags.Program) ([]Position, error) {
	stored, err := from.CallsOf(ctx, p.ID, false)
	if err != nil {
		return nil, err
	}
	var out positions
	for _, x := range stored {
		c, err := compile(ctx, x.Body)
		if err != nil {
			continue // a call nobody can play any more names nobody
		}
		for _, s := range c.Slots {
			if m := out.at(s.Position()); !slices.Contains(m.Calls, x.Name) {
				m.Calls = append(m.Calls, x.Name)
			}
		}
	}
	for _, x := range p.Settings.PositionNames {
		out.at(x.Position)
	}
	slices.SortStableFunc(out, func(a, b Position) int { return len(b.Calls) - len(a.Calls) })
	return out, nil
}

type positions []Position

// at finds a position by its name in any spelling, or begins it.
func (ps *positions) at(name string) *Position {
	i := slices.IndexFunc(*ps, func(x Position) bool { return strings.EqualFold(x.Position, name) })
	if i < 0 {
		i, *ps = len(*ps), append(*ps, Position{name, []string{}})
	}
	return &(*ps)[i]
}
