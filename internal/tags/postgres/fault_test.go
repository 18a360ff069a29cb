package postgres_test

import (
	"bytes"
	"fmt"
	"net"
	"net/url"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

// A cutter stands between a store and its server and breaks the connection at
// the next COMMIT: before it reaches the server, or after.
type cutter struct {
	net.Listener
	to    string
	armed atomic.Int32 // 0 no, 1 before, 2 after
}

func cut(t *testing.T, address string) (*cutter, string) {
	t.Helper()
	u, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	c := &cutter{Listener: l, to: u.Host}
	t.Cleanup(func() { l.Close() })
	go func() {
		for {
			client, err := l.Accept()
			if err != nil {
				return
			}
			go c.carry(client)
		}
	}()
	u.Host = l.Addr().String()
	return c, u.String()
}

func (c *cutter) carry(client net.Conn) {
	server, err := net.Dial("tcp", c.to)
	if err != nil {
		client.Close()
		return
	}
	var swallow atomic.Bool
	go func() {
		defer client.Close()
		buf := make([]byte, 64<<10)
		for {
			n, err := server.Read(buf)
			if err != nil || swallow.Load() {
				return // the answer to the COMMIT never arrives
			}
			client.Write(buf[:n])
		}
	}()
	defer server.Close()
	buf := make([]byte, 64<<10)
	for {
		n, err := client.Read(buf)
		if err != nil {
			return
		}
		if bytes.Contains(buf[:n], []byte("commit")) {
			switch c.armed.Swap(0) {
			case 1:
				client.Close()
				return
			case 2:
				swallow.Store(true)
			}
		}
		server.Write(buf[:n])
	}
}

// TestLossAtCommit: whether a commit happened is not known when the connection
// breaks under it. In both cases the answer may not say that nothing was changed.
func TestLossAtCommit(t *testing.T) {
	address := postgrestest.URL(t)
	proxy, through := cut(t, address)
	s := opened(t, through)
	p, err := s.EnsureProgram(ctx, tags.Program{Code: "ours", Name: "Invented", Level: "college"})
	if err != nil {
		t.Fatal(err)
	}
	for when, stored := range map[int32]int{1: 0, 2: 1} {
		proxy.armed.Store(when)
		code := fmt.Sprint("o", when)
		_, err := s.Opponents().Create(ctx, p.ID, tags.Opponent{Code: code, Name: "x"})
		e := tags.As(err)
		if e == nil || e.Kind != tags.Unavailable || !strings.Contains(e.Msg, "may be saved or not") {
			t.Errorf("cut %d: %v; want an answer that leaves it open", when, err)
		}
		os, err := s.Opponents().List(ctx, p.ID, postgres.Page{Limit: 9, Filters: map[string]string{"code": code}})
		if err != nil || len(os) != stored {
			t.Errorf("cut %d (1: before the server saw it, 2: after): %d stored, %v; want %d", when, len(os), err, stored)
		}
	}
}

// TestDeadlockIsTemporary: two writers who wait for each other are told to try
// again (SQLSTATE 40P01), and nothing of the loser's is kept.
func TestDeadlockIsTemporary(t *testing.T) {
	s, p := postgrestest.New(t)
	var made []tags.Opponent
	for _, code := range []string{"a", "b"} {
		o, err := s.Opponents().Create(ctx, p.ID, tags.Opponent{Code: code, Name: "x"})
		if err != nil {
			t.Fatal(err)
		}
		made = append(made, o)
	}
	var met, done sync.WaitGroup
	met.Add(2)
	errs := make([]error, 2)
	for i := range errs {
		done.Go(func() {
			errs[i] = s.Atomically(ctx, func(s *postgres.Store) error {
				for k := range 2 {
					o := made[(i+k)%2]
					o.Name = fmt.Sprint("changed by ", i)
					if _, err := s.Opponents().Replace(ctx, p.ID, o.ID, 1, o); err != nil {
						return err
					}
					if k == 0 {
						met.Done()
						met.Wait()
					}
				}
				return nil
			})
		})
	}
	done.Wait()
	lost := 0
	for _, err := range errs {
		if e := tags.As(err); e != nil && e.Kind == tags.Unavailable && strings.Contains(e.Msg, "try again") {
			lost++
		} else if err != nil {
			t.Errorf("a deadlock came out as %v", err)
		}
	}
	if lost != 1 {
		t.Errorf("%d of two deadlocked writers were told to try again; want 1 (%v)", lost, errs)
	}
}

// TestListUsesAnIndex asks PostgreSQL itself how it found a game's plays.
func TestListUsesAnIndex(t *testing.T) {
	address := postgrestest.URL(t)
	s := opened(t, address)
	p, _ := s.EnsureProgram(ctx, tags.Program{Code: "ours", Name: "x", Level: "college"})
	var one tags.Game
	for week := range 20 {
		g, err := s.EnsureGame(ctx, p.ID, tags.Opponent{Code: "o1", Name: "x"}, "",
			tags.Game{Label: fmt.Sprint("week ", week)})
		if err != nil {
			t.Fatal(err)
		}
		var ps []tags.Play
		for i := range 80 {
			ps = append(ps, tags.Play{GameID: g.ID, OpponentID: g.OpponentID, Number: i + 1, Status: "counted"})
		}
		if _, err := s.LoadPlays(ctx, p.ID, ps); err != nil {
			t.Fatal(err)
		}
		one = g
	}
	c, err := pgx.Connect(ctx, address)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close(ctx)
	c.Exec(ctx, "ANALYZE plays")
	page, err := s.Plays().List(ctx, p.ID, postgres.Page{Limit: 20,
		Filters: map[string]string{"game_id": one.ID.String()}})
	if err != nil || len(page) != 20 {
		t.Errorf("List of the game: %d plays, %v; want 20", len(page), err)
	}
	s.Close() // a session that ends hands its counts in
	used := 0
	for range 100 {
		if err := c.QueryRow(ctx,
			`SELECT coalesce(idx_scan, 0) FROM pg_stat_user_indexes WHERE indexrelname = 'plays_game'`).Scan(&used); err != nil {
			t.Fatal(err)
		}
		if used > 0 {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Error("the list of a game's plays did not use the index plays_game")
}
