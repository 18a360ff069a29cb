package postgres

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// An entered program was found together with the news of its kept plays.
type entered struct {
	tags.Program
	moment
	touched []uuid.UUID
	since   *keptState
}

type enteredKey struct{}

// Enter finds a program by its code, as Program does, for somebody who asks and writes
// nothing. Where its plays are kept, the same statement says which games were touched
// meanwhile, and the context that is returned knows it: so the first question under it asks
// the database nothing more. It is as fresh as if the question had asked: nobody has been
// told of a write after this and before that. through is the store that looks programs up.
func (s *Store) Enter(ctx context.Context, through *Store, code string) (_ tags.Program, _ context.Context, err error) {
	defer wrap(&err, "Enter(%s)", code)
	k := s.kept.ofCode(code)
	if k == nil {
		p, err := through.Program(ctx, code)
		return p, ctx, err
	}
	e := &entered{since: k.state.Load(), moment: moment{began: time.Now()}}
	var settings []byte
	err = through.db.QueryRow(ctx, `
		SELECT p.id, p.version, p.updated_at, p.code, p.name, p.level, p.invented, p.settings, `+newsOf("p.id")+`
		FROM programs p
		WHERE p.code = $1`, code, e.since.snapshot).Scan(&e.ID, &e.Version, &e.UpdatedAt, &e.Code, &e.Name, &e.Level,
		&e.Invented, &settings, &e.snapshot, &e.server, &e.at, &e.touched)
	if errors.Is(err, pgx.ErrNoRows) { // its plays are kept, and it was removed
		err = tags.Errorf(tags.NotFound, "there is no program %q", code)
	}
	if err == nil {
		e.Settings, err = k.settingsOf(settings)
	}
	if err != nil {
		return tags.Program{}, ctx, err
	}
	return e.Program, context.WithValue(ctx, enteredKey{}, e), nil
}

// heard is the news since a state that came with the program of a context; false: there is
// none, or the state is another one by now.
func heard(ctx context.Context, since *keptState) (now moment, touched []uuid.UUID, ok bool) {
	e, _ := ctx.Value(enteredKey{}).(*entered)
	if e == nil || e.since != since {
		return now, nil, false
	}
	return e.moment, e.touched, e.follows(&since.moment) == nil
}

// readSettings are a program's settings with the text that they were read from.
type readSettings struct {
	text []byte
	tags.Settings
}

// settingsOf reads settings, which hardly ever change, from their text: once. Nobody changes
// what they hold.
func (k *keptImage) settingsOf(text []byte) (tags.Settings, error) {
	if was := k.settings.Load(); was != nil && bytes.Equal(was.text, text) {
		return was.Settings, nil
	}
	now := &readSettings{text: text}
	err := json.Unmarshal(text, &now.Settings)
	if err == nil {
		k.settings.Store(now)
	}
	return now.Settings, err
}

// ofCode is the image of a program's kept plays that was asked for last, nil without any.
func (k *keptPlays) ofCode(code string) *keptImage {
	if k == nil {
		return nil
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	var last *keptImage
	for _, i := range k.images {
		if i.code == code && (last == nil || i.asked.Load() > last.asked.Load()) {
			last = i
		}
	}
	return last
}
