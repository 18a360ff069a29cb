package strain

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/integration/built"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

var movePlays = flag.Int("move", 0, "plays of the program that TestMove moves; 0: a few, for a short look")

// The two names of the test's proxy: of the program that moves, and of those that stay.
const movingName, stayingName = "127.0.0.2", "127.0.0.1"

// A moving is a program that goes from one installation to another by the steps of RUNNING.md.
type moving struct {
	t        *testing.T
	dir      string
	from, to *rig // installations; each has a program that stays
	north    *rig // the program that moves, by way of the proxy
	port     int  // of the proxy
	steps    map[string]string
	mu       sync.Mutex
	removed  []uuid.UUID // plays whose deletion was acknowledged
	answered []time.Duration
	failed   []string
}

// TestMove moves a program with everything it has from one PostgreSQL to another while eight people
// write to it and others delete and count, by the very blocks that RUNNING.md prints, behind a real
// nginx: given up once, then done. Every acknowledged write is then on the new machine, once, with
// its history; nobody counts fewer plays than were acknowledged before; sessions and tokens go on;
// whose program stays meets no refusal. The checks are arithmetic on the writers' own ledger.
func TestMove(t *testing.T) {
	m := newMoving(t)
	plays, pause := 300, time.Second
	if *movePlays > 0 {
		plays, pause = *movePlays, 10*time.Second
	}
	m.fill(plays)
	login := person(t, m.north)
	browser := signIn(t, m.north, login)
	writers := newCrew(t, m.north, "north", 8, 60*time.Millisecond)
	others := newCrew(t, m.from, "south", 4, 60*time.Millisecond)
	ctx, stop := context.WithCancel(t.Context())
	var beside sync.WaitGroup
	tokens := m.north.tokens(staff.Coordinator, 4)
	for n := range 2 {
		beside.Go(func() { m.deletes(ctx, tokens[n], n) })
		beside.Go(func() { m.counts(ctx, tokens[2+n], writers) })
	}
	begun := time.Now()
	time.Sleep(3 * pause)
	before := time.Now()
	m.step("look")
	m.step("copy")
	m.step("give up")
	time.Sleep(pause)
	m.step("copy")
	copied := time.Now()
	m.step("stop")
	m.refuses(tokens[0])
	m.step("hand over")
	handed := time.Now()
	time.Sleep(2 * pause)
	stop()
	beside.Wait()
	writers.stop()
	others.stop()
	t.Logf("no write of the program was acknowledged for %v", gap(writers, copied).Round(time.Millisecond))
	t.Logf("a play stored or changed in the program that stays: %v before: %s; %v of the move: %s",
		before.Sub(begun).Round(time.Second), took(others, begun, before), handed.Sub(before).Round(time.Second),
		took(others, before, handed))
	m.signedIn(browser, login)
	m.whole(writers, others)
	m.step("clear up")
	m.gone()
}

func newMoving(t *testing.T) *moving {
	m := &moving{t: t, dir: folder(t), port: freePort(t)}
	for _, r := range []**rig{&m.from, &m.to} {
		*r = newRig(t, folder(t))
		(*r).serve("OVERHANG_DATABASE_URL=" + (*r).db.url())
	}
	store := m.from.store()
	defer store.Close()
	north := *m.from
	var err error
	if north.program, err = store.EnsureProgram(t.Context(), tags.Program{Code: "north", Name: "Invented staff that moves",
		Level: "college", Invented: true}); err != nil {
		t.Fatal(err)
	}
	north.url = fmt.Sprint("http://", movingName, ":", m.port)
	m.north = &north
	m.read()
	m.step("once")
	syscall.Kill(m.from.db.pid(), syscall.SIGINT) // a fast shutdown; it is started again
	for level := ""; level != "logical"; time.Sleep(50 * time.Millisecond) {
		if c, err := pgx.Connect(t.Context(), m.from.db.url()); err == nil {
			c.QueryRow(t.Context(), `SHOW wal_level`).Scan(&level)
			c.Close(t.Context())
		}
	}
	m.proxy()
	return m
}

