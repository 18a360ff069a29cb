package strain

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"

	"overhang/integration/built"
)

const imported = "a season, imported"

// seasonSheet writes a season: ten opponents, four games each, 69 plays a game (SIZING.md, Arithmetic), invented.
func seasonSheet(dir string) (sheet string, err error) {
	sheet = filepath.Join(dir, "season.csv")
	var b strings.Builder
	b.WriteString("opponent,game,play,quarter,down,distance,to goal,formation,concept,gain,coverage\n")
	for i := range 40 * 69 {
		fmt.Fprintf(&b, "o%d,week %d,%d,%d,%d,%d,%d,%s,invented %d,%d,cover %d\n", i/69/4, i/69, i%69+1, 1+i%69*4/69, 1+i%4,
			1+i*7%15, 1+i*13%99, []string{"2x2", "3x1", "empty"}[i%3], i%40, i*11%23-4, i%4)
	}
	return sheet, os.WriteFile(sheet, []byte(b.String()), 0o644)
}

// imports brings a season of another program in by ingest, again and again while the staff works.
func (l *load) imports(dir string) {
	sheet, err := seasonSheet(dir)
	if err != nil {
		l.t.Error(err)
		return
	}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	go func() { <-l.over; cancel() }()
	for n := 0; l.importOne(ctx, n, sheet); n++ {
	}
}

// importOnce brings one season in.
func (l *load) importOnce(dir string) {
	sheet, err := seasonSheet(dir)
	if err != nil {
		l.t.Error(err)
		return
	}
	l.enter.Store(true)
	defer l.enter.Store(false)
	l.importOne(context.Background(), 0, sheet)
}

// importOne brings a season of a program of its own in; false when it did not.
func (l *load) importOne(ctx context.Context, n int, sheet string) bool {
	c := exec.CommandContext(ctx, filepath.Join(built.Dir, "ingest"), "-program", fmt.Sprint("season-", n), sheet)
	c.Env = append(os.Environ(), "OVERHANG_DATABASE_URL="+l.r.db.url())
	from := time.Now()
	out, err := c.CombinedOutput()
	if ctx.Err() != nil {
		return false
	}
	if err != nil {
		l.t.Errorf("a season beside the staff: %v %s", err, out)
		return false
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.took[imported] = append(l.took[imported], time.Since(from))
	return true
}
