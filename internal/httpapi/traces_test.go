package httpapi_test

import (
	"bytes"
	"context"
	"encoding/hex"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"

	coltrace "go.opentelemetry.io/proto/otlp/collector/trace/v1"
	trace "go.opentelemetry.io/proto/otlp/trace/v1"
	"google.golang.org/protobuf/proto"

	"overhang/internal/database/setup"
	"overhang/internal/httpapi"
	"overhang/internal/staff"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

// A collector takes traces as OTLP over HTTP has them: POST /v1/traces, protobuf.
type collector struct {
	*httptest.Server
	mu      sync.Mutex
	raw     []byte
	spans   []*trace.Span
	service string
}

func collect(t *testing.T) *collector {
	c := &collector{}
	c.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body, _ := io.ReadAll(r.Body)
		var in coltrace.ExportTraceServiceRequest
		if err := proto.Unmarshal(body, &in); err != nil || r.URL.Path != "/v1/traces" ||
			r.Header.Get("Content-Type") != "application/x-protobuf" {
			t.Errorf("%s %s: %v", r.URL.Path, r.Header.Get("Content-Type"), err)
		}
		c.mu.Lock()
		defer c.mu.Unlock()
		c.raw = append(c.raw, body...)
		for _, rs := range in.ResourceSpans {
			c.service = attribute(&trace.Span{Attributes: rs.Resource.Attributes}, "service.name")
			for _, ss := range rs.ScopeSpans {
				c.spans = append(c.spans, ss.Spans...)
			}
		}
	}))
	t.Cleanup(c.Close)
	return c
}

func attribute(s *trace.Span, key string) string {
	for _, a := range s.Attributes {
		if a.Key == key {
			return strings.Trim(strings.TrimPrefix(strings.TrimPrefix(a.Value.String(), "string_value:"), "int_value:"), `"`)
		}
	}
	return ""
}

// under lists the names of the spans below one, however deep.
func (c *collector) under(id []byte) (names []string) {
	for _, s := range c.spans {
		if bytes.Equal(s.ParentSpanId, id) {
			names = append(append(names, s.Name), c.under(s.SpanId)...)
		}
	}
	return names
}