// read takes the steps out of RUNNING.md, with this machine's names in place of the page's.
func (m *moving) read() {
	raw, err := os.ReadFile("../../RUNNING.md")
	if err != nil {
		m.t.Fatal(err)
	}
	_, section, _ := strings.Cut(string(raw), "\n### A program moves while it is used\n")
	section, _, _ = strings.Cut(section, "\n### ")
	address := func(r *rig, user, password string) string {
		return fmt.Sprintf("host=127.0.0.1 port=%d user=%s password=%s dbname=postgres", r.db.port, user, password)
	}
	superuser := func(r *rig) string {
		c, err := pgx.ParseConfig(r.db.url())
		if err != nil {
			m.t.Fatal(err)
		}
		return address(r, c.User, c.Password)
	}
	page := strings.NewReplacer("/etc/nginx/conf.d", m.dir, "/etc/nginx", m.dir, "/run/nginx.pid", m.dir+"/nginx.pid",
		"nginx -s reload", "nginx -c "+m.dir+"/nginx.conf -s reload", "/var/lib/overhang-backup", m.dir,
		"default 127.0.0.1:8080", "default "+strings.TrimPrefix(m.from.url, "http://"),
		"10.0.0.2:8080", strings.TrimPrefix(m.to.url, "http://"), "north.association.example", movingName,
		"host=/var/run/postgresql user=postgres dbname=overhang", superuser(m.from),
		"host=10.0.0.2 user=postgres dbname=overhang", superuser(m.to),
		"host=10.0.0.1 user=overhang_move password=CHANGE dbname=overhang", address(m.from, "overhang_move", "CHANGE"),
		"postgres:///overhang?host=/var/run/postgresql", m.from.db.url(), "overhang-api", filepath.Join(built.Dir, "api"),
		"runuser -u overhang -- ", "", "runuser -u postgres -- psql", `psql "$OLD"`, "systemctl restart postgresql", "")
	var blocks []string
	for i, b := range strings.Split("\n"+section, "\n```") {
		if i%2 == 1 {
			blocks = append(blocks, page.Replace(b[strings.Index(b, "\n")+1:]))
		}
	}
	names := []string{"nginx", "once", "names", "helpers", "look", "copy", "stop", "hand over", "clear up", "give up"}
	if len(blocks) != len(names) {
		m.t.Fatalf("RUNNING.md has %d blocks on a move, want %q", len(blocks), names)
	}
	m.steps = map[string]string{}
	for i, n := range names {
		m.steps[n] = blocks[i]
	}
}

// step runs one as a shell does that went through those before.
func (m *moving) step(name string) {
	m.t.Helper()
	begun := time.Now()
	script := m.steps["names"]
	if name != "once" {
		script += "\n" + m.steps["helpers"]
	}
	ctx, cancel := context.WithTimeout(m.t.Context(), 20*time.Minute)
	defer cancel()
	c := exec.CommandContext(ctx, "bash", "-c", script+"\n"+m.steps[name])
	c.Dir = m.dir
	out, err := c.CombinedOutput()
	if err != nil {
		log, _ := os.ReadFile(filepath.Join(m.dir, "nginx.log"))
		m.t.Fatalf("%s: %v\n%s%s", name, err, out, log)
	}
	if name == "look" && string(bytes.TrimSpace(out)) != "" {
		m.t.Errorf("the look first found %s", out)
	}
	m.t.Logf("%s: %.1f s\n%s", name, time.Since(begun).Seconds(), out)
}

// proxy starts nginx with the page's map of names.
func (m *moving) proxy() {
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(m.dir, name), []byte(text), 0o644); err != nil {
			m.t.Fatal(err)
		}
	}
	write("overhang-programs.conf", m.steps["nginx"])
	write("overhang.programs", "")
	write("nginx.conf", fmt.Sprintf(`daemon off; pid %[1]s/nginx.pid; error_log %[1]s/nginx.log;
		worker_processes 2; events {} http { access_log off; client_body_temp_path %[1]s/body;
		proxy_temp_path %[1]s/proxy; include %[1]s/overhang-programs.conf;
		server { listen %[2]s:%[4]d; listen %[3]s:%[4]d; location / { proxy_pass http://$overhang;
		proxy_http_version 1.1; proxy_set_header Host $http_host; proxy_set_header Connection ""; } } }`,
		m.dir, movingName, stayingName, m.port))
	c := exec.Command("nginx", "-c", filepath.Join(m.dir, "nginx.conf"))
	if err := c.Start(); err != nil {
		m.t.Fatalf("nginx (Debian: apt-get install nginx-light): %v", err)
	}
	m.t.Cleanup(func() { c.Process.Signal(syscall.SIGTERM); c.Wait() })
	for range 200 {
		if resp, err := http.Get(m.north.url + "/readyz"); err == nil {
			resp.Body.Close()
			if resp.StatusCode == http.StatusOK {
				return
			}
		}
		time.Sleep(50 * time.Millisecond)
	}
	m.t.Fatal("nginx does not lead to the server")
}

