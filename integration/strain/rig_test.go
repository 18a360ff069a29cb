package strain

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/database/localdb"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"

	"overhang/integration/built"
)

// restart is how long a supervisor waits before it starts again what ended: RestartSec
// of the README's service.
const restart = 200 * time.Millisecond

// A rig is a durable PostgreSQL and the built server, with a wire between them that
// can be disturbed. Whatever ends is started again, as systemd would; nothing else
// is done for it.
type rig struct {
	t       testing.TB
	dir     string // that PostgreSQL's user may enter
	db      *cluster
	wire    *wire
	server  *program
	url     string   // of the server
	metrics string   // of the server's own figures
	flags   []string // more of the server's
	program tags.Program
}

// folder is a temporary one that the database's unprivileged user can enter.
func folder(t testing.TB) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "overhang-strain-")
	if err != nil {
		t.Fatal(err)
	}
	os.Chmod(dir, 0o755)
	t.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}

// newRig starts both in a folder; env is more of the database's environment.
func newRig(t testing.TB, dir string, env ...string) *rig {
	t.Helper()
	r := &rig{t: t, dir: dir, db: newCluster(t, filepath.Join(dir, "db"), env)}
	r.wire = newWire(t, fmt.Sprint("127.0.0.1:", r.db.port))
	r.serve()
	store := r.store()
	defer store.Close()
	var err error
	if r.program, err = store.EnsureProgram(t.Context(), tags.Program{Code: "ours", Name: "Invented staff",
		Level: "college", Invented: true}); err != nil {
		t.Fatal(err)
	}
	return r
}

// serve starts the server on the rig's database, with more of its environment; one
// that runs is stopped first.
func (r *rig) serve(env ...string) {
	r.t.Helper()
	if r.server != nil {
		r.server.stop()
	}
	address := "127.0.0.1:" + fmt.Sprint(freePort(r.t))
	figures := "127.0.0.1:" + fmt.Sprint(freePort(r.t))
	r.url, r.metrics = "http://"+address, "http://"+figures+"/metrics"
	env = append([]string{"OVERHANG_DATABASE_URL=" + strings.Replace(r.db.url(), fmt.Sprint(":", r.db.port, "/"),
		fmt.Sprint(":", r.wire.port(), "/"), 1)}, env...)
	r.server = run(r.t, filepath.Join(r.dir, "server.log"), env, filepath.Join(built.Dir, "api"),
		append([]string{"-listen", address, "-metrics", figures}, r.flags...)...)
	r.ready()
}

// ready waits until the server says that it is.
func (r *rig) ready() {
	r.t.Helper()
	for range 1200 {
		resp, err := http.Get(r.url + "/readyz")
		if err == nil {
			resp.Body.Close()
			if resp.StatusCode == http.StatusOK {
				return
			}
		}
		time.Sleep(50 * time.Millisecond)
	}
	log, _ := os.ReadFile(filepath.Join(r.dir, "server.log"))
	r.t.Fatalf("the server is not ready within a minute: %s", log[max(0, len(log)-2000):])
}

// store opens the database as the server does; the caller closes it.
func (r *rig) store() *postgres.Store {
	r.t.Helper()
	s, err := postgres.Open(context.Background(), r.db.url())
	if err != nil {
		r.t.Fatal(err)
	}
	return s
}

// connect opens a connection to the database itself, past the wire.
func (r *rig) connect() *pgx.Conn {
	r.t.Helper()
	c, err := pgx.Connect(context.Background(), r.db.url())
	if err != nil {
		r.t.Fatal(err)
	}
	r.t.Cleanup(func() { c.Close(context.Background()) })
	return c
}

// tokens makes people of a role and returns a token of each. Nobody signs in by a
// password here, so none is hashed.
func (r *rig) tokens(role staff.Role, n int) []string {
	r.t.Helper()
	ctx := context.Background()
	store := r.store()
	defer store.Close()
	db := r.connect()
	defer db.Close(ctx)
	var out []string
	for range n {
		id := postgres.NewID()
		_, err := db.Exec(ctx, `
			WITH p AS (INSERT INTO people (id, login, name, password_hash) VALUES ($1, $2, 'Invented', 'none') RETURNING id)
			INSERT INTO members (program_id, person_id, role) SELECT $3, id, $4 FROM p`, id, "p"+id.String(), r.program.ID, role)
		if err != nil {
			r.t.Fatal(err)
		}
		_, secret, err := store.MakeToken(ctx, r.program.ID, staff.Token{Person: id, Label: "strain", Role: role,
			ExpiresAt: time.Now().AddDate(0, 0, 300)})
		if err != nil {
			r.t.Fatal(err)
		}
		out = append(out, secret)
	}
	return out
}

