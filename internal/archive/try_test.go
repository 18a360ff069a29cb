package archive_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"

	"overhang/internal/archive"
	"overhang/internal/tags/postgres/postgrestest"
)

// TestTry: an export that can come back is tried and leaves nothing; one with a row that was
// stored before a rule was stricter says which, before anything is removed for it.
func TestTry(t *testing.T) {
	address := postgrestest.URL(t)
	s := open(t, address)
	busy(t, s, "busy")
	try := func() error {
		raw := export(t, s, "busy")
		return archive.Try(t.Context(), s, bytes.NewReader(raw), int64(len(raw)))
	}
	if err := try(); err != nil {
		t.Errorf("a whole export: %v", err)
	}
	if ps, err := s.Programs(t.Context()); err != nil || len(ps) != 1 {
		t.Errorf("a try left %d programs, %v", len(ps), err)
	}
	c, err := pgx.Connect(t.Context(), address)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close(t.Context())
	if _, err := c.Exec(t.Context(), `
		ALTER TABLE plays DROP CONSTRAINT plays_personnel_check;
		UPDATE plays SET personnel = '55' WHERE number = 3;
		ALTER TABLE plays ADD CONSTRAINT plays_personnel_check
			CHECK (personnel ~ '^(0[0-5]|1[0-4]|2[0-3]|3[0-2]|4[01]|50)$') NOT VALID`); err != nil {
		t.Fatal(err)
	}
	if err := try(); err == nil || !strings.Contains(err.Error(), "personnel") {
		t.Errorf("a personnel of 55: %v", err)
	}
}
