package postgres

import (
	"context"
	"fmt"
	"strings"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// named says how people know a row of each kind that can be deleted.
var named = map[string]string{
	"seasons":   "t.label",
	"opponents": "t.name",
	"games": "t.label || ', ' || (SELECT o.name FROM opponents o WHERE o.program_id = t.program_id AND o.id = " +
		"t.opponent_id)",
	"films": "t.location",
	"plays": "'play ' || t.number || ', ' || (SELECT g.label FROM games g WHERE g.program_id = t.program_id AND " +
		"g.id = t.game_id)",
	"clips": "t.start_s || ' to ' || t.end_s || ' s'",
	"words": "t.field || ' ' || t.word",
	"calls": "t.name",
	"plans": "t.label || ', ' || (SELECT o.name FROM opponents o WHERE o.program_id = t.program_id AND o.id = " +
		"t.opponent_id)",
	"blind_tags": "'tagged blind by ' || t.analyst",
}

// A reference is a column of one kind that names a row of another; what hangs on
// a row is deleted with it.
type reference struct {
	kind, column, to string
	hangs            bool
}

// references stand parents first, as they are put back.
var references = []reference{
	{"games", "opponent_id", "opponents", true},
	{"games", "season_id", "seasons", false},
	{"films", "game_id", "games", true},
	{"plays", "game_id", "games", true},
	{"clips", "film_id", "films", true},
	{"clips", "play_id", "plays", false},
	{"blind_tags", "clip_id", "clips", true},
	{"plans", "opponent_id", "opponents", true},
	{"plans", "game_id", "games", true},
}

// keep writes down what is about to be deleted, with all that will go along, as
// it is now; nobody can change it or hang anything more on it until the end of the
// transaction.
func (s *Store) keep(ctx context.Context, tx pgx.Tx, program, deletion uuid.UUID, kind string, ids []uuid.UUID) error {
	b := &pgx.Batch{}
	b.Queue(fmt.Sprintf(`
		INSERT INTO deletions (program_id, id, who, kind, what)
		SELECT $1, $2, nullif($3, ''), $4, CASE count(*) WHEN 1 THEN min(%s) ELSE count(*) || ' ' || $4 END
		FROM %s t
		WHERE t.program_id = $1 AND t.id = ANY($5)`, named[kind], kind), program, deletion, s.who, kind, ids)
	const rows = `
		INSERT INTO deleted_rows (program_id, deletion_id, kind, id, kept)
		SELECT $1, $2, $3, t.id, to_jsonb(t) - 'program_id'
		FROM %s t
		WHERE t.program_id = $1 AND %s
		ORDER BY t.id
		FOR UPDATE OF t
		ON CONFLICT DO NOTHING` // it hangs on more than one
	b.Queue(fmt.Sprintf(rows, kind, "t.id = ANY($4)"), program, deletion, kind, ids)
	const among = `(SELECT d.id FROM deleted_rows d WHERE d.program_id = $1 AND d.deletion_id = $2 AND d.kind = $4)`
	for _, r := range references {
		if r.hangs {
			b.Queue(fmt.Sprintf(rows, r.kind, "t."+r.column+" IN "+among), program, deletion, r.kind, r.to)
		}
	}
	b.Queue(`
		INSERT INTO deleted_rows (program_id, deletion_id, kind, id, kept)
		SELECT $1, $2, $3, t.id, jsonb_build_object('play_id', t.play_id, 'number', t.number)
		FROM clips t
		WHERE t.program_id = $1 AND t.play_id IN `+among+`
			AND NOT EXISTS (SELECT FROM deleted_rows d WHERE d.program_id = $1 AND d.deletion_id = $2 AND d.kind = 'clips' AND d.id = t.id)
		ORDER BY t.id
		FOR UPDATE OF t`, program, deletion, "link", "plays")
	return tx.SendBatch(ctx, b).Close()
}

const deletionColumns = `id, at, who, kind, what, (
	SELECT coalesce(jsonb_object_agg(n.kind, n.rows), '{}')
	FROM (
		SELECT d.kind, count(*) AS rows
		FROM deleted_rows d
		WHERE d.program_id = deletions.program_id AND d.deletion_id = deletions.id AND d.kind <> 'link'
		GROUP BY d.kind
	) n) AS rows`

func deletions(ctx context.Context, db conn, where string, args ...any) ([]tags.Deletion, error) {
	return list[tags.Deletion](ctx, db, `
		SELECT `+deletionColumns+`
		FROM deletions
		WHERE program_id = $1 AND `+where, args...)
}

// Deletions lists what was deleted, the latest first, at most limit and only what
// was deleted before the one given (uuid.Nil: all). deletions_pkey serves it.
func (s *Store) Deletions(ctx context.Context, program uuid.UUID, limit int,
	before uuid.UUID) (_ []tags.Deletion, err error) {
	defer wrap(&err, "Deletions")
	return deletions(ctx, s.db, `($3 = '00000000-0000-0000-0000-000000000000'::uuid OR id < $3) ORDER BY id DESC LIMIT $2`,
		program, limit, before)
}

// Deletion returns one, or a NotFound: it was restored or purged, or never was.
func (s *Store) Deletion(ctx context.Context, program, id uuid.UUID) (_ tags.Deletion, err error) {
	defer wrap(&err, "Deletion(%s)", id)
	return deletion(ctx, s.db, program, id, "")
}

func deletion(ctx context.Context, db conn, program, id uuid.UUID, lock string) (tags.Deletion, error) {
	ds, err := deletions(ctx, db, `id = $2`+lock, program, id)
	if err == nil && len(ds) == 0 {
		err = tags.Errorf(tags.NotFound, "there is no deletion %s", id)
	}
	if err != nil {
		return tags.Deletion{}, err
	}
	return ds[0], nil
}

// Restore brings back what was deleted, with all that went along, under the same
// identities and with versions that nobody has seen. Conflict, and nothing is
// restored, when something stands in its place, when what it belongs to was
// deleted as well, or when its plays use words that are not there any more.
func (s *Store) Restore(ctx context.Context, program, id uuid.UUID) (_ tags.Deletion, err error) {
	defer wrap(&err, "Restore(%s)", id)
	var d tags.Deletion
	err = s.transact(ctx, func(tx pgx.Tx) error {
		if _, err := s.recording(ctx, tx, program, "restore"); err != nil {
			return err
		}
		if d, err = deletion(ctx, tx, program, id, " FOR UPDATE"); err != nil {
			return err
		}
		return bringBack(ctx, tx, program, d)
	})
	return d, err
}

// bringBack is Restore in a change that is open.
func bringBack(ctx context.Context, tx pgx.Tx, program uuid.UUID, d tags.Deletion) error {
	for _, r := range references {
		if err := findParents(ctx, tx, program, d.ID, r); err != nil {
			return err
		}
	}
	if err := aliasAgain(ctx, tx, program, d); err != nil {
		return err
	}
	if err := splitKept(ctx, tx, program, d); err != nil {
		return err
	}
	for _, kind := range []string{"seasons", "opponents", "games", "films", "words", "calls", "plays", "clips",
		"blind_tags", "plans"} {
		if d.Rows[kind] == 0 {
			continue
		}
		if err := putBack(ctx, tx, program, d.ID, kind); err != nil {
			if taken(err) {
				e := tags.As(translate(err))
				e.Msg = d.What + " cannot come back: something else stands in its place"
				return e
			}
			return err
		}
	}
	if err := wordsOfNow(ctx, tx, program, d); err != nil {
		return err
	}
	if err := showAgain(ctx, tx, program, d.ID); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, `DELETE FROM deletions WHERE program_id = $1 AND id = $2`, program, d.ID)
	return err
}

