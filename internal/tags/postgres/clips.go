package postgres

import (
	"context"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// beforeClip refuses a clip of one game's film that names a play of another.
func beforeClip(ctx context.Context, tx pgx.Tx, program uuid.UUID, c *tags.Clip) error {
	if c.PlayID == nil {
		return nil
	}
	var same bool
	err := tx.QueryRow(ctx, `
		SELECT f.game_id = p.game_id
		FROM films f, plays p
		WHERE f.program_id = $1 AND f.id = $2 AND p.program_id = $1 AND p.id = $3`, program, c.FilmID, *c.PlayID).Scan(&same)
	if err == pgx.ErrNoRows {
		return nil // the insert's own keys say which of the two is not there
	}
	if err == nil && !same {
		err = tags.Fieldf(tags.Invalid, "play_id", "belongs to a different game than the film")
	}
	return err
}

// LoadClips stores a clip list of one film, all or nothing. A clip is known by
// its start and end: one that is there already takes a number and an angle that
// are new, keeps those the list does not know, and is left alone otherwise, so
// that loading twice changes nothing. NotFound for a film that is not there.
func (s *Store) LoadClips(ctx context.Context, program, film uuid.UUID, cs []tags.Clip) (_ Loaded, err error) {
	defer wrap(&err, "LoadClips(%d)", len(cs))
	if _, err := s.Films().Get(ctx, program, film); err != nil {
		return Loaded{}, err
	}
	ids, starts, ends := make([]uuid.UUID, len(cs)), make([]float64, len(cs)), make([]float64, len(cs))
	numbers, angles := make([]*int, len(cs)), make([]*string, len(cs))
	for i := range cs {
		ids[i], starts[i], ends[i], numbers[i], angles[i] = NewID(), cs[i].StartS, cs[i].EndS, cs[i].Number, cs[i].Angle
	}
	var out Loaded
	// A row that was inserted has the first version, one that was updated a later one.
	err = s.db.QueryRow(ctx, `
		WITH incoming AS (
			SELECT *
			FROM unnest($3::uuid[], $4::float8[], $5::float8[], $6::int[], $7::text[]) AS i (id, start_s, end_s, number, angle)
		), done AS (
			INSERT INTO clips AS c (program_id, id, film_id, start_s, end_s, number, angle)
			SELECT $1, id, $2, start_s, end_s, number, angle
			FROM incoming
			ON CONFLICT (program_id, film_id, start_s, end_s) DO UPDATE
			SET version = c.version + 1, updated_at = now(), number = coalesce(EXCLUDED.number, c.number), angle = coalesce(EXCLUDED.angle, c.angle)
			WHERE (coalesce(EXCLUDED.number, c.number), coalesce(EXCLUDED.angle, c.angle)) IS DISTINCT FROM (c.number, c.angle)
			RETURNING c.version = 1 AS new
		)
		SELECT count(*) FILTER (WHERE new), count(*) FILTER (WHERE NOT new), (SELECT count(*) FROM incoming) - count(*)
		FROM done`, program, film, ids, starts, ends, numbers, angles).Scan(&out.Inserted, &out.Updated, &out.Unchanged)
	return out, err
}

// FilmClips returns a film's clips by start, end and identity, each with its
// play where one is tagged: the one it names, else that of its number in the
// film's game. A clip without a number takes its play's. plays holds them by identity.
func (s *Store) FilmClips(ctx context.Context, program,
	film uuid.UUID) (clips []tags.Clip, plays map[uuid.UUID]tags.Play, err error) {
	defer wrap(&err, "FilmClips(%s)", film)
	if _, err := s.Films().Get(ctx, program, film); err != nil {
		return nil, nil, err
	}
	// clips_start_s_key serves the order, plays_number_key the join.
	if clips, err = list[tags.Clip](ctx, s.db, `
		SELECT c.id, c.version, c.updated_at, c.film_id, coalesce(c.play_id, p.id) AS play_id, c.number, c.angle, c.start_s, c.end_s
		FROM clips c
		JOIN films f ON f.program_id = c.program_id AND f.id = c.film_id
		LEFT JOIN plays p ON p.program_id = c.program_id AND p.game_id = f.game_id AND p.number = c.number
		WHERE c.program_id = $1 AND c.film_id = $2
		ORDER BY c.start_s, c.end_s, c.id`, program, film); err != nil {
		return nil, nil, err
	}
	var ids []uuid.UUID
	for i := range clips {
		if clips[i].PlayID != nil {
			ids = append(ids, *clips[i].PlayID)
		}
	}
	plays, err = s.playsByID(ctx, program, ids)
	for i := range clips {
		if c := &clips[i]; c.Number == nil && c.PlayID != nil {
			n := plays[*c.PlayID].Number
			c.Number = &n
		}
	}
	return clips, plays, err
}

func (s *Store) playsByID(ctx context.Context, program uuid.UUID, ids []uuid.UUID) (map[uuid.UUID]tags.Play, error) {
	ps, err := list[tags.Play](ctx, s.db, `
		SELECT `+plays.selected()+`
		FROM plays
		WHERE program_id = $1 AND id = ANY($2)`, program, ids)
	out := map[uuid.UUID]tags.Play{}
	for i := range ps {
		out[ps[i].ID] = ps[i]
	}
	return out, err
}
