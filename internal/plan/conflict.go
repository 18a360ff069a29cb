package plan

import (
	"cmp"
	"context"
	"slices"

	"overhang/internal/stress"
	"overhang/internal/stress/motion"
)

// A Conflict is a two-way threat of a board with the call and the concept it
// belongs to.
type Conflict struct {
	Call    string  `json:"call"`
	SetName string  `json:"set_name"`
	Concept string  `json:"concept"`
	Plays   int     `json:"plays"`
	Assumed int     `json:"assumed_plays,omitempty"` // of these, with routes or a set that nobody saw
	Finding Finding `json:"finding"`
	column  int     // of the concept on the board
	told    int     // which of the cell's findings, from 0
}

// AssumedText says how many of its plays have routes that nobody saw, "" for none.
func (c *Conflict) AssumedText() string { return AssumedText(c.Assumed, c.Plays) }

// At is the conflict's place on the board: the concept, and which of the cell's
// findings it is, from 0.
func (c *Conflict) At() (concept, finding int) { return c.column, c.told }

// Worst returns the n two-way threats of a board that matter most: how often the
// concept is run times by how much the man is short, so that a conflict he never
// finds can wait. Of one cell at most two. Equals stand in the order of the board.
func Worst(b *Board, n int) []Conflict {
	out := []Conflict{}
	for _, row := range b.Rows {
		for _, cell := range row.Cells {
			c := &b.Concepts[cell.Concept]
			for k, f := range cell.Findings {
				if k < 2 && f.TwoWay {
					out = append(out, Conflict{row.Call, c.SetName, c.Concept, c.Plays, c.Assumed, f,
						cell.Concept, k})
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Conflict) int {
		return cmp.Compare(float64(b.Plays)*b.Finding.ShortYd, float64(a.Plays)*a.Finding.ShortYd)
	})
	return out[:min(len(out), n)]
}

// A Case is a conflict with what could be done about it.
type Case struct {
	Conflict
	Stress float64 `json:"stress"` // of the cell
	Better *Better `json:"better,omitempty"`
	// The call of the program that is best against the concept, and how much; the
	// call itself when no other gives up less.
	AnswerCall   string  `json:"answer_call"`
	AnswerStress float64 `json:"answer_stress"`
	// the first of its fixes; nil: nothing that was tried helps
	Change *Fix           `json:"answer_change,omitempty"`
	Result *stress.Result `json:"-"` // the cell played again, to be drawn
	Found  int            `json:"-"` // the finding in the result
}

// Cases plays the n worst conflicts of a board again; calls are those it was built
// with. It fails only when ctx ends.
func Cases(ctx context.Context, b *Board, n int, calls []Named) ([]Case, error) {
	out := []Case{}
	for _, k := range Worst(b, n) {
		c := Case{Conflict: k}
		i := slices.IndexFunc(calls, func(n Named) bool { return n.Name == k.Call })
		r, err := b.Run.Play(ctx, calls[i], k.column)
		if err != nil {
			return nil, err
		}
		c.Result, c.Found, c.Stress = r, Told(r)[k.told], r.Stress
		c.Better = Best(r, &r.Findings[c.Found])
		as, err := b.Run.Fixes(ctx, calls[i], k.column, c.Found, 1)
		if err != nil {
			return nil, err
		}
		if len(as) > 0 {
			c.Change = &as[0]
		}
		c.answer(b)
		out = append(out, c)
	}
	return out, nil
}

// answer finds the call of the board that this play hurts least.
func (c *Case) answer(b *Board) {
	c.AnswerCall, c.AnswerStress = c.Call, c.Result.Stress
	for _, row := range b.Rows {
		if s := row.Cells[c.column].Stress; s < c.AnswerStress {
			c.AnswerCall, c.AnswerStress = row.Call, s
		}
	}
}

// Shown is a conflict played again, to be drawn.
type Shown struct {
	Conflict
	Result *stress.Result
	Found  int // the finding in the result
}

// First are the n worst conflicts of a board, of each concept the worst alone: first those
// of the calls that cannot be told apart from the one that gives up least, which a staff
// would call, then the others'. It fails only when ctx ends.
func First(ctx context.Context, b *Board, n int, calls []Named) ([]Shown, error) {
	first := map[string]bool{}
	for i := range b.Rows {
		first[b.Rows[i].Call] = b.Rows[i].Group == 1
	}
	all := Worst(b, len(b.Rows)*len(b.Concepts)*2)
	slices.SortStableFunc(all, func(x, y Conflict) int {
		return cmp.Compare(rank(!first[x.Call]), rank(!first[y.Call]))
	})
	seen, out := map[int]bool{}, []Shown{}
	for _, k := range all {
		if seen[k.column] || len(out) == n {
			continue
		}
		seen[k.column] = true
		i := slices.IndexFunc(calls, func(n Named) bool { return n.Name == k.Call })
		r, err := b.Run.Play(ctx, calls[i], k.column)
		if err != nil {
			return nil, err
		}
		out = append(out, Shown{k, r, Told(r)[k.told]})
	}
	return out, nil
}

// rank puts what is false before what is true.
func rank(later bool) int {
	if later {
		return 1
	}
	return 0
}

// A Better says what the same men could do about a finding: how far open the most open
// throw is when the finding is worst, as taught and if they were free to choose who takes
// what once the threats have declared.
type Better struct {
	ReleaseS float64 `json:"release_s"`
	TaughtYd float64 `json:"taught_yd"`
	BestYd   float64 `json:"best_yd"` // never more than TaughtYd
}

// Best looks for the better choice at a finding's release, nil when no throw is
// live then.
func Best(r *stress.Result, f *stress.Finding) *Better {
	for _, a := range r.BestChoices(motion.Boost{}) {
		if a.Release == f.At {
			return &Better{a.Release, a.Taught, a.Best}
		}
	}
	return nil
}
