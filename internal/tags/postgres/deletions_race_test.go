package postgres_test

import (
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/uuid"

	"overhang/internal/tags"
)

// TestNothingLostBetween: a game is deleted and restored while others tag it. Every
// play that was answered is there in the end, and what was refused is not.
func TestNothingLostBetween(t *testing.T) {
	d := newDesk(t)
	g := game(t, d.s, d.p)
	var stored sync.Map
	var refused, deletions atomic.Int64
	var taggers, coordinator sync.WaitGroup
	done := make(chan struct{})
	coordinator.Go(func() {
		for version := int64(1); ; version++ {
			if err := d.remove("games", g.ID, version); err != nil {
				t.Errorf("deleting: %v", err)
				return
			}
			ds, err := d.s.Deletions(ctx, d.p.ID, 9, uuid.Nil)
			if err != nil || len(ds) != 1 {
				t.Errorf("deletions: %v, %v", ds, err)
				return
			}
			if _, err := d.s.Restore(ctx, d.p.ID, ds[0].ID); err != nil {
				t.Errorf("restoring: %v", err)
				return
			}
			deletions.Add(1)
			time.Sleep(20 * time.Millisecond) // somebody has to tag something
			select {
			case <-done:
				return
			default:
			}
		}
	})
	for k := range 4 {
		taggers.Go(func() {
			for i := 0; i < 40; {
				n := k*40 + i + 1
				p, err := d.s.Plays().Create(ctx, d.p.ID, tags.Play{GameID: g.ID, Number: n, Status: "counted",
					Concept: ptr("smash"), Note: ptr(fmt.Sprint(n))})
				switch e := tags.As(err); {
				case err == nil:
					stored.Store(p.ID.String(), n)
					i++
				case e != nil && (e.Kind == tags.Invalid || e.Kind == tags.Unavailable):
					refused.Add(1) // no such game, just then
					time.Sleep(5 * time.Millisecond)
				default:
					t.Errorf("play %d: %v", n, err)
					return
				}
			}
		})
	}
	taggers.Wait()
	close(done)
	coordinator.Wait()
	there := map[string]bool{}
	for _, id := range d.strings(`SELECT id::text FROM plays`) {
		there[id] = true
	}
	n := 0
	stored.Range(func(id, number any) bool {
		n++
		if !there[id.(string)] {
			t.Errorf("play %d was answered and is gone", number)
		}
		return true
	})
	if n != len(there) || n != 160 {
		t.Errorf("%d plays were answered, %d are there", n, len(there))
	}
	t.Logf("%d plays stored, %d refused, the game deleted and restored %d times meanwhile", n, refused.Load(),
		deletions.Load())
}

// TestRestoreOrPurge: of a restore and a purge at the same time one happens, whole.
func TestRestoreOrPurge(t *testing.T) {
	d := newDesk(t)
	g := game(t, d.s, d.p)
	for n := range 20 {
		p := must[tags.Play](t)(d.s.Plays().Create(ctx, d.p.ID, tags.Play{GameID: g.ID, Number: n + 1, Status: "counted"}))
		if err := d.remove("plays", p.ID, 1); err != nil {
			t.Fatal(err)
		}
		id := d.deletions()[0].ID
		var restored, purged error
		var both sync.WaitGroup
		both.Go(func() { _, restored = d.s.Restore(ctx, d.p.ID, id) })
		both.Go(func() { _, purged = d.s.Purge(ctx, d.p.ID, id) })
		both.Wait()
		_, there := d.s.Plays().Get(ctx, d.p.ID, p.ID)
		_, history := d.s.History(ctx, d.p.ID, p.ID, 9, 0)
		switch {
		case (restored == nil) == (purged == nil):
			t.Errorf("play %d: restored %v, purged %v; want one of them", n+1, restored, purged)
		case (restored == nil) != (there == nil), (restored == nil) != (history == nil):
			t.Errorf("play %d: restored %v, but the play %v and its history %v", n+1, restored, there, history)
		}
	}
}

// TestKeyAfterPurge: a key answers for what was deleted, and for nothing once that
// is purged.
func TestKeyAfterPurge(t *testing.T) {
	d := newDesk(t)
	create := func() tags.Opponent {
		return must[tags.Opponent](t)(d.s.Opponents().CreateOnce(ctx, d.p.ID, "k", tags.Opponent{Code: "o", Name: "x"}))
	}
	first := create()
	if err := d.remove("opponents", first.ID, 1); err != nil {
		t.Fatal(err)
	}
	if again := create(); again.ID != first.ID {
		t.Error("the repeat of a create made another opponent")
	}
	must[int](t)(d.s.Purge(ctx, d.p.ID, d.deletions()[0].ID))
	if again := create(); again.ID == first.ID {
		t.Error("the answer of a purged opponent is still given")
	}
}
