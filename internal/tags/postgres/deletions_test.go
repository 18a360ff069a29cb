package postgres_test

import (
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// TestDeleteAndRestoreEverything deletes things of every kind in a random order,
// then restores them: the last first, or in any order, where what cannot come back
// yet says so. Every row is as it was.
func TestDeleteAndRestoreEverything(t *testing.T) {
	d := newDesk(t)
	d.fill("x")
	before := d.rows()
	for seed := range uint64(6) {
		r := rand.New(rand.NewPCG(seed, 3))
		kinds := map[string]int{}
		for range 25 {
			if kind := deletable[r.IntN(len(deletable))]; d.any(r, kind) {
				kinds[kind]++
			}
		}
		left := d.deletions()
		if seed%2 == 1 {
			r.Shuffle(len(left), func(i, j int) { left[i], left[j] = left[j], left[i] })
		}
		rounds := 0
		for ; len(left) > 0; rounds++ {
			var still []tags.Deletion
			for _, x := range left {
				_, err := d.s.By("cleo").Restore(ctx, d.p.ID, x.ID)
				if e := tags.As(err); e != nil && e.Kind == tags.Conflict && strings.Contains(e.Error(), "first") && seed%2 == 1 {
					still = append(still, x)
				} else if err != nil {
					t.Fatalf("seed %d: restoring %s %s: %v", seed, x.Kind, x.What, err)
				}
			}
			if len(still) == len(left) {
				t.Fatalf("seed %d: none of %v can be restored first", seed, still)
			}
			left = still
		}
		t.Logf("seed %d: deleted %v, restored in %d rounds", seed, kinds, rounds)
		if diff := cmp.Diff(before, d.rows()); diff != "" {
			t.Fatalf("seed %d (-before +after):\n%s", seed, diff)
		}
	}
	if n := d.strings(`SELECT count(*)::text FROM deleted_rows`); n[0] != "0" {
		t.Errorf("%s deleted rows stay though all were restored", n[0])
	}
}

// TestEveryKindComesBack: each kind by itself, with versions nobody has seen.
func TestEveryKindComesBack(t *testing.T) {
	d := newDesk(t)
	d.fill("x")
	for _, kind := range deletable {
		if kind == "seasons" { // only one that nothing names can be deleted
			must[tags.Season](t)(d.s.Seasons().Create(ctx, d.p.ID, tags.Season{Label: "empty"}))
		}
		r := rand.New(rand.NewPCG(1, 1))
		before, versions := d.rows(), d.strings(`SELECT id || ' ' || version FROM `+kind+` ORDER BY id`)
		for range 40 {
			if d.any(r, kind) {
				break
			}
		}
		ds := d.deletions()
		if len(ds) != 1 || ds[0].Kind != kind || *ds[0].Who != "ben" || ds[0].What == "" || ds[0].Rows[kind] != 1 {
			t.Fatalf("the deletions of one of %s: %+v", kind, ds)
		}
		if want := map[string]map[string]int{"opponents": {"opponents": 1, "games": 2, "films": 2, "plays": 6, "clips": 6,
			"blind_tags": 6, "plans": 2}, "plays": {"plays": 1}}[kind]; want != nil {
			if diff := cmp.Diff(want, ds[0].Rows); diff != "" {
				t.Errorf("what hung on one of %s (-want +got): %s", kind, diff)
			}
		}
		if _, err := d.s.Restore(ctx, d.p.ID, ds[0].ID); err != nil {
			t.Fatalf("%s: %v", kind, err)
		}
		if diff := cmp.Diff(before, d.rows()); diff != "" {
			t.Errorf("%s (-before +after):\n%s", kind, diff)
		}
		if now := d.strings(`SELECT id || ' ' || version FROM ` + kind + ` ORDER BY id`); cmp.Equal(versions, now) {
			t.Errorf("%s: an ETag of before still fits", kind)
		}
		_, err := d.s.Restore(ctx, d.p.ID, ds[0].ID)
		wantKind(t, kind+" twice", err, tags.NotFound, "deletion")
	}
}

// TestHangsOn holds the list of what hangs on what against the database's keys.
func TestHangsOn(t *testing.T) {
	d := newDesk(t)
	want := map[string]string{}
	for _, line := range d.strings(`
		SELECT c.conrelid::regclass || '.' || a.attname || ' ' || c.confrelid::regclass
		FROM pg_constraint c
		JOIN pg_attribute a ON a.attrelid = c.conrelid AND a.attnum = c.conkey[2]
		WHERE c.contype = 'f' AND c.confdeltype = 'c' AND c.confrelid::regclass::text = ANY($1)`, deletable) {
		column, to, _ := strings.Cut(line, " ")
		want[column] = to
	}
	if diff := cmp.Diff(want, postgres.HangsOn()); diff != "" {
		t.Errorf("what hangs on what (-database +list):\n%s", diff)
	}
}

// TestRestoreRefuses: something stands in its place, or what it belongs to is gone.
func TestRestoreRefuses(t *testing.T) {
	d := newDesk(t)
	s, p := d.s, d.p
	g := game(t, s, p)
	play := func(n int) tags.Play {
		return must[tags.Play](t)(s.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: n, Status: "counted",
			Concept: ptr("smash")}))
	}
	first := play(1)
	restore := func() error {
		_, err := s.Restore(ctx, p.ID, d.deletions()[0].ID)
		return err
	}
	remove := func(kind string, id uuid.UUID, version int64) tags.Deletion {
		t.Helper()
		if err := d.remove(kind, id, version); err != nil {
			t.Fatal(err)
		}
		return d.deletions()[0]
	}
	gone := remove("plays", first.ID, 1)
	second := play(1)
	wantKind(t, "the same number", restore(), tags.Conflict, "number: is taken")
	wantKind(t, "the same number", restore(), tags.Conflict, "play 1, week 1 cannot come back")
	withGame := remove("games", g.ID, 1)
	_, err := s.Restore(ctx, p.ID, gone.ID)
	wantKind(t, "the play of a deleted game", err, tags.Conflict, "restore week 1, Invented opponent first")
	_, err = s.Undo(ctx, p.ID, withGame.ID)
	wantKind(t, "undoing the plays of a deleted game", err, tags.Conflict, "week 1")
	remove("words", uuid.MustParse(d.strings(`SELECT id::text FROM words WHERE word = 'hitch-corner'`)[0]), 1)
	smash := remove("words", uuid.MustParse(d.strings(`SELECT id::text FROM words WHERE word = 'smash'`)[0]), 1)
	_, err = s.Restore(ctx, p.ID, withGame.ID)
	wantKind(t, "a game whose plays use a deleted word", err, tags.Conflict, "smash")
	alias := d.deletions()[1]
	_, err = s.Restore(ctx, p.ID, alias.ID)
	wantKind(t, "an alias of a deleted word", err, tags.Conflict, `no word "smash" anymore`)
	for _, x := range []tags.Deletion{smash, alias, withGame} {
		if _, err := s.Restore(ctx, p.ID, x.ID); err != nil {
			t.Fatalf("%s: %v", x.What, err)
		}
	}
	remove("plays", second.ID, 2)
	for _, x := range []tags.Deletion{gone, d.deletions()[0]} {
		_, err = s.Restore(ctx, p.ID, x.ID)
	}
	wantKind(t, "the second play 1", err, tags.Conflict, "number")
	if _, err := s.Restore(ctx, postgres.NewID(), d.deletions()[0].ID); tags.As(err) == nil ||
		tags.As(err).Kind != tags.NotFound {
		t.Errorf("restored into another program: %v", err)
	}
}

