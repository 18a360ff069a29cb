package localdb

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// Options say where and how. The zero Options are a throw-away server for a test.
type Options struct {
	Dir     string   // data folder that survives; empty: a temporary one, removed at Stop
	Port    int      // 0: a free one
	Durable bool     // keep every acknowledged write through a crash of the machine
	Env     []string // more of the server's environment
	// Log, where there is one, asks for the server to be started again when it dies, and is told.
	Log *slog.Logger
}

// A Server is a running private PostgreSQL.
type Server struct {
	dir      string
	temp     bool
	port     int
	password string
	cmd      *exec.Cmd // nil when another process started it
	bin      string
	done     chan struct{}
	env      []string
	// Of a folder that survives: the lock of who uses it, and the watch over the server.
	used             *os.File
	leaving, watched chan struct{}
}

// DefaultDir is where the program keeps its own database.
func DefaultDir() string {
	if d := os.Getenv("OVERHANG_DATA_DIR"); d != "" {
		return d
	}
	if os.Geteuid() == 0 {
		return "/var/lib/overhang" // root's home is closed to the user PostgreSQL runs as
	}
	base, err := os.UserConfigDir()
	if err != nil {
		base = os.TempDir()
	}
	return filepath.Join(base, "overhang")
}

// Start runs a server on the folder, or attaches to the one that another
// process of the same user runs there. A server that was killed recovers here.
func Start(ctx context.Context, o Options) (*Server, error) {
	bin, err := findBinaries()
	if err != nil {
		return nil, err
	}
	s := &Server{dir: o.Dir, bin: bin, temp: o.Dir == "", port: o.Port, env: o.Env}
	if err := s.fits(ctx); err != nil {
		return nil, err
	}
	if s.temp {
		if s.dir, err = os.MkdirTemp("", "overhang-db-"); err != nil {
			return nil, err
		}
	}
	if err := s.prepare(ctx); err != nil {
		return nil, s.abandon(err)
	}
	if s.temp {
		if err := s.relaunch(ctx, o.Durable); err != nil {
			return nil, s.abandon(err)
		}
		return s, nil
	}
	if err := s.run(ctx, o.Durable); err != nil {
		return nil, err
	}
	if o.Log != nil {
		s.leaving, s.watched = make(chan struct{}), make(chan struct{})
		go s.watch(o)
	}
	return s, nil
}

func (s *Server) abandon(err error) error {
	if s.temp {
		os.RemoveAll(s.dir)
	}
	return err
}

// URL returns the address of one of its databases.
func (s *Server) URL(database string) string {
	return fmt.Sprintf("postgres://overhang:%s@127.0.0.1:%d/%s?sslmode=disable", s.password, s.port, database)
}

// Port returns the port it listens on.
func (s *Server) Port() int { return s.port }

// Attached says that another process started the server.
func (s *Server) Attached() bool { return s.cmd == nil }

// Stop ends the server cleanly, unless somebody else still uses it.
func (s *Server) Stop() error {
	if s.used != nil {
		return s.leave()
	}
	if s.cmd == nil {
		return nil
	}
	err := s.cmd.Process.Signal(syscall.SIGINT) // fast shutdown: PostgreSQL manual, 19.5
	select {
	case <-s.done:
	case <-time.After(20 * time.Second):
		err = s.cmd.Process.Signal(syscall.SIGQUIT)
		<-s.done
	}
	if s.temp {
		return errors.Join(err, os.RemoveAll(s.dir))
	}
	return err
}

const missing = "no PostgreSQL found: install it (on Debian: apt-get install postgresql), or name the folder of its " +
	"programs in OVERHANG_POSTGRES_BIN, or an existing server in OVERHANG_DATABASE_URL"

// Program returns the path of one of PostgreSQL's own programs, as pg_dump.
func Program(name string) (string, error) {
	bin, err := findBinaries()
	if err != nil {
		return "", err
	}
	return filepath.Join(bin, name), nil
}

// findBinaries looks where PostgreSQL is usually put, newest version first.
func findBinaries() (string, error) {
	if d := os.Getenv("OVERHANG_POSTGRES_BIN"); d != "" {
		if !complete(d) {
			return "", fmt.Errorf("OVERHANG_POSTGRES_BIN: %s does not hold both initdb and postgres", d)
		}
		return d, nil
	}
	for _, d := range likely() {
		if complete(d) {
			return d, nil
		}
	}
	return "", errors.New(missing)
}

// likely are folders where packages put PostgreSQL's programs, the newest first, then
// where the path finds them.
func likely() (found []string) {
	for _, pattern := range []string{"/usr/lib/postgresql/*/bin", "/usr/pgsql-*/bin", "/opt/homebrew/opt/postgresql*/bin",
		"/usr/local/opt/postgresql*/bin", "/usr/local/pgsql/bin"} {
		m, _ := filepath.Glob(pattern)
		found = append(found, m...)
	}
	slices.SortFunc(found, func(a, b string) int { return version(b) - version(a) })
	if p, err := exec.LookPath("initdb"); err == nil {
		if real, err := filepath.EvalSymlinks(p); err == nil {
			found = append(found, filepath.Dir(real))
		}
	}
	return found
}

func complete(dir string) bool {
	for _, b := range []string{"initdb", "postgres"} {
		if i, err := os.Stat(filepath.Join(dir, b)); err != nil || i.IsDir() {
			return false
		}
	}
	return true
}

// version reads the major version out of a folder's name, 0 without one.
func version(dir string) int {
	for _, part := range strings.FieldsFunc(dir, func(r rune) bool { return r < '0' || r > '9' }) {
		if n, err := strconv.Atoi(part); err == nil {
			return n
		}
	}
	return 0
}

