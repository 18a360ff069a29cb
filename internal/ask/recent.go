package ask

import (
	"context"
	"encoding/json"
	"maps"
	"sync"
	"time"

	"github.com/google/uuid"

	"overhang/internal/tags"
)

// fresh is how old what they run may be while somebody drags a man: the same question
// comes some twenty times a second, and counting the plays takes most of the answer's time.
const fresh = 2 * time.Second

// kept bounds how many answers Recent keeps.
const kept = 64

// Recent reads as from does, but what an opponent runs, and what comes of it, may be two
// seconds old.
func Recent(from Reads) Reads { return &recent{Reads: from, known: map[string]counted{}} }

type recent struct {
	Reads
	mu    sync.Mutex
	known map[string]counted
}

// counted is an answer with when it was read.
type counted struct {
	at  time.Time
	got any
}

// ConceptRows are the store's, or those of two seconds ago.
func (r *recent) ConceptRows(
	ctx context.Context, p tags.Program, opponent uuid.UUID, filters map[string][]string,
) ([]tags.ConceptRow, error) {
	return lately(r, []any{"rows", p, opponent, filters}, func() ([]tags.ConceptRow, error) {
		return r.Reads.ConceptRows(ctx, p, opponent, filters)
	})
}

// Counts are the store's, or those of two seconds ago.
func (r *recent) Counts(
	ctx context.Context, p tags.Program, by []string, filters map[string][]string,
) ([]tags.Count, error) {
	return lately(r, []any{"counts", p, by, filters}, func() ([]tags.Count, error) {
		return r.Reads.Counts(ctx, p, by, filters)
	})
}

// lately is what was read for the same question in the last two seconds, else what is read
// now.
func lately[T any](r *recent, asked any, read func() (T, error)) (none T, _ error) {
	raw, err := json.Marshal(asked)
	if err != nil {
		return none, err
	}
	key := string(raw)
	r.mu.Lock()
	had, ok := r.known[key]
	r.mu.Unlock()
	if ok && time.Since(had.at) < fresh {
		return had.got.(T), nil
	}
	now := time.Now()
	got, err := read()
	if err != nil {
		return none, err
	}
	r.keep(key, counted{now, got})
	return got, nil
}

// keep puts one answer into the memory and the stale ones out of it, all of them when it is full.
func (r *recent) keep(key string, c counted) {
	r.mu.Lock()
	defer r.mu.Unlock()
	maps.DeleteFunc(r.known, func(_ string, old counted) bool {
		return c.at.Sub(old.at) >= fresh || len(r.known) >= kept
	})
	r.known[key] = c
}
