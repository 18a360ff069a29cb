package postgres

import (
	"context"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// A Noun is anything with a Meta that can check itself.
type Noun[T any] interface {
	*T
	Identity() *tags.Meta
	Validate() error
}

// A table says where a noun is kept: everything common to the nouns is written
// once, here; what is special to one (a play's words) hooks in before a write.
type table[T any] struct {
	name string
	// beside program_id, id, version and updated_at, as the db tags have them
	columns []string
	filters map[string]string                                  // column a list can be filtered by, to its kind
	before  func(context.Context, pgx.Tx, uuid.UUID, *T) error // of a write; the identity is set
	leaving func(context.Context, pgx.Tx, uuid.UUID, *T) error // of a removal
	history bool                                               // its changes are recorded
	// gather is before for a noun that is written all day: it queues what it asks the
	// database, in one go with what others ask, and returns what it does then.
	gather func(*pgx.Batch, uuid.UUID, *T) func(context.Context, pgx.Tx) error
}

// columnsOf lists the db tags of a struct and of those it embeds, without those of
// its Meta.
func columnsOf[T any]() []string { return columnsIn(reflect.TypeFor[T]()) }

func columnsIn(t reflect.Type) (out []string) {
	for i := range t.NumField() {
		f := t.Field(i)
		if c := f.Tag.Get("db"); c == "-" {
			continue // an answer's alone
		} else if c != "" {
			out = append(out, c)
		} else if embeds(f) {
			out = append(out, columnsIn(f.Type)...)
		}
	}
	return out
}

func embeds(f reflect.StructField) bool { return f.Anonymous && f.Type != reflect.TypeFor[tags.Meta]() }

// valuesOf lists the values behind columnsOf.
func valuesOf(v any) []any {
	s := reflect.ValueOf(v).Elem()
	places, ok := placesOf.Load(s.Type())
	if !ok {
		places, _ = placesOf.LoadOrStore(s.Type(), placesIn(s.Type(), nil))
	}
	out := make([]any, len(places.([][]int)))
	for i, at := range places.([][]int) {
		out[i] = s.FieldByIndex(at).Interface()
	}
	return out
}

// placesOf keeps where a type has its columns: reading the tags for every play of a load
// takes longer than checking it.
var placesOf sync.Map

func placesIn(t reflect.Type, within []int) (out [][]int) {
	for i := range t.NumField() {
		f, at := t.Field(i), append(slices.Clone(within), i)
		if c := f.Tag.Get("db"); c == "-" {
			continue
		} else if c != "" {
			out = append(out, at)
		} else if embeds(f) {
			out = append(out, placesIn(f.Type, at)...)
		}
	}
	return out
}

func (t *table[T]) selected() string {
	return "id, version, updated_at, " + strings.Join(t.columns, ", ")
}

// A Page is what a list is asked for.
type Page struct {
	Filters map[string]string
	Limit   int       // 1 to 500
	After   uuid.UUID // the last id of the page before
}

// list returns up to Limit nouns in the order of their ids, which is the order
// they were made in; the primary key serves it.
func (t *table[T]) list(ctx context.Context, s *Store, program uuid.UUID, p Page) (_ []T, err error) {
	defer wrap(&err, "list %s", t.name)
	where, args := []string{"program_id = $1", "id > $2"}, []any{program, p.After}
	for column, v := range p.Filters {
		value, err := t.filter(column, v)
		if err != nil {
			return nil, err
		}
		args = append(args, value)
		where = append(where, fmt.Sprintf("%s = $%d", column, len(args)))
	}
	args = append(args, p.Limit)
	return list[T](ctx, s.db, fmt.Sprintf(`
		SELECT %s
		FROM %s
		WHERE %s
		ORDER BY id
		LIMIT $%d`, t.selected(), t.name, strings.Join(where, " AND "), len(args)), args...)
}

// filter reads a filter's value as its column's kind: a cast of the column would
// keep an index from serving it.
func (t *table[T]) filter(column, v string) (any, error) {
	var value any
	var err error
	switch t.filters[column] {
	case "uuid":
		value, err = uuid.Parse(v)
	case "int":
		value, err = strconv.ParseInt(v, 10, 32)
	case "bool":
		value, err = strconv.ParseBool(v)
	case "text":
		value = v
	default:
		return nil, tags.Fieldf(tags.Invalid, column, "%s cannot be filtered by it", t.name)
	}
	if err != nil || !tags.Storable(v) {
		return nil, tags.Fieldf(tags.Invalid, column, "%q is not one of its values", v)
	}
	return value, nil
}

// get returns one noun, or a NotFound.
func (t *table[T]) get(ctx context.Context, db conn, program, id uuid.UUID, lock string) (_ T, err error) {
	defer wrap(&err, "get %s", t.name)
	v, err := single[T](ctx, db, `
		SELECT `+t.selected()+`
		FROM `+t.name+`
		WHERE program_id = $1 AND id = $2`+lock, program, id)
	if err == pgx.ErrNoRows {
		err = t.missing(id)
	}
	return v, err
}

func (t *table[T]) missing(id uuid.UUID) error {
	return tags.Errorf(tags.NotFound, "there is no %s %s", strings.TrimSuffix(t.name, "s"), id)
}

// create stores a new noun and returns it as stored. With a key it is safe to
// repeat what was asked: see once.
func create[T any, P Noun[T]](ctx context.Context, s *Store, t *table[T], program uuid.UUID, key string, asked any,
	v T) (_ T, err error) {
	defer wrap(&err, "create %s", t.name)
	o, err := newOnce(s.who, key, t.name, asked)
	if err != nil {
		return v, err
	}
	if err := P(&v).Validate(); err != nil {
		return v, err
	}
	m := P(&v).Identity()
	m.Version = 1
	if m.ID == uuid.Nil {
		m.ID = NewID()
	}
	out := v
	err = s.transact(ctx, func(tx pgx.Tx) error {
		b := &pgx.Batch{}
		o.ask(b, program)
		then := t.open(b, s, program, &v)
		if err := tx.SendBatch(ctx, b).Close(); err != nil {
			return err
		}
		if o.stored != nil {
			return answered[T, P](o, &out)
		}
		if err := then(ctx, tx); err != nil {
			return err
		}
		out, err = insert[T, P](ctx, tx, t, program, v, o)
		return err
	})
	if key == "" || !taken(err) {
		return out, err
	}
	// What is in the way may be the same request, which was faster.
	b := &pgx.Batch{}
	o.ask(b, program)
	if e := s.pool.SendBatch(ctx, b).Close(); e != nil || o.stored == nil {
		return out, err
	}
	return out, answered[T, P](o, &out)
}

// open queues what a write of v needs to know, and returns what is to be done
// once that has been answered.
func (t *table[T]) open(b *pgx.Batch, s *Store, program uuid.UUID, v *T) func(context.Context, pgx.Tx) error {
	if t.history {
		s.record(b, program, "edit")
	}
	switch {
	case t.gather != nil:
		return t.gather(b, program, v)
	case t.before != nil:
		return func(ctx context.Context, tx pgx.Tx) error { return t.before(ctx, tx, program, v) }
	}
	return func(context.Context, pgx.Tx) error { return nil }
}

// insert stores v, and beside a key what was answered.
func insert[T any, P Noun[T]](ctx context.Context, tx pgx.Tx, t *table[T], program uuid.UUID, v T, o *once) (T, error) {
	m := P(&v).Identity()
	args := append([]any{program, m.ID, m.Version}, valuesOf(&v)...)
	sql := fmt.Sprintf(`
		INSERT INTO %s (program_id, id, version, %s)
		VALUES (%s)
		RETURNING %s`, t.name, strings.Join(t.columns, ", "), numbered(1, len(args)), t.selected())
	if o != nil && o.key != "" {
		args = append(args, o.who, o.key, o.sum)
		n := len(args)
		sql = fmt.Sprintf(`
		WITH v AS (%s), k AS (
			INSERT INTO creations (program_id, who, key, sum, answer)
			SELECT $1, $%d, $%d, $%d, to_json(v)
			FROM v
		)
		SELECT * FROM v`, sql, n-2, n-1, n)
	}
	return single[T](ctx, tx, sql, args...)
}

// update stores v over its version seen, or fails with pgx.ErrNoRows.
func update[T any, P Noun[T]](ctx context.Context, tx pgx.Tx, t *table[T], program uuid.UUID, seen int64,
	v T) (T, error) {
	args := append([]any{program, P(&v).Identity().ID, seen}, valuesOf(&v)...)
	var set []string
	for i, c := range t.columns {
		set = append(set, fmt.Sprintf("%s = $%d", c, i+4))
	}
	return single[T](ctx, tx, fmt.Sprintf(`
		UPDATE %s
		SET version = version + 1, updated_at = now(), %s
		WHERE program_id = $1 AND id = $2 AND version = $3
		RETURNING %s`, t.name, strings.Join(set, ", "), t.selected()), args...)
}

// replace stores a noun over the version the caller has seen; another version
// is Stale.
func replace[T any, P Noun[T]](ctx context.Context, s *Store, t *table[T], program, id uuid.UUID, seen int64,
	v T) (_ T, err error) {
	defer wrap(&err, "replace %s", t.name)
	if err := P(&v).Validate(); err != nil {
		return v, err
	}
	P(&v).Identity().ID = id
	err = s.transact(ctx, func(tx pgx.Tx) error {
		b := &pgx.Batch{}
		then := t.open(b, s, program, &v)
		if err := tx.SendBatch(ctx, b).Close(); err != nil {
			return err
		}
		if err := then(ctx, tx); err != nil {
			return err
		}
		v, err = update[T, P](ctx, tx, t, program, seen, v)
		return err
	})
	if err == pgx.ErrNoRows {
		now, e := t.get(ctx, s.db, program, id, "")
		if e != nil {
			return v, e
		}
		return now, Stale[T, P](seen, now)
	}
	return v, err
}

// Stale says that somebody was faster, and carries what is there now.
func Stale[T any, P Noun[T]](seen int64, now T) error {
	return &tags.Error{Kind: tags.Stale, Msg: fmt.Sprintf("it was changed since: version %d was seen, it is now %d", seen,
		P(&now).Identity().Version), Current: now}
}

// keepOne puts a row aside, under a change of its own, so that it can be brought back. It does not record:
// the hook of a word wants the vocabulary for itself.
func (s *Store) keepOne(ctx context.Context, tx pgx.Tx, program uuid.UUID, name string, id uuid.UUID) error {
	change := NewID()
	if _, err := tx.Exec(ctx, openChange, s.who, "edit", change.String()); err != nil {
		return err
	}
	return s.keep(ctx, tx, program, change, name, []uuid.UUID{id})
}

// leaves does what a noun asks for before its row goes.
func (t *table[T]) leaves(ctx context.Context, tx pgx.Tx, program uuid.UUID, v *T) error {
	if t.leaving == nil {
		return nil
	}
	return t.leaving(ctx, tx, program, v)
}

// remove deletes the version of a noun that was seen, with all that hangs on it,
// into the deletions; another version is Stale, one that is not there is NotFound.
func remove[T any, P Noun[T]](ctx context.Context, s *Store, t *table[T], program, id uuid.UUID,
	seen int64) (err error) {
	defer wrap(&err, "remove %s", t.name)
	return s.transact(ctx, func(tx pgx.Tx) error {
		now, err := t.get(ctx, tx, program, id, " FOR UPDATE")
		if err != nil {
			return err
		}
		if P(&now).Identity().Version != seen {
			return Stale[T, P](seen, now)
		}
		if err := s.keepOne(ctx, tx, program, t.name, id); err != nil {
			return err
		}
		if err := t.leaves(ctx, tx, program, &now); err != nil {
			return err
		}
		_, err = tx.Exec(ctx, `DELETE FROM `+t.name+` WHERE program_id = $1 AND id = $2`, program, id)
		return err
	})
}

// numbered writes $from, ... for n parameters.
func numbered(from, n int) string {
	parts := make([]string, n)
	for i := range parts {
		parts[i] = fmt.Sprintf("$%d", from+i)
	}
	return strings.Join(parts, ", ")
}
