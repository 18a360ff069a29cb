package ink

import (
	"strings"
	"sync"
	"unicode/utf8"

	"codeberg.org/go-pdf/fpdf"
	"github.com/go-fonts/dejavu/dejavusanscondensed"
	"github.com/go-fonts/dejavu/dejavusanscondensedbold"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/bidi"
)

// Family is the name under which AddFonts registers the font in a PDF; styles
// "" and "B" exist.
const Family = "overhang"

// CapHeight is the height of a capital of the font as a share of its size
// (DejaVu Sans: 1493 of 2048 units, SEEN in the font's OS/2 table).
const CapHeight = 0.729

// svgFamily asks for the same font, then for what every system has.
const svgFamily = "DejaVu Sans Condensed, DejaVu Sans, Arial Narrow, Arial, sans-serif"

// AddFonts registers the font of the drawings in a document: once a document,
// before the first drawing; a second time changes nothing. Only the letters used
// are embedded.
func AddFonts(pdf *fpdf.Fpdf) {
	pdf.AddUTF8FontFromBytes(Family, "", dejavusanscondensed.TTF)
	pdf.AddUTF8FontFromBytes(Family, "B", dejavusanscondensedbold.TTF)
}

// inFont puts U+FFFD in the place of what the writer of PDFs has no room for: it counts
// glyphs by 16 bits and does not survive a character above U+FFFF.
func inFont(r rune) rune {
	if r > 0xFFFF {
		return utf8.RuneError
	}
	return r
}

// Inside is a text as the writer of PDFs takes it for what stands around the pages, titles and
// bookmarks: it reads past the end of a text that is not whole UTF-8.
func Inside(s string) string { return strings.Map(inFont, Printable(s)) }

// Visual puts a line into the order its letters stand on paper, for a writer that
// sets them from left to right as a PDF does: right-to-left runs are turned.
func Visual(s string) string {
	s = strings.Map(inFont, s)
	rtl := strings.ContainsFunc(s, func(r rune) bool { return r >= 0x590 })
	if !rtl {
		return s
	}
	var p bidi.Paragraph
	if _, err := p.SetString(s); err != nil {
		return s
	}
	order, err := p.Order()
	if err != nil {
		return s
	}
	return strings.ReplaceAll(inOrder(&order, backward(s)), leftToRight, "")
}

// inOrder are the runs as they stand from left to right.
func inOrder(order *bidi.Ordering, back bool) string {
	var b strings.Builder
	n := order.NumRuns()
	for i := range n {
		run := order.Run(i)
		if back { // the runs stand in the order of reading
			run = order.Run(n - 1 - i)
		}
		if run.Direction() == bidi.RightToLeft {
			b.WriteString(bidi.ReverseString(run.String()))
			continue
		}
		b.WriteString(run.String())
	}
	return b.String()
}

// backward says that a line as a whole is read from right to left: by its first
// letter that has a direction (Unicode Standard Annex 9, P2).
func backward(s string) bool {
	for _, r := range s {
		switch p, _ := bidi.LookupRune(r); p.Class() {
		case bidi.R, bidi.AL:
			return true
		case bidi.L:
			return false
		}
	}
	return false
}

// leftToRight is an invisible letter that is read from left to right (U+200E).
const leftToRight = "\u200e"

// Name returns a word for a line of English: with one that is read from right to
// left in it, the line, its numbers and its brackets keep their order.
func Name(s string) string {
	for _, r := range s {
		if p, _ := bidi.LookupRune(r); p.Class() == bidi.R || p.Class() == bidi.AL {
			return leftToRight + s + leftToRight
		}
	}
	return s
}

// A face measures text; fonts are read once.
type face struct {
	font  *sfnt.Font
	buf   sfnt.Buffer
	known map[rune]float64
	mu    sync.Mutex
}

var faces = [2]func() *face{
	sync.OnceValue(func() *face { return newFace(dejavusanscondensed.TTF) }),
	sync.OnceValue(func() *face { return newFace(dejavusanscondensedbold.TTF) }),
}

func newFace(ttf []byte) *face {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic("ink: the embedded font cannot be read: " + err.Error())
	}
	return &face{font: f, known: map[rune]float64{}}
}

// TextWidth returns how wide a line is at a size, in the size's unit.
func TextWidth(s string, size float64, bold bool) float64 {
	f := faces[0]()
	if bold {
		f = faces[1]()
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	w := 0.0
	for _, r := range s {
		w += f.advance(r)
	}
	return w * size
}

// advance is the width of a letter as a share of the size.
func (f *face) advance(r rune) float64 {
	if w, ok := f.known[r]; ok {
		return w
	}
	const em = 2048
	w := 0.6
	if string(r) == leftToRight {
		return 0
	}
	if g, err := f.font.GlyphIndex(&f.buf, r); err == nil {
		if a, err := f.font.GlyphAdvance(&f.buf, g, fixed.I(em), font.HintingNone); err == nil {
			w = float64(a) / 64 / em
		}
	}
	f.known[r] = w
	return w
}

// Wrap breaks text into lines no wider than width; a word that is wider by itself
// is cut where the line ends. Empty text has no lines.
func Wrap(s string, width, size float64, bold bool) []string {
	var out []string
	line := ""
	for _, word := range strings.Fields(s) {
		next := strings.TrimSpace(line + " " + word)
		if line != "" && TextWidth(next, size, bold) > width {
			out, next = append(out, line), word
		}
		line = next
		for n := fits(line, width, size, bold); n < len(line); n = fits(line, width, size, bold) {
			out, line = append(out, line[:n]), line[n:]
		}
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// fits returns how many bytes of a line fit a width, one letter at least.
func fits(s string, width, size float64, bold bool) int {
	if TextWidth(s, size, bold) <= width {
		return len(s)
	}
	end := 0
	for end < len(s) {
		_, n := utf8.DecodeRuneInString(s[end:])
		if end > 0 && TextWidth(s[:end+n], size, bold) > width {
			break
		}
		end += n
	}
	return end
}

// Capital writes the first letter large.
func Capital(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}
