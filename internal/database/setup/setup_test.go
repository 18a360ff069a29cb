package setup

import (
	"bytes"
	"context"
	"strings"
	"testing"
	"time"

	"overhang/internal/database/localdb"
)

// TestPlain: what only this program's pools understand is taken out of an address, the rest
// stays as libpq reads it (PostgreSQL's documentation, 34.1.1.2).
func TestPlain(t *testing.T) {
	t.Parallel()
	for address, want := range map[string]string{
		"postgres://jo:se%40cret@db:5432/x":                                     "postgres://jo:se%40cret@db:5432/x",
		"postgres://db/x?sslmode=require":                                       "postgres://db/x?sslmode=require",
		"postgres://db/x?pool_max_conns=4&sslmode=require&pool_min_conns=1":     "postgres://db/x?sslmode=require",
		"postgres://db/x?default_query_exec_mode=exec":                          "postgres://db/x",
		"postgres:///x?host=%2Fvar%2Frun&pool_max_conn_lifetime=1h":             "postgres:///x?host=%2Fvar%2Frun",
		"postgres://db/x?application_name=a%26b&default_query_exec_mode=simple": "postgres://db/x?application_name=a%26b",
		"postgres://db:port/x":                                                  "postgres://db:port/x",
		// pgx tells what is wrong
		"host=db dbname=x password='se cret'":                    "host=db dbname=x password='se cret'", // 34.1.1.1
		"host=db pool_max_conns=4 dbname=x pool_min_conns = '1'": "host=db dbname=x",
	} {
		if got := plain(address); got != want {
			t.Errorf("%s: %s, want %s", address, got, want)
		}
	}
}

// TestAddressOfTheEnvironment goes before the private server, and stopping it stops nothing.
func TestAddressOfTheEnvironment(t *testing.T) {
	t.Setenv("OVERHANG_DATABASE_URL", "postgres://db/x?pool_max_conns=3")
	t.Setenv("OVERHANG_POSTGRES_BIN", t.TempDir()) // no private one could start
	url, stop, err := address(context.Background(), Log(&bytes.Buffer{}))
	if err != nil || url != "postgres://db/x?pool_max_conns=3" {
		t.Fatal(url, err)
	}
	stop()
	t.Setenv("OVERHANG_DATABASE_URL", "")
	t.Setenv("OVERHANG_DATA_DIR", t.TempDir())
	if _, _, err = address(context.Background(), Log(&bytes.Buffer{})); err == nil ||
		!strings.Contains(err.Error(), "OVERHANG_POSTGRES_BIN") {
		t.Errorf("neither a server nor programs: %v", err)
	}
}

// TestNoServerIsSaidInWords: who cannot be reached is said before anything is done, and soon.
func TestNoServerIsSaidInWords(t *testing.T) {
	t.Setenv("OVERHANG_DATABASE_URL", "postgres://127.0.0.1:1/x") // port 1 is nobody's here
	begun := time.Now()
	for name, open := range map[string]func() error{
		"Database": func() error { _, _, err := Database(context.Background(), Log(&bytes.Buffer{})); return err },
		"Store":    func() error { _, _, err := Store(context.Background(), Log(&bytes.Buffer{})); return err },
	} {
		if err := open(); err == nil || !strings.Contains(err.Error(), "PostgreSQL does not answer") {
			t.Errorf("%s: %v", name, err)
		}
	}
	if took := time.Since(begun); took > 14*time.Second {
		t.Errorf("it took %v to find out", took)
	}
}

// TestTracing: OpenTelemetry's specification of environment variables: booleans and known
// words in any case, an unknown word warned of and ignored, nothing asked for nothing done.
func TestTracing(t *testing.T) {
	const at, traces = "OTEL_EXPORTER_OTLP_ENDPOINT", "OTEL_EXPORTER_OTLP_TRACES_ENDPOINT"
	const exporter, off, protocol = "OTEL_TRACES_EXPORTER", "OTEL_SDK_DISABLED", "OTEL_EXPORTER_OTLP_PROTOCOL"
	for name, tt := range map[string]struct {
		env    map[string]string
		want   bool
		warned string
	}{
		"nothing said":                 {nil, false, ""},
		"a collector":                  {map[string]string{at: "http://c:4318"}, true, ""},
		"a collector of traces":        {map[string]string{traces: "http://c:4318/v1/traces"}, true, ""},
		"the exporter alone":           {map[string]string{exporter: "otlp"}, true, ""},
		"the exporter in capitals":     {map[string]string{exporter: "OTLP"}, true, ""},
		"no exporter":                  {map[string]string{at: "http://c:4318", exporter: "none"}, false, ""},
		"no exporter, in capitals":     {map[string]string{at: "http://c:4318", exporter: "None"}, false, ""},
		"another exporter":             {map[string]string{exporter: "zipkin"}, false, "zipkin"},
		"another exporter and a place": {map[string]string{at: "http://c:4318", exporter: "zipkin"}, true, "zipkin"},
		"all off":                      {map[string]string{at: "http://c:4318", off: "true"}, false, ""},
		"all off, in capitals":         {map[string]string{at: "http://c:4318", off: "TRUE"}, false, ""},
		"not off":                      {map[string]string{at: "http://c:4318", off: "false"}, true, ""},
		"off is only true":             {map[string]string{at: "http://c:4318", off: "1"}, true, ""},
		"by protobuf":                  {map[string]string{at: "http://c:4318", protocol: "http/protobuf"}, true, ""},
		"by gRPC":                      {map[string]string{at: "http://c:4318", protocol: "grpc"}, true, "grpc"},
		"by gRPC, not asked":           {map[string]string{protocol: "grpc"}, false, ""},
	} {
		t.Run(name, func(t *testing.T) {
			for _, k := range []string{at, traces, exporter, off, protocol, "OTEL_EXPORTER_OTLP_TRACES_PROTOCOL"} {
				t.Setenv(k, tt.env[k])
			}
			var log bytes.Buffer
			if got := tracing(Log(&log)); got != tt.want || (tt.warned == "") != (log.Len() == 0) ||
				!strings.Contains(log.String(), tt.warned) {
				t.Errorf("traces %v, log %q; want %v and %q", got, log.String(), tt.want, tt.warned)
			}
			p, stop, err := Traces(context.Background(), Log(&log))
			if err != nil || (p != nil) != tt.want {
				t.Errorf("a provider %v, %v; want %v", p, err, tt.want)
			}
			stop()
		})
	}
}

// TestFits: the oldest version that works is let in, what names no version too.
func TestFits(t *testing.T) {
	t.Parallel()
	for version, ok := range map[string]bool{"15.4 (Debian 15.4-1)": true, "15beta1": true, "16": true, "17.0": true,
		"14.99": false, "9.6.24": false, "": true, "devel": true, " 14.1": false, "100.1": true} {
		if err := localdb.Fits(version); (err == nil) != ok {
			t.Errorf("%q: %v", version, err)
		}
	}
}
