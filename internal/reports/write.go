package reports

import (
	"bytes"
	"embed"
	"encoding/csv"
	"io"
	"slices"
	"strconv"

	"overhang/internal/reports/paper"
)

//go:embed style.css
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

func ordinal(s string) string {
	return map[string]string{"1": "1st", "2": "2nd", "3": "3rd", "4": "4th"}[s]
}

// WriteCSV writes the numbers of the page: first the situations, then the board,
// one kind of row a table, told apart by the first column.
func (g *GamePlan) WriteCSV(w io.Writer) error {
	cw := csv.NewWriter(w)
	cw.UseCRLF = true // RFC 4180
	num := func(f float64) string { return strconv.FormatFloat(f, 'g', -1, 64) }
	cw.Write([]string{"table", "down", "distance_band", "call", "set_name", "concept", "plays", "share", "share_low",
		"share_high", "stress", "defender", "open", "other", "short_yd", "sentence"})
	for _, s := range g.Situations {
		cw.Write([]string{"run share", s.Down, s.Distance, "", "", "", strconv.Itoa(s.Plays), num(s.RunShare), num(s.RunLow),
			num(s.RunHigh), "", "", "", "", "", ""})
		for _, t := range s.Top {
			cw.Write([]string{"concept", s.Down, s.Distance, "", "", paper.Safe(t.Concept), strconv.Itoa(t.Plays), num(t.Share),
				num(t.Low), num(t.High), "", "", "", "", "", ""})
		}
	}
	for _, r := range g.Board.Rows {
		for _, c := range r.Cells {
			k := g.Board.Concepts[c.Concept]
			rec := []string{"stress", "", "", paper.Safe(r.Call), paper.Safe(k.SetName), paper.Safe(k.Concept),
				strconv.Itoa(k.Plays), "", "", "", num(c.Stress), "", "", "", "", ""}
			if len(c.Findings) > 0 {
				f := c.Findings[0]
				copy(rec[11:], []string{paper.Safe(f.Defender), paper.Safe(f.Open), paper.Safe(f.Other), num(f.ShortYd),
					paper.Safe(f.Sentence)})
			}
			cw.Write(rec)
		}
	}
	cw.Flush()
	return cw.Error()
}
