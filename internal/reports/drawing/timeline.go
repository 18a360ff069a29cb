package drawing

import (
	"fmt"
	"math"

	"overhang/internal/reports/ink"
	"overhang/internal/stress"
	"overhang/internal/stress/field"
)

// A Timeline is how far the throws of a result are open over the release time: across
// the release, up how far the nearest man is from the catch when the ball arrives. The
// line is how near contests it.
type Timeline struct {
	Title, Words string
	From, To     field.Seconds
	Contest      field.Yards // a man so near contests the catch
	Threats      []Threat
	Spans        []Span // one a finding
}

// A Threat is one throw over the releases at which it can be thrown.
type Threat struct {
	Name  string
	Role  Role
	Times []field.Seconds
	Yards []field.Yards
}

// A Span is when a finding is open.
type Span struct {
	Text         string // who, between what
	From, To, At field.Seconds
	ShortYd      field.Yards
	Main         bool
}

// Time builds the timeline of a result; finding main stands out (-1: none).
func Time(r *stress.Result, main int) Timeline {
	g := r.Rep
	t := Timeline{Title: g.Setup.Compiled.Call.Name + " against " + pictureTitle(g.Picture) + ": how far open, by release",
		From: g.Releases[0], To: g.Releases[len(g.Releases)-1], Contest: g.Params.Contest}
	var open, other = stress.NoThreat, stress.NoThreat
	if main >= 0 {
		open, other = r.Findings[main].Open, r.Findings[main].Other
	}
	for i := 0; i < g.Run; i++ {
		if th := threat(r, i); len(th.Times) > 0 {
			switch i {
			case open:
				th.Role = Open
			case other:
				th.Role = Other
			}
			t.Threats = append(t.Threats, th)
		}
	}
	for i := range r.Findings {
		f := &r.Findings[i]
		text := r.Defender(f.Man) + ": " + r.Threat(f.Open)
		if f.Other != stress.NoThreat && f.Other != f.Open {
			text += ", " + r.Threat(f.Other)
		}
		t.Spans = append(t.Spans, Span{text, f.From, f.To, f.At, f.Size, i == main})
		t.Words += r.Sentence(f) + " "
	}
	if len(r.Findings) == 0 {
		t.Words = "Nobody is open."
	}
	return t
}

// threat is how far the nearest man is from a receiver's catch, by release.
func threat(r *stress.Result, i int) Threat {
	g := r.Rep
	out := Threat{Name: r.Threat(i)}
	for k, th := range g.Of(i) {
		if th.Live {
			out.Times, out.Yards = append(out.Times, g.Releases[k]), append(out.Yards, g.Separation(i, k))
		}
	}
	return out
}

// A chart is a timeline being laid out.
type chart struct {
	ink.Placer
	t              *Timeline
	x0, x1, y0, y1 float64 // the plot, mm; y0 is the lower edge
	low, high      field.Yards
	names          []name
}

// List lays the timeline out w mm wide.
func (t *Timeline) List(w float64) *ink.List {
	u := ink.TextSize(w)
	c := &chart{Placer: ink.Placer{List: &ink.List{Styles: styles, W: w, Title: t.Title, Desc: t.Words}, Small: u}, t: t,
		x0: 3 * u, x1: w - 1.5*u, low: 0, high: 4}
	for _, th := range t.Threats {
		for _, y := range th.Yards {
			c.high = max(c.high, math.Ceil(y+0.5))
		}
	}
	c.y1 = 1.8 * u
	c.y0 = c.y1 + max(0.22*w, 10*u)
	c.Top, c.Bottom = c.y1-u, c.y0
	c.H = c.y0 + 2.4*u + spanHeight*u*float64(len(t.Spans))
	c.axes()
	c.threats()
	for i := len(c.names) - 1; i >= 0; i-- { // the open threat first
		c.Place(c.names[i].style, []string{c.names[i].text}, c.names[i].at, u, 0.7*u)
	}
	c.spans()
	return c.List
}

// threats draws the curves, the open one last so that it lies on top.
func (c *chart) threats() {
	for _, role := range []Role{Plain, Other, Open} {
		for i := range c.t.Threats {
			if c.t.Threats[i].Role == role {
				c.threat(&c.t.Threats[i])
			}
		}
	}
}