// prepare makes the folder, the password and the cluster where they are missing.
func (s *Server) prepare(ctx context.Context) error {
	if err := os.MkdirAll(s.dir, 0o700); err != nil {
		return fmt.Errorf("the data folder cannot be made (OVERHANG_DATA_DIR names another): %w", err)
	}
	if err := s.own(s.dir); err != nil {
		return err
	}
	if raw, err := os.ReadFile(s.secret()); err == nil {
		s.password = strings.TrimSpace(string(raw))
	} else {
		b := make([]byte, 16)
		rand.Read(b)
		s.password = hex.EncodeToString(b)
		if err := s.keepPassword(); err != nil {
			return err
		}
	}
	if _, err := os.Stat(filepath.Join(s.dir, "data", "PG_VERSION")); err == nil {
		return nil
	}
	args := []string{"-D", filepath.Join(s.dir, "data"), "-U", "overhang", "--pwfile", s.secret(), "-A", "scram-sha-256",
		"-E", "UTF8", "--locale", "C.UTF-8", "--no-instructions"}
	if s.temp {
		args = append(args, "--no-sync")
	}
	cmd := s.command(ctx, "initdb", args...)
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("initdb: %w: %s", err, strings.TrimSpace(string(out)))
	}
	return nil
}

// secret is the file that keeps the password.
func (s *Server) secret() string { return filepath.Join(s.dir, "password") }

func (s *Server) keepPassword() error {
	if err := os.WriteFile(s.secret(), []byte(s.password+"\n"), 0o600); err != nil {
		return fmt.Errorf("the data folder cannot be written (OVERHANG_DATA_DIR names another): %w", err)
	}
	return s.own(s.secret())
}

// account is the unprivileged user PostgreSQL runs as when we are root.
func account() (uid, gid int, err error) {
	for _, name := range []string{"postgres", "nobody"} {
		if u, e := user.Lookup(name); e == nil {
			uid, _ = strconv.Atoi(u.Uid)
			gid, _ = strconv.Atoi(u.Gid)
			return uid, gid, nil
		}
	}
	return 0, 0, errors.New("PostgreSQL does not run as root, and there is neither a user postgres nor nobody to run it as")
}

func (s *Server) own(path string) error {
	if os.Geteuid() != 0 {
		return nil
	}
	uid, gid, err := account()
	if err != nil {
		return err
	}
	return os.Chown(path, uid, gid)
}

func (s *Server) command(ctx context.Context, name string, args ...string) *exec.Cmd {
	cmd := exec.CommandContext(ctx, filepath.Join(s.bin, name), args...)
	if _, err := os.Stat(s.dir); err == nil {
		cmd.Dir = s.dir
	}
	cmd.Env = []string{"LC_ALL=C.UTF-8", "PATH=/usr/bin:/bin", "TZ=UTC"}
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true} // a Ctrl-C at the terminal is ours to pass on
	if os.Geteuid() == 0 {
		if uid, gid, err := account(); err == nil {
			cmd.SysProcAttr.Credential = &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}
		}
	}
	return cmd
}

// attach finds a server that is already running on the folder.
func (s *Server) attach(ctx context.Context) bool {
	pid, port := s.written()
	if pid <= 0 || syscall.Kill(pid, 0) == syscall.ESRCH {
		return false // it was killed: starting it again recovers the data
	}
	was := s.port
	if was != port { // else others may be reading it
		s.port = port
	}
	if s.ready(ctx, 5*time.Second) == nil {
		return true
	}
	if was != port {
		s.port = was
	}
	return false
}

// written is the process and the port that a server left in the data folder, zeros where
// none did.
func (s *Server) written() (pid, port int) {
	raw, err := os.ReadFile(filepath.Join(s.dir, "data", "postmaster.pid"))
	if err != nil {
		return 0, 0
	}
	lines := strings.Split(string(raw), "\n")
	if len(lines) < 4 {
		return 0, 0
	}
	pid, _ = strconv.Atoi(strings.TrimSpace(lines[0]))
	port, _ = strconv.Atoi(strings.TrimSpace(lines[3]))
	return pid, port
}

// launch starts the server on a free port and waits until it answers.
func (s *Server) launch(ctx context.Context, durable bool) error {
	if s.port == 0 {
		port, err := freePort()
		if err != nil {
			return err
		}
		s.port = port
	}
	args := []string{"-D", filepath.Join(s.dir, "data"), "-p", strconv.Itoa(s.port), "-c", "listen_addresses=127.0.0.1",
		"-c", "unix_socket_directories="}
	if !durable {
		args = append(args, "-c", "fsync=off", "-c", "synchronous_commit=off", "-c", "full_page_writes=off")
	}
	log, err := os.OpenFile(filepath.Join(s.dir, "log"), os.O_CREATE|os.O_WRONLY|os.O_APPEND, 0o600)
	if err != nil {
		return err
	}
	defer log.Close()
	s.cmd = s.command(context.Background(), "postgres", args...)
	s.cmd.Env = append(s.cmd.Env, s.env...)
	s.cmd.Stdout, s.cmd.Stderr = log, log
	if err := s.cmd.Start(); err != nil {
		return err
	}
	s.done = make(chan struct{})
	go func() { s.cmd.Wait(); close(s.done) }()
	if err := s.ready(ctx, 60*time.Second); err != nil {
		s.cmd.Process.Kill()
		<-s.done
		tail, _ := os.ReadFile(filepath.Join(s.dir, "log"))
		return fmt.Errorf("the private PostgreSQL did not start: %w; its log ends: %s", err, last(string(tail), 400))
	}
	return nil
}

func last(s string, n int) string { return s[max(0, len(s)-n):] }

func freePort() (int, error) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return 0, err
	}
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port, nil
}
