package postgres

import (
	"context"

	"github.com/google/uuid"

	"overhang/internal/tags"
)

// A Shelf is the five operations on one noun.
type Shelf[T any, P Noun[T]] struct {
	s *Store
	t *table[T]
}

// By returns the shelf as somebody uses it.
func (h Shelf[T, P]) By(who string) Shelf[T, P] { return Shelf[T, P]{h.s.By(who), h.t} }

// List returns a page in a stable order.
func (h Shelf[T, P]) List(ctx context.Context, program uuid.UUID, p Page) ([]T, error) {
	return h.t.list(ctx, h.s, program, p)
}

// Get returns one, or a NotFound.
func (h Shelf[T, P]) Get(ctx context.Context, program, id uuid.UUID) (T, error) {
	return h.t.get(ctx, h.s.db, program, id, "")
}

// Create stores a new one: Invalid with every bad field, or Conflict.
func (h Shelf[T, P]) Create(ctx context.Context, program uuid.UUID, v T) (T, error) {
	return create[T, P](ctx, h.s, h.t, program, "", v, v)
}

// CreateOnce is Create that may be repeated: the same key with the same v gives
// the same answer and no second row, with another v it is Invalid.
func (h Shelf[T, P]) CreateOnce(ctx context.Context, program uuid.UUID, key string, v T) (T, error) {
	return h.CreateAsked(ctx, program, key, v, v)
}

// CreateAsked is CreateOnce where v was made from what was asked, and would be
// made otherwise today: it is what was asked that a repeat must repeat.
func (h Shelf[T, P]) CreateAsked(ctx context.Context, program uuid.UUID, key string, asked any, v T) (T, error) {
	return create[T, P](ctx, h.s, h.t, program, key, asked, v)
}

// Replace stores v over the version seen: Stale, with what is there now, when
// somebody else was faster.
func (h Shelf[T, P]) Replace(ctx context.Context, program, id uuid.UUID, seen int64, v T) (T, error) {
	return replace[T, P](ctx, h.s, h.t, program, id, seen, v)
}

// Remove deletes the version seen with all that hangs on it: Stale, with what is
// there now, when somebody else was faster.
func (h Shelf[T, P]) Remove(ctx context.Context, program, id uuid.UUID, seen int64) error {
	return remove[T, P](ctx, h.s, h.t, program, id, seen)
}

var (
	seasons   = &table[tags.Season]{name: "seasons", columns: columnsOf[tags.Season]()}
	opponents = &table[tags.Opponent]{name: "opponents", columns: columnsOf[tags.Opponent](),
		filters: map[string]string{"code": "text"}}
	games = &table[tags.Game]{name: "games", columns: columnsOf[tags.Game](),
		filters: map[string]string{"opponent_id": "uuid", "season_id": "uuid"}}
	films = &table[tags.Film]{name: "films", columns: columnsOf[tags.Film](),
		filters: map[string]string{"game_id": "uuid"}}
	clips = &table[tags.Clip]{name: "clips", columns: columnsOf[tags.Clip](), before: beforeClip,
		filters: map[string]string{"film_id": "uuid", "play_id": "uuid"}}
	words = &table[tags.Word]{name: "words", columns: columnsOf[tags.Word](),
		filters: map[string]string{"field": "text", "pending": "bool"}}
	calls = &table[tags.Call]{name: "calls", columns: columnsOf[tags.Call](), history: true,
		filters: map[string]string{"active": "bool", "name": "text"}}
	plans     = &table[tags.Plan]{name: "plans", columns: columnsOf[tags.Plan]()}
	planHeads = &table[tags.PlanHead]{name: "plans", columns: columnsOf[tags.PlanHead](),
		filters: map[string]string{"opponent_id": "uuid", "game_id": "uuid"}}
	plays = &table[tags.Play]{name: "plays", columns: columnsOf[tags.Play](), gather: gatherPlay, leaving: playLeaves,
		history: true,
		filters: map[string]string{"game_id": "uuid", "opponent_id": "uuid", "down": "int", "called": "text",
			"family":  "text",
			"concept": "text", "set_name": "text", "personnel": "text", "status": "text"}}
)

// Seasons is the shelf of seasons.
func (s *Store) Seasons() Shelf[tags.Season, *tags.Season] {
	return Shelf[tags.Season, *tags.Season]{s, seasons}
}

// Opponents is the shelf of opponents.
func (s *Store) Opponents() Shelf[tags.Opponent, *tags.Opponent] {
	return Shelf[tags.Opponent, *tags.Opponent]{s, opponents}
}

// Games is the shelf of games.
func (s *Store) Games() Shelf[tags.Game, *tags.Game] { return Shelf[tags.Game, *tags.Game]{s, games} }

// Films is the shelf of films.
func (s *Store) Films() Shelf[tags.Film, *tags.Film] { return Shelf[tags.Film, *tags.Film]{s, films} }

// Clips is the shelf of clips.
func (s *Store) Clips() Shelf[tags.Clip, *tags.Clip] { return Shelf[tags.Clip, *tags.Clip]{s, clips} }

// Words is the shelf of words of the vocabulary.
func (s *Store) Words() Shelf[tags.Word, *tags.Word] { return Shelf[tags.Word, *tags.Word]{s, words} }

// Calls is the shelf of calls.
func (s *Store) Calls() Shelf[tags.Call, *tags.Call] { return Shelf[tags.Call, *tags.Call]{s, calls} }

// Plays is the shelf of plays.
func (s *Store) Plays() Shelf[tags.Play, *tags.Play] { return Shelf[tags.Play, *tags.Play]{s, plays} }

// Plans is the shelf of game plans.
func (s *Store) Plans() Shelf[tags.Plan, *tags.Plan] { return Shelf[tags.Plan, *tags.Plan]{s, plans} }

// PlanHeads is for lists of plans: it reads them without what they say.
func (s *Store) PlanHeads() Shelf[tags.PlanHead, *tags.PlanHead] {
	return Shelf[tags.PlanHead, *tags.PlanHead]{s, planHeads}
}
