package motion

import (
	"math"
	"strings"
	"sync"

	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// Tick is the spacing of release times.
const Tick field.Seconds = 0.1

// A Throw is what a ball released at one moment to one receiver would be.
type Throw struct {
	At      field.Point   // the catch
	Flight  field.Seconds // from release to catch
	Contest field.Point   // where a defender must be: the catch, or where the runner would reach the needed depth
	By      field.Seconds // from release until then
	Live    bool
	Early   bool        // it leaves so long before the break that it holds nobody
	Par     field.Yards // window of a reference man with nothing else to do,
	ParGap  field.Yards // and how far he is from the catch when the ball arrives
	caught  moment      // of Flight,
	met     moment      // and of By
}

// A Play is a picture with its throws: everything about the offense that does
// not depend on the call. It is read-only once made and may be shared.
type Play struct {
	Picture  *picture.Picture
	Params   *Params
	Clock    Clock
	Releases []field.Seconds
	// Throws holds, for a receiver who is free (0) or jammed (1), a throw a release.
	Throws [2][][]Throw
	// Mirror holds the throws to the other branch of a route that breaks sideways, nil without one.
	Mirror   [][]Throw
	mirror   []*picture.Path
	seen     []looks // what men see, by frame: see glance
	foreseen []prospects
	stands   []places
	Passes   [6][6]field.Seconds // when two receivers change places: picture.Path.Passes
	runs     []int               // receivers who release
	meet     [6]uint8            // bit i: he comes together with receiver i
	bodies   map[string]*body
	raster       // of the tracks of defenders,
	frames   int // who are followed for so many frames
	run      []Throw
	answers  *answers
	Band     int // how the down is played: see On; 0 as taught
	played   Band
	bands    *bands
}

// answers are the plays of a picture whose receivers run their answer to a look, made when
// they are first asked for; nil: none of them has one.
type answers struct {
	sync.Mutex
	plays map[picture.Look]*Play
}

// Answered is the play with every route that has an answer to what the defense shows run
// so; nil when none has one. It is safe for concurrent use.
func (pl *Play) Answered(l picture.Look) *Play {
	l = pl.Picture.Asked(l)
	pl.answers.Lock()
	defer pl.answers.Unlock()
	a, known := pl.answers.plays[l]
	if !known {
		if p := pl.Picture.Convert(l); p != pl.Picture {
			a = Prepare(p, pl.Params)
		}
		pl.answers.plays[l] = a
	}
	if a == nil {
		return nil
	}
	return a.in(pl.Band)
}

// Prepare makes the throws of a picture.
func Prepare(p *picture.Picture, params *Params) *Play {
	pl := &Play{Picture: p, Params: params, Clock: params.Family[p.Family],
		answers: &answers{plays: map[picture.Look]*Play{}}, bands: &bands{plays: make([]*Play, len(params.Bands)+1)}}
	pl.bands.plays[0] = pl
	pl.Clock.Passer.X *= float64(p.Play)
	pl.raster = raster{1 / params.Step, int(math.Ceil((pl.Clock.Last + 0.7) / params.Step))} // the last reaction to a ball
	n := int(math.Round((pl.Clock.Last - pl.Clock.First) / Tick))
	for k := 0; k <= n; k++ {
		pl.Releases = append(pl.Releases, pl.Clock.First+float64(k)*Tick)
	}
	for i := range p.Receivers {
		if !p.Receivers[i].Blocks() {
			pl.runs = append(pl.runs, i)
		}
	}
	for a := range p.Receivers {
		for b := range p.Receivers {
			pl.Passes[a][b] = p.Receivers[a].Path.Passes(p.Receivers[b].Path)
		}
	}
	pl.meet = pl.meeting()
	pl.run = pl.runThrows()
	pl.bodies = map[string]*body{}
	for class, sp := range params.Body {
		even := newBody(sp, params.Step)
		for pace := range paces {
			b := *even // the time he takes to his speed is the same
			runs := strings.TrimSpace(class + " " + string(pace))
			b.speed = params.Speed(runs)
			pl.bodies[runs] = &b
		}
	}
	pl.Mirror = make([][]Throw, len(p.Receivers))
	pl.mirror = make([]*picture.Path, len(p.Receivers))
	for jam := 0; jam < 2; jam++ {
		pl.Throws[jam] = make([][]Throw, len(p.Receivers))
		for i := range p.Receivers {
			r := &p.Receivers[i]
			if !r.Blocks() {
				pl.Throws[jam][i] = pl.throws(r.Path, float64(jam)*params.Jam)
			}
		}
	}
	pl.frames = pl.need()
	pl.glance()
	for i := range p.Receivers {
		if r := &p.Receivers[i]; !r.Blocks() {
			if pl.mirror[i] = p.Mirrored(r); pl.mirror[i] != nil {
				pl.Mirror[i] = pl.throws(pl.mirror[i], 0)
			}
			pl.par(i)
		}
	}
	return pl
}

// need returns the number of frames until the last ball that could be thrown has
// come down.
func (pl *Play) need() int {
	last := pl.Clock.Last + 1
	for jam := range pl.Throws {
		for _, ts := range pl.Throws[jam] {
			for k := range ts {
				if ts[k].Live {
					last = max(last, pl.Releases[k]+ts[k].By)
				}
			}
		}
	}
	steps := int(min(last, horizon-coarse*pl.Params.Step)/pl.Params.Step) + 2
	return pl.fine + max(0, (steps-pl.fine+coarse-1)/coarse) + 1
}

func (pl *Play) throws(path *picture.Path, delay field.Seconds) []Throw {
	out := make([]Throw, len(pl.Releases))
	for k, t := range pl.Releases {
		out[k] = pl.throw(path, t, delay)
	}
	return out
}

// throw solves |a(t+f) - q| = vb f for the flight f, and says whether the
// threat is live: thrown from a little before its last break, caught after it,
// in bounds, within range and within what the family throws.
func (pl *Play) throw(path *picture.Path, t, delay field.Seconds) Throw {
	q := pl.Clock.Passer
	f := Flight(path, q, t-delay, pl.Params.Ball)
	a := path.At(t - delay + f)
	th := Throw{At: a, Flight: f, Contest: a, By: f}
	if short := pl.Params.Need - a.Y; short > 0 { // he must turn upfield, the more the shorter it is
		th.Contest.Y = pl.Params.Need
		th.By = f + pl.Params.Turn*min(1, short/pl.Params.Whole) + short/(pl.Params.Upfield*pl.Params.Receiver.Max)
	}
	th.caught, th.met = pl.moment(t+th.Flight), pl.moment(t+th.By)
	th.Live = pl.live(path, t-delay, th)
	if n := len(path.Breaks); n > 0 {
		th.Early = t-delay < path.Breaks[n-1].T-pl.Params.Early
	}
	return th
}

func (pl *Play) live(path *picture.Path, t field.Seconds, th Throw) bool {
	spot, edge := pl.Picture.Spot, pl.Params.Edge
	if th.At.X < -spot.Sideline(-1)+edge || th.At.X > spot.Sideline(1)-edge || th.At.Y > spot.EndLine()-edge {
		return false
	}
	if th.At.Dist(pl.Clock.Passer) > pl.Params.Range || pl.Clock.Limit != 0 && th.At.Y > pl.Clock.Limit {
		return false
	}
	if n := len(path.Breaks); n > 0 {
		b := path.Breaks[n-1]
		if b.Turn == picture.Up && th.At.Y < pl.Params.Past {
			return false // an out and up, or in and up, is thrown once he is past
		}
		if t+th.Flight < path.Stem {
			return false // who leaves at a slant is thrown to where he ends it
		}
		return t >= b.T-pl.Params.Before && t+th.Flight >= b.T+pl.Params.After
	}
	return th.At.Y >= pl.Clock.Deep
}

// Flight solves |a(t+f) - q| = vb f by fixed point on the receiver's table; he
// is slower than the ball, so it contracts.
func Flight(path *picture.Path, q field.Point, t field.Seconds, vb field.YardsPerSecond) field.Seconds {
	f := path.At(t).Dist(q) / vb
	for i := 0; i < 30; i++ {
		g := path.At(t+f).Dist(q) / vb
		if math.Abs(g-f) < 1e-6 {
			return g
		}
		f = g
	}
	return f
}
