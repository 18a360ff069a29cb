package strain

import (
	"net"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// A wire carries bytes between a program and its database, slowly or only so many
// of them when it is told so.
type wire struct {
	net.Listener
	to    string
	delay atomic.Int64 // nanoseconds before every piece, either way
	left  atomic.Int64 // bytes until both ends are cut; negative: no end
	sent  atomic.Int64 // bytes carried
	mu    sync.Mutex
	open  map[net.Conn]bool
}

func newWire(t testing.TB, to string) *wire {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	w := &wire{Listener: l, to: to, open: map[net.Conn]bool{}}
	w.left.Store(-1)
	t.Cleanup(func() { l.Close(); w.cut() })
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go w.join(c)
		}
	}()
	return w
}

func (w *wire) port() int { return w.Addr().(*net.TCPAddr).Port }

func (w *wire) join(client net.Conn) {
	server, err := net.Dial("tcp", w.to)
	if err != nil {
		client.Close()
		return
	}
	w.mu.Lock()
	w.open[client], w.open[server] = true, true
	w.mu.Unlock()
	var both sync.WaitGroup
	both.Go(func() { w.carry(client, server) })
	both.Go(func() { w.carry(server, client) })
	both.Wait()
	w.mu.Lock()
	delete(w.open, client)
	delete(w.open, server)
	w.mu.Unlock()
}

// carry copies until one end is closed or the bytes that were allowed are used up:
// the last piece may arrive in part.
func (w *wire) carry(from, to net.Conn) {
	defer from.Close()
	defer to.Close()
	buf := make([]byte, 32<<10)
	for {
		n, err := from.Read(buf)
		if err != nil {
			return
		}
		time.Sleep(time.Duration(w.delay.Load()))
		if w.left.Load() >= 0 {
			left := w.left.Add(-int64(n)) + int64(n)
			if left < int64(n) {
				to.Write(buf[:max(0, left)])
				w.left.Store(0)
				w.cut()
				return
			}
		}
		w.sent.Add(int64(n))
		if _, err := to.Write(buf[:n]); err != nil {
			return
		}
	}
}

// cut closes all connections.
func (w *wire) cut() {
	w.mu.Lock()
	defer w.mu.Unlock()
	for c := range w.open {
		c.Close()
	}
}
