package postgres

import (
	"context"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// What became of words while plays were away: merges were undone, others were made.

// splitKept gives deleted plays back the words that merges took which were undone
// since.
func splitKept(ctx context.Context, tx pgx.Tx, program uuid.UUID, d tags.Deletion) error {
	if d.Rows["plays"] == 0 {
		return nil
	}
	ms, err := merges(ctx, tx, `undone_at > $2 ORDER BY undone_at, id`, program, d.At)
	if err != nil {
		return err
	}
	for i := range ms {
		cs, err := changes(ctx, tx,
			`change_id = $2 AND play_id IN (SELECT id FROM deleted_rows WHERE program_id = $1 AND deletion_id = $3 AND kind `+
				`= 'plays') ORDER BY id`,
			program, ms[i].ID, d.ID)
		if err != nil {
			return err
		}
		for k := range cs {
			var p tags.Play
			err := tx.QueryRow(ctx,
				`SELECT kept FROM deleted_rows WHERE program_id = $1 AND deletion_id = $2 AND kind = 'plays' AND id = $3`, program,
				d.ID, cs[k].PlayID).Scan(&p)
			if err != nil {
				return err
			}
			if !ms[i].Split(&p, cs[k].Before) {
				continue
			}
			_, err = tx.Exec(ctx, `
				UPDATE deleted_rows
				SET kept = kept || jsonb_build_object('set_name', $4::text, 'backfield', $5::text, 'motion', $6::text, 'concept', $7::text, 'coverage', $8::text,
					'target_route', $9::text, 'routes', to_jsonb($10::route_tag[]))
				WHERE program_id = $1 AND deletion_id = $2 AND kind = 'plays' AND id = $3`, program, d.ID, p.ID,
				p.SetName, p.Backfield, p.Motion, p.Concept, p.Coverage, p.TargetRoute, p.Routes)
			if err != nil {
				return err
			}
		}
	}
	return nil
}

// wordsOfNow brings plays that came back to the vocabulary as it is. A merge that
// they missed is made up for as part of that merge, so that undoing it finds them.
func wordsOfNow(ctx context.Context, tx pgx.Tx, program uuid.UUID, d tags.Deletion) error {
	if d.Rows["plays"] == 0 {
		return nil
	}
	ms, err := merges(ctx, tx, `undone_at IS NULL ORDER BY id`, program)
	if err != nil {
		return err
	}
	var who, how, change string
	err = tx.QueryRow(ctx,
		`SELECT current_setting('overhang.who'), current_setting('overhang.how'), current_setting('overhang.change')`).
		Scan(&who, &how, &change)
	if err != nil {
		return err
	}
	const cameBack = ` AND id IN (SELECT id FROM deleted_rows WHERE program_id = $1 AND deletion_id = $4 AND kind = ` +
		`'plays')`
	b := &pgx.Batch{}
	for i := range ms {
		m := &ms[i]
		b.Queue(openChange, who, "merge", m.ID.String())
		b.Queue(`
			WITH joined AS (
				UPDATE plays
				SET version = version + 1, updated_at = now(), `+reworded(m.Field)+`
				WHERE program_id = $1 AND `+usedIn(m.Field)+cameBack+`
				RETURNING id
			)
			UPDATE merges
			SET plays = plays + n.count
			FROM (SELECT count(*) FROM joined) n
			WHERE program_id = $1 AND id = $5 AND n.count > 0`, program, m.Word, m.Into, d.ID, m.ID)
	}
	b.Queue(openChange, who, how, change)
	if err := tx.SendBatch(ctx, b).Close(); err != nil {
		return err
	}
	return applyBack(ctx, tx, program, d.ID)
}

// applyBack refuses plays with words that are not there anymore, and brings the
// rest to how a word is written now.
func applyBack(ctx context.Context, tx pgx.Tx, program, id uuid.UUID) error {
	ps, err := list[tags.Play](ctx, tx, `
		SELECT `+plays.selected()+`
		FROM plays
		WHERE program_id = $1 AND id IN (SELECT id FROM deleted_rows WHERE program_id = $1 AND deletion_id = $2 AND kind = 'plays')
		ORDER BY id`, program, id)
	if err != nil {
		return err
	}
	now := make([]tags.Play, len(ps))
	all := make([]*tags.Play, len(ps))
	for i := range ps {
		now[i] = ps[i]
		all[i] = &now[i]
	}
	if err := applyAll(ctx, tx, program, all); err != nil {
		if e := tags.As(err); e != nil {
			e.Kind, e.Msg = tags.Conflict,
				"its plays use words that are not in the vocabulary anymore: restore or add them first"
		}
		return err
	}
	for i := range ps {
		if len(ps[i].Changes(all[i])) == 0 {
			continue
		}
		if _, err := update[tags.Play](ctx, tx, plays, program, ps[i].Version, now[i]); err != nil {
			return err
		}
	}
	return nil
}
