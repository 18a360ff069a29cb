package postgres

import (
	"cmp"
	"context"
	"slices"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

var blindTags = &table[tags.BlindTag]{name: "blind_tags", columns: columnsOf[tags.BlindTag](),
	filters: map[string]string{"clip_id": "uuid", "analyst": "text"}, before: beforeBlindTag}

// BlindTags is the shelf of what analysts tagged blind.
func (s *Store) BlindTags() Shelf[tags.BlindTag, *tags.BlindTag] {
	return Shelf[tags.BlindTag, *tags.BlindTag]{s, blindTags}
}

// beforeBlindTag brings the words to the program's vocabulary, so that two names
// of one concept are no disagreement.
func beforeBlindTag(ctx context.Context, tx pgx.Tx, program uuid.UUID, b *tags.BlindTag) error {
	if b.Tags.Routes == nil {
		b.Tags.Routes = []tags.Route{}
	}
	// In one order, so that the order of tagging is no disagreement either.
	slices.SortFunc(b.Tags.Routes, func(x, y tags.Route) int {
		return cmp.Or(cmp.Compare(x.Side, y.Side),
			cmp.Compare(x.Number, y.Number))
	})
	v, err := vocabulary(ctx, tx, program)
	if err != nil {
		return err
	}
	return v.Apply(&b.Tags.Play)
}

// Sightings returns what everybody tagged blind, by clip and analyst: of one game,
// or of one clip, or of all where neither is named (uuid.Nil).
func (s *Store) Sightings(ctx context.Context, program, game, clip uuid.UUID) (_ []tags.BlindTag, err error) {
	defer wrap(&err, "Sightings")
	bs, err := list[tags.BlindTag](ctx, s.db, `
		SELECT `+blindTags.selected()+`
		FROM blind_tags
		WHERE program_id = $1 AND ($2 = '00000000-0000-0000-0000-000000000000'::uuid OR clip_id = $2)
			AND ($3 = '00000000-0000-0000-0000-000000000000'::uuid OR clip_id IN (
				SELECT c.id
				FROM clips c
				JOIN films f ON f.program_id = c.program_id AND f.id = c.film_id
				WHERE c.program_id = $1 AND f.game_id = $3))
		ORDER BY clip_id, analyst`, program, clip, game)
	if err != nil {
		return nil, err
	}
	v, err := vocabulary(ctx, s.db, program)
	for i := range bs {
		v.Apply(&bs[i].Tags.Play) // a word that was merged since counts as the one it became; a word that left stays as it is
	}
	return bs, err
}

// Settle stores the play that a clip shows: a new one where the clip has none
// yet, else over the version seen, keeping what a sighting does not say. Stale
// when somebody was faster, Invalid when a new play has no number.
func (s *Store) Settle(ctx context.Context, program, clip uuid.UUID, seen int64, number int,
	p tags.Play) (_ tags.Play, err error) {
	defer wrap(&err, "Settle(%s)", clip)
	err = s.Atomically(ctx, func(s *Store) error {
		c, err := s.Clips().Get(ctx, program, clip)
		if err != nil {
			return err
		}
		film, err := s.Films().Get(ctx, program, c.FilmID)
		if err != nil {
			return err
		}
		p.GameID = film.GameID
		if c.PlayID != nil {
			now, err := s.Plays().Get(ctx, program, *c.PlayID)
			if err != nil {
				return err
			}
			p.Number, p.Note = now.Number, now.Note
			p, err = s.Plays().Replace(ctx, program, now.ID, seen, p)
			return err
		}
		if p.Number = number; number == 0 && c.Number != nil {
			p.Number = *c.Number
		}
		if p.Number == 0 {
			return tags.Fieldf(tags.Invalid, "number",
				"is missing: the clip shows no tagged play yet, say which of the game it is")
		}
		if p, err = s.Plays().Create(ctx, program, p); err != nil {
			return err
		}
		c.PlayID = &p.ID
		_, err = s.Clips().Replace(ctx, program, clip, c.Version, c)
		return err
	})
	return p, err
}
