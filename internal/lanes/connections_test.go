package lanes

import (
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"testing"
)

// TestConnections: a hundred connections that ask nothing leave a server of eight its eight, and
// who asks is answered, no matter who came before him.
func TestConnections(t *testing.T) {
	k := &Connections{Most: 8}
	ok := func(w http.ResponseWriter, _ *http.Request) { io.WriteString(w, "ok") }
	srv := httptest.NewUnstartedServer(http.HandlerFunc(ok))
	k.Watch(srv.Config)
	srv.Start()
	defer srv.Close()
	var idle []net.Conn
	for range 100 {
		c, err := net.Dial("tcp", srv.Listener.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		idle = append(idle, c)
	}
	if _, err := idle[0].Read(make([]byte, 1)); err == nil {
		t.Error("the first that asked nothing is open still")
	}
	for range 20 {
		resp, err := http.Get(srv.URL)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if len(k.open) > 8 || k.rest.Len() > 8 {
		t.Errorf("%d are open, %d ask nothing; want 8 at most", len(k.open), k.rest.Len())
	}
}
