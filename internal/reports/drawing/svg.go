package drawing

import (
	"fmt"
	"html"
	"io"
	"math"
	"strconv"
	"strings"
)

// SVG writes the scene w mm wide as a self-contained document without script,
// style sheet or font: looks are presentation attributes, so that it shows under
// a strict content security policy. The same scene gives the same bytes.
func (s *Scene) SVG(out io.Writer, w float64) error { return s.List(w).SVG(out) }

// SVG writes the list.
func (l *List) SVG(out io.Writer) error {
	var b strings.Builder
	l.open(&b)
	u := lineUnit(l.W)
	for i := 0; i < len(l.Marks); {
		style := l.Marks[i].Style
		fmt.Fprintf(&b, "<g class=%q%s>\n", style, attributes(style, u))
		for ; i < len(l.Marks) && l.Marks[i].Style == style; i++ {
			l.Marks[i].svg(&b)
		}
		b.WriteString("</g>\n")
	}
	b.WriteString("</svg>\n")
	_, err := io.WriteString(out, b.String())
	return err
}

// open has no ids: several drawings may stand in one page.
func (l *List) open(b *strings.Builder) {
	fmt.Fprintf(b, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" role="img" `+
		`aria-label="%s" font-family="%s">`+"\n",
		num(l.W), num(l.H), num(l.W), num(l.H), html.EscapeString(l.Title), svgFamily)
	fmt.Fprintf(b, "<title>%s</title>\n<desc>%s</desc>\n", html.EscapeString(l.Title), html.EscapeString(l.Desc))
	fmt.Fprintf(b, "<rect width=\"%s\" height=\"%s\" fill=%q/>\n", num(l.W), num(l.H), paper)
}

// lineUnit is the width of a line of one unit at a drawing's width, mm.
func lineUnit(w float64) float64 { return 0.12 * textSize(w) }

func attributes(style string, u float64) string {
	s, ok := styles[style]
	if !ok {
		panic("drawing: no style " + style)
	}
	var b strings.Builder
	fill := s.Fill
	if fill == "" {
		fill = "none"
	}
	fmt.Fprintf(&b, " fill=%q", fill)
	if s.Stroke != "" {
		fmt.Fprintf(&b, ` stroke=%q stroke-width="%s" stroke-linejoin="round"`, s.Stroke, num(s.Width*u))
	}
	if s.Dash != nil {
		var ds []string
		for _, d := range s.Dash {
			ds = append(ds, num(d*u))
		}
		fmt.Fprintf(&b, " stroke-dasharray=%q", strings.Join(ds, " "))
	}
	if s.Bold {
		b.WriteString(` font-weight="bold"`)
	}
	return b.String()
}

func (m *Mark) svg(b *strings.Builder) {
	switch {
	case m.Text != "":
		anchor := map[int]string{-1: "start", 0: "middle", 1: "end"}[m.Anchor]
		turn := ""
		if m.Up {
			turn = fmt.Sprintf(` transform="rotate(-90 %s %s)"`, num(m.At.X), num(m.At.Y))
		}
		fmt.Fprintf(b, "<text x=\"%s\" y=\"%s\" font-size=\"%s\" text-anchor=%q%s>%s</text>\n", num(m.At.X), num(m.At.Y),
			num(m.Size), anchor, turn, html.EscapeString(m.Text))
	case m.Paths != nil:
		fmt.Fprintf(b, "<path d=\"%s\"", m.d())
		m.end(b, "path")
	case m.RX == m.RY:
		fmt.Fprintf(b, "<circle cx=\"%s\" cy=\"%s\" r=\"%s\"", num(m.At.X), num(m.At.Y), num(m.RX))
		m.end(b, "circle")
	default:
		fmt.Fprintf(b, "<ellipse cx=\"%s\" cy=\"%s\" rx=\"%s\" ry=\"%s\"", num(m.At.X), num(m.At.Y), num(m.RX), num(m.RY))
		m.end(b, "ellipse")
	}
}

func (m *Mark) end(b *strings.Builder, tag string) {
	if m.Name == "" {
		b.WriteString("/>\n")
		return
	}
	fmt.Fprintf(b, "><title>%s</title></%s>\n", html.EscapeString(m.Name), tag)
}

func (m *Mark) d() string {
	var b strings.Builder
	for _, run := range m.Paths {
		for i, p := range run {
			b.WriteByte("ML"[min(i, 1)])
			b.WriteString(num(p.X) + " " + num(p.Y))
		}
		if m.Closed {
			b.WriteByte('Z')
		}
	}
	return b.String()
}

// num writes a length in mm to a hundredth, without trailing zeros.
func num(x float64) string {
	x = math.Round(x*100) / 100
	if x == 0 {
		x = 0 // no minus zero
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}
