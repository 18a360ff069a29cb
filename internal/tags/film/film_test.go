package film

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/uuid"

	"overhang/internal/tags"
)

func ptr[T any](v T) *T { return &v }

// TestGrammar reads the fixtures of the standard's syntax.
// Source: W3C WebVTT, 4.1 (published.md section 6: SEEN; the fixtures are CALC from it).
func TestGrammar(t *testing.T) {
	const cue = "00:01.000 --> 00:02.000\n"
	for _, tt := range []struct {
		name, file string
		row        int    // of the first mistake, 0: the file is valid
		word       string // of its message
	}{
		{"nothing but a cue", "WEBVTT\n\n" + cue, 0, ""},
		{"a byte order mark, a title, CRLF", "\ufeffWEBVTT - plays\r\n\r\n00:01.000 --> 00:02.000\r\n", 0, ""},
		{"CR alone ends a line", "WEBVTT\r\r00:01.000 --> 00:02.000\r", 0, ""},
		{"a tab behind the magic", "WEBVTT\tplays\n\n" + cue, 0, ""},
		{"comments, a style and settings",
			"WEBVTT\n\nSTYLE\n::cue {}\n\nNOTE\nby hand\n\n7\n00:01.000 -->\t00:02.000 line:0 align:start\nsome text\n\nNOTE " +
				"end\n", 0, ""},
		// valid there, longer than a day of film here
		{"a hundred hours", "WEBVTT\n\n100:00:00.000 --> 100:00:01.000\n", 3, "86400"},
		{"cues may overlap and begin together", "WEBVTT\n\n" + cue + "\n00:01.000 --> 00:03.000\n", 0, ""},
		{"no magic", "WEBVTTX\n\n" + cue, 1, "WEBVTT"},
		{"no empty line behind the magic", "WEBVTT\n" + cue, 2, "empty line"},
		{"sixty minutes", "WEBVTT\n\n00:60:00.000 --> 00:60:01.000\n", 3, "00:60:00.000"},
		{"one digit of hours", "WEBVTT\n\n1:00:00.000 --> 1:00:01.000\n", 3, "1:00:00.000"},
		{"a comma", "WEBVTT\n\n00:01,000 --> 00:02,000\n", 3, "00:01,000"},
		{"no space beside the arrow", "WEBVTT\n\n00:01.000-->00:02.000\n", 3, "space"},
		{"an end that is not later", "WEBVTT\n\n00:02.000 --> 00:02.000\n", 3, "end_s"},
		{"a start before the one above", "WEBVTT\n\n00:05.000 --> 00:06.000\n\n" + cue, 5, "above"},
		{"an identifier without times", "WEBVTT\n\nfirst\nsecond\n\n" + cue, 3, "start --> end"},
		{"an arrow in a text", "WEBVTT\n\n" + cue + "a --> b\n", 4, "-->"},
		{"an identifier twice", "WEBVTT\n\n1\n" + cue + "\n1\n00:03.000 --> 00:04.000\n", 6, "line 3"},
		{"a style behind a cue", "WEBVTT\n\n" + cue + "\nSTYLE\n::cue {}\n", 5, "STYLE"},
		{"JSON that breaks off", "WEBVTT\n\n" + cue + "{\"number\":\n", 4, "JSON"},
		{"two numbers", "WEBVTT\n\n4\n" + cue + "{\"number\":5}\n", 5, "identifier"},
		{"a number of 0", "WEBVTT\n\n0\n" + cue, 4, "number"},
		{"not UTF-8", "WEBVTT\n\n" + cue + "\xff\n", 4, "UTF-8"},
		{"no cue", "WEBVTT\n\n", 0, "none"},
	} {
		list, err := ReadVTT(strings.NewReader(tt.file))
		e := tags.As(err)
		switch {
		case tt.word == "" && (err != nil || len(list.Clips) == 0):
			t.Errorf("%s: %v; want it read (W3C WebVTT, 4.1)", tt.name, err)
		case tt.word != "" && (e == nil || e.Fields[0].Row != tt.row || !strings.Contains(e.Fields[0].Field+e.Fields[0].Msg,
			tt.word)):
			t.Errorf("%s: %+v; want a mistake in row %d that says %q (W3C WebVTT, 4.1)", tt.name, err, tt.row, tt.word)
		}
	}
}

func TestReadVTT(t *testing.T) {
	list, err := ReadVTT(strings.NewReader("WEBVTT\n\n3\n00:01.500 --> 01:00:02.000\n\nother\n00:02.000 --> " +
		"00:03.000\n{\"number\": 4, \"angle\": \"end zone\", \"play\": {\"down\": 9}}\n\n00:02.000 --> 00:04.000\na kick\n"))
	if err != nil {
		t.Fatal(err)
	}
	if len(list.Clips) != 3 || list.Ignored != 1 {
		t.Fatalf("%+v; want three clips and one text ignored", list)
	}
	a, b, c := list.Clips[0], list.Clips[1], list.Clips[2]
	if a.StartS != 1.5 || a.EndS != 3602 || *a.Number != 3 || *b.Number != 4 || *b.Angle != "end zone" || c.Number != nil {
		t.Errorf("clips %+v", list.Clips)
	}
}