func (c *chart) at(t field.Seconds, y field.Yards) ink.Spot {
	wide := max(c.t.To-c.t.From, 0.1) // a run has one release only
	y = max(c.low, min(c.high, y))
	return ink.At(c.x0+(t-c.t.From)/wide*(c.x1-c.x0), c.y0-(y-c.low)/(c.high-c.low)*(c.y0-c.y1))
}

func (c *chart) axes() {
	for _, s := range c.t.Spans {
		if s.Main {
			a, b := c.at(s.From-0.05, c.high), c.at(s.To+0.05, c.low)
			c.Rect("ground", s.Text, ink.Corners(max(c.x0, a.X), a.Y, min(c.x1, b.X), b.Y))
		}
	}
	c.levels()
	near := c.at(c.t.From, c.t.Contest)
	c.Line("scrimmage", near, ink.At(c.x1, near.Y))
	c.Label("text-soft", "yards open", ink.At(0, 0.8*c.Small), c.Small, -1)
	c.Label("text-soft", "below the line: covered", ink.At(c.x1, 0.8*c.Small), c.Small, 1)
	for t := math.Ceil(c.t.From*5-1e-9) / 5; t <= c.t.To+1e-9; t += 0.2 {
		a := c.at(t, c.low)
		c.Line("tick", a, a.Add(ink.At(0, 0.5*c.Small)))
		c.Label("text", fmt.Sprintf("%.1f", t), a.Add(ink.At(0, 1.2*c.Small)), c.Small, 0)
	}
	c.Label("text-soft", "s", ink.At(0.5*c.Small, c.y0+1.2*c.Small), c.Small, -1)
}

// levels draws the lines of equal yards open, at most eight.
func (c *chart) levels() {
	step := math.Ceil((c.high - c.low) / 7)
	for n := math.Ceil(c.low / step); n*step <= c.high; n++ {
		y := n * step
		a := c.at(c.t.From, y)
		c.Line("yardline", a, ink.At(c.x1, a.Y))
		c.Label("text", fmt.Sprintf("%.0f", y), ink.At(c.x0-0.5*c.Small, a.Y), c.Small, 1)
		c.Taken = append(c.Taken, ink.Around(ink.At(c.x0/2, a.Y), c.x0/2, 0.7*c.Small))
	}
}

// threat paints one line with a name where it is highest.
func (c *chart) threat(th *Threat) {
	line, text := "match", "text-soft"
	switch th.Role {
	case Open:
		line, text = "open", "text-open"
	case Other:
		line, text = "other", "text-other"
	}
	top, runs := 0, [][]ink.Spot{nil}
	for i, y := range th.Yards {
		if y > th.Yards[top] {
			top = i
		}
		if n := len(runs) - 1; y >= c.low {
			runs[n] = append(runs[n], c.at(th.Times[i], y))
		} else if runs[n] != nil {
			runs = append(runs, nil) // well covered: off the chart
		}
	}
	for _, pts := range runs {
		c.Line(line, pts...)
		if len(th.Yards) == 1 && len(pts) == 1 {
			c.Circle("break", th.Name, pts[0], 0.3*c.Small)
		}
		for i := 1; i < len(pts); i++ {
			c.Runs = append(c.Runs, ink.From(pts[i-1], pts[i]))
		}
	}
	if th.Yards[top] >= c.low {
		c.names = append(c.names, name{text, th.Name, c.at(th.Times[top], th.Yards[top])})
	}
}

// A name is a label that waits until all lines are there.
type name struct {
	style, text string
	at          ink.Spot
}

// spanHeight is what one bar with its text takes, in sizes of text.
const spanHeight = 2.3

// spans paints one bar a finding under the axis, with the release it is worst at.
func (c *chart) spans() {
	for i, s := range c.t.Spans {
		y := c.y0 + 2.4*c.Small + spanHeight*c.Small*float64(i)
		style, text := "span", "text"
		if s.Main {
			style, text = "span-main", "text-bold"
		}
		a, b := max(c.x0, c.at(s.From-0.05, 0).X), min(c.x1, c.at(s.To+0.05, 0).X)
		c.Rect(style, s.Text, ink.Corners(a, y, b, y+0.7*c.Small))
		c.Circle("break", "", ink.At(c.at(s.At, 0).X, y+0.35*c.Small), 0.3*c.Small)
		label := fmt.Sprintf("%s at %.1f s, %s", yd(s.ShortYd), s.At, s.Text)
		c.Label(text, label, ink.At(max(0, min(a, c.W-ink.TextWidth(label, c.Small, true))), y+1.35*c.Small), c.Small, -1)
	}
}
