package integration

import (
	"archive/zip"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	_ "overhang/internal/archive"

	"overhang/integration/built"
)

// tables is what the files of an export hold, but for when it was made.
func tables(t *testing.T, name string) string {
	t.Helper()
	z, err := zip.OpenReader(name)
	if err != nil {
		t.Fatal(err)
	}
	defer z.Close()
	var out strings.Builder
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		raw, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		out.WriteString(regexp.MustCompile(`"created": "[^"]*"`).ReplaceAllString(string(raw), ""))
	}
	return out.String()
}

// TestCarry takes a program from one server to another by the commands, and off the
// first one.
func TestCarry(t *testing.T) {
	here, there := database(t), database(t)
	start(t, here, "-demo")
	api := func(env string, args ...string) (string, error) {
		cmd := exec.Command(filepath.Join(built.Dir, "api"), args...)
		cmd.Env = append(os.Environ(), env)
		out, err := cmd.CombinedOutput()
		return string(out), err
	}
	dir := t.TempDir()
	file, second := filepath.Join(dir, "demo.zip"), filepath.Join(dir, "again.zip")
	for _, step := range []struct {
		env  string
		args []string
		says string // "": it must succeed
		code int
	}{
		{here, []string{"export", "-program", "demo", file}, "", 0},
		{here, []string{"export", "-program", "demo", file}, "exists", 1},
		{here, []string{"export", "-program", "nobody", second}, `no program "nobody"`, 1},
		{here, []string{"export", second}, "-program CODE FILE.zip", 1},
		{here, []string{"import", file}, `program "demo" already exists`, 1},
		{there, []string{"import", second}, "no such file", 1},
		{there, []string{"import", file}, "1332 plays", 0},
		{there, []string{"export", "-program", "demo", second}, "", 0},
		{here, []string{"import", "-program", "copy", file}, "program copy: 4 opponents, 21 games, 1332 plays", 0},
		{here, []string{"remove", "-program", "copy", file}, "exists", 1},
		{here, []string{"remove", "-program", "copy", filepath.Join(dir, "copy.zip")}, "copy is removed", 0},
		{here, []string{"export", "-program", "copy", filepath.Join(dir, "x.zip")}, `no program "copy"`, 1},
		{here, []string{"import", filepath.Join(dir, "copy.zip")}, "program copy:", 0},
	} {
		out, err := api(step.env, step.args...)
		if (err != nil) != (step.code != 0) || !strings.Contains(out, step.says) || strings.Contains(out, "panic") {
			t.Errorf("api %v: %v, %s; want %q", step.args, err, out, step.says)
		}
	}
	if a, b := tables(t, file), tables(t, second); a != b || len(a) < 1000000 {
		t.Errorf("%d bytes before, %d after; want the same", len(a), len(b))
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "x.zip")); len(left) != 0 {
		t.Error("an export that failed left a file")
	}
}
