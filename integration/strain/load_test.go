package strain

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"text/tabwriter"
	"time"

	"github.com/google/uuid"

	"overhang/internal/demo"
	"overhang/internal/staff"
	"overhang/internal/tags"
)

var loadFor = flag.Duration("load", 0,
	"how long 200 analysts and 20 coordinators work beside imports of a season; 0: a tenth of them, for seconds, alone")

var reading = flag.Bool("reading", false,
	"with -load: the 20 read boards and nothing else, and one season is imported, once")

// A staffer is somebody at work: an analyst who tags with pauses, or a coordinator
// who asks costly questions.
type staffer struct {
	l      *load
	name   string
	http   *http.Client
	header []string // his token, or none: then the client has his session
	rng    *rand.Rand
	haste  float64 // pauses are divided by it
}

// A load is a staff at work and what it met.
type load struct {
	t     *testing.T
	r     *rig
	over  chan struct{}
	wg    sync.WaitGroup
	mu    sync.Mutex
	took  map[string][]time.Duration // answers by kind of request
	again map[string]int             // refusals with 503 or 429: asked again after Retry-After
	bad   map[string]int             // any other answer that is not what it should be
	kept  []string                   // notes of the plays that were acknowledged
	enter atomic.Bool                // the one season is being imported
}

// TestLoad lets a staff work and prints what it met: times by kind of request,
// errors, and the server's memory, goroutines and connections on the way.
func TestLoad(t *testing.T) {
	analysts, coordinators, d, haste := 200, 20, *loadFor, 1.0
	if d == 0 {
		analysts, coordinators, d, haste = 20, 2, 6*time.Second, 20
	}
	r := newRig(t, folder(t))
	r.serve("OVERHANG_DATABASE_URL=" + r.db.url()) // past the wire, which would share the processors
	l := &load{t: t, r: r, over: make(chan struct{}), took: map[string][]time.Duration{}, again: map[string]int{},
		bad: map[string]int{}}
	l.season()
	busy, _ := os.ReadFile("/proc/loadavg")
	idle := l.sample()
	begun := time.Now()
	games := r.games("load", analysts)
	for i, token := range r.tokens(staff.Analyst, analysts) {
		w := l.join(fmt.Sprint("analyst-", i), &http.Client{Timeout: time.Minute, Transport: &http.Transport{}}, haste,
			"Authorization", "Bearer "+token)
		l.wg.Go(func() { w.tag(games[i]) })
	}
	for i := range coordinators {
		w := l.join(fmt.Sprint("coordinator-", i), signIn(t, r, person(t, r)), haste)
		l.wg.Go(w.ask)
	}
	dir := folder(t)
	if *loadFor > 0 && !*reading {
		l.wg.Go(func() { l.imports(dir) })
	}
	var samples []sample
	time.Sleep(d / 10)
	l.mu.Lock()
	clear(l.took) // connections are open, caches warm
	l.mu.Unlock()
	if *reading {
		l.wg.Go(func() { l.importOnce(dir) })
	}
	every := min(time.Minute, d/10)
	for until := time.Now().Add(d - d/10); time.Now().Before(until); time.Sleep(every) {
		samples = append(samples, l.sample())
	}
	close(l.over)
	l.wg.Wait()
	worked := time.Since(begun)
	time.Sleep(3 * time.Second) // idle connections were closed
	end := l.sample()
	t.Logf("%d analysts, %d coordinators, %v; machine's load before: %s", analysts, coordinators,
		worked.Round(time.Second), strings.TrimSpace(string(busy)))
	t.Logf("by kind of request, after the first tenth of the time\n%s", l.times())
	t.Logf("memory\n%s", drawn(idle, samples, end))
	l.verdict(idle, samples, end)
	l.audit()
}

// season loads the invented season and makes it the rig's program.
func (l *load) season() {
	ctx := context.Background()
	store := l.r.store()
	defer store.Close()
	err := demo.Load(ctx, store)
	if err != nil {
		l.t.Fatal(err)
	}
	if l.r.program, err = store.Program(ctx, demo.Code); err != nil {
		l.t.Fatal(err)
	}
}

