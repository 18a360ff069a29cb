// Package golden keeps what reports look like in files that a person can read: words and
// figures line by line, one picture, the table. It keeps them stable and proves nothing
// else. go test -update rewrites the files; the difference is to be looked at.
package golden

import (
	"bytes"
	"flag"
	"html"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the golden files in testdata")

// File compares bytes with a file of testdata.
func File(t testing.TB, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s changed: run with -update and look at the difference", path)
	}
}

// Document keeps a document's table (.csv), the words of its page (.txt) and its first
// picture (.svg). Its PDF and its workbook are too large to be read: they must come out
// the same twice, and tests of their own read them with programs that are not ours.
func Document(t testing.TB, name string, d interface {
	Write(w io.Writer, format string) error
}) {
	t.Helper()
	page := written(t, d, "html")
	File(t, name+".csv", written(t, d, "csv"))
	File(t, name+".txt", Words(page))
	if picture := picture.Find(page); picture != nil {
		File(t, name+".svg", append(picture, '\n'))
	}
	for _, format := range []string{"pdf", "xlsx"} {
		if !bytes.Equal(written(t, d, format), written(t, d, format)) {
			t.Errorf("%s: the same document written twice as %s differs", name, format)
		}
	}
}

func written(t testing.TB, d interface {
	Write(w io.Writer, format string) error
}, format string) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := d.Write(&b, format); err != nil {
		t.Fatalf("as %s: %v", format, err)
	}
	return b.Bytes()
}

var (
	picture = regexp.MustCompile(`(?s)<svg.*?</svg>`)
	unread  = regexp.MustCompile(`(?s)<svg.*?</svg>|<(style|script)\b.*?</(style|script)>`)
	mark    = regexp.MustCompile(`<[^>]*>`)
)

// Words are the texts of a page in its order, one a line, without its drawings.
func Words(page []byte) []byte {
	var out bytes.Buffer
	for _, text := range mark.Split(string(unread.ReplaceAll(page, []byte("<>"))), -1) {
		if text = strings.Join(strings.Fields(html.UnescapeString(text)), " "); text != "" {
			out.WriteString(text + "\n")
		}
	}
	return out.Bytes()
}
