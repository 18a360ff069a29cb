package ask_test

import (
	"context"
	"encoding/json"
	"errors"
	"maps"
	"slices"
	"testing"

	"github.com/google/uuid"

	"overhang/internal/ask"
	"overhang/internal/stress/call"
	"overhang/internal/tags"
)

// A snap is one play by its dimensions; what is missing was not tagged.
type snap map[string]string

// A staffroom is what questions read, kept in memory and counted the dumb way: it looks at
// every snap. What a question has no business to read is a nil method and ends the test.
type staffroom struct {
	ask.Reads
	program   tags.Program
	opponents []tags.Opponent
	snaps     []snap
	concepts  map[string][]tags.ConceptRow // the men of a concept, by its name
	calls     []tags.Call
	former    map[string]string
	words     []tags.Word
	games     []tags.Game
	plans     []tags.Plan
	locked    *tags.Plan
	depths    []tags.DepthGroup
	unnamed   []tags.Play
	blind     []tags.BlindTag
	counted   []tags.Play
	ours      map[uuid.UUID]snap // our plays, with what filters go by
	oursPlays []tags.Play

	asked  []string // the reads so far
	breaks int      // the number of the read that fails, 0 none
}

var errBroken = errors.New("the disk is gone")

// read notes a read, and fails where it should.
func (s *staffroom) read(what string) error {
	if s.asked = append(s.asked, what); len(s.asked) == s.breaks {
		return errBroken
	}
	return nil
}

// under are the snaps that filters leave.
func (s *staffroom) under(filters map[string][]string) (out []snap) {
	for _, x := range s.snaps {
		if met(x, filters) {
			out = append(out, x)
		}
	}
	return out
}

func met(x snap, filters map[string][]string) bool {
	for d, vs := range filters {
		if !slices.Contains(vs, x[d]) {
			return false
		}
	}
	return true
}

// groups counts snaps by dimensions, as met.
func groups(snaps []snap, by []string) (out []tags.Count) {
	at := map[string]int{}
	for _, x := range snaps {
		var keys []*string
		for _, d := range by {
			if v := x[d]; v == "" {
				keys = append(keys, nil)
			} else {
				keys = append(keys, &v)
			}
		}
		raw, _ := json.Marshal(keys)
		i, had := at[string(raw)]
		if !had {
			i, out = len(out), append(out, tags.Count{Keys: keys})
			at[string(raw)] = i
		}
		out[i].Plays++
	}
	return out
}

func (s *staffroom) code(id uuid.UUID) string {
	for _, o := range s.opponents {
		if o.ID == id {
			return o.Code
		}
	}
	return ""
}

func (s *staffroom) Opponent(_ context.Context, _, id uuid.UUID) (tags.Opponent, error) {
	return found(s, "Opponent", s.opponents, id)
}

func (s *staffroom) Game(_ context.Context, _, id uuid.UUID) (tags.Game, error) {
	return found(s, "Game", s.games, id)
}

func (s *staffroom) Plan(_ context.Context, _, id uuid.UUID) (tags.Plan, error) {
	return found(s, "Plan", s.plans, id)
}

func found[T any, P interface {
	*T
	Identity() *tags.Meta
}](s *staffroom, what string, among []T, id uuid.UUID) (none T, _ error) {
	if err := s.read(what); err != nil {
		return none, err
	}
	for i := range among {
		if P(&among[i]).Identity().ID == id {
			return among[i], nil
		}
	}
	return none, tags.Errorf(tags.NotFound, "there is no %s %s", what, id)
}

func (s *staffroom) LockedPlan(context.Context, uuid.UUID, uuid.UUID) (p tags.Plan, _ error) {
	if err := s.read("LockedPlan"); err != nil {
		return p, err
	}
	if s.locked == nil {
		return p, tags.Errorf(tags.NotFound, "no plan is locked")
	}
	return *s.locked, nil
}

