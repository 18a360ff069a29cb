package strain

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/uuid"

	"overhang/internal/staff"
	"overhang/internal/tags"
)

// A crew is analysts at work, each at a game of his own, until they are stopped.
type crew struct {
	t       testing.TB
	r       *rig
	taggers []*tagger
	over    atomic.Bool
	wg      sync.WaitGroup
}

// A tagger stores plays and changes some of them. What he is not sure of he does
// again: a create under its Idempotency-Key, a change after he has read the play.
type tagger struct {
	c     *crew
	name  string
	token string
	games []uuid.UUID
	http  *http.Client
	rng   *rand.Rand
	pause time.Duration

	mu     sync.Mutex
	acks   []ack       // what the server said is stored
	states map[int]int // answers by status, 0: none
	last   tags.Play
}

const (
	gamesEach  = 5
	snapsAGame = 900
)

// An ack is a write that the server said it has stored.
type ack struct {
	key       string
	play      string // its game and number
	edit      bool
	begun, at time.Time
}

func newCrew(t testing.TB, r *rig, label string, n int, pause time.Duration) *crew {
	t.Helper()
	c := &crew{t: t, r: r}
	tokens, games := r.tokens(staff.Analyst, n), r.games(label, gamesEach*n)
	for i := range n {
		w := &tagger{c: c, name: fmt.Sprint(label, "-", i), token: tokens[i], games: games[gamesEach*i : gamesEach*(i+1)],
			pause: pause, rng: rand.New(rand.NewPCG(uint64(i), uint64(len(label)))),
			http:   &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 2}, Timeout: 30 * time.Second},
			states: map[int]int{}}
		c.taggers = append(c.taggers, w)
		c.wg.Go(w.work)
	}
	return c
}

// stop lets everybody finish what he is at.
func (c *crew) stop() {
	c.over.Store(true)
	c.wg.Wait()
	for _, w := range c.taggers {
		w.http.CloseIdleConnections()
	}
}

func (w *tagger) work() {
	for n := 0; n < gamesEach*snapsAGame && !w.c.over.Load(); n++ {
		if !w.create(n) {
			return
		}
		if w.rng.IntN(3) == 0 && !w.c.over.Load() {
			w.edit(n)
		}
		time.Sleep(w.pause/2 + time.Duration(w.rng.Int64N(int64(w.pause))))
	}
}

// create stores a play; false when the work is over before that is certain.
func (w *tagger) create(n int) bool {
	key, game, number := fmt.Sprint(w.name, "-create-", n), w.games[n/snapsAGame], n%snapsAGame+1
	body := fmt.Appendf(nil,
		`{"game_id":"%s","number":%d,"status":"counted","down":%d,"distance_yd":7,"called":"pass",`+
			`"family":"dropback","concept":"smash","set_name":"2x2","play_side":"left",
		"result":"complete","gain_yd":8,"note":"%s","routes":[{"side":"left","number":1,"eligible":"receiver","route":"hitch","break_depth_yd":6},
		{"side":"left","number":2,"eligible":"receiver","route":"corner","break_depth_yd":12.5,"targeted":true}]}`, game, number, 1+n%4, key)
	for {
		begun := time.Now()
		status, raw := w.send("POST", "/plays", body, "Idempotency-Key", `"`+key+`"`)
		if status == http.StatusCreated {
			json.Unmarshal(raw, &w.last)
			w.acknowledge(ack{key: key, play: place(game, number), begun: begun})
			return true
		}
		if !w.later(status, raw) {
			return false
		}
	}
}

// edit changes the play that was stored last, once; whether it was done is found out.
func (w *tagger) edit(n int) {
	key := fmt.Sprint(w.name, "-edit-", n)
	p := w.last
	body := fmt.Appendf(nil, `{"game_id":"%s","number":%d,"status":"counted","gain_yd":%d,"note":"%s"}`, p.GameID,
		p.Number, n%20, key)
	begun := time.Now()
	status, raw := w.send("PUT", "/plays/"+p.ID.String(), body, "If-Match", p.Tag())
	if status == http.StatusOK {
		w.acknowledge(ack{key: key, play: place(p.GameID, p.Number), edit: true, begun: begun})
		return
	}
	w.later(status, raw)
}

func place(game uuid.UUID, number int) string { return fmt.Sprint(game, " ", number) }

func (w *tagger) acknowledge(a ack) {
	a.at = time.Now()
	w.mu.Lock()
	defer w.mu.Unlock()
	w.acks = append(w.acks, a)
}

// later waits a little after an answer that says so, or none; any other is a
// fault of the server's. False when the work is over.
func (w *tagger) later(status int, raw []byte) bool {
	if status != 0 && status != http.StatusServiceUnavailable && status != http.StatusTooManyRequests {
		w.c.t.Errorf("%s was answered %d %s", w.name, status, raw)
		return false
	}
	time.Sleep(100 * time.Millisecond)
	return !w.c.over.Load()
}

