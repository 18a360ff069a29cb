package motion

import (
	"math"
	"sync"

	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// Sticks is how zone men play who know where the line to gain is: an underneath man drops to
// it, keeps what is in front of it before him, and breaks on any ball as if it were his.
// Common practice, no source; what was tried is in the documentation of package stress.
type Sticks struct {
	Past  field.Yards // an underneath man drops so far past the line at least,
	Most  field.Yards // but no more than so much deeper than he is taught;
	Squat field.Yards // and no deeper than so far past it
	Up    field.Yards // before the ball is thrown he comes up for nothing further in front of it
}

// A Band is downs that are played alike, so that a picture is moved once for all of them.
type Band struct {
	Under field.Yards // of a need under this, and not of a band before
	Late  bool        // on third and fourth down only
	Line  field.Yards // where the line to gain is taken to be; 0: they play as they are taught
	Pass  bool        // nobody looks for the run first, and no fake holds anybody
}

// band says how a down is played that needs so much: by its index, 0 as taught.
func (p *Params) band(down int, need field.Yards) int {
	for i := range p.Bands {
		if b := &p.Bands[i]; need < b.Under && (down >= 3 || !b.Late) {
			return i + 1
		}
	}
	return 0
}

// bands are the plays of a picture by how the down is played, made when first asked for.
type bands struct {
	sync.Mutex
	plays []*Play
}

// On is the play as a defense plays it that knows the down (0: unknown) and what it needs. Runs
// are fitted alike on all downs. It is safe for concurrent use, and the same again for downs
// that are played alike.
func (pl *Play) On(down int, need field.Yards) *Play {
	if pl.Picture.Family == picture.Run {
		return pl
	}
	return pl.in(pl.Params.band(down, need))
}

// in is the play in a band.
func (pl *Play) in(band int) *Play {
	if band == pl.Band {
		return pl
	}
	pl.bands.Lock()
	defer pl.bands.Unlock()
	p := &pl.bands.plays[band]
	if *p == nil {
		other := *pl
		other.Band, other.played = band, pl.Params.Bands[band-1]
		*p = &other
	}
	return *p
}

// Line is where the line to gain is taken to be, 0 where nobody plays it.
func (pl *Play) Line() field.Yards { return pl.played.Line }

// deeper is by how much an underneath man drops deeper than the landmark he is taught; less than
// nothing when he squats.
func (pl *Play) deeper(mark field.Yards) field.Yards {
	line, s := pl.played.Line, &pl.Params.Sticks
	if line == 0 {
		return 0
	}
	return min(max(min(0, line+s.Squat-mark), line+s.Past-mark), s.Most)
}

// up is how far an underneath man comes up for a threat before the ball is thrown.
func (pl *Play) up() field.Yards {
	if pl.played.Line == 0 {
		return math.Inf(-1)
	}
	return pl.played.Line - pl.Params.Sticks.Up
}

// readsRun says that men look for the run before they play the pass.
func (pl *Play) readsRun() bool {
	f := pl.Picture.Family
	return !pl.played.Pass || f == picture.RPO || f == picture.Draw || f == picture.Run
}
