package film

import (
	"bufio"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"overhang/internal/tags"
)

// columns are those of a clip list; the first two must be there.
var columns = []string{"start_s", "end_s", "number", "angle"}

// ReadCSV reads a clip list with a header row: start_s and end_s (seconds or
// h:mm:ss), and, where known, the number of the snap in its game and the angle.
// Invalid, with the line of each, when anything is wrong.
func ReadCSV(r io.Reader) (*List, error) {
	br := bufio.NewReader(r)
	if bom, err := br.Peek(3); err == nil && string(bom) == "\xef\xbb\xbf" {
		br.Discard(3)
	}
	cr := csv.NewReader(br)
	cr.FieldsPerRecord = -1
	var in reading
	header, err := cr.Read()
	if err != nil {
		if fails(&in, err) {
			return nil, err
		}
		return in.done()
	}
	at := in.header(header)
	if at == nil {
		return in.done()
	}
	for {
		cells, err := cr.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			if fails(&in, err) {
				return nil, err
			}
			break // a quote that is left open hides where the next row begins
		}
		line, _ := cr.FieldPos(0)
		if len(cells) != len(header) {
			in.complain(line, "row", "%d cells, the header has %d", len(cells), len(header))
			continue
		}
		in.row(line, at, cells)
	}
	return in.done()
}

// fails turns a mistake of the file into a bad row; what remains is ours.
func fails(in *reading, err error) bool {
	var pe *csv.ParseError
	switch {
	case errors.As(err, &pe):
		in.complain(pe.Line, "row", "%v", pe.Err)
	case err == io.EOF:
		in.complain(1, "header", "the file is empty: a header row is needed")
	default:
		return true
	}
	return false
}

// header returns the place of each column, nil when the header cannot be used.
func (r *reading) header(cells []string) map[string]int {
	at := map[string]int{}
	for i, h := range cells {
		h = strings.TrimSpace(h)
		if !slices.Contains(columns, h) {
			r.complain(1, "header", "unknown column %q (known: %s)", h, strings.Join(columns, ", "))
		} else if _, twice := at[h]; twice {
			r.complain(1, "header", "the column %q is there twice", h)
		}
		at[h] = i
	}
	for _, c := range columns[:2] {
		if _, ok := at[c]; !ok {
			r.complain(1, "header", "the column %q is missing", c)
		}
	}
	if len(r.bad) > 0 {
		return nil
	}
	return at
}

func (r *reading) row(line int, at map[string]int, cells []string) {
	var c tags.Clip
	good := true
	cell := func(col string, use func(string) error) {
		i, ok := at[col]
		if !ok {
			return
		}
		v := strings.TrimSpace(cells[i])
		err := error(nil)
		switch {
		case !utf8.ValidString(v):
			err = errors.New("is not UTF-8")
		case v == "" && (col == "start_s" || col == "end_s"):
			err = errors.New("is missing")
		case v != "":
			err = use(v)
		}
		if err != nil {
			r.complain(line, col, "%v", err)
			good = false
		}
	}
	cell("start_s", func(v string) (err error) { c.StartS, err = seconds(v); return err })
	cell("end_s", func(v string) (err error) { c.EndS, err = seconds(v); return err })
	cell("number", func(v string) (err error) { c.Number, err = snap(v); return err })
	cell("angle", func(v string) error {
		if formula(strings.TrimPrefix(v, "'")) {
			v = strings.TrimPrefix(v, "'")
		}
		c.Angle = &v
		return nil
	})
	if good {
		r.add(line, c)
	}
}

// formula says that a spreadsheet would run a cell: it goes out behind an
// apostrophe, which is taken off on the way in.
func formula(s string) bool { return s != "" && strings.ContainsRune("=+-@\t\r\n", rune(s[0])) }

// WriteCSV writes a clip list that ReadCSV reads back.
func WriteCSV(w io.Writer, cs []tags.Clip) error {
	cw := csv.NewWriter(w)
	cw.UseCRLF = true // RFC 4180
	cw.Write(columns)
	for i := range cs {
		number, angle := "", ""
		if n := cs[i].Number; n != nil {
			number = strconv.Itoa(*n)
		}
		if cs[i].Angle != nil {
			angle = *cs[i].Angle
		}
		if formula(angle) {
			angle = "'" + angle
		}
		cw.Write([]string{strconv.FormatFloat(cs[i].StartS, 'f', -1, 64), strconv.FormatFloat(cs[i].EndS, 'f', -1, 64),
			number, angle})
	}
	cw.Flush()
	return cw.Error()
}
