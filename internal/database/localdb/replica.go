package localdb

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// Replicate copies a running server into a folder (empty: a temporary one) and
// starts the copy as a hot standby that streams from it (PostgreSQL manual, 27.2).
// Its URL takes reads only.
func (s *Server) Replicate(ctx context.Context, dir string) (_ *Server, err error) {
	r := &Server{dir: dir, bin: s.bin, temp: dir == "", password: s.password}
	if r.temp {
		if r.dir, err = os.MkdirTemp("", "overhang-replica-"); err != nil {
			return nil, err
		}
	}
	if err := r.copy(ctx, s); err != nil {
		return nil, r.abandon(err)
	}
	if err := r.launch(ctx, false); err != nil {
		return nil, r.abandon(err)
	}
	return r, nil
}

// copy makes the folder of a standby of another server.
func (s *Server) copy(ctx context.Context, from *Server) error {
	if err := os.MkdirAll(s.dir, 0o700); err != nil {
		return err
	}
	if err := s.own(s.dir); err != nil {
		return err
	}
	if err := s.keepPassword(); err != nil {
		return err
	}
	cmd := s.command(ctx, "pg_basebackup", "-D", filepath.Join(s.dir, "data"), "-h", "127.0.0.1", "-p",
		fmt.Sprint(from.port), "-U", "overhang",
		"--write-recovery-conf", "--wal-method=stream", "--checkpoint=fast", "--no-sync")
	cmd.Env = append(cmd.Env, "PGPASSWORD="+from.password)
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("pg_basebackup: %w: %s", err, strings.TrimSpace(string(out)))
	}
	return nil
}
