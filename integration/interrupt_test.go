package integration

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"overhang/internal/database/localdb"

	"overhang/integration/built"
)

// TestInterruptedInTheMiddle: Ctrl-C while a command is in the middle of the plays (a lock of
// ours keeps it there) ends it with 130; what it made until then is not there afterward, in
// the database or as a file.
func TestInterruptedInTheMiddle(t *testing.T) {
	db, err := localdb.Start(t.Context(), localdb.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Stop() })
	env, dir := "OVERHANG_DATABASE_URL="+db.URL("postgres"), folder(t)
	plays := "opponent,down,distance,gain,concept\n"
	for i := range 400 {
		plays += fmt.Sprintf("Sedge,%d,10,4,smash\n", 1+i%4)
	}
	if err := os.WriteFile(filepath.Join(dir, "plays.csv"), []byte(plays), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{"ingest", "-program", "ours", "plays.csv"}, {"api", "export", "-program", "ours",
		"ours.zip"}} {
		if code, said := endOf(t, command1(dir, env, args...)); code != 0 {
			t.Fatalf("%v: %d %s", args, code, said)
		}
	}
	before := contents(t, db.URL("postgres"), dir)
	for _, args := range [][]string{{"ingest", "-program", "fresh", "plays.csv"},
		{"ingest", "-program", "ours", "-game", "x", "plays.csv"}, {"api", "import", "-program", "copy", "ours.zip"},
		{"api", "export", "-program", "ours", "again.zip"},
		{"api", "backup", "x.backup"}, {"api", "remove", "-program", "ours", "gone.zip"},
		{"api", "print", "-program", "ours", "-opponent", "sedge", "-reports", "opponent", "-out", "week"}} {
		t.Run(strings.Join(args[:2], " "), func(t *testing.T) {
			held := lockPlays(t, db.URL("postgres"))
			cmd := command1(dir, env, args...)
			var out bytes.Buffer
			cmd.Stdout, cmd.Stderr = &out, &out
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			stuck := waitsForLock(held)
			cmd.Process.Signal(syscall.SIGINT)
			begun := time.Now()
			cmd.Wait()
			took := time.Since(begun)
			held.Close(context.Background())
			if code := cmd.ProcessState.ExitCode(); code != 130 || !stuck || !strings.Contains(out.String(), "interrupted") {
				t.Errorf("exit %d after %v, in the middle %v; want 130, saying that it was interrupted; said %.300s", code, took,
					stuck, out.String())
			}
			os.Remove(filepath.Join(dir, "week")) // an empty folder may stay
			if after := contents(t, db.URL("postgres"), dir); after != before {
				t.Errorf("left behind:\n%s\nwas\n%s", after, before)
			}
		})
	}
}

// command1 is a program with its arguments, to be run in a folder.
func command1(dir, env string, args ...string) *exec.Cmd {
	path, err := filepath.Abs(filepath.Join(built.Dir, args[0]))
	if err != nil {
		panic(err)
	}
	cmd := exec.Command(path, args[1:]...)
	cmd.Dir, cmd.Env = dir, append(os.Environ(), env)
	return cmd
}

func endOf(t *testing.T, cmd *exec.Cmd) (code int, said string) {
	t.Helper()
	raw, err := cmd.CombinedOutput()
	if cmd.ProcessState == nil {
		t.Fatal(err)
	}
	return cmd.ProcessState.ExitCode(), string(raw)
}

// contents is how much there is in the database and which files beside it.
func contents(t *testing.T, url, dir string) (out string) {
	t.Helper()
	c, err := pgx.Connect(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close(context.Background())
	for _, table := range []string{"programs", "opponents", "games", "plays", "words", "calls", "play_changes"} {
		var n int
		if err := c.QueryRow(t.Context(), "SELECT count(*) FROM "+table).Scan(&n); err != nil {
			t.Fatal(err)
		}
		out += fmt.Sprintln(table, n)
	}
	files, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		out += f.Name() + "\n"
	}
	return out
}

