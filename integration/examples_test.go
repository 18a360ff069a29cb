package integration

import (
	"bytes"
	"crypto/rand"
	"encoding/csv"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"overhang/integration/built"
)

// A block of the examples page: what kind, what stands in it, and what the page
// says it prints.
var block = regexp.MustCompile("(?s)```(console|go|python|pandas|r|address)\n(.*?)```\n(?:\n```text\n(.*?)```\n)?")

// TestExamples runs every block of EXAMPLES.md against the demo season and holds
// what it prints against the page; -update rewrites the page. A block whose tool
// is not on this machine is named and left as it is.
func TestExamples(t *testing.T) {
	const page = "../EXAMPLES.md"
	raw, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	env := database(t)
	p := start(t, env, "-demo")
	t.Setenv("OVERHANG_DATA", dataAddress(t, env))
	ran := map[string]int{}
	text := block.ReplaceAllStringFunc(string(raw), func(whole string) string {
		m := block.FindStringSubmatch(whole)
		kind, code, said := m[1], m[2], m[3]
		here := strings.ReplaceAll(code, "http://127.0.0.1:8080", p.url)
		if kind == "address" {
			for _, address := range strings.Fields(here) {
				imports(t, p, address)
				ran[kind]++
			}
			return whole
		}
		run := tool(t, kind, here)
		if run == nil {
			t.Logf("%s: not on this machine, its block was not run", kind)
			return whole
		}
		out, err := run.Output()
		if err != nil || len(out) == 0 {
			t.Errorf("%s:\n%s\nprinted nothing, or failed: %v %s", kind, code, err, stderr(err))
			return whole
		}
		ran[kind]++
		got := strings.ReplaceAll(string(out), "\r", "")
		if got != said && !*update {
			t.Errorf("%s:\n%s\nprints:\n%s\nthe page says:\n%s", kind, code, got, said)
		}
		return "```" + kind + "\n" + code + "```\n\n```text\n" + got + "```\n"
	})
	if ran["console"] < 4 || ran["go"] < 1 || ran["address"] < 4 {
		t.Errorf("ran %v; want every kind of which the tool is always there", ran)
	}
	t.Logf("ran %v", ran)
	if *update {
		if err := os.WriteFile(page, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// dataAddress is where a login for data of the demo comes in.
func dataAddress(t *testing.T, env string) string {
	t.Helper()
	login := "lab_" + strings.ToLower(rand.Text()[:8])
	cmd := exec.Command(filepath.Join(built.Dir, "api"), "data", "-program", "demo", "-login", login)
	cmd.Env = append(os.Environ(), env)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err, stderr(err))
	}
	return strings.TrimSpace(string(out))
}

func stderr(err error) string {
	if e, ok := err.(*exec.ExitError); ok {
		return string(e.Stderr)
	}
	return ""
}

// tool makes the command that runs a block, nil where it is not installed.
func tool(t *testing.T, kind, code string) *exec.Cmd {
	t.Helper()
	file := func(name string) string {
		f := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(f, []byte(code), 0o644); err != nil {
			t.Fatal(err)
		}
		return f
	}
	has := func(name string, args ...string) bool { return exec.Command(name, args...).Run() == nil }
	switch kind {
	case "console":
		return exec.Command("bash", "-c", "set -o pipefail; "+strings.TrimPrefix(code, "$ "))
	case "go": // inside the module, where the client is
		return exec.Command("go", "run", file("main.go"))
	case "python":
		if has("python3", "--version") {
			return exec.Command("python3", file("example.py"))
		}
	case "pandas":
		if has("python3", "-c", "import pandas") {
			return exec.Command("python3", file("example.py"))
		}
	case "r":
		if has("Rscript", "--version") {
			return exec.Command("Rscript", "--vanilla", file("example.R"))
		}
	}
	return nil
}

// imports reads an address as a spreadsheet would.
func imports(t *testing.T, p *process, address string) {
	t.Helper()
	code, header, raw := p.get(t, strings.TrimPrefix(address, p.url))
	var rows [][]string
	var err error
	if strings.Contains(address, "format=xlsx") {
		var f *excelize.File
		if f, err = excelize.OpenReader(bytes.NewReader([]byte(raw))); err == nil {
			rows, err = f.GetRows(f.GetSheetName(0))
		}
	} else {
		rows, err = csv.NewReader(strings.NewReader(raw)).ReadAll()
	}
	if code != 200 || err != nil || len(rows) < 5 {
		t.Errorf("%s: %d %v, %d rows, %v", address, code, header.Get("Content-Type"), len(rows), err)
	}
}
