package plan

import (
	"context"
	"crypto/sha256"
	"fmt"
	"math"
	"slices"
	"sync"
	"sync/atomic"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
	"overhang/internal/stress/points"
)

// What calls came to against pictures is kept, and found again by what the picture, the
// parameters and the call are (not by their names in a store, or when they were asked): a board
// that is asked again, weighed anew, or asked for another situation plays only what nobody played
// yet, and what was edited is another picture or another call.

// A known is a picture made ready, with what calls came to against it.
type known struct {
	*motion.Play
	mu   sync.Mutex
	came map[asked]*came
}

// asked is a call, by its sum, and how it is played.
type asked struct {
	call          sum
	band, balance int
}

type sum = [sha256.Size]byte

// came is what a call came to.
type came struct {
	told  *told // nil: nobody wanted to be told
	ends  stress.Ends
	worth map[valued]stress.Worth // of the downs that were asked about
}

// told is what a cell of a board tells of a call; it is not changed once made.
type told struct {
	run      *RunMeet
	findings []Finding
	warnings []string
	places   places
}

// valued is all that the worth of a down hangs on beside how the play ends.
type valued struct {
	down                    stress.ToGain
	points                  *points.Table
	explosive, explosiveRun float64
}

// add puts to a mean what the downs of a picture are worth; what is known is not valued again.
func (k *known) add(mean *stress.Value, c *came, a *stress.Asked, set *stress.Setting) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if len(c.worth) > keptDowns {
		clear(c.worth)
	}
	a.Add(mean, func(d *stress.ToGain) stress.Worth {
		v := valued{*d, set.Points, set.Explosive, set.ExplosiveRun}
		w, ok := c.worth[v]
		if !ok {
			w = c.ends.On(d, set)
			c.worth[v] = w
		}
		return w
	})
}

func (k *known) recall(of asked) *came {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.came[of]
}

func (k *known) keep(of asked, c *came) {
	k.mu.Lock()
	k.came[of] = c
	k.mu.Unlock()
	pictures.grew(1)
}

// What is kept at most: about twice so many calls against pictures, each with so many downs.
const (
	keptCalls = 8000
	keptDowns = 100
)

// spelled is a picture as it is written down, with the parameters it is played by.
type spelled struct {
	picture.Spec
	params sum
}

// A shelf keeps pictures: those asked for lately, and those of the time before.
type shelf struct {
	mu         sync.Mutex
	young, old map[spelled]*known
	calls      int // against those of the young,
	most       int // and how many at most

	hits, misses atomic.Uint64 // calls that were there, or had to be played
}

// pictures are those of the process.
var pictures = &shelf{most: keptCalls}

// ready is a picture that can be played. It fails on one the engine cannot read.
func (s *shelf) ready(spec picture.Spec, params *motion.Params, by sum) (*known, error) {
	w := spelled{spec, by}
	if k := s.get(w); k != nil {
		return k, nil
	}
	pic, err := picture.New(spec)
	if err != nil {
		return nil, err
	}
	k := &known{Play: stress.Prepare(pic, params), came: map[asked]*came{}}
	s.mu.Lock()
	defer s.mu.Unlock()
	if other := s.young[w]; other != nil { // somebody else was quicker
		return other, nil
	}
	s.put(w, k)
	return k, nil
}

func (s *shelf) get(w spelled) *known {
	s.mu.Lock()
	defer s.mu.Unlock()
	k := s.young[w]
	if k == nil && s.old[w] != nil {
		k = s.old[w]
		s.put(w, k)
	}
	return k
}

func (s *shelf) put(w spelled, k *known) {
	if s.young == nil {
		s.young = map[spelled]*known{}
	}
	k.mu.Lock()
	s.calls += len(k.came) + asCalls
	k.mu.Unlock()
	s.young[w] = k
}

// asCalls is how many calls against it a picture takes the room of.
const asCalls = 20

// grew counts calls, and when they are too many lets go of the pictures that nobody asked for
// since the last time.
func (s *shelf) grew(by int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.calls += by; s.calls > s.most {
		s.young, s.old, s.calls = nil, s.young, 0
	}
}

// Kept is what is kept of boards: pictures, calls against them, and how often one that was asked
// for was there or had to be played.
type Kept struct {
	Pictures, Calls int
	Bytes           int // by what one of each was measured to take
	Hits, Misses    uint64
}