// send returns the status and the body, 0 without an answer.
func (w *tagger) send(method, path string, body []byte, header ...string) (status int, raw []byte) {
	status, raw = ask(w.http, w.token, method, w.c.r.url+"/v1/programs/"+w.c.r.program.Code+path, body, header...)
	w.mu.Lock()
	defer w.mu.Unlock()
	w.states[status]++
	return status, raw
}

func ask(c *http.Client, token, method, url string, body []byte, header ...string) (int, []byte) {
	req, err := http.NewRequestWithContext(context.Background(), method, url, bytes.NewReader(body))
	if err != nil {
		return 0, nil
	}
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Authorization", "Bearer "+token)
	for i := 0; i+1 < len(header); i += 2 {
		req.Header.Set(header[i], header[i+1])
	}
	resp, err := c.Do(req)
	if err != nil {
		return 0, nil
	}
	defer resp.Body.Close()
	raw, err := io.ReadAll(resp.Body)
	if err != nil {
		return 0, nil
	}
	return resp.StatusCode, raw
}

// recovered waits until every tagger has had a write acknowledged that he began
// after a moment, and returns how long after it the last of them had.
func (c *crew) recovered(since time.Time) time.Duration {
	c.t.Helper()
	for time.Since(since) < 2*time.Minute {
		var last time.Time
		back := 0
		for _, w := range c.taggers {
			if at, ok := w.firstAfter(since); ok {
				back++
				last = time.Unix(0, max(last.UnixNano(), at.UnixNano()))
			}
		}
		if back == len(c.taggers) {
			return last.Sub(since)
		}
		time.Sleep(10 * time.Millisecond)
	}
	c.t.Error("the service did not recover by itself within two minutes")
	return time.Since(since)
}

func (w *tagger) firstAfter(since time.Time) (time.Time, bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	i := slices.IndexFunc(w.acks, func(a ack) bool { return a.begun.After(since) })
	if i < 0 {
		return time.Time{}, false
	}
	return w.acks[i].at, true
}

// creates is how many creates had been acknowledged at a moment.
func (c *crew) creates(at time.Time) (n int) {
	for _, w := range c.taggers {
		w.mu.Lock()
		for _, a := range w.acks {
			if !a.edit && !a.at.After(at) {
				n++
			}
		}
		w.mu.Unlock()
	}
	return n
}

// A count is what became of the writes.
type count struct {
	acknowledged, found, lost, doubled, unsaid int
	states                                     map[int]int
}

// audit holds what was acknowledged against the rows and the history: each once,
// and no row at a version its history does not explain.
func (c *crew) audit() count {
	c.t.Helper()
	db, ctx := c.r.connect(), context.Background()
	out := count{states: map[int]int{}}
	for _, w := range c.taggers {
		rows, changes, created, edited := map[string]int64{}, map[string]int64{}, map[string]int{}, map[string]int{}
		gather := func(sql string, into func(scan func(...any) error) error) {
			rs, err := db.Query(ctx, sql, c.r.program.ID, w.games)
			if err != nil {
				c.t.Fatal(err)
			}
			defer rs.Close()
			for rs.Next() {
				if err := into(rs.Scan); err != nil {
					c.t.Fatal(err)
				}
			}
			if rs.Err() != nil {
				c.t.Fatal(rs.Err())
			}
		}
		gather(`SELECT game_id, number, version FROM plays WHERE program_id = $1 AND game_id = ANY ($2)`,
			func(scan func(...any) error) error {
				var game uuid.UUID
				var n int
				var v int64
				err := scan(&game, &n, &v)
				rows[place(game, n)] = v
				return err
			})
		gather(`SELECT (after->>'game_id')::uuid, (after->>'number')::int, after->>'note', before IS NULL FROM `+
			`play_changes WHERE program_id = $1 AND (after->>'game_id')::uuid = ANY ($2)`, func(scan func(...any) error) error {
			var game uuid.UUID
			var n int
			var note string
			var first bool
			err := scan(&game, &n, &note, &first)
			changes[place(game, n)]++
			if first {
				created[note]++
			} else {
				edited[note]++
			}
			return err
		})
		out.add(w, rows, changes, created, edited)
	}
	return out
}

// add counts one tagger's writes: versions and changes by the play's place, the
// history's creates and changes by their key.
func (out *count) add(w *tagger, rows, changes map[string]int64, created, edited map[string]int) {
	said := map[string]bool{}
	for _, a := range w.acks {
		said[a.key] = true
		out.acknowledged++
		times := created[a.key]
		if a.edit {
			times = edited[a.key]
		}
		switch {
		case times > 1 || rows[a.play] > changes[a.play]:
			out.doubled++
		case times == 0 || rows[a.play] == 0 || rows[a.play] < changes[a.play]:
			out.lost++
		default:
			out.found++
		}
	}
	for _, history := range []map[string]int{created, edited} {
		for key, times := range history {
			if !said[key] {
				out.unsaid++
				if times > 1 {
					out.doubled++
				}
			}
		}
	}
	for status, n := range w.states {
		out.states[status] += n
	}
}
