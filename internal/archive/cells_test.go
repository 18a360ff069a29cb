package archive

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/parquet-go/parquet-go"
	"pgregory.net/rapid"

	"overhang/internal/tags"
)

// TestCellsComeBack: whatever a text is, its cell is one line that no spreadsheet runs, and
// reads back as the same text; what is unknown stays unknown, the empty text stays empty.
func TestCellsComeBack(t *testing.T) {
	t.Parallel()
	back := func(t interface{ Fatalf(string, ...any) }, s string) string {
		cell := write("string", []byte(s))
		if cell == "" || strings.ContainsAny(cell, "\r\n") || strings.ContainsRune("=+-@\t", rune(cell[0])) {
			t.Fatalf("%q is written as %q", s, cell)
		}
		raw, err := read("string", cell)
		var got string
		if err != nil || json.Unmarshal(raw, &got) != nil {
			t.Fatalf("%q, written as %q, reads as %s: %v", s, cell, raw, err)
		}
		return got
	}
	for _, s := range []string{"", "smash", "=1+1", "+1", "-1", "@x", "\tx", "'x", "'", "''", "a\nb", "a\r\nb",
		`"`, `\`, "é", " ",
		"null", "</script>", "a,b", "\u2028"} {
		if got := back(t, s); got != s {
			t.Errorf("%q came back as %q", s, got)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringOf(rapid.SampledFrom([]rune("=+-@\t'\r\n\"\\,aé \x01"))).Draw(t, "text")
		if got := back(t, s); got != s {
			t.Fatalf("%q came back as %q", s, got)
		}
	})
	if write("string", nil) != "" {
		t.Error("what is unknown is written")
	}
	if raw, err := read("string", ""); err != nil || string(raw) != "null" {
		t.Errorf("what is unknown reads as %s, %v", raw, err)
	}
}

// TestCellsOfEachKind: what each kind is, by JSON (RFC 8259) and RFC 3339, and what is none;
// another way of writing the same text is refused.
func TestCellsOfEachKind(t *testing.T) {
	t.Parallel()
	const id = "0199d3f0-0000-7000-8000-00000000001a"
	for kind, cells := range map[string]map[string]string{
		"integer": {"7": "7", "-7": "-7", "0": "0", "9223372036854775807": "9223372036854775807", "9223372036854775808": "",
			"07": "", "+7": "", "7.0": "", "7 ": "", "0x7": "", "seven": "", "1_000": ""},
		"number": {"7": "7", "-7.5": "-7.5", "1e3": "1e3", "NaN": "", "Inf": "", "1e999": "", "0x1p3": "", ".5": "", "5.": "",
			"1_0": ""},
		"boolean": {"true": "true", "false": "false", "True": "", "1": "", "t": "", "null": ""},
		"datetime": {"2031-09-14T18:30:00Z": `"2031-09-14T18:30:00Z"`, "2031-09-14": "", "2031-02-30T00:00:00Z": "",
			"now": ""},
		"uuid": {id: `"` + id + `"`, "{" + id + "}": "", "urn:uuid:" + id: "", strings.ReplaceAll(id, "-", ""): "",
			"x": ""},
		"object": {`{"a":1}`: `{"a":1}`, "{}": "{}", "[]": "", `{"a":}`: "", `"a"`: "", " {}": ""},
		"array":  {"[1]": "[1]", "[]": "[]", "{}": "", "[1": ""},
		"string": {"smash": `"smash"`, `'"=1"`: `"=1"`, `'""`: `""`, "=1": "", "'smash": "", `'"smash"`: "", `'"a"x`: "",
			"a\xff": "", `'""b""`: ""},
		"color": {"red": ""},
	} {
		for cell, want := range cells {
			raw, err := read(kind, cell)
			if want == "" && err == nil || want != "" && (err != nil || string(raw) != want) {
				t.Errorf("%s %q: %s, %v; want %q", kind, cell, raw, err, want)
			}
		}
	}
	if _, err := read("integer", strings.Repeat("x", 1000)); err == nil || len(err.Error()) > 120 {
		t.Errorf("a long cell is complained of at length: %v", err)
	}
}

// TestCellsOfALine: every row is one line of CSV (RFC 4180) with as many cells as columns.
func TestCellsOfALine(t *testing.T) {
	t.Parallel()
	for line, want := range map[string]string{"a,b": "a|b", `"a,b",c`: "a,b|c", `"a ""b""",`: `a "b"|`, ",": "|"} {
		if got, err := cellsOf(line, 2); err != nil || strings.Join(got, "|") != want {
			t.Errorf("%s: %q, %v; want %q", line, got, err, want)
		}
	}
	for line, says := range map[string]string{"": "empty", "a": "1 cells, 2 are columns", "a,b,c": "3 cells",
		`"a,b`:  "CSV",
		`a"b,c`: "CSV"} {
		if _, err := cellsOf(line, 2); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v, want %s", line, err, says)
		}
	}
}

// TestAtSaysWhereOnce: the innermost place is told, our own failures and a server that is gone
// are none of the file's.
func TestAtSaysWhereOnce(t *testing.T) {
	t.Parallel()
	inner := at("plays.csv", 7, tags.Fieldf(tags.Invalid, "down", "cannot be 5"))
	if inner.Error() != "plays.csv:7: down: cannot be 5" {
		t.Errorf("%v", inner)
	}
	if outer := at("games.csv", 1, inner); outer != inner {
		t.Errorf("told twice: %v", outer)
	}
	if e := tags.As(at("plays.csv", 7, bad("is no row"))); e == nil || e.Kind != tags.Invalid ||
		e.Msg != "plays.csv:7: is no row" {
		t.Errorf("%+v", e)
	}
	ours, gone := errors.New("disk"), tags.Errorf(tags.Unavailable, "later")
	if at("x", 1, ours) != ours || at("x", 1, gone) != gone || at("x", 1, nil) != nil {
		t.Error("a failure that is not the file's got a place in it")
	}
}