func (l *load) join(name string, c *http.Client, haste float64, header ...string) *staffer {
	seed := uint64(len(name))*1000 + uint64(name[len(name)-1])
	return &staffer{l: l, name: name, http: c, header: header,
		rng: rand.New(rand.NewPCG(seed, uint64(time.Now().UnixNano()))), haste: haste}
}

// rest waits between two moments; false when the work is over.
func (s *staffer) rest(from, to time.Duration) bool {
	d := time.Duration(float64(from+time.Duration(s.rng.Int64N(int64(to-from)))) / s.haste)
	select {
	case <-s.l.over:
		s.http.CloseIdleConnections()
		return false
	case <-time.After(d):
		return true
	}
}

// tag stores a play every five to ten seconds, and looks and changes in between as
// the tagging page and its analyst do.
func (s *staffer) tag(game uuid.UUID) {
	var last tags.Play
	for n := 1; n <= 900 && s.rest(5*time.Second, 10*time.Second); n++ {
		note := fmt.Sprint("load ", s.name, " ", n)
		body := fmt.Appendf(nil,
			`{"game_id":"%s","number":%d,"status":"counted","down":%d,"distance_yd":%d,"called":"pass",`+
				`"family":"dropback","concept":"smash","set_name":"2x2","play_side":"left",
			"result":"complete","gain_yd":%d,"note":"%s","routes":[{"side":"left","number":1,"eligible":"receiver","route":"hitch","break_depth_yd":6},
			{"side":"left","number":2,"eligible":"receiver","route":"corner","break_depth_yd":12.5,"targeted":true}]}`, game, n, 1+n%4, 1+n%10, n%15, note)
		if raw := s.send("store a play", 201, "POST", "/plays", body, "Idempotency-Key", `"`+note+`"`); raw != nil {
			json.Unmarshal(raw, &last)
			s.l.mu.Lock()
			s.l.kept = append(s.l.kept, note)
			s.l.mu.Unlock()
		}
		s.send("next situation", 200, "GET", fmt.Sprintf("/games/%s/next?after=%d", game, n), nil)
		switch s.rng.IntN(6) {
		case 0:
			s.send("list a game's plays", 200, "GET", "/plays?limit=500&game_id="+game.String(), nil)
		case 1, 2:
			if !s.rest(time.Second, 3*time.Second) {
				return
			}
			changed := bytes.Replace(body, []byte(`"status"`), []byte(`"quarter":2,"status"`), 1)
			s.send("change a play", 200, "PUT", "/plays/"+last.ID.String(), changed, "If-Match", last.Tag())
		}
	}
}

type question struct{ kind, path string }

// questions are what coordinators pull.
var questions = []question{
	{"tendencies", "/tendencies?by=down,distance_band"},
	{"tendencies of an opponent", "/tendencies?by=concept&opponent=alder&down=3"},
	{"tells", "/tells?opponent=alder"},
	{"stress board", "/opponents/alder/stress?down=3"},
	{"game plan (HTML)", "/opponents/birch/report?format=html"},
	{"stress report (PDF)", "/opponents/alder/reports/stress?down=3&format=pdf"},
	{"opponent report (PDF)", "/opponents/alder/reports/opponent?format=pdf"},
	{"call sheet (PDF)", "/opponents/alder/sheets/call?format=pdf"},
}

// boards are what who only reads boards pulls: three opponents, all downs and each of three.
func boards() (out []question) {
	for _, opponent := range []string{"alder", "birch", "cedar"} {
		for _, down := range []string{"", "?down=1", "?down=2", "?down=3"} {
			out = append(out, question{"stress board", "/opponents/" + opponent + "/stress" + down})
		}
	}
	return out
}

// ask puts a costly question every five to fifteen seconds.
func (s *staffer) ask() {
	pulled := questions
	if *reading {
		pulled = boards()
	}
	for s.rest(5*time.Second, 15*time.Second) {
		q := pulled[s.rng.IntN(len(pulled))]
		s.send(q.kind, 200, "GET", q.path, nil)
	}
}

