package localdb

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
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
	s, err = Start(ctx, Options{Dir: dir, Durable: true})
	if err != nil {
		t.Fatalf("Start after kill -9: %v", err)
	}
	defer s.Stop()
	if err := s.Exec(ctx, "postgres", "DO $$ BEGIN ASSERT (SELECT n FROM kept) = 7; END $$"); err != nil {
		t.Errorf("after kill -9: %v", err)
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
