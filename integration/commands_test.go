package integration

import (
	"bytes"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"overhang/integration/built"
)

// TestCommands: every command with help, an unknown flag and an unknown word:
// what it ends with and what it says; nothing acts, so no database starts and no
// file appears.
func TestCommands(t *testing.T) {
	type row struct {
		program string
		args    []string
		code    int
		says    string // on either stream
	}
	rows := []row{
		{"api", []string{"help"}, 0, "serve until Ctrl-C"}, {"api", []string{"version"}, 0, "api "},
		{"api", []string{"completion"}, 0, "complete -F"},
		{"api", []string{"-h"}, 0, "-listen HOST:PORT"}, {"api", []string{"-lisen", "x"}, 2, "the nearest is -listen"},
		{"api", []string{"bakup"}, 2, "the nearest is backup"}, {"api", []string{"-demo", "now"}, 2, "one word too many"},
		{"api", []string{"help", "expotr"}, 2, "the nearest is export"}, {"api", []string{"-listen"}, 2,
			"-listen needs HOST:PORT"},
		{"ingest", []string{"help"}, 0, "-propose"}, {"ingest", []string{"version"}, 0, "ingest "},
		{"ingest", []string{"completion"}, 0, "complete -F"},
		{"ingest", []string{"-h"}, 0, "-propose"}, {"ingest", []string{"-propos", "x.csv"}, 2, "the nearest is -propose"},
		{"ingest", []string{"propose.csv"}, 1, "no such file"}, {"ingest", nil, 2, "name at least one file"},
		{"ingest", []string{"-level", "pro", "commands_test.go"}, 2, "level"},
		{"ingest", []string{"-column", "Gain", "commands_test.go"}, 2, "HEAD=FIELD"},
	}
	for _, name := range []string{"print", "backup", "restore", "export", "import", "remove", "invite", "access",
		"health"} {
		rows = append(rows, row{"api", []string{name, "-h"}, 0, "api " + name}, row{"api", []string{"help", name}, 0,
			"api " + name},
			row{"api", []string{name, "-nonsense"}, 2, `there is no flag "-nonsense"`})
	}
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	rows = append(rows, row{"api", []string{"-no-login", "-listen", taken.Addr().String()}, 1,
		"address already in use: nothing was started"})
	for _, r := range rows {
		code, said, left := command(t, r.program, r.args)
		if code != r.code || !strings.Contains(said, r.says) {
			t.Errorf("%s %s: exit %d, want %d saying %q; said %.300s", r.program, strings.Join(r.args, " "), code, r.code,
				r.says, said)
		}
		if len(left) > 0 {
			t.Errorf("%s %s left %v behind", r.program, strings.Join(r.args, " "), left)
		}
	}
}

// command runs a program in an empty folder that is its data folder's parent too.
func command(t *testing.T, program string, args []string) (code int, said string, left []string) {
	t.Helper()
	dir := t.TempDir()
	for i, a := range args {
		if strings.HasSuffix(a, "_test.go") {
			args[i], _ = filepath.Abs(a)
		}
	}
	path, err := filepath.Abs(filepath.Join(built.Dir, program))
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(path, args...)
	var out bytes.Buffer
	cmd.Dir, cmd.Stdout, cmd.Stderr = dir, &out, &out
	cmd.Env = append(os.Environ(), "OVERHANG_DATABASE_URL=", "OVERHANG_DATA_DIR="+filepath.Join(dir, "data"))
	if err := cmd.Run(); err != nil && cmd.ProcessState == nil {
		t.Fatal(err)
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		left = append(left, e.Name())
	}
	return cmd.ProcessState.ExitCode(), out.String(), left
}
