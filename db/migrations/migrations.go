package migrations

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"github.com/golang-migrate/migrate/v4"
	_ "github.com/golang-migrate/migrate/v4/database/pgx/v5" // the pgx5:// driver
	"github.com/golang-migrate/migrate/v4/source/iofs"
	"github.com/jackc/pgx/v5"
)

//go:embed *.sql
var files embed.FS

// Up brings the database at url to the newest schema this program knows. Two
// programs may call it at once: the second waits for the first. It refuses a
// database that is newer than the program.
func Up(url string) error {
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	c, err := pgx.Connect(ctx, url)
	if err != nil {
		return fmt.Errorf("migrations: %w", err)
	}
	defer c.Close(ctx)
	// The library locks each step but not the look at the version before it,
	// which would find another program's step half done.
	if _, err := c.Exec(ctx, "SELECT pg_advisory_lock($1)", turn); err != nil {
		return fmt.Errorf("migrations: %w", err)
	}
	if err := up(url); err != nil {
		return err
	}
	// Also for tables that later steps make.
	if _, err := c.Exec(ctx, "SELECT wall_programs()"); err != nil {
		return fmt.Errorf("migrations: walls between programs: %w", err)
	}
	return nil
}

// turn is the advisory lock of the one who migrates; it goes with the connection.
const turn = 0x6f76657268616e67 // "overhang"

func up(url string) error {
	return with(url, func(m *migrate.Migrate) error {
		at, dirty, err := m.Version()
		switch {
		case errors.Is(err, migrate.ErrNilVersion):
		case err != nil:
			return err
		case dirty:
			return fmt.Errorf("the database stopped half-way through schema version %d: restore it from a backup", at)
		case at > Newest():
			return fmt.Errorf("the database has schema version %d, this program knows up to %d: start a newer program, the "+
				"data is untouched", at, Newest())
		}
		return m.Up()
	})
}

// To goes to one version, up or down, at 0 to an empty database: what is tried with the
// data of an older program begins there.
func To(url string, version uint) error {
	return with(url, func(m *migrate.Migrate) error {
		if version == 0 {
			return m.Down()
		}
		return m.Migrate(version)
	})
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
