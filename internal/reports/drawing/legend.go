package drawing

// A sample is one line of the legend: a sign and what it stands for.
type sample struct {
	text  string
	paint func(l *sheet, at Spot, wide float64)
}

// stroke samples a line of a style with an end.
func stroke(style, end string) func(*sheet, Spot, float64) {
	return func(sh *sheet, at Spot, wide float64) {
		a, b := at.add(Spot{-wide / 2, 0}), at.add(Spot{wide / 2, 0})
		switch end {
		case "":
			sh.line(style, a, b)
		case "bar":
			sh.line(style, a, b)
			sh.bar(style, a, b, 1.3*sh.u)
		case "dot":
			sh.line(style, a, b)
			sh.circle("match-end", "", b, 0.22*sh.u)
		default:
			sh.line(style, a, b.to(a, 0.8*sh.u))
			sh.arrow(end, a, b, 1.1*sh.u)
		}
	}
}

// figure samples a symbol of a man.
func figure(m Man, conflict bool) func(*sheet, Spot, float64) {
	return func(sh *sheet, at Spot, _ float64) {
		sh.symbol(&m, at, conflict)
	}
}

var samples = []sample{
	{"eligible, numbered from his sideline in; B is a back", figure(Man{Kind: Eligible, Mark: "1"}, false)},
	{"passer", figure(Man{Kind: Passer}, false)},
	{"lineman; the center is square", figure(Man{Kind: Lineman}, false)},
	{"defender with the letter of his job", figure(Man{Kind: Defender, Mark: "C"}, false)},
	{"defender who rushes", figure(Man{Kind: Rusher}, false)},
	{"the man in conflict", figure(Man{Kind: Defender, Mark: "C"}, true)},
	{"where he is when the ball is thrown", func(sh *sheet, at Spot, wide float64) {
		sh.line("track", at.add(Spot{-wide / 2, 0}), at)
		sh.shield("ghost", "", at, 0.6*sh.radius(Defender), "")
	}},
	{"route, with the depth of its break in yards", func(sh *sheet, at Spot, wide float64) {
		stroke("route", "route-end")(sh, at, wide)
		sh.circle("break", "", at, 0.26*sh.u)
		sh.text("text-bold", "12", at.add(Spot{0, -0.8 * sh.u}), sh.u, 0)
	}},
	{"he stops there, or blocks", stroke("route", "bar")},
	{"the open threat, its catch and what he is short of it", func(sh *sheet, at Spot, wide float64) {
		stroke("open", "")(sh, at.add(Spot{0, -0.4 * sh.u}), wide)
		stroke("to-open", "")(sh, at.add(Spot{0, 0.4 * sh.u}), wide)
		sh.circle("catch-open", "", at.add(Spot{wide / 2, 0}), 0.5*sh.u)
	}},
	{"the threat that holds him", func(sh *sheet, at Spot, wide float64) {
		stroke("other", "")(sh, at.add(Spot{0, -0.4 * sh.u}), wide)
		stroke("to-other", "")(sh, at.add(Spot{0, 0.4 * sh.u}), wide)
		sh.circle("catch-other", "", at.add(Spot{wide / 2, 0}), 0.5*sh.u)
	}},
	{"his zone", func(sh *sheet, at Spot, wide float64) { sh.rect("ground", "", around(at, wide/2, 0.7*sh.u)) }},
	{"drops to a zone", func(sh *sheet, at Spot, wide float64) {
		sh.line("to-zone", at.add(Spot{-wide / 2, 0}), at)
		sh.add(Mark{Style: "zone", At: at.add(Spot{0.2 * wide, 0}), RX: 0.3 * wide, RY: 0.6 * sh.u})
	}},
	{"helps in a zone", func(sh *sheet, at Spot, wide float64) {
		sh.add(Mark{Style: "zone-help", At: at.add(Spot{0.2 * wide, 0}), RX: 0.3 * wide, RY: 0.6 * sh.u})
	}},
	{"owes this man", stroke("match", "dot")},
	{"reads, helps on or squeezes this man", stroke("help", "dot")},
	{"his place against the run", func(sh *sheet, at Spot, wide float64) {
		a, b := at.add(Spot{-wide / 2, 0}), at.add(Spot{wide / 2, 0})
		sh.line("fit", a, b)
		sh.bar("fit-end", a, b, sh.u)
	}},
	{"where a yard number lies, when the spot is not known", func(sh *sheet, at Spot, _ float64) {
		sh.rect("number", "", around(at, 0.7*sh.u, 0.5*sh.u))
	}},
	{"the run", stroke("carry", "route-end")},
	{"the run as a fake, or if the passer gives it", stroke("fake", "route-end")},
}

// rowHeight of the legend, in sizes of its text.
const rowHeight = 3.1

// Signs is the legend as a drawing among others.
type Signs struct{}

// List lays the legend out w mm wide.
func (Signs) List(w float64) *List { return Legend(w) }

// Legend explains every sign, w mm wide, in as many columns as fit.
func Legend(w float64) *List {
	s := &Scene{Title: "Legend", Words: "What the signs of the drawings stand for: "}
	sh := newSheet(s, w)
	sh.u = max(leastText, 0.75*sh.u)
	sh.k = 1.1 * sh.u // symbols of the size of the text beside them
	wide, text := 4*sh.u, 0.0
	for _, x := range samples {
		text = max(text, TextWidth(x.text, sh.u, false))
		sh.Desc += x.text + "; "
	}
	cell := wide + 2*sh.u + text
	cols := max(1, int(w/cell))
	rows := (len(samples) + cols - 1) / cols
	sh.H = float64(rows) * rowHeight * sh.u
	for i, x := range samples {
		at := Spot{float64(i/rows)*w/float64(cols) + 0.6*sh.u + wide/2, (float64(i%rows) + 0.5) * rowHeight * sh.u}
		x.paint(sh, at, wide)
		sh.text("text", x.text, at.add(Spot{wide/2 + 1.2*sh.u, 0}), sh.u, -1)
	}
	return sh.List
}
