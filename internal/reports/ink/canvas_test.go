package ink

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func spot(t *rapid.T, name string) Spot {
	r := rapid.Float64Range(-50, 150)
	return At(r.Draw(t, name+" x"), r.Draw(t, name+" y"))
}

func box(t *rapid.T, name string) Box {
	a, b := spot(t, name+" a"), spot(t, name+" b")
	return Corners(min(a.X, b.X), min(a.Y, b.Y), max(a.X, b.X), max(a.Y, b.Y))
}

// TestWays: left is as long and square to the way, to the left of one who goes it (y is down); a
// spot d toward another is d away on the line; of no way there is no direction.
func TestWays(t *testing.T) {
	t.Parallel()
	if got := At(0, -1).Left(); got != At(-1, 0) { // up the paper, his left is the left
		t.Errorf("left of up is %v", got)
	}
	if u := At(0, 0).Unit(); u != At(0, 0) {
		t.Errorf("the direction of no way is %v", u)
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b := spot(t, "a"), spot(t, "b")
		l, d := a.Left(), rapid.Float64Range(0, 30).Draw(t, "d")
		if math.Abs(l.X*a.X+l.Y*a.Y) > 1e-6 || math.Abs(l.Len()-a.Len()) > 1e-9 {
			t.Fatalf("left of %v is %v", a, l)
		}
		if a.Dist(b) < 1e-3 {
			return
		}
		to := a.To(b, d)
		if math.Abs(to.Dist(a)-d) > 1e-6 || d <= a.Dist(b) && math.Abs(to.Dist(b)-(a.Dist(b)-d)) > 1e-6 {
			t.Fatalf("%v mm from %v to %v is %v", d, a, b, to)
		}
		if math.Abs(b.Sub(a).Unit().Len()-1) > 1e-9 {
			t.Fatalf("a direction of %v", b.Sub(a).Unit().Len())
		}
	})
}

// TestBoxes: the common ground of two boxes is the same both ways, no more than either, and what
// lies outside of the paper is the rest.
func TestBoxes(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		a, b Box
		want float64
	}{
		{Corners(0, 0, 4, 3), Corners(0, 0, 4, 3), 12}, {Corners(0, 0, 4, 3), Corners(2, 1, 9, 9), 4},
		{Corners(0, 0, 4, 3), Corners(4, 0, 8, 3), 0}, {Corners(0, 0, 4, 3), Corners(5, 5, 8, 8), 0},
		{Corners(0, 0, 9, 9), Around(At(4, 4), 1, 2), 8}, {Corners(-9, -9, 0, 0), Corners(1, 1, 2, 2), 0},
	} {
		if got := tt.a.Overlap(tt.b); got != tt.want {
			t.Errorf("%v and %v share %v, want %v", tt.a, tt.b, got, tt.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b := box(t, "a"), box(t, "b")
		area := func(x Box) float64 { return (x.X1 - x.X0) * (x.Y1 - x.Y0) }
		if o := a.Overlap(b); o != b.Overlap(a) || o < 0 || o > min(area(a), area(b))+1e-9 {
			t.Fatalf("%v and %v share %v", a, b, o)
		}
		paper := Corners(0, 10, 100, 90)
		if out := a.Outside(100, 10, 90); math.Abs(out+a.Overlap(paper)-area(a)) > 1e-9 {
			t.Fatalf("%v of %v is outside", out, a)
		}
	})
}

// TestRunInside holds the clipping of Liang and Barsky against walking the line.
func TestRunInside(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		r, b := From(spot(t, "from"), spot(t, "to")), box(t, "box")
		if rapid.Bool().Draw(t, "level") {
			r.B.Y = r.A.Y
		}
		const n = 4000
		in := 0
		for i := range n {
			p := r.A.Add(r.B.Sub(r.A).Times((float64(i) + 0.5) / n))
			if p.X >= b.X0 && p.X <= b.X1 && p.Y >= b.Y0 && p.Y <= b.Y1 {
				in++
			}
		}
		long := r.A.Dist(r.B)
		if got, want := r.Inside(b), float64(in)/n*long; math.Abs(got-want) > 2.1*long/n+1e-9 {
			t.Fatalf("%v of %v lies in %v, walked %v", got, r, b, want)
		}
	})
}

