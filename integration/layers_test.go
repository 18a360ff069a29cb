package integration

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestLayers keeps the one arrow: film and tags, store, pictures and tendencies,
// stress, reports. Each room may import what stands here, and nothing else of
// the project; only the rooms named may import a library that does I/O.
func TestLayers(t *testing.T) {
	may := map[string]string{
		"internal/stress/field":   "",
		"internal/stress/picture": "internal/stress/field",
		"internal/stress/call":    "internal/stress/field",
		"internal/stress/duty":    "internal/stress/field internal/stress/picture internal/stress/call",
		"internal/stress/motion": "internal/stress/field internal/stress/picture internal/stress/call " +
			"internal/stress/duty",
		"internal/stress": "internal/stress/points internal/stress/field internal/stress/picture " +
			"internal/stress/call internal/stress/duty internal/stress/motion",
		"internal/stress/fix": "internal/stress internal/stress/field internal/stress/picture " +
			"internal/stress/call internal/stress/duty internal/stress/motion",
		"internal/stress/mix":       "",
		"internal/stress/points":    "",
		"internal/stress/tradeflag": "",
		"internal/spell":            "",
		"internal/tags":             "internal/spell",
		"internal/tendency":         "",
		"db/migrations":             "",
		"api":                       "",
		"client":                    "",
		"internal/database/localdb": "",
		"internal/tags/tally":       "internal/tags",
		"internal/tags/postgres":    "internal/tags internal/tags/tally internal/staff",
		"internal/staff":            "",
		"internal/database/backup":  "internal/database/localdb internal/tags/postgres",
		"internal/archive": "db/migrations internal/plan internal/stress/call internal/tags " +
			"internal/tags/postgres",
		"internal/tags/postgres/postgrestest": "internal/tags internal/tags/postgres internal/database/localdb db/migrations",
		"internal/database/setup":             "internal/tags/postgres internal/database/localdb db/migrations",
		"internal/tags/film":                  "internal/tags",
		"internal/tags/intake": "internal/spell internal/stress/picture internal/tags " +
			"internal/tags/postgres internal/tags/starter",
		"internal/tags/starter": "internal/tags internal/tags/postgres internal/stress/call " +
			"internal/stress/picture",
		"internal/plan": "internal/stress internal/stress/points internal/stress/fix " +
			"internal/stress/field internal/stress/picture internal/stress/call internal/stress/motion internal/stress/mix " +
			"internal/tags internal/tendency",
		"internal/study": "internal/tags internal/tendency",
		"internal/ask": "internal/plan internal/study internal/tags internal/tendency " +
			"internal/stress internal/stress/call internal/stress/duty internal/stress/field internal/stress/motion " +
			"internal/stress/picture",
		"internal/reports": "internal/reports/ink internal/ask internal/reports/handout internal/plan " +
			"internal/reports/drawing internal/reports/paper internal/reports/teach internal/stress internal/stress/call " +
			"internal/stress/field internal/study internal/tags internal/tendency",
		"internal/reports/teach": "internal/stress/call internal/stress/field",
		"internal/reports/handout": "internal/reports/ink internal/ask internal/plan internal/reports/drawing " +
			"internal/reports/paper internal/reports/teach internal/stress internal/stress/call internal/stress/duty " +
			"internal/stress/field internal/stress/motion internal/stress/picture internal/tags",
		"internal/reports/golden":   "",
		"internal/reports/ink":      "",
		"internal/reports/paper":    "internal/reports/ink internal/tags",
		"internal/reports/filmroom": "internal/tags internal/stress/field internal/stress/picture",
		"internal/reports/drawing": "internal/reports/ink internal/plan internal/stress internal/stress/field " +
			"internal/stress/picture internal/stress/call internal/stress/duty internal/stress/motion",
		"internal/door":     "internal/staff internal/tags internal/tags/postgres",
		"internal/lanes":    "",
		"internal/wire":     "",
		"internal/contract": "internal/staff internal/tags internal/wire",
		"internal/desk":     "internal/ask internal/door internal/staff internal/tags internal/tags/postgres",
		"internal/pages": "internal/ask internal/desk internal/door internal/plan internal/study internal/reports " +
			"internal/reports/ink internal/reports/drawing internal/reports/filmroom internal/reports/handout " +
			"internal/reports/teach " +
			"internal/staff internal/stress/call internal/stress/picture internal/tags internal/tags/film " +
			"internal/tags/postgres internal/tags/starter internal/tendency internal/wire",
		"internal/demo": "internal/ask internal/plan internal/tags internal/tags/postgres " +
			"internal/tags/starter internal/stress/picture",
		"internal/httpapi": "internal/reports/ink api internal/archive internal/ask internal/contract internal/desk " +
			"internal/door internal/lanes internal/tags/film internal/pages internal/reports internal/reports/drawing " +
			"internal/reports/paper internal/staff internal/tags internal/tags/intake internal/tags/postgres " +
			"internal/wire",
		"internal/cli": "internal/spell",
		"cmd/api": "internal/archive internal/ask internal/cli internal/database/backup " +
			"internal/lanes internal/demo internal/tags/film internal/httpapi internal/reports internal/reports/paper " +
			"internal/database/setup internal/staff internal/tags internal/tags/postgres",
		"cmd/ingest": "internal/cli internal/tags/intake internal/database/setup internal/tags " +
			"internal/tags/postgres internal/tags/starter",
		"integration":         "",
		"integration/outside": "",
		"integration/built":   "",
		"integration/strain":  "",
		"integration/madeup":  "internal/staff internal/stress/call",
	}
	cmd := exec.Command("go", "list", "-f", `{{.ImportPath}} {{join .Imports " "}}`, "./...")
	cmd.Dir = ".."
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, out)
	}
	for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		words := strings.Fields(line)
		room := strings.TrimPrefix(words[0], "overhang/")
		allowed, ok := may[room]
		if !ok {
			t.Errorf("%s is not on the floor plan: add it here and to DEVELOPERS.md", room)
			continue
		}
		for _, own := range strings.Fields(allowed) {
			if !slices.Contains(words[1:], "overhang/"+own) {
				t.Errorf("%s may import %s and does not: take the leave back", room, own)
			}
		}
		for _, imp := range words[1:] {
			own, ours := strings.CutPrefix(imp, "overhang/")
			if ours && !strings.Contains(" "+allowed+" ", " "+own+" ") {
				t.Errorf("%s imports %s: against the arrow", room, own)
			}
			if pure := strings.HasPrefix(room, "internal/stress") && room != "internal/stress/mix"; pure {
				first, _, _ := strings.Cut(imp, "/")
				if !ours && (strings.Contains(first, ".") || imp == "os" || imp == "time" || imp == "net/http" ||
					imp == "math/rand" || imp == "math/rand/v2") {
					t.Errorf("%s imports %s: the engine is pure", room, imp)
				}
			}
		}
	}
}

