package postgres

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// EditPlays sets some fields of several plays, or says what that would change. To
// apply, every play must be at the version that was looked at: else Stale, with
// the plays as they are now, and nothing is changed. What is wrong with one play
// is named by its row.
func (s *Store) EditPlays(ctx context.Context, program uuid.UUID, e tags.PlayEdit) (_ tags.EditResult, err error) {
	defer wrap(&err, "EditPlays")
	out := tags.EditResult{Items: []tags.Edited{}}
	if err := e.Validate(); err != nil {
		return out, err
	}
	err = s.transact(ctx, func(tx pgx.Tx) error {
		change, err := s.recording(ctx, tx, program, "bulk edit")
		if err != nil {
			return err
		}
		old, err := s.chosen(ctx, tx, program, e)
		if err != nil {
			return err
		}
		edited, err := patched(ctx, tx, program, old, e.Set)
		if err != nil {
			return err
		}
		for i := range old {
			p := edited[i]
			diff := old[i].Changes(p)
			if len(diff) == 0 {
				out.Unchanged++
				continue
			}
			if e.Apply {
				if *p, err = update[tags.Play](ctx, tx, plays, program, old[i].Version, *p); err != nil {
					return err
				}
			}
			out.Items = append(out.Items, tags.Edited{PlaySeen: tags.PlaySeen{ID: p.ID, Version: p.Version}, Number: p.Number,
				GameID: p.GameID, Changes: diff})
		}
		if out.Applied = e.Apply; e.Apply && len(out.Items) > 0 {
			out.ChangeID = &change
		}
		return nil
	})
	return out, err
}

// chosen reads the plays an edit means, by game and number, and holds them when it
// is to be applied.
func (s *Store) chosen(ctx context.Context, tx pgx.Tx, program uuid.UUID, e tags.PlayEdit) ([]tags.Play, error) {
	if len(e.Plays) == 0 {
		ps, err := plays.list(ctx, &Store{db: tx, pool: s.pool, who: s.who}, program, Page{Filters: e.Where,
			Limit: tags.MostEdited + 1})
		if err == nil && len(ps) > tags.MostEdited {
			err = tags.Fieldf(tags.Invalid, "where", "matches more than %d plays: narrow it", tags.MostEdited)
		}
		slices.SortFunc(ps, byGameAndNumber)
		return ps, err
	}
	ids, seen := make([]uuid.UUID, len(e.Plays)), map[uuid.UUID]int64{}
	for i, p := range e.Plays {
		ids[i], seen[p.ID] = p.ID, p.Version
	}
	ps, err := holdPlays(ctx, tx, program, ids)
	if err != nil {
		return nil, err
	}
	stale := &tags.Error{Kind: tags.Stale, Msg: "some plays were changed since; nothing was changed"}
	for i := range ps {
		if v := seen[ps[i].ID]; e.Apply && v != ps[i].Version {
			stale.Fields = append(stale.Fields, tags.FieldError{Field: "plays",
				Msg: fmt.Sprintf("play %d: version %d was seen, it is now %d", ps[i].Number, v, ps[i].Version)})
		}
		delete(seen, ps[i].ID)
	}
	for _, id := range ids {
		if _, missing := seen[id]; missing {
			return nil, tags.Fieldf(tags.Invalid, "plays", "there is no play %s", id)
		}
	}
	slices.SortFunc(ps, byGameAndNumber)
	if len(stale.Fields) > 0 {
		stale.Current = nowThere{ps}
		return nil, stale
	}
	return ps, nil
}

// nowThere is what the caller of a stale edit is told is there.
type nowThere struct {
	Items []tags.Play `json:"items"`
}

func byGameAndNumber(a, b tags.Play) int {
	return cmp.Or(cmp.Compare(a.GameID.String(), b.GameID.String()), cmp.Compare(a.Number, b.Number))
}

// patched applies a patch to plays and brings them to the vocabulary.
func patched(ctx context.Context, tx pgx.Tx, program uuid.UUID, old []tags.Play, set tags.Patch) ([]*tags.Play, error) {
	out := make([]*tags.Play, len(old))
	for i := range old {
		p := old[i]
		out[i] = &p
	}
	err := rowByRow(out, func(p *tags.Play) error {
		q, err := set.Apply(*p)
		*p = q
		return err
	})
	if err != nil {
		return nil, err
	}
	return out, applyAll(ctx, tx, program, out)
}

// GamePlays returns all plays of a game by number; NotFound for a game that is not
// there. plays_number_key serves it.
func (s *Store) GamePlays(ctx context.Context, program, game uuid.UUID) (_ []tags.Play, err error) {
	defer wrap(&err, "GamePlays(%s)", game)
	if _, err := s.Games().Get(ctx, program, game); err != nil {
		return nil, err
	}
	return list[tags.Play](ctx, s.db, `
		SELECT `+plays.selected()+`
		FROM plays
		WHERE program_id = $1 AND game_id = $2
		ORDER BY number`, program, game)
}

// holdPlays reads plays as they are now; nobody changes them before the transaction ends.
func holdPlays(ctx context.Context, tx pgx.Tx, program uuid.UUID, ids []uuid.UUID) ([]tags.Play, error) {
	return list[tags.Play](ctx, tx, `
		SELECT `+plays.selected()+`
		FROM plays
		WHERE program_id = $1 AND id = ANY($2)
		ORDER BY id
		FOR UPDATE`, program, ids)
}
