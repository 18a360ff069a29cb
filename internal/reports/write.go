package reports

import (
	"bytes"
	"embed"
	"encoding/csv"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strconv"
	"strings"

	"overhang/internal/reports/drawing"
	"overhang/internal/reports/paper"
)

//go:embed *.html style.css
var files embed.FS

// Style is the one stylesheet of pages and reports.
func Style() []byte {
	b, err := files.ReadFile("style.css")
	if err != nil {
		panic(err)
	}
	return b
}

// Standalone puts the stylesheet into a page, for a file that no server stands behind.
func Standalone(page []byte) []byte {
	link := []byte(`<link rel="stylesheet" href="/assets/style.css">`)
	return bytes.Replace(page, link, slices.Concat([]byte("<style>\n"), Style(), []byte("</style>")), 1)
}

var templates = template.Must(template.New("").Funcs(template.FuncMap{
	"pct":   func(f float64) string { return fmt.Sprintf("%.0f %%", 100*f) },
	"yd":    func(f float64) string { return fmt.Sprintf("%.1f", f) },
	"ord":   ordinal,
	"shade": drawing.Shade,
	"deref": func(f *float64) float64 { return *f },
	"whole": func(f float64) string { return fmt.Sprintf("%.0f", 100*f) }, // per cent, without the sign
	"inc":   func(i int) int { return i + 1 },
	"label": func(s string) string { return strings.ReplaceAll(s, "_", " ") },
}).ParseFS(files, "*.html"))

func ordinal(s string) string {
	return map[string]string{"1": "1st", "2": "2nd", "3": "3rd", "4": "4th"}[s]
}

// Execute writes one of the templates with the common frame around it.
func Execute(w io.Writer, name string, data any) error {
	return templates.ExecuteTemplate(w, name, data)
}

// WriteHTML writes the page; it prints on its own.
func (g *GamePlan) WriteHTML(w io.Writer) error { return Execute(w, "gameplan.html", g) }

// WriteCSV writes the numbers of the page: first the situations, then the board,
// one kind of row a table, told apart by the first column.
func (g *GamePlan) WriteCSV(w io.Writer) error {
	cw := csv.NewWriter(w)
	cw.UseCRLF = true // RFC 4180
	num := func(f float64) string { return strconv.FormatFloat(f, 'g', -1, 64) }
	cw.Write([]string{"table", "down", "distance_band", "call", "set_name", "concept", "plays", "share", "share_low", "share_high", "stress", "defender", "open", "other", "short_yd", "sentence"})
	for _, s := range g.Situations {
		cw.Write([]string{"run share", s.Down, s.Distance, "", "", "", strconv.Itoa(s.Plays), num(s.RunShare), num(s.RunLow), num(s.RunHigh), "", "", "", "", "", ""})
		for _, t := range s.Top {
			cw.Write([]string{"concept", s.Down, s.Distance, "", "", paper.Safe(t.Concept), strconv.Itoa(t.Plays), num(t.Share), num(t.Low), num(t.High), "", "", "", "", "", ""})
		}
	}
	for _, r := range g.Board.Rows {
		for _, c := range r.Cells {
			k := g.Board.Concepts[c.Concept]
			rec := []string{"stress", "", "", paper.Safe(r.Call), paper.Safe(k.SetName), paper.Safe(k.Concept), strconv.Itoa(k.Plays), "", "", "", num(c.Stress), "", "", "", "", ""}
			if len(c.Findings) > 0 {
				f := c.Findings[0]
				copy(rec[11:], []string{paper.Safe(f.Defender), paper.Safe(f.Open), paper.Safe(f.Other), num(f.ShortYd), paper.Safe(f.Sentence)})
			}
			cw.Write(rec)
		}
	}
	cw.Flush()
	return cw.Error()
}
