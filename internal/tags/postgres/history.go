package postgres

import (
	"context"
	"fmt"
	"slices"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// openChange opens a change in a transaction: what the triggers on plays write down
// carries who, how and the change's identity.
const openChange = `SELECT set_config('overhang.who', $1, true), set_config('overhang.how', $2, true), ` +
	`set_config('overhang.change', $3, true)`

// record opens a change of plays, which has the identity that is returned, and
// holds the vocabulary as it is.
func (s *Store) record(b *pgx.Batch, program uuid.UUID, how string) (change uuid.UUID) {
	change = NewID()
	b.Queue(openChange+`, pg_advisory_xact_lock_shared($4)`, s.who, how, change.String(), wordsLock(program))
	return change
}

// recording is record at once.
func (s *Store) recording(ctx context.Context, tx pgx.Tx, program uuid.UUID, how string) (uuid.UUID, error) {
	b := &pgx.Batch{}
	change := s.record(b, program, how)
	return change, tx.SendBatch(ctx, b).Close()
}

const changeColumns = "id, change_id, play_id, at, who, how, before, after"

func changes(ctx context.Context, db conn, where string, args ...any) ([]tags.PlayChange, error) {
	rows, err := db.Query(ctx, `
		SELECT `+changeColumns+`
		FROM play_changes
		WHERE program_id = $1 AND `+where, args...)
	if err != nil {
		return nil, err
	}
	cs, err := pgx.CollectRows(rows, pgx.RowToStructByNameLax[tags.PlayChange])
	for i := range cs {
		cs[i].Name()
	}
	return cs, err
}

// History returns the changes of a play, the latest first, at most limit of them
// and only those before the one given (0: all). A play that was removed has its
// history; one that never was is NotFound. play_changes_play serves it.
func (s *Store) History(ctx context.Context, program, play uuid.UUID, limit int,
	before int64) (_ []tags.PlayChange, err error) {
	defer wrap(&err, "History(%s)", play)
	cs, err := changes(ctx, s.db, `play_id = $2 AND ($3 = 0 OR id < $3) ORDER BY id DESC LIMIT $4`, program, play, before,
		limit)
	if err == nil && len(cs) == 0 && before == 0 {
		err = plays.missing(play)
	}
	return cs, err
}

// CallVersions returns what a call said, the latest first, at most limit of it and only
// what was before a version (0: all). A call that was removed has its versions; one that
// never was is NotFound. call_versions_pkey serves it.
func (s *Store) CallVersions(ctx context.Context, program, id uuid.UUID, limit int,
	before int64) (_ []tags.CallVersion, err error) {
	defer wrap(&err, "CallVersions(%s)", id)
	vs, err := list[tags.CallVersion](ctx, s.db, `
		SELECT version, at, who, name, active, body
		FROM call_versions
		WHERE program_id = $1 AND call_id = $2 AND ($3 = 0 OR version < $3)
		ORDER BY version DESC
		LIMIT $4`, program, id, before, limit)
	if err == nil && len(vs) == 0 && before == 0 {
		err = calls.missing(id)
	}
	return vs, err
}

// FormerNames returns the names that calls had and no call has now, each with the name of
// today; of two calls that had one, the later. call_versions_pkey serves it.
func (s *Store) FormerNames(ctx context.Context, program uuid.UUID) (_ map[string]string, err error) {
	defer wrap(&err, "FormerNames(%s)", program)
	rows, err := s.db.Query(ctx, `
		SELECT v.name, c.name
		FROM calls c
		JOIN call_versions v ON v.program_id = c.program_id AND v.call_id = c.id
		WHERE c.program_id = $1
			AND NOT EXISTS (SELECT FROM calls o WHERE o.program_id = $1 AND o.name = v.name)
		ORDER BY v.at`, program)
	if err != nil {
		return nil, err
	}
	out := map[string]string{}
	var was, is string
	_, err = pgx.ForEachRow(rows, []any{&was, &is}, func() error { out[was] = is; return nil })
	return out, err
}

// Change returns what was done together, in the order it was done, at most limit
// of it and only what comes after the one given (0: from the first); NotFound when
// there is no such change. play_changes_change serves it.
func (s *Store) Change(ctx context.Context, program, change uuid.UUID, limit int,
	after int64) (_ []tags.PlayChange, err error) {
	defer wrap(&err, "Change(%s)", change)
	return changed(ctx, s.db, program, change, limit, after)
}

func changed(ctx context.Context, db conn, program, change uuid.UUID, limit int,
	after int64) ([]tags.PlayChange, error) {
	cs, err := changes(ctx, db, `change_id = $2 AND id > $3 ORDER BY id LIMIT $4`, program, change, after, limit)
	if err == nil && len(cs) == 0 && after == 0 {
		err = tags.Errorf(tags.NotFound, "there is no change %s", change)
	}
	return cs, err
}

// A change of more plays than this is not undone in one request's time.
const mostUndone = 1000

// Undo brings every play of a change back to what it was before, as a change of
// its own, which can be undone as well. A merge's word becomes a word again, and
// its plays get it back whatever else was changed in them since. Otherwise, when a
// play was changed since, or there are more than a request has time for, nothing
// is undone: Conflict, naming each such play.
func (s *Store) Undo(ctx context.Context, program, change uuid.UUID) (_ []tags.PlayChange, err error) {
	defer wrap(&err, "Undo(%s)", change)
	var done []tags.PlayChange
	err = s.transact(ctx, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, changeWords, wordsLock(program)); err != nil {
			return err
		}
		undone, err := s.recording(ctx, tx, program, "undo")
		if err != nil {
			return err
		}
		merge, err := unmerge(ctx, tx, program, change)
		if err != nil {
			return err
		}
		if merge != nil {
			if err := split(ctx, tx, program, merge); err != nil {
				return err
			}
			done, err = changes(ctx, tx, `change_id = $2 ORDER BY id`, program, undone)
			return err
		}
		cs, err := changed(ctx, tx, program, change, mostUndone+1, 0)
		if err == nil && len(cs) > mostUndone {
			err = tags.Errorf(tags.Conflict, "more than %d plays were changed together: load the spreadsheet as it was before",
				mostUndone)
		}
		if err != nil {
			return err
		}
		if cs, err = undelete(ctx, tx, program, change, cs); err != nil {
			return err
		}
		if err := s.revert(ctx, tx, program, undone, cs); err != nil {
			return err
		}
		done, err = changed(ctx, tx, program, undone, mostUndone, 0)
		return err
	})
	return done, err
}

