package strain

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"overhang/db/migrations"
	"overhang/internal/database/localdb"
	"overhang/internal/staff"

	"overhang/integration/built"
)

// migrateTogether starts two servers at the same moment on an empty database: both
// serve, the schema is whole, and each stores what it is sent.
func migrateTogether(t *testing.T, r *rig, times int) (out row) {
	for range times {
		name := fmt.Sprint("together_", time.Now().UnixNano())
		if _, err := r.connect().Exec(context.Background(), "CREATE DATABASE "+name); err != nil {
			t.Fatal(err)
		}
		address := strings.Replace(r.db.url(), "/postgres?", "/"+name+"?", 1)
		from := time.Now()
		urls := pair(t, address)
		out.back = append(out.back, time.Since(from))
		store(t, address, urls, &out.count)
		db, err := pgx.Connect(context.Background(), address)
		if err != nil {
			t.Fatal(err)
		}
		var version uint
		var dirty bool
		if err := db.QueryRow(context.Background(), "SELECT version, dirty FROM schema_migrations").Scan(&version,
			&dirty); err != nil || dirty || version != migrations.Newest() {
			t.Errorf("the schema is at %d, dirty %v, %v; want %d", version, dirty, err, migrations.Newest())
		}
		db.Close(context.Background())
	}
	return out
}

// pair starts two servers and waits until both serve.
func pair(t *testing.T, address string) (urls []string) {
	t.Helper()
	for range 2 {
		at := fmt.Sprint("127.0.0.1:", freePort(t))
		cmd := exec.Command(filepath.Join(built.Dir, "api"), "-no-login", "-listen", at)
		cmd.Env = append(cmd.Environ(), "OVERHANG_DATABASE_URL="+address)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { cmd.Process.Signal(syscall.SIGTERM); cmd.Wait() })
		urls = append(urls, "http://"+at)
	}
	for _, url := range urls {
		for n := 0; ; n++ {
			if status, _ := ask(http.DefaultClient, "", "GET", url+"/readyz", nil); status == http.StatusOK {
				break
			}
			if time.Sleep(20 * time.Millisecond); n > 3000 {
				t.Fatal("a server that migrated beside another does not serve within a minute")
			}
		}
	}
	return urls
}

// store sends one write through each server and counts what is there.
func store(t *testing.T, address string, urls []string, out *count) {
	t.Helper()
	db, err := pgx.Connect(context.Background(), address)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close(context.Background())
	if _, err := db.Exec(context.Background(),
		"INSERT INTO programs (id, code, name, level, settings) VALUES (gen_random_uuid(), 'ours', 'Invented', 'college', "+
			"'{}')"); err != nil {
		t.Fatal(err)
	}
	for i, url := range urls {
		code := fmt.Sprint("o", i)
		status, raw := ask(http.DefaultClient, "", "POST", url+"/v1/programs/ours/opponents",
			[]byte(`{"code":"`+code+`","name":"Invented"}`))
		if status != http.StatusCreated {
			t.Fatalf("%d %s", status, raw)
		}
		out.acknowledged++
		var n int
		if err := db.QueryRow(context.Background(), "SELECT count(*) FROM opponents WHERE code = $1",
			code).Scan(&n); err != nil {
			t.Fatal(err)
		}
		switch {
		case n == 1:
			out.found++
		case n == 0:
			out.lost++
		default:
			out.doubled++
		}
	}
}

// replicaLags lets the replay of a real standby stand still while a crew tags and a
// coordinator counts: what is told is never older than the bound, and comes from
// the replica again once it has come up.
func replicaLags(t *testing.T, r *rig, times int) row {
	const bound = time.Second
	standby, err := r.db.server.Replicate(t.Context(), filepath.Join(r.dir, "standby"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { standby.Stop() })
	r.serve("OVERHANG_REPLICA_URL="+standby.URL("postgres"), "OVERHANG_REPLICA_LAG="+bound.String())
	token := r.tokens(staff.Reader, 1)[0]
	_, base := plays(t, r, token)
	c := newCrew(t, r, t.Name(), crewSize, pause)
	asked := map[string]int{}
	counted := func() string {
		now := time.Now()
		all, old := base+c.creates(now), base+c.creates(now.Add(-bound))
		from, total := plays(t, r, token)
		if asked[from]++; total < old || from == "primary" && total < all {
			t.Errorf("the %s counts %d plays; %d were acknowledged, %d of them longer than %v ago", from, total, all, old, bound)
		}
		return from
	}
	var out row
	c.recovered(time.Now())
	for range times {
		out.back = append(out.back, stalled(t, standby, counted))
	}
	c.stop()
	out.count = c.audit()
	out.note = fmt.Sprint("questions by the database they were put to: ", asked)
	r.serve()
	return out
}

// plays counts the program's plays by the API, and says which database did.
func plays(t *testing.T, r *rig, token string) (from string, total int) {
	t.Helper()
	req, err := http.NewRequest("GET", r.url+"/v1/programs/ours/tendencies?by=down", nil)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Authorization", "Bearer "+token)
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	var answer struct{ Total int }
	if err := json.NewDecoder(resp.Body).Decode(&answer); err != nil || resp.StatusCode != http.StatusOK {
		t.Fatalf("a question was answered %d, %v", resp.StatusCode, err)
	}
	return resp.Header.Get("Overhang-Read"), answer.Total
}

// stalled lets the replay stand still for three seconds, and returns how long after
// it went on the replica was read again.
func stalled(t *testing.T, standby *localdb.Server, counted func() string) time.Duration {
	t.Helper()
	const often = 250 * time.Millisecond // as fast as one person may ask costly questions
	until := func(database string) {
		for begun := time.Now(); counted() != database; time.Sleep(often) {
			if time.Since(begun) > time.Minute {
				t.Fatalf("the %s is not asked within a minute", database)
			}
		}
	}
	until("replica")
	if err := standby.Exec(t.Context(), "postgres", "SELECT pg_wal_replay_pause()"); err != nil {
		t.Fatal(err)
	}
	for begun := time.Now(); time.Since(begun) < 3*time.Second; time.Sleep(often) {
		counted()
	}
	until("primary")
	if err := standby.Exec(t.Context(), "postgres", "SELECT pg_wal_replay_resume()"); err != nil {
		t.Fatal(err)
	}
	from := time.Now()
	until("replica")
	return time.Since(from)
}