// findParents refuses rows whose parent was deleted on its own. A row that can do
// without the parent, which was purged, does.
func findParents(ctx context.Context, tx pgx.Tx, program, id uuid.UUID, r reference) error {
	var what string
	err := tx.QueryRow(ctx, `
		SELECT x.what
		FROM deleted_rows d
		JOIN deleted_rows p ON p.program_id = $1 AND p.id = (d.kept->>$4)::uuid AND p.kind = $5 AND p.deletion_id <> $2
		JOIN deletions x ON x.program_id = $1 AND x.id = p.deletion_id
		WHERE d.program_id = $1 AND d.deletion_id = $2 AND d.kind = $3
		ORDER BY x.id
		LIMIT 1`, program, id, r.kind, r.column, r.to).Scan(&what)
	if err == nil {
		return tags.Fieldf(tags.Conflict, r.column, "was deleted as well: restore %s first", what)
	}
	if err != pgx.ErrNoRows || r.hangs {
		return ignoreNoRows(err)
	}
	_, err = tx.Exec(ctx, fmt.Sprintf(`
		UPDATE deleted_rows d
		SET kept = jsonb_set(d.kept, ARRAY[$4], 'null')
		WHERE d.program_id = $1 AND d.deletion_id = $2 AND d.kind = $3 AND d.kept->>$4 IS NOT NULL
			AND NOT EXISTS (SELECT FROM %s p WHERE p.program_id = $1 AND p.id = (d.kept->>$4)::uuid)
			AND NOT EXISTS (SELECT FROM deleted_rows p WHERE p.program_id = $1 AND p.deletion_id = $2 AND p.kind = $5 AND p.id = (d.kept->>$4)::uuid)`, r.to),
		program, id, r.kind, r.column, r.to)
	return err
}

