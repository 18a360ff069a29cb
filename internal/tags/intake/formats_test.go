package intake_test

import (
	"archive/zip"
	"bytes"
	"strings"
	"testing"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"overhang/internal/tags/intake"
)

// TestFormats: one sheet in every writing that spreadsheets save, the same plays
// each time.
func TestFormats(t *testing.T) {
	rows := oneHeader()
	for i := range rows[1:] {
		rows[i+1][1] = "Bräcken" // tells encodings apart
	}
	encoded := func(e encoding.Encoding, sep string) []byte {
		out, err := e.NewEncoder().Bytes(csvText(rows, sep))
		must(t, err)
		return out
	}
	for name, tc := range map[string]struct {
		data []byte
		kind string
	}{
		"commas":          {csvText(rows, ","), "CSV, commas, UTF-8"},
		"semicolons":      {csvText(rows, ";"), "CSV, semicolons, UTF-8"},
		"tabs":            {csvText(rows, "\t"), "CSV, tabs, UTF-8"},
		"UTF-8, marked":   {append([]byte("\xef\xbb\xbf"), csvText(rows, ";")...), "CSV, semicolons, UTF-8 with a mark"},
		"UTF-16, little":  {encoded(unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), "\t"), "CSV, tabs, UTF-16"},
		"UTF-16, big":     {encoded(unicode.UTF16(unicode.BigEndian, unicode.UseBOM), ";"), "CSV, semicolons, UTF-16"},
		"UTF-16, no mark": {encoded(unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM), ","), "CSV, commas, UTF-16"},
		"Latin-1":         {encoded(charmap.ISO8859_1, ";"), "CSV, semicolons, Latin-1"},
		"Windows":         {encoded(charmap.Windows1252, ","), "CSV, commas, Latin-1"},
	} {
		s, err := intake.ReadSheet("sheet.csv", tc.data, known(), intake.Answers{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if p := &s.Proposal; p.Kind != tc.kind || p.Plays != 90 || p.Refused != 0 || p.Opponents[0].Name != "Bräcken" {
			t.Errorf("%s: %q, %d plays, %d refused of %q; want %q and 90 of Bräcken", name, p.Kind, p.Plays, p.Refused,
				p.Opponents[0].Name, tc.kind)
		}
		for _, r := range s.Records {
			samePlay(t, &r.Play, invent(1, 90)[r.Play.Number-1])
		}
	}
}

// TestBombWorkbook: a small file that unpacks to far more than a sheet of its size
// is refused in words, before it is unpacked.
func TestBombWorkbook(t *testing.T) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	w, err := z.Create("xl/worksheets/sheet1.xml")
	must(t, err)
	zeros := make([]byte, 1<<20)
	for range 200 {
		_, err = w.Write(zeros)
		must(t, err)
	}
	must(t, z.Close())
	if _, err = intake.ReadSheet("bomb.xlsx", b.Bytes(), known(), intake.Answers{}); err == nil ||
		!strings.Contains(err.Error(), "unpacks to more than its size allows") {
		t.Errorf("%d bytes that unpack to 200 MB: %v", b.Len(), err)
	}
}

// TestEqualHeads: two columns under one head are named once, with row and cell, and
// come in when somebody says which counts; with the same values nothing is said.
func TestEqualHeads(t *testing.T) {
	rows := oneHeader()
	for i := range rows {
		rows[i] = append(rows[i], rows[i][16]) // Gain once more
	}
	read := func(a intake.Answers) *intake.Sheet {
		s, err := intake.ReadSheet("sheet.csv", csvText(rows, ","), known(), a)
		must(t, err)
		return s
	}
	if s := read(intake.Answers{}); len(s.Refusals()) != 0 || s.Proposal.Plays != 90 {
		t.Errorf("the same values twice: %v", s.Refusals())
	}
	for i := range rows[1:] {
		rows[i+1][18] = "1"
	}
	if bad := read(intake.Answers{}).Refusals(); len(bad) != 1 || bad[0].Row != 1 ||
		!strings.Contains(bad[0].Msg, `S1: "Gain" stands over columns Q and S`) {
		t.Errorf("two heads with other values: %+v, want one refusal at S1", bad)
	}
	if s := read(intake.Answers{Columns: map[string]string{"Q": "gain_yd", "S": ""}}); len(s.Refusals()) != 0 ||
		whole(s.Records[0].Play.GainYd) == 1 {
		t.Errorf("told which: %v", s.Refusals())
	}
}
