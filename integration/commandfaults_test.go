package integration

import (
	"bytes"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5/pgproto3"

	"overhang/integration/built"
)

// everyCommand is each command with what it needs to act; FILE is a file that is
// there, NEW one that is not.
var everyCommand = []struct {
	program string
	args    []string
}{
	{"api", []string{"-no-login", "-listen", "127.0.0.1:0"}}, {"api", []string{"print", "-out", "week"}},
	{"api", []string{"backup", "NEW"}}, {"api", []string{"restore", "FILE"}},
	{"api", []string{"export", "-program", "demo", "NEW"}}, {"api", []string{"import", "FILE"}},
	{"api", []string{"remove", "-program", "demo", "NEW"}}, {"api", []string{"invite"}},
	{"api", []string{"access", "-program", "demo"}},
	{"ingest", []string{"FILE"}}, {"ingest", []string{"-propose", "FILE"}}, {"ingest", []string{"-dry-run", "FILE"}},
}

// TestCommandsWithoutPostgres: every command that needs a database says in words
// that there is none, one too old, or one that cannot be made, and leaves no file.
func TestCommandsWithoutPostgres(t *testing.T) {
	old, none := oldServer(t), closedPort(t)
	empty, oldBin := t.TempDir(), oldPrograms(t)
	for _, c := range everyCommand {
		for _, fault := range []struct{ name, env, says string }{
			{"no PostgreSQL on the machine", "OVERHANG_POSTGRES_BIN=" + empty, "does not hold both initdb and postgres"},
			{"no PostgreSQL at the address", "OVERHANG_DATABASE_URL=postgres://x:y@" + none + "/z",
				"PostgreSQL does not answer"},
			{"an old PostgreSQL on the machine", "OVERHANG_POSTGRES_BIN=" + oldBin, "15 is the oldest that works here"},
			{"an old PostgreSQL at the address", "OVERHANG_DATABASE_URL=postgres://x:y@" + old + "/z?sslmode=disable",
				"15 is the oldest that works here"},
			{"a data folder that cannot be made", "OVERHANG_DATA_DIR=/proc/overhang", "the data folder cannot be made"},
		} {
			code, said, left := within(t, c.program, c.args, fault.env, nil)
			want := map[string]int{"api": 1, "ingest": 2}[c.program]
			if code != want || !strings.Contains(said, fault.says) {
				t.Errorf("%s %v, %s: exit %d, want %d saying %q; said %.300s", c.program, c.args, fault.name, code, want,
					fault.says, said)
			}
			if len(left) > 0 {
				t.Errorf("%s %v, %s: left %v", c.program, c.args, fault.name, left)
			}
		}
	}
	code, said, _ := within(t, "api", []string{"health", "-url", "http://" + none + "/healthz"}, "X=", nil)
	if code != 1 || !strings.Contains(said, "refused") {
		t.Errorf("api health of nobody: exit %d, want 1; said %.200s", code, said)
	}
}

// TestCommandsUnwritable: what writes a file says that it cannot before a
// database starts.
func TestCommandsUnwritable(t *testing.T) {
	for _, r := range []struct {
		program string
		args    []string
		code    int
		says    string
	}{
		{"api", []string{"backup", "/proc/x.dump"}, 1, "/proc/x.dump cannot be written; nothing was done"},
		{"api", []string{"export", "-program", "demo", "/proc/x.zip"}, 1, "cannot be written; nothing was done"},
		{"api", []string{"remove", "-program", "demo", "/proc/x.zip"}, 1, "cannot be written; nothing was done"},
		{"api", []string{"print", "-out", "/proc/week"}, 1, "/proc/week cannot be made; nothing was done"},
		{"api", []string{"restore", "missing.dump"}, 1, "nothing was done"},
		{"api", []string{"import", "missing.zip"}, 1, "nothing was done"},
		{"api", []string{"backup", "FILE"}, 1, "exists; nothing was done"},
		{"api", []string{"export", "-program", "demo", "FILE"}, 1, "exists; nothing was done"},
		{"ingest", []string{"-keep-good", "-bad", "/proc/bad.csv", "FILE"}, 2, "bad rows could not be written"},
	} {
		silent, _ := mute(t) // what tried to reach a database would hang, and not answer
		code, said, left := within(t, r.program, r.args, "OVERHANG_DATABASE_URL=postgres://x:y@"+silent+"/z", nil)
		if code != r.code || !strings.Contains(said, r.says) || len(left) > 0 {
			t.Errorf("%s %v: exit %d, want %d saying %q; said %.300s, left %v", r.program, r.args, code, r.code, r.says, said,
				left)
		}
	}
}

