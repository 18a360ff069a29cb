package postgres

import (
	"context"
	"errors"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
	"overhang/internal/tags/tally"
)

// newsOf is the moment that the database is at, and which games of a program were touched
// since the snapshot $2 (NULL: none was). touched_games_xid serves it. A row whose transaction
// lies in the future came with a backup of another server.
func newsOf(program string) string {
	return `pg_current_snapshot()::text AS snapshot, pg_postmaster_start_time() AS server, clock_timestamp() AS at, ARRAY(
			SELECT DISTINCT t.game_id
			FROM touched_games t
			WHERE t.program_id = ` + program + ` AND t.xid >= pg_snapshot_xmin($2::text::pg_snapshot)
				AND t.xid < pg_snapshot_xmax(pg_current_snapshot())
				AND NOT pg_visible_in_snapshot(t.xid, $2::text::pg_snapshot)) AS touched`
}

// news says what moment the database is at, and which games were touched since another.
func news(ctx context.Context, db conn, program uuid.UUID, since *moment) (now moment, touched []uuid.UUID, err error) {
	now.began = time.Now()
	var snapshot *string
	if since != nil {
		snapshot = &since.snapshot
	}
	err = db.QueryRow(ctx, `SELECT `+newsOf("$1"), program, snapshot).Scan(&now.snapshot, &now.server, &now.at, &touched)
	if err == nil && since != nil {
		err = now.follows(since)
	}
	return now, touched, err
}

// follows says whether what was touched between two moments is known.
func (m *moment) follows(since *moment) error {
	if !m.server.Equal(since.server) || m.at.Sub(since.at) > keptFor {
		return errOutdated
	}
	return nil
}

// reading does something in one moment of the database.
func (s *Store) reading(ctx context.Context, do func(pgx.Tx) error) error {
	tx, err := s.pool.BeginTx(ctx, pgx.TxOptions{IsoLevel: pgx.RepeatableRead, AccessMode: pgx.ReadOnly})
	if err != nil {
		return err
	}
	defer tx.Rollback(context.WithoutCancel(ctx))
	return do(tx)
}

// catchUp reads the touched games again; the caller holds k.catching.
func (s *Store) catchUp(ctx context.Context, k *keptImage) (im *tally.Image, err error) {
	began := time.Now()
	err = s.reading(ctx, func(tx pgx.Tx) error {
		im, err = k.catchUpIn(ctx, tx, began, s.room())
		return err
	})
	return im, err
}

// catchUpIn brings the image to the moment of a transaction that was begun after a time.
func (k *keptImage) catchUpIn(ctx context.Context, tx pgx.Tx, began time.Time, room int) (*tally.Image, error) {
	st := k.state.Load()
	now, touched, err := news(ctx, tx, k.program.ID, &st.moment)
	now.began = began // its snapshot is of then, not of this statement
	if err != nil || len(touched) == 0 {
		if err == nil {
			k.state.CompareAndSwap(st, &keptState{st.image, now})
		}
		return st.image, err
	}
	if len(touched) > mostAtOnce {
		if _, err := tx.Exec(ctx, `SET LOCAL statement_timeout = 0`); err != nil {
			return nil, err
		}
	}
	b := st.image.Next()
	opponents := map[uuid.UUID]bool{}
	for _, g := range touched {
		b.Replace(g)
		if o, ok := st.image.OpponentOf(g); ok {
			opponents[o] = true
		}
	}
	if err := readGames(ctx, tx, b, &k.program, touched, opponents); err != nil {
		return nil, err
	}
	im, err := settle(ctx, tx, b)
	if err != nil {
		return nil, err
	}
	if im.Bytes() > room {
		return nil, errTooMuch
	}
	k.state.Store(&keptState{im, now})
	return im, nil
}

// makeImage reads all of a program's counted plays at one moment.
func (s *Store) makeImage(ctx context.Context, p tags.Program) (*keptImage, error) {
	k := &keptImage{program: p}
	k.asked.Store(time.Now().UnixNano())
	err := s.reading(ctx, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `SET LOCAL statement_timeout = 0`); err != nil {
			return err
		}
		now, _, err := news(ctx, tx, p.ID, nil)
		if err != nil {
			return err
		}
		b := tally.New(cubedFrom)
		ids, err := readShared(ctx, tx, b, &p, nil)
		if err != nil {
			return err
		}
		for len(ids) > 0 {
			n := min(len(ids), gamesAtOnce)
			if err := readPlays(ctx, tx, b, &p, ids[:n]); err != nil {
				return err
			}
			b.Flush()
			if ids = ids[n:]; b.Bytes() > s.room() {
				return errTooMuch
			}
		}
		im, err := settle(ctx, tx, b)
		if err != nil {
			return err
		}
		k.state.Store(&keptState{im, now})
		k.mark.Store(k.state.Load())
		return nil
	})
	return k, err
}

