package main

import (
	"context"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"time"
)

// serve answers until the context ends and for drain longer, then lets running
// requests finish. ready is told the address when it is known.
func serve(ctx context.Context, log *slog.Logger, l net.Listener, drain time.Duration, h http.Handler,
	ready func(address string) error) error {
	srv := &http.Server{Handler: h, ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 30 * time.Second,
		WriteTimeout: 60 * time.Second, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 1 << 16}
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