// fill gives the program plays of before, and a row at least in every table.
func (m *moving) fill(plays int) {
	m.north.games("before", plays/900+1)
	db := m.north.connect()
	defer db.Close(m.t.Context())
	id, other := m.north.program.ID.String(), uuid.NewString()
	call, err := os.ReadFile("../../internal/stress/call/book/cover-0.json")
	if err != nil {
		m.t.Fatal(err)
	}
	with := strings.NewReplacer("$id", id, "$other", other, "$call", strings.ReplaceAll(string(call), "'", "''"))
	for _, sql := range []string{
		`INSERT INTO plays (program_id, id, game_id, opponent_id, number, down, distance_yd, called, concept)
			SELECT g.program_id, gen_random_uuid(), g.id, g.opponent_id, n, 1 + n % 4, 1 + n % 15, 'pass', 'smash'
			FROM (SELECT *, row_number() OVER (ORDER BY id) - 1 AS at FROM games WHERE program_id = '$id') g
			CROSS JOIN generate_series(1, 900) n WHERE g.at * 900 + n <= ` + fmt.Sprint(plays),
		`INSERT INTO seasons (program_id, id, label) VALUES ('$id', '$other', 'invented')`,
		`INSERT INTO films (program_id, id, game_id, location)
			SELECT program_id, '$other', id, 'https://film.example/1' FROM games WHERE program_id = '$id' LIMIT 1`,
		`INSERT INTO clips (program_id, id, film_id, start_s, end_s, number)
			VALUES ('$id', '$other', '$other', 1, 9.5, 1)`,
		`INSERT INTO blind_tags (program_id, id, clip_id, analyst, tags)
			VALUES ('$id', '$other', '$other', 'one', '{"down": 1}')`,
		`INSERT INTO calls (program_id, id, name, body) VALUES ('$id', '$other', 'invented', '$call')`,
		`INSERT INTO merges (program_id, id, field, word, into_word, aliases, plays)
			VALUES ('$id', '$other', 'concept', 'a', 'b', '{c,"d e"}', 0)`,
		`INSERT INTO plans (program_id, id, opponent_id, label, locked_at, content)
			SELECT program_id, '$other', id, 'a "quoted" label', now(), '{"x": 0.1}'
			FROM opponents WHERE program_id = '$id' LIMIT 1`,
		`INSERT INTO packet_links (program_id, id, opponent_id, position_group, secret_hash, expires_at)
			VALUES ('$id', '$other', '$other', 'corners', '\xdeadbeef', now() + interval '1 day')`,
		`INSERT INTO quiz_answers (program_id, link_id, question, jersey, call, man, rule_when, rule_do, fits)
			VALUES ('$id', '$other', 'q', '7', 'c', 'm', 'w', 'd', true)`,
		`INSERT INTO associations (program_id) VALUES ('$id')`,
		`INSERT INTO invitations (secret_hash, program_id, role, expires_at)
			VALUES ('\xbeef', '$id', 'reader', now() + interval '1 day')`,
	} {
		if _, err := db.Exec(m.t.Context(), with.Replace(sql)); err != nil {
			m.t.Fatalf("%s: %v", sql, err)
		}
	}
}

// deletes stores plays of another opponent and deletes every one again, until it is told to stop.
func (m *moving) deletes(ctx context.Context, token string, hand int) {
	store, err := postgres.Open(ctx, m.from.db.url())
	if err != nil {
		m.t.Error(err)
		return
	}
	g, err := store.EnsureGame(ctx, m.north.program.ID, tags.Opponent{Code: "o2", Name: "Invented, too"}, "",
		tags.Game{Label: fmt.Sprint("deleted ", hand)})
	store.Close()
	if err != nil {
		m.t.Error(err)
		return
	}
	client, at := &http.Client{Timeout: 30 * time.Second}, m.north.url+"/v1/programs/north/plays"
	for n := 1; ctx.Err() == nil; n++ {
		var p tags.Play
		body := fmt.Appendf(nil, `{"game_id":"%s","number":%d,"status":"counted"}`, g.ID, n%999+1)
		key := fmt.Sprintf(`"%d %d"`, hand, n)
		raw := m.until(client, token, "POST", at, body, http.StatusCreated, "Idempotency-Key", key)
		if json.Unmarshal(raw, &p); p.ID == uuid.Nil {
			m.fails("no identity in %s", raw)
			return
		}
		m.until(client, token, "DELETE", at+"/"+p.ID.String(), nil, http.StatusNoContent, "If-Match", p.Tag())
		m.mu.Lock()
		m.removed = append(m.removed, p.ID)
		m.mu.Unlock()
		time.Sleep(50 * time.Millisecond)
	}
}

