package httpapi_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/testutil"

	"overhang/internal/httpapi"
	"overhang/internal/staff"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

// TestFlood: a coordinator's costly questions, hundreds at once, are refused where
// they are too many, while an analyst's tags and the readiness are answered; when it
// is over, nothing of it is left.
func TestFlood(t *testing.T) {
	address := postgrestest.URL(t)
	store, err := postgres.Open(t.Context(), address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(store.Close)
	registry := prometheus.NewRegistry()
	c := clientFor(t, store, httpapi.WithLogin(store), httpapi.WithMetrics(registry))
	var eager []*client
	for i := range 6 {
		eager = append(eager, c.person(store, "ours", fmt.Sprint("eager", i), staff.Coordinator))
	}
	analyst := c.person(store, "ours", "ana", staff.Coordinator)
	game := analyst.season()
	before := runtime.NumGoroutine()
	// Whoever counts by season has to wait for this lock; tagging does not look there.
	hold := lock(t, address, "LOCK TABLE seasons IN ACCESS EXCLUSIVE MODE")
	ctx, cancel := context.WithCancel(t.Context())
	var answers [600]atomic.Int64
	var wg sync.WaitGroup
	for i := range 90 {
		if i == 15 { // the first of them alone has met his share
			settle(t, "one person's flood", func() bool { return answers[429].Load() > 0 })
		}
		who := eager[i/15]
		wg.Go(func() {
			for ctx.Err() == nil {
				code, again := who.ask(ctx, ours+"/tendencies?by=season")
				answers[code].Add(1)
				if code == 429 || code == 503 {
					if again < 1 {
						t.Errorf("%d without Retry-After", code)
					}
					time.Sleep(200 * time.Millisecond)
				}
			}
		})
	}
	settle(t, "the flood", func() bool { return answers[503].Load() > 60 })
	for i := range 30 {
		analyst.must(201, "POST", ours+"/plays", fmt.Sprintf(`{"game_id":"%s","number":%d,%s}`, game, i+1, smash))
		c.must(200, "GET", "/readyz", "")
		c.must(200, "GET", "/healthz", "")
	}
	cancel()
	hold()
	wg.Wait()
	if got := analyst.must(200, "GET", ours+"/tendencies?by=season", "")["total"]; got != 30.0 {
		t.Errorf("after the flood %v plays are counted, want 30", got)
	}
	if n, err := testutil.GatherAndCount(registry, "overhang_requests_refused_total"); err != nil || n == 0 {
		t.Errorf("refusals in the metrics: %d %v", n, err)
	}
	http.DefaultClient.CloseIdleConnections()
	settle(t, "goroutines after the flood", func() bool { return runtime.NumGoroutine() <= before+20 })
	t.Logf("answers to the flood: %d counted, %d refused for one person's share, %d for all; goroutines before %d, "+
		"after %d",
		answers[200].Load(), answers[429].Load(), answers[503].Load(), before, runtime.NumGoroutine())
}

// ask sends a question that may be given up, and returns the status, 0 when it
// was, and Retry-After.
func (c *client) ask(ctx context.Context, path string) (status, again int) {
	req, err := http.NewRequestWithContext(ctx, "GET", c.url+path, nil)
	if err != nil {
		c.t.Error(err)
		return 0, 0
	}
	req.Header.Set("Authorization", "Bearer "+c.token)
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		return 0, 0
	}
	defer resp.Body.Close()
	raw, _ := io.ReadAll(resp.Body)
	if resp.StatusCode >= 400 && !bytes.HasPrefix(raw, []byte(`{"type":"/docs/problems/`)) {
		c.t.Errorf("%d %s is no problem (RFC 9457)", resp.StatusCode, raw)
	}
	again, _ = strconv.Atoi(resp.Header.Get("Retry-After"))
	return resp.StatusCode, again
}

// lock holds a lock in the database until it is let go.
func lock(t *testing.T, address, statement string) (release func()) {
	t.Helper()
	db, err := pgx.Connect(context.Background(), address)
	if err != nil {
		t.Fatal(err)
	}
	tx, err := db.Begin(context.Background())
	if err == nil {
		_, err = tx.Exec(context.Background(), statement)
	}
	if err != nil {
		t.Fatal(err)
	}
	return func() { tx.Rollback(context.Background()); db.Close(context.Background()) }
}

