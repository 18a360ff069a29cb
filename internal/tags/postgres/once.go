package postgres

import (
	"crypto/sha256"
	"encoding/json"
	"errors"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"overhang/internal/tags"
)

// once is a create under an Idempotency-Key: the same key with the same request
// gives the stored answer, another request under it is Invalid
// (draft-ietf-httpapi-idempotency-key-header-07, 2.7). The key is stored by the
// statement that stores the row, so there is never one without the other; of two
// at the same time the second waits, is refused by a unique key, and finds the
// answer of the first.
type once struct {
	who, key string
	sum      []byte // of what is asked
	stored   []byte // what was answered before, as JSON; nil: nothing
	before   []byte // sum of what was asked then
}

func newOnce(who, key, kind string, asked any) (*once, error) {
	raw, err := json.Marshal(asked)
	sum := sha256.Sum256(append([]byte(kind+"\n"), raw...))
	return &once{who: who, key: key, sum: sum[:]}, err
}

// ask queues the question whether the key was answered before. One create of 256
// clears away what is a week old.
func (o *once) ask(b *pgx.Batch, program uuid.UUID) {
	if o.key == "" {
		return
	}
	if o.sum[0] == 0 {
		b.Queue(`DELETE FROM creations WHERE at < now() - interval '7 days'`)
	}
	b.Queue(`
		SELECT sum, answer
		FROM creations
		WHERE program_id = $1 AND who = $2 AND key = $3`, program, o.who, o.key).QueryRow(func(row pgx.Row) error {
		if err := row.Scan(&o.before, &o.stored); err != pgx.ErrNoRows {
			return err
		}
		return nil
	})
}

// answered reads the stored answer, unless something else was asked then.
func answered[T any, P Noun[T]](o *once, v *T) error {
	if string(o.before) != string(o.sum) {
		return tags.Fieldf(tags.Invalid, "Idempotency-Key", "is already used for another request")
	}
	var out T
	if err := json.Unmarshal(o.stored, &out); err != nil {
		return err
	}
	m := P(&out).Identity()
	m.UpdatedAt = m.UpdatedAt.Local() // as the driver reads times
	*v = out
	return nil
}

// taken says that a unique key was in the way.
func taken(err error) bool {
	var pg *pgconn.PgError
	return errors.As(err, &pg) && pg.Code == "23505"
}
