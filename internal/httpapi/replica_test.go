package httpapi_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"overhang/db/migrations"
	"overhang/internal/database/localdb"
	"overhang/internal/httpapi"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// A pair is a primary and its streaming replica, with the server before them.
type pair struct {
	t        *testing.T
	primary  *localdb.Server
	standby  *localdb.Server
	dir      string
	store    *postgres.Store // without walls
	followed *postgres.Store // as the server has it
	c        *client
}

const bound = 2 * time.Second

func newPair(t *testing.T) *pair {
	t.Helper()
	ctx := t.Context()
	primary, err := localdb.Start(ctx, localdb.Options{Durable: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { primary.Stop() })
	if err := migrations.Up(primary.URL("postgres")); err != nil {
		t.Fatal(err)
	}
	p := &pair{t: t, primary: primary}
	dir, err := os.MkdirTemp("", "overhang-replica-")
	if err != nil {
		t.Fatal(err)
	}
	os.Chmod(dir, 0o755) // the server's user enters it
	t.Cleanup(func() { os.RemoveAll(dir) })
	p.dir = filepath.Join(dir, "standby")
	if p.standby, err = primary.Replicate(ctx, p.dir); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { p.standby.Stop() })
	if p.store, err = postgres.Open(ctx, primary.URL("postgres")); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(p.store.Close)
	walled := behindWalls(t, p.store)
	followed, replica, err := walled.Follow(ctx, p.standby.URL("postgres"), bound)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(replica.Close)
	p.followed = followed
	watch, stop := context.WithCancel(ctx)
	done := make(chan struct{})
	go func() {
		defer close(done)
		replica.Watch(watch, func(used bool, why error) { t.Log("replica used:", used, why) })
	}()
	t.Cleanup(func() { stop(); <-done })
	p.c = clientFor(t, followed, httpapi.WithLogin(p.store), httpapi.WithReplica(replica))
	return p
}

// counted asks how many plays there are, and which database said so.
func (p *pair) counted(c *client) (int, string) {
	p.t.Helper()
	resp, _ := c.do("GET", ours+"/tendencies?by=down", "")
	total := c.must(200, "GET", ours+"/tendencies?by=down", "")["total"]
	n, _ := total.(float64)
	return int(n), resp.Header.Get("Overhang-Read")
}

// from waits until questions are put to one of the two.
func (p *pair) from(c *client, database string) {
	p.t.Helper()
	settle(p.t, "questions put to the "+database, func() bool { _, at := p.counted(c); return at == database })
}

// TestReplica reads costly questions from a real streaming standby, and from the
// primary while it lags, is away, or has not yet what the asker wrote.
func TestReplica(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a quarter of a minute and more")
	}
	p := newPair(t)
	ana, ben, far := p.c.person(p.store, "ours", "ana", staff.Coordinator), p.c.person(p.store, "ours", "ben",
		staff.Coordinator), p.c.person(p.store, "theirs", "far", staff.Owner)
	game := ana.season()
	stored := 0
	write := func() {
		stored++
		ana.must(201, "POST", ours+"/plays", fmt.Sprintf(`{"game_id":"%s","number":%d,%s}`, game, stored, smash))
	}
	for range 100 { // who wrote sees it, wherever it is read
		write()
		if n, at := p.counted(ana); n != stored {
			t.Fatalf("after %d plays of his own ana counts %d at the %s", stored, n, at)
		}
	}
	p.from(ana, "replica")
	p.from(ben, "replica")
	far.must(404, "GET", ours+"/tendencies?by=down", "")
	p.walls()

	if err := p.standby.Exec(t.Context(), "postgres", "SELECT pg_wal_replay_pause()"); err != nil {
		t.Fatal(err)
	}
	write()
	if n, at := p.counted(ana); n != stored || at != "primary" {
		t.Errorf("replay stands still: ana, who wrote, counts %d of %d at the %s", n, stored, at)
	}
	p.from(ben, "primary") // once it is more than the bound behind
	if n, _ := p.counted(ben); n != stored {
		t.Errorf("replay stands still: ben counts %d of %d at the primary", n, stored)
	}
	if err := p.standby.Exec(t.Context(), "postgres", "SELECT pg_wal_replay_resume()"); err != nil {
		t.Fatal(err)
	}
	p.from(ben, "replica")
	if n, _ := p.counted(ben); n != stored {
		t.Errorf("after it came up ben counts %d of %d at the replica", n, stored)
	}
	// Where the walls do not hold, nobody is answered from there.
	for _, x := range [][2]string{{"BYPASSRLS", "primary"}, {"NOBYPASSRLS", "replica"}} {
		if err := p.primary.Exec(t.Context(), "postgres", "ALTER ROLE overhang_server "+x[0]); err != nil {
			t.Fatal(err)
		}
		p.from(ben, x[1])
	}
	p.stopped(ben)
}

// walls: the connection to the replica sees one program too.
func (p *pair) walls() {
	p.t.Helper()
	ctx := p.t.Context()
	ours, err := p.store.Program(ctx, "ours")
	if err != nil {
		p.t.Fatal(err)
	}
	theirs, err := p.store.Program(ctx, "theirs")
	if err != nil {
		p.t.Fatal(err)
	}
	q := tags.TendencyQuery{By: []string{"down"}}
	for _, told := range []tags.Program{ours, theirs} {
		x, err := p.followed.Tendencies(postgres.FromReplica(postgres.InProgram(ctx, told.ID)), ours, q)
		if err != nil || (x.Total > 0) != (told.ID == ours.ID) {
			p.t.Errorf("a connection to the replica that was told %s counts %d plays of ours, %v", told.Code, x.Total, err)
		}
	}
}

// stopped: the standby ends while it is asked, and comes back; nobody is refused.
func (p *pair) stopped(c *client) {
	t := p.t
	var wg sync.WaitGroup
	var asked atomic.Int64
	asking, enough := context.WithCancel(t.Context())
	for range 4 {
		wg.Go(func() {
			for asking.Err() == nil {
				c.must(200, "GET", ours+"/tendencies?by=down", "")
				asked.Add(1)
			}
		})
	}
	port := p.standby.Port()
	p.standby.Stop()
	p.from(c, "primary")
	var err error
	if p.standby, err = localdb.Start(t.Context(), localdb.Options{Dir: p.dir, Port: port}); err != nil {
		t.Fatal(err)
	}
	p.from(c, "replica")
	enough()
	wg.Wait()
	t.Logf("%d questions answered while the standby went and came", asked.Load())
}
