package ask

import (
	"context"
	"maps"
	"slices"
	"strconv"

	"overhang/internal/plan"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// A CellQuestion names a cell of the board: the most frequent concept of that name in
// the scope, and one of the program's active calls.
type CellQuestion struct {
	Scope
	Concept string
	Call    string // "" for the concept alone
	Finding string // the number of the told finding that is asked about, "" the first
}

// A Cell is one of the program's calls, or none, and one concept of an opponent in a
// situation.
type Cell struct {
	Setting
	Call    *plan.Named
	Concept plan.Concept
}

// FindCell finds a cell. NotFound: no such concept with routes, no such active call.
func FindCell(ctx context.Context, from Reads, q CellQuestion) (*Cell, error) {
	f := q.with()
	f["concept"] = []string{q.Concept} // a name may hold a comma
	concepts, err := q.pictures(ctx, from, f)
	if err != nil {
		return nil, err
	}
	if len(concepts) == 0 {
		return nil, tags.Errorf(tags.NotFound, "no counted play of %s with the concept %q and routes in this situation",
			q.Opponent.Name, q.Concept)
	}
	out := &Cell{Concept: concepts[0]}
	of := Scope{q.Program, q.Opponent, f}
	if out.Setting, err = of.Setting(ctx, from); err != nil {
		return nil, err
	}
	if q.Call != "" {
		i := slices.IndexFunc(out.Calls, func(n plan.Named) bool { return n.Name == q.Call })
		if i < 0 {
			return nil, tags.Errorf(tags.NotFound, "no active call %q", q.Call)
		}
		out.Call = &out.Calls[i]
	}
	return out, nil
}

// pictures are the concepts under filters. A play that was called a run and has no family
// tagged is one of the runs, and no filter of the store finds it there.
func (q *CellQuestion) pictures(ctx context.Context, from Reads, f map[string][]string) ([]plan.Concept, error) {
	if !slices.Equal(f["family"], []string{picture.Run.String()}) {
		return q.concepts(ctx, from, f)
	}
	wider := maps.Clone(f)
	delete(wider, "family")
	all, err := q.concepts(ctx, from, wider)
	return slices.DeleteFunc(all, func(c plan.Concept) bool { return !c.Runs() }), err
}

// Picture is the concept as it is drawn without a call.
func (c *Cell) Picture() (*picture.Picture, error) { return c.Concept.Picture(c.Level) }

// Play sets the cell's call against its concept.
func (c *Cell) Play(ctx context.Context) (*Played, error) {
	r, err := plan.Play(ctx, *c.Call, &c.Concept, c.Level, c.Situation)
	if err != nil {
		return nil, err
	}
	return &Played{Result: r, Told: plan.Told(r)}, nil
}

// Column is the board of the cell's concept alone: every active call against it.
func (c *Cell) Column(ctx context.Context) (plan.Board, error) {
	return plan.Build(ctx, c.Calls, []plan.Concept{c.Concept}, c.Concept.Plays, c.Level, c.Situation)
}

// chosen is the finding of a number among those told: the first when none is named,
// -1 when none is told.
func chosen(told []int, number string) (int, error) {
	n, err := strconv.Atoi(number)
	switch {
	case number == "" && len(told) == 0:
		return -1, nil
	case number == "":
		return told[0], nil
	case err != nil || n < 1 || n > len(told):
		return 0, tags.Fieldf(tags.Invalid, "finding", "there are %d findings", len(told))
	}
	return told[n-1], nil
}

// A Bench is one call against one picture, with everything the call is weighed over;
// the picture is the first concept of the repertoire.
type Bench struct {
	Call   plan.Named
	Run    *plan.Repertoire
	Played *Played
	Found  int          // the finding that is asked about, -1 none
	others []plan.Named // that could be called instead; none of a call that is not on a board
}

func newBench(ctx context.Context, call plan.Named, run *plan.Repertoire, needYd float64,
	finding string) (*Bench, error) {
	r, err := run.Play(ctx, call, 0)
	if err != nil {
		return nil, err
	}
	b := &Bench{Call: call, Run: run, Played: &Played{Result: r, Told: plan.Told(r), NeedYd: needYd}}
	b.Found, err = b.Played.Finding(finding)
	return b, err
}

// cellDimensions choose the picture of a cell; every other filter chooses the plays.
var cellDimensions = []string{"concept", "set_name", "family"}

// CellBench is a cell of the board beside everything the opponent runs in the
// situation.
func CellBench(ctx context.Context, from Reads, q CellQuestion) (*Cell, *Bench, error) {
	if q.Call == "" || q.Concept == "" {
		return nil, nil, tags.Errorf(tags.Invalid, "name a call and a concept")
	}
	cell, err := FindCell(ctx, from, q)
	if err != nil {
		return nil, nil, err
	}
	b, err := cell.bench(ctx, from, q)
	return cell, b, err
}

// bench is the call of a cell that was found, beside all that was asked about.
func (cell *Cell) bench(ctx context.Context, from Reads, q CellQuestion) (*Bench, error) {
	f := q.with()
	maps.DeleteFunc(f, func(d string, _ []string) bool { return slices.Contains(cellDimensions, d) })
	all, err := q.concepts(ctx, from, f)
	if err != nil {
		return nil, err
	}
	k := &cell.Concept
	all = slices.DeleteFunc(all, func(x plan.Concept) bool {
		return x.SetName == k.SetName && x.Concept == k.Concept && x.Family == k.Family
	})
	if _, err := k.Picture(cell.Level); err != nil {
		return nil, err
	}
	board, err := plan.Build(ctx, nil, append([]plan.Concept{*k}, all...), 0, cell.Level, cell.Situation)
	if err != nil {
		return nil, err
	}
	b, err := newBench(ctx, *cell.Call, board.Run, board.NeedYd, q.Finding)
	if err != nil {
		return nil, err
	}
	b.others = cell.Calls
	return b, nil
}

// PlayBench is the call and the picture of a question, beside the built-in pictures
// unless it is asked about its own picture alone.
func PlayBench(ctx context.Context, question PlayQuestion, alone bool, finding string) (*Bench, error) {
	q, run, err := question.ready(ctx)
	if err != nil {
		return nil, err
	}
	if !alone {
		for _, e := range picture.Library() {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			k := plan.Concept{SetName: e.Set, Concept: e.Concept, Family: e.Family, Routes: e.Routes, Plays: 1}
			of := picture.Spec{Set: e.Set, Family: e.Family, Concept: e.Concept, Routes: e.Routes, Left: q.spec.Left,
				Spot: q.spec.Spot}
			if err := run.Add(k, of); err != nil {
				return nil, err
			}
		}
	}
	return newBench(ctx, q.call, run, q.terms.ToGain.Need, finding)
}

// A FixesAnswer is what would cure a finding.
type FixesAnswer struct {
	Bench   *Bench
	Finding *plan.Finding // nil: none is told
	Fixes   []plan.Fix    // at most so many of a kind
	Left    int           // changes that were not tried, because the call is too large
	Instead *plan.Instead // where no change helps: what to call; nil: something helps, or no call gives up less
}

// Fixes looks for what would cure the bench's finding, at most so many of a kind.
func (b *Bench) Fixes(ctx context.Context, perKind int) (*FixesAnswer, error) {
	out := &FixesAnswer{Bench: b}
	if b.Found < 0 {
		return out, nil
	}
	x := plan.Tell(b.Played.Result, &b.Played.Result.Findings[b.Found])
	out.Finding = &x
	var err error
	if out.Fixes, out.Left, err = b.Run.SearchFixes(ctx, b.Call, 0, b.Found, perKind); err != nil || len(out.Fixes) > 0 {
		return out, err
	}
	out.Instead, err = b.Run.Instead(ctx, b.Call, 0, b.others)
	return out, err
}

// UsualReach is by how many yards a man is moved to every side.
const UsualReach = 3

// SweepAlignment moves a man by yards up to reach to every side and plays each place;
// "" is the man of the finding or else of the throw.
func (b *Bench) SweepAlignment(ctx context.Context, defender string, reach int) (*plan.AlignmentSweep, error) {
	return b.Run.SweepAlignment(ctx, b.Call, 0, defender, reach)
}

// A sweep over breaks is from, to and by so many yards, as long as nobody says otherwise.
const Shallowest, Deepest, depthStep = 2.0, 16.0, 0.5

// SweepBreak moves the break of a receiver from one depth to another and plays each.
func (b *Bench) SweepBreak(ctx context.Context, receiver string, from, to float64) (*plan.BreakSweep, error) {
	if to < from {
		return nil, tags.Fieldf(tags.Invalid, "to_yd", "is less than from_yd")
	}
	return b.Run.SweepBreak(ctx, b.Call, 0, receiver, from, to, depthStep)
}
