package outside

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// OpenedPDF fails the test when a reader of the file is not told its title, its language, its
// tags and its bookmarks, the first of which is of a page (ISO 32000-1, 7.7.2, 12.3.3, 14.3.3).
func OpenedPDF(t testing.TB, pdf []byte) {
	t.Helper()
	info := tool(t, pdf, "pdfinfo", "FILE")
	for _, want := range []string{`(?m)^Title: +\S`, `(?m)^Tagged: +yes`} {
		if !regexp.MustCompile(want).MatchString(info) {
			t.Errorf("pdfinfo says nothing like %s:\n%s", want, info)
		}
	}
	open := tool(t, pdf, "qpdf", "--json=2", "FILE")
	for _, want := range []string{`"/Lang": "u:en-US"`, `"/Outlines":`, `"title": "`, `"destpageposfrom1": 1`} {
		if !strings.Contains(open, want) {
			t.Errorf("qpdf --json: the file lacks %s", want)
		}
	}
}

var textColors = regexp.MustCompile(`<fontspec [^>]*color="#([0-9a-f]{6})"`)

// PaleText lists the colors of a PDF's text that come out of a black-and-white printer with less
// contrast than 4.5 to 1 on white paper (WCAG 2.2, 1.4.3 and its relative luminance); white text
// stands on black.
func PaleText(t testing.TB, pdf []byte) (out []string) {
	t.Helper()
	for _, m := range textColors.FindAllStringSubmatch(tool(t, pdf, "pdftohtml", "-xml", "-i", "-stdout", "FILE"), -1) {
		n, _ := strconv.ParseUint(m[1], 16, 32)
		light := 0.0
		for i, weight := range []float64{0.0722, 0.7152, 0.2126} {
			v := float64(n>>(8*i)&0xff) / 255
			if v <= 0.04045 {
				v /= 12.92
			} else {
				v = math.Pow((v+0.055)/1.055, 2.4)
			}
			light += weight * v
		}
		if contrast := 1.05 / (light + 0.05); contrast < 4.5 && n != 0xffffff {
			out = append(out, fmt.Sprintf("#%s (%.1f to 1)", m[1], contrast))
		}
	}
	return out
}

// InkHeight is how high the ink of the first word like this is on the first page that has it, mm:
// of capitals, the cap height. Poppler finds the word, prints the page at 600 dots an inch, and the
// rows with ink are counted. 0: the word is not there.
func InkHeight(t testing.TB, pdf []byte, word string) float64 {
	t.Helper()
	at := regexp.MustCompile(`<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">` +
		regexp.QuoteMeta(word) + `</word>`)
	pages := strings.Split(tool(t, pdf, "pdftotext", "-bbox", "FILE", "-"), "<page ")[1:]
	for i, page := range pages {
		m := at.FindStringSubmatch(page)
		if m == nil {
			continue
		}
		var box [4]int
		for k := range box {
			v, _ := strconv.ParseFloat(m[k+1], 64)
			box[k] = int(math.Round(v * 600 / 72))
		}
		root := filepath.Join(t.TempDir(), "word")
		tool(t, pdf, "pdftoppm", "-gray", "-r", "600", "-f", strconv.Itoa(i+1), "-l", strconv.Itoa(i+1), "-singlefile",
			"-x", strconv.Itoa(box[0]), "-y", strconv.Itoa(box[1]), "-W", strconv.Itoa(box[2]-box[0]),
			"-H", strconv.Itoa(box[3]-box[1]), "FILE", root)
		raster, err := os.ReadFile(root + ".pgm")
		if err != nil {
			t.Fatal(err)
		}
		return float64(inkRows(raster)) * 25.4 / 600
	}
	return 0
}

// inkRows counts the rows of a gray raster (PGM, P5) with something darker than the middle.
func inkRows(pgm []byte) (n int) {
	var wide, high, most int
	fmt.Sscanf(string(pgm[:min(len(pgm), 40)]), "P5\n%d %d\n%d", &wide, &high, &most)
	dots := pgm[len(pgm)-wide*high:]
	for y := range high {
		if slices.Min(dots[y*wide:(y+1)*wide]) < 128 {
			n++
		}
	}
	return n
}
