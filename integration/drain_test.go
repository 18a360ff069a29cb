package integration

import (
	"strings"
	"syscall"
	"testing"
)

// TestDrain: with -drain the server says on /readyz that it stops, for a balancer to
// notice, and answers all the while; then it ends cleanly.
func TestDrain(t *testing.T) {
	p := start(t, database(t), "-no-login", "-drain", "2s")
	if code, _, _ := p.get(t, "/readyz"); code != 200 {
		t.Fatalf("/readyz before: %d", code)
	}
	p.cmd.Process.Signal(syscall.SIGTERM)
	for {
		code, h, body := p.get(t, "/readyz") // fails the test when nobody answers any more
		if code == 200 {
			continue // the signal is on its way
		}
		if code != 503 || h.Get("Retry-After") == "" || !strings.Contains(body, "stopping") {
			t.Errorf("/readyz of a server that stops: %d %s", code, body)
		}
		break
	}
	if code, _, _ := p.get(t, "/v1/programs"); code != 200 {
		t.Errorf("a question while it stops: %d", code)
	}
	if err := p.cmd.Wait(); err != nil {
		t.Errorf("SIGTERM: %v; want a clean exit", err)
	}
}