func TestReadCSV(t *testing.T) {
	list, err := ReadCSV(strings.NewReader("\xef\xbb\xbfnumber,start_s,end_s,angle\r\n12,75.5,1:24,\"end zone, " +
		"high\"\r\n,0:01:30.25,95,'=wide\r\n"))
	if err != nil {
		t.Fatal(err)
	}
	a, b := list.Clips[0], list.Clips[1]
	if a.StartS != 75.5 || a.EndS != 84 || *a.Number != 12 || *a.Angle != "end zone, high" || b.StartS != 90.25 ||
		b.Number != nil || *b.Angle != "=wide" {
		t.Errorf("clips %+v", list.Clips)
	}
	_, err = ReadCSV(strings.NewReader("start_s,end_s,number\n1,2,1\nx,4,2\n9,8,3\n5,6,0\n7\n1,2,4\n,3,5\n"))
	e := tags.As(err)
	if e == nil {
		t.Fatalf("%v; want every bad row named", err)
	}
	var rows []string
	for _, f := range e.Fields {
		rows = append(rows, fmt.Sprint(f.Row, " ", f.Field))
	}
	if got := strings.Join(rows, ", "); got != "3 start_s, 4 end_s, 5 number, 6 row, 7 start_s, 8 start_s" {
		t.Errorf("bad rows: %s", got)
	}
	for file, word := range map[string]string{"": "empty", "start_s\n1\n": "end_s", "start_s,end_s,color\n": "color",
		"start_s,end_s,end_s\n": "twice",
		"start_s,end_s\n":       "none", "start_s,end_s\n1,\"2\n": "quote", "start_s,end_s,angle\n1,2,\xff\n": "UTF-8"} {
		if _, err := ReadCSV(strings.NewReader(file)); tags.As(err) == nil || !strings.Contains(err.Error(), word) {
			t.Errorf("%q: %v; want a mistake that says %q", file, err, word)
		}
	}
}

// TestRoundTrip: what is written is read back the same, whatever stands in it.
func TestRoundTrip(t *testing.T) {
	cs := []tags.Clip{{StartS: 0, EndS: 0.0004, Number: ptr(1), Angle: ptr("a --> b & <c>")}, {StartS: 1.0010000000000001,
		EndS: 86400, Angle: ptr("+high")}, {StartS: 59.9996, EndS: 3661.25, Number: ptr(999)}}
	var cues []Cue
	for i := range cs {
		cs[i].ID = uuid.MustParse(fmt.Sprintf("018f2c3d-0000-7000-8000-00000000000%d", i))
		cues = append(cues, Cue{cs[i], &tags.Play{Number: 1, Note: ptr("<b>&\u2028-->\n")}})
	}
	var vtt, csv bytes.Buffer
	if err := WriteVTT(&vtt, cues); err != nil {
		t.Fatal(err)
	}
	got, err := ReadVTT(&vtt)
	if err != nil {
		t.Fatal(err)
	}
	// milliseconds are what the standard can say
	for i, want := range [][2]float64{{0, .001}, {1.001, 86400}, {60, 3661.25}} {
		g := got.Clips[i]
		n, a := fmt.Sprint(cs[i].Number == nil), fmt.Sprint(cs[i].Angle == nil)
		if g.StartS != want[0] || g.EndS != want[1] || fmt.Sprint(g.Number == nil) != n || fmt.Sprint(g.Angle == nil) != a ||
			g.Angle != nil && *g.Angle != *cs[i].Angle {
			t.Errorf("clip %d came back as %+v", i, g)
		}
	}
	if err := WriteCSV(&csv, cs); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(csv.String(), ",+high") {
		t.Error("a spreadsheet would run the angle +high as a formula")
	}
	got, err = ReadCSV(&csv)
	if err != nil {
		t.Fatal(err)
	}
	for i, g := range got.Clips {
		cs[i].ID = uuid.Nil
		a, _ := json.Marshal(cs[i])
		b, _ := json.Marshal(g)
		if !bytes.Equal(a, b) {
			t.Errorf("clip %d came back from CSV as %s, was %s", i, b, a)
		}
	}
}

