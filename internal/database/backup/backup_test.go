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
	if err := backup.Restore(ctx, to, file, ""); err != nil {
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
	if err := backup.Restore(ctx, to, file, ""); err == nil || !strings.Contains(err.Error(), "not empty") {
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
		if err := backup.Restore(ctx, postgrestest.Empty(t), spoiled, ""); err == nil {
			t.Errorf("%s: restored without a word", name)
		}
	}
	os.Remove(spoiled + ".sums")
	if err := backup.Restore(ctx, postgrestest.Empty(t), spoiled, ""); err == nil {
		t.Error("without sums: restored without a word")
	}
}

// TestEdited: what somebody edits in a backup's table of contents does not come back as equal:
// a row-security policy, a trigger, a check. The file's digest says so before anything is
// restored, and where somebody edited that too, the schema's; sums kept elsewhere hold both.
func TestEdited(t *testing.T) {
	ctx := t.Context()
	file := filepath.Join(t.TempDir(), "evening.backup")
	if _, err := backup.Write(ctx, postgrestest.URL(t), file); err != nil {
		t.Fatal(err)
	}
	whole, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	sums, err := os.ReadFile(file + ".sums")
	if err != nil {
		t.Fatal(err)
	}
	kept := filepath.Join(t.TempDir(), "kept.sums")
	os.WriteFile(kept, sums, 0o600)
	for part, edit := range map[string][2]string{ // of one length: the file says how long each text is
		"walls": {"own_program ON public.plays TO overhang_server USING ((program_id = public.this_program()))",
			"own_program ON public.plays TO overhang_server USING ((program_id = program_id           ))"},
		"triggers":        {"CREATE TRIGGER plays_deleted AFTER DELETE ON", "CREATE TRIGGER plays_deleted AFTER UPDATE ON"},
		"checks and keys": {"CHECK (((down >= 1) AND (down <= 4)))", "CHECK (((down >= 1) AND (down <= 9)))"},
	} {
		if n := strings.Count(string(whole), edit[0]); n != 1 {
			t.Errorf("%s: %q stands %d times in the backup", part, edit[0], n)
			continue
		}
		edited := []byte(strings.Replace(string(whole), edit[0], edit[1], 1))
		os.WriteFile(file, edited, 0o600)
		os.WriteFile(file+".sums", sums, 0o600)
		to := postgrestest.Empty(t)
		if err := backup.Restore(ctx, to, file, ""); err == nil || !strings.Contains(err.Error(), "nothing was restored") {
			t.Errorf("%s: %v", part, err)
		}
		digest, err := backup.Digest(file)
		if err != nil {
			t.Fatal(err)
		}
		_, rest, _ := strings.Cut(string(sums), "\n")
		os.WriteFile(file+".sums", []byte("file sha256:"+digest+"\n"+rest), 0o600)
		if err := backup.Restore(ctx, to, file, kept); err == nil || !strings.Contains(err.Error(), "nothing was restored") {
			t.Errorf("%s, with sums kept elsewhere: %v", part, err)
		}
		if err := backup.Restore(ctx, to, file, ""); err == nil || !strings.Contains(err.Error(), "schema: "+part) {
			t.Errorf("%s, with a new digest of the file: %v", part, err)
		}
		cut := strings.Join(strings.SplitAfter(rest, "\n")[8:], "") // as before there were digests
		os.WriteFile(file+".sums", []byte(cut), 0o600)
		if err := backup.Restore(ctx, postgrestest.Empty(t), file, ""); err == nil ||
			!strings.Contains(err.Error(), "no digests") {
			t.Errorf("%s, without digests: %v", part, err)
		}
	}
}
