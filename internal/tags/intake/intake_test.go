package intake

import (
	"context"
	"strings"
	"testing"

	"overhang/internal/tags"
)

const simple = `
new_words: add
opponent: {column: opp}
game: {constant: w1}
fields:
  number: {column: no}
  down: {column: dn}
  called: {cases: [{when: {kind: r}, is: run}], column: kind, words: {p: pass}}
routes:
  - {side: {constant: left}, number: {constant: "1"}, eligible: {constant: receiver}, route: {column: x}, break_depth_yd: {column: xd}}
`

func mapping(t testing.TB, text string) *Mapping {
	t.Helper()
	m, err := ReadMapping(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// readAll holds all that is read of a file: its good records, as they would be stored, and its bad rows.
func readAll(text string, m *Mapping) (f File, err error) {
	in, err := Check(context.Background(), strings.NewReader(text), m, tags.NewVocabulary(nil), func(b BadRow) {
		f.Bad = append(f.Bad, b)
	}, func(int) {})
	if err != nil {
		return f, err
	}
	bad := in.Bad
	_, err = in.each(context.Background(), nil, func(rows []mappedRow, _ int64) error {
		for i := range rows {
			if len(bad) > 0 && bad[0] == rows[i].Line {
				bad = bad[1:]
				continue
			}
			f.Records = append(f.Records, rows[i].Record)
		}
		return nil
	})
	return f, err
}

// TestRFC4180 reads the records of RFC 4180, section 2: quoted commas, doubled
// quotes and line breaks belong to a field; CRLF and LF both end a record.
func TestRFC4180(t *testing.T) {
	file := "\xef\xbb\xbfopp,no,dn,kind,x,xd\r\n\"a, b\",1,3,r,,\r\n\"say " +
		"\"\"hi\"\"\",2,,p,hitch,5.5\r\n\"two\r\nlines\",3,1.0,r,,\n"
	f, err := readAll(file, mapping(t, simple))
	if err != nil || len(f.Bad) > 0 || len(f.Records) != 3 {
		t.Fatalf("%v, bad %+v, %d records", err, f.Bad, len(f.Records))
	}
	for i, want := range []string{"a, b", `say "hi"`, "two\nlines"} { // encoding/csv makes CRLF inside a field LF
		if got := f.Records[i].Opponent; got != want {
			t.Errorf("record %d: opponent %q, want %q", i+1, got, want)
		}
	}
	second := f.Records[1].Play
	if second.Down != nil || *second.Called != "pass" || len(second.Routes) != 1 || *second.Routes[0].BreakDepthYd != 5.5 {
		t.Errorf("second record: %+v; want no down, a pass, a hitch at 5.5", second)
	}
	if third := f.Records[2].Play; *third.Down != 1 || *third.Called != "run" || len(third.Routes) != 0 {
		t.Errorf("third record: %+v; want a first-down run without routes", third)
	}
}

func TestMappingRefusals(t *testing.T) {
	for text, word := range map[string]string{
		"opponent: {column: a}\ngame: {column: b}\nfields: {dwon: {column: c}}": "dwon",
		"opponent: {column: a}\ngame: {column: b}\ncolor: red":                  "color",
		"game: {column: b}": "opponent",
		"opponent: {column: a}\ngame: {column: b}\nnew_words: maybe":                     "new_words",
		"opponent: {column: a}\ngame: {column: b}\nroutes: [{depth: {constant: \"1\"}}]": "depth",
		"opponent: [": "mapping",
	} {
		if _, err := ReadMapping(strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), word) {
			t.Errorf("%q: %v; want an error that names %q", text, err, word)
		}
	}
}

// TestOurs: a sheet may say which games were ours; a word that is neither yes nor no
// names its field.
func TestOurs(t *testing.T) {
	m := mapping(t, strings.Replace(simple, "fields:", "ours: {column: who, words: {us: \"yes\"}}\nfields:", 1))
	f, err := readAll("opp,no,dn,kind,x,xd,who\nA,1,1,r,,,us\nA,2,1,r,,,\nA,3,1,r,,,no\nA,4,1,r,,,them\n",
		m)
	if err != nil || len(f.Records) != 3 || !f.Records[0].Game.Ours || f.Records[1].Game.Ours || f.Records[2].Game.Ours {
		t.Fatalf("%v, %+v", err, f.Records)
	}
	if len(f.Bad) != 1 || f.Bad[0].Line != 5 || f.Bad[0].Fields[0].Field != "ours" {
		t.Errorf("bad rows %+v; want line 5, ours", f.Bad)
	}
}

// FuzzRead: whatever the file, no panic; every row is a record or a bad row
// with a line and a field.
func FuzzRead(f *testing.F) {
	m := mapping(f, simple)
	for _, seed := range []string{"opp,no,dn,kind,x,xd\nA,1,2,r,go,\n", "opp,no,dn,kind,x,xd\n\"A", "", "opp\n",
		"opp,no,dn,kind,x,xd\nA,1,9,q,,x\nA,,,,,,,\n", "\xef\xbb\xbf"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, file string) {
		got, err := readAll(file, m)
		if err != nil {
			return
		}
		for _, b := range got.Bad {
			if b.Line < 2 || len(b.Fields) == 0 || b.Fields[0].Field == "" || b.Fields[0].Msg == "" {
				t.Fatalf("a bad row without a place or a reason: %+v", b)
			}
		}
		for _, r := range got.Records {
			if err := r.Play.Validate(); err != nil {
				t.Fatalf("line %d passed but %v", r.Line, err)
			}
		}
	})
}

func FuzzMapping(f *testing.F) {
	f.Add(simple)
	f.Add("a: *b")
	f.Fuzz(func(t *testing.T, text string) { ReadMapping(strings.NewReader(text)) })
}