// games makes games of one opponent, and the words that plays use.
func (r *rig) games(label string, n int) []uuid.UUID {
	r.t.Helper()
	ctx := context.Background()
	store := r.store()
	defer store.Close()
	words := []tags.Word{{Field: "concept", Word: "smash"}, {Field: "set_name", Word: "2x2"},
		{Field: "route", Word: "hitch"}, {Field: "route", Word: "corner"}}
	if err := store.AddWords(ctx, r.program.ID, words); err != nil {
		r.t.Fatal(err)
	}
	var out []uuid.UUID
	for i := range n {
		g, err := store.EnsureGame(ctx, r.program.ID, tags.Opponent{Code: "o1", Name: "Invented opponent"}, "",
			tags.Game{Label: fmt.Sprint(label, " ", i)})
		if err != nil {
			r.t.Fatal(err)
		}
		out = append(out, g.ID)
	}
	return out
}

// A program is a process under a supervisor.
type program struct {
	mu      sync.Mutex
	cmd     *exec.Cmd
	stopped bool
	done    chan struct{}
}

func run(t testing.TB, log string, env []string, path string, args ...string) *program {
	t.Helper()
	file, err := os.OpenFile(log, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
	if err != nil {
		t.Fatal(err)
	}
	p := &program{done: make(chan struct{})}
	go func() {
		defer close(p.done)
		defer file.Close()
		for p.start(file, env, path, args...) {
			p.cmd.Wait()
			time.Sleep(restart)
		}
	}()
	t.Cleanup(p.stop)
	return p
}

// start starts the process, unless it was stopped for good.
func (p *program) start(log *os.File, env []string, path string, args ...string) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.stopped {
		return false
	}
	p.cmd = exec.Command(path, args...)
	p.cmd.Env = append(os.Environ(), env...)
	p.cmd.Stdout, p.cmd.Stderr = log, log
	return p.cmd.Start() == nil
}

func (p *program) signal(s syscall.Signal) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.cmd != nil && p.cmd.Process != nil {
		p.cmd.Process.Signal(s)
	}
}

// stop ends the process and its supervisor.
func (p *program) stop() {
	p.mu.Lock()
	p.stopped = true
	p.mu.Unlock()
	p.signal(syscall.SIGTERM)
	select {
	case <-p.done:
	case <-time.After(20 * time.Second):
		p.signal(syscall.SIGKILL)
		<-p.done
	}
}

func freePort(t testing.TB) int {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port
}

// A cluster is a PostgreSQL under a supervisor.
type cluster struct {
	t       testing.TB
	dir     string
	port    int
	env     []string
	mu      sync.Mutex
	server  *localdb.Server
	stopped context.Context
	end     context.CancelFunc
	done    chan struct{}
}

func newCluster(t testing.TB, dir string, env []string) *cluster {
	t.Helper()
	c := &cluster{t: t, dir: dir, port: freePort(t), env: env, done: make(chan struct{})}
	c.stopped, c.end = context.WithCancel(context.Background())
	first := make(chan struct{})
	go c.keep(first)
	t.Cleanup(func() { c.end(); <-c.done })
	select {
	case <-first:
	case <-time.After(time.Minute):
		t.Fatal("PostgreSQL does not start within a minute")
	}
	return c
}

// keep starts the server whenever none runs.
func (c *cluster) keep(first chan struct{}) {
	defer close(c.done)
	var once sync.Once
	for c.stopped.Err() == nil {
		s, err := localdb.Start(c.stopped, localdb.Options{Dir: c.dir, Port: c.port, Durable: true, Env: c.env})
		if err == nil {
			c.mu.Lock()
			c.server = s
			c.mu.Unlock()
			once.Do(func() { close(first) })
			for c.stopped.Err() == nil && c.alive() {
				time.Sleep(20 * time.Millisecond)
			}
			if c.stopped.Err() != nil {
				s.Stop()
				return
			}
		}
		time.Sleep(restart)
	}
}

func (c *cluster) url() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.server.URL("postgres")
}

// pid is the postmaster's, 0 without one.
func (c *cluster) pid() (pid int) {
	raw, err := os.ReadFile(filepath.Join(c.dir, "data", "postmaster.pid"))
	if err == nil {
		fmt.Sscan(string(raw), &pid)
	}
	return pid
}

func (c *cluster) alive() bool {
	pid := c.pid()
	return pid > 0 && syscall.Kill(pid, 0) == nil
}

// kill ends the postmaster and its children at once, as kill -9 does.
func (c *cluster) kill() {
	pid := c.pid()
	victims := append(children(pid), pid)
	for _, v := range victims {
		syscall.Kill(v, syscall.SIGKILL)
	}
}

// children are the processes whose parent is pid.
func children(pid int) (out []int) {
	stats, _ := filepath.Glob("/proc/[0-9]*/stat")
	for _, s := range stats {
		raw, err := os.ReadFile(s)
		if err != nil {
			continue
		}
		var own, parent int
		fmt.Sscan(string(raw), &own)
		_, rest, _ := strings.Cut(string(raw), ") ") // the name may hold anything
		var state string
		if fmt.Sscan(rest, &state, &parent); parent == pid && pid > 1 {
			out = append(out, own)
		}
	}
	return out
}