// until asks again what is refused for now, and notes any other answer than the one that is wanted; a
// deletion whose answer was lost is found done.
func (m *moving) until(c *http.Client, token, method, url string, body []byte, want int, header ...string) []byte {
	for unsure := false; ; time.Sleep(100 * time.Millisecond) {
		status, raw := ask(c, token, method, url, body, header...)
		switch {
		case status == want, unsure && method == "DELETE" && status == http.StatusNotFound:
			return raw
		case status == 0:
			unsure = true
		case status != http.StatusServiceUnavailable && status != http.StatusTooManyRequests:
			m.fails("%s was answered %d %s", method, status, raw)
			return raw
		}
	}
}

func (m *moving) fails(format string, args ...any) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.failed = append(m.failed, fmt.Sprintf(format, args...))
}

// counts asks for the plays of the crew's opponent: never fewer than were acknowledged before it asked.
func (m *moving) counts(ctx context.Context, token string, c *crew) {
	client := &http.Client{Timeout: 30 * time.Second}
	first := -1
	for ctx.Err() == nil {
		least, begun := c.creates(time.Now()), time.Now()
		status, raw := ask(client, token, "GET", m.north.url+"/v1/programs/north/tendencies?by=down&opponent=o1", nil)
		var got struct{ Total int }
		if status == http.StatusTooManyRequests { // other work has the machine
			time.Sleep(time.Second)
			continue
		}
		if json.Unmarshal(raw, &got); status != http.StatusOK {
			m.fails("a question was answered %d %s", status, raw)
			continue
		}
		if first < 0 {
			first = max(0, got.Total-c.creates(time.Now())) // plays of before
		}
		if got.Total < first+least {
			m.fails("%d plays counted, %d were acknowledged beside the %d of before", got.Total, least, first)
		}
		m.mu.Lock()
		m.answered = append(m.answered, time.Since(begun))
		m.mu.Unlock()
		time.Sleep(20 * time.Millisecond)
	}
}

// refuses holds what a change is answered while writes stand still, and that what is asked is answered.
func (m *moving) refuses(token string) {
	at := m.north.url + "/v1/programs/north/opponents"
	req, _ := http.NewRequest("POST", at, strings.NewReader(`{"code":"o3","name":"x"}`))
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Authorization", "Bearer "+token)
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		m.t.Error(err)
		return
	}
	defer resp.Body.Close()
	var p struct{ Title, Detail string }
	json.NewDecoder(resp.Body).Decode(&p)
	if resp.StatusCode != http.StatusServiceUnavailable || resp.Header.Get("Retry-After") == "" ||
		resp.Header.Get("Content-Type") != "application/problem+json" ||
		!strings.Contains(p.Detail, "moved to another machine") {
		m.t.Errorf("a change is answered %s %v %+v", resp.Status, resp.Header, p)
	}
	if status, raw := ask(http.DefaultClient, token, "GET", at, nil); status != http.StatusOK {
		m.t.Errorf("a question is answered %d %s", status, raw)
	}
}

// gap is the longest that no write of a crew was acknowledged, of those that ended after a moment.
func gap(c *crew, after time.Time) (longest time.Duration) {
	var at []time.Time
	for _, w := range c.taggers {
		for _, a := range w.acks {
			at = append(at, a.at)
		}
	}
	slices.SortFunc(at, time.Time.Compare)
	for i := 1; i < len(at); i++ {
		if at[i].After(after) {
			longest = max(longest, at[i].Sub(at[i-1]))
		}
	}
	return longest
}

// took says how long the writes took that a crew began between two moments.
func took(c *crew, from, to time.Time) string {
	var all []time.Duration
	for _, w := range c.taggers {
		for _, a := range w.acks {
			if a.begun.After(from) && a.begun.Before(to) {
				all = append(all, a.at.Sub(a.begun))
			}
		}
	}
	if slices.Sort(all); len(all) == 0 {
		return "none"
	}
	return fmt.Sprintf("n %d, p50 %.1f ms, p99 %.1f ms", len(all), all[len(all)/2].Seconds()*1000,
		all[len(all)*99/100].Seconds()*1000)
}

