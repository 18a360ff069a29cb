// Package integration drives the built programs from outside, on a real
// database: a PostgreSQL container where a Docker engine answers, else the
// private server. It says which.
package integration

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/testcontainers/testcontainers-go"
	"github.com/testcontainers/testcontainers-go/modules/postgres"

	"overhang/integration/built"
	// The programs are built by a command, which Go's cache of test results does
	// not see: these imports make a change of any package run the tests again.
	"overhang/internal/database/localdb"
	_ "overhang/internal/database/setup"
	_ "overhang/internal/demo"
	_ "overhang/internal/httpapi"
	_ "overhang/internal/tags/intake"
)

func TestMain(m *testing.M) {
	os.Exit(built.Run(m, "..", "^Test(Layers|NoWebServer|OneRoomForRates|House|AmericanEnglish)$"))
}

// folder is a temporary one that the database's unprivileged user can enter.
func folder(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "overhang-it-")
	if err != nil {
		t.Fatal(err)
	}
	os.Chmod(dir, 0o755)
	t.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}

// database returns the environment that points a program at a fresh database.
func database(t *testing.T) string {
	t.Helper()
	ctx := context.Background()
	if engine() {
		image := os.Getenv("OVERHANG_TEST_IMAGE")
		if image == "" {
			image = "postgres:15"
		}
		ctr, err := postgres.Run(ctx, image, postgres.WithDatabase("overhang"), postgres.WithUsername("overhang"),
			postgres.WithPassword("secret"), postgres.BasicWaitStrategies())
		testcontainers.CleanupContainer(t, ctr)
		if err != nil {
			t.Fatalf("a Docker engine answers, but the PostgreSQL container %s does not start: %v", image, err)
		}
		url, err := ctr.ConnectionString(ctx, "sslmode=disable")
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("database: PostgreSQL container %s", image)
		return "OVERHANG_DATABASE_URL=" + url
	}
	s, err := localdb.Start(ctx, localdb.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Stop() })
	t.Log("database: private server, no Docker engine answers")
	return "OVERHANG_DATABASE_URL=" + s.URL("postgres")
}

// engine says whether a Docker engine answers.
func engine() bool {
	ctx, cancel := context.WithTimeout(context.Background(), 3*time.Second)
	defer cancel()
	return exec.CommandContext(ctx, "docker", "version", "--format", "{{.Server.Version}}").Run() == nil
}

// A process is a running cmd/api.
type process struct {
	cmd  *exec.Cmd
	url  string
	said *os.File // its standard output
}

// start runs cmd/api and waits until it serves.
func start(t *testing.T, env string, args ...string) *process {
	t.Helper()
	cmd := exec.Command(filepath.Join(built.Dir, "api"), append([]string{"-listen", "127.0.0.1:0"}, args...)...)
	cmd.Env = append(os.Environ(), env)
	said, err := os.Create(filepath.Join(t.TempDir(), "said"))
	if err != nil {
		t.Fatal(err)
	}
	p := &process{cmd: cmd, said: said}
	cmd.Stdout = said
	log, err := cmd.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Process.Kill(); cmd.Wait() })
	lines, found := bufio.NewScanner(log), make(chan string, 1)
	go func() {
		var said strings.Builder
		for lines.Scan() {
			said.WriteString(lines.Text() + "\n")
			if _, at, ok := strings.Cut(lines.Text(), "address="); ok {
				found <- at
				io.Copy(io.Discard, log)
				return
			}
		}
		found <- "!" + said.String()
	}()
	select {
	case at := <-found:
		if strings.HasPrefix(at, "!") {
			t.Fatalf("cmd/api did not serve: %s", at[1:])
		}
		p.url = at
	case <-time.After(60 * time.Second):
		t.Fatal("cmd/api does not serve within a minute")
	}
	return p
}

func (p *process) get(t *testing.T, path string) (int, http.Header, string) {
	t.Helper()
	resp, err := http.Get(p.url + path)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	raw, _ := io.ReadAll(resp.Body)
	return resp.StatusCode, resp.Header, string(raw)
}

func ingest(t *testing.T, env string, args ...string) (code int, out, errs string) {
	t.Helper()
	cmd := exec.Command(filepath.Join(built.Dir, "ingest"), args...)
	cmd.Env = append(os.Environ(), env)
	var o, e strings.Builder
	cmd.Stdout, cmd.Stderr = &o, &e
	err := cmd.Run()
	if x, ok := err.(*exec.ExitError); ok {
		return x.ExitCode(), o.String(), e.String()
	}
	if err != nil {
		t.Fatal(err)
	}
	return 0, o.String(), e.String()
}

