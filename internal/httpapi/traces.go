package httpapi

import (
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"
	"go.opentelemetry.io/otel/codes"
	"go.opentelemetry.io/otel/propagation"
	semconv "go.opentelemetry.io/otel/semconv/v1.43.0"
	"go.opentelemetry.io/otel/trace"
)

// WithTraces makes a span of every request, and continues the trace of the client that sent
// a W3C traceparent. A span carries the method, the route's pattern and the status,
// as OpenTelemetry's conventions for HTTP name them: no path, query or content. The
// store hangs its statements below it.
func WithTraces(p trace.TracerProvider) Option {
	return func(s *server) { s.tracer = p.Tracer("overhang/internal/httpapi") }
}

// span begins a request's span, and returns what ends it. The route is known only
// after the router has run.
func (s *server) span(c echo.Context) (end func()) {
	if s.tracer == nil {
		return func() {}
	}
	req := c.Request()
	ctx := propagation.TraceContext{}.Extract(req.Context(), propagation.HeaderCarrier(req.Header))
	method, name := semconv.HTTPRequestMethodKey.String(known(req.Method, "_OTHER")), known(req.Method, "HTTP")
	ctx, span := s.tracer.Start(ctx, name, trace.WithSpanKind(trace.SpanKindServer), trace.WithAttributes(method))
	c.SetRequest(req.WithContext(ctx))
	return func() {
		if route := c.Path(); route != "" {
			span.SetName(name + " " + route)
			span.SetAttributes(semconv.HTTPRoute(route))
		}
		status := c.Response().Status
		span.SetAttributes(semconv.HTTPResponseStatusCode(status))
		if status >= http.StatusInternalServerError {
			span.SetAttributes(semconv.ErrorTypeKey.String(strconv.Itoa(status)))
			span.SetStatus(codes.Error, "")
		}
		span.End()
	}
}