// signedIn holds that a browser's session goes on where the program is now.
func (m *moving) signedIn(c *http.Client, login string) {
	resp, err := c.Get(m.north.url + "/v1/programs/north/opponents")
	if err != nil {
		m.t.Fatal(err)
	}
	resp.Body.Close()
	if resp.StatusCode != http.StatusOK {
		m.t.Errorf("%s has to sign in again: %s", login, resp.Status)
	}
}

// whole holds the ledger of every writer against the machine on which its program is now.
func (m *moving) whole(writers, others *crew) {
	t, there := m.t, *m.north
	there.db = m.to.db
	writers.r = &there
	north, south := writers.audit(), others.audit()
	t.Logf("the program that moved: %+v", north)
	t.Logf("the one that stayed: %+v", south)
	if north.lost+north.doubled+south.lost+south.doubled > 0 || north.found == 0 {
		t.Error("what was acknowledged is not there, or twice")
	}
	for status := range south.states {
		if status/100 != 2 && status != http.StatusTooManyRequests { // which is everybody's own pace
			t.Errorf("the program that stayed met %v", south.states)
		}
	}
	if north.states[http.StatusServiceUnavailable] == 0 {
		t.Error("nobody met the stop: nothing was tried")
	}
	m.trash(&there)
	for _, f := range m.failed[:min(5, len(m.failed))] {
		t.Error(f)
	}
	slices.Sort(m.answered)
	t.Logf("%d countings, none too low, the longest %.0f ms", len(m.answered),
		m.answered[len(m.answered)-1].Seconds()*1000)
	sums, err := os.ReadFile(filepath.Join(m.dir, "new.sums"))
	if err != nil || bytes.Contains(sums, []byte("|0|\n")) || bytes.Count(sums, []byte("\n")) < 20 {
		t.Errorf("a table had nothing to move: %s %v", sums, err)
	}
	t.Logf("table, rows, sum of both sides at the stop:\n%s", sums)
}

// trash holds that every play whose deletion was acknowledged is away, with both lines of its history, and in
// the trash.
func (m *moving) trash(there *rig) {
	db := there.connect()
	defer db.Close(m.t.Context())
	var kept int
	err := db.QueryRow(m.t.Context(), `SELECT count(*) FROM unnest($2::uuid[]) d (id)
		WHERE NOT EXISTS (SELECT FROM plays p WHERE p.program_id = $1 AND p.id = d.id)
			AND (SELECT array_agg(c.after IS NULL ORDER BY c.id)
				FROM play_changes c WHERE c.program_id = $1 AND c.play_id = d.id) = '{f,t}'
			AND EXISTS (SELECT FROM deleted_rows r WHERE r.program_id = $1 AND r.kind = 'plays' AND r.id = d.id)`,
		there.program.ID, m.removed).Scan(&kept)
	if err != nil || kept != len(m.removed) || kept == 0 {
		m.t.Errorf("%d of %d deletions are there with their history and in the trash: %v", kept, len(m.removed), err)
	}
	m.t.Logf("%d deletions, each there", kept)
}

// gone holds that the old machine has nothing of the program any more, the new one takes its
// changes, and neither has a fence or a subscription.
func (m *moving) gone() {
	for r, want := range map[*rig]int{m.from: 0, m.to: 1} {
		db := r.connect()
		var programs, left int
		err := db.QueryRow(m.t.Context(), `SELECT (SELECT count(*) FROM programs WHERE id = $1),
			(SELECT count(*) FROM pg_namespace WHERE nspname = 'moving') +
			(SELECT count(*) FROM pg_trigger WHERE tgname LIKE 'moving%') + (SELECT count(*) FROM pg_publication) +
			(SELECT count(*) FROM pg_subscription) + (SELECT count(*) FROM pg_replication_slots)`,
			m.north.program.ID).Scan(&programs, &left)
		if err != nil || programs != want || left != 0 {
			m.t.Errorf("%d programs, want %d; %d pieces of the move are left: %v", programs, want, left, err)
		}
		db.Close(m.t.Context())
	}
	there := *m.north
	there.db = m.to.db
	status, raw := ask(http.DefaultClient, there.tokens(staff.Coordinator, 1)[0], "POST",
		there.url+"/v1/programs/north/opponents", []byte(`{"code":"o9","name":"x"}`))
	if status != http.StatusCreated {
		m.t.Errorf("a change after the move is answered %d %s", status, raw)
	}
}