// TestRestoreAfterMerge: a play comes back with the word its own has become, and
// an alias stands for it.
func TestRestoreAfterMerge(t *testing.T) {
	d := newDesk(t)
	g := game(t, d.s, d.p)
	if err := d.s.AddWords(ctx, d.p.ID, []tags.Word{{Field: "concept", Word: "china"}, {Field: "concept", Word: "chn",
		AliasOf: ptr("china")}}); err != nil {
		t.Fatal(err)
	}
	p := must[tags.Play](t)(d.s.Plays().Create(ctx, d.p.ID, tags.Play{GameID: g.ID, Number: 1, Status: "counted",
		Concept: ptr("chn")}))
	if err := d.remove("plays", p.ID, 1); err != nil {
		t.Fatal(err)
	}
	if err := d.remove("words", uuid.MustParse(d.strings(`SELECT id::text FROM words WHERE word = 'chn'`)[0]),
		1); err != nil {
		t.Fatal(err)
	}
	m := must[tags.Merge](t)(d.s.MergeWords(ctx, d.p.ID, "concept", "china", "smash"))
	for _, x := range d.deletions() {
		must[tags.Deletion](t)(d.s.Restore(ctx, d.p.ID, x.ID))
	}
	now := must[tags.Play](t)(d.s.Plays().Get(ctx, d.p.ID, p.ID))
	if *now.Concept != "smash" {
		t.Errorf("the play came back with %q; want smash", *now.Concept)
	}
	if of := d.strings(`SELECT alias_of FROM words WHERE word = 'chn'`)[0]; of != "smash" {
		t.Errorf("chn stands for %s; want smash", of)
	}
	h := must[[]tags.PlayChange](t)(d.s.History(ctx, d.p.ID, p.ID, 9, 0))
	if len(h) != 4 || h[0].How != "merge" || h[0].ChangeID != m.ID || h[1].How != "restore" ||
		*h[1].After.Concept != "china" || h[2].After != nil || *h[2].Who != "ben" {
		t.Errorf("the history of a restored play: %+v", h)
	}
	if ms := must[[]tags.Merge](t)(d.s.Merges(ctx, d.p.ID, 9)); ms[0].Plays != 1 {
		t.Errorf("the merge counts %d plays; want the one that came back", ms[0].Plays)
	}
	// Undone, the merge finds it; and it finds the undoing when it was away.
	must[[]tags.PlayChange](t)(d.s.Undo(ctx, d.p.ID, m.ID))
	concept := func() string {
		return *must[tags.Play](t)(d.s.Plays().Get(ctx, d.p.ID, p.ID)).Concept
	}
	if now := concept(); now != "china" {
		t.Errorf("after undoing the merge: %s; want china", now)
	}
	m = must[tags.Merge](t)(d.s.MergeWords(ctx, d.p.ID, "concept", "china", "smash"))
	now = must[tags.Play](t)(d.s.Plays().Get(ctx, d.p.ID, p.ID))
	if err := d.remove("plays", p.ID, now.Version); err != nil {
		t.Fatal(err)
	}
	must[[]tags.PlayChange](t)(d.s.Undo(ctx, d.p.ID, m.ID))
	must[tags.Deletion](t)(d.s.Restore(ctx, d.p.ID, d.deletions()[0].ID))
	if now := concept(); now != "china" {
		t.Errorf("away while the merge was undone, it came back with %s; want china", now)
	}
}