// undelete restores the plays that a change deleted, and returns the rest of the
// change.
func undelete(ctx context.Context, tx pgx.Tx, program, change uuid.UUID,
	cs []tags.PlayChange) ([]tags.PlayChange, error) {
	d, err := deletion(ctx, tx, program, change, " FOR UPDATE")
	if e := tags.As(err); e != nil && e.Kind == tags.NotFound {
		return cs, nil
	}
	if err == nil && d.Kind != "plays" {
		err = tags.Errorf(tags.Conflict, "the plays were deleted with %s: restore that", d.What)
	}
	if err == nil {
		err = bringBack(ctx, tx, program, d)
	}
	return slices.DeleteFunc(cs, func(c tags.PlayChange) bool { return c.After == nil }), err
}

// revert takes changes back, the last one first. Plays that they made go into the
// deletions.
func (s *Store) revert(ctx context.Context, tx pgx.Tx, program, undone uuid.UUID, cs []tags.PlayChange) error {
	if made := newIn(cs); len(made) > 0 {
		if err := s.keep(ctx, tx, program, undone, "plays", made); err != nil {
			return err
		}
	}
	bad := &tags.Error{Kind: tags.Conflict, Msg: "plays were changed since: nothing was undone"}
	for i := len(cs) - 1; i >= 0; i-- {
		err := revertOne(ctx, tx, program, &cs[i])
		if e := tags.As(err); e != nil && e.Kind == tags.Conflict && len(e.Fields) > 0 {
			bad.Fields = append(bad.Fields, e.Fields...)
		} else if err != nil {
			return err
		}
	}
	if len(bad.Fields) > 0 {
		return bad
	}
	return nil
}

// newIn are the plays that a change brought.
func newIn(cs []tags.PlayChange) (made []uuid.UUID) {
	for i := range cs {
		if cs[i].Before == nil {
			made = append(made, cs[i].PlayID)
		}
	}
	return made
}

func revertOne(ctx context.Context, tx pgx.Tx, program uuid.UUID, c *tags.PlayChange) error {
	now, err := plays.get(ctx, tx, program, c.PlayID, " FOR UPDATE")
	gone := tags.As(err) != nil && tags.As(err).Kind == tags.NotFound
	if err != nil && !gone {
		return err
	}
	since := func(format string, args ...any) error { return tags.Fieldf(tags.Conflict, "play", format, args...) }
	switch {
	case c.After == nil && !gone:
		return since("play %d is there again", c.Before.Number)
	case c.After != nil && gone:
		return since("play %d was removed since", c.After.Number)
	case c.After != nil && now.Version != c.After.Version:
		return since("play %d was changed since: version %d was left, it is now %d", now.Number, c.After.Version, now.Version)
	case c.Before == nil:
		if err := playLeaves(ctx, tx, program, &now); err != nil {
			return err
		}
		_, err := tx.Exec(ctx, `DELETE FROM plays WHERE program_id = $1 AND id = $2`, program, c.PlayID)
		return err
	}
	p := *c.Before
	if gone {
		if err := deletedAgain(ctx, tx, program, &p); err != nil {
			return err
		}
	}
	b := &pgx.Batch{}
	then := gatherPlay(b, program, &p)
	if err := tx.SendBatch(ctx, b).Close(); err != nil {
		return err
	}
	if err := then(ctx, tx); err != nil {
		return fmt.Errorf("play %d: %w", p.Number, err)
	}
	if c.After == nil {
		p.Version++ // nobody's ETag of before may fit
		_, err = insert[tags.Play](ctx, tx, plays, program, p, nil)
	} else {
		_, err = update[tags.Play](ctx, tx, plays, program, now.Version, p)
	}
	return err
}
