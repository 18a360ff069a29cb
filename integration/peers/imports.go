package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"time"

	"overhang/internal/tags"
)

// build makes one of the product's programs.
func build(ctx context.Context, dir, name string) (string, error) {
	out := filepath.Join(dir, name)
	c := exec.CommandContext(ctx, "go", "build", "-o", out, "./cmd/"+name)
	c.Dir = "../.." // run from its own folder, as make peers does
	c.Env = append(os.Environ(), "CGO_ENABLED=0")
	c.Stderr = os.Stderr
	return out, c.Run()
}

// serve starts the API on the database, for anybody on this machine.
func serve(ctx context.Context, url string) (address string, end func(), err error) {
	dir, err := os.MkdirTemp("", "overhang-peers-")
	if err != nil {
		return "", nil, err
	}
	end = func() { os.RemoveAll(dir) }
	api, err := build(ctx, dir, "api")
	if err != nil {
		end()
		return "", nil, err
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		end()
		return "", nil, err
	}
	where := l.Addr().String()
	l.Close()
	c := exec.CommandContext(ctx, api, "-no-login", "-no-brakes-for-tests", "-listen", where)
	c.Env = append(os.Environ(), "OVERHANG_DATABASE_URL="+url)
	if err := c.Start(); err != nil {
		end()
		return "", nil, err
	}
	end = func() {
		c.Process.Signal(syscall.SIGTERM)
		c.Wait()
		os.RemoveAll(dir)
	}
	for range 200 {
		if r, err := http.Get("http://" + where + "/readyz"); err == nil {
			r.Body.Close()
			if r.StatusCode == http.StatusOK {
				return "http://" + where, end, nil
			}
		}
		time.Sleep(50 * time.Millisecond)
	}
	end()
	return "", nil, fmt.Errorf("the API does not answer at %s", where)
}

const mapping = `opponent: {column: opponent}
game: {column: game}
new_words: add
fields:
  number: {column: number}
  quarter: {column: quarter}
  down: {column: down}
  distance_yd: {column: distance}
  yards_to_goal: {column: to_goal}
  personnel: {column: personnel}
  set_name: {column: set}
  called: {column: called}
  family: {column: family}
  concept: {column: concept}
  result: {column: result}
  coverage: {column: coverage}
  gain_yd: {column: gain}
  touchdown: {column: touchdown}
  throw_depth_yd: {column: depth}
  throw_s: {column: throw_s}
`

// sheet writes the plays as a spreadsheet with its mapping.
func sheet(dir string, plays []play) (file, by string, err error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", "", err
	}
	file, by = filepath.Join(dir, "plays.csv"), filepath.Join(dir, "plays.yaml")
	if err := os.WriteFile(by, []byte(mapping), 0o600); err != nil {
		return "", "", err
	}
	f, err := os.Create(file)
	if err != nil {
		return "", "", err
	}
	defer f.Close()
	w := csv.NewWriter(f)
	w.Write([]string{"opponent", "game", "number", "quarter", "down", "distance", "to_goal", "personnel", "set", "called",
		"family", "concept", "result", "coverage", "gain", "touchdown", "depth", "throw_s"})
	s := strconv.Itoa
	for i := range plays {
		p := &plays[i]
		depth, throw := "", ""
		if p.depth != noDepth {
			depth, throw = s(p.depth), strconv.FormatFloat(p.throwS, 'f', 1, 64)
		}
		w.Write([]string{p.opponent, p.gameLabel, s(p.number), s(p.quarter), s(p.down), s(p.distance), s(p.toGoal),
			p.personnel, p.set, p.called, p.family, p.concept, p.result, p.coverage, s(p.gain), strconv.FormatBool(p.touchdown),
			depth, throw})
	}
	w.Flush()
	return file, by, w.Error()
}

// mostGuessed is how many plays are read by guess, at most: a sheet that is guessed at has a bound.
const mostGuessed = 60_000

// A rate prints how fast plays were stored, and the ratio to what was printed first.
type rate struct{ first float64 }

func (r *rate) line(name string, n int, took time.Duration, mb int64) {
	rate := float64(n) / took.Seconds()
	if r.first == 0 {
		r.first = rate
	}
	fmt.Printf("%-52s %10.2f %10.0f %10d %8.2f\n", name, took.Seconds(), rate, mb, rate/r.first)
}

