package httpapi_test

import (
	"bytes"
	"fmt"
	"log/slog"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"overhang/db/migrations"
	"overhang/internal/database/localdb"
	"overhang/internal/httpapi"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// TestNoRoom: a full disk is said on /readyz and in the log, and is over when there is room. It
// mounts a small file system, which takes root.
func TestNoRoom(t *testing.T) {
	dir, err := os.MkdirTemp("", "overhang-room-")
	if err != nil {
		t.Fatal(err)
	}
	os.Chmod(dir, 0o755)
	t.Cleanup(func() { os.RemoveAll(dir) })
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=300m,mode=0755"); err != nil {
		t.Skipf("a small file system cannot be mounted (%v): it takes root", err)
	}
	t.Cleanup(func() { syscall.Unmount(dir, syscall.MNT_DETACH) })
	db, err := localdb.Start(t.Context(), localdb.Options{Dir: filepath.Join(dir, "db"), Durable: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Stop() })
	if err := migrations.Up(db.URL("postgres")); err != nil {
		t.Fatal(err)
	}
	store, err := postgres.Open(t.Context(), db.URL("postgres"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(store.Close)
	program := tags.Program{Code: "ours", Name: "Invented", Level: "college"}
	if _, err := store.EnsureProgram(t.Context(), program); err != nil {
		t.Fatal(err)
	}
	var log bytes.Buffer
	h, err := httpapi.New(store, slog.New(slog.NewTextHandler(&log, nil)))
	if err != nil {
		t.Fatal(err)
	}
	ask := func(method, path, body string) (int, string) {
		req := httptest.NewRequest(method, "http://localhost"+path, strings.NewReader(body))
		req.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		h.ServeHTTP(w, req)
		return w.Code, w.Body.String()
	}
	ballast := filepath.Join(dir, "ballast")
	f, err := os.Create(ballast)
	if err != nil {
		t.Fatal(err)
	}
	for piece := make([]byte, 1<<20); len(piece) > 0; {
		if _, err := f.Write(piece); err != nil {
			piece = piece[:len(piece)/2]
		}
	}
	f.Close()
	note := strings.Repeat("no room ", 200)
	status := 0
	for i := 0; i < 500 && status != 503; i++ {
		status, _ = ask("POST", ours+"/opponents", fmt.Sprintf(`{"code":"o%d","name":"Invented","note":%q}`, i, note))
	}
	if status != 503 || !strings.Contains(log.String(), "disk is full") {
		t.Errorf("writing on a full disk: %d, log %.500s", status, log.String())
	}
	if status, raw := ask("GET", "/readyz", ""); status != 503 || !strings.Contains(raw, "disk is full") {
		t.Errorf("/readyz on a full disk: %d %s", status, raw)
	}
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	if status, raw := ask("GET", "/readyz", ""); status != 200 {
		t.Errorf("/readyz with room again: %d %s", status, raw)
	}
}
