package postgres

import (
	"context"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// Purge makes one deletion final. Nothing of what was deleted stays in the
// database: its rows, its plays' history, answers kept for an Idempotency-Key, and
// merges of a word of its; nor what was deleted before and had hung on it, since it
// could never be restored. It returns how many deletions went. A word stays where
// the history of other plays has it.
func (s *Store) Purge(ctx context.Context, program, id uuid.UUID) (n int, err error) {
	defer wrap(&err, "Purge(%s)", id)
	err = s.transact(ctx, func(tx pgx.Tx) error {
		if _, err := deletion(ctx, tx, program, id, " FOR UPDATE"); err != nil {
			return err
		}
		n, err = purge(ctx, tx, program, []uuid.UUID{id})
		return err
	})
	return n, err
}

// PurgeOlder is Purge of everything that was deleted before a time, and of the
// history of plays that went before it without a deletion: by a hand at the
// database, or by a program that kept none yet.
func (s *Store) PurgeOlder(ctx context.Context, program uuid.UUID, than time.Time) (n int, err error) {
	defer wrap(&err, "PurgeOlder")
	err = s.transact(ctx, func(tx pgx.Tx) error {
		ids, err := column[uuid.UUID](ctx, tx, `
			SELECT id
			FROM deletions
			WHERE program_id = $1 AND at < $2
			ORDER BY id
			FOR UPDATE`, program, than)
		if err != nil {
			return err
		}
		if n, err = purge(ctx, tx, program, ids); err != nil {
			return err
		}
		_, err = tx.Exec(ctx, `
			DELETE FROM play_changes c
			WHERE c.program_id = $1
				AND NOT EXISTS (SELECT FROM plays p WHERE p.program_id = $1 AND p.id = c.play_id)
				AND NOT EXISTS (SELECT FROM deleted_rows d WHERE d.program_id = $1 AND d.id = c.play_id)
				AND NOT EXISTS (SELECT FROM play_changes l WHERE l.program_id = $1 AND l.play_id = c.play_id AND l.at >= $2)`, program, than)
		return err
	})
	return n, err
}

func purge(ctx context.Context, tx pgx.Tx, program uuid.UUID, ids []uuid.UUID) (n int, err error) {
	for len(ids) > 0 {
		for _, of := range traces {
			if _, err := tx.Exec(ctx, of, program, ids); err != nil {
				return n, err
			}
		}
		n += len(ids)
		if ids, err = orphans(ctx, tx, program); err != nil {
			return n, err
		}
	}
	return n, nil
}

// traces removes what the deletions $2 left anywhere, themselves last.
var traces = []string{`
	DELETE FROM call_versions c
	USING deleted_rows d
	WHERE d.program_id = $1 AND d.deletion_id = ANY($2) AND d.kind = 'calls' AND c.program_id = $1 AND c.call_id = d.id`, `
	DELETE FROM play_changes c
	USING deleted_rows d
	WHERE d.program_id = $1 AND d.deletion_id = ANY($2) AND d.kind = 'plays' AND c.program_id = $1 AND c.play_id = d.id`, `
	DELETE FROM creations c
	USING deleted_rows d
	WHERE d.program_id = $1 AND d.deletion_id = ANY($2) AND d.kind <> 'link' AND c.program_id = $1 AND c.answer->>'id' = d.id::text`, `
	DELETE FROM merges m
	USING deleted_rows d
	WHERE d.program_id = $1 AND d.deletion_id = ANY($2) AND d.kind = 'words' AND m.program_id = $1
		AND m.field = d.kept->>'field' AND d.kept->>'word' IN (m.word, m.into_word)
		AND NOT EXISTS (SELECT FROM words w WHERE w.program_id = $1 AND w.field = m.field AND w.word = d.kept->>'word')`, `
	UPDATE merges m
	SET aliases = array_remove(m.aliases, d.kept->>'word')
	FROM deleted_rows d
	WHERE d.program_id = $1 AND d.deletion_id = ANY($2) AND d.kind = 'words' AND m.program_id = $1
		AND m.field = d.kept->>'field' AND d.kept->>'word' = ANY(m.aliases)
		AND NOT EXISTS (SELECT FROM words w WHERE w.program_id = $1 AND w.field = m.field AND w.word = d.kept->>'word')`, `
	DELETE FROM packet_links l
	USING deleted_rows d
	WHERE d.program_id = $1 AND d.deletion_id = ANY($2) AND d.kind = 'opponents'
		AND l.program_id = $1 AND l.opponent_id = d.id`, `
	DELETE FROM deletions
	WHERE program_id = $1 AND id = ANY($2)`,
}

// orphans finds deletions of what had hung on something that is neither there nor
// to be restored.
func orphans(ctx context.Context, tx pgx.Tx, program uuid.UUID) ([]uuid.UUID, error) {
	var out []uuid.UUID
	find := func(sql string, args ...any) error {
		ids, err := column[uuid.UUID](ctx, tx, sql, append([]any{program}, args...)...)
		out = append(out, ids...)
		return err
	}
	for _, r := range references {
		if !r.hangs {
			continue
		}
		if err := find(fmt.Sprintf(`
			SELECT DISTINCT d.deletion_id
			FROM deleted_rows d
			WHERE d.program_id = $1 AND d.kind = $2 AND d.kept->>$3 IS NOT NULL
				AND NOT EXISTS (SELECT FROM %s p WHERE p.program_id = $1 AND p.id = (d.kept->>$3)::uuid)
				AND NOT EXISTS (SELECT FROM deleted_rows p WHERE p.program_id = $1 AND p.kind = $4 AND p.id = (d.kept->>$3)::uuid)
			ORDER BY 1`, r.to), r.kind, r.column, r.to); err != nil {
			return nil, err
		}
	}
	// An alias hangs on its word by name.
	err := find(`
		SELECT d.deletion_id
		FROM deleted_rows d
		WHERE d.program_id = $1 AND d.kind = 'words' AND d.kept->>'alias_of' IS NOT NULL
			AND NOT EXISTS (SELECT FROM words w WHERE w.program_id = $1 AND w.field = d.kept->>'field' AND w.word = d.kept->>'alias_of')
			AND NOT EXISTS (SELECT FROM deleted_rows w WHERE w.program_id = $1 AND w.kind = 'words' AND w.kept->>'field' = d.kept->>'field' AND w.kept->>'word' = d.kept->>'alias_of')
		ORDER BY 1`)
	return out, err
}

// deletedAgain refuses to bring a play back by its history while a deletion has it.
func deletedAgain(ctx context.Context, tx pgx.Tx, program uuid.UUID, p *tags.Play) error {
	var again bool
	err := tx.QueryRow(ctx,
		`SELECT EXISTS (SELECT FROM deleted_rows WHERE program_id = $1 AND kind = 'plays' AND id = $2)`, program,
		p.ID).Scan(&again)
	if err == nil && again {
		err = tags.Fieldf(tags.Conflict, "play", "play %d was deleted again since: restore that", p.Number)
	}
	return err
}
