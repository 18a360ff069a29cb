package localdb

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// A server on a folder that survives is shared: each user holds a lock on a file
// of the folder, which ends with the process however it ends, and the last one out
// stops the server. Who starts one holds another lock meanwhile, so that one does.

// lock opens a file of the folder and takes a lock on it: syscall.LOCK_SH or LOCK_EX,
// with LOCK_NB not to wait.
func (s *Server) lock(name string, how int) (*os.File, error) {
	path := filepath.Join(s.dir, name)
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, err
	}
	if err := syscall.Flock(int(f.Fd()), how); err != nil {
		f.Close()
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return f, nil
}

// run attaches to the server that runs on the folder, or starts it.
func (s *Server) run(ctx context.Context, durable bool) error {
	one, err := s.lock("starting", syscall.LOCK_EX)
	if err != nil {
		return err
	}
	defer one.Close()
	if s.used == nil {
		if s.used, err = s.lock("used", syscall.LOCK_SH); err != nil {
			return err
		}
	}
	if s.attach(ctx) {
		s.cmd, s.done = nil, nil
		return nil
	}
	return s.relaunch(ctx, durable)
}

// relaunch starts the server, after a kill again until its last children have noticed.
func (s *Server) relaunch(ctx context.Context, durable bool) error {
	for begun := time.Now(); ; time.Sleep(200 * time.Millisecond) {
		err := s.launch(ctx, durable)
		if err == nil {
			return nil
		}
		if !strings.Contains(err.Error(), "pre-existing shared memory block") || time.Since(begun) > 15*time.Second ||
			ctx.Err() != nil {
			return err
		}
	}
}

// watch starts the server again when it dies, on the port it had, and says so.
func (s *Server) watch(o Options) {
	defer close(s.watched)
	for {
		select {
		case <-s.leaving:
			return
		case <-time.After(500 * time.Millisecond):
		}
		if s.pid() > 0 {
			continue
		}
		o.Log.Error("the private PostgreSQL died; it is started again", "folder", s.dir)
		ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
		err := s.run(ctx, o.Durable)
		cancel()
		if err != nil {
			o.Log.Error("the private PostgreSQL did not start again", "error", err)
			continue
		}
		o.Log.Info("the private PostgreSQL runs again", "folder", s.dir, "attached", s.Attached())
	}
}

// pid is the process that runs on the folder, 0 when none does.
func (s *Server) pid() int {
	raw, err := os.ReadFile(filepath.Join(s.dir, "data", "postmaster.pid"))
	if err != nil {
		return 0
	}
	line, _, _ := strings.Cut(string(raw), "\n")
	pid, _ := strconv.Atoi(strings.TrimSpace(line))
	if pid <= 0 || errors.Is(syscall.Kill(pid, 0), syscall.ESRCH) {
		return 0
	}
	return pid
}

// leave gives the folder up, and stops the server when nobody else uses it.
func (s *Server) leave() error {
	if s.leaving != nil {
		close(s.leaving)
		<-s.watched
		s.leaving = nil
	}
	one, err := s.lock("starting", syscall.LOCK_EX) // nobody begins to use it meanwhile
	if err != nil {
		return err
	}
	defer one.Close()
	s.used.Close()
	last, err := s.lock("used", syscall.LOCK_EX|syscall.LOCK_NB)
	if err != nil {
		return nil // somebody else uses it: they stop it
	}
	defer last.Close()
	return s.halt()
}

// halt stops the server, no matter who started it.
func (s *Server) halt() error {
	pid := s.pid()
	if pid == 0 {
		return nil
	}
	err := syscall.Kill(pid, syscall.SIGINT) // fast shutdown: PostgreSQL manual, 19.5
	for begun := time.Now(); s.pid() == pid && err == nil; time.Sleep(20 * time.Millisecond) {
		if time.Since(begun) > 20*time.Second {
			err = syscall.Kill(pid, syscall.SIGQUIT)
			begun = time.Now()
		}
	}
	if s.done != nil {
		<-s.done
	}
	return err
}