// settle waits until something holds.
func settle(t *testing.T, what string, holds func() bool) {
	t.Helper()
	for range 500 {
		if holds() {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Errorf("%s: does not settle", what)
}

// TestSlowBodies: bodies that arrive by and by, more of them than requests run at
// once, hold nobody up; what breaks off is the sender's mistake, and nothing is stored.
func TestSlowBodies(t *testing.T) {
	store, _ := postgrestest.New(t)
	c := clientFor(t, store, httpapi.WithLogin(store))
	analyst := c.person(store, "ours", "ana", staff.Coordinator)
	game := analyst.season()
	var slow []net.Conn
	for i := range 3 {
		who := c.person(store, "ours", fmt.Sprint("slow", i), staff.Coordinator)
		for range 12 {
			conn, err := net.Dial("tcp", strings.TrimPrefix(c.url, "http://"))
			if err != nil {
				t.Fatal(err)
			}
			defer conn.Close()
			fmt.Fprintf(conn, "POST %s/opponents HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer %s\r\nContent-Type: "+
				"application/json\r\nContent-Length: 40\r\n\r\n{\"code\":\"slow", ours, who.token)
			slow = append(slow, conn)
		}
	}
	for i := range 10 {
		analyst.must(201, "POST", ours+"/plays", fmt.Sprintf(`{"game_id":"%s","number":%d,%s}`, game, i+1, smash))
	}
	for _, conn := range slow {
		conn.(*net.TCPConn).CloseWrite()
		if answer, _ := io.ReadAll(conn); !bytes.Contains(answer, []byte(" 400 ")) || !bytes.Contains(answer,
			[]byte("did not arrive whole")) {
			t.Errorf("a body that broke off: %s", answer)
		}
	}
	if n := len(analyst.must(200, "GET", ours+"/opponents", "")["items"].([]any)); n != 1 {
		t.Errorf("%d opponents are stored, want the season's one", n)
	}
}

// TestRates: who asks too often is told when to come again, by what it costs;
// others are not held up, nor is he in what he does not overdo.
func TestRates(t *testing.T) {
	store, _ := postgrestest.New(t)
	c := clientFor(t, store, httpapi.WithLogin(store), httpapi.WithRates())
	eager, other := c.person(store, "ours", "eager", staff.Analyst), c.person(store, "ours", "other", staff.Analyst)
	until429 := func(method, path, body string) int {
		for n := range 1000 {
			resp, raw := eager.do(method, path, body)
			if resp.StatusCode != 429 {
				continue
			}
			if again, err := strconv.Atoi(resp.Header.Get("Retry-After")); err != nil || again < 1 || !strings.Contains(raw,
				"ask again") {
				t.Errorf("Retry-After %q (RFC 9110, 10.2.3: seconds) %s", resp.Header.Get("Retry-After"), raw)
			}
			return n
		}
		t.Errorf("a thousand times %s %s and no 429", method, path)
		return 0
	}
	const question = `{"call":"cover 9","picture":"P1 go"}`
	if n := until429("POST", "/v1/stress", question); n < 200 {
		t.Errorf("refused after %d live questions; a drag of ten seconds asks as many", n)
	}
	other.must(422, "POST", "/v1/stress", question)
	if n := until429("POST", ours+"/games", `{}`); n < 300 {
		t.Errorf("refused after %d writes; an evening's tags are as many", n)
	}
	other.must(422, "POST", ours+"/games", `{}`)
	eager.must(200, "GET", ours+"/games", "")
}

// TestEnd: a server that is about to stop says so on /readyz and answers all else.
func TestEnd(t *testing.T) {
	store, _ := postgrestest.New(t)
	ctx, end := context.WithCancel(t.Context())
	c := clientFor(t, store, httpapi.WithEnd(ctx))
	c.must(200, "GET", "/readyz", "")
	end()
	if p := c.must(503, "GET", "/readyz", ""); p["retry-after"] == "" || p["detail"] != "the server is stopping" {
		t.Errorf("/readyz of a server that stops: %v", p)
	}
	c.must(200, "GET", "/healthz", "")
	c.must(200, "GET", ours+"/plays", "")
}