// TestRestoreFromBefore: a row that was deleted before its table got a column takes
// the column's default.
func TestRestoreFromBefore(t *testing.T) {
	d := newDesk(t)
	g := game(t, d.s, d.p)
	p := must[tags.Play](t)(d.s.Plays().Create(ctx, d.p.ID, tags.Play{GameID: g.ID, Number: 1, Status: "counted",
		Down: ptr(3), Touchdown: true}))
	if err := d.remove("plays", p.ID, 1); err != nil {
		t.Fatal(err)
	}
	d.strings(`UPDATE deleted_rows SET kept = kept - 'touchdown' - 'since_last' - 'pressured' RETURNING kind`)
	must[tags.Deletion](t)(d.s.Restore(ctx, d.p.ID, d.deletions()[0].ID))
	if now := must[tags.Play](t)(d.s.Plays().Get(ctx, d.p.ID, p.ID)); now.Touchdown || *now.Down != 3 {
		t.Errorf("restored: %+v; want the default in a column of later", now)
	}
}

// TestUndoAndDeletions: undoing a deletion restores it, undoing a creation deletes.
func TestUndoAndDeletions(t *testing.T) {
	d := newDesk(t)
	d.fill("x")
	r := rand.New(rand.NewPCG(5, 5))
	before := d.rows()
	d.any(r, "plays")
	del := d.deletions()[0]
	if cs := must[[]tags.PlayChange](t)(d.s.Undo(ctx, d.p.ID, del.ID)); len(cs) != 1 || cs[0].How != "undo" {
		t.Errorf("undoing a deletion: %+v", cs)
	}
	if diff := cmp.Diff(before, d.rows()); diff != "" || len(d.deletions()) != 0 {
		t.Errorf("after undoing a deletion %v stays (-before +after):\n%s", d.deletions(), diff)
	}
	_, err := d.s.Undo(ctx, d.p.ID, del.ID)
	wantKind(t, "undoing it twice", err, tags.Conflict, "there again")
	g := must[tags.Game](t)(d.s.EnsureGame(ctx, d.p.ID, tags.Opponent{Code: "o9", Name: "Invented"}, "2031",
		tags.Game{Label: "loaded"}))
	load := func(down int) uuid.UUID {
		must[postgres.Loaded](t)(d.s.LoadPlays(ctx, d.p.ID, []tags.Play{{GameID: g.ID, OpponentID: g.OpponentID, Number: 1,
			Status: "counted", Down: &down},
			{GameID: g.ID, OpponentID: g.OpponentID, Number: down, Status: "counted"}}))
		return uuid.MustParse(d.strings(`SELECT change_id::text FROM play_changes ORDER BY id DESC LIMIT 1`)[0])
	}
	load(2)
	second := load(3) // changes play 1, makes play 3
	after := d.rows()
	undone := must[[]tags.PlayChange](t)(d.s.Undo(ctx, d.p.ID, second))
	if ds := d.deletions(); len(ds) != 1 || ds[0].ID != undone[0].ChangeID || ds[0].What != "play 3, loaded" {
		t.Fatalf("deletions after undoing a load: %+v", ds)
	}
	if back := must[[]tags.PlayChange](t)(d.s.Undo(ctx, d.p.ID, undone[0].ChangeID)); len(back) != 2 {
		t.Errorf("undoing the undo changed %d plays; want 2", len(back))
	}
	if diff := cmp.Diff(after, d.rows()); diff != "" {
		t.Errorf("after undoing the undo (-before +after):\n%s", diff)
	}
	// A deletion that was restored, and the play deleted again: the first is no way back.
	play := must[[]tags.Play](t)(d.s.Plays().List(ctx, d.p.ID, postgres.Page{Limit: 1,
		Filters: map[string]string{"game_id": g.ID.String()}}))[0]
	if err := d.remove("plays", play.ID, play.Version); err != nil {
		t.Fatal(err)
	}
	first := must[tags.Deletion](t)(d.s.Restore(ctx, d.p.ID, d.deletions()[0].ID))
	if err := d.remove("plays", play.ID, play.Version+1); err != nil {
		t.Fatal(err)
	}
	_, err = d.s.Undo(ctx, d.p.ID, first.ID)
	wantKind(t, "undoing an older deletion", err, tags.Conflict, "deleted again since")
}

