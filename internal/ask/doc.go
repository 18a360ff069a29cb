// Package ask is where a question of the staff is answered: one function a question,
// in their words. It takes what is asked, reads through Reads, and returns the answer
// as data. No HTTP, no SQL, no layout: httpapi parses and answers, tags/postgres
// reads, reports lays out.
//
// What a caller asks wrongly is a *tags.Error that names the field.
//
// # An association counts many programs, and tells of none
//
// A program's owner gives an association a share, and takes it back: a row that every question
// looks up, so nothing has to be cleared away. The association is a program too, whose owner has
// said that it takes shares; what it may ask are counts over all who share (League). A cell
// needs five programs, none with more than half of it. That alone keeps nothing: the plays on
// 3rd down less those of each other concept are the concept that was left out. So what is left
// out is found on all tables by some of the dimensions together (hide), and a test that plays the
// asker with linear algebra (TestTakenApart) finds no cell of one program that follows from what is
// shown: without the last step 790 of 4,067 did. Noise instead would have been shorter, but then
// no two answers add up. Not kept from an association: what comes in or goes out between two answers,
// and what four programs of five know together by their own plays.
package ask

import (
	"context"
	"slices"

	"github.com/google/uuid"

	"overhang/internal/stress/field"
	"overhang/internal/tags"

	"overhang/internal/plan"
)

// Reads is what questions read. A word of the vocabulary in filters may be an alias;
// nouns that are not there are a *tags.Error of the kind NotFound.
type Reads interface {
	Opponent(ctx context.Context, program, id uuid.UUID) (tags.Opponent, error)
	Game(ctx context.Context, program, id uuid.UUID) (tags.Game, error)
	Plan(ctx context.Context, program, id uuid.UUID) (tags.Plan, error)
	// LockedPlan is the plan against an opponent that was locked last.
	LockedPlan(ctx context.Context, program, opponent uuid.UUID) (tags.Plan, error)
	// CallsOf lists the program's stored calls, all or the active ones.
	CallsOf(ctx context.Context, program uuid.UUID, activeOnly bool) ([]tags.Call, error)
	// FormerNames are the names that stored calls had and no call has now, each with today's.
	FormerNames(ctx context.Context, program uuid.UUID) (map[string]string, error)
	Vocabulary(ctx context.Context, program uuid.UUID) (*tags.Vocabulary, error)

	Tendencies(ctx context.Context, p tags.Program, q tags.TendencyQuery) (tags.Tendency, error)
	Counts(ctx context.Context, p tags.Program, by []string, filters map[string][]string) ([]tags.Count, error)
	ConceptRows(ctx context.Context, p tags.Program, opponent uuid.UUID,
		filters map[string][]string) ([]tags.ConceptRow, error)
	// SetUses are the concepts an opponent runs from each set, all their counted plays.
	SetUses(ctx context.Context, program, opponent uuid.UUID) ([]tags.SetUse, error)
	CountPlays(ctx context.Context, p tags.Program, opponent uuid.UUID, filters map[string][]string) (int, error)
	Resolve(ctx context.Context, p tags.Program, filters map[string][]string) (map[string][]string, error)
	Depths(ctx context.Context, p tags.Program, by []string, filters map[string][]string) ([]tags.DepthGroup, error)
	UnnamedPlays(ctx context.Context, p tags.Program, opponent uuid.UUID, filters map[string][]string,
		most int) (_ []tags.Play, all int, err error)
	Sightings(ctx context.Context, program, game, clip uuid.UUID) ([]tags.BlindTag, error)
	// CountedPlays are what Tendencies counts under the same filters, game by game.
	CountedPlays(ctx context.Context, p tags.Program, filters map[string][]string) ([]tags.Play, error)
	OurPlays(ctx context.Context, p tags.Program, opponent uuid.UUID, filters map[string][]string,
		most int) ([]tags.Play, error)
}

// A Scope is which plays a question is about. An empty value of a filter asks for what
// is not known.
type Scope struct {
	Program  tags.Program
	Opponent tags.Opponent       // the zero one where the question is of none
	Filters  map[string][]string // dimension to allowed values
}

// with is a copy of the scope's filters that may be changed.
func (s *Scope) with() map[string][]string {
	out := map[string][]string{}
	for d, vs := range s.Filters {
		out[d] = slices.Clone(vs)
	}
	return out
}

// Theirs are the scope's filters, and that the plays are the opponent's.
func (s *Scope) Theirs() map[string][]string {
	f := s.with()
	f["opponent"] = []string{s.Opponent.Code}
	return f
}

// A Setting is what calls are played under.
type Setting struct {
	Calls     []plan.Named // the program's active ones
	Level     field.Level
	Situation plan.Terms
}

// Setting finds what calls are played under in the scope.
func (s *Scope) Setting(ctx context.Context, from Reads) (out Setting, err error) {
	if out.Calls, err = s.activeCalls(ctx, from); err != nil {
		return out, err
	}
	out.Situation = situationOf(s.Filters, s.Program.Settings)
	out.Level, err = field.ParseLevel(s.Program.Level)
	return out, err
}

// concepts are the opponent's concept pictures under filters.
func (s *Scope) concepts(ctx context.Context, from Reads, filters map[string][]string) ([]plan.Concept, error) {
	rows, err := from.ConceptRows(ctx, s.Program, s.Opponent.ID, filters)
	if err != nil {
		return nil, err
	}
	if plan.Unplaced(rows) {
		uses, err := from.SetUses(ctx, s.Program.ID, s.Opponent.ID)
		if err != nil {
			return nil, err
		}
		plan.Place(rows, uses)
	}
	out := plan.Concepts(rows)
	return out, s.results(ctx, from, out, filters)
}