// TestKilledAndStopped: what was stored is there after kill -9, with the private
// server of the program itself, and SIGTERM ends it cleanly.
func TestKilledAndStopped(t *testing.T) {
	env := "OVERHANG_DATA_DIR=" + filepath.Join(folder(t), "data")
	begin := time.Now()
	p := start(t, env, "-demo")
	t.Logf("first start with the demo season served after %.1f s", time.Since(begin).Seconds())
	_, _, before := p.get(t, "/v1/programs/demo/tendencies?by=opponent,down&format=csv")
	p.cmd.Process.Kill()
	p.cmd.Wait()
	p = start(t, env, "-demo")
	if _, _, after := p.get(t, "/v1/programs/demo/tendencies?by=opponent,down&format=csv"); after != before ||
		len(after) < 100 {
		t.Errorf("after kill -9 the tendencies differ:\n%s\n%s", before, after)
	}
	p.cmd.Process.Signal(syscall.SIGTERM)
	if err := p.cmd.Wait(); err != nil {
		t.Errorf("SIGTERM: %v; want a clean exit", err)
	}
	// The second start attached to the server the killed one left; it still runs.
	s, err := localdb.Start(context.Background(), localdb.Options{Dir: strings.TrimPrefix(env, "OVERHANG_DATA_DIR=")})
	if err != nil {
		t.Fatal(err)
	}
	s.Stop()
	stopPostmaster(t, strings.TrimPrefix(env, "OVERHANG_DATA_DIR="))
}

func stopPostmaster(t *testing.T, dir string) {
	raw, err := os.ReadFile(filepath.Join(dir, "data", "postmaster.pid"))
	if err != nil {
		return
	}
	var pid int
	fmt.Sscan(string(raw), &pid)
	syscall.Kill(pid, syscall.SIGINT)
	time.Sleep(300 * time.Millisecond)
}

// TestFirstStart: a server that nobody can sign in to prints one link, and shows
// nothing without it.
func TestFirstStart(t *testing.T) {
	env := database(t)
	p := start(t, env)
	said, err := os.ReadFile(p.said.Name())
	link := regexp.MustCompile(`/join\?invitation=[\w-]+`).FindString(string(said))
	if err != nil || link == "" {
		t.Fatalf("no link on the terminal: %q %v", said, err)
	}
	if code, _, page := p.get(t, link); code != 200 || !strings.Contains(page, `name="program_code"`) {
		t.Errorf("the link shows %d %s", code, page)
	}
	if code, _, body := p.get(t, "/v1/programs"); code != 401 || !strings.Contains(body, "sign in") {
		t.Errorf("without signing in: %d %s", code, body)
	}
	resp, err := http.PostForm(p.url+"/join", url.Values{"invitation": {strings.SplitN(link, "=", 2)[1]},
		"login": {"head"}, "name": {"Invented head"},
		"password": {"correct horse battery staple"}, "program_code": {"fresh"}, "program_name": {"Fresh"},
		"level": {"high_school"}})
	if err != nil || resp.Request.URL.Path != "/sign-in" && resp.StatusCode != 200 {
		t.Errorf("joining: %v %v", resp, err)
	}
	p.cmd.Process.Signal(syscall.SIGTERM)
	p.cmd.Wait()
	p = start(t, env)
	if said, _ := os.ReadFile(p.said.Name()); strings.Contains(string(said), "invitation") {
		t.Errorf("the second start invites again: %s", said)
	}
}

func TestDemoStaysOnLoopback(t *testing.T) {
	cmd := exec.Command(filepath.Join(built.Dir, "api"), "-demo", "-listen", "0.0.0.0:0")
	out, err := cmd.CombinedOutput()
	if err == nil || !strings.Contains(string(out), "loopback") {
		t.Errorf("-demo on 0.0.0.0: %v %s; want a refusal that says loopback", err, out)
	}
}

// TestDatabaseGoesAway: 503 with Retry-After while it is gone, service after it
// is back, nothing lost.
func TestDatabaseGoesAway(t *testing.T) {
	ctx, dir := context.Background(), filepath.Join(folder(t), "db")
	db, err := localdb.Start(ctx, localdb.Options{Dir: dir, Durable: true})
	if err != nil {
		t.Fatal(err)
	}
	p := start(t, "OVERHANG_DATABASE_URL="+db.URL("postgres"), "-demo")
	post := func(code string) int {
		resp, err := http.Post(p.url+"/v1/programs/demo/opponents", "application/json", strings.NewReader(`{"code":"`+code+
			`","name":"Invented"}`))
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		if resp.StatusCode == 503 && resp.Header.Get("Retry-After") == "" {
			t.Error("503 without Retry-After")
		}
		return resp.StatusCode
	}
	if code := post("before"); code != 201 {
		t.Fatalf("POST before: %d", code)
	}
	port := db.Port()
	db.Stop()
	for range 3 {
		if code := post("during"); code != 503 {
			t.Errorf("POST while the database is away: %d; want 503", code)
		}
	}
	if code, h, _ := p.get(t, "/readyz"); code != 503 || h.Get("Retry-After") == "" {
		t.Errorf("/readyz while away: %d", code)
	}
	if db, err = localdb.Start(ctx, localdb.Options{Dir: dir, Port: port, Durable: true}); err != nil {
		t.Fatal(err)
	}
	defer db.Stop()
	deadline := time.Now().Add(20 * time.Second)
	for post("after") == 503 && time.Now().Before(deadline) {
		time.Sleep(200 * time.Millisecond)
	}
	_, _, raw := p.get(t, "/v1/programs/demo/opponents")
	for code, want := range map[string]int{"before": 1, "during": 0, "after": 1} {
		if n := strings.Count(raw, `"code":"`+code+`"`); n != want {
			t.Errorf("opponent %q is there %d times after the outage; want %d", code, n, want)
		}
	}
}
