// Package migrations holds the schema as numbered steps and runs them.
package migrations

import (
	"embed"
	"errors"
	"fmt"
	"os"
	"strings"

	"github.com/golang-migrate/migrate/v4"
	_ "github.com/golang-migrate/migrate/v4/database/pgx/v5" // the pgx5:// driver
	"github.com/golang-migrate/migrate/v4/source/iofs"
)

//go:embed *.sql
var files embed.FS

// Up brings the database at url to the newest schema this program knows. Two
// programs may call it at once: the second waits for the first (golang-migrate
// takes an advisory lock). It refuses a database that is newer than the program.
func Up(url string) error {
	return with(url, func(m *migrate.Migrate) error {
		at, dirty, err := m.Version()
		switch {
		case errors.Is(err, migrate.ErrNilVersion):
		case err != nil:
			return err
		case dirty:
			return fmt.Errorf("the database stopped half-way through schema version %d: restore it from a backup", at)
		case at > Newest():
			return fmt.Errorf("the database has schema version %d, this program knows up to %d: start a newer program, the data is untouched", at, Newest())
		}
		return m.Up()
	})
}

// Down takes everything away again; tests use it.
func Down(url string) error {
	return with(url, func(m *migrate.Migrate) error { return m.Down() })
}

func with(url string, do func(*migrate.Migrate) error) error {
	src, err := iofs.New(files, ".")
	if err != nil {
		return err
	}
	_, rest, ok := strings.Cut(url, "://")
	if !ok {
		return fmt.Errorf("database address %q is not a postgres:// URL", url)
	}
	m, err := migrate.NewWithSourceInstance("iofs", src, "pgx5://"+rest)
	if err != nil {
		return fmt.Errorf("migrations: %w", err)
	}
	defer m.Close()
	if err := do(m); err != nil && !errors.Is(err, migrate.ErrNoChange) && !errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("migrations: %w", err)
	}
	return nil
}

// Newest returns the number of the last step.
func Newest() uint {
	entries, _ := files.ReadDir(".")
	var newest uint
	for _, e := range entries {
		var n uint
		if _, err := fmt.Sscanf(e.Name(), "%d_", &n); err == nil {
			newest = max(newest, n)
		}
	}
	return newest
}
