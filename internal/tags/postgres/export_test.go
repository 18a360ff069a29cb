package postgres

import (
	"context"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
	"overhang/internal/tags/tally"
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

// Small images have cubes too, so that every test of kept plays is one of cubes.
func init() { cubedFrom = 0 }

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
		if again := tendencyOf(im, by, only); !reflect.DeepEqual(again, kept) { // from a cube
			return fmt.Errorf("asked again: %v, first %v", again, kept)
		}
		if counted, err = countTendency(ctx, tx, &p, by, only); err != nil {
			return err
		}
		countedN, err = countNumbers(ctx, tx, &p, by, only)
		return err
	})
	return kept, counted, keptN, countedN, err
}

// PlanOfTendency is how the database would answer a question from the plays; PlanOfNews how
// it finds the games that were touched, PlanOfReading how it reads games again.
func (s *Store) PlanOfTendency(ctx context.Context, p tags.Program, by []string,
	filters map[string][]string) (string, error) {
	return s.plan(ctx, func(tx pgx.Tx) error {
		_, err := countTendency(ctx, tx, &p, by, filters)
		return err
	})
}

func (s *Store) PlanOfNews(ctx context.Context, p tags.Program, since string) (string, error) {
	return s.plan(ctx, func(tx pgx.Tx) error {
		_, _, err := news(ctx, tx, p.ID, &moment{snapshot: since})
		return err
	})
}

func (s *Store) PlanOfReading(ctx context.Context, p tags.Program, games ...uuid.UUID) (string, error) {
	return s.plan(ctx, func(tx pgx.Tx) error { return readPlays(ctx, tx, tally.New(cubedFrom), &p, games) })
}

// plan is the plan of the first statement that do asks.
func (s *Store) plan(ctx context.Context, do func(pgx.Tx) error) (plan string, err error) {
	err = s.reading(ctx, func(tx pgx.Tx) error {
		e := &explained{Tx: tx}
		if err := do(e); !errors.Is(err, errExplained) {
			return fmt.Errorf("nothing was asked: %w", err)
		}
		plan = strings.Join(e.lines, "\n")
		return nil
	})
	return plan, err
}

var errExplained = errors.New("explained")

// An explained transaction has every statement explained and not carried out.
type explained struct {
	pgx.Tx
	lines []string
}

func (e *explained) Query(ctx context.Context, sql string, args ...any) (pgx.Rows, error) {
	rows, err := e.Tx.Query(ctx, "EXPLAIN "+sql, args...)
	if err == nil {
		e.lines, err = pgx.CollectRows(rows, pgx.RowTo[string])
	}
	return nil, errors.Join(err, errExplained)
}

func (e *explained) QueryRow(ctx context.Context, sql string, args ...any) pgx.Row {
	_, err := e.Query(ctx, sql, args...)
	return batchRow{err: err}
}
