package postgres

import (
	"context"
	"crypto/sha256"
	"encoding/json"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// once claims an Idempotency-Key for a create, in the create's own transaction,
// and reports whether it was answered before; then v is that answer. One that
// comes while the first still runs waits for it. The same key with another
// request is Invalid: draft-ietf-httpapi-idempotency-key-header-07, 2.7.
func once[T any](ctx context.Context, tx pgx.Tx, who string, program uuid.UUID, key, kind string, asked T, v *T) (answered bool, err error) {
	if key == "" {
		return false, nil
	}
	raw, err := json.Marshal(asked)
	if err != nil {
		return false, err
	}
	sum := sha256.Sum256(append([]byte(kind+"\n"), raw...))
	if sum[0] == 0 { // one create of 256 clears away what is a week old
		if _, err := tx.Exec(ctx, `DELETE FROM creations WHERE at < now() - interval '7 days'`); err != nil {
			return false, err
		}
	}
	tag, err := tx.Exec(ctx, `
		INSERT INTO creations (program_id, who, key, sum)
		VALUES ($1, $2, $3, $4)
		ON CONFLICT (program_id, who, key) DO NOTHING`, program, who, key, sum[:])
	if err != nil || tag.RowsAffected() == 1 {
		return false, err
	}
	var before, stored []byte
	err = tx.QueryRow(ctx, `
		SELECT sum, answer
		FROM creations
		WHERE program_id = $1 AND who = $2 AND key = $3`, program, who, key).Scan(&before, &stored)
	switch {
	case err == pgx.ErrNoRows:
		return false, tags.Errorf(tags.Unavailable, "the key was just cleared away; nothing was changed, try again")
	case err != nil:
		return false, err
	case string(before) != string(sum[:]):
		return false, tags.Fieldf(tags.Invalid, "Idempotency-Key", "is already used for another request")
	}
	return true, json.Unmarshal(stored, v)
}

// answer keeps what a create answered beside its key.
func answer[T any](ctx context.Context, tx pgx.Tx, who string, program uuid.UUID, key string, v T) error {
	if key == "" {
		return nil
	}
	raw, err := json.Marshal(v)
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `
		UPDATE creations
		SET answer = $4
		WHERE program_id = $1 AND who = $2 AND key = $3`, program, who, key, string(raw))
	return err
}
