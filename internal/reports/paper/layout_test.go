package paper

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"overhang/internal/reports/ink"
)

// pressed is a press on letter paper that nothing is printed on yet.
func pressed() *press {
	d := &Document{Title: "t", Furniture: Furniture{Date: time.Date(2026, 3, 5, 0, 0, 0, 0, time.UTC)}}
	p := &press{doc: d, w: letterW, h: letterH, k: 1, pdf: ink.NewPDF(letterW, letterH, d.Date)}
	st := ink.NewStructure(p.pdf)
	p.tags = &tagger{Structure: st, at: st.Root(), level: 1}
	return p
}

// drawn makes pieces of the sizes, some of them white, some to stay with the next.
func drawn(t *rapid.T) (out []piece) {
	n := rapid.IntRange(1, 40).Draw(t, "pieces")
	for i := range n {
		pc := piece{h: rapid.Float64Range(0.5, 30).Draw(t, "h")}
		if rapid.IntRange(0, 3).Draw(t, "kind") > 0 {
			pc.paint = func(float64, float64) {}
			pc.with = i+1 < n && rapid.IntRange(0, 4).Draw(t, "with") == 0
		}
		out = append(out, pc)
	}
	return out
}

// printed counts what is painted of pieces; the white between them may go.
func printed(cols [][]piece) (n int) {
	for _, c := range cols {
		for i := range c {
			if c[i].paint != nil {
				n++
			}
		}
	}
	return n
}

// TestBroken: columns hold every piece that is painted, once and in order; none begins with
// white; and none is taller than it may be but for one piece, with those it must not be parted
// from, that is taller alone.
func TestBroken(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		ps, tall := drawn(t), rapid.Float64Range(20, 200).Draw(t, "tall")
		cols := broken(ps, tall)
		if got, want := printed(cols), printed([][]piece{ps}); got != want {
			t.Fatalf("%d pieces are in the columns, of %d", got, want)
		}
		var heights []float64
		for _, c := range cols {
			for i := range c {
				if c[i].paint != nil {
					heights = append(heights, c[i].h)
				}
			}
			if len(c) > 0 && c[0].paint == nil {
				t.Fatal("a column begins with white")
			}
			y := 0.0
			for i := range c {
				if c[i].paint != nil && y > 0 && y+together(c[i:]) > tall+1e-9 {
					t.Fatalf("piece %d of a column ends at %v of %v", i, y+together(c[i:]), tall)
				}
				y += c[i].h
			}
		}
		var want []float64
		for i := range ps {
			if ps[i].paint != nil {
				want = append(want, ps[i].h)
			}
		}
		if !slices.Equal(heights, want) {
			t.Fatalf("the order is %v; want %v", heights, want)
		}
		unparted(t, ps, cols, tall)
	})
}

// unparted looks that pieces that must stay together do where a column has room for them.
func unparted(t *rapid.T, ps []piece, cols [][]piece, tall float64) {
	var in []int // of each painted piece, the column
	for n, c := range cols {
		for i := range c {
			if c[i].paint != nil {
				in = append(in, n)
			}
		}
	}
	at := 0
	for i := range ps {
		if ps[i].paint == nil {
			continue
		}
		if ps[i].with && ps[i+1].paint != nil && together(ps[i:]) <= tall && in[at] != in[at+1] {
			t.Fatalf("piece %d is in column %d, what must stay with it in %d", i, in[at], in[at+1])
		}
		at++
	}
}

// TestColumns: where n columns can hold all, there are no more, and none is far taller than
// another needs; else there are as many as it takes of the whole height.
func TestColumns(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		ps, n := drawn(t), rapid.IntRange(1, 3).Draw(t, "n")
		tall := rapid.Float64Range(40, 300).Draw(t, "tall")
		cols, whole := columns(ps, tall, n), broken(ps, tall)
		if len(cols) > len(whole) && len(cols) > n {
			t.Fatalf("%d columns; the whole height takes %d", len(cols), len(whole))
		}
		if len(whole) > n && len(cols) != len(whole) {
			t.Fatalf("%d columns of a height that takes %d", len(cols), len(whole))
		}
		if got, want := printed(cols), printed([][]piece{ps}); got != want {
			t.Fatalf("%d pieces are in the columns, of %d", got, want)
		}
	})
}