// lockPlays keeps everybody else from the plays until the connection is closed.
func lockPlays(t *testing.T, url string) *pgx.Conn {
	t.Helper()
	c, err := pgx.Connect(t.Context(), url)
	if err == nil {
		_, err = c.Exec(t.Context(), "BEGIN; LOCK TABLE plays IN ACCESS EXCLUSIVE MODE")
	}
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// waitsForLock waits until somebody waits for what is held; false when nobody does.
func waitsForLock(held *pgx.Conn) bool {
	for range 600 {
		var n int
		err := held.QueryRow(context.Background(), `SELECT count(*) FROM pg_locks WHERE NOT granted`).Scan(&n)
		if err == nil && n > 0 {
			return true
		}
		time.Sleep(50 * time.Millisecond)
	}
	return false
}

// TestInterruptedServer: Ctrl-C of a server that serves ends it cleanly, with the database it
// started, and the address is free again.
func TestInterruptedServer(t *testing.T) {
	data := filepath.Join(folder(t), "data")
	t.Setenv("OVERHANG_DATABASE_URL", "")
	p := start(t, "OVERHANG_DATA_DIR="+data, "-no-login")
	if code, _, _ := p.get(t, "/readyz"); code != 200 {
		t.Fatalf("/readyz: %d", code)
	}
	p.cmd.Process.Signal(os.Interrupt)
	if err := p.cmd.Wait(); err != nil {
		t.Errorf("Ctrl-C: %v; want exit 0", err)
	}
	if left, _ := filepath.Glob(filepath.Join(data, "*", "postmaster.pid")); len(left) > 0 {
		t.Errorf("the database still runs: %v", left)
	}
	again := start(t, "OVERHANG_DATA_DIR="+data, "-no-login", "-listen", strings.TrimPrefix(p.url, "http://"))
	if code, _, _ := again.get(t, "/readyz"); code != 200 {
		t.Errorf("started again at the same address: /readyz %d", code)
	}
}

// TestFolderWithoutPermission: a folder that its user may not write is said before anything
// begins. Under root, who may write everywhere, the programs run as nobody (65534, the number
// of nobody on Debian).
func TestFolderWithoutPermission(t *testing.T) {
	dir := folder(t)
	file := filepath.Join(dir, "plays.csv")
	if err := os.WriteFile(file, []byte("down,distance,gain\n1,10,x\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	locked := filepath.Join(dir, "locked")
	if err := os.Mkdir(locked, 0o555); err != nil {
		t.Fatal(err)
	}
	os.Chmod(built.Dir, 0o755)
	silent, _ := mute(t)
	away := "OVERHANG_DATABASE_URL=postgres://x:y@" + silent + "/z"
	for _, r := range []struct {
		args      []string
		env, says string
		code      int
	}{
		{[]string{"api", "-no-login", "-listen", "127.0.0.1:0"}, "", "the data folder cannot be made", 1},
		{[]string{"ingest", file}, "", "the data folder cannot be made", 2},
		{[]string{"api", "backup", locked + "/x.dump"}, away, "cannot be written; nothing was done", 1},
		{[]string{"api", "export", "-program", "demo", locked + "/x.zip"}, away, "cannot be written; nothing was done", 1},
		{[]string{"api", "remove", "-program", "demo", locked + "/x.zip"}, away, "cannot be written; nothing was done", 1},
		{[]string{"api", "print", "-out", locked + "/week"}, away, "cannot be made; nothing was done", 1},
		{[]string{"ingest", "-keep-good", "-bad", locked + "/bad.csv", file}, away, "bad rows could not be written", 2},
	} {
		cmd := command1(dir, "OVERHANG_DATA_DIR="+locked+"/data", r.args...)
		cmd.Env = append(cmd.Env, "OVERHANG_DATABASE_URL=", "HOME="+locked)
		if r.env != "" {
			cmd.Env = append(cmd.Env, r.env)
		}
		if os.Getuid() == 0 {
			cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
		}
		code, said := endOf(t, cmd)
		if code != r.code || !strings.Contains(said, r.says) || !strings.Contains(said, "permission denied") {
			t.Errorf("%v: exit %d, want %d saying %q and why; said %.300s", r.args, code, r.code, r.says, said)
		}
	}
	if left, _ := os.ReadDir(locked); len(left) > 0 {
		t.Errorf("left %v", left)
	}
}
