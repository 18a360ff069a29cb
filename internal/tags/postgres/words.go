package postgres

import (
	"context"
	"encoding/binary"
	"fmt"
	"runtime"
	"strings"
	"sync"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// The hooks read the table they hang on, which a composite literal may not.
func init() { words.before, words.leaving = beforeWord, wordLeaves }

func vocabulary(ctx context.Context, q conn, program uuid.UUID) (*tags.Vocabulary, error) {
	ws, err := list[tags.Word](ctx, q, `
		SELECT `+words.selected()+`
		FROM words
		WHERE program_id = $1
		ORDER BY field, word`, program)
	if err != nil {
		return nil, err
	}
	return tags.NewVocabulary(ws), nil
}

// Vocabulary returns the program's words.
func (s *Store) Vocabulary(ctx context.Context, program uuid.UUID) (_ *tags.Vocabulary, err error) {
	defer wrap(&err, "Vocabulary")
	return vocabulary(ctx, s.db, program)
}

// AddWords stores words that are missing and leaves the others alone; aliases
// come after what they stand for.
func (s *Store) AddWords(ctx context.Context, program uuid.UUID, ws []tags.Word) (err error) {
	defer wrap(&err, "AddWords")
	return s.transact(ctx, func(tx pgx.Tx) error {
		for _, alias := range []bool{false, true} {
			for i := range ws {
				w := ws[i]
				if (w.AliasOf != nil) != alias {
					continue
				}
				if err := w.Validate(); err != nil {
					return err
				}
				if known, err := wordNamed(ctx, tx, program, w.Field, w.Word); err != nil || known != nil {
					if err != nil {
						return err
					}
					continue
				}
				if err := beforeWord(ctx, tx, program, &w); err != nil {
					return err
				}
				_, err := tx.Exec(ctx, `
					INSERT INTO words (program_id, id, field, word, alias_of, folded)
					VALUES ($1, $2, $3, $4, $5, $6)`, program, NewID(), w.Field, w.Word, w.AliasOf, w.Folded)
				if err != nil {
					return err
				}
			}
		}
		return nil
	})
}

// A writer of plays holds the vocabulary as it is until it is done (recording);
// a change of it waits for them. So no play can take up a word while it leaves.
// A new word changes nothing: who adds one holds what it may be an alias of.
const (
	holdWords   = `SELECT pg_advisory_xact_lock_shared($1)`
	changeWords = `SELECT pg_advisory_xact_lock($1)`
)

func wordsLock(program uuid.UUID) int64 {
	return int64(binary.BigEndian.Uint64(program[8:]) ^ 0x766f636162756c61) // "vocabula": no other lock of the program's
}

// wordNamed finds a word in whatever letters it is written; nil without one.
func wordNamed(ctx context.Context, tx pgx.Tx, program uuid.UUID, field, word string) (*tags.Word, error) {
	w, err := single[tags.Word](ctx, tx, `
		SELECT `+words.selected()+`
		FROM words
		WHERE program_id = $1 AND field = $2 AND folded = $3`, program, field, tags.Fold(word))
	if err == pgx.ErrNoRows {
		return nil, nil
	}
	return &w, err
}

// beforeWord keeps the vocabulary of one mind: an alias stands for a word and not
// for an alias, and a word that is used does not become another one.
func beforeWord(ctx context.Context, tx pgx.Tx, program uuid.UUID, w *tags.Word) error {
	_, err := words.get(ctx, tx, program, w.ID, "")
	fresh := tags.As(err) != nil && tags.As(err).Kind == tags.NotFound
	lock := changeWords
	if fresh {
		lock = holdWords
	}
	if _, err := tx.Exec(ctx, lock, wordsLock(program)); err != nil {
		return err
	}
	w.Word, w.Folded = strings.Join(strings.Fields(w.Word), " "), tags.Fold(w.Word)
	if w.AliasOf != nil {
		to, err := wordNamed(ctx, tx, program, w.Field, *w.AliasOf)
		switch {
		case err != nil:
			return err
		case to == nil:
			return tags.Fieldf(tags.Invalid, "alias_of", "there is no word %q", *w.AliasOf)
		case to.AliasOf != nil:
			return tags.Fieldf(tags.Invalid, "alias_of", "%q is itself an alias: of %q", to.Word, *to.AliasOf)
		}
		w.AliasOf = &to.Word
	}
	if fresh {
		return nil
	}
	old, err := words.get(ctx, tx, program, w.ID, "")
	if err != nil || old.Field == w.Field && old.Word == w.Word && (w.AliasOf == nil || old.AliasOf != nil) {
		return err
	}
	return wordLeaves(ctx, tx, program, &old)
}

// wordLeaves refuses to take away a word that is used: in plays, or by aliases.
func wordLeaves(ctx context.Context, tx pgx.Tx, program uuid.UUID, w *tags.Word) error {
	if _, err := tx.Exec(ctx, changeWords, wordsLock(program)); err != nil {
		return err
	}
	aliases, err := column[string](ctx, tx, `
		SELECT word
		FROM words
		WHERE program_id = $1 AND field = $2 AND alias_of = $3
		ORDER BY word`, program, w.Field, w.Word)
	if err != nil {
		return err
	}
	if len(aliases) > 0 {
		return tags.Fieldf(tags.Conflict, "word", "%q has aliases: %s", w.Word, strings.Join(aliases, ", "))
	}
	var n int
	if err := tx.QueryRow(ctx, `SELECT count(*) FROM plays WHERE program_id = $1 AND `+usedIn(w.Field), program,
		w.Word).Scan(&n); err != nil {
		return err
	}
	return stillUsed(w.Word, n)
}

// stillUsed says that a word is in use.
func stillUsed(word string, plays int) error {
	switch plays {
	case 0:
		return nil
	case 1:
		return tags.Fieldf(tags.Conflict, "word", "1 play uses %q: merge it into another word instead", word)
	}
	return tags.Fieldf(tags.Conflict, "word", "%d plays use %q: merge it into another word instead", plays, word)
}

// usedIn is the condition that a play has the word $2 in a field of the vocabulary,
// which is checked: it is one of six names.
func usedIn(field string) string {
	if field == "route" {
		return "(target_route = $2 OR EXISTS (SELECT FROM unnest(routes) r WHERE r.route = $2))"
	}
	return field + " = $2"
}

// gatherWords brings one play to the vocabulary. It reads the words the play uses,
// and all of them only to say which are nearest to an unknown one.
// words_word_folded_key serves it.
func gatherWords(b *pgx.Batch, program uuid.UUID, p *tags.Play) func(context.Context, pgx.Tx) error {
	fields, used := p.Vocabulary()
	if len(used) == 0 {
		return func(context.Context, pgx.Tx) error { return nil }
	}
	var ws []tags.Word
	b.Queue(`
		SELECT `+words.selected()+`
		FROM words
		WHERE program_id = $1 AND (field, folded) IN (SELECT * FROM unnest($2::text[], $3::text[]))`, program, fields, used).Query(func(rows pgx.Rows) (err error) {
		ws, err = pgx.CollectRows(rows, pgx.RowToStructByName[tags.Word])
		return err
	})
	return func(ctx context.Context, tx pgx.Tx) error {
		if tags.NewVocabulary(ws).Apply(p) == nil {
			return nil
		}
		return applyAll(ctx, tx, program, []*tags.Play{p})
	}
}

// applyAll brings many plays to the vocabulary, and names every unknown word; in a
// program that queues them, they wait in the vocabulary for its owner instead.
func applyAll(ctx context.Context, tx pgx.Tx, program uuid.UUID, ps []*tags.Play) error {
	v, err := vocabulary(ctx, tx, program)
	if err != nil {
		return err
	}
	err = gathered(each(ps, v.Apply))
	if err == nil {
		return nil
	}
	var queue bool
	if e := tx.QueryRow(ctx, `SELECT settings->>'new_words' = 'queue' IS TRUE FROM programs WHERE id = $1`,
		program).Scan(&queue); e != nil {
		return e
	}
	if !queue {
		return err
	}
	for _, p := range ps {
		for _, w := range v.Unknown(p) {
			if err := w.Validate(); err != nil {
				return err
			}
			// Another play may queue the same word at the same time.
			_, err := tx.Exec(ctx, `
				INSERT INTO words (program_id, id, field, word, folded, pending)
				VALUES ($1, $2, $3, $4, $5, true)
				ON CONFLICT DO NOTHING`, program, NewID(), w.Field, strings.Join(strings.Fields(w.Word), " "), tags.Fold(w.Word))
			if err != nil {
				return err
			}
		}
	}
	if v, err = vocabulary(ctx, tx, program); err != nil {
		return err
	}
	return gathered(each(ps, v.Apply))
}

// rowByRow checks every play and gathers what is wrong, with its row when there
// are several.
func rowByRow(ps []*tags.Play, check func(*tags.Play) error) error {
	errs := make([]error, len(ps))
	for i, p := range ps {
		errs[i] = check(p)
	}
	return gathered(errs)
}

// each checks plays, on every processor where there are many: check must not mind.
func each(ps []*tags.Play, check func(*tags.Play) error) []error {
	out := make([]error, len(ps))
	workers := 1
	if len(ps) > 500 {
		workers = runtime.GOMAXPROCS(0)
	}
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for i := len(ps) * w / workers; i < len(ps)*(w+1)/workers; i++ {
				out[i] = check(ps[i])
			}
		})
	}
	wg.Wait()
	return out
}

// gathered puts what is wrong with plays together.
func gathered(errs []error) error {
	bad := &tags.Error{Kind: tags.Invalid, Msg: "the play is not valid"}
	for i, err := range errs {
		e := tags.As(err)
		if e == nil {
			if err != nil {
				return err
			}
			continue
		}
		for _, f := range e.Fields {
			if len(errs) > 1 {
				f.Row = i + 1
			}
			bad.Fields = append(bad.Fields, f)
		}
	}
	if len(bad.Fields) == 0 {
		return nil
	}
	if len(errs) > 1 {
		bad.Msg = fmt.Sprintf("some of the %d plays are not valid", len(errs))
	}
	return bad
}
