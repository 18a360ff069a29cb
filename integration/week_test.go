package integration

import (
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"overhang/integration/built"
)

// TestPrintAWeek prints every sheet of an opponent of the demo from the command line
// and reads the files with poppler, then asks the server for each and prints how long
// it took.
func TestPrintAWeek(t *testing.T) {
	env := database(t)
	p := start(t, env, "-demo")
	dir := t.TempDir()
	cmd := exec.Command(filepath.Join(built.Dir, "api"), "print", "-opponent", "alder", "-reports",
		"call,position,scout,practice,quiz", "-out", dir)
	cmd.Env = append(os.Environ(), env)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("api print: %v\n%s", err, out)
	}
	for kind, want := range map[string]string{
		"call": "1ST & 7-10", "position": "Line up", "scout": "Our call", "practice": "come before this script",
		"quiz": "What's your job?",
	} {
		text, err := exec.Command("pdftotext", filepath.Join(dir, "alder-"+kind+".pdf"), "-").Output()
		if err != nil || !strings.Contains(strings.Join(strings.Fields(string(text)), " "), want) ||
			!strings.Contains(string(text), "Invented data") {
			t.Errorf("%s: %v; the PDF lacks %q or the mark of invented data", kind, err, want)
		}
		begin := time.Now()
		resp, err := http.Get(p.url + "/v1/programs/demo/opponents/alder/sheets/" + kind + "?format=pdf")
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		// for the reader: two seconds are aimed at
		t.Logf("%s: %d, %d ms", kind, resp.StatusCode, time.Since(begin).Milliseconds())
		if resp.StatusCode != http.StatusOK {
			t.Errorf("%s: %d", kind, resp.StatusCode)
		}
	}
	// A page that stands alone has its style in it.
	cmd = exec.Command(filepath.Join(built.Dir, "api"), "print", "-opponent", "alder", "-reports", "call", "-format",
		"html", "-out", dir)
	cmd.Env = append(os.Environ(), env)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("api print: %v\n%s", err, out)
	}
	page, err := os.ReadFile(filepath.Join(dir, "alder-call.html"))
	if err != nil || !strings.Contains(string(page), "<style>") || strings.Contains(string(page), "/assets/") {
		t.Errorf("the page is not self-contained: %v", err)
	}
}
