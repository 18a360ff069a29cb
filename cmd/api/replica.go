package main

import (
	"context"
	"fmt"
	"log/slog"
	"os"
	"time"

	"overhang/internal/tags/postgres"
)

// follow makes the store read costly questions from the replica that
// OVERHANG_REPLICA_URL names; without one it stays as it is.
func follow(ctx context.Context, log *slog.Logger, s *postgres.Store) (*postgres.Store, *postgres.Replica, error) {
	url, bound := os.Getenv("OVERHANG_REPLICA_URL"), 10*time.Second
	if url == "" {
		return s, nil, nil
	}
	if lag := os.Getenv("OVERHANG_REPLICA_LAG"); lag != "" {
		var err error
		if bound, err = time.ParseDuration(lag); err != nil || bound < time.Second {
			return nil, nil, fmt.Errorf("OVERHANG_REPLICA_LAG=%s: a duration of a second or more, as 10s", lag)
		}
	}
	s, replica, err := s.Follow(ctx, url, bound)
	if err != nil {
		return nil, nil, fmt.Errorf("OVERHANG_REPLICA_URL: %w", err)
	}
	go replica.Watch(ctx, func(used bool, why error) { log.Info("replica", "used", used, "why", why) })
	return s, replica, nil
}
