package archive_test

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres/postgrestest"
)

// A spoiler changes an export: the files as they are, or the entries of a zip.
type spoiler struct {
	name string
	file func(map[string]string)          // changes files; the descriptor is made to fit again
	raw  func(map[string]string)          // changes files and leaves the descriptor
	zip  func(z *zip.Writer, name string) // writes more entries at the end
	says string
}

// fit makes the descriptor say what the files are.
func fit(fs map[string]string) {
	var m map[string]any
	json.Unmarshal([]byte(fs["datapackage.json"]), &m)
	for _, x := range m["resources"].([]any) {
		r := x.(map[string]any)
		raw := fs[r["path"].(string)]
		sum := sha256.Sum256([]byte(raw))
		r["bytes"], r["rows"], r["hash"] = len(raw), strings.Count(raw, "\n")-1, "sha256:"+hex.EncodeToString(sum[:])
	}
	out, _ := json.Marshal(m)
	fs["datapackage.json"] = string(out)
}

func pack(t testing.TB, fs map[string]string, more func(*zip.Writer, string)) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range slices.Sorted(maps.Keys(fs)) {
		w, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		io.WriteString(w, fs[name])
	}
	if more != nil {
		more(z, "plays.csv")
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func replaced(file, old, with string) func(map[string]string) {
	return func(fs map[string]string) { fs[file] = strings.Replace(fs[file], old, with, 1) }
}

// entry adds one to the zip.
func entry(name string) func(*zip.Writer, string) {
	return func(z *zip.Writer, _ string) {
		w, _ := z.Create(name)
		io.WriteString(w, "x")
	}
}

// TestRefusals: whatever is wrong with a file, it is said, with the line where it is
// one, and nothing of it is stored.
func TestRefusals(t *testing.T) {
	address := postgrestest.URL(t)
	s := open(t, address)
	busy(t, s, "busy")
	whole := export(t, s, "busy")
	c, err := pgx.Connect(t.Context(), address)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close(t.Context())
	count := func() (n int) {
		for _, table := range []string{"programs", "plays", "play_changes", "deletions", "words"} {
			var one int
			if err := c.QueryRow(t.Context(), "SELECT count(*) FROM "+table).Scan(&one); err != nil {
				t.Fatal(err)
			}
			n += one
		}
		return n
	}
	lines := strings.Split(files(t, whole)["plays.csv"], "\r\n")
	play := strings.Split(lines[3], ",") // the third of the file, on line 4
	before := count()
	for _, x := range []spoiler{
		{name: "a changed file", raw: replaced("plays.csv", "counted", "kneel"), says: "plays.csv has"},
		{name: "a changed file of the same length", raw: replaced("plays.csv", "smash", "smush"),
			says: "plays.csv is not the file that was exported: its SHA-256 is"},
		{name: "fewer rows than said", raw: func(fs map[string]string) {
			fit(fs)
			replaced("datapackage.json", `"rows":2,`,
				`"rows":3,`)(fs)
		}, says: "rows, datapackage.json says 3"},
		{name: "a missing file", raw: func(fs map[string]string) { delete(fs, "clips.csv") }, says: "clips.csv is not in it"},
		{name: "a missing table", file: func(fs map[string]string) {
			fs["datapackage.json"] = strings.Replace(fs["datapackage.json"], `"name": "clips"`, `"name": "clips2"`, 1)
		}, says: "clips2"},
		{name: "no descriptor", raw: func(fs map[string]string) { delete(fs, "datapackage.json") },
			says: "datapackage.json is not in it"},
		{name: "a descriptor that is none", raw: func(fs map[string]string) { fs["datapackage.json"] = "[]" },
			says: "datapackage.json is not JSON of the right form"},
		{name: "a newer schema", raw: replaced("datapackage.json", `"schema": `, `"schema": 99`),
			says: "import it with a newer one"},
		{name: "another format", raw: replaced("datapackage.json", `"format": 1`, `"format": 2`), says: "format 2"},
		{name: "a path that leaves", zip: entry("../../etc/passwd"), says: `"../../etc/passwd" is no file of an export`},
		{name: "an absolute path", zip: entry("/etc/passwd"), says: "is no file of an export"},
		{name: "a file beside", zip: entry("people.csv"), says: `"people.csv" is no file of an export`},
		{name: "a folder", zip: entry("plays/"), says: "is no file of an export"},
		{name: "a file twice", zip: entry("plays.csv"), says: `"plays.csv" is in it twice`},
		{name: "very many files", zip: func(z *zip.Writer, _ string) {
			for i := range 100 {
				entry(fmt.Sprint(i))(z, "")
			}
		}, says: "files, at most"},
		{name: "a file that is not what it says it is", raw: replaced("datapackage.json", `"path": "plays.csv"`,
			`"path": "../plays.csv"`), says: "is no file of an export"},
		{name: "a number that is none", file: replaced("plays.csv", ",counted,", ",counted,x"),
			says: "plays.csv:2: quarter: "},
		{name: "a word that is not allowed", file: replaced("plays.csv", ",counted,", ",perhaps,"),
			says: "plays.csv:2: status: "},
		{name: "too few cells", file: replaced("plays.csv", ",counted,", ","), says: "plays.csv:2: has "},
		{name: "a quote that does not end", file: replaced("plays.csv", ",counted,", `,"counted,`),
			says: "plays.csv:2: is no line of CSV"},
		{name: "an empty line", file: replaced("plays.csv", "\r\n", "\r\n\r\n"), says: "plays.csv:2: is empty"},
		{name: "not UTF-8", file: replaced("plays.csv", ",counted,", ",count\xffed,"),
			says: "plays.csv:2: status: is not UTF-8"},
		{name: "a formula", file: replaced("opponents.csv", `o1`, `=o1`),
			says: "opponents.csv:2: code: \"=o1\" is not written as README.txt says"},
		{name: "an apostrophe with nothing behind", file: replaced("opponents.csv", `o1`, `'o1`),
			says: "no JSON string behind it"},
		{name: "a NUL character", file: replaced("opponents.csv", `o1`, `"'""=\u0000"""`), says: "opponents.csv:2: "},
		{name: "the same play twice", file: func(fs map[string]string) { fs["plays.csv"] += lines[3] + "\r\n" },
			says: fmt.Sprintf("plays.csv:%d: ", len(lines))},
		{name: "a play of no game", file: replaced("plays.csv", play[3], "018f2c3d-0000-7000-8000-000000000000"),
			says: "plays.csv:2: game_id: does not exist"},
		{name: "a column of no table", file: func(fs map[string]string) {
			fs["plays.csv"] = strings.Replace(fs["plays.csv"], ",status,", ",mood,", 1)
		}, says: `plays.csv:1: "mood" is no column`},
		{name: "a column twice", file: func(fs map[string]string) {
			fs["plays.csv"] = strings.Replace(fs["plays.csv"], ",status,", ",number,", 1)
		}, says: `plays.csv:1: "number" is no column`},
		{name: "a call the engine cannot play", file: replaced("calls.csv", `""defenders""`, `""offenders""`),
			says: "calls.csv:2: body: "},
		{name: "a plan with a share that is none", file: replaced("plans.csv", `""share"": 0.7`, `""share"": 7`),
			says: "plans.csv:2: content.situations[0].choice.calls[0].share: 7 is not from 0 to 1"},
		{name: "a plan whose prediction is not whole", file: replaced("plans.csv",
			`""stress_by_concept"": [0.3333333333333333]`, `""stress_by_concept"": []`),
			says: "plans.csv:2: content.situations[0].calls[0].stress_by_concept"},
		{name: "settings that are none", file: replaced("programs.csv", `""distance_bands""`, `""bands""`),
			says: "programs.csv:2: "},
		{name: "a word that is found by another", file: replaced("words.csv", ",smash,,smash,", ",smash,,smush,"),
			says: "words.csv:"},
		{name: "a deleted row of another kind", file: replaced("deleted_rows.csv", ",plays,", ",people,"), says: "kind: "},
		{name: "a deleted row that could not be restored", file: replaced("deleted_rows.csv", `""number"": `,
			`""number"": 1000`), says: "deleted_rows.csv:"},
		{name: "two programs", file: func(fs map[string]string) {
			fs["programs.csv"] += strings.Split(fs["programs.csv"], "\r\n")[1] + "\r\n"
		}, says: "programs.csv"},
		{name: "no program", file: func(fs map[string]string) {
			fs["programs.csv"] = strings.Split(fs["programs.csv"],
				"\r\n")[0] + "\r\n"
		}, says: "programs.csv has 0 programs"},
		{name: "an empty file", file: func(fs map[string]string) { fs["plays.csv"] = "" },
			says: "what it says of \"plays\" is no file"},
		{name: "a line without end", file: func(fs map[string]string) { fs["plays.csv"] += strings.Repeat("x", 9<<20) },
			says: "too long"},
	} {
		fs := files(t, whole)
		if x.file != nil {
			x.file(fs)
			fit(fs)
		}
		if x.raw != nil {
			x.raw(fs)
		}
		_, err := load(s, pack(t, fs, x.zip), "elsewhere")
		if e := tags.As(err); e == nil || !strings.Contains(err.Error(), x.says) {
			t.Errorf("%s: %.300v; want %q", x.name, err, x.says)
		}
		if n := count(); n != before {
			t.Fatalf("%s: %d rows stayed of it", x.name, n-before)
		}
	}
	for name, raw := range map[string][]byte{"nothing": nil, "no zip": []byte("PK, but no zip"),
		"half a zip": whole[:len(whole)/2], "a bit": flipped(whole)} {
		if _, err := load(s, raw, "elsewhere"); tags.As(err) == nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if n := count(); n != before {
		t.Errorf("%d rows stayed of what was refused", n-before)
	}
	if _, err := load(s, pack(t, files(t, whole), nil), "elsewhere"); err != nil {
		t.Errorf("packed again as it was: %v", err)
	}
}

func flipped(raw []byte) []byte {
	out := bytes.Clone(raw)
	out[len(out)/3] ^= 4
	return out
}

// TestBomb: what unpacks to far more than it says, and what says it unpacks to far
// too much, is refused before it is unpacked.
func TestBomb(t *testing.T) {
	s := open(t, postgrestest.URL(t))
	busy(t, s, "busy")
	fs := files(t, export(t, s, "busy"))
	zeros := strings.Repeat("\x00", 64<<20)
	small := fs["plays.csv"]
	fs["plays.csv"] = zeros
	bomb := pack(t, fs, nil) // the descriptor still has the size of before
	if _, err := load(s, bomb, "elsewhere"); err == nil || !strings.Contains(err.Error(), "plays.csv has 67108864 bytes") {
		t.Errorf("a bomb: %v", err)
	}
	fs["plays.csv"] = small
	for what, bytes := range map[string]string{"five gigabytes": "5368709120", "less than nothing": "-1",
		"all there are": "9223372036854775807"} {
		spoilt := maps.Clone(fs)
		spoilt["datapackage.json"] = strings.Replace(fs["datapackage.json"], fmt.Sprintf(`"bytes": %d,`, len(small)),
			`"bytes": `+bytes+`,`, 1)
		if _, err := load(s, pack(t, spoilt, nil), "elsewhere"); err == nil {
			t.Errorf("%s: imported", what)
		}
	}
	fs["datapackage.json"] = strings.Repeat(" ", 2<<20) + fs["datapackage.json"]
	if _, err := load(s, pack(t, fs, nil), "elsewhere"); err == nil || !strings.Contains(err.Error(), "larger than") {
		t.Errorf("a descriptor of two megabytes: %v", err)
	}
}