// TestPlaceLabel: a label goes where it hides nothing when there is such ground, stays on the
// paper, is near its spot, and the next one keeps off it.
func TestPlaceLabel(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		l := &List{W: 100, H: 100, Styles: Styles{"text": {Fill: "#000000"}, "paper": {Fill: White}}}
		p := &Placer{List: l, Small: 3, Top: 0, Bottom: 100}
		at := At(rapid.Float64Range(30, 70).Draw(t, "x"), rapid.Float64Range(30, 70).Draw(t, "y"))
		p.Kept = []Box{Around(at, 2, 2), Around(At(at.X+10, at.Y), 6, 3)}
		for n := range 3 {
			p.Place("text", []string{"label", "two"}, at, 3, 3)
			b := p.Taken[n]
			for _, k := range p.Kept {
				if b.Overlap(k) > 0 {
					t.Fatalf("label %d at %v hides %v", n, b, k)
				}
			}
			for _, o := range p.Taken[:n] {
				if b.Overlap(o) > 0 {
					t.Fatalf("label %d at %v hides another at %v", n, b, o)
				}
			}
			if b.Outside(100, 0, 100) > 1e-9 || At((b.X0+b.X1)/2, (b.Y0+b.Y1)/2).Dist(at) > 40 {
				t.Fatalf("label %d of %v stands at %v", n, at, b)
			}
		}
		texts := 0
		for i := range l.Marks {
			if m := &l.Marks[i]; m.Text != "" {
				texts++
				w, b := TextWidth(m.Text, m.Size, false), p.Taken[(texts-1)/2]
				if m.At.X-w/2 < b.X0 || m.At.X+w/2 > b.X1 || m.At.Y > b.Y1 || m.At.Y-CapHeight*m.Size < b.Y0 {
					t.Fatalf("%q at %v leaves its card %v", m.Text, m.At, b)
				}
			}
		}
		if texts != 6 {
			t.Fatalf("%d lines of six", texts)
		}
	})
}

// TestCost: to hide what is kept costs most, then other labels or the edge, lines least.
func TestCost(t *testing.T) {
	t.Parallel()
	p := &Placer{List: &List{W: 100, H: 100}, Small: 3, Bottom: 100, Kept: []Box{Around(At(20, 20), 3, 3)},
		Taken: []Box{Around(At(50, 20), 3, 3)}, Runs: []Run{From(At(80, 0), At(80, 40))}}
	cost := func(x, y float64) float64 { return p.Cost(Around(At(x, y), 3, 3)) }
	kept, taken, line, free := cost(20, 20), cost(50, 20), cost(80, 20), cost(35, 50)
	if !(kept > taken && taken > line && line > free) || free != 0 || cost(0, 50) != cost(100, 50) ||
		cost(0, 50) <= line {
		t.Errorf("kept %v, another label %v, a line %v, free %v, the edges %v and %v", kept, taken, line, free, cost(0, 50),
			cost(100, 50))
	}
	if !p.Covers(Around(At(22, 22), 1, 1)) || p.Covers(Around(At(50, 20), 3, 3)) {
		t.Error("what is kept, and only that, is covered")
	}
}

// TestTextSize: small text is a share of the width between 8.5 and 11 pt; lines go with it.
func TestTextSize(t *testing.T) {
	t.Parallel()
	const pt = 25.4 / 72
	for w, want := range map[float64]float64{1: 8.5 * pt, 60: 8.5 * pt, 140: 0.024 * 140, 180: 3.9, 1000: 3.9} {
		if got := TextSize(w); math.Abs(got-want) > 1e-9 {
			t.Errorf("%v mm wide: text of %v mm, want %v", w, got, want)
		}
		if math.Abs(LineUnit(w)-0.12*want) > 1e-9 {
			t.Errorf("%v mm wide: lines of %v", w, LineUnit(w))
		}
	}
}

