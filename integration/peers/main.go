// Command peers sets our answers and imports beside what else could give them, in
// one run on one machine: the store and the API against bare pgx on the same tables, DuckDB,
// SQLite, and R's data.table where it is there; an import against COPY alone.
//
//	go run . [-plays 1500,300000] [-n 200] [-for 3s] [-random 60]
//
// Every peer must find the same cells, or the run fails. It is a module of its own,
// so that cgo and its drivers stay out of the product.
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"time"

	"github.com/jackc/pgx/v5/pgxpool"

	"overhang/db/migrations"
	"overhang/internal/database/localdb"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

func main() {
	sizes := flag.String("plays", "1500,300000", "so many plays, one run each (10000000 takes minutes and gigabytes)")
	most := flag.Int("n", 200, "answers timed for each question, at most")
	limit := flag.Duration("for", 3*time.Second, "time for each question and peer")
	imports := flag.Bool("imports", true, "time an import beside COPY")
	alone := flag.Bool("import-alone", false, "time one import of the plays by a mapping, and nothing else")
	few := flag.Bool("few", false, "ask ours, bare pgx and DuckDB alone")
	random := flag.Int("random", 60, "random questions asked over HTTP")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := run(ctx, *sizes, *most, *limit, *random, *imports, *few, *alone); err != nil {
		fmt.Fprintln(os.Stderr, "peers:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, sizes string, most int, limit time.Duration, random int, imports, few,
	alone bool) error {
	server, err := localdb.Start(ctx, localdb.Options{Durable: true})
	if err != nil {
		return err
	}
	defer server.Stop()
	if err := server.Ensure(ctx, "peers"); err != nil {
		return err
	}
	url := server.URL("peers")
	if err := migrations.Up(url); err != nil {
		return err
	}
	s, err := postgres.Open(ctx, url)
	if err != nil {
		return err
	}
	defer s.Close()
	if mb, err := strconv.Atoi(os.Getenv("OVERHANG_KEPT_MB")); err == nil {
		s.Keep(mb << 20) // as the server takes it
	}
	db, err := pgxpool.New(ctx, url)
	if err != nil {
		return err
	}
	defer db.Close()
	web, end, err := serve(ctx, url)
	if err != nil {
		return err
	}
	defer end()
	defer context.AfterFunc(ctx, func() { // a question is not asked to stop: what was started goes, and this with it
		end()
		server.Stop()
		os.Exit(130)
	})()
	machine(ctx, db)
	for _, size := range strings.Split(sizes, ",") {
		n, err := strconv.Atoi(size)
		if err != nil {
			return err
		}
		t := trial{ctx: ctx, store: s, db: db, web: web, url: url, plays: invent(n)}
		if err := t.run(most, limit, random, imports, few, alone); err != nil {
			return err
		}
	}
	return nil
}

// run asks and imports what the command line wants of one size.
func (t *trial) run(most int, limit time.Duration, random int, imports, few, alone bool) error {
	if alone {
		return t.importAlone()
	}
	if err := t.questions(most, limit, few); err != nil {
		return err
	}
	if random > 0 {
		if err := atRandom(t.web, fmt.Sprintf("p%d", len(t.plays)), t.plays, random); err != nil {
			return err
		}
	}
	if imports {
		return t.imports()
	}
	return nil
}

// machine says on what this was measured.
func machine(ctx context.Context, db *pgxpool.Pool) {
	model := "unknown processor"
	if info, err := os.ReadFile("/proc/cpuinfo"); err == nil {
		_, rest, _ := strings.Cut(string(info), "model name\t: ")
		model, _, _ = strings.Cut(rest, "\n")
	}
	load, _ := os.ReadFile("/proc/loadavg")
	var version string
	db.QueryRow(ctx, "SHOW server_version").Scan(&version)
	fmt.Printf("%s, %d cores, load %.14s; %s %s; PostgreSQL %s; %s\n", model, runtime.NumCPU(), load, runtime.Version(),
		runtime.GOARCH, version, time.Now().Format(time.DateOnly))
}

type trial struct {
	ctx      context.Context
	store    *postgres.Store
	db       *pgxpool.Pool
	web, url string
	plays    []play
}

func (t *trial) questions(most int, limit time.Duration, few bool) error {
	code := fmt.Sprintf("p%d", len(t.plays))
	p, err := store(t.ctx, t.store, t.db, code, t.plays)
	if err != nil {
		return err
	}
	if err := t.warm(p, code); err != nil {
		return err
	}
	d, err := duck(t.plays)
	if err != nil {
		return fmt.Errorf("DuckDB: %w", err)
	}
	peers := []peer{ours(t.store, p), overHTTP(t.web, code, false), overHTTP(t.web, code, true), bare(t.db, p.ID), d}
	if few {
		return compare(t.plays, peers, most, limit)
	}
	l, err := lite(t.plays)
	if err != nil {
		return fmt.Errorf("SQLite: %w", err)
	}
	c, err := cube(t.ctx, t.db, p.ID)
	if err != nil {
		return fmt.Errorf("cube: %w", err)
	}
	peers = append(peers, l, c, arrows(t.plays))
	if err := compare(t.plays, peers, most, limit); err != nil {
		return err
	}
	return askR(t.plays, most, limit.Seconds())
}

// warm asks until the store keeps the plays, and lets the server come as far.
func (t *trial) warm(p tags.Program, code string) error {
	before, began := t.store.Kept().Made, time.Now()
	mine, web := ours(t.store, p), overHTTP(t.web, code, false)
	for t.store.Kept().Made == before && time.Since(began) < 10*time.Minute {
		// Ten million plays themselves take longer than an answer may.
		if _, err := mine.ask(questions[2]); err != nil && tags.As(err) == nil {
			return err
		}
		time.Sleep(20 * time.Millisecond)
	}
	made := time.Since(began)
	k := t.store.Kept()
	fmt.Printf("\n%d plays kept in %.2f s, %.1f MB (%d failures)\n", len(t.plays), made.Seconds(), float64(k.Bytes)/1e6,
		k.Failed)
	var err error
	for began = time.Now(); time.Since(began) < 2*made+time.Second; time.Sleep(20 * time.Millisecond) {
		at := time.Now()
		if _, err = web.ask(questions[2]); err == nil && time.Since(at) < made/20 {
			break // it is kept there too
		}
	}
	return err
}