// TestTogether: a piece is as tall as those it must not be parted from, up to the first that
// may go.
func TestTogether(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		ps   []piece
		want float64
	}{
		{nil, 0}, {[]piece{{h: 2}}, 2}, {[]piece{{h: 2, with: true}}, 2},
		{[]piece{{h: 2, with: true}, {h: 3, with: true}, {h: 4}, {h: 5}}, 9}, {[]piece{{h: 2}, {h: 3}}, 2},
	} {
		if got := together(tt.ps); got != tt.want {
			t.Errorf("%v: %v; want %v", tt.ps, got, tt.want)
		}
	}
}

// TestWide: columns and the white between them are as wide as the page, however many.
func TestWide(t *testing.T) {
	t.Parallel()
	for n := 1; n <= 5; n++ {
		if got := float64(n)*wide(180, n) + float64(n-1)*between; math.Abs(got-180) > 1e-9 {
			t.Errorf("%d columns and the white between them: %v of 180", n, got)
		}
	}
}

// TestPrintCounts: white at the top of a page takes none of it; what must be fresh begins one;
// a piece that does not fit goes to the next with those it must not be parted from; and the
// head of a table counts again on the page it is repeated on.
func TestPrintCounts(t *testing.T) {
	t.Parallel()
	p := pressed()
	room := p.room()
	ink := func(h float64) piece { return piece{h: h, paint: func(float64, float64) {}} }
	with := func(pc piece) piece { pc.with = true; return pc }
	fresh := func(pc piece) piece { pc.fresh = true; return pc }
	head := ink(0.2 * room)
	under := func(pc piece) piece { pc.again = &head; return pc }
	for name, tt := range map[string]struct {
		ps    []piece
		pages int
	}{
		"nothing is one page":      {nil, 1},
		"a page is full":           {[]piece{ink(room)}, 1},
		"a line more":              {[]piece{ink(room), ink(1)}, 2},
		"white after a full page":  {[]piece{ink(room), gap(5)}, 1},
		"white at the top":         {[]piece{gap(5), ink(room)}, 1},
		"a fresh piece begins one": {[]piece{ink(1), fresh(ink(1))}, 2},
		"a fresh piece at the top": {[]piece{fresh(ink(1))}, 1},
		"a heading is not left alone": {[]piece{ink(0.7 * room), with(ink(0.2 * room)), ink(0.2 * room),
			ink(0.55 * room)}, 2},
		"nor all that stay with it": {[]piece{ink(0.6 * room), with(ink(0.2 * room)), with(ink(0.1 * room)), ink(0.2 * room),
			ink(0.6 * room)}, 3},
		"a head is printed again": {[]piece{head, under(ink(0.7 * room)), under(ink(0.7 * room)),
			under(ink(0.15 * room))}, 3},
	} {
		if got := p.print(tt.ps, 0, false); got != tt.pages {
			t.Errorf("%s: %d pages; want %d", name, got, tt.pages)
		}
	}
}

// TestHung: an order loses no word, its second line is set in, and it is not parted.
func TestHung(t *testing.T) {
	t.Parallel()
	p := pressed()
	long := strings.Repeat("out within five: squeeze and take him ", 4)
	ps := p.hung(long, 60, 3.35)
	if len(ps) < 3 {
		t.Fatalf("%d lines; want it to take several", len(ps))
	}
	for i := range ps {
		if ps[i].with != (i+1 < len(ps)) {
			t.Errorf("line %d of %d stays with the next: %v", i+1, len(ps), ps[i].with)
		}
		if math.Abs(ps[i].h-tight*3.35) > 1e-9 {
			t.Errorf("line %d is %v mm high; want %v", i+1, ps[i].h, tight*3.35)
		}
	}
	if got := p.hung("", 60, 3.35); got != nil {
		t.Errorf("no words are %d lines", len(got))
	}
	if got := p.hung("one  two", 60, 3.35); len(got) != 1 {
		t.Errorf("two words are %d lines", len(got))
	}
}

