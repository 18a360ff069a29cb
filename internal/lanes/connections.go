package lanes

import (
	ring "container/list"
	"net"
	"net/http"
	"sync"
)

// Connections bounds how many a server has open: one who holds many that ask nothing holds them
// at their own cost, not at others', and the process keeps file descriptors for its
// database. When one too many comes, the one is closed that has asked nothing for longest.
type Connections struct {
	Most int

	mu   sync.Mutex
	open map[net.Conn]*ring.Element // nil: it is being answered
	rest ring.List                  // of net.Conn that ask nothing, the longest first
}

// Watch makes the server tell about its connections.
func (k *Connections) Watch(srv *http.Server) {
	k.open = map[net.Conn]*ring.Element{}
	srv.ConnState = k.changed
}

func (k *Connections) changed(c net.Conn, state http.ConnState) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if e := k.open[c]; e != nil {
		k.rest.Remove(e)
	}
	switch state {
	case http.StateNew, http.StateIdle:
		k.open[c] = k.rest.PushBack(c)
		if len(k.open) > k.Most {
			oldest := k.rest.Remove(k.rest.Front()).(net.Conn)
			delete(k.open, oldest)
			oldest.Close()
		}
	case http.StateActive:
		k.open[c] = nil
	default:
		delete(k.open, c)
	}
}