// traced is a server behind its walls whose traces go into a collector; stop sends what is left.
func traced(t *testing.T) (into *collector, c *client, store *postgres.Store, stop func()) {
	t.Helper()
	into = collect(t)
	t.Setenv("OTEL_EXPORTER_OTLP_ENDPOINT", into.URL)
	provider, stop, err := setup.Traces(t.Context(), slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	store, _ = postgrestest.New(t)
	return into, clientFor(t, behindWalls(t, store), httpapi.WithLogin(store), httpapi.WithTraces(provider)), store, stop
}

// TestTraces follows requests into a collector. Names and attributes are held against
// OpenTelemetry's semantic conventions for HTTP server spans and PostgreSQL, the trace
// context against the example of W3C Trace Context (section 3.2.3). Nothing that was
// tagged, asked or shown to come in leaves the server.
func TestTraces(t *testing.T) {
	into, c, store, stop := traced(t)
	c = c.person(store, "ours", "mark-login", staff.Owner)
	game := c.season()
	const parent = "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"
	play := `{"game_id":"` + game + `","number":1,"note":"mark-note",` + smash + `}`
	at := c.must(201, "POST", ours+"/plays", play, "traceparent", parent)["location"].(string)
	c.must(409, "POST", ours+"/plays", play, "traceparent", strings.Replace(parent, "0af7", "0bf7", 1))
	c.must(200, "GET", ours+"/tendencies?by=down&concept=smash", "")
	c.must(409, "POST", ours+"/opponents", `{"code":"o1","name":"mark-name"}`)
	c.do("BREW", "/mark-path?mark-query", "", "Cookie", "overhang=mark-cookie")
	stop()

	if into.service != "overhang" {
		t.Errorf("service.name %q", into.service)
	}
	secrets := []string{"mark-", c.token, "smash", game, strings.TrimPrefix(at, ours+"/plays/"), "ours/plays",
		"correct horse"}
	for _, secret := range secrets {
		if bytes.Contains(into.raw, []byte(secret)) {
			t.Errorf("what was sent to the collector holds %q", secret)
		}
	}
	found := map[string]*trace.Span{}
	for _, s := range into.spans {
		if s.Kind == trace.Span_SPAN_KIND_SERVER {
			found[s.Name+" "+attribute(s, "http.response.status_code")] = s
		}
	}
	s := found["POST /v1/programs/:program/plays 201"]
	if s == nil || hex.EncodeToString(s.TraceId) != "0af7651916cd43dd8448eb211c80319c" ||
		hex.EncodeToString(s.ParentSpanId) != "b7ad6b7169203331" {
		t.Fatalf("no span of the request under its caller's: %v", found)
	}
	if attribute(s, "http.request.method") != "POST" || attribute(s, "http.route") != "/v1/programs/:program/plays" ||
		s.Status.GetCode() != trace.Status_STATUS_CODE_UNSET {
		t.Errorf("the request's span: %v", s)
	}
	below := into.under(s.SpanId)
	for _, name := range []string{"WITH tokens", "SELECT programs", "BEGIN", "INSERT plays", "COMMIT"} {
		if !slices.Contains(below, name) {
			t.Errorf("below the request is no %q: %q", name, below)
		}
	}
	clash := found["POST /v1/programs/:program/plays 409"]
	failed := 0
	for _, x := range into.spans {
		if clash != nil && bytes.Equal(x.TraceId, clash.TraceId) && attribute(x, "db.response.status_code") == "23505" &&
			x.Status.GetCode() == trace.Status_STATUS_CODE_ERROR && x.Status.Message == "" {
			failed++ // SQLSTATE 23505: unique_violation
		}
	}
	if failed == 0 || found["HTTP 401"] == nil && found["HTTP 404"] == nil && found["HTTP 405"] == nil {
		t.Errorf("%d failed statements of the clash; spans %v", failed, found)
	}
}

// TestTracesOnlyWhenAsked tries the variables of OpenTelemetry's specification.
func TestTracesOnlyWhenAsked(t *testing.T) {
	for _, tt := range []struct {
		env  string
		on   bool
		warn string
	}{
		{"", false, ""},
		{"OTEL_TRACES_EXPORTER=otlp", true, ""},
		{"OTEL_EXPORTER_OTLP_TRACES_ENDPOINT=http://127.0.0.1:1/v1/traces", true, ""},
		{"OTEL_EXPORTER_OTLP_ENDPOINT=http://127.0.0.1:1 OTEL_TRACES_EXPORTER=none", false, ""},
		{"OTEL_EXPORTER_OTLP_ENDPOINT=http://127.0.0.1:1 OTEL_SDK_DISABLED=true", false, ""},
		{"OTEL_TRACES_EXPORTER=zipkin", false, "OTEL_TRACES_EXPORTER"},
		{"OTEL_TRACES_EXPORTER=otlp OTEL_EXPORTER_OTLP_PROTOCOL=grpc", true, "OTEL_EXPORTER_OTLP_PROTOCOL"},
	} {
		t.Run(tt.env, func(t *testing.T) {
			for _, pair := range strings.Fields(tt.env) {
				name, value, _ := strings.Cut(pair, "=")
				t.Setenv(name, value)
			}
			var said bytes.Buffer
			provider, stop, err := setup.Traces(t.Context(), slog.New(slog.NewTextHandler(&said, nil)))
			if err != nil {
				t.Fatal(err)
			}
			stop()
			if (provider != nil) != tt.on || !strings.Contains(said.String(), tt.warn) || tt.warn == "" && said.Len() > 0 {
				t.Errorf("on %v, want %v; said %q, want %q", provider != nil, tt.on, said.String(), tt.warn)
			}
		})
	}
}

// TestTracesNeverInTheWay answers requests while the collector takes connections and
// says nothing, and ends.
func TestTracesNeverInTheWay(t *testing.T) {
	ctx, release := context.WithCancel(context.Background())
	dead := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { <-ctx.Done() }))
	t.Cleanup(dead.Close)
	t.Cleanup(release)
	t.Setenv("OTEL_EXPORTER_OTLP_ENDPOINT", dead.URL)
	t.Setenv("OTEL_EXPORTER_OTLP_TIMEOUT", "200")
	t.Setenv("OTEL_BSP_MAX_QUEUE_SIZE", "8")
	t.Setenv("OTEL_BSP_MAX_EXPORT_BATCH_SIZE", "4")
	t.Setenv("OTEL_BSP_SCHEDULE_DELAY", "10")
	var said bytes.Buffer
	provider, stop, err := setup.Traces(t.Context(), slog.New(slog.NewTextHandler(&said, nil)))
	if err != nil {
		t.Fatal(err)
	}
	store, _ := postgrestest.New(t)
	c := clientFor(t, store, httpapi.WithTraces(provider))
	for range 50 {
		c.must(200, "GET", ours+"/plays", "")
	}
	stop()
	if !strings.Contains(said.String(), "traces") {
		t.Error("nobody was told that traces were lost")
	}
}

// BenchmarkTraces is what a trace costs a request, beside a request without.
func BenchmarkTraces(b *testing.B) {
	into := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		io.Copy(io.Discard,
			r.Body)
	}))
	b.Cleanup(into.Close)
	store, _ := postgrestest.New(b)
	for _, exporter := range []string{"none", "otlp"} {
		b.Run(exporter, func(b *testing.B) {
			b.Setenv("OTEL_TRACES_EXPORTER", exporter)
			b.Setenv("OTEL_EXPORTER_OTLP_ENDPOINT", into.URL)
			log := slog.New(slog.DiscardHandler)
			provider, stop, err := setup.Traces(b.Context(), log)
			if err != nil {
				b.Fatal(err)
			}
			b.Cleanup(stop)
			var opts []httpapi.Option
			if provider != nil {
				opts = append(opts, httpapi.WithTraces(provider))
			}
			h, err := httpapi.New(store, log, opts...)
			if err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				w := httptest.NewRecorder()
				h.ServeHTTP(w, httptest.NewRequest("GET", ours+"/plays", nil))
				if w.Code != 200 {
					b.Fatal(w.Body)
				}
			}
		})
	}
}