// TestLines: no line of a paragraph stands alone on a page, first or last.
func TestLines(t *testing.T) {
	t.Parallel()
	p := pressed()
	ps := p.lines(strings.Repeat("word ", 100), 60, 3.35, false, black, 0)
	n := len(ps)
	if n < 5 || !ps[0].with || !ps[n-2].with || ps[1].with || ps[n-1].with {
		t.Errorf("%d lines, kept together: %v", n, func() (out []bool) {
			for i := range ps {
				out = append(out, ps[i].with)
			}
			return out
		}())
	}
}

// TestSize: no text is smaller than the smallest, at any scale.
func TestSize(t *testing.T) {
	t.Parallel()
	p := pressed()
	for _, k := range []float64{least, 1, most} {
		p.k = k
		for _, share := range []float64{0.1, 0.9, 1, 1.35} {
			if got := p.size(share); got < LeastText || share >= 1 && k >= 1 && got != share*k*bodySize {
				t.Errorf("share %v at %v: %v mm", share, k, got)
			}
		}
	}
}

// TestFitted: what is cut ends in dots and is no wider than its room; what fits stays.
func TestFitted(t *testing.T) {
	t.Parallel()
	p := pressed()
	if got := p.fitted("week 3", 50, 3, true); got != "week 3" {
		t.Errorf("%q; want it whole", got)
	}
	long := strings.Repeat("the second half of the season ", 5)
	got := p.fitted(long, 50, 3, true)
	if !strings.HasSuffix(got, "...") || !strings.HasPrefix(long, strings.TrimSuffix(got, "...")) {
		t.Errorf("%q is no beginning of the words", got)
	}
	if w := ink.TextWidth(got, 3, true); w > 50 {
		t.Errorf("%q is %v mm wide; want at most 50", got, w)
	}
}

// TestTableWidths: columns fill the room where the words need it and no more; a column is never
// narrower than a number in it as long as there is room; and no order of rows matters.
func TestTableWidths(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 7).Draw(t, "columns")
		tab := &Table{}
		for i := range n {
			tab.Columns = append(tab.Columns, Column{Key: "k", Head: "Head", Number: i > 0 && rapid.Bool().Draw(t, "number")})
		}
		for range rapid.IntRange(1, 6).Draw(t, "rows") {
			var r Row
			for i := range n {
				if tab.Columns[i].Number {
					r.Cells = append(r.Cells, I(rapid.IntRange(0, 99999).Draw(t, "n")))
				} else {
					r.Cells = append(r.Cells, T(strings.Repeat("word ", rapid.IntRange(0, 30).Draw(t, "words"))))
				}
			}
			tab.Rows = append(tab.Rows, r)
		}
		w := rapid.Float64Range(90, 250).Draw(t, "w")
		widths := tab.widths(w, 3.2)
		if s := sum(widths); s > w+1e-6 {
			t.Fatalf("%v mm of columns on %v", s, w)
		}
		for i := range widths {
			if !(widths[i] > 0) {
				t.Fatalf("column %d is %v mm wide", i, widths[i])
			}
		}
		rand.New(rand.NewPCG(1, 2)).Shuffle(len(tab.Rows), func(i, j int) {
			tab.Rows[i], tab.Rows[j] = tab.Rows[j], tab.Rows[i]
		})
		if again := tab.widths(w, 3.2); !slices.Equal(again, widths) {
			t.Fatalf("rows in another order: %v; before %v", again, widths)
		}
	})
}

