package strain

import (
	"context"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"overhang/internal/staff"
)

func serverKilled(t *testing.T, r *rig, _ int) time.Time {
	r.server.signal(syscall.SIGKILL)
	return time.Now()
}

func databaseKilled(t *testing.T, r *rig, _ int) time.Time {
	r.db.kill()
	return time.Now()
}

// slowDatabase delays every piece between the server and the database.
func slowDatabase(t *testing.T, r *rig, _ int) time.Time {
	r.wire.delay.Store(int64(100 * time.Millisecond))
	time.Sleep(2 * time.Second)
	r.wire.delay.Store(0)
	return time.Now()
}

// lockedTable holds the table of plays, the last time longer than a statement may
// take, and floods the server with reads of it: they are refused where they are too
// many, and the server says that it lives.
func lockedTable(t *testing.T, r *rig, i int) time.Time {
	hold := 2 * time.Second
	if *inFull && i == 3 {
		hold = 25 * time.Second
	}
	db := r.connect()
	tx, err := db.Begin(context.Background())
	if err == nil {
		_, err = tx.Exec(context.Background(), "LOCK TABLE plays IN ACCESS EXCLUSIVE MODE")
	}
	if err != nil {
		t.Fatal(err)
	}
	var answers [600]atomic.Int64
	var flood sync.WaitGroup
	until := time.Now().Add(hold)
	c := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 400}}
	for _, token := range r.tokens(staff.Reader, 20) {
		for range 20 {
			flood.Go(func() {
				for time.Now().Before(until) {
					status, _ := ask(c, token, "GET", r.url+"/v1/programs/ours/plays?limit=1", nil)
					answers[status].Add(1)
					time.Sleep(200 * time.Millisecond)
				}
			})
		}
	}
	time.Sleep(time.Until(until))
	if status, _ := ask(c, "", "GET", r.url+"/healthz", nil); status != http.StatusOK {
		t.Errorf("/healthz under the flood: %d", status)
	}
	tx.Rollback(context.Background())
	from := time.Now()
	flood.Wait()
	c.CloseIdleConnections()
	if answers[503].Load() == 0 {
		t.Error("400 reads at once of a locked table and none was refused: the queue has no bound")
	}
	if n := answers[500].Load(); n > 0 {
		t.Errorf("%d reads were answered 500", n)
	}
	t.Logf("the flood: %d refused with 503, %d with 429, %d answered once the lock was gone", answers[503].Load(),
		answers[429].Load(), answers[200].Load())
	return from
}

// needsMount says why a small disk cannot be made here.
func needsMount(t *testing.T) string {
	dir := folder(t)
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=1m"); err != nil {
		return fmt.Sprintf("a small file system cannot be mounted (%v): it takes root", err)
	}
	syscall.Unmount(dir, 0)
	return ""
}

// smallDisk is a rig whose database has half a gigabyte.
func smallDisk(t *testing.T) *rig {
	dir := folder(t)
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=512m,mode=0755"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { syscall.Unmount(dir, syscall.MNT_DETACH) })
	return newRig(t, dir)
}

// fullDisk leaves the database no byte for two seconds.
func fullDisk(t *testing.T, r *rig, _ int) time.Time {
	name := filepath.Join(r.dir, "ballast")
	f, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	piece := make([]byte, 1<<20)
	for len(piece) > 0 {
		if _, err := f.Write(piece); err != nil {
			piece = piece[:len(piece)/2]
		}
	}
	f.Close()
	time.Sleep(2 * time.Second)
	if err := os.Remove(name); err != nil {
		t.Fatal(err)
	}
	return time.Now()
}
