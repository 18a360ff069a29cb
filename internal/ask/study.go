package ask

import (
	"context"
	"fmt"
	"slices"

	"github.com/google/uuid"

	"overhang/internal/plan"
	"overhang/internal/stress/field"
	"overhang/internal/study"
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// Likeness compares the opponent of a scope with everybody else in the program: which
// offenses do most alike in the same situations. leftOut counts plays where something
// is unknown, of is how many rows were counted.
type Likeness struct {
	Opponent string           `json:"opponent"`
	Of       string           `json:"of"`
	Within   []string         `json:"within"`
	LeftOut  int              `json:"left_out"`
	Items    []study.Likeness `json:"items"`
	WhyEmpty string           `json:"why_empty,omitempty"`
	Counted  int              `json:"-"` // groups of plays behind it
}

// Likest answers who is most like the opponent of the scope.
func Likest(ctx context.Context, from Reads, in Scope, of string, within []string) (*Likeness, error) {
	if in.Filters["opponent"] != nil {
		return nil, tags.Fieldf(tags.Invalid, "opponent", "leave it out: likeness compares this opponent with all the others")
	}
	counts, err := from.Counts(ctx, in.Program, append(append([]string{"opponent"}, within...), of), in.Filters)
	if err != nil {
		return nil, err
	}
	out := &Likeness{Opponent: in.Opponent.Code, Of: of, Within: within, Counted: len(counts)}
	out.Items, out.LeftOut, err = study.Likest(in.Opponent.Code, counts)
	return out, err
}

// Estimates are the shares of outcomes in thin situations, drawn toward coarser ones.
type Estimates struct {
	Of       string           `json:"of"`
	Chain    []string         `json:"chain"`
	LeftOut  int              `json:"left_out"`
	Items    []study.Estimate `json:"items"`
	Method   string           `json:"method"`
	WhyEmpty string           `json:"why_empty,omitempty"`
	Counted  int              `json:"-"` // plays or groups behind it
}

// Estimate estimates outcomes in the situations of a chain of dimensions, the coarsest
// first; filters on the chain say which are asked for, all others which plays count.
func Estimate(ctx context.Context, from Reads, in Scope, of string, chain []string) (*Estimates, error) {
	wanted, under := map[string][]string{}, map[string][]string{}
	for d, vs := range in.Filters {
		switch {
		case !slices.Contains(chain, d):
			under[d] = vs
		case slices.Contains(vs, ""):
			return nil, tags.Fieldf(tags.Invalid, d, "what is not known is no situation to estimate")
		default:
			wanted[d] = vs
		}
	}
	wanted, err := from.Resolve(ctx, in.Program, wanted)
	if err != nil {
		return nil, err
	}
	counts, err := from.Counts(ctx, in.Program, append(slices.Clone(chain), of), under)
	if err != nil {
		return nil, err
	}
	out := &Estimates{Of: of, Chain: chain, Counted: len(counts),
		Method: "each level's shares are drawn toward those of the next coarser one, as strongly as situations of the " +
			"same kind are alike; the interval takes the coarser level as known"}
	out.Items, out.LeftOut = study.Estimates(chain, counts, wanted)
	if out.Items == nil {
		out.Items = []study.Estimate{}
	}
	plays := 0
	for i := range out.Items {
		plays += out.Items[i].Plays
	}
	out.Counted = max(plays, out.Counted)
	return out, nil
}

// Depths are how deep routes break.
type Depths struct {
	By       []string     `json:"by"`
	Items    []RouteDepth `json:"items"`
	WhyEmpty string       `json:"why_empty,omitempty"`
}

// A RouteDepth is how deep one route of eligibles of one kind breaks; what is not
// known is left out, and the limits of the median where too few depths are.
type RouteDepth struct {
	Keys         map[string]*string `json:"keys"`
	Number       int                `json:"number"`
	Eligible     string             `json:"eligible"`
	Route        string             `json:"route"`
	Plays        int                `json:"plays"`
	Targeted     int                `json:"targeted"`
	DepthKnown   int                `json:"depth_known"`
	MedianYd     *float64           `json:"median_yd,omitempty"`
	MedianLowYd  *float64           `json:"median_low_yd,omitempty"`
	MedianHighYd *float64           `json:"median_high_yd,omitempty"`
	LowerYd      *float64           `json:"lower_quartile_yd,omitempty"`
	UpperYd      *float64           `json:"upper_quartile_yd,omitempty"`
	LeastYd      *float64           `json:"least_yd,omitempty"`
	MostYd       *float64           `json:"most_yd,omitempty"`
}

// BreakDepths says how deep routes break in the plays of the scope, by dimensions.
func BreakDepths(ctx context.Context, from Reads, in Scope, by []string) (*Depths, error) {
	groups, err := from.Depths(ctx, in.Program, by, in.Filters)
	if err != nil {
		return nil, err
	}
	out := &Depths{By: append([]string{}, by...), Items: []RouteDepth{}}
	for _, g := range groups {
		d := tendency.Depths(g.Depths)
		x := RouteDepth{Keys: map[string]*string{}, Number: g.Number, Eligible: g.Eligible, Route: g.Route, Plays: g.N,
			Targeted: g.Targeted, DepthKnown: d.N}
		for i, name := range by {
			x.Keys[name] = g.Keys[i]
		}
		if d.Defined {
			x.MedianYd, x.LowerYd, x.UpperYd, x.LeastYd, x.MostYd = &d.Median, &d.Lower, &d.Upper, &d.Least, &d.Most
		}
		if d.Bounded {
			x.MedianLowYd, x.MedianHighYd = &d.Low, &d.High
		}
		out.Items = append(out.Items, x)
	}
	return out, nil
}

// Concepts are an opponent's concept pictures.
type Concepts struct {
	Opponent string         `json:"opponent"`
	Items    []plan.Concept `json:"items"`
	WhyEmpty string         `json:"why_empty,omitempty"`
	Plays    int            `json:"-"` // behind all pictures
}

// ConceptPictures are the opponent's pictures in the scope that at least so many plays
// are behind, most frequent first.
func ConceptPictures(ctx context.Context, from Reads, in Scope, least int) (*Concepts, error) {
	all, err := in.concepts(ctx, from, in.Filters)
	if err != nil {
		return nil, err
	}
	out := &Concepts{Opponent: in.Opponent.Code, Items: []plan.Concept{}, Plays: len(all)}
	plays := 0
	for _, k := range all {
		plays += k.Plays
		if k.Plays >= least {
			out.Items = append(out.Items, k)
		}
	}
	out.Plays = max(plays, out.Plays)
	return out, nil
}

// mostSuggested is how many plays one answer looks at.
const mostSuggested = 200

// Suggestions are names for plays that have routes and no concept.
type Suggestions struct {
	Opponent string            `json:"opponent"`
	Plays    int               `json:"plays"` // without a name
	Items    []plan.Suggestion `json:"items"`
	Method   string            `json:"method"`
}

// SuggestConcepts says which concept the opponent's plays without a name look like.
func SuggestConcepts(ctx context.Context, from Reads, in Scope) (*Suggestions, error) {
	plays, n, err := from.UnnamedPlays(ctx, in.Program, in.Opponent.ID, in.Filters, mostSuggested)
	if err != nil {
		return nil, err
	}
	own, err := in.concepts(ctx, from, nil)
	if err != nil {
		return nil, err
	}
	level, err := field.ParseLevel(in.Program.Level)
	if err != nil {
		return nil, err
	}
	out := &Suggestions{Opponent: in.Opponent.Code, Plays: n,
		Method: fmt.Sprintf("apart is 0 for the same routes at the same depths and 1 for nothing in common; at most %d "+
			"plays, the latest first; nothing is tagged by it", mostSuggested)}
	out.Items, err = plan.Suggest(plays, own, level)
	return out, err
}

// Agreement says how far analysts who tagged blind agree, in one game or in all.
func Agreement(ctx context.Context, from Reads, program, game uuid.UUID) (study.Agreement, error) {
	blind, err := from.Sightings(ctx, program, game, uuid.Nil)
	return study.Agree(blind), err
}

// Settled is the play that a clip's blind tags come to with the choices made.
func Settled(ctx context.Context, from Reads, program, clip uuid.UUID, choices map[string]string) (tags.Play, error) {
	blind, err := from.Sightings(ctx, program, uuid.Nil, clip)
	if err != nil {
		return tags.Play{}, err
	}
	return study.Settle(blind, choices)
}

// A DoubleTagged clip is one that two at least tagged blind.
type DoubleTagged struct {
	ClipID uuid.UUID
	Open   []study.OpenField // what settling it wants a choice for
}

// Differing are the clips of a game that two at least tagged blind, with what is open between
// them, and how far they agree in that game.
func Differing(ctx context.Context, from Reads, program, game uuid.UUID) (
	out []DoubleTagged, a study.Agreement, err error) {
	blind, err := from.Sightings(ctx, program, game, uuid.Nil)
	if err != nil {
		return nil, a, err
	}
	of := map[uuid.UUID][]tags.BlindTag{}
	for _, b := range blind {
		of[b.ClipID] = append(of[b.ClipID], b)
	}
	for id, bs := range of {
		if len(bs) < 2 {
			continue
		}
		open, err := study.Open(bs)
		if err != nil {
			return nil, a, err
		}
		out = append(out, DoubleTagged{id, open})
	}
	return out, study.Agree(blind), nil
}
