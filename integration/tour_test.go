package integration

import (
	"flag"
	"os"
	"os/exec"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the README's answers with what the program says")

// TestTour runs every command of the README's tour against the demo season and
// compares what it prints with what the README says it prints.
func TestTour(t *testing.T) {
	raw, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	text := string(raw)
	for _, command := range []string{"go run ./cmd/api -demo", "go test -timeout 60m ./..."} {
		if !strings.Contains(text, "```\n"+command+"\n```") {
			t.Errorf("the README does not show %q", command)
		}
	}
	p := start(t, database(t), "-demo")
	parts := strings.Split(text, "```console\n")
	if len(parts) < 4 {
		t.Fatalf("%d commands in the tour", len(parts)-1)
	}
	for i := 1; i < len(parts); i++ {
		block, rest, _ := strings.Cut(parts[i], "```")
		line, said, _ := strings.Cut(block, "\n")
		command := strings.TrimPrefix(line, "$ ")
		out, err := exec.Command("bash", "-c", "set -o pipefail; "+strings.ReplaceAll(command, "http://127.0.0.1:8080",
			p.url)).Output()
		got := strings.ReplaceAll(string(out), "\r", "")
		if got != "" && !strings.HasSuffix(got, "\n") {
			got += "\n"
		}
		if got == "" {
			t.Errorf("$ %s: printed nothing (%v)", command, err)
		}
		if got != said && !*update {
			t.Errorf("$ %s\nprints:\n%s\nthe README says:\n%s", command, got, said)
		}
		parts[i] = line + "\n" + got + "```" + rest
	}
	if *update {
		if err := os.WriteFile("../README.md", []byte(strings.Join(parts, "```console\n")), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
