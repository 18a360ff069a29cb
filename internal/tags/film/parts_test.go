package film

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"pgregory.net/rapid"

	"overhang/internal/tags"
)

// TestSeconds: a number, or minutes and seconds, or hours too; nothing else is a time.
func TestSeconds(t *testing.T) {
	t.Parallel()
	for s, want := range map[string]float64{"0": 0, "75.5": 75.5, "1:15.5": 75.5, "0:01:15.5": 75.5, "100:00": 6000,
		"999:59": 59999, "1:00:00": 3600, "01:02:03.25": 3723.25, "23:59:59.999999999": 86399.999999999, "-1": -1,
		"1e3": 1000} {
		if got, err := seconds(s); err != nil || math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: %v, %v; want %v", s, got, err, want)
		}
	}
	for _, s := range []string{"", "NaN", "Inf", "-Inf", "1:60", "1:5", "1:2:3", "1:60:00", "1:99:00", ":30", "1:",
		"1:15,5",
		"1000:00", "100:00:00", "-1:00", "1:15.", "ten", "1 :15", "1:15.1234567890"} {
		if got, err := seconds(s); err == nil {
			t.Errorf("%q is %v", s, got)
		}
	}
}

// TestStampsComeBack: a time to the millisecond is written as WebVTT has it (W3C WebVTT, 4.1:
// at least two digits of hours, three of milliseconds) and reads back.
func TestStampsComeBack(t *testing.T) {
	t.Parallel()
	for ms, want := range map[float64]string{0: "00:00:00.000", 999: "00:00:00.999", 60_000: "00:01:00.000",
		3_723_250: "01:02:03.250", 360_000_000: "100:00:00.000"} {
		if got := stamp(ms); got != want {
			t.Errorf("%v ms: %s, want %s", ms, got, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		start := float64(rapid.IntRange(0, 86_000_000).Draw(t, "start")) / 1000
		last := rapid.Float64Range(0, 300).Draw(t, "last")
		n := rapid.IntRange(1, 300).Draw(t, "number")
		var b bytes.Buffer
		c := tags.Clip{StartS: start, EndS: start + last, Number: &n}
		if err := WriteVTT(&b, []Cue{{Clip: c}}); err != nil {
			t.Fatal(err)
		}
		list, err := ReadVTT(&b)
		if err != nil || len(list.Clips) != 1 {
			t.Fatalf("%v: %s", err, b.String())
		}
		got := list.Clips[0]
		if math.Abs(got.StartS-start) > 1e-9 || math.Abs(got.EndS-max(start+last, start+.001)) > .00051 || *got.Number != n {
			t.Fatalf("%v to %v came back as %v to %v, number %d", start, start+last, got.StartS, got.EndS, *got.Number)
		}
	})
}

// TestRowsOfAClipList: each mistake with its line and its column, all of them at once.
func TestRowsOfAClipList(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct{ file, wrong string }{
		"the smallest":              {"start_s,end_s\n1,2\n", ""},
		"other columns, any order":  {"angle,end_s,number,start_s\nend zone,0:02,4,0:01\n", ""},
		"blanks around, CRLF":       {" start_s , end_s \r\n 1 , 2 \r\n", ""},
		"a mark before it":          {"\ufeffstart_s,end_s\n1,2\n", ""},
		"an empty number":           {"start_s,end_s,number\n1,2,\n", ""},
		"nothing":                   {"", "1 header"},
		"a header alone":            {"start_s,end_s\n", "0 clips"},
		"a column that is missing":  {"start_s,number\n1,2\n", "1 header"},
		"a column nobody knows":     {"start_s,end_s,down\n1,2,3\n", "1 header"},
		"a column twice":            {"start_s,end_s,end_s\n1,2,2\n", "1 header"},
		"a cell too few":            {"start_s,end_s\n1\n3,4\n", "2 row"},
		"a cell too many":           {"start_s,end_s\n1,2,3\n", "2 row"},
		"an empty start":            {"start_s,end_s\n,2\n", "2 start_s"},
		"an end in words":           {"start_s,end_s\n1,later\n", "2 end_s"},
		"an end before the start":   {"start_s,end_s\n2,1\n", "2 end_s"},
		"a start before the film":   {"start_s,end_s\n-1,1\n", "2 start_s"},
		"half a snap":               {"start_s,end_s,number\n1,2,1.5\n", "2 number"},
		"no UTF-8":                  {"start_s,end_s,angle\n1,2,\xff\n", "2 angle"},
		"a quote left open":         {"start_s,end_s\n1,2\n\"3,4\n", "3 row"},
		"the same clip twice":       {"start_s,end_s\n1,2\n3,4\n1,2\n", "4 start_s"},
		"mistakes in several rows":  {"start_s,end_s\nx,2\n1,2\n3,y\n", "2 start_s 4 end_s"},
		"both cells of a row":       {"start_s,end_s\nx,y\n", "2 start_s 2 end_s"},
		"a row behind a line break": {"start_s,end_s,angle\n1,2,\"a\nb\"\nx,2,c\n", "2 angle 4 start_s"},
	} {
		list, err := ReadCSV(strings.NewReader(tt.file))
		var wrong []string
		if e := tags.As(err); e != nil {
			for _, f := range e.Fields {
				wrong = append(wrong, fmt.Sprint(f.Row, " ", f.Field))
			}
		}
		if got := strings.Join(wrong, " "); got != tt.wrong || (tt.wrong == "") != (err == nil && len(list.Clips) == 1) {
			t.Errorf("%s: %q (%v), want %q", name, got, err, tt.wrong)
		}
	}
}

// TestNoMoreMistakesThanAreRead: a file that is no clip list at all is not complained of row by
// row, and no list is longer than many games.
func TestNoMoreMistakesThanAreRead(t *testing.T) {
	t.Parallel()
	_, err := ReadCSV(strings.NewReader("start_s,end_s\n" + strings.Repeat("x,y\n", 1000)))
	if e := tags.As(err); e == nil || len(e.Fields) != maxBad {
		t.Errorf("%d mistakes are listed, want %d", len(e.Fields), maxBad)
	}
	var b strings.Builder
	b.WriteString("start_s,end_s\n")
	for i := range MaxClips + 1 {
		fmt.Fprintf(&b, "%d,%d\n", i, i+1)
	}
	_, err = ReadCSV(strings.NewReader(b.String()))
	if e := tags.As(err); e == nil || e.Fields[0].Field != "clips" || !strings.Contains(e.Fields[0].Msg, "at most 5000") {
		t.Errorf("one clip too many: %v", err)
	}
	whole := strings.TrimSuffix(b.String(), fmt.Sprintf("%d,%d\n", MaxClips, MaxClips+1))
	if list, err := ReadCSV(strings.NewReader(whole)); err != nil || len(list.Clips) != MaxClips {
		t.Errorf("as many as may be: %v", err)
	}
}

// TestAllowNeedsAProgramAndAFolder: a form that is another, or a folder that cannot be opened,
// is refused when the server starts.
func TestAllowNeedsAProgramAndAFolder(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	file := filepath.Join(dir, "f")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for flag, ok := range map[string]bool{"us=" + dir: true, "us=" + dir + "/": true, "us": false, "=" + dir: false,
		"us=": false,
		"":    false, "us=" + file: false, "us=" + filepath.Join(dir, "none"): false} {
		var f Folders
		if err := f.Allow(flag); (err == nil) != ok {
			t.Errorf("%q: %v", flag, err)
		}
	}
}

// TestOnlyFilmsAreOpened: a file of a kind that is served, of this program, and no folder, no
// pipe that would be waited for, no address.
func TestOnlyFilmsAreOpened(t *testing.T) {
	t.Parallel()
	dir, theirs := t.TempDir(), t.TempDir()
	for _, name := range []string{"a.mp4", "B.MOV", "notes.txt", "none"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(name), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(theirs, "t.mp4"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(dir, "folder.mp4"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Mkfifo(filepath.Join(dir, "pipe.mp4"), 0o600); err != nil {
		t.Fatal(err)
	}
	var f Folders
	for _, flag := range []string{"us=" + dir, "them=" + theirs} {
		if err := f.Allow(flag); err != nil {
			t.Fatal(err)
		}
	}
	done := make(chan struct{})
	go func() {
		defer close(done)
		for location, want := range map[string]tags.Kind{"a.mp4": 0, "B.MOV": 0, filepath.Join(dir, "a.mp4"): 0,
			"notes.txt": tags.Conflict, "none": tags.Conflict, "missing.mp4": tags.NotFound, "folder.mp4": tags.NotFound,
			"pipe.mp4": tags.NotFound, "a.mp4/x.mp4": tags.NotFound, "https://x.example/a.mp4": tags.Conflict,
			"../" + filepath.Base(theirs) + "/t.mp4": tags.Conflict, filepath.Join(theirs, "t.mp4"): tags.Conflict,
			strings.Repeat("x", 300) + ".mp4": tags.NotFound, "": tags.Conflict} {
			r, err := f.Open("us", location)
			kind := tags.Kind(0)
			if e := tags.As(err); e != nil {
				kind = e.Kind
			}
			if kind != want || (err == nil) != (want == 0) {
				t.Errorf("%.60q: %v, want kind %d", location, err, want)
			}
			if r != nil {
				r.Close()
			}
		}
		if _, err := f.Open("nobody", "a.mp4"); tags.As(err) == nil {
			t.Errorf("a program without folders: %v", err)
		}
	}()
	select {
	case <-done:
	case <-time.After(30 * time.Second):
		t.Fatal("a pipe was waited for")
	}
}

// TestRemote: what has a scheme is an address (RFC 3986, 3.1), a path with a colon is none.
func TestRemote(t *testing.T) {
	t.Parallel()
	for location, want := range map[string]bool{"https://x.example/a.mp4": true, "file:///a.mp4": true, "/a.mp4": false,
		"C:/a.mp4": false, "week 1: home.mp4": false, "": false} {
		if Remote(location) != want {
			t.Errorf("%q: %v, want %v", location, !want, want)
		}
	}
}
