// Package starter is what every new program begins with, so that its first
// sheet has words to meet and calls to stand against: the vocabulary of the
// trade and the built-in book. A staff changes both as it likes afterward.
package starter

import (
	"context"
	"slices"

	"github.com/google/uuid"

	"overhang/internal/stress/call"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// active are the calls a new program carries; the rest of the built-in book is
// stored and can be switched on.
var active = map[string]bool{"cover 1": true, "cover 2 spot": true, "tampa 2": true, "two-man": true,
	"cover 3 spot": true, "cover 3 match": true, "cover 6": true, "fire zone": true, "palms": true, "quarters match": true}

// Fill gives a program the vocabulary and the book. What it has already stays
// as it is, so filling twice changes nothing.
func Fill(ctx context.Context, s *postgres.Store, program uuid.UUID) error {
	if err := s.AddWords(ctx, program, Words()); err != nil {
		return err
	}
	for _, plan := range call.Book() {
		body, err := plan.Call.Encode()
		if err != nil {
			return err
		}
		c := tags.Call{Name: plan.Call.Name, Active: active[plan.Call.Name], Body: body}
		_, err = s.Calls().Create(ctx, program, c)
		if e := tags.As(err); err != nil && (e == nil || e.Kind != tags.Conflict) {
			return err
		}
	}
	return nil
}

// Ensure returns the program with p's code, making and filling it when it is
// missing: all of that or nothing.
func Ensure(ctx context.Context, s *postgres.Store, p tags.Program) (tags.Program, error) {
	found, err := s.Program(ctx, p.Code)
	if e := tags.As(err); e == nil || e.Kind != tags.NotFound {
		return found, err
	}
	err = s.Atomically(ctx, func(s *postgres.Store) error {
		if found, err = s.EnsureProgram(ctx, p); err != nil {
			return err
		}
		return Fill(ctx, s, found.ID)
	})
	return found, err
}

// Words is the vocabulary: sets, backfields, motions, concepts, routes and
// coverages of the trade, with their other names as aliases.
func Words() []tags.Word {
	var ws list
	ws.library()
	for _, more := range trade {
		ws.add(more.field, more.word, more.also...)
	}
	for _, plan := range call.Book() {
		if n := plan.Call.Name; active[n] && !ws.has("coverage", n) {
			ws.add("coverage", n) // so that our own game can be tagged with the calls carried
		}
	}
	return ws
}

// library adds the sets, routes, concepts and runs that the engine can play.
func (ws *list) library() {
	for _, n := range picture.SetNames() {
		set, _ := picture.LookupSet(n)
		ws.add("set_name", n, set.Also...)
	}
	for _, n := range picture.RouteNames() {
		r, _ := picture.LookupRoute(n)
		ws.add("route", n, r.Also...)
	}
	for _, e := range picture.Library() {
		ws.add("concept", e.Concept, e.Also)
	}
	for _, r := range picture.Runs() {
		if !ws.has("concept", r.Concept) {
			ws.add("concept", r.Concept, r.Also)
		}
	}
}

// trade are words that no data file of the engine has (common practice, no source).
var trade = []struct {
	field, word string
	also        []string
}{
	{"backfield", "gun", []string{"shotgun"}}, {"backfield", "pistol", nil}, {"backfield", "under center", nil},
	{"backfield", "empty", nil},
	{"motion", "none", nil}, {"motion", "jet", nil}, {"motion", "orbit", nil}, {"motion", "across", nil},
	{"coverage", "cover 0", nil}, {"coverage", "cover 1", []string{"man free"}}, {"coverage", "cover 2", nil},
	{"coverage", "cover 3", nil},
	{"coverage", "cover 4", []string{"quarters"}}, {"coverage", "cover 6", nil}, {"coverage", "two-man", nil},
}

// RunConcepts are the concepts that are runs whatever else is tagged: the engine's, but for
// the option, which is a route's too; there a play called a run, without routes, is one.
var RunConcepts = func() (out []string) {
	for _, r := range picture.Runs() {
		if len(entries(r.Concept)) == 0 {
			out = append(out, r.Concept)
		}
	}
	return out
}()

type list []tags.Word

func (l list) has(field, word string) bool {
	return slices.ContainsFunc(l, func(w tags.Word) bool { return w.Field == field && w.Word == word })
}

func (l *list) add(field, word string, also ...string) {
	*l = append(*l, tags.Word{Field: field, Word: word})
	for _, a := range also {
		if a != "" && a != word {
			*l = append(*l, tags.Word{Field: field, Word: a, AliasOf: &word})
		}
	}
}
