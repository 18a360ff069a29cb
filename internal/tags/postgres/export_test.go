package postgres

import (
	"context"
	"errors"
	"time"

	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// HangsOn lists which kind is deleted with which, by the column that says so.
func HangsOn() map[string]string {
	out := map[string]string{}
	for _, r := range references {
		if r.hangs {
			out[r.kind+"."+r.column] = r.to
		}
	}
	return out
}

// BothWays counts from the kept plays and from the plays themselves, both at the moment of one
// transaction.
func (s *Store) BothWays(ctx context.Context, p tags.Program, by []string,
	filters map[string][]string) (kept, counted tags.Tendency, keptN, countedN []tags.Count, err error) {
	s.kept.mu.Lock()
	k := s.kept.images[keyOf(&p)]
	s.kept.mu.Unlock()
	if k == nil {
		return kept, counted, nil, nil, errors.New("nothing is kept")
	}
	only, err := s.Resolve(ctx, p, filters)
	if err != nil {
		return kept, counted, nil, nil, err
	}
	k.catching.Lock()
	defer k.catching.Unlock()
	began := time.Now()
	err = s.reading(ctx, func(tx pgx.Tx) error {
		im, err := k.catchUpIn(ctx, tx, began, 1<<40)
		if err != nil {
			return err
		}
		kept, keptN = tendencyOf(im, by, only), im.Numbers(by, only)
		if counted, err = countTendency(ctx, tx, &p, by, only); err != nil {
			return err
		}
		countedN, err = countNumbers(ctx, tx, &p, by, only)
		return err
	})
	return kept, counted, keptN, countedN, err
}