// TestPurge: after it no table has a trace of what was deleted, and nothing else
// has changed.
func TestPurge(t *testing.T) {
	const mark = "zzmarkerzz"
	d := newDesk(t)
	d.fill("x")
	rest := func() map[string][]string {
		out := map[string][]string{}
		for _, table := range d.tables() {
			if table == "touched_games" { // every write adds to it; it says which game, and nothing of it
				continue
			}
			out[table] = d.strings(`SELECT t::text FROM ` + table + ` t ORDER BY 1`)
		}
		return out
	}
	before := rest()
	d.fill(mark)
	must[tags.Merge](t)(d.s.MergeWords(ctx, d.p.ID, "concept", "smash "+mark, "smash x"))
	ids := func(kind, where string) (out []uuid.UUID) {
		for _, x := range d.strings(`SELECT id::text FROM ` + kind + ` t WHERE t::text LIKE '%` + mark + `%' AND ` + where +
			` ORDER BY id`) {
			out = append(out, uuid.MustParse(x))
		}
		return out
	}
	del := func(kind string, id uuid.UUID) {
		t.Helper()
		var version int64
		if err := d.c.QueryRow(ctx, `SELECT version FROM `+kind+` WHERE id = $1`, id).Scan(&version); err != nil {
			t.Fatal(err)
		}
		if err := d.remove(kind, id, version); err != nil {
			t.Fatal(err)
		}
	}
	del("plays", ids("plays", "true")[0]) // goes before its game, and can be restored no more once that is purged
	del("clips", ids("clips", "play_id IS NULL")[0])
	for _, kind := range []string{"opponents", "seasons", "calls", "words"} {
		for _, id := range ids(kind, "true") {
			del(kind, id)
		}
	}
	traces := func() (out []string) {
		for _, table := range d.tables() {
			for _, row := range d.strings(`SELECT t::text FROM ` + table + ` t WHERE t::text LIKE '%` + mark + `%'`) {
				out = append(out, table+": "+row)
			}
		}
		return out
	}
	if len(traces()) < 20 {
		t.Fatalf("only %d rows have the mark before the purge", len(traces()))
	}
	_, err := d.s.PurgeOlder(ctx, d.p.ID, time.Now().Add(-time.Hour))
	if len(d.deletions()) != 10 || err != nil {
		t.Fatalf("purging what is older than an hour: %d deletions left, %v; want all 10", len(d.deletions()), err)
	}
	for _, x := range d.deletions() {
		if x.Kind == "opponents" {
			must[int](t)(d.s.Purge(ctx, d.p.ID, x.ID))
		}
	}
	if ds := d.deletions(); len(ds) != 6 {
		t.Errorf("after purging the opponents %d deletions are left; want the season, the call and 4 words: %+v", len(ds), ds)
	}
	if n := must[int](t)(d.s.PurgeOlder(ctx, d.p.ID, time.Now().Add(time.Hour))); n != 6 {
		t.Errorf("purged %d; want 6", n)
	}
	if left := traces(); len(left) > 0 {
		t.Errorf("after the purge:\n%s", strings.Join(left, "\n"))
	}
	if diff := cmp.Diff(before, rest()); diff != "" {
		t.Errorf("the rest (-before +after):\n%s", diff)
	}
	// What a hand at the database deleted goes by its age as well, with its history.
	d.fill(mark)
	if _, err := d.c.Exec(ctx, `DELETE FROM opponents WHERE code LIKE '%`+mark+`'`); err != nil {
		t.Fatal(err)
	}
	history := func() string {
		return d.strings(`SELECT count(*)::text FROM play_changes c WHERE NOT EXISTS (SELECT FROM plays p WHERE p.id = ` +
			`c.play_id)`)[0]
	}
	for _, x := range []struct {
		than time.Duration
		left string
	}{{-time.Hour, "24"}, {time.Hour, "0"}} {
		must[int](t)(d.s.PurgeOlder(ctx, d.p.ID, time.Now().Add(x.than)))
		if n := history(); n != x.left {
			t.Errorf("purging what is older than %v from now: %s changes of plays that are gone stay, want %s", x.than, n,
				x.left)
		}
	}
	_, err = d.s.Purge(ctx, d.p.ID, uuid.New())
	wantKind(t, "purging nothing", err, tags.NotFound, "deletion")
}

