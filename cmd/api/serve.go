package main

import (
	"context"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"overhang/internal/lanes"
	"syscall"
	"time"
)

// serve answers until the context ends and for drain longer, then lets running
// requests finish. ready is told the address when it is known.
func serve(ctx context.Context, log *slog.Logger, l net.Listener, drain time.Duration, h http.Handler,
	ready func(address string) error) error {
	srv := &http.Server{Handler: h, ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 30 * time.Second,
		WriteTimeout: 60 * time.Second, IdleTimeout: 30 * time.Second, MaxHeaderBytes: 1 << 16}
	(&lanes.Connections{Most: mostConnections()}).Watch(srv)
	if err := ready("http://" + l.Addr().String()); err != nil {
		l.Close()
		return err
	}
	log.Info("serving", "address", "http://"+l.Addr().String())
	done := make(chan error, 1)
	go func() { done <- srv.Serve(l) }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	}
	log.Info("stopping", "drain", drain)
	time.Sleep(drain)
	return stop(srv, done)
}

// stop ends the server when what is under way is answered.
func stop(srv *http.Server, done <-chan error) error {
	end, cancel := context.WithTimeout(context.Background(), 15*time.Second)
	defer cancel()
	if err := srv.Shutdown(end); err != nil {
		return err
	}
	if err := <-done; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// mostConnections is half of the file descriptors that the process may have: the rest is the
// database's, films' and the log's.
func mostConnections() int {
	var r syscall.Rlimit
	if syscall.Getrlimit(syscall.RLIMIT_NOFILE, &r) != nil {
		return 512
	}
	return int(min(r.Cur/2, 8192))
}
