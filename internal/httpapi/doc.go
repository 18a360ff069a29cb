// Package httpapi serves the API of api/openapi.yaml and the pages. It parses,
// calls one thing and answers: no arithmetic, no SQL.
//
// # No webhooks
//
// No webhooks. The server fetches no address and calls none (API7 in SECURITY.md): an address
// that a member may name is a way to reach what stands beside the server, and what would be sent
// is the week's work. Who wants to know of changes asks now and then with If-None-Match: 304 says
// there is nothing new. That also works from behind a school's firewall, where no server could
// call.
//
// # ETags are versions
//
// ETags are versions: PUT and DELETE need If-Match (428 without, 412 with what is there now when
// somebody was faster).
//
// # Traces
//
// Traces are two small hooks, wire/span.go and postgres/traces.go: OpenTelemetry's middleware
// for echo is no longer kept, and the ready tracers of pgx send PostgreSQL's error messages, which
// may quote what was tagged. The store makes spans only below a span that records, so it needs no
// setting; with nothing set there is no difference to be measured (list of plays, alternating, n =
// 4), with a collector on the same two cores a request of 0.18 ms takes 0.32 ms (medians, n = 5;
// -bench Traces).
package httpapi