func (s *staffroom) CallsOf(_ context.Context, _ uuid.UUID, activeOnly bool) (out []tags.Call, _ error) {
	for _, c := range s.calls {
		if c.Active || !activeOnly {
			out = append(out, c)
		}
	}
	return out, s.read("CallsOf")
}

func (s *staffroom) FormerNames(context.Context, uuid.UUID) (map[string]string, error) {
	return s.former, s.read("FormerNames")
}

func (s *staffroom) Vocabulary(context.Context, uuid.UUID) (*tags.Vocabulary, error) {
	return tags.NewVocabulary(s.words), s.read("Vocabulary")
}

func (s *staffroom) Tendencies(_ context.Context, _ tags.Program, q tags.TendencyQuery) (tags.Tendency, error) {
	in := s.under(q.Filters)
	out := tags.Tendency{Total: len(in), Skip: map[string]int{"gain: unknown": 0, "success: unknown": 2}}
	for _, c := range groups(in, q.By) {
		x := tags.Cell{Keys: c.Keys, Plays: c.Plays}
		for _, k := range in {
			if one := groups([]snap{k}, q.By)[0]; !slices.EqualFunc(one.Keys, c.Keys, same) {
				continue
			}
			switch k["called"] {
			case "run":
				x.Runs++
			case "pass":
				x.Passes++
			}
		}
		out.Cells = append(out.Cells, x)
	}
	return out, s.read("Tendencies")
}

func same(a, b *string) bool { return a == nil && b == nil || a != nil && b != nil && *a == *b }

func (s *staffroom) Counts(_ context.Context, _ tags.Program, by []string,
	filters map[string][]string) ([]tags.Count, error) {
	return groups(s.under(filters), by), s.read("Counts")
}

func (s *staffroom) ConceptRows(_ context.Context, _ tags.Program, opponent uuid.UUID,
	filters map[string][]string) (out []tags.ConceptRow, _ error) {
	f := maps.Clone(filters)
	if f == nil {
		f = map[string][]string{}
	}
	f["opponent"] = []string{s.code(opponent)}
	for _, c := range groups(s.under(f), []string{"set_name", "concept", "family"}) {
		for _, r := range s.concepts[*c.Keys[1]] {
			r.SetName, r.Concept, r.Family, r.Plays, r.N = *c.Keys[0], *c.Keys[1], *c.Keys[2], c.Plays, c.Plays
			out = append(out, r)
		}
	}
	return out, s.read("ConceptRows")
}

func (s *staffroom) SetUses(context.Context, uuid.UUID, uuid.UUID) ([]tags.SetUse, error) {
	return nil, s.read("SetUses")
}

func (s *staffroom) CountPlays(_ context.Context, _ tags.Program, opponent uuid.UUID,
	filters map[string][]string) (n int, _ error) {
	for _, x := range s.under(filters) {
		if x["opponent"] == s.code(opponent) {
			n++
		}
	}
	return n, s.read("CountPlays")
}

func (s *staffroom) Resolve(_ context.Context, p tags.Program,
	filters map[string][]string) (map[string][]string, error) {
	if err := s.read("Resolve"); err != nil {
		return nil, err
	}
	return tags.Resolve(filters, &p.Settings, tags.NewVocabulary(s.words), nil)
}

func (s *staffroom) Depths(context.Context, tags.Program, []string,
	map[string][]string) ([]tags.DepthGroup, error) {
	return s.depths, s.read("Depths")
}

func (s *staffroom) UnnamedPlays(_ context.Context, _ tags.Program, _ uuid.UUID, _ map[string][]string,
	most int) ([]tags.Play, int, error) {
	return s.unnamed[:min(most, len(s.unnamed))], len(s.unnamed), s.read("UnnamedPlays")
}

func (s *staffroom) Sightings(context.Context, uuid.UUID, uuid.UUID, uuid.UUID) ([]tags.BlindTag, error) {
	return s.blind, s.read("Sightings")
}

func (s *staffroom) CountedPlays(context.Context, tags.Program, map[string][]string) ([]tags.Play, error) {
	return s.counted, s.read("CountedPlays")
}

