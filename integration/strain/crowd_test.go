package strain

import (
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/url"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"

	"overhang/integration/madeup"
	"overhang/internal/staff"
	"overhang/internal/tags"
)

var crowdFor = flag.Duration("hostile-load", 0, "how long 20 hostile clients are at it; 0: for seconds")

// TestHostileLoad prints what an analyst and a coordinator of one program meet while 20 clients
// of another send bodies of 50,000 unknown keys, the largest call that is read, and sign-ins with
// made-up logins of every length, without a pause: n, p50, p99 and the worst of each. The aim is
// tagging under 200 ms at p99 and a board under 1 s; it asserts answers, not times.
func TestHostileLoad(t *testing.T) {
	d, hostiles := *crowdFor, 20
	if d == 0 {
		d, hostiles = 3*time.Second, 4
	}
	r := newRig(t, folder(t))
	l := &load{t: t, r: r, over: make(chan struct{}), took: map[string][]time.Duration{}, again: map[string]int{},
		bad: map[string]int{}}
	l.season()
	tokens := l.strangers(hostiles)
	games := r.games("tagged", 1)
	analyst := l.join("analyst", &http.Client{Timeout: time.Minute}, 1, "Authorization",
		"Bearer "+r.tokens(staff.Analyst, 1)[0])
	coordinator := l.join("coordinator", &http.Client{Timeout: time.Minute}, 1, "Authorization",
		"Bearer "+r.tokens(staff.Coordinator, 1)[0])
	busy, _ := os.ReadFile("/proc/loadavg")
	l.wg.Go(func() { analyst.tagSteadily(games[0]) })
	l.wg.Go(coordinator.watchBoards)
	alone := l.during(d / 2)
	c := &crowd{r: r, over: make(chan struct{}), statuses: map[string]int{}, keys: unknownKeys(50_000),
		worst: madeup.AsksAnswers(madeup.WorstCall("quarters match"))}
	for i, token := range tokens {
		c.wg.Go(func() { c.send(i, token) })
	}
	among := l.during(d)
	close(c.over)
	close(l.over)
	c.wg.Wait()
	l.wg.Wait()
	t.Logf("machine's load before: %s", strings.TrimSpace(string(busy)))
	t.Logf("alone, %v\n%s", d/2, alone)
	t.Logf("among %d hostile clients, %v\n%s", hostiles, d, among)
	t.Logf("what the hostile were answered: %v; the server had %d MB at most", c.statuses, r.server.most()>>20)
}

// during lets everybody work and returns the times of that while.
func (l *load) during(d time.Duration) string {
	l.mu.Lock()
	clear(l.took)
	clear(l.again)
	l.mu.Unlock()
	time.Sleep(d)
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.times()
}

// tagSteadily stores some two plays a second, as one who imports by hand would at most.
func (s *staffer) tagSteadily(game uuid.UUID) {
	for n := 1; n < 900 && s.rest(300*time.Millisecond, 700*time.Millisecond); n++ {
		s.send("store a play", http.StatusCreated, "POST", "/plays", fmt.Appendf(nil,
			`{"game_id":"%s","number":%d,"status":"counted","down":%d,"distance_yd":7,"called":"pass","gain_yd":4}`, game, n,
			1+n%4))
	}
}

// watchBoards asks for a board every second, of a down in turn.
func (s *staffer) watchBoards() {
	for n := 0; s.rest(800*time.Millisecond, 1200*time.Millisecond); n++ {
		s.send(questions[3].kind, http.StatusOK, "GET", fmt.Sprint("/opponents/alder/stress?down=", 1+n%3), nil)
	}
}

// strangers makes owners of another program and returns their tokens.
func (l *load) strangers(n int) []string {
	ctx := l.t.Context()
	store := l.r.store()
	defer store.Close()
	mine := l.r.program
	defer func() { l.r.program = mine }()
	var err error
	l.r.program, err = store.EnsureProgram(ctx, tags.Program{Code: "theirs", Name: "Others", Level: "college",
		Invented: true})
	if err != nil {
		l.t.Fatal(err)
	}
	return l.r.tokens(staff.Owner, n)
}

// A crowd is clients that mean no good. What they send is made once, before anybody is timed:
// made by each of them as he came, it kept both cores busy for half a second, which was read as
// the server's.
type crowd struct {
	keys, worst string
	r           *rig
	over        chan struct{}
	wg          sync.WaitGroup
	mu          sync.Mutex
	statuses    map[string]int
}

// send asks without a pause, one kind after the other, until the crowd is over.
func (c *crowd) send(i int, token string) {
	rng := rand.New(rand.NewPCG(uint64(i), 1))
	client := &http.Client{Timeout: time.Minute, Transport: &http.Transport{}}
	for n := 0; ; n++ {
		select {
		case <-c.over:
			client.CloseIdleConnections()
			return
		default:
		}
		switch (i + n) % 5 {
		case 0:
			c.post(client, "keys", "/v1/programs/theirs/plays", "application/json", token, c.keys)
		case 1:
			c.post(client, "keys", "/v1/stress", "application/json", token, c.keys)
		case 2:
			c.post(client, "call", "/v1/answers?per_kind=10", "application/json", token, c.worst)
		case 3:
			c.post(client, "call", "/v1/stress", "application/json", token, c.worst)
		case 4:
			login := strings.Repeat("x", 1<<rng.IntN(20)) + fmt.Sprint(rng.Int())
			c.post(client, "sign-in", "/sign-in", "application/x-www-form-urlencoded", "",
				url.Values{"login": {login}, "password": {hostilePw}}.Encode())
		}
	}
}

func (c *crowd) post(client *http.Client, kind, path, media, token, body string) {
	req, err := http.NewRequest("POST", c.r.url+path, strings.NewReader(body))
	if err != nil {
		return
	}
	req.Header.Set("Content-Type", media)
	if token != "" {
		req.Header.Set("Authorization", "Bearer "+token)
	}
	answer := "none"
	if resp, err := client.Do(req); err == nil {
		io.Copy(io.Discard, resp.Body)
		resp.Body.Close()
		answer = fmt.Sprint(resp.StatusCode)
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.statuses[kind+" "+answer]++
}

// unknownKeys is a body of n keys that nobody knows.
func unknownKeys(n int) string {
	var b strings.Builder
	b.WriteString(`{"a":1`)
	for i := range n {
		fmt.Fprintf(&b, `,"k%d":1`, i)
	}
	b.WriteByte('}')
	return b.String()
}
