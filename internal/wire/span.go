package wire

import (
	"net/http"
	"slices"
	"strconv"

	"github.com/labstack/echo/v4"
	"go.opentelemetry.io/otel/codes"
	"go.opentelemetry.io/otel/propagation"
	semconv "go.opentelemetry.io/otel/semconv/v1.43.0"
	"go.opentelemetry.io/otel/trace"
)

// Span begins a request's span, and returns what ends it; a nil tracer makes none. It continues
// the trace of a client that sent a W3C traceparent, and carries the method, the route's pattern
// and the status, as OpenTelemetry's conventions for HTTP name them: no path, query or
// content. The route is known only after the router has run.
func Span(tracer trace.Tracer, c echo.Context) (end func()) {
	if tracer == nil {
		return func() {}
	}
	req := c.Request()
	ctx := propagation.TraceContext{}.Extract(req.Context(), propagation.HeaderCarrier(req.Header))
	method, name := semconv.HTTPRequestMethodKey.String(Known(req.Method, "_OTHER")), Known(req.Method, "HTTP")
	ctx, span := tracer.Start(ctx, name, trace.WithSpanKind(trace.SpanKindServer), trace.WithAttributes(method))
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

// Known returns a method that is served, else other: anybody may make up methods, and
// what counts by them must not grow.
func Known(method, other string) string {
	if slices.Contains([]string{"GET", "HEAD", "POST", "PUT", "DELETE"}, method) {
		return method
	}
	return other
}