var errTooMuch = errors.New("the plays do not fit into the memory for kept ones")

func (s *Store) room() int {
	s.kept.mu.Lock()
	defer s.kept.mu.Unlock()
	return s.kept.room
}

// readGames reads games again, and what the other games of their opponents share with
// their plays: which game is the latest may be another one now.
func readGames(ctx context.Context, tx pgx.Tx, b *tally.Builder, p *tags.Program, games []uuid.UUID,
	opponents map[uuid.UUID]bool) error {
	of, err := column[uuid.UUID](ctx, tx,
		`SELECT DISTINCT opponent_id FROM games WHERE program_id = $1 AND id = ANY($2)`, p.ID,
		games)
	if err != nil {
		return err
	}
	for o := range opponents {
		of = append(of, o)
	}
	if _, err := readShared(ctx, tx, b, p, of); err != nil {
		return err
	}
	for len(games) > 0 {
		n := min(len(games), gamesAtOnce)
		if err := readPlays(ctx, tx, b, p, games[:n]); err != nil {
			return err
		}
		b.Flush()
		games = games[n:]
	}
	return nil
}

// readShared reads what the plays of a game share, of the games of opponents, or of all
// games where nil; it returns the games.
func readShared(ctx context.Context, tx pgx.Tx, b *tally.Builder, p *tags.Program,
	opponents []uuid.UUID) (ids []uuid.UUID, err error) {
	var dims []string
	for _, d := range tally.OfGame {
		dims = append(dims, dimension(d, &p.Settings))
	}
	cond, args := "", []any{p.ID}
	if opponents != nil {
		cond, args = " AND x.opponent_id = ANY($2)", append(args, opponents)
	}
	rows, err := tx.Query(ctx, `
		SELECT g.id::text, g.opponent_id::text, `+strings.Join(dims, ", ")+`
		FROM games g
		JOIN opponents o ON o.program_id = g.program_id AND o.id = g.opponent_id
		LEFT JOIN seasons s ON s.program_id = g.program_id AND s.id = g.season_id
		LEFT JOIN (`+gamesAgo(cond)+`) a ON a.id = g.id
		WHERE g.program_id = $1`+strings.ReplaceAll(cond, "x.", "g."), args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		raw := rows.RawValues()
		id, err := uuid.ParseBytes(raw[0])
		if err != nil {
			return nil, err
		}
		of, err := uuid.ParseBytes(raw[1])
		if err != nil {
			return nil, err
		}
		b.Game(id, of, raw[2:])
		ids = append(ids, id)
	}
	return ids, rows.Err()
}

// readPlays reads the counted plays of games. plays_number_key serves it.
func readPlays(ctx context.Context, tx pgx.Tx, b *tally.Builder, p *tags.Program, games []uuid.UUID) error {
	var dims []string
	for _, d := range tally.OfPlay {
		dims = append(dims, dimension(d, &p.Settings))
	}
	rows, err := tx.Query(ctx, `
		SELECT p.game_id::text, `+strings.Join(dims, ", ")+`
		`+source(tally.OfPlay...)+`
		WHERE p.program_id = $1 AND p.status = 'counted' AND p.game_id = ANY($2)`, p.ID, games)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		raw := rows.RawValues()
		id, err := uuid.ParseBytes(raw[0])
		if err != nil {
			return err
		}
		if err := b.Play(id, raw[1:]); err != nil {
			return err
		}
	}
	return rows.Err()
}

// settle ends an image and lets the database say in which order it has its words.
func settle(ctx context.Context, tx pgx.Tx, b *tally.Builder) (*tally.Image, error) {
	im, err := b.Settle()
	if err != nil {
		return nil, err
	}
	for at, words := range im.Unranked() {
		rows, err := tx.Query(ctx, `SELECT w FROM unnest($1::text[]) w ORDER BY w`, words)
		if err != nil {
			return nil, err
		}
		sorted, err := pgx.CollectRows(rows, pgx.RowTo[string])
		if err != nil {
			return nil, err
		}
		im.Rank(at, sorted)
	}
	return im, nil
}

// clearTouched removes rows that every image has seen: of transactions that had ended
// at a moment longer ago than any image goes without asking.
func (s *Store) clearTouched(ctx context.Context, k *keptImage, now moment) {
	mark := k.mark.Load()
	if now.at.Sub(mark.at) < touchedFor || !k.mark.CompareAndSwap(mark, &keptState{moment: now}) {
		return
	}
	s.kept.aside(ctx, func(ctx context.Context) {
		_, err := s.pool.Exec(ctx, `
			DELETE FROM touched_games
			WHERE program_id = $1 AND xid < pg_snapshot_xmin($2::text::pg_snapshot)`, k.program.ID, mark.snapshot)
		if err != nil && ctx.Err() == nil {
			s.kept.failed.Add(1)
		}
	})
}
