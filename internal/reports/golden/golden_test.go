package golden

import (
	"errors"
	"io"
	"os"
	"testing"
)

// TestWords: every text of a page is one line, as it is read; what is not read is left out.
func TestWords(t *testing.T) {
	page := `<html><style>td{}</style><h1>Third &amp;
	 long</h1><td>47</td><td> </td><td>38%</td><svg><text>C</text></svg><p>Smash <b>left</b></p>`
	if got := string(Words([]byte(page))); got != "Third & long\n47\n38%\nSmash\nleft\n" {
		t.Errorf("%q", got)
	}
}

// A fake is a document whose forms are given; one that changes differs each time.
type fake struct {
	forms   map[string]string
	changes bool
	n       byte
}

func (f *fake) Write(w io.Writer, format string) error {
	if f.n++; f.changes && format == "pdf" {
		w.Write([]byte{f.n})
	}
	if _, ok := f.forms[format]; !ok {
		return errors.New("no such form")
	}
	_, err := io.WriteString(w, f.forms[format])
	return err
}

// A watch is a test that notes whether it failed.
type watch struct {
	testing.TB
	failed bool
}

func (w *watch) Errorf(string, ...any) { w.failed = true }

// TestDocument: a changed word, a changed figure of the table, a changed picture and a PDF
// with a clock in it each fail.
func TestDocument(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := os.Mkdir("testdata", 0o755); err != nil {
		t.Fatal(err)
	}
	forms := func(page, table string) map[string]string {
		return map[string]string{"html": page, "csv": table, "pdf": "p", "xlsx": "x"}
	}
	const page = "<p>Smash</p><svg>1</svg>"
	*update = true
	Document(t, "d", &fake{forms: forms(page, "a,1")})
	*update = false
	for name, x := range map[string]struct {
		fake
		fails bool
	}{
		"the same":          {fake{forms: forms(page, "a,1")}, false},
		"other markup":      {fake{forms: forms("<div>"+page+"</div>", "a,1")}, false},
		"another word":      {fake{forms: forms("<p>Flood</p><svg>1</svg>", "a,1")}, true},
		"another picture":   {fake{forms: forms("<p>Smash</p><svg>2</svg>", "a,1")}, true},
		"another figure":    {fake{forms: forms(page, "a,2")}, true},
		"a PDF that drifts": {fake{forms: forms(page, "a,1"), changes: true}, true},
	} {
		w := watch{TB: t}
		if Document(&w, "d", &x.fake); w.failed != x.fails {
			t.Errorf("%s: failed %v, want %v", name, w.failed, x.fails)
		}
	}
}
