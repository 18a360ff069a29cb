package postgres

import (
	"context"
	"errors"
	"regexp"
	"slices"
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
func begin(ctx context.Context, sql ...string) context.Context {
	parent := trace.SpanFromContext(ctx)
	if !parent.IsRecording() {
		return ctx
	}
	name := summary(sql...)
	ctx, _ = parent.TracerProvider().Tracer("overhang/internal/tags/postgres").Start(ctx, name,
		trace.WithSpanKind(trace.SpanKindClient),
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

var (
	verb   = regexp.MustCompile(`[A-Za-z]+`)
	target = regexp.MustCompile(`(?i)\b(?:FROM|INTO|UPDATE|TABLE|COPY)\s+([a-z_]+)`)
)

// summary names statements that go together: what each does and the first table it
// names, as in "SELECT plays". Of several, what sets the stage is left out.
func summary(sql ...string) string {
	var names []string
	for _, statement := range sql {
		name := strings.ToUpper(verb.FindString(statement))
		if table := target.FindStringSubmatch(statement); table != nil {
			name += " " + table[1]
		} else if len(sql) > 1 {
			continue
		}
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		return sql[0]
	}
	return strings.Join(names, "; ")
}

func (tracer) TraceQueryStart(ctx context.Context, _ *pgx.Conn, q pgx.TraceQueryStartData) context.Context {
	return begin(ctx, q.SQL)
}

func (tracer) TraceQueryEnd(ctx context.Context, _ *pgx.Conn, q pgx.TraceQueryEndData) {
	end(ctx, q.Err)
}

func (tracer) TraceBatchStart(ctx context.Context, _ *pgx.Conn, b pgx.TraceBatchStartData) context.Context {
	if !trace.SpanFromContext(ctx).IsRecording() {
		return ctx
	}
	sql := []string{"BATCH"}
	for _, q := range b.Batch.QueuedQueries {
		sql = append(sql, q.SQL)
	}
	return begin(ctx, sql...)
}

// TraceBatchQuery has nothing to add: the statements of a batch share its time.
func (tracer) TraceBatchQuery(context.Context, *pgx.Conn, pgx.TraceBatchQueryData) {}

func (tracer) TraceBatchEnd(ctx context.Context, _ *pgx.Conn, b pgx.TraceBatchEndData) {
	end(ctx, b.Err)
}

func (tracer) TraceCopyFromStart(ctx context.Context, _ *pgx.Conn, c pgx.TraceCopyFromStartData) context.Context {
	return begin(ctx, "COPY "+strings.Join(c.TableName, "."))
}

func (tracer) TraceCopyFromEnd(ctx context.Context, _ *pgx.Conn, c pgx.TraceCopyFromEndData) {
	end(ctx, c.Err)
}
