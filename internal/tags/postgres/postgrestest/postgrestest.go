package postgrestest

import (
	"context"
	"crypto/rand"
	"fmt"
	"net/url"
	"os"
	"strings"
	"sync"
	"testing"

	"github.com/jackc/pgx/v5"

	"overhang/db/migrations"
	"overhang/internal/database/localdb"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

var (
	once   sync.Once
	admin  string // address of a database to make others from
	server *localdb.Server
	failed error
	mu     sync.Mutex
	serial int
	// Several packages' tests share the server that TEST_DATABASE_URL names: each
	// process has a template and names of its own.
	mine     = "overhang_test_" + strings.ToLower(rand.Text()[:10])
	template = mine + "_template"
)

func start() {
	ctx := context.Background()
	admin = os.Getenv("TEST_DATABASE_URL")
	if admin == "" {
		if server, failed = localdb.Start(ctx, localdb.Options{}); failed != nil {
			return
		}
		admin = server.URL("postgres")
	}
	if failed = run(ctx, "CREATE DATABASE "+template); failed == nil {
		failed = migrations.Up(to(template))
	}
}

func run(ctx context.Context, sql string) error {
	c, err := pgx.Connect(ctx, admin)
	if err != nil {
		return err
	}
	defer c.Close(ctx)
	_, err = c.Exec(ctx, sql)
	return err
}

func to(database string) string {
	u, err := url.Parse(admin)
	if err != nil {
		panic(err)
	}
	u.Path = "/" + database
	return u.String()
}

// Main runs the tests of a package and clears away after them:
// func TestMain(m *testing.M) { postgrestest.Main(m) }.
func Main(m *testing.M) {
	code := m.Run()
	if server != nil {
		server.Stop()
	} else if admin != "" {
		run(context.Background(), "DROP DATABASE IF EXISTS "+template+" WITH (FORCE)")
	}
	os.Exit(code)
}

// Empty returns the address of a new database without a schema.
func Empty(t testing.TB) string { return database(t, "") }

// URL returns the address of a new migrated database of the test's own.
func URL(t testing.TB) string { return database(t, " TEMPLATE "+template) }

func database(t testing.TB, from string) string {
	t.Helper()
	once.Do(start)
	if failed != nil {
		t.Fatalf("a PostgreSQL for the tests: %v", failed)
	}
	mu.Lock()
	defer mu.Unlock()
	serial++
	name := fmt.Sprintf("%s_%d", mine, serial)
	if err := run(context.Background(), "CREATE DATABASE "+name+from); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { run(context.Background(), "DROP DATABASE IF EXISTS "+name+" WITH (FORCE)") })
	return to(name)
}

// New returns a store on a database of the test's own, and a program in it.
func New(t testing.TB) (*postgres.Store, tags.Program) {
	t.Helper()
	s, err := postgres.Open(context.Background(), URL(t))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	p, err := s.EnsureProgram(context.Background(), tags.Program{Code: "ours", Name: "Invented staff",
		Level: "high_school", Invented: true})
	if err != nil {
		t.Fatal(err)
	}
	return s, p
}
