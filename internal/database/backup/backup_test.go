package backup_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"overhang/db/migrations"
	"overhang/internal/database/backup"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

func TestMain(m *testing.M) { postgrestest.Main(m) }

// TestRestoreEqualsOriginal backs up while others write, restores elsewhere, and
// compares row by row sums; then spoils the backup in three ways.
func TestRestoreEqualsOriginal(t *testing.T) {
	ctx := t.Context()
	from := postgrestest.URL(t)
	s, err := postgres.Open(ctx, from)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	p, err := s.EnsureProgram(ctx, tags.Program{Code: "ours", Name: "Invented", Level: "high_school", Invented: true})
	if err != nil {
		t.Fatal(err)
	}
	write, stop := context.WithCancel(ctx)
	var wg sync.WaitGroup
	started := make(chan struct{})
	wg.Go(func() {
		for i := 0; write.Err() == nil; i++ {
			s.Opponents().Create(write, p.ID, tags.Opponent{Code: fmt.Sprint("o", i), Name: "Ünïcode opponent"})
			if i == 20 {
				close(started)
			}
		}
	})
	<-started
	file := filepath.Join(t.TempDir(), "evening.backup")
	sums, err := backup.Write(ctx, from, file)
	stop()
	wg.Wait()
	if err != nil {
		t.Fatal(err)
	}
	if strings.HasPrefix(sums["opponents"], "0 ") || sums["programs"] == "" {
		t.Fatalf("sums %v", sums)
	}
	if _, err := backup.Write(ctx, from, file); err == nil {
		t.Error("a backup wrote over another")
	}
	to := postgrestest.Empty(t)
	if err := backup.Restore(ctx, to, file); err != nil {
		t.Fatal(err)
	}
	if err := migrations.Up(to); err != nil { // a restored database is one the program starts on
		t.Fatal(err)
	}
	r, err := postgres.Open(ctx, to)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	w, err := r.Walled(ctx) // the walls came along
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	if ps, err := w.Programs(ctx); err != nil || len(ps) != 0 {
		t.Errorf("the restored database shows %v without a program, %v", ps, err)
	}
	if err := backup.Restore(ctx, to, file); err == nil || !strings.Contains(err.Error(), "not empty") {
		t.Errorf("restored over a full database: %v", err)
	}
	whole, _ := os.ReadFile(file)
	spoiled := file + "2"
	lines, _ := os.ReadFile(file + ".sums")
	for name, c := range map[string]struct{ data, sums []byte }{
		"cut short":     {whole[:len(whole)/2], lines},
		"a row missing": {whole, []byte(strings.Replace(string(lines), "opponents ", "opponents 1", 1))},
	} {
		os.WriteFile(spoiled, c.data, 0o600)
		os.WriteFile(spoiled+".sums", c.sums, 0o600)
		if err := backup.Restore(ctx, postgrestest.Empty(t), spoiled); err == nil {
			t.Errorf("%s: restored without a word", name)
		}
	}
	os.Remove(spoiled + ".sums")
	if err := backup.Restore(ctx, postgrestest.Empty(t), spoiled); err == nil {
		t.Error("without sums: restored without a word")
	}
}
