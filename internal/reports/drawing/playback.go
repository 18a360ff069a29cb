package drawing

import (
	"fmt"
	"io"
	"math"
	"strings"

	"overhang/internal/reports/ink"
	"overhang/internal/stress"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

// A Playback is a result in motion: where all twenty-two are, ten times a second.
type Playback struct {
	Scene  Scene
	frames []motion.Frame
	thrown *thrown
}

// A thrown ball flies from the passer to the catch.
type thrown struct {
	from, to   field.Point
	at, flight field.Seconds
}

// Play makes a playback of a result; finding main (-1: none) is marked, and its
// ball thrown at the release where it is largest.
func Play(r *stress.Result, main int, o Options) Playback {
	p := Playback{frames: r.Rep.Timeline()}
	if main < 0 {
		p.Scene = Call(r, o)
	} else {
		p.Scene = Finding(r, main, o)
		f := &r.Findings[main]
		if f.Open != r.Rep.Run {
			k := releaseOf(r.Rep, f.At)
			th := r.Rep.Of(f.Open)[k]
			p.thrown = &thrown{r.Rep.Clock.Passer, th.At, f.At, th.Flight}
		}
	}
	p.Scene.Words = "Moving: " + p.Scene.Words
	s := &p.Scene
	s.Zones, s.Ties, s.Fits = nil, nil, nil
	for _, f := range p.frames { // everybody stays in sight until he is far down the field
		for _, q := range f.Defense {
			s.Field.Top = max(s.Field.Top, min(q.Y+2, 30))
		}
	}
	return p
}

// last is when the playback ends.
func (p *Playback) last() field.Seconds { return p.frames[len(p.frames)-1].T }

// SVG writes the playback w mm wide as one self-contained file that moves by
// itself (SMIL), without script: once, then it stands; a click on the field plays
// it again. slow stretches the time: 1 as it happens, 2 half as fast.
func (p *Playback) SVG(out io.Writer, w, slow float64) error {
	sh := newSheet(&p.Scene, w)
	clock := sh.Bottom + 0.8*sh.Small
	sh.Bottom += 3 * sh.Small
	sh.H = sh.Bottom
	sh.notes()
	sh.endZone()
	sh.field()
	sh.routes()
	var b strings.Builder
	sh.Open(&b)
	fmt.Fprintf(&b, "<g id=\"play\">\n<rect width=\"%s\" height=\"%s\" fill=%q><title>click to play again</title>"+
		"</rect>\n", ink.Num(sh.W), ink.Num(sh.H), paper)
	paint := func() {
		for i := range sh.Marks {
			sh.Group(&b, sh.Marks[i:i+1])
		}
		sh.Marks = nil
	}
	paint()
	span := p.last() * slow
	for i := range p.Scene.Men {
		sh.man(i)
		b.WriteString("<g>\n")
		paint()
		b.WriteString(p.way(sh, i, span))
		b.WriteString("</g>\n")
	}
	p.ball(sh, &b, slow)
	p.clock(sh, &b, clock, slow)
	paint()
	b.WriteString("</g>\n</svg>\n")
	_, err := io.WriteString(out, b.String())
	return err
}

// begin starts every movement with the document and again at a click.
const begin = `begin="0s;play.click" fill="freeze"`

// way moves man i from his place at the snap.
func (p *Playback) way(sh *sheet, i int, span float64) string {
	var values []string
	zero := sh.at(p.Scene.Men[i].At)
	still := true
	for _, f := range p.frames {
		all := f.Offense
		n := i
		if i >= len(f.Offense) {
			all, n = f.Defense, i-len(f.Offense)
		}
		d := sh.at(all[n]).Sub(zero)
		still = still && d.Len() < 0.005
		values = append(values, ink.Num(d.X)+" "+ink.Num(d.Y))
	}
	if still {
		return ""
	}
	return fmt.Sprintf("<animateTransform attributeName=\"transform\" type=\"translate\" dur=\"%ss\" %s values=\"%s\"/>\n",
		ink.Num(span), begin, strings.Join(values, ";"))
}

// ball flies once: it is not there before the throw, and stays where it is caught.
func (p *Playback) ball(sh *sheet, b *strings.Builder, slow float64) {
	if p.thrown == nil {
		return
	}
	t := p.thrown
	from, to := sh.at(t.from), sh.at(t.to)
	fmt.Fprintf(b, "<ellipse cx=\"%s\" cy=\"%s\" rx=\"%s\" ry=\"%s\" fill=%q visibility=\"hidden\"><title>ball</title>\n",
		ink.Num(from.X), ink.Num(from.Y), ink.Num(0.5*sh.Small), ink.Num(0.36*sh.Small), vermilion)
	fmt.Fprintf(b, "<set attributeName=\"visibility\" to=\"visible\" begin=\"%ss;play.click+%ss\" fill=\"freeze\"/>\n",
		ink.Num(t.at*slow), ink.Num(t.at*slow))
	fmt.Fprintf(b, "<set attributeName=\"visibility\" to=\"hidden\" begin=\"play.click\"/>\n")
	for _, a := range []struct {
		name     string
		from, to float64
	}{{"cx", from.X, to.X}, {"cy", from.Y, to.Y}} {
		fmt.Fprintf(b, "<animate attributeName=%q from=\"%s\" to=\"%s\" dur=\"%ss\" begin=\"%ss;play.click+%ss\" "+
			"fill=\"freeze\"/>\n", a.name, ink.Num(a.from), ink.Num(a.to), ink.Num(t.flight*slow), ink.Num(t.at*slow),
			ink.Num(t.at*slow))
	}
	b.WriteString("</ellipse>\n")
}

// clock is a bar with the seconds since the snap; the release is marked on it.
func (p *Playback) clock(sh *sheet, b *strings.Builder, y, slow float64) {
	left, right := border*sh.k, sh.W-border*sh.k
	x := func(t field.Seconds) float64 { return left + (right-left)*t/p.last() }
	for t := 0.0; t <= p.last(); t++ {
		sh.Line("tick", ink.At(x(t), y), ink.At(x(t), y+0.8*sh.Small))
		if p.thrown == nil || math.Abs(x(t)-x(p.thrown.at)) > 6*sh.Small { // its label has the place
			sh.Label("text", fmt.Sprintf("%.0f s", t), ink.At(x(t), y+1.6*sh.Small), sh.Small, 0)
		}
	}
	if p.thrown != nil {
		sh.Circle("catch-open", "the throw", ink.At(x(p.thrown.at), y+0.2*sh.Small), 0.4*sh.Small)
		sh.Label("text-open", fmt.Sprintf("thrown at %.1f s", p.thrown.at), ink.At(x(p.thrown.at), y+1.6*sh.Small), sh.Small,
			0)
	}
	fmt.Fprintf(b, "<rect x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\" fill=%q><animate attributeName=\"width\" "+
		"from=\"0\" to=\"%s\" dur=\"%ss\" %s/></rect>\n",
		ink.Num(left), ink.Num(y), ink.Num(right-left), ink.Num(0.4*sh.Small), softInk, ink.Num(right-left),
		ink.Num(p.last()*slow), begin)
}