// send sends a request, after a refusal again when it is told to, and returns the
// body, nil for an answer that was not wanted.
func (s *staffer) send(kind string, want int, method, path string, body []byte, header ...string) []byte {
	for {
		req, err := http.NewRequest(method, s.l.r.url+"/v1/programs/"+s.l.r.program.Code+path, bytes.NewReader(body))
		if err != nil {
			s.l.t.Error(err)
			return nil
		}
		if body != nil {
			req.Header.Set("Content-Type", "application/json")
		}
		for i, h := 0, append(header, s.header...); i+1 < len(h); i += 2 {
			req.Header.Set(h[i], h[i+1])
		}
		begun := time.Now()
		resp, err := s.http.Do(req)
		if err != nil {
			s.l.note(kind, err.Error())
			return nil
		}
		raw, err := io.ReadAll(resp.Body)
		resp.Body.Close()
		again, _ := strconv.Atoi(resp.Header.Get("Retry-After"))
		switch {
		case err == nil && resp.StatusCode == want:
			s.l.answered(kind, time.Since(begun))
			return raw
		case err == nil && again > 0:
			s.l.mu.Lock()
			s.l.again[kind]++
			s.l.mu.Unlock()
			time.Sleep(time.Duration(again) * time.Second)
		default:
			s.l.note(kind, fmt.Sprint(resp.StatusCode, " ", string(raw[:min(200, len(raw))])))
			return nil
		}
	}
}

// beside marks what was answered while the one season came in.
const beside = ", beside the import"

func (l *load) answered(kind string, took time.Duration) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.took[kind] = append(l.took[kind], took)
	if l.enter.Load() {
		l.took[kind+beside] = append(l.took[kind+beside], took)
	}
}

func (l *load) note(kind, what string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.bad[kind]++; l.bad[kind] <= 3 {
		l.t.Errorf("%s: %s", kind, what)
	}
}

// times is the table by kind.
func (l *load) times() string {
	var b bytes.Buffer
	w := tabwriter.NewWriter(&b, 2, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "kind\tn\tp50\tp99\tworst\trefused, asked again\terrors\t")
	kinds := []string{imported, "store a play", "change a play", "next situation", "list a game's plays"}
	for _, q := range questions {
		kinds = append(kinds, q.kind)
	}
	for _, k := range slices.Clone(kinds) {
		kinds = append(kinds, k+beside)
	}
	for _, k := range kinds {
		took := slices.Sorted(slices.Values(l.took[k]))
		at := func(p float64) string {
			if len(took) == 0 {
				return "-"
			}
			return took[min(len(took)-1, int(p*float64(len(took))))].Round(100 * time.Microsecond).String()
		}
		if len(took) > 0 || !strings.HasSuffix(k, beside) {
			fmt.Fprintf(w, "%s\t%d\t%s\t%s\t%s\t%d\t%d\t\n", k, len(took), at(.5), at(.99), at(1), l.again[k], l.bad[k])
		}
	}
	w.Flush()
	return b.String()
}

// A sample is what the server says of itself at a moment.
type sample struct {
	at                                    time.Time
	rss, heap, goroutines, pool, sessions float64 // bytes, bytes after the last collection, numbers
	own, shared                           float64 // bytes of PostgreSQL's processes: their own, and the memory they share
}