// TestFolders tries to get out of an allowed folder, and into another program's.
func TestFolders(t *testing.T) {
	base := t.TempDir()
	ours, theirs := filepath.Join(base, "ours"), filepath.Join(base, "theirs")
	for _, d := range []string{ours, filepath.Join(ours, "week 1"), theirs} {
		os.Mkdir(d, 0o755)
	}
	for _, f := range []string{filepath.Join(ours, "a.mp4"), filepath.Join(ours, "week 1", "b.WEBM"),
		filepath.Join(ours, "plan.txt"), filepath.Join(theirs, "c.mp4")} {
		if err := os.WriteFile(f, []byte("film"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	os.Mkdir(filepath.Join(ours, "folder.mp4"), 0o755)
	for name, to := range map[string]string{"inside.mp4": "a.mp4", "out.mp4": "../theirs/c.mp4",
		"far.mp4": filepath.Join(theirs, "c.mp4"), "way": theirs, "loop.mp4": "loop.mp4"} {
		if err := os.Symlink(to, filepath.Join(ours, name)); err != nil {
			t.Fatal(err)
		}
	}
	var f Folders
	for _, flag := range []string{"ours=" + ours, "theirs=" + theirs} {
		if err := f.Allow(flag); err != nil {
			t.Fatal(err)
		}
	}
	for _, bad := range []string{"", ours, "=" + ours, "ours=", "ours=" + filepath.Join(base, "missing"),
		"ours=" + filepath.Join(ours, "a.mp4")} {
		if err := f.Allow(bad); err == nil {
			t.Errorf("flag %q was taken", bad)
		}
	}
	for _, tt := range []struct {
		program, location string
		kind              tags.Kind // 0: it opens
	}{
		{"ours", filepath.Join(ours, "a.mp4"), 0},
		{"ours", "a.mp4", 0},
		{"ours", "week 1/b.WEBM", 0},
		{"ours", "week 1/../a.mp4", 0},
		{"ours", "inside.mp4", 0},
		{"ours", "none.mp4", tags.NotFound},
		{"ours", "a.mp4/b.mp4", tags.NotFound},
		{"ours", "folder.mp4", tags.NotFound},
		{"ours", "loop.mp4", tags.NotFound},
		{"ours", strings.Repeat("x", 300) + ".mp4", tags.NotFound},
		{"ours", "a\x00.mp4", tags.NotFound},
		{"ours", "plan.txt", tags.Conflict},
		{"ours", "../theirs/c.mp4", tags.Conflict},
		{"ours", "week 1/../../theirs/c.mp4", tags.Conflict},
		{"ours", ours + "/../theirs/c.mp4", tags.Conflict},
		{"ours", "../theirs/none.mp4", tags.Conflict}, // the same answer whether or not it is there
		{"ours", filepath.Join(theirs, "c.mp4"), tags.Conflict},
		{"ours", "out.mp4", tags.Conflict},
		{"ours", "far.mp4", tags.Conflict},
		{"ours", "way/c.mp4", tags.Conflict},
		{"ours", "/etc/passwd", tags.Conflict},
		{"ours", "file:///etc/passwd", tags.Conflict},
		{"ours", "http://127.0.0.1/a.mp4", tags.Conflict},
		{"theirs", filepath.Join(ours, "a.mp4"), tags.Conflict},
		{"theirs", "a.mp4", tags.NotFound},
		{"nobody", "a.mp4", tags.Conflict},
	} {
		r, err := f.Open(tt.program, tt.location)
		if err == nil {
			r.Close()
		}
		if e := tags.As(err); tt.kind == 0 && err != nil || tt.kind != 0 && (e == nil || e.Kind != tt.kind) {
			t.Errorf("%s opens %q: %v; want kind %d", tt.program, tt.location, err, tt.kind)
		}
	}
}

func FuzzReadVTT(f *testing.F) {
	for _, seed := range []string{"WEBVTT\n\n1\n00:01.000 --> 00:02.000\n{\"number\":1}\n",
		"\ufeffWEBVTT x\r\rNOTE\r\r00:01.000 --> 00:02.000", "WEBVTT\n\n-->\n", "WEBVTT\n\nSTYLE\n\nREGION\n", ""} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, file string) {
		checkList(t, file, func() (*List, error) { return ReadVTT(strings.NewReader(file)) })
	})
}

func FuzzReadCSV(f *testing.F) {
	for _, seed := range []string{"start_s,end_s,number,angle\n1,2,3,wide\n", "start_s,end_s\n1:00,1:00:01.5\n",
		"start_s,end_s\n\"1,2", "\xef\xbb\xbfend_s,start_s\r\n,\r\n", ""} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, file string) {
		checkList(t, file, func() (*List, error) { return ReadCSV(strings.NewReader(file)) })
	})
}

// checkList: a list is either refused with a reason for each place, or all of
// it can be stored, and it comes back the same through both forms.
func checkList(t *testing.T, file string, read func() (*List, error)) {
	list, err := read()
	if err != nil {
		e := tags.As(err)
		if e == nil || len(e.Fields) == 0 {
			t.Fatalf("%q: refused without a reason: %v", file, err)
		}
		for _, f := range e.Fields {
			if f.Field == "" || f.Msg == "" || f.Row < 0 {
				t.Fatalf("%q: a mistake without a place or a reason: %+v", file, f)
			}
		}
		return
	}
	for i := range list.Clips {
		if err := list.Clips[i].Validate(); err != nil {
			t.Fatalf("%q passed, but %v", file, err)
		}
	}
	var csv bytes.Buffer
	if err := WriteCSV(&csv, list.Clips); err != nil {
		t.Fatal(err)
	}
	again, err := ReadCSV(&csv)
	if err != nil {
		t.Fatalf("%q: what was written cannot be read: %v", file, err)
	}
	for i := range list.Clips {
		if again.Clips[i].StartS != list.Clips[i].StartS || again.Clips[i].EndS != list.Clips[i].EndS {
			t.Fatalf("%q: clip %d came back as %+v", file, i, again.Clips[i])
		}
	}
}
