package setup

import (
	"context"
	"log/slog"
	"os"
	"strings"
	"time"

	"go.opentelemetry.io/otel"
	"go.opentelemetry.io/otel/exporters/otlp/otlptrace/otlptracehttp"
	"go.opentelemetry.io/otel/sdk/resource"
	"go.opentelemetry.io/otel/sdk/trace"
	semconv "go.opentelemetry.io/otel/semconv/v1.43.0"
)

// Traces makes what sends traces to a collector, by OTLP over HTTP, when OpenTelemetry's
// environment variables ask for it; nil when they do not. They also choose
// where to, what headers, the share of requests and the service's name ("overhang").
// stop sends what is left, for 5 s at most. A collector that does not answer costs
// the traces: they wait in a bounded queue beside the requests.
func Traces(ctx context.Context, log *slog.Logger) (provider *trace.TracerProvider, stop func(), err error) {
	if !tracing(log) {
		return nil, func() {}, nil
	}
	exporter, err := otlptracehttp.New(ctx)
	if err != nil {
		return nil, nil, err
	}
	about, err := resource.New(ctx, resource.WithAttributes(semconv.ServiceName("overhang")), resource.WithTelemetrySDK(),
		resource.WithFromEnv())
	if err != nil {
		return nil, nil, err
	}
	otel.SetErrorHandler(otel.ErrorHandlerFunc(func(err error) { log.Warn("traces", "error", err) }))
	provider = trace.NewTracerProvider(trace.WithBatcher(exporter), trace.WithResource(about))
	return provider, func() {
		end, cancel := context.WithTimeout(context.Background(), 5*time.Second)
		defer cancel()
		if err := provider.Shutdown(end); err != nil {
			log.Warn("traces: the last ones were not sent", "error", err)
		}
	}, nil
}

// tracing reads what OpenTelemetry's specification of environment variables leaves
// to the program: whether, and by which exporter. A value it does not know is warned
// of and ignored, as the specification asks; capitals count as small letters.
func tracing(log *slog.Logger) bool {
	if strings.EqualFold(os.Getenv("OTEL_SDK_DISABLED"), "true") {
		return false
	}
	asked := os.Getenv("OTEL_EXPORTER_OTLP_ENDPOINT") != "" || os.Getenv("OTEL_EXPORTER_OTLP_TRACES_ENDPOINT") != ""
	switch exporter := os.Getenv("OTEL_TRACES_EXPORTER"); strings.ToLower(exporter) {
	case "":
	case "otlp":
		asked = true
	case "none":
		return false
	default:
		log.Warn("traces: OTEL_TRACES_EXPORTER is ignored: only otlp and none are known", "value", exporter)
	}
	for _, name := range []string{"OTEL_EXPORTER_OTLP_PROTOCOL", "OTEL_EXPORTER_OTLP_TRACES_PROTOCOL"} {
		if protocol := os.Getenv(name); asked && protocol != "" && protocol != "http/protobuf" {
			log.Warn("traces: "+name+" is ignored: only http/protobuf is known", "value", protocol)
		}
	}
	return asked
}
