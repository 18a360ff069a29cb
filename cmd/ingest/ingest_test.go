package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"overhang/internal/cli"
)

// in writes a file and returns its name.
func in(t *testing.T, name, content string) string {
	t.Helper()
	f := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(f, []byte(content), 0o600); err != nil {
		t.Fatal(err)
	}
	return f
}

// TestParse: what the flags mean, and which of them cannot be.
func TestParse(t *testing.T) {
	t.Parallel()
	o, files, err := parse([]string{"-program", "us", "-level", "college", "-opponent", "K", "-season", "31", "-game",
		"G1",
		"-ours", "-tab", "a", "-tab", "b", "-column", "D=down", "-column", "X=", "-word", "concept:SM=smash", "-keep-good",
		"-bad", "b.csv", "-dry-run", "x.csv", "y.csv"}, io.Discard)
	if err != nil {
		t.Fatal(err)
	}
	a := o.answers
	if o.program != "us" || o.level != "college" || a.Opponent != "K" || a.Season != "31" || a.Game != "G1" || !a.Ours ||
		strings.Join(a.Tabs, " ") != "a b" || a.Columns["D"] != "down" || !o.keepGood || !o.dryRun || o.bad != "b.csv" ||
		strings.Join(files, " ") != "x.csv y.csv" || o.badFile("x.csv") != "b.csv" {
		t.Errorf("%+v of %v", o, files)
	}
	if left, ok := a.Columns["X"]; !ok || left != "" || a.Words["concept:SM"] != "smash" {
		t.Errorf("columns %v, words %v", a.Columns, a.Words)
	}
	if o, _, err = parse([]string{"x.csv"}, io.Discard); err != nil || o.program != "demo" || o.level != "high_school" ||
		o.badFile("x.csv") != "x.csv.bad.csv" {
		t.Errorf("without flags: %+v, %v", o, err)
	}
	for name, args := range map[string][]string{"a flag there is not": {"-nosuch"}, "a column without =": {"-column",
		"down"},
		"a word without =": {"-word", "smash"}, "a level there is not": {"-level", "sandlot"},
		"a code with a blank": {"-program", "our staff"}, "a code in capitals": {"-program", "US"}} {
		if _, _, err := parse(args, io.Discard); err == nil {
			t.Errorf("%s is taken", name)
		}
	}
}

// TestEveryFlagIsKnownTwice: what help lists the parser takes.
func TestEveryFlagIsKnownTwice(t *testing.T) {
	t.Parallel()
	for _, c := range commands.Commands {
		for _, f := range c.Flags {
			args := []string{"-" + f.Name}
			switch {
			case f.Name == "column":
				args = append(args, "a=b")
			case f.Name == "word":
				args = append(args, "concept:a=b")
			case f.Name == "level":
				args = append(args, "college")
			case f.Value != "":
				args = append(args, "x")
			}
			if _, _, err := parse(args, io.Discard); err != nil {
				t.Errorf("-%s is listed: %v", f.Name, err)
			}
		}
	}
}

// TestRefusedBeforeADatabaseStarts: none can be started here; what is wrong with a command line
// ends it with 2, a file that is not there with 1, in words.
func TestRefusedBeforeADatabaseStarts(t *testing.T) {
	t.Setenv("OVERHANG_DATABASE_URL", "")
	t.Setenv("OVERHANG_POSTGRES_BIN", t.TempDir())
	sheet := in(t, "plays.csv", "Down,Distance\n1,10\n")
	none := filepath.Join(t.TempDir(), "none.csv")
	for name, tt := range map[string]struct {
		args []string
		code int
		says string
	}{
		"no file":                     {nil, 2, "name at least one file"},
		"a file that is not there":    {[]string{none}, 1, none},
		"the second is not there":     {[]string{sheet, none}, 1, none},
		"a mapping that is not there": {[]string{"-map", none, sheet}, 1, none},
		"a level there is not":        {[]string{"-level", "sandlot", sheet}, 2, "sandlot"},
		"no place for bad rows": {[]string{"-keep-good", "-bad", filepath.Join(none, "b.csv"), sheet}, 2,
			"nothing was saved"},
		"no place, but nothing kept": {[]string{"-keep-good", "-dry-run", "-bad", filepath.Join(none, "b.csv"), sheet}, 2,
			"OVERHANG_POSTGRES_BIN"},
		"no database": {[]string{sheet}, 2, "OVERHANG_POSTGRES_BIN"},
	} {
		var out, errs bytes.Buffer
		if code := run(context.Background(), tt.args, &out, &errs); code != tt.code || !strings.Contains(errs.String(),
			tt.says) ||
			out.Len() > 0 {
			t.Errorf("%s: %d, %q, %q; want %d and %q", name, code, out.String(), errs.String(), tt.code, tt.says)
		}
	}
}