// TestNum writes lengths to a hundredth, short, without a minus before nothing.
func TestNum(t *testing.T) {
	t.Parallel()
	for x, want := range map[float64]string{0: "0", -0.004: "0",
		1: "1", 1.5: "1.5", 2.345678: "2.35", -3.1: "-3.1", 1e6: "1000000",
		0.005: "0.01", 12.999: "13"} {
		if got := Num(x); got != want {
			t.Errorf("%v is written %q, want %q", x, got, want)
		}
	}
}

// TestPrintable: what XML 1.0, section 2.2, does not let into a document is replaced, nothing
// else is.
func TestPrintable(t *testing.T) {
	t.Parallel()
	for in, want := range map[string]string{"plain": "plain", "a\tb\nc\rd": "a\tb\nc\rd",
		"a\x00b": "a\ufffdb", "\x1b[31m": "\ufffd[31m",
		"\x7f": "\ufffd", "\u0085": "\ufffd", "\ufffe\uffff": "\ufffd\ufffd", "\xff": "\ufffd",
		"é\U0001F3C8": "é\U0001F3C8"} {
		if got := Printable(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
	if got := Inside("\U0001F3C8\x00"); got != "\ufffd\ufffd" {
		t.Errorf("around the pages of a PDF: %q", got)
	}
}

// TestWrap: no word is lost or changed about, no line is wider than asked unless it is one
// letter, nothing is no line.
func TestWrap(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringOf(rapid.RuneFrom([]rune("abWi. é\n\t"))).Draw(t, "text")
		w, size := rapid.Float64Range(1, 60).Draw(t, "width"), rapid.Float64Range(1, 5).Draw(t, "size")
		bold := rapid.Bool().Draw(t, "bold")
		lines := Wrap(s, w, size, bold)
		squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
		if got := squeeze(strings.Join(lines, " ")); got != squeeze(s) {
			t.Fatalf("%q became %q", s, lines)
		}
		for _, l := range lines {
			if l == "" || TextWidth(l, size, bold) > w && utf8.RuneCountInString(l) > 1 {
				t.Fatalf("%q is %v wide, %v are asked", l, TextWidth(l, size, bold), w)
			}
		}
		if (len(strings.Fields(s)) == 0) != (len(lines) == 0) {
			t.Fatalf("%q has the lines %q", s, lines)
		}
	})
}

// TestTextWidth: widths add up, go with the size, and bold is wider; figures are all as wide
// (DejaVu Sans has tabular figures), so that columns of numbers stand under each other.
func TestTextWidth(t *testing.T) {
	t.Parallel()
	whole := TextWidth("third and long", 3, false)
	if parts := TextWidth("third and", 3, false) + TextWidth(" long", 3, false); math.Abs(whole-parts) > 1e-9 {
		t.Errorf("%v whole, %v in parts", whole, parts)
	}
	if math.Abs(TextWidth("third and long", 6, false)-2*whole) > 1e-9 || TextWidth("third and long", 3, true) <= whole ||
		TextWidth("", 3, false) != 0 {
		t.Error("a width does not go with size and weight")
	}
	for _, d := range "123456789" {
		if TextWidth(string(d), 1, false) != TextWidth("0", 1, false) {
			t.Errorf("%c is not as wide as 0", d)
		}
	}
}