func (l *load) sample() sample {
	l.t.Helper()
	resp, err := http.Get(l.r.metrics)
	if err != nil {
		l.t.Fatal(err)
	}
	defer resp.Body.Close()
	raw, err := io.ReadAll(resp.Body)
	if err != nil {
		l.t.Fatal(err)
	}
	value := func(name string) (v float64) {
		_, rest, ok := strings.Cut(string(raw), "\n"+name+" ")
		if _, err := fmt.Sscan(rest, &v); err != nil || !ok {
			l.t.Fatalf("no metric %s: %v", name, err)
		}
		return v
	}
	s := sample{at: time.Now(), rss: value("process_resident_memory_bytes"), heap: value("go_gc_heap_live_bytes"),
		goroutines: value("go_goroutines"), pool: value("overhang_pool_connections")}
	db := l.r.connect()
	defer db.Close(context.Background())
	if err := db.QueryRow(context.Background(),
		"SELECT count(*) FROM pg_stat_activity WHERE application_name = 'overhang'").Scan(&s.sessions); err != nil {
		l.t.Fatal(err)
	}
	for _, pid := range append(children(l.r.db.pid()), l.r.db.pid()) {
		raw, _ := os.ReadFile(filepath.Join("/proc", fmt.Sprint(pid), "smaps_rollup"))
		for name, into := range map[string]*float64{"Pss_Anon": &s.own, "Pss_Shmem": &s.shared} {
			var kb float64
			_, rest, _ := strings.Cut(string(raw), "\n"+name+":")
			fmt.Sscan(rest, &kb)
			*into += kb * 1024
		}
	}
	return s
}

func drawn(idle sample, samples []sample, end sample) string {
	var b bytes.Buffer
	w := tabwriter.NewWriter(&b, 2, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "after\tRSS\theap after GC\tgoroutines\tpool\tdatabase sessions\tPostgreSQL's own\tshared\t")
	for i, s := range append(append([]sample{idle}, samples...), end) {
		name := map[int]string{0: "before", len(samples) + 1: "at rest again"}[i]
		if name == "" {
			name = s.at.Sub(idle.at).Round(time.Second).String()
		}
		fmt.Fprintf(w, "%s\t%.0f MB\t%.1f MB\t%.0f\t%.0f\t%.0f\t%.0f MB\t%.0f MB\t\n", name, s.rss/1e6, s.heap/1e6,
			s.goroutines, s.pool, s.sessions, s.own/1e6, s.shared/1e6)
	}
	w.Flush()
	return b.String()
}

// verdict says whether memory stayed flat: the last third of the samples against
// the middle one (in the first, every connection meets every statement), within a
// tenth and some slack, since a collection comes when it comes. PostgreSQL's own goes by
// session: how many there are is the pool's affair, and bounded. Goroutines that are
// left over are a fault.
func (l *load) verdict(idle sample, samples []sample, end sample) {
	if end.goroutines > idle.goroutines+20 {
		l.t.Errorf("%v goroutines before, %v at rest again", idle.goroutines, end.goroutines)
	}
	if len(samples) < 3 {
		l.t.Logf("%d samples of memory: too few to say whether it stayed flat", len(samples))
		return
	}
	third := len(samples) / 3
	mean := func(ss []sample, of func(sample) float64) (m float64) {
		for _, s := range ss {
			m += of(s) / float64(len(ss))
		}
		return m
	}
	for _, of := range []struct {
		name  string
		slack float64
		value func(sample) float64
	}{{"RSS", 8e6, func(s sample) float64 { return s.rss }}, {"heap after GC", 8e6,
		func(s sample) float64 { return s.heap }},
		{"PostgreSQL's own, a session", 1e6, func(s sample) float64 { return s.own / s.sessions }}} {
		middle, last := mean(samples[third:len(samples)-third], of.value), mean(samples[len(samples)-third:], of.value)
		word := "flat"
		if last > 1.1*middle+of.slack {
			word = "GROWS"
		}
		l.t.Logf("%s: %.1f MB in the middle third, %.1f MB in the last: %s", of.name, middle/1e6, last/1e6, word)
	}
}

// audit holds the acknowledged plays against the rows.
func (l *load) audit() {
	db := l.r.connect()
	slices.Sort(l.kept)
	var there, distinct int
	if err := db.QueryRow(context.Background(),
		"SELECT count(*), count(DISTINCT note) FROM plays WHERE note LIKE 'load %' AND note = ANY ($1)", l.kept).Scan(&there,
		&distinct); err != nil {
		l.t.Fatal(err)
	}
	l.t.Logf("%d plays acknowledged, %d of them there, each once: %v", len(l.kept), distinct, there == len(l.kept) &&
		distinct == there)
	if there != len(l.kept) || distinct != there {
		l.t.Errorf("of %d acknowledged plays %d rows with %d notes are there", len(l.kept), there, distinct)
	}
}