// TestCardFits: a card whose height is given shrinks its words until they fit, and no
// smaller than the smallest text.
func TestCardFits(t *testing.T) {
	t.Parallel()
	p := pressed()
	c := &Card{Title: "corner", Blocks: []Block{P("%s", strings.Repeat("on #1, inside eye, at seven ", 12))}}
	free := height(p.card(c, 80, 0))
	tall := 0.8*free + 2*pad
	if got := height(p.card(c, 80, tall)); got > tall-2*pad+1e-9 {
		t.Errorf("%v mm of words in a card for %v", got, tall-2*pad)
	}
	if got := height(p.card(c, 80, tall)); got < 0.85*(tall-2*pad) {
		t.Errorf("%v mm of words in a card for %v: they were made smaller than they had to be", got, tall-2*pad)
	}
	if p.k != 1 {
		t.Errorf("the card changed the scale of the page to %v", p.k)
	}
	if got := height(p.card(c, 80, 10)); got <= 10-2*pad {
		t.Errorf("a card of 10 mm holds %v mm of words: they were cut", got)
	}
}

// A plank is a drawing of one proportion.
type plank float64

// List is the plank at a width.
func (d plank) List(w float64) *ink.List { return &ink.List{W: w, H: w * float64(d)} }

// TestFitting: a drawing is as wide as there is room for, and no taller.
func TestFitting(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		shape, w, tall, want float64
	}{{0.5, 100, 80, 100}, {1, 100, 80, 80}, {2, 100, 80, 40}, {4, 100, 400, 100}} {
		l := fitting(plank(tt.shape), tt.w, tt.tall)
		if l.H > tt.tall+1e-9 || l.W > tt.w+1e-9 || l.W < 0.95*tt.want {
			t.Errorf("a drawing %v as high as wide in %v by %v: %v by %v", tt.shape, tt.w, tt.tall, l.W, l.H)
		}
	}
}

// TestSpreadPages: what fits one page in two columns takes one; more text takes more, and none
// of it is lost; what may be taken apart is before it takes smaller figures or a second page.
func TestSpreadPages(t *testing.T) {
	t.Parallel()
	body := func(n int) (out []Block) {
		for range n {
			out = append(out, P("%s", strings.Repeat("out within five: squeeze, then take him to the flat ", 3)))
		}
		return out
	}
	for _, tt := range []struct{ paragraphs, least, most int }{{5, 1, 1}, {25, 1, 1}, {100, 2, 4}} {
		p := pressed()
		b := []Block{&Spread{Head: []Block{H2("Cover")}, Body: body(tt.paragraphs)}}
		n := p.print(p.pieces(b, 190, p.room()), 0, false)
		if n < tt.least || n > tt.most {
			t.Errorf("%d paragraphs on %d pages; want %d to %d", tt.paragraphs, n, tt.least, tt.most)
		}
	}
	p := pressed()
	apart := []Block{P("apart")}
	got := p.spread(&Spread{Body: body(100), Apart: apart}, 190)
	if want := p.pieces(apart, 190, p.room()); len(got) != len(want) {
		t.Errorf("a spread that may be taken apart is %d pieces; apart it is %d", len(got), len(want))
	}
	if got := p.spread(&Spread{Body: body(3), Apart: apart}, 190); height(got) < 5 {
		t.Error("a spread that fits was taken apart")
	}
}

// TestMirroredBacks: the back of each card of a row is where paper that is turned over its long
// side has it: the row the other way round, with room where a card is missing.
func TestMirroredBacks(t *testing.T) {
	t.Parallel()
	var fronts []Card
	for _, s := range []string{"a", "b", "c", "d"} {
		fronts = append(fronts, Card{Title: s, Back: []Block{P("back of %s", s)}})
	}
	backs := mirrored(fronts, 3)
	var got []string
	for _, c := range backs {
		s := "-"
		if len(c.Blocks) > 0 {
			s = strings.TrimPrefix(c.Blocks[0].(*Paragraph).Text, "back of ")
		}
		got = append(got, s)
	}
	if s := strings.Join(got, " "); s != "c b a - - d" {
		t.Errorf("backs: %s; want c b a - - d", s)
	}
}
