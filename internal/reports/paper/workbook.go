package paper

import (
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// A Tab is one table of a workbook. A cell is a string, an int, a float64, a bool or
// nil for unknown, which stays empty; text is never run as a formula, whatever it
// begins with, and stays text.
type Tab struct {
	Name  string
	Keys  []string // as programs name the columns; people read them as plain words
	Rows  [][]any
	About [][]any // no table but lines: a label and what it says
}

// A Workbook is an answer as a spreadsheet opens it.
type Workbook struct {
	Title string
	Day   time.Time // zero: not said, so that the same question gives the same file
	Tabs  []Tab
}

// Write writes the workbook (ISO/IEC 29500). Every table has a bold head that stays
// when one scrolls, a filter, widths that fit, and numbers that are numbers. No
// stream writer: it gives the same workbook other bytes every time.
func (b *Workbook) Write(w io.Writer) error {
	f := excelize.NewFile()
	defer f.Close()
	props := &excelize.DocProperties{Creator: "Overhang", Title: b.Title}
	if !b.Day.IsZero() {
		props.Created = b.Day.UTC().Format(time.RFC3339)
		props.Modified = props.Created
	}
	if err := f.SetDocProps(props); err != nil {
		return err
	}
	looks, err := newLooks(f)
	if err != nil {
		return err
	}
	used := map[string]bool{}
	for i := range b.Tabs {
		name := sheetName(b.Tabs[i].Name, used)
		if i == 0 {
			err = f.SetSheetName("Sheet1", name)
		} else {
			_, err = f.NewSheet(name)
		}
		if err == nil {
			err = b.Tabs[i].write(f, name, looks)
		}
		if err != nil {
			return err
		}
	}
	return f.Write(w)
}

// looks are the styles of cells: a bold head, text that stays text, numbers, and what is true
// or false, which LibreOffice reads as 1 and 0 and would show so.
type looks struct{ head, text, whole, share, number, truth int }

func newLooks(f *excelize.File) (l looks, err error) {
	at, truth := "@", `"TRUE";"TRUE";"FALSE"`
	for _, x := range []struct {
		to    *int
		style excelize.Style
	}{{&l.head, excelize.Style{Font: &excelize.Font{Bold: true}}}, {&l.text, excelize.Style{CustomNumFmt: &at}},
		{&l.whole, excelize.Style{NumFmt: 1}}, {&l.share, excelize.Style{NumFmt: 10}},
		{&l.number, excelize.Style{NumFmt: 2}}, {&l.truth, excelize.Style{CustomNumFmt: &truth}}} {
		if *x.to, err = f.NewStyle(&x.style); err != nil {
			return l, err
		}
	}
	return l, nil
}

func (t *Tab) write(f *excelize.File, name string, l looks) error {
	rows := t.Rows
	if len(t.Keys) > 0 {
		head := make([]any, len(t.Keys))
		for i, k := range t.Keys {
			head[i] = heading(k)
		}
		rows = append([][]any{head}, rows...)
	}
	rows = append(rows, t.About...)
	for r := range rows {
		row := make([]any, len(rows[r]))
		for c, v := range rows[r] {
			row[c] = v
			if r > 0 && c < len(t.Keys) {
				row[c] = numeral(t.Keys[c], v)
			}
		}
		if err := f.SetSheetRow(name, fmt.Sprint("A", r+1), &row); err != nil {
			return err
		}
	}
	return t.dress(f, name, rows, l)
}

// dress gives columns their widths and formats, and a table its head.
func (t *Tab) dress(f *excelize.File, name string, rows [][]any, l looks) error {
	if err := t.columns(f, name, rows, l); err != nil {
		return err
	}
	if len(t.Keys) == 0 {
		return nil
	}
	last, err := excelize.CoordinatesToCellName(len(t.Keys), max(len(rows), 1))
	if err != nil {
		return err
	}
	if err := f.SetCellStyle(name, "A1", strings.TrimRight(last, "0123456789")+"1", l.head); err != nil {
		return err
	}
	if err := f.SetPanes(name, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2",
		ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	return f.AutoFilter(name, "A1:"+last, nil)
}

// columns sets each column's width and how its values look.
func (t *Tab) columns(f *excelize.File, name string, rows [][]any, l looks) error {
	for c := 0; len(rows) > 0 && c < max(len(t.Keys), len(rows[0])); c++ {
		column, err := excelize.ColumnNumberToName(c + 1)
		if err != nil {
			return err
		}
		if err := f.SetColWidth(name, column, column, width(rows, c)); err != nil {
			return err
		}
		if c < len(t.Keys) && len(rows) > 1 {
			if err := f.SetCellStyle(name, column+"2", fmt.Sprint(column, len(rows)), l.of(t.Keys[c], rows[1:], c)); err != nil {
				return err
			}
		}
	}
	return nil
}

// shares are columns whose numbers are parts of one.
var shares = regexp.MustCompile(`(^|_)(share|rate|low|high|stress|chance|value)(_|$)`)

// of is the look of a column: by its values, and for parts of one by its name.
func (l *looks) of(key string, rows [][]any, c int) int {
	look := l.text
	for _, row := range rows {
		if c >= len(row) {
			continue
		}
		switch v := numeral(key, row[c]).(type) {
		case bool:
			look = l.truth
		case int:
			if look == l.text {
				look = l.whole
			}
		case float64:
			if look = l.number; v >= 0 && v <= 1 && shares.MatchString(key) {
				look = l.share
			}
			return look
		}
	}
	return look
}

// numeral gives a down, a quarter and a week, which are words of a question, as the
// numbers they are.
func numeral(key string, v any) any {
	if s, ok := v.(string); ok && (key == "down" || key == "quarter" || key == "week") {
		if n, err := strconv.Atoi(s); err == nil {
			return n
		}
	}
	return v
}

// width fits the longest text of a column, within reason.
func width(rows [][]any, c int) float64 {
	longest := 4
	for _, row := range rows {
		if c >= len(row) || row[c] == nil {
			continue
		}
		n := 8
		if s, ok := row[c].(string); ok {
			n = utf8.RuneCountInString(s)
		}
		longest = max(longest, n)
	}
	return float64(min(longest, 60)) + 3 // the filter's button
}

// units are the ends of names that say a unit.
var units = map[string]string{"yd": "yards", "s": "seconds"}

// heading is a column's name as a person reads it: "need_yd" is "Need (yards)".
func heading(key string) string {
	words := strings.Split(key, "_")
	if n := len(words) - 1; n > 0 && units[words[n]] != "" {
		words = append(words[:n], "("+units[words[n]]+")")
	}
	s := strings.Join(words, " ")
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