// imports times COPY alone, an import of the plays as a spreadsheet, and that once more.
func (t *trial) imports() error {
	n, r := len(t.plays), &rate{}
	fmt.Printf("\n%d plays imported\n%-52s %10s %10s %10s %8s\n", n, "", "s", "a second", "peak MB", "ratio")
	for _, x := range []struct {
		name    string
		history bool
	}{{"COPY alone, keys, checks, references, history", true},
		{"COPY alone, keys and checks, no history, no references", false}} {
		took, err := t.copyAlone(x.name, x.history)
		if err != nil {
			return err
		}
		r.line(x.name, n, took, 0)
	}
	dir, err := os.MkdirTemp("", "overhang-peers-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	ingest, err := build(t.ctx, dir, "ingest")
	if err != nil {
		return err
	}
	return t.ingests(dir, ingest, r)
}

// importAlone times one import and nothing beside it, for sizes at which the peers are no question of a day.
func (t *trial) importAlone() error {
	dir, err := os.MkdirTemp("", "overhang-peers-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	ingest, err := build(t.ctx, dir, "ingest")
	if err != nil {
		return err
	}
	file, by, err := sheet(dir, t.plays)
	if err != nil {
		return err
	}
	n := len(t.plays)
	t.plays = nil
	runtime.GC()
	args := []string{"-program", fmt.Sprintf("a%d", n), "-map", by, file}
	return t.ingest(ingest, "ingest, mapping file", n, args, &rate{})
}

// ingests times the product's own program.
func (t *trial) ingests(dir, ingest string, r *rate) error {
	n, guessed := len(t.plays), min(len(t.plays), mostGuessed)
	file, by, err := sheet(filepath.Join(dir, "whole"), t.plays)
	if err != nil {
		return err
	}
	short, _, err := sheet(filepath.Join(dir, "short"), t.plays[:guessed])
	if err != nil {
		return err
	}
	mapped := []string{"-program", fmt.Sprintf("i%d", n), "-map", by, file}
	for _, x := range []struct {
		name string
		n    int
		args []string
	}{{"ingest, mapping file", n, mapped}, {"the same again", n, mapped},
		{fmt.Sprintf("ingest, by guess, %d of them", guessed), guessed, []string{"-program", fmt.Sprintf("g%d", n), short}}} {
		if err := t.ingest(ingest, x.name, x.n, x.args, r); err != nil {
			return err
		}
	}
	return nil
}

// ingest times one run of the product's own program.
func (t *trial) ingest(ingest, name string, n int, args []string, r *rate) error {
	var errs bytes.Buffer
	c := exec.CommandContext(t.ctx, ingest, args...)
	c.Env = append(os.Environ(), "OVERHANG_DATABASE_URL="+t.url)
	c.Stderr = &errs
	began := time.Now()
	if err := c.Start(); err != nil {
		return err
	}
	most := peak(c.Process.Pid)
	if err := c.Wait(); err != nil {
		return fmt.Errorf("%s: %w: %s", name, err, errs.String())
	}
	r.line(name, n, time.Since(began), <-most)
	fmt.Printf("%-52s %10.2f of them in our own process\n", "", c.ProcessState.UserTime().Seconds())
	return nil
}

// peak watches the most memory that a process had until it ends, in MB. What the system says of an
// ended process counts the memory of the one that started it, too (getrusage(2)).
func peak(pid int) <-chan int64 {
	out := make(chan int64, 1)
	go func() {
		var most int64
		for ; ; time.Sleep(50 * time.Millisecond) {
			status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
			_, rest, found := strings.Cut(string(status), "VmHWM:")
			if err != nil || !found {
				out <- most / 1024
				return
			}
			most, _ = strconv.ParseInt(strings.Fields(rest)[0], 10, 64)
		}
	}()
	return out
}

func (t *trial) copyAlone(name string, history bool) (time.Duration, error) {
	p, err := t.store.EnsureProgram(t.ctx, tags.Program{Code: fmt.Sprintf("c%d%v", len(t.plays), history),
		Name: name, Level: "high_school", Invented: true})
	if err != nil {
		return 0, err
	}
	if err := storeGames(t.ctx, t.db, p.ID, t.plays); err != nil {
		return 0, err
	}
	return copyPlays(t.ctx, t.db, p.ID, t.plays, history)
}