// TestManifests that are none of an export are refused in words.
func TestManifests(t *testing.T) {
	t.Parallel()
	const newest = 60
	good := func() manifest {
		var m manifest
		m.Overhang.Format, m.Overhang.Schema = format, newest-1
		m.Resources = []resource{{Name: "plays", Path: "plays.csv"}}
		return m
	}
	if m := good(); m.check(newest) != nil {
		t.Errorf("an older one with one table: %v", m.check(newest))
	}
	for says, change := range map[string]func(*manifest){
		"format":                  func(m *manifest) { m.Overhang.Format++ },
		"up to 60":                func(m *manifest) { m.Overhang.Schema = newest + 1 },
		"never exported":          func(m *manifest) { m.Overhang.Schema = 7 },
		"twice":                   func(m *manifest) { m.Resources = append(m.Resources, m.Resources[0]) },
		"no file of an export":    func(m *manifest) { m.Resources[0].Path = "../plays.csv" },
		`"plays" is no file`:      func(m *manifest) { m.Resources[0].Bytes = -1 },
		"of \"plays\" is no file": func(m *manifest) { m.Resources[0].Rows = -1 },
		"is no table":             func(m *manifest) { m.Resources[0].Name, m.Resources[0].Path = "people", "people.csv" },
		"is missing":              func(m *manifest) { m.Overhang.Schema = newest },
	} {
		m := good()
		if change(&m); m.check(newest) == nil || !strings.Contains(m.check(newest).Error(), says) {
			t.Errorf("%v; want %s", m.check(newest), says)
		}
	}
	for _, raw := range []string{"", "[]", `{"resources":{}}`, "{"} {
		if _, err := decodeManifest([]byte(raw)); err == nil || !strings.Contains(err.Error(), descriptor) {
			t.Errorf("%q: %v", raw, err)
		}
	}
}

// TestRowsAreChecked as what is sent to the API is, field by field, wherever they are kept.
func TestRowsAreChecked(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct{ table, row, field string }{
		"a game":                     {"games", `{"label":"G1"}`, ""},
		"a game without a label":     {"games", `{"label":""}`, "label"},
		"a game in week 99":          {"games", `{"label":"G1","week":99}`, "week"},
		"a week in words":            {"games", `{"label":"G1","week":"one"}`, "week"},
		"a word":                     {"words", `{"field":"concept","word":"Smash  Fade","folded":"smash fade"}`, ""},
		"a word folded otherwise":    {"words", `{"field":"concept","word":"Smash","folded":"Smash"}`, "folded"},
		"a call that is none":        {"calls", `{"name":"x","body":{"name":"x"}}`, "body"},
		"a plan nobody can read":     {"plans", `{"label":"x","content":[]}`, "content"},
		"a deleted game":             {"deleted_rows", `{"kind":"games","kept":{"label":"G1"}}`, ""},
		"a deleted game, broken":     {"deleted_rows", `{"kind":"games","kept":{"label":""}}`, "label"},
		"a deleted program":          {"deleted_rows", `{"kind":"programs","kept":{}}`, "kind"},
		"a deleted deletion":         {"deleted_rows", `{"kind":"deleted_rows","kept":{}}`, "kind"},
		"a deletion of no kind":      {"deleted_rows", `{"kind":"kings","kept":{}}`, "kind"},
		"history of a play that was": {"play_changes", `{"before":{"down":9},"after":null}`, ""},
		"history that is none":       {"play_changes", `{"before":{"down":"x"}}`, "Before.down"},
		"a table without a check":    {"nothing", `{"x":1}`, ""},
	} {
		err := check(tt.table, json.RawMessage(tt.row))
		e := tags.As(err)
		got := ""
		if e != nil && len(e.Fields) > 0 {
			got = e.Fields[0].Field
		}
		if (err == nil) != (tt.field == "") || !strings.EqualFold(got, tt.field) {
			t.Errorf("%s: %v names %q, want %q", name, err, got, tt.field)
		}
	}
}

// TestParquetValues: each kind as Parquet keeps it (times in microseconds since 1970, UTC), and
// what is none is an error, not a zero.
func TestParquetValues(t *testing.T) {
	t.Parallel()
	id := uuid.New()
	at := time.Date(2031, 9, 14, 18, 30, 0, 1000, time.UTC)
	for kind, tt := range map[string]struct {
		text string
		want parquet.Value
	}{"integer": {"-7", parquet.Int64Value(-7)}, "number": {"7.5", parquet.DoubleValue(7.5)},
		"boolean": {"true", parquet.BooleanValue(true)}, "string": {"é", parquet.ByteArrayValue([]byte("é"))},
		"object":   {`{"a":1}`, parquet.ByteArrayValue([]byte(`{"a":1}`))},
		"datetime": {"2031-09-14T20:30:00.000001+02:00", parquet.Int64Value(at.UnixMicro())},
		"uuid":     {id.String(), parquet.FixedLenByteArrayValue(id[:])}} {
		got, err := valueOf(kind, []byte(tt.text))
		if err != nil || !parquet.Equal(got, tt.want) {
			t.Errorf("%s %s: %v, %v; want %v", kind, tt.text, got, err, tt.want)
		}
		if none, err := valueOf(kind, nil); err != nil || !none.IsNull() {
			t.Errorf("%s, unknown: %v, %v", kind, none, err)
		}
		if kind == "string" || kind == "object" {
			continue
		}
		if got, err := valueOf(kind, []byte("x")); err == nil {
			t.Errorf("%s x: %v", kind, got)
		}
	}
}
