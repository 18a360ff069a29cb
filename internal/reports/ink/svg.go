package ink

import (
	"cmp"
	"fmt"
	"html"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// SVG writes the list as a self-contained document without script, style sheet or
// font: looks are presentation attributes, so that it shows under a strict content
// security policy. The same list gives the same bytes.
func (l *List) SVG(out io.Writer) error {
	var b strings.Builder
	l.Open(&b)
	for i := 0; i < len(l.Marks); {
		n := i + 1
		for n < len(l.Marks) && l.Marks[n].Style == l.Marks[i].Style {
			n++
		}
		l.Group(&b, l.Marks[i:n])
		i = n
	}
	b.WriteString("</svg>\n")
	_, err := io.WriteString(out, b.String())
	return err
}

// Group writes marks of one style, one at least.
func (l *List) Group(b *strings.Builder, marks []Mark) {
	style := marks[0].Style
	fmt.Fprintf(b, "<g class=%q%s>\n", style, l.attributes(style))
	for i := range marks {
		marks[i].svg(b)
	}
	b.WriteString("</g>\n")
}

// Open begins the document. It has no ids: several drawings may stand in one page.
func (l *List) Open(b *strings.Builder) {
	fmt.Fprintf(b, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" role="img" `+
		`aria-label="%s" font-family="%s">`+"\n",
		Num(l.W), Num(l.H), Num(l.W), Num(l.H), escaped(l.Title), svgFamily)
	fmt.Fprintf(b, "<title>%s</title>\n<desc>%s</desc>\n", escaped(l.Title), escaped(l.Desc))
	fmt.Fprintf(b, "<rect width=\"%s\" height=\"%s\" fill=%q/>\n", Num(l.W), Num(l.H), White)
}

func escaped(s string) string { return html.EscapeString(Printable(s)) }

// Printable is a text with U+FFFD for what no document of text may hold: controls but line breaks
// and tabs, halves of surrogates, bytes that are no UTF-8 (XML 1.0, section 2.2).
func Printable(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\t' || r == '\n' || r == '\r':
			return r
		case r < 0x20 || r >= 0x7f && r <= 0x9f || r == 0xfffe || r == 0xffff:
			return utf8.RuneError
		}
		return r
	}, strings.ToValidUTF8(s, "\ufffd"))
}

func (l *List) attributes(style string) string {
	s, ok := l.Styles[style]
	if !ok {
		panic("ink: no style " + style)
	}
	u := LineUnit(l.W)
	var b strings.Builder
	fmt.Fprintf(&b, " fill=%q", cmp.Or(s.Fill, "none"))
	if s.Stroke != "" {
		fmt.Fprintf(&b, ` stroke=%q stroke-width="%s" stroke-linejoin="round"`, s.Stroke, Num(s.Width*u))
	}
	if s.Dash != nil {
		var ds []string
		for _, d := range s.Dash {
			ds = append(ds, Num(d*u))
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
			turn = fmt.Sprintf(` transform="rotate(-90 %s %s)"`, Num(m.At.X), Num(m.At.Y))
		}
		fmt.Fprintf(b, "<text x=\"%s\" y=\"%s\" font-size=\"%s\" text-anchor=%q%s>%s</text>\n", Num(m.At.X), Num(m.At.Y),
			Num(m.Size), anchor, turn, escaped(m.Text))
	case m.Paths != nil:
		fmt.Fprintf(b, "<path d=\"%s\"", m.d())
		m.end(b, "path")
	case m.RX == m.RY:
		fmt.Fprintf(b, "<circle cx=\"%s\" cy=\"%s\" r=\"%s\"", Num(m.At.X), Num(m.At.Y), Num(m.RX))
		m.end(b, "circle")
	default:
		fmt.Fprintf(b, "<ellipse cx=\"%s\" cy=\"%s\" rx=\"%s\" ry=\"%s\"", Num(m.At.X), Num(m.At.Y), Num(m.RX), Num(m.RY))
		m.end(b, "ellipse")
	}
}

func (m *Mark) end(b *strings.Builder, tag string) {
	if m.Name == "" {
		b.WriteString("/>\n")
		return
	}
	fmt.Fprintf(b, "><title>%s</title></%s>\n", escaped(m.Name), tag)
}

func (m *Mark) d() string {
	var b strings.Builder
	for _, run := range m.Paths {
		for i, p := range run {
			b.WriteByte("ML"[min(i, 1)])
			b.WriteString(Num(p.X) + " " + Num(p.Y))
		}
		if m.Closed {
			b.WriteByte('Z')
		}
	}
	return b.String()
}

// Num writes a length in mm to a hundredth, without trailing zeros.
func Num(x float64) string {
	x = math.Round(x*100) / 100
	if x == 0 {
		x = 0 // no minus zero
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}
