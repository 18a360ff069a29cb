package intake

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// Limits of one sheet: a season of every opponent fits, a mistake does not.
const (
	mostRows    = 100_000
	mostColumns = 300
)

// A tab is one table of a file, its cells as a person sees them.
type tab struct {
	name   string
	hidden bool
	rows   [][]string
	kept   [][]string // as a workbook keeps them (a date is a number of days); nil for text
}

// cell returns the text at a place, "" where there is none.
func (t *tab) cell(row, col int) string { return at(t.rows, row, col) }

func at(rows [][]string, row, col int) string {
	if row < 0 || row >= len(rows) || col >= len(rows[row]) {
		return ""
	}
	return rows[row][col]
}

// place names a cell as spreadsheets do: K11.
func place(row, col int) string { return columnName(col) + fmt.Sprint(row+1) }

func columnName(col int) string {
	name := ""
	for col++; col > 0; col = (col - 1) / 26 {
		name = string(rune('A'+(col-1)%26)) + name
	}
	return name
}

// open reads a file into its tabs and says in words what it was.
func open(data []byte) (tabs []tab, kind string, err error) {
	switch {
	case len(bytes.TrimSpace(data)) == 0:
		return nil, "", errors.New("the file is empty: a header row is needed")
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		tabs, err = workbook(data)
		return tabs, "workbook (XLSX)", err
	case bytes.HasPrefix(data, []byte("\xd0\xcf\x11\xe0")):
		return nil, "", errors.New("this is an old workbook (XLS) or one with a password: save it as XLSX or CSV")
	case bytes.HasPrefix(data, []byte("%PDF")):
		return nil, "", errors.New("this is a PDF: save the sheet as XLSX or CSV")
	}
	text, coding := decode(data)
	sep, name := separator(text)
	rows, err := readText(text, sep)
	return []tab{{rows: rows}}, "CSV, " + name + ", " + coding, err
}

// decode brings a text to UTF-8 and says what it was written in. What is no
// UTF-8 and has no mark is read as Latin-1 with Windows' additions.
func decode(data []byte) (text, coding string) {
	read := func(e encoding.Encoding, name string) (string, string) {
		out, err := e.NewDecoder().Bytes(data)
		if err != nil {
			out = bytes.ToValidUTF8(data, []byte("?"))
		}
		return strings.TrimPrefix(string(out), "\ufeff"), name
	}
	switch {
	case bytes.HasPrefix(data, []byte("\xef\xbb\xbf")):
		return string(data[3:]), "UTF-8 with a mark"
	case bytes.HasPrefix(data, []byte("\xff\xfe")), zeros(data, 1):
		return read(unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), "UTF-16")
	case bytes.HasPrefix(data, []byte("\xfe\xff")), zeros(data, 0):
		return read(unicode.UTF16(unicode.BigEndian, unicode.UseBOM), "UTF-16")
	case utf8.Valid(data):
		return string(data), "UTF-8"
	}
	return read(charmap.Windows1252, "Latin-1")
}

// zeros reports whether most bytes at odd (1) or even (0) places are zero.
func zeros(data []byte, odd int) bool {
	n, of := 0, 0
	for i := odd; i < min(len(data), 400); i += 2 {
		of++
		if data[i] == 0 {
			n++
		}
	}
	return of > 1 && n > of*7/10
}

// separator is the mark that cuts the first lines into the most cells.
func separator(text string) (sep rune, name string) {
	head := text
	if lines := strings.SplitAfterN(text, "\n", 41); len(lines) == 41 {
		head = strings.Join(lines[:40], "")
	}
	best := 0
	sep, name = ',', "commas"
	for _, s := range []struct {
		r    rune
		name string
	}{{',', "commas"}, {';', "semicolons"}, {'\t', "tabs"}} {
		if n := separated(head, s.r); n > best {
			best, sep, name = n, s.r, s.name
		}
	}
	return sep, name
}

// separated counts how often a separator parts two cells of a text.
func separated(text string, sep rune) (n int) {
	rows, _ := readText(text, sep) // a broken row ends the count
	for _, row := range rows {
		n += max(0, len(row)-1)
	}
	return n
}

// readText reads separated values; rows keep their place, blank ones too.
func readText(text string, sep rune) ([][]string, error) {
	cr := csv.NewReader(strings.NewReader(text))
	cr.Comma, cr.FieldsPerRecord = sep, -1
	var rows [][]string
	inside := 0 // line breaks within cells: lines of the text that are no rows
	for {
		cells, err := cr.Read()
		switch {
		case err == io.EOF:
			return rows, nil
		case err != nil:
			return rows, fmt.Errorf("line %w", csvError(err))
		}
		line, _ := cr.FieldPos(0)
		for len(rows) < line-1-inside {
			rows = append(rows, nil)
		}
		for i := range cells {
			inside += strings.Count(cells[i], "\n")
			cells[i] = clean(cells[i])
		}
		rows = append(rows, cells)
		if len(rows) > mostRows || len(cells) > mostColumns {
			return nil, fmt.Errorf("row %d: a sheet has at most %d rows and %d columns", len(rows), mostRows, mostColumns)
		}
	}
}

var cleaner = strings.NewReplacer("\u00a0", " ", "\u2009", " ", "\u202f", " ", "\u2212", "-", "\u2013", "-", "\u2014",
	"-", "\u2019", "'", "\x00", "",
	"\u200b", "", "\ufeff", "")

// clean is a cell without what cannot be seen: single blanks, one kind of dash.
func clean(s string) string {
	return strings.Join(strings.Fields(strings.ToValidUTF8(cleaner.Replace(s), "?")), " ")
}