func (s *staffroom) OurPlays(_ context.Context, _ tags.Program, _ uuid.UUID, filters map[string][]string,
	_ int) (out []tags.Play, _ error) {
	for _, p := range s.oursPlays {
		if met(s.ours[p.ID], filters) {
			out = append(out, p)
		}
	}
	return out, s.read("OurPlays")
}

func ptr[T any](v T) *T { return &v }

func fresh() tags.Meta { return tags.Meta{ID: uuid.Must(uuid.NewV7()), Version: 1} }

// book is a stored call as the book has it.
func book(t *testing.T, name string, active bool) tags.Call {
	t.Helper()
	c, err := call.Lookup(name)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := json.Marshal(c.Call)
	if err != nil {
		t.Fatal(err)
	}
	return tags.Call{Meta: fresh(), Name: name, Active: active, Body: raw}
}

// times repeats a snap.
func times(n int, x snap) (out []snap) {
	for range n {
		out = append(out, maps.Clone(x))
	}
	return out
}

// newStaffroom is a small scout: K runs smash on 1st and 10 twenty times and on 3rd and 5
// four times, L runs verticals; two calls are active, one is not. Nobody is real.
func newStaffroom(t *testing.T) *staffroom {
	t.Helper()
	p := tags.Program{Meta: fresh(), Code: "us", Name: "We", Level: "high_school", Settings: tags.DefaultSettings()}
	man := func(side string, number int, route string, depth *float64) tags.ConceptRow {
		return tags.ConceptRow{Side: side, Number: number, Route: route, Median: depth}
	}
	s := &staffroom{program: p,
		opponents: []tags.Opponent{{Meta: fresh(), Code: "K", Name: "Kestrels"}, {Meta: fresh(), Code: "L", Name: "Larks"}},
		concepts: map[string][]tags.ConceptRow{
			"smash": {man("play", 1, "hitch", ptr(5.0)), man("play", 2, "corner", ptr(12.0)), man("back", 1, "go", nil)},
			"verticals": {man("play", 1, "go", nil), man("play", 2, "go", nil), man("back", 1, "go", nil),
				man("back", 2, "go", nil)},
			"zone": {{Route: ""}},
		},
		calls: []tags.Call{book(t, "cover 3 spot", true), book(t, "cover 1", true), book(t, "tampa 2", false)},
	}
	smash := snap{"opponent": "K", "set_name": "2x2", "concept": "smash", "family": "dropback", "called": "pass",
		"down": "1", "distance_band": "7-10", "personnel": "11", "success": "yes", "games_ago": "1", "hash": "left"}
	short := maps.Clone(smash)
	short["down"], short["distance_band"], short["success"] = "3", "4-6", "no"
	run := snap{"opponent": "K", "set_name": "2x2", "concept": "zone", "family": "run", "called": "run",
		"down": "1", "distance_band": "7-10", "personnel": "12", "success": "no", "games_ago": "2", "hash": "right"}
	deep := snap{"opponent": "L", "set_name": "2x2", "concept": "verticals", "family": "dropback", "called": "pass",
		"down": "1", "distance_band": "7-10", "personnel": "10", "success": "yes", "games_ago": "1"}
	s.snaps = slices.Concat(times(20, smash), times(4, short), times(6, run), times(10, deep))
	return s
}

// about is a question about the first opponent.
func (s *staffroom) about(filters map[string][]string) ask.Scope {
	return ask.Scope{Program: s.program, Opponent: s.opponents[0], Filters: filters}
}

// wrongFields are the fields a refusal names, in its order; none where it is no refusal.
func wrongFields(err error) (out []string) {
	if e := tags.As(err); e != nil && e.Kind == tags.Invalid {
		for _, f := range e.Fields {
			out = append(out, f.Field)
		}
	}
	return out
}

// kindOf is the kind of a refusal, 0 for none.
func kindOf(err error) tags.Kind {
	if e := tags.As(err); e != nil {
		return e.Kind
	}
	return 0
}
