package localdb

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// TestSurvivesKill checks that what was acknowledged is there after kill -9 of
// the server, and that a second start attaches to a running one.
func TestSurvivesKill(t *testing.T) {
	ctx := context.Background()
	dir := filepath.Join(shortTemp(t), "db")
	s, err := Start(ctx, Options{Dir: dir, Durable: true})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Exec(ctx, "postgres", "CREATE TABLE kept AS SELECT 7 AS n"); err != nil {
		t.Fatal(err)
	}
	second, err := Start(ctx, Options{Dir: dir, Durable: true})
	if err != nil || !second.Attached() {
		t.Fatalf("second Start on the same folder: attached %v, error %v; want attached", second.Attached(), err)
	}
	s.cmd.Process.Signal(syscall.SIGKILL)
	<-s.done
	killed := s
	s, err = Start(ctx, Options{Dir: dir, Durable: true})
	if err != nil {
		t.Fatalf("Start after kill -9: %v", err)
	}
	defer func() { killed.Stop(); second.Stop(); s.Stop() }()
	if err := s.Exec(ctx, "postgres", "DO $$ BEGIN ASSERT (SELECT n FROM kept) = 7; END $$"); err != nil {
		t.Errorf("after kill -9: %v", err)
	}
}

// TestLastOutStops: a server stays up while anybody uses it, no matter who started it, and is
// stopped by the last.
func TestLastOutStops(t *testing.T) {
	ctx := context.Background()
	o := Options{Dir: filepath.Join(shortTemp(t), "db")}
	first, err := Start(ctx, o)
	if err != nil {
		t.Fatal(err)
	}
	second, err := Start(ctx, o)
	if err != nil || !second.Attached() {
		t.Fatal(err)
	}
	if err := first.Stop(); err != nil {
		t.Fatal(err)
	}
	if err := second.Exec(ctx, "postgres", "SELECT 1"); err != nil {
		t.Errorf("the server of who is attached, after its starter has left: %v", err)
	}
	if err := second.Stop(); err != nil {
		t.Fatal(err)
	}
	if pid := second.pid(); pid != 0 {
		t.Errorf("process %d still runs after the last has left", pid)
	}
}

// TestStartedAgain: a server that dies under its users runs again at the same address,
// for all of them, and the log says so.
func TestStartedAgain(t *testing.T) {
	ctx := context.Background()
	var told bytes.Buffer
	o := Options{Dir: filepath.Join(shortTemp(t), "db"), Durable: true, Log: slog.New(slog.NewTextHandler(&told, nil))}
	first, err := Start(ctx, o)
	if err != nil {
		t.Fatal(err)
	}
	second, err := Start(ctx, Options{Dir: o.Dir, Durable: true})
	if err != nil {
		t.Fatal(err)
	}
	if err := syscall.Kill(first.pid(), syscall.SIGKILL); err != nil {
		t.Fatal(err)
	}
	if err := second.ready(ctx, 60*time.Second); err != nil {
		t.Errorf("after kill -9: %v", err)
	}
	if err := errors.Join(first.Stop(), second.Stop()); err != nil {
		t.Error(err)
	}
	for _, word := range []string{"died", "runs again"} {
		if !strings.Contains(told.String(), word) {
			t.Errorf("the log does not say that it %s: %s", word, told.String())
		}
	}
}

func TestStopRemovesTemporary(t *testing.T) {
	s, err := Start(context.Background(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Stop(); err != nil {
		t.Error(err)
	}
	if _, err := os.Stat(s.dir); !os.IsNotExist(err) {
		t.Errorf("%s is still there after Stop", s.dir)
	}
}

func TestMissingBinaries(t *testing.T) {
	t.Setenv("OVERHANG_POSTGRES_BIN", t.TempDir())
	_, err := Start(context.Background(), Options{})
	if err == nil || !strings.Contains(err.Error(), "OVERHANG_POSTGRES_BIN") {
		t.Errorf("Start without binaries: %v; want an error that names the variable", err)
	}
}

// shortTemp is a folder the unprivileged user can enter: t.TempDir is not.
func shortTemp(t *testing.T) string {
	dir, err := os.MkdirTemp("", "overhang-test-")
	if err != nil {
		t.Fatal(err)
	}
	os.Chmod(dir, 0o755)
	t.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}
