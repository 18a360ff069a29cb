package ask

import (
	"context"
	"encoding/json"
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

// Recent reads as from does, but what an opponent runs may be two seconds old.
func Recent(from Reads) Reads { return &recent{Reads: from, rows: map[string]counted{}} }

type recent struct {
	Reads
	mu   sync.Mutex
	rows map[string]counted
}

// counted are concept rows with when they were read.
type counted struct {
	at   time.Time
	rows []tags.ConceptRow
}

// ConceptRows are the store's, or those of two seconds ago.
func (r *recent) ConceptRows(
	ctx context.Context, p tags.Program, opponent uuid.UUID, filters map[string][]string,
) ([]tags.ConceptRow, error) {
	asked, err := json.Marshal(filters)
	if err != nil {
		return nil, err
	}
	key := p.ID.String() + opponent.String() + string(asked)
	r.mu.Lock()
	had, ok := r.rows[key]
	r.mu.Unlock()
	if ok && time.Since(had.at) < fresh {
		return had.rows, nil
	}
	now := time.Now()
	rows, err := r.Reads.ConceptRows(ctx, p, opponent, filters)
	if err != nil {
		return nil, err
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	for k, old := range r.rows {
		if now.Sub(old.at) >= fresh || len(r.rows) >= kept {
			delete(r.rows, k)
		}
	}
	r.rows[key] = counted{now, rows}
	return rows, nil
}