// TestUndoMergeOfDeletedWord: a merge whose word was deleted since is undone once
// the word is restored.
func TestUndoMergeOfDeletedWord(t *testing.T) {
	d := newDesk(t)
	g := game(t, d.s, d.p)
	if err := d.s.AddWords(ctx, d.p.ID, []tags.Word{{Field: "concept", Word: "china"}}); err != nil {
		t.Fatal(err)
	}
	p := must[tags.Play](t)(d.s.Plays().Create(ctx, d.p.ID, tags.Play{GameID: g.ID, Number: 1, Status: "counted",
		Concept: ptr("china")}))
	m := must[tags.Merge](t)(d.s.MergeWords(ctx, d.p.ID, "concept", "china", "smash"))
	if err := d.remove("words", uuid.MustParse(d.strings(`SELECT id::text FROM words WHERE word = 'china'`)[0]),
		2); err != nil {
		t.Fatal(err)
	}
	_, err := d.s.Undo(ctx, d.p.ID, m.ID)
	wantKind(t, "undoing a merge of a deleted word", err, tags.Conflict, `no word "china" anymore: restore it first`)
	must[tags.Deletion](t)(d.s.Restore(ctx, d.p.ID, d.deletions()[0].ID))
	must[[]tags.PlayChange](t)(d.s.Undo(ctx, d.p.ID, m.ID))
	if now := must[tags.Play](t)(d.s.Plays().Get(ctx, d.p.ID, p.ID)); *now.Concept != "china" {
		t.Errorf("after undoing the merge the play has %q; want china", *now.Concept)
	}
	if of := d.strings(`SELECT coalesce(alias_of, 'itself') FROM words WHERE word = 'china'`)[0]; of != "itself" {
		t.Errorf("china stands for %s; want itself", of)
	}
}
