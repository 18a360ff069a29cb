package main

import (
	"context"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// store makes a program of the plays, as a load by hand: nothing of ours between.
func store(ctx context.Context, s *postgres.Store, db *pgxpool.Pool, code string, plays []play) (tags.Program, error) {
	p, err := s.EnsureProgram(ctx, tags.Program{Code: code, Name: "Invented " + code, Level: "high_school",
		Invented: true})
	if err != nil {
		return p, err
	}
	if err := storeGames(ctx, db, p.ID, plays); err != nil {
		return p, err
	}
	var words []tags.Word
	seen := map[string]bool{}
	add := func(field, w string) {
		if !seen[field+w] {
			seen[field+w] = true
			words = append(words, tags.Word{Field: field, Word: w})
		}
	}
	for i := range plays {
		add("concept", plays[i].concept)
		add("set_name", plays[i].set)
		add("coverage", plays[i].coverage)
	}
	if err := s.AddWords(ctx, p.ID, words); err != nil {
		return p, err
	}
	_, err = copyPlays(ctx, db, p.ID, plays, false)
	return p, err
}

func identity(program uuid.UUID, name string) uuid.UUID { return uuid.NewSHA1(program, []byte(name)) }

func storeGames(ctx context.Context, db *pgxpool.Pool, program uuid.UUID, plays []play) error {
	var opponents, games [][]any
	for i := range plays {
		p := &plays[i]
		if i == 0 || p.opponent != plays[i-1].opponent {
			opponents = append(opponents, []any{program, identity(program, p.opponent), p.opponent, p.opponent})
		}
		if i == 0 || p.game != plays[i-1].game {
			games = append(games, []any{program, identity(program, p.gameLabel), identity(program, p.opponent), p.gameLabel})
		}
	}
	_, err := db.CopyFrom(ctx, pgx.Identifier{"opponents"}, []string{"program_id", "id", "code", "name"},
		pgx.CopyFromRows(opponents))
	if err != nil {
		return err
	}
	_, err = db.CopyFrom(ctx, pgx.Identifier{"games"}, []string{"program_id", "id", "opponent_id", "label"},
		pgx.CopyFromRows(games))
	return err
}

var copied = []string{"program_id", "id", "game_id", "opponent_id", "number", "quarter", "down", "distance_yd",
	"yards_to_goal", "personnel", "set_name", "called", "family", "concept", "result", "coverage", "gain_yd", "touchdown",
	"throw_depth_yd", "throw_s"}

// copyPlays is COPY alone into the product's table of plays, with its keys, checks and
// references; with the triggers that write the history, or without them.
func copyPlays(ctx context.Context, db *pgxpool.Pool, program uuid.UUID, plays []play,
	history bool) (took time.Duration, err error) {
	err = pgx.BeginFunc(ctx, db, func(tx pgx.Tx) error {
		if !history {
			if _, err := tx.Exec(ctx, `SET LOCAL session_replication_role = replica`); err != nil {
				return err
			}
		}
		began := time.Now()
		_, err := tx.CopyFrom(ctx, pgx.Identifier{"plays"}, copied, pgx.CopyFromSlice(len(plays), func(i int) ([]any, error) {
			p := &plays[i]
			var depth, throw any
			if p.depth != noDepth {
				depth, throw = p.depth, p.throwS
			}
			return []any{program, uuid.NewSHA1(program, p.id[:]), identity(program, p.gameLabel),
				identity(program, p.opponent), p.number, p.quarter,
				p.down, p.distance, p.toGoal, p.personnel, p.set, p.called, p.family, p.concept, p.result, p.coverage, p.gain,
				p.touchdown, depth, throw}, nil
		}))
		took = time.Since(began)
		return err
	})
	if err == nil {
		_, err = db.Exec(ctx, `ANALYZE plays`)
	}
	return took, err
}
