package integration

import (
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"syscall"
	"testing"
)

// TestTracesAtTheEnd: what was not sent yet is sent when the program is told to stop.
func TestTracesAtTheEnd(t *testing.T) {
	got := make(chan string, 100)
	collector := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		raw, _ := io.ReadAll(r.Body)
		got <- string(raw)
	}))
	defer collector.Close()
	t.Setenv("OTEL_EXPORTER_OTLP_ENDPOINT", collector.URL)
	t.Setenv("OTEL_SERVICE_NAME", "overhang-test")
	t.Setenv("OTEL_BSP_SCHEDULE_DELAY", "600000") // ten minutes: nothing goes by itself
	p := start(t, database(t), "-demo")
	p.get(t, "/v1/programs/demo/games")
	p.cmd.Process.Signal(syscall.SIGTERM)
	if err := p.cmd.Wait(); err != nil {
		t.Error(err)
	}
	close(got)
	var all strings.Builder
	for raw := range got {
		all.WriteString(raw)
	}
	for _, part := range []string{"GET /v1/programs/:program/games", "SELECT games", "overhang-test"} {
		if !strings.Contains(all.String(), part) {
			t.Errorf("the collector was not sent %q", part)
		}
	}
}
