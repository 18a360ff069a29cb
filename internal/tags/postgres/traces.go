package postgres

import (
	"context"
	"errors"
	"regexp"
	"strings"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"go.opentelemetry.io/otel/codes"
	semconv "go.opentelemetry.io/otel/semconv/v1.43.0"
	"go.opentelemetry.io/otel/trace"
)

// A tracer makes a span of every statement below a request that is traced; without
// one it does nothing. A span carries what a statement does to which table, never its
// values, and of an error its code alone: PostgreSQL's words may quote a value.
type tracer struct{}

// begin starts a span under the one in the context, with the same provider.
func begin(ctx context.Context, sql string) context.Context {
	parent := trace.SpanFromContext(ctx)
	if !parent.IsRecording() {
		return ctx
	}
	name := summary(sql)
	ctx, _ = parent.TracerProvider().Tracer("overhang/internal/tags/postgres").Start(ctx, name, trace.WithSpanKind(trace.SpanKindClient),
		trace.WithAttributes(semconv.DBSystemNamePostgreSQL, semconv.DBQuerySummary(name)))
	return ctx
}

// end ends the span that begin put into the context.
func end(ctx context.Context, err error) {
	span := trace.SpanFromContext(ctx)
	if err != nil && span.IsRecording() {
		var said *pgconn.PgError
		kind := "connection"
		if errors.As(err, &said) {
			kind = said.Code
			span.SetAttributes(semconv.DBResponseStatusCode(said.Code))
		}
		span.SetAttributes(semconv.ErrorTypeKey.String(kind))
		span.SetStatus(codes.Error, "")
	}
	span.End()
}

var target = regexp.MustCompile(`(?i)\b(?:FROM|INTO|UPDATE|TABLE|COPY)\s+([a-z_]+)`)

// summary names a statement by what it does and the first table it names, as in
// "SELECT plays".
func summary(sql string) string {
	name, _, _ := strings.Cut(strings.TrimSpace(sql), " ")
	name = strings.ToUpper(strings.TrimSpace(name))
	if table := target.FindStringSubmatch(sql); table != nil {
		name += " " + table[1]
	}
	return name
}

func (tracer) TraceQueryStart(ctx context.Context, _ *pgx.Conn, q pgx.TraceQueryStartData) context.Context {
	return begin(ctx, q.SQL)
}

func (tracer) TraceQueryEnd(ctx context.Context, _ *pgx.Conn, q pgx.TraceQueryEndData) {
	end(ctx, q.Err)
}

func (tracer) TraceBatchStart(ctx context.Context, _ *pgx.Conn, _ pgx.TraceBatchStartData) context.Context {
	return begin(ctx, "BATCH")
}

// TraceBatchQuery names a statement of a batch, which has no time of its own.
func (tracer) TraceBatchQuery(ctx context.Context, _ *pgx.Conn, q pgx.TraceBatchQueryData) {
	if span := trace.SpanFromContext(ctx); span.IsRecording() {
		span.AddEvent(summary(q.SQL))
	}
}

func (tracer) TraceBatchEnd(ctx context.Context, _ *pgx.Conn, b pgx.TraceBatchEndData) {
	end(ctx, b.Err)
}

func (tracer) TraceCopyFromStart(ctx context.Context, _ *pgx.Conn, c pgx.TraceCopyFromStartData) context.Context {
	return begin(ctx, "COPY "+strings.Join(c.TableName, "."))
}

func (tracer) TraceCopyFromEnd(ctx context.Context, _ *pgx.Conn, c pgx.TraceCopyFromEndData) {
	end(ctx, c.Err)
}