// TestRegularFilesAreReadTwice; what comes out of a pipe is put by whole, and leaves no file.
func TestRegularFilesAreReadTwice(t *testing.T) {
	t.Parallel()
	name := in(t, "plays.csv", "abc")
	pipe := filepath.Join(t.TempDir(), "pipe")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	go func() { os.WriteFile(pipe, []byte("abcdef"), 0) }()
	for path, want := range map[string]string{name: "abc", pipe: "abcdef"} {
		f, size, err := regular(path)
		if err != nil || size != len(want) {
			t.Fatalf("%s: %d bytes, %v; want %d", path, size, err, len(want))
		}
		for range 2 {
			if _, err := f.Seek(0, io.SeekStart); err != nil {
				t.Fatal(err)
			}
			if raw, err := io.ReadAll(f); err != nil || string(raw) != want {
				t.Errorf("%s: %q, %v; want %q", path, raw, err, want)
			}
		}
		f.Close()
	}
	if _, _, err := regular(name + "x"); !os.IsNotExist(err) {
		t.Errorf("a file that is not there: %v", err)
	}
}

// TestMappingNamesItsFile when it cannot be read.
func TestMappingNamesItsFile(t *testing.T) {
	t.Parallel()
	if m, err := mapping("mappings/open-plays.yaml"); err != nil || m == nil {
		t.Errorf("our own: %v", err)
	}
	bad := in(t, "m.yaml", "columns: [\n")
	if _, err := mapping(bad); err == nil || !strings.Contains(err.Error(), bad) {
		t.Errorf("a broken one: %v", err)
	}
	if _, err := mapping(bad + "x"); !os.IsNotExist(err) {
		t.Errorf("none: %v", err)
	}
}

// TestFailed: an interruption ends as shells have it, 130, and says that nothing is saved.
func TestFailed(t *testing.T) {
	t.Parallel()
	gone, leave := context.WithCancel(context.Background())
	leave()
	for _, tt := range []struct {
		ctx  context.Context
		code int
		says string
	}{{gone, cli.Interrupted, "interrupted; x: nothing"}, {context.Background(), 2,
		"ingest: x: the disk is full\nAll of a file"}} {
		var errs bytes.Buffer
		if code := (&job{errs: &errs}).failed(tt.ctx, "x: ", errors.New("the disk is full")); code != tt.code ||
			!strings.Contains(errs.String(), tt.says) {
			t.Errorf("%d, %q; want %d, %q", code, errs.String(), tt.code, tt.says)
		}
	}
}

// TestBadRowsAreKept beside the file, and a place that cannot be written is said.
func TestBadRowsAreKept(t *testing.T) {
	t.Parallel()
	sheet := in(t, "plays.csv", "")
	rows := &incoming{bad: 3, writeBad: func(w io.Writer) error { _, err := io.WriteString(w, "a,b\n"); return err }}
	var errs bytes.Buffer
	if code := (&job{errs: &errs}).keepBad(sheet, rows); code != 1 || !strings.Contains(errs.String(),
		"3 bad rows were not saved") {
		t.Errorf("%d, %q", code, errs.String())
	}
	if raw, err := os.ReadFile(sheet + ".bad.csv"); err != nil || string(raw) != "a,b\n" {
		t.Errorf("%q, %v", raw, err)
	}
	errs.Reset()
	if code := (&job{options: options{bad: filepath.Join(sheet, "x")}, errs: &errs}).keepBad(sheet, rows); code != 2 {
		t.Errorf("no place: %d, %q", code, errs.String())
	}
	rows.writeBad = func(io.Writer) error { return errors.New("the disk is full") }
	if code := (&job{errs: &errs}).keepBad(sheet, rows); code != 2 || !strings.Contains(errs.String(),
		"the disk is full") {
		t.Errorf("a full disk: %d, %q", code, errs.String())
	}
}
