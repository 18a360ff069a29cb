package drawing

import (
	"bytes"
	"math"
	"os"
	"regexp"
	"strings"
	"testing"

	"overhang/internal/reports/ink"
)

// ratio is the contrast ratio of WCAG 2.1 (W3C Recommendation, definitions of
// "contrast ratio" and "relative luminance"; MEM, CALC).
func ratio(a, b string) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

func luminance(color string) float64 {
	r, g, b := ink.RGB(color)
	lin := func(c int) float64 {
		v := float64(c) / 255
		if v <= 0.03928 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(r) + 0.7152*lin(g) + 0.0722*lin(b)
}

func TestRatio(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want float64
		src  string
	}{
		{"#000000", "#ffffff", 21, "WCAG 2.1: ratios range from 1 to 21 (MEM)"},
		{"#ffffff", "#ffffff", 1, "WCAG 2.1: ratios range from 1 to 21 (MEM)"},
		{"#777777", "#ffffff", 4.48, "known near miss of 4.5 on white (MEM, CALC)"},
		{"#ff0000", "#ffffff", 4.00, "pure red on white: 1.05 / 0.2626 (CALC)"},
	} {
		if got := ratio(tt.a, tt.b); math.Abs(got-tt.want) > 0.005 {
			t.Errorf("ratio(%s, %s) = %.3f, want %.2f (%s)", tt.a, tt.b, got, tt.want, tt.src)
		}
	}
}

// TestContrast: WCAG 2.1, 1.4.3 asks 4.5 to 1 of text, 1.4.11 3 to 1 of graphics
// that must be seen to understand. The lightest and the darkest ground a mark of
// a field drawing can stand on are paper and the end zone or the tint.
func TestContrast(t *testing.T) {
	grounds := []string{paper, tint, endGround}
	for name, s := range styles {
		if strings.Contains(name, "shade") || name == "text-white" {
			continue
		}
		if strings.HasPrefix(name, "text") {
			for _, g := range grounds {
				if r := ratio(s.Fill, g); r < 4.5 {
					t.Errorf("%s on %s: %.2f to 1, want 4.5 (1.4.3)", name, g, r)
				}
			}
			continue
		}
		if s.Stroke != "" && s.Stroke != chalk {
			for _, g := range grounds {
				if r := ratio(s.Stroke, g); r < 3 {
					t.Errorf("%s on %s: %.2f to 1, want 3 (1.4.11)", name, g, r)
				}
			}
		}
	}
	if r := ratio(chalk, paper); r < 3 {
		t.Errorf("chalk on paper: %.2f to 1, want 3 (1.4.11)", r)
	}
	if r := ratio(styles["text-white"].Fill, styles["conflict"].Fill); r < 4.5 {
		t.Errorf("the mark of the man in conflict: %.2f to 1, want 4.5 (1.4.3)", r)
	}
	for i, s := range shades {
		if r := ratio(s.Text, s.Ground); r < 4.5 {
			t.Errorf("step %d of the heat map: %.2f to 1, want 4.5 (1.4.3)", i, r)
		}
		if i > 0 && luminance(s.Ground) >= luminance(shades[i-1].Ground) {
			t.Errorf("step %d of the heat map is not darker than the one before: it would not read in black and white", i)
		}
	}
}

// TestSizes: no text under 5 pt at 60 mm, where a point is 1/72 in (PDF 32000-1,
// 8.3.2.3, MEM) and an inch 25.4 mm.
func TestSizes(t *testing.T) {
	const fivePoint = 5 * 25.4 / 72
	for _, p := range pairs {
		r := p.play(t)
		s := Call(r, Options{Caption: true})
		if len(r.Findings) > 0 {
			s = Finding(r, 0, Options{Caption: true})
		}
		line := Time(r, min(0, len(r.Findings)-1))
		for _, l := range []*ink.List{s.List(60), line.List(60), Legend(60)} {
			for i := range l.Marks {
				if m := &l.Marks[i]; m.Text != "" && m.Size < fivePoint-0.2 && len(m.Text) > 2 {
					t.Errorf("%s: %q is %.2f mm high at 60 mm, want %.2f", p.name, m.Text, m.Size, fivePoint)
				}
			}
		}
	}
}

// TestStylesheet: the page's heat map has the colors of the drawn one.
func TestStylesheet(t *testing.T) {
	css, err := os.ReadFile("../style.css")
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range shades {
		rule := regexp.MustCompile(`\.s` + string(rune('0'+i)) +
			` \{ background: (#\w+);( color: #fff;)? \}`).FindSubmatch(css)
		if rule == nil || string(rule[1]) != s.Ground || (len(rule[2]) > 0) != (s.Text == paper) {
			t.Errorf("step %d: the stylesheet has %q, the drawing %v", i, rule, s)
		}
	}
}

// TestSearchable: words in a PDF are text, with the map a reader needs to find
// them (ToUnicode, PDF 32000-1, 9.10.3, MEM); nothing in an SVG runs script.
func TestSearchable(t *testing.T) {
	r := pairs[0].play(t)
	s := Finding(r, 0, Options{Caption: true, Title: "Çağlar gegen שלום (Łódź)"})
	l := s.List(120)
	pdf := ink.NewPDF(l.W, l.H, made)
	pdf.SetCompression(false)
	pdf.AddPage()
	l.PDF(pdf, 0, 0)
	var b bytes.Buffer
	if err := pdf.Output(&b); err != nil {
		t.Fatal(err)
	}
	utf16 := func(s string) []byte {
		var out []byte
		for _, r := range s {
			out = append(out, byte(r>>8), byte(r))
		}
		return out
	}
	// Hebrew from left to right as it stands on paper
	open := yd(r.Findings[0].Size) + " open"
	for _, want := range []string{"Çağlar", "Łód", "strong corner", open, "hook-curl", "םולש"} {
		if !bytes.Contains(b.Bytes(), utf16(want)) {
			t.Errorf("%q is not in the text of the PDF", want)
		}
	}
	if !bytes.Contains(b.Bytes(), []byte("/ToUnicode")) {
		t.Error("the PDF has no map from its letters to Unicode")
	}
	var svg bytes.Buffer
	play := Play(r, 0, Options{})
	if err := play.SVG(&svg, 180, 1); err != nil {
		t.Fatal(err)
	}
	for _, bad := range []string{"<script", "javascript:", " on", "<style", "style=", "http"} {
		n := strings.Count(svg.String(), bad)
		if bad == "http" {
			n-- // the namespace
		}
		if bad == " on" {
			n = len(regexp.MustCompile(` on\w+=`).FindAllString(svg.String(), -1))
		}
		if n > 0 {
			t.Errorf("the playback holds %q: it would not run under the content security policy", bad)
		}
	}
}
