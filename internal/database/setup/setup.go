// Package setup opens the store for the commands: the server that
// OVERHANG_DATABASE_URL names, else a private one; migrated in either case.
package setup

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"net/url"
	"os"
	"regexp"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"overhang/db/migrations"
	"overhang/internal/database/localdb"
	"overhang/internal/tags/postgres"
)

// Log makes the commands' log: text lines, no play content.
func Log(w io.Writer) *slog.Logger { return slog.New(slog.NewTextHandler(w, nil)) }

// Database finds the server: its address as PostgreSQL's own programs read it, and
// what ends the private one if this process started it.
func Database(ctx context.Context, log *slog.Logger) (url string, stop func(), err error) {
	url, stop, err = address(ctx, log)
	if err != nil {
		return "", nil, err
	}
	if err := fits(ctx, plain(url)); err != nil {
		stop()
		return "", nil, err
	}
	return plain(url), stop, nil
}

// fits asks a server for its version, which it tells anyone who connects.
func fits(ctx context.Context, url string) error {
	ctx, cancel := context.WithTimeout(ctx, 15*time.Second)
	defer cancel()
	c, err := pgx.Connect(ctx, url)
	if err != nil {
		return fmt.Errorf("PostgreSQL does not answer: %w", err)
	}
	defer c.Close(ctx)
	return localdb.Fits(c.PgConn().ParameterStatus("server_version"))
}

// pooled is a word for pools in an address of keywords (PostgreSQL, libpq, 34.1.1.1).
var pooled = regexp.MustCompile(`(?:^|\s+)(?:pool_\w+|default_query_exec_mode)\s*=\s*(?:'(?:[^'\\]|\\.)*'|\S*)`)

// plain takes out of an address, a URL or keywords, what only this program's pools understand.
func plain(address string) string {
	u, err := url.Parse(address)
	if err != nil || u.Scheme == "" {
		return strings.TrimSpace(pooled.ReplaceAllString(address, ""))
	}
	q := u.Query()
	for name := range q {
		if strings.HasPrefix(name, "pool_") || name == "default_query_exec_mode" {
			q.Del(name)
		}
	}
	u.RawQuery = q.Encode()
	return u.String()
}

func address(ctx context.Context, log *slog.Logger) (url string, stop func(), err error) {
	if url = os.Getenv("OVERHANG_DATABASE_URL"); url != "" {
		return url, func() {}, nil
	}
	dir := localdb.DefaultDir()
	server, err := localdb.Start(ctx, localdb.Options{Dir: dir, Durable: true, Log: log})
	if err != nil {
		return "", nil, err
	}
	log.Info("private PostgreSQL", "folder", dir, "attached", server.Attached())
	stop = func() { server.Stop() }
	if err := server.Ensure(ctx, "overhang"); err != nil {
		stop()
		return "", nil, err
	}
	return server.URL("overhang"), stop, nil
}

// Store opens the database, migrated. stop closes it, and the private server if
// this process started it.
func Store(ctx context.Context, log *slog.Logger) (store *postgres.Store, stop func(), err error) {
	url, stopServer, err := address(ctx, log)
	if err != nil {
		return nil, nil, err
	}
	if err = fits(ctx, plain(url)); err == nil {
		err = migrations.Up(plain(url))
	}
	if err != nil {
		stopServer()
		return nil, nil, err
	}
	if store, err = postgres.Open(ctx, url); err != nil {
		stopServer()
		return nil, nil, fmt.Errorf("database: %w", err)
	}
	return store, func() { store.Close(); stopServer() }, nil
}

// Walled opens what the server serves through: a pool behind the walls between
// programs, on the same database or by the address OVERHANG_SERVER_DATABASE_URL, which
// may be a pooler's.
func Walled(ctx context.Context, store *postgres.Store) (*postgres.Store, error) {
	if url := os.Getenv("OVERHANG_SERVER_DATABASE_URL"); url != "" {
		return postgres.OpenWalled(ctx, url)
	}
	return store.Walled(ctx)
}