// What a picture and a call against it take of the memory (go test ./internal/plan -run '^$' -bench Kept).
const (
	keptPicture = 212 << 10
	keptCall    = 3_860
)

// KeptNow is what the process keeps of boards now.
func KeptNow() Kept {
	out := Kept{Hits: pictures.hits.Load(), Misses: pictures.misses.Load()}
	pictures.mu.Lock()
	defer pictures.mu.Unlock()
	seen := map[*known]bool{} // a picture that came back is in both
	for _, of := range []map[spelled]*known{pictures.young, pictures.old} {
		for _, k := range of {
			if !seen[k] {
				seen[k] = true
				k.mu.Lock()
				out.Pictures, out.Calls = out.Pictures+1, out.Calls+len(k.came)
				k.mu.Unlock()
			}
		}
	}
	out.Bytes = out.Pictures*keptPicture + out.Calls*keptCall
	return out
}

// sumOf are parameters as a key.
func sumOf(params *motion.Params) sum { return sha256.Sum256(fmt.Append(nil, *params)) }

// A playable is a call with its sums.
type playable struct {
	Named
	sum, even sum
}

// playables sums calls up.
func playables(calls []Named) (out []playable) {
	for _, n := range calls {
		p := playable{Named: n, sum: n.Compiled.Sum()}
		if n.Even != nil {
			p.even = n.Even.Sum()
		}
		out = append(out, p)
	}
	return out
}

// weigh is what a call gives up to concept k over all its plays, and what is told of it; it plays
// only what is not known.
func (r *Repertoire) weigh(ctx context.Context, ev *stress.Evaluator, c *call.Compiled, by sum,
	k int) (v stress.Value, t *told, err error) {
	set, all := &r.terms.Setting, r.asked[k]
	for n := range all {
		if err := ctx.Err(); err != nil {
			return v, nil, err
		}
		a, tell := &all[n], n == len(all)-1
		pic, of := r.known[a.Play.Picture], asked{by, a.Play.Band, set.Balance}
		x := pic.recall(of)
		if x == nil || tell && x.told == nil {
			pictures.misses.Add(1)
			x = meet(ev, c, a, set, tell)
			pic.keep(of, x)
		} else {
			pictures.hits.Add(1)
		}
		pic.add(&v, x, a, set)
		t = x.told
	}
	v.Lift(r.pictures[k].Lift)
	return v, t, nil
}

// meet plays a call against a picture.
func meet(ev *stress.Evaluator, c *call.Compiled, a *stress.Asked, set *stress.Setting, tell bool) *came {
	r := ev.Play(c, a, set, tell)
	x := &came{worth: map[valued]stress.Worth{}}
	if tell {
		x.told = &told{run: Meet(r), findings: []Finding{}, warnings: r.Warnings, places: placesOf(r)}
		for _, k := range Told(r) {
			x.told.findings = append(x.told.findings, Tell(r, &r.Findings[k]))
		}
	}
	x.ends = ev.Ends(r, set)
	return x
}

// cell is a call against concept k as a board has it.
func (r *Repertoire) cell(ctx context.Context, ev *stress.Evaluator, c *playable, k int) (Cell, error) {
	v, t, err := r.weigh(ctx, ev, c.Compiled, c.sum, k)
	if err != nil {
		return Cell{}, err
	}
	out := Cell{Call: c.Name, Concept: k, Stress: v.Success, GivesUp: givesUp(v), Run: t.run,
		Findings: slices.Clone(t.findings), Warnings: append(append([]string{}, c.Doubts...), t.warnings...),
		places: t.places}
	if c.Even == nil {
		return out, nil
	}
	even, _, err := r.weigh(ctx, ev, c.Even, c.even, k)
	if math.Abs(even.Points-v.Points) >= seen {
		out.Even = &even.Points
	}
	return out, err
}

// cells are every call against every concept, by call. A core takes a concept with all calls: that
// is what an Evaluator is quick at.
func (r *Repertoire) cells(ctx context.Context, calls []playable) ([][]Cell, error) {
	out := make([][]Cell, len(calls))
	for i := range out {
		out[i] = make([]Cell, len(r.Concepts))
	}
	return out, onCores(ctx, len(r.Concepts), func() func(int) error {
		var ev stress.Evaluator
		return func(k int) (err error) {
			for i := range calls {
				if out[i][k], err = r.cell(ctx, &ev, &calls[i], k); err != nil {
					return err
				}
			}
			return nil
		}
	})
}