func ignoreNoRows(err error) error {
	if err == pgx.ErrNoRows {
		return nil
	}
	return err
}

// aliasAgain lets an alias stand for what its word has become since.
func aliasAgain(ctx context.Context, tx pgx.Tx, program uuid.UUID, d tags.Deletion) error {
	if d.Kind != "words" {
		return nil
	}
	var field string
	var of *string
	err := tx.QueryRow(ctx, `
		SELECT kept->>'field', kept->>'alias_of'
		FROM deleted_rows
		WHERE program_id = $1 AND deletion_id = $2`, program, d.ID).Scan(&field, &of)
	if err != nil || of == nil {
		return err
	}
	to, err := wordNamed(ctx, tx, program, field, *of)
	switch {
	case err != nil:
		return err
	case to == nil:
		return tags.Fieldf(tags.Conflict, "alias_of", "there is no word %q anymore: restore it first", *of)
	case to.AliasOf == nil:
		return nil
	}
	_, err = tx.Exec(ctx, `
		UPDATE deleted_rows
		SET kept = jsonb_set(kept, '{alias_of}', to_jsonb($3::text))
		WHERE program_id = $1 AND deletion_id = $2`, program, d.ID, *to.AliasOf)
	return err
}

// putBack inserts the kept rows of one kind. Columns that the table has got since
// take their default.
func putBack(ctx context.Context, tx pgx.Tx, program, id uuid.UUID, kind string) error {
	columns, err := column[string](ctx, tx, `
		SELECT a.attname::text
		FROM pg_attribute a
		WHERE a.attrelid = $3::text::regclass AND a.attnum > 0 AND NOT a.attisdropped AND a.attname NOT IN ('program_id', 'version')
			AND EXISTS (SELECT FROM deleted_rows d WHERE d.program_id = $1 AND d.deletion_id = $2 AND d.kind = $3 AND d.kept ? a.attname)
		ORDER BY a.attnum`, program, id, kind)
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, fmt.Sprintf(`
		INSERT INTO %[1]s (program_id, version, %[2]s)
		SELECT $1, r.version + 1, r.%[3]s
		FROM deleted_rows d, jsonb_populate_record(NULL::%[1]s, d.kept) r
		WHERE d.program_id = $1 AND d.deletion_id = $2 AND d.kind = $3`, kind, strings.Join(columns, ", "), strings.Join(columns, ", r.")), program, id, kind)
	return err
}

// showAgain lets the clips that showed a play show it again, where they show no
// other, be they there or deleted themselves. A number they were given for it when
// it went they give back.
func showAgain(ctx context.Context, tx pgx.Tx, program, id uuid.UUID) error {
	_, err := tx.Exec(ctx, `
		UPDATE clips c
		SET play_id = p.id, version = c.version + 1, updated_at = now(),
			number = CASE WHEN d.kept->>'number' IS NULL AND c.number = p.number THEN NULL ELSE c.number END
		FROM deleted_rows d
		JOIN plays p ON p.program_id = $1 AND p.id = (d.kept->>'play_id')::uuid
		WHERE d.program_id = $1 AND d.deletion_id = $2 AND d.kind = 'link' AND c.program_id = $1 AND c.id = d.id AND c.play_id IS NULL`, program, id)
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `
		UPDATE deleted_rows c
		SET kept = c.kept || jsonb_build_object('play_id', p.id,
			'number', CASE WHEN d.kept->>'number' IS NULL AND (c.kept->>'number')::integer = p.number THEN NULL ELSE c.kept->'number' END)
		FROM deleted_rows d
		JOIN plays p ON p.program_id = $1 AND p.id = (d.kept->>'play_id')::uuid
		WHERE d.program_id = $1 AND d.deletion_id = $2 AND d.kind = 'link'
			AND c.program_id = $1 AND c.kind = 'clips' AND c.id = d.id AND c.kept->>'play_id' IS NULL`, program, id)
	return err
}
