package postgres

import (
	"cmp"
	"context"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// MergeWords makes a word an alias of another, with its own aliases, and brings
// the plays that use it along, so that every statistic sees one word. Each play's
// history keeps what it was tagged as; Undo of the merge's identity takes it back.
// Invalid: a word that is not there, is an alias, or is merged into itself.
func (s *Store) MergeWords(ctx context.Context, program uuid.UUID, field, word, into string) (_ tags.Merge, err error) {
	defer wrap(&err, "MergeWords(%s)", field)
	var out tags.Merge
	err = s.transact(ctx, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, changeWords, wordsLock(program)); err != nil {
			return err
		}
		change, err := s.recording(ctx, tx, program, "merge")
		if err != nil {
			return err
		}
		from, err := ownWord(ctx, tx, program, "word", field, word)
		if err != nil {
			return err
		}
		to, err := ownWord(ctx, tx, program, "into", field, into)
		if err != nil {
			return err
		}
		if from.ID == to.ID {
			return tags.Fieldf(tags.Invalid, "into", "is the word itself")
		}
		aliases, err := column[string](ctx, tx, `
			WITH moved AS (
				UPDATE words
				SET alias_of = $4, pending = false, version = version + 1, updated_at = now()
				WHERE program_id = $1 AND field = $2 AND (word = $3 OR alias_of = $3)
				RETURNING word
			)
			SELECT word FROM moved WHERE word <> $3 ORDER BY word`, program, field, from.Word, to.Word)
		if err != nil {
			return err
		}
		tag, err := tx.Exec(ctx, `
			UPDATE plays
			SET version = version + 1, updated_at = now(), `+reworded(field)+`
			WHERE program_id = $1 AND `+usedIn(field), program, from.Word, to.Word)
		if err != nil {
			return err
		}
		out, err = single[tags.Merge](ctx, tx, `
			INSERT INTO merges (program_id, id, who, field, word, into_word, aliases, plays)
			VALUES ($1, $2, nullif($3, ''), $4, $5, $6, $7, $8)
			RETURNING `+mergeColumns, program, change, s.who, field, from.Word, to.Word, append([]string{}, aliases...), tag.RowsAffected())
		return err
	})
	return out, err
}

const mergeColumns = "id, at, who, field, word, into_word, aliases, plays, undone_at"

// ownWord finds a word that is no alias; a parameter name says whose mistake it is.
func ownWord(ctx context.Context, tx pgx.Tx, program uuid.UUID, param, field, word string) (*tags.Word, error) {
	if !tags.Storable(word) {
		return nil, tags.Fieldf(tags.Invalid, param, "holds a NUL character or is not UTF-8")
	}
	w, err := wordNamed(ctx, tx, program, field, word)
	switch {
	case err != nil:
		return nil, err
	case w == nil:
		return nil, tags.Fieldf(tags.Invalid, param, "there is no word %q", word)
	case w.AliasOf != nil:
		return nil, tags.Fieldf(tags.Invalid, param, "%q is an alias of %q already", w.Word, *w.AliasOf)
	}
	return w, nil
}

// reworded sets the word $3 where a play has $2.
func reworded(field string) string {
	if field != "route" {
		return field + " = $3"
	}
	return `target_route = CASE WHEN target_route = $2 THEN $3 ELSE target_route END,
		routes = ARRAY(
			SELECT ROW(side, number, eligible, CASE WHEN route = $2 THEN $3 ELSE route END, break_depth_yd, break_direction, targeted)::route_tag
			FROM unnest(routes) WITH ORDINALITY AS r (side, number, eligible, route, break_depth_yd, break_direction, targeted, place)
			ORDER BY place)`
}

// Merges lists the merges of a program, the latest first, undone ones among them.
func (s *Store) Merges(ctx context.Context, program uuid.UUID, limit int) (_ []tags.Merge, err error) {
	defer wrap(&err, "Merges")
	return merges(ctx, s.db, `true ORDER BY id DESC LIMIT $2`, program, limit)
}

func merges(ctx context.Context, db conn, where string, args ...any) ([]tags.Merge, error) {
	return list[tags.Merge](ctx, db, `
		SELECT `+mergeColumns+`
		FROM merges
		WHERE program_id = $1 AND `+where, args...)
}

// IsMerge says whether a change merged two words.
func (s *Store) IsMerge(ctx context.Context, program, change uuid.UUID) (is bool, err error) {
	defer wrap(&err, "IsMerge(%s)", change)
	err = s.db.QueryRow(ctx, `SELECT EXISTS (SELECT FROM merges WHERE program_id = $1 AND id = $2)`, program,
		change).Scan(&is)
	return is, err
}

// unmerge makes the word of a merge a word again, with its aliases; nil when the
// change is no merge that stands.
func unmerge(ctx context.Context, tx pgx.Tx, program, change uuid.UUID) (*tags.Merge, error) {
	m, err := single[tags.Merge](ctx, tx, `
		UPDATE merges
		SET undone_at = now()
		WHERE program_id = $1 AND id = $2 AND undone_at IS NULL
		RETURNING `+mergeColumns, program, change)
	if err == pgx.ErrNoRows {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	if w, err := wordNamed(ctx, tx, program, m.Field, m.Word); err != nil || w == nil {
		return nil, cmp.Or(err, tags.Fieldf(tags.Conflict, "word", "there is no word %q anymore: restore it first", m.Word))
	}
	_, err = tx.Exec(ctx, `
		UPDATE words
		SET alias_of = CASE WHEN word <> $3 THEN $3 END, version = version + 1, updated_at = now()
		WHERE program_id = $1 AND field = $2 AND alias_of = $4 AND (word = $3 OR word = ANY($5))`, program, m.Field, m.Word, m.Into, m.Aliases)
	return &m, err
}

// split gives the plays of a merge their word back.
func split(ctx context.Context, tx pgx.Tx, program uuid.UUID, m *tags.Merge) error {
	cs, err := changes(ctx, tx, `change_id = $2 ORDER BY id`, program, m.ID)
	if err != nil {
		return err
	}
	before, ids := map[uuid.UUID]*tags.Play{}, []uuid.UUID{}
	for i := range cs {
		before[cs[i].PlayID] = cs[i].Before
		ids = append(ids, cs[i].PlayID)
	}
	now, err := holdPlays(ctx, tx, program, ids)
	if err != nil {
		return err
	}
	b := &pgx.Batch{}
	for i := range now {
		if p := &now[i]; m.Split(p, before[p.ID]) {
			b.Queue(`
				UPDATE plays
				SET version = version + 1, updated_at = now(), set_name = $3, backfield = $4, motion = $5, concept = $6, coverage = $7, target_route = $8, routes = $9
				WHERE program_id = $1 AND id = $2`, program, p.ID, p.SetName, p.Backfield, p.Motion, p.Concept, p.Coverage, p.TargetRoute, p.Routes)
		}
	}
	return tx.SendBatch(ctx, b).Close()
}