// TestCapital and colors: the first letter alone is made large; #rrggbb is read.
func TestCapital(t *testing.T) {
	t.Parallel()
	for in, want := range map[string]string{"": "", "a corner": "A corner", "éa": "Éa", "ABC": "ABC", "3rd": "3rd"} {
		if got := Capital(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
	if r, g, b := RGB("#0a80ff"); r != 10 || g != 128 || b != 255 {
		t.Errorf("#0a80ff is %d %d %d", r, g, b)
	}
}

// drawing is a list with one of every mark and words that hurt.
func drawing(words string) *List {
	l := &List{W: 60, H: 40, Title: words, Desc: words, Styles: Styles{"text": {Fill: "#102030"}, "paper": {Fill: White},
		"line": {Stroke: "#ff0000", Width: 2, Dash: []float64{1, 2}}, "text bold": {Fill: "#000000", Bold: true}}}
	l.Line("line", At(1, 1), At(5, 5), At(9, 1))
	l.Line("line", At(3, 3)) // one place is none
	l.Shape("paper", words, At(0, 0), At(2, 0), At(1, 1))
	l.Circle("line", words, At(8, 8), 2)
	l.Add(Mark{Style: "line", At: At(8, 8), RX: 2, RY: 1})
	l.Arrow("paper", At(0, 0), At(10, 0), 2)
	l.Bar("line", At(0, 0), At(10, 0), 2)
	l.Card(Corners(0, 0, 3, 3))
	for _, anchor := range []int{-1, 0, 1} {
		l.Label("text", words, At(20, 20), 3, anchor)
	}
	l.Add(Mark{Style: "text bold", Text: words, At: At(20, 30), Size: 3, Up: true})
	return l
}

var hurting = []string{`plain`, `</svg><script>alert(1)</script>`, `"quoted" & 'so'`, "null \x00 and \x1b",
	"bad \xff\xfe utf", "אבג 12",
	"wide \U0001F3C8", "]]>", "<!--"}

// TestSVG: whatever the words, the drawing is well-formed XML without script, id or style sheet;
// text comes out as it went in; a mark with a name has it as its title; the same bytes come twice.
func TestSVG(t *testing.T) {
	t.Parallel()
	for _, words := range hurting {
		var a, b bytes.Buffer
		if err := errors.Join(drawing(words).SVG(&a), drawing(words).SVG(&b)); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Errorf("%q: two drawings of one list differ", words)
		}
		count, texts := map[string]int{}, 0
		for d := xml.NewDecoder(&a); ; {
			tok, err := d.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%q: %v", words, err)
			}
			switch x := tok.(type) {
			case xml.StartElement:
				count[x.Name.Local]++
				for _, at := range x.Attr {
					if n := at.Name.Local; n == "id" || n == "style" || n == "href" || strings.HasPrefix(n, "on") {
						t.Errorf("%q: attribute %s", words, n)
					}
				}
			case xml.CharData:
				if string(x) == strings.ReplaceAll(Printable(words), "\r", "\n") {
					texts++
				}
			}
		}
		want := map[string]int{"svg": 1, "title": 3, "desc": 1, "rect": 1, "text": 4, "path": 5, "circle": 1, "ellipse": 1}
		delete(count, "g")
		if fmt.Sprint(count) != fmt.Sprint(want) || texts != 3+1+4 {
			t.Errorf("%q: elements %v, want %v; the words %d times, want 8", words, count, want, texts)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("a style that the table has not is drawn")
		}
	}()
	_ = (&List{Marks: []Mark{{Style: "nothing", RX: 1, RY: 1}}}).SVG(io.Discard)
}

// TestHeads: an arrow ends at its tip, its head is even on both sides and as long as asked; a bar
// stands across the way with its middle on the tip.
func TestHeads(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		from, tip := spot(t, "from"), spot(t, "tip")
		if from.Dist(tip) < 0.1 {
			return
		}
		size := rapid.Float64Range(0.5, 4).Draw(t, "size")
		l := &List{}
		l.Arrow("", from, tip, size)
		l.Bar("", from, tip, size)
		head, bar := l.Marks[0].Paths[0], l.Marks[1].Paths[0]
		foot := head[1].Add(head[2]).Times(0.5)
		if head[0] != tip || math.Abs(head[1].Dist(tip)-head[2].Dist(tip)) > 1e-9 || math.Abs(foot.Dist(tip)-size) > 1e-9 ||
			math.Abs(head[1].Dist(head[2])-0.84*size) > 1e-9 ||
			math.Abs(foot.Dist(from)-math.Abs(from.Dist(tip)-size)) > 1e-6 || !l.Marks[0].Closed {
			t.Fatalf("head %v on the way from %v to %v", head, from, tip)
		}
		across, way := bar[1].Sub(bar[0]), tip.Sub(from)
		if bar[0].Add(bar[1]).Times(0.5).Dist(tip) > 1e-9 || math.Abs(across.Len()-size) > 1e-9 ||
			math.Abs(across.X*way.X+across.Y*way.Y) > 1e-6 {
			t.Fatalf("bar %v at the end of %v", bar, way)
		}
	})
}

