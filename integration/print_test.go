package integration

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"overhang/integration/built"
	"overhang/integration/outside"
)

// onPaper holds what must be so of every PDF: whole, tagged, with title, language and bookmarks, no
// text below 8.5 pt, none that black and white would lose.
func onPaper(t *testing.T, name string, pdf []byte) {
	t.Helper()
	outside.SoundPDF(t, pdf)
	outside.OpenedPDF(t, pdf)
	if pale := outside.PaleText(t, pdf); len(pale) > 0 {
		t.Errorf("%s: text that is pale in black and white: %v", name, pale)
	}
	if least := outside.LeastPDFText(t, pdf); least < 8.5 {
		t.Errorf("%s: the smallest text is %.2f pt", name, least)
	}
	if bad := outside.UnmarkedPDF(t, pdf); len(bad) > 0 {
		t.Errorf("%s: %d pieces of content outside of the structure: %.200q", name, len(bad), bad)
	}
	if got := outside.PDFStructure(t, pdf); !strings.HasPrefix(got, "Document") || !strings.Contains(got, "H1") {
		t.Errorf("%s: the structure begins %.200q", name, got)
	}
}

// TestPrint prints every report and sheet of an opponent from the command line,
// and names what is asked for wrongly.
func TestPrint(t *testing.T) {
	env := database(t)
	start(t, env, "-demo")
	print := func(args ...string) (string, error) {
		cmd := exec.Command(filepath.Join(built.Dir, "api"), append([]string{"print", "-opponent", "alder"}, args...)...)
		cmd.Env = append(os.Environ(), env)
		out, err := cmd.CombinedOutput()
		return string(out), err
	}
	dir := t.TempDir()
	kinds := "stress,opponent,self-scout,position,call,scout,quiz,practice"
	if out, err := print("-reports", kinds, "-out", dir); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	files, _ := filepath.Glob(filepath.Join(dir, "*.pdf"))
	if len(files) != len(strings.Split(kinds, ",")) {
		t.Errorf("printed %v", files)
	}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil || !strings.HasPrefix(string(b), "%PDF-") || len(b) < 5000 {
			t.Errorf("%s: %d bytes, %v", f, len(b), err)
			continue
		}
		onPaper(t, f, b)
	}
	for _, c := range [][]string{{"-reports", "novel"}, {"-where", "mood=good"}, {"-opponent", "nobody"}} {
		if out, err := print(append(c, "-out", dir)...); err == nil || !strings.Contains(out, "api: ") ||
			strings.Contains(out, "panic") {
			t.Errorf("%v: %v %s", c, err, out)
		}
	}
}
