package drawing

import "overhang/internal/reports/ink"

// A sample is one line of the legend: a sign and what it stands for.
type sample struct {
	text  string
	paint func(l *sheet, at ink.Spot, wide float64)
}

// stroke samples a line of a style with an end.
func stroke(style, end string) func(*sheet, ink.Spot, float64) {
	return func(sh *sheet, at ink.Spot, wide float64) {
		a, b := at.Add(ink.At(-wide/2, 0)), at.Add(ink.At(wide/2, 0))
		switch end {
		case "":
			sh.Line(style, a, b)
		case "bar":
			sh.Line(style, a, b)
			sh.Bar(style, a, b, 1.3*sh.Small)
		case "stop":
			sh.Line(style, a, b)
			sh.Circle("route-end", "", b, stopDot*sh.Small)
		case "dot":
			sh.Line(style, a, b)
			sh.Circle("match-end", "", b, 0.22*sh.Small)
		default:
			sh.Line(style, a, b.To(a, 0.8*sh.Small))
			sh.Arrow(end, a, b, 1.1*sh.Small)
		}
	}
}

// figure samples a symbol of a man.
func figure(m Man, conflict bool) func(*sheet, ink.Spot, float64) {
	return func(sh *sheet, at ink.Spot, _ float64) {
		sh.symbol(&m, at, conflict)
	}
}

var samples = []sample{
	{"eligible, numbered from the sideline in; B is a back", figure(Man{Kind: Eligible, Mark: "1"}, false)},
	{"QB", figure(Man{Kind: Passer}, false)},
	{"lineman; the center is square", figure(Man{Kind: Lineman}, false)},
	{"defender with the letter of his job", figure(Man{Kind: Defender, Mark: "C"}, false)},
	{"defender who rushes", figure(Man{Kind: Rusher}, false)},
	{"the man in conflict", figure(Man{Kind: Defender, Mark: "C"}, true)},
	{"where our man is when the ball is thrown", func(sh *sheet, at ink.Spot, wide float64) {
		sh.Line("track", at.Add(ink.At(-wide/2, 0)), at)
		sh.shield("ghost", "", at, 0.6*sh.radius(Defender), "")
	}},
	{"route, with the depth of its break in yards", func(sh *sheet, at ink.Spot, wide float64) {
		stroke("route", "route-end")(sh, at, wide)
		sh.Circle("break", "", at, 0.26*sh.Small)
		sh.Label("text-bold", "12", at.Add(ink.At(0, -0.8*sh.Small)), sh.Small, 0)
	}},
	{"stops there", stroke("route", "stop")},
	{"blocks", stroke("block", "bar")},
	{"the open receiver, the catch, and how far off our man is", func(sh *sheet, at ink.Spot, wide float64) {
		stroke("open", "")(sh, at.Add(ink.At(0, -0.4*sh.Small)), wide)
		stroke("to-open", "")(sh, at.Add(ink.At(0, 0.4*sh.Small)), wide)
		sh.Circle("catch-open", "", at.Add(ink.At(wide/2, 0)), 0.5*sh.Small)
	}},
	{"the other threat", func(sh *sheet, at ink.Spot, wide float64) {
		stroke("other", "")(sh, at.Add(ink.At(0, -0.4*sh.Small)), wide)
		stroke("to-other", "")(sh, at.Add(ink.At(0, 0.4*sh.Small)), wide)
		sh.Circle("catch-other", "", at.Add(ink.At(wide/2, 0)), 0.5*sh.Small)
	}},
	{"zone of the man in conflict", func(sh *sheet, at ink.Spot, wide float64) {
		sh.Rect("ground", "", ink.Around(at, wide/2, 0.7*sh.Small))
	}},
	{"drops to a zone", func(sh *sheet, at ink.Spot, wide float64) {
		sh.Line("to-zone", at.Add(ink.At(-wide/2, 0)), at)
		sh.Add(ink.Mark{Style: "zone", At: at.Add(ink.At(0.2*wide, 0)), RX: 0.3 * wide, RY: 0.6 * sh.Small})
	}},
	{"helps in a zone", func(sh *sheet, at ink.Spot, wide float64) {
		sh.Add(ink.Mark{Style: "zone-help", At: at.Add(ink.At(0.2*wide, 0)), RX: 0.3 * wide, RY: 0.6 * sh.Small})
	}},
	{"has this man", stroke("match", "dot")},
	{"reads, helps on or squeezes this man", stroke("help", "dot")},
	{"run fit", func(sh *sheet, at ink.Spot, wide float64) {
		a, b := at.Add(ink.At(-wide/2, 0)), at.Add(ink.At(wide/2, 0))
		sh.Line("fit", a, b)
		sh.Bar("fit-end", a, b, sh.Small)
	}},
	{"field numbers, when the spot is not known", func(sh *sheet, at ink.Spot, _ float64) {
		sh.Rect("number", "", ink.Around(at, 0.7*sh.Small, 0.5*sh.Small))
	}},
	{"pulls or leads", stroke("pull", "bar")},
	{"the run", stroke("carry", "route-end")},
	{"where the run may bend", stroke("bend", "route-end")},
	{"the run as a fake, or if the QB gives it", stroke("fake", "route-end")},
}

// rowHeight of the legend, in sizes of its text.
const rowHeight = 3.1

// Signs is the legend as a drawing among others.
type Signs struct{}

// List lays the legend out w mm wide.
func (Signs) List(w float64) *ink.List { return Legend(w) }

// Legend explains every sign, w mm wide, in as many columns as fit.
func Legend(w float64) *ink.List {
	s := &Scene{Title: "Legend", Words: "What the symbols in the drawings mean: "}
	sh := newSheet(s, w)
	sh.Small = max(ink.LeastText, 0.75*sh.Small)
	sh.k = 1.1 * sh.Small // symbols of the size of the text beside them
	wide, text := 4*sh.Small, 0.0
	for _, x := range samples {
		text = max(text, ink.TextWidth(x.text, sh.Small, false))
		sh.Desc += x.text + "; "
	}
	cell := wide + 2*sh.Small + text
	cols := max(1, int(w/cell))
	rows := (len(samples) + cols - 1) / cols
	sh.H = float64(rows) * rowHeight * sh.Small
	for i, x := range samples {
		at := ink.At(float64(i/rows)*w/float64(cols)+0.6*sh.Small+wide/2, (float64(i%rows)+0.5)*rowHeight*sh.Small)
		x.paint(sh, at, wide)
		sh.Label("text", x.text, at.Add(ink.At(wide/2+1.2*sh.Small, 0)), sh.Small, -1)
	}
	return sh.List
}