// TestNoWebServer: the invented season and everything below the pages are made without a
// web server, and of the commands' files only those that serve know one.
func TestNoWebServer(t *testing.T) {
	t.Parallel()
	web := regexp.MustCompile(`^(github\.com/labstack/echo/v4|overhang/internal/(httpapi|pages|door|desk|contract))$`)
	list := exec.Command("go", "list", "-deps", "./internal/demo", "./internal/ask", "./internal/reports/...",
		"./cmd/ingest")
	list.Dir = ".."
	out, err := list.CombinedOutput()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, out)
	}
	for _, p := range strings.Fields(string(out)) {
		if web.MatchString(p) {
			t.Errorf("the demo, a question, a report or ingest needs %s", p)
		}
	}
	files, err := filepath.Glob("../cmd/api/*.go")
	if err != nil || len(files) == 0 {
		t.Fatal(err, "no file of the command")
	}
	serves := map[string]bool{"main.go": true, "serve.go": true}
	for _, f := range files {
		tree, err := parser.ParseFile(token.NewFileSet(), f, nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		for _, im := range tree.Imports {
			if p := strings.Trim(im.Path.Value, `"`); web.MatchString(p) && !serves[filepath.Base(f)] {
				t.Errorf("%s imports %s: what prints and stores needs no web server", f, p)
			}
		}
	}
}

// TestOneRoomForRates: a count becomes a share in package tendency and nowhere else, so
// that one percentage cannot be computed in two ways.
func TestOneRoomForRates(t *testing.T) {
	rate := regexp.MustCompile(`tendency\.(Share|Wilson)\(|float64\([\w.\[\]]+\) ?/ ` +
		`?float64\([\w.\[\]]+\)`)
	err := filepath.WalkDir("../internal", func(path string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		if strings.HasPrefix(path, "../internal/tendency/") || strings.HasPrefix(path, "../internal/stress/") {
			return nil
		}
		raw, err := os.ReadFile(path)
		for n, line := range strings.Split(string(raw), "\n") {
			if rate.MatchString(line) {
				t.Errorf("%s:%d makes a rate of counts: that is tendency.Score's, or tendency.RateOf's", path, n+1)
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}
