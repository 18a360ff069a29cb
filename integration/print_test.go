package integration

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"overhang/integration/built"
)

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
		if b, err := os.ReadFile(f); err != nil || !strings.HasPrefix(string(b), "%PDF-") || len(b) < 5000 {
			t.Errorf("%s: %d bytes, %v", f, len(b), err)
		}
	}
	for _, c := range [][]string{{"-reports", "novel"}, {"-where", "mood=good"}, {"-opponent", "nobody"}} {
		if out, err := print(append(c, "-out", dir)...); err == nil || !strings.Contains(out, "api: ") ||
			strings.Contains(out, "panic") {
			t.Errorf("%v: %v %s", c, err, out)
		}
	}
}