// TestPDF: whatever the words, the file is a PDF whose table points at its objects (ISO 32000-1,
// 7.5.4), tagged, with the words of its figure, and the same twice.
func TestPDF(t *testing.T) {
	t.Parallel()
	at := time.Date(2026, 9, 4, 0, 0, 0, 0, time.UTC)
	for _, words := range hurting {
		var a, b bytes.Buffer
		if err := errors.Join(drawing(words).WritePDF(&a, at), drawing(words).WritePDF(&b, at)); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Errorf("%q: two files of one list differ", words)
		}
		raw := a.Bytes()
		checkTable(t, raw)
		for _, want := range []string{"/MarkInfo <</Marked true>>",
			"/S /Figure", "/Alt " + textString(words), "/Lang (en-US)"} {
			if !bytes.Contains(raw, []byte(want)) {
				t.Errorf("%q: the file lacks %s", words, want)
			}
		}
	}
}

// checkTable holds the last cross-reference table of a file against where its objects begin.
func checkTable(t *testing.T, raw []byte) {
	t.Helper()
	m := regexp.MustCompile(`startxref\n(\d+)\n%%EOF\n$`).FindSubmatch(raw)
	if m == nil || !bytes.HasPrefix(raw, []byte("%PDF-1.")) {
		t.Fatal("no head or no end of a PDF")
	}
	at, _ := strconv.Atoi(string(m[1]))
	lines := strings.Split(string(raw[at:]), "\n")
	var first, n int
	if _, err := fmt.Sscanf(lines[0]+" "+lines[1], "xref %d %d", &first, &n); err != nil || first != 0 {
		t.Fatalf("the table begins %q %q", lines[0], lines[1])
	}
	for i := 1; i < n; i++ {
		row := lines[2+i]
		from, err := strconv.Atoi(row[:10])
		if len(row) != 19 || err != nil || !bytes.HasPrefix(raw[from:], []byte(strconv.Itoa(i)+" 0 obj")) {
			t.Errorf("object %d: row %q leads to %.12q", i, row, raw[from:])
		}
	}
}

// TestTextString is a text string of a PDF (ISO 32000-1, 7.9.2.2): UTF-16 behind a mark of its
// order.
func TestTextString(t *testing.T) {
	t.Parallel()
	for in, want := range map[string]string{"": "<FEFF>", "A": "<FEFF0041>",
		"é": "<FEFF00E9>", "א": "<FEFF05D0>", "\x00": "<FEFFFFFD>"} {
		if got := textString(in); got != want {
			t.Errorf("%q: %s, want %s", in, got, want)
		}
	}
}

// TestStructureTree: an element put under another twice is there once, what is painted inside of a
// figure is a part of it, and a rule is no content.
func TestStructureTree(t *testing.T) {
	t.Parallel()
	pdf := NewPDF(50, 50, time.Unix(0, 0))
	pdf.AddPage()
	s := NewStructure(pdf)
	e := &Element{Role: "P"}
	s.Under(s.Root(), e)
	s.Under(s.Root(), e)
	painted := []string{}
	paint := func(name string) func() { return func() { painted = append(painted, name) } }
	s.Mark(e, func() {
		s.Mark(&Element{Role: "H1"}, paint("inside"))
		s.Artifact(paint("rule inside"))
	})
	s.Artifact(paint("rule"))
	pdf.AddPage()
	s.Mark(e, paint("second page"))
	if len(s.Root().kids) != 1 || len(s.all) != 2 || len(s.pages) != 2 || len(s.pages[0]) != 1 || s.pages[1][0] != e {
		t.Errorf("%d under the root, %d elements, content by page %v", len(s.Root().kids), len(s.all), s.pages)
	}
	if want := []string{"inside", "rule inside", "rule", "second page"}; !slices.Equal(painted, want) {
		t.Errorf("painted %v", painted)
	}
	var b bytes.Buffer
	if err := s.Write(&b, 50); err != nil {
		t.Fatal(err)
	}
	checkTable(t, b.Bytes())
	if !bytes.Contains(b.Bytes(), []byte("/K [0 <</Type /MCR /Pg 5 0 R /MCID 0>> ]")) {
		t.Error("what goes on over a page is not told so")
	}
	if _, err := newTail([]byte("no PDF")); err == nil {
		t.Error("what is no PDF has a table")
	}
}