// TestCommandsInterrupted: Ctrl-C while a command waits for its database ends it
// with 130, and leaves nothing.
func TestCommandsInterrupted(t *testing.T) {
	for _, c := range everyCommand {
		silent, reached := mute(t)
		code, said, left := within(t, c.program, c.args,
			"OVERHANG_DATABASE_URL=postgres://x:y@"+silent+"/z?sslmode=disable&connect_timeout=60", reached)
		if code != 130 || !strings.Contains(said, "interrupted") || len(left) > 0 {
			t.Errorf("%s %v: exit %d, want 130; left %v; said %.300s", c.program, c.args, code, left, said)
		}
	}
}

// within runs a program in an empty folder, its file beside it; it is sent Ctrl-C's
// signal when interrupt says so. It returns what is new in the folder.
func within(t *testing.T, program string, args []string, env string, interrupt <-chan bool) (code int,
	said string, left []string) {
	t.Helper()
	dir, beside := t.TempDir(), t.TempDir()
	file := filepath.Join(beside, "plays.csv")
	for name, text := range map[string]string{file: "down,distance,gain\n1,10,4\n", file + ".sums": ""} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	args = slices.Clone(args)
	for i := range args {
		args[i] = strings.NewReplacer("FILE", file, "NEW", "new.file").Replace(args[i])
	}
	cmd := exec.Command(filepath.Join(built.Dir, program), args...)
	var out bytes.Buffer
	cmd.Dir, cmd.Stdout, cmd.Stderr = dir, &out, &out
	cmd.Env = append(os.Environ(), "OVERHANG_DATABASE_URL=", "OVERHANG_DATA_DIR="+filepath.Join(beside, "data"), env)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	if interrupt != nil {
		select {
		case <-interrupt:
		case <-time.After(time.Minute):
		}
		cmd.Process.Signal(syscall.SIGINT)
	}
	cmd.Wait()
	for _, d := range []string{dir, beside} {
		entries, err := os.ReadDir(d)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			if !strings.HasPrefix(e.Name(), "plays.csv") && e.Name() != "week" {
				left = append(left, e.Name())
			}
		}
	}
	return cmd.ProcessState.ExitCode(), out.String(), left
}

// closedPort is an address where nobody listens.
func closedPort(t *testing.T) string {
	l := listener(t)
	defer l.Close()
	return l.Addr().String()
}

func listener(t *testing.T) net.Listener {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// mute is a server that takes connections, says so on reached, and never a word.
func mute(t *testing.T) (address string, reached <-chan bool) {
	met := make(chan bool, 100)
	return serveEach(t, func(c net.Conn) { met <- true; io.Copy(io.Discard, c) }), met
}

func serveEach(t *testing.T, do func(net.Conn)) string {
	l := listener(t)
	t.Cleanup(func() { l.Close() })
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go func() { defer c.Close(); do(c) }()
		}
	}()
	return l.Addr().String()
}

// oldServer greets as PostgreSQL 13 does (PostgreSQL manual, 55.2), the one thing
// that is asked of it; no older server than 15 is to be had here.
func oldServer(t *testing.T) string {
	return serveEach(t, func(c net.Conn) {
		b := pgproto3.NewBackend(c, c)
		if _, err := b.ReceiveStartupMessage(); err != nil {
			return
		}
		b.Send(&pgproto3.AuthenticationOk{})
		b.Send(&pgproto3.ParameterStatus{Name: "server_version", Value: "13.9"})
		b.Send(&pgproto3.BackendKeyData{ProcessID: 1, SecretKey: []byte{0, 0, 0, 1}})
		b.Send(&pgproto3.ReadyForQuery{TxStatus: 'I'})
		b.Flush()
		b.Receive()
	})
}

// oldPrograms is a folder whose postgres says it is 13.
func oldPrograms(t *testing.T) string {
	dir := t.TempDir()
	for _, name := range []string{"initdb", "postgres"} {
		script := "#!/bin/sh\necho 'postgres (PostgreSQL) 13.9'\n"
		if err := os.WriteFile(filepath.Join(dir, name), []byte(script), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	for d := dir; d != "/" && d != os.TempDir(); d = filepath.Dir(d) {
		os.Chmod(d, 0o755) // as root it is run by another user
	}
	return dir
}
