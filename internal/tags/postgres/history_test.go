package postgres_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

func wantKind(t *testing.T, name string, err error, k tags.Kind, says string) {
	t.Helper()
	if e := tags.As(err); e == nil || e.Kind != k || !strings.Contains(e.Error(), says) {
		t.Errorf("%s: %v; want kind %v saying %q", name, err, k, says)
	}
}

// TestHistoryAndUndo follows one play through making, changing, removing, and back.
func TestHistoryAndUndo(t *testing.T) {
	s, p := postgrestest.New(t)
	g := game(t, s, p)
	ana, ben := s.By("ana"), s.By("ben")
	made, err := ana.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: 1, Status: "counted", Down: ptr(3),
		Concept: ptr("smash"),
		Routes:  []tags.Route{{Side: "left", Number: 1, Eligible: "receiver", Route: "hitch", BreakDepthYd: ptr(5.5)}}})
	if err != nil {
		t.Fatal(err)
	}
	next := made
	next.Down, next.GainYd = ptr(2), ptr(7)
	changed, err := ben.Plays().Replace(ctx, p.ID, made.ID, 1, next)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Plays().Remove(ctx, p.ID, made.ID, 2); err != nil {
		t.Fatal(err)
	}
	h, err := s.History(ctx, p.ID, made.ID, 10, 0)
	if err != nil || len(h) != 3 {
		t.Fatalf("history: %d changes, %v; want 3", len(h), err)
	}
	if h[0].After != nil || h[0].Who != nil || *h[1].Who != "ben" || *h[2].Who != "ana" || h[2].Before != nil {
		t.Errorf("history, the latest first: %+v", h)
	}
	if d := cmp.Diff([]string{"down", "gain_yd"}, h[1].Fields); d != "" {
		t.Errorf("fields that differ: %s", d)
	}
	if d := cmp.Diff(made, *h[1].Before); d != "" {
		t.Errorf("before (-as it was stored +as history has it): %s", d)
	}
	if d := cmp.Diff(changed, *h[1].After); d != "" {
		t.Errorf("after (-as it was stored +as history has it): %s", d)
	}
	_, err = s.Undo(ctx, p.ID, h[1].ChangeID)
	wantKind(t, "undoing a change under a removal", err, tags.Conflict, "removed since")
	back, err := s.By("cleo").Undo(ctx, p.ID, h[0].ChangeID)
	if err != nil || len(back) != 1 || back[0].How != "undo" || *back[0].Who != "cleo" {
		t.Fatalf("undoing a removal: %+v, %v", back, err)
	}
	now, err := s.Plays().Get(ctx, p.ID, made.ID)
	if err != nil || now.Version != 3 || *now.GainYd != 7 {
		t.Errorf("after undoing the removal: %+v, %v; want the play with a version nobody has seen", now, err)
	}
	// The change itself left version 2, the play is at 3 now: somebody might have
	// seen that, so the older change is not undone past it.
	_, err = s.Undo(ctx, p.ID, h[1].ChangeID)
	wantKind(t, "undoing past a later change", err, tags.Conflict, "play 1")
	// Undoing the undo removes it again, and undoing that brings it back.
	if _, err = s.Undo(ctx, p.ID, back[0].ChangeID); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Plays().Get(ctx, p.ID, made.ID); tags.As(err) == nil {
		t.Errorf("after undoing the undo of a removal: %v; want NotFound", err)
	}
	_, err = s.Undo(ctx, p.ID, uuid.New())
	wantKind(t, "undoing nothing", err, tags.NotFound, "change")
	_, err = s.History(ctx, p.ID, uuid.New(), 10, 0)
	wantKind(t, "history of nothing", err, tags.NotFound, "play")
	if page, err := s.History(ctx, p.ID, made.ID, 2, h[0].ID); err != nil || len(page) != 2 || page[0].ID != h[1].ID {
		t.Errorf("a page of history: %v, %v", page, err)
	}
}

// TestEveryWayIsRecorded: loads, cascades and a hand at the database leave history
// as well; a program takes its history along.
func TestEveryWayIsRecorded(t *testing.T) {
	address := postgrestest.URL(t)
	s := opened(t, address)
	p, err := s.EnsureProgram(ctx, tags.Program{Code: "ours", Name: "x", Level: "college"})
	if err != nil {
		t.Fatal(err)
	}
	g := game(t, s, p)
	if _, err := s.By("ana").LoadPlays(ctx, p.ID, []tags.Play{{GameID: g.ID, OpponentID: g.OpponentID, Number: 1,
		Status: "counted"}, {GameID: g.ID, OpponentID: g.OpponentID, Number: 2, Status: "counted"}}); err != nil {
		t.Fatal(err)
	}
	c, err := pgx.Connect(ctx, address)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close(ctx)
	count := func(what string) (n int) {
		if err := c.QueryRow(ctx, "SELECT count(*) FROM play_changes WHERE "+what).Scan(&n); err != nil {
			t.Fatal(err)
		}
		return n
	}
	if n := count("how = 'load' AND who = 'ana' AND before IS NULL"); n != 2 {
		t.Errorf("%d of 2 loaded plays are in the history", n)
	}
	if n := count("true"); n != 2 {
		t.Errorf("loading left %d changes; want 2", n)
	}
	if _, err := c.Exec(ctx, "UPDATE plays SET down = 1 WHERE number = 1"); err != nil {
		t.Fatal(err)
	}
	if n := count("how = 'edit' AND who IS NULL AND after->>'down' = '1'"); n != 1 {
		t.Errorf("%d changes by a hand at the database; want 1", n)
	}
	if err := s.Games().Remove(ctx, p.ID, g.ID, 1); err != nil {
		t.Fatal(err)
	}
	if n := count("after IS NULL"); n != 2 {
		t.Errorf("%d of 2 plays that went with their game are in the history", n)
	}
	for _, gone := range []string{"DELETE FROM words WHERE alias_of IS NOT NULL", "DELETE FROM programs"} {
		if _, err := c.Exec(ctx, gone); err != nil {
			t.Fatalf("%s: %v", gone, err)
		}
	}
	if n := count("true"); n != 0 {
		t.Errorf("%d changes outlive their program", n)
	}
}

// TestOnce: draft-ietf-httpapi-idempotency-key-header-07 (published.md, SEEN): the
// same key and request give the stored result, another request under it is refused.
func TestOnce(t *testing.T) {
	s, p := postgrestest.New(t)
	g := game(t, s, p)
	play := tags.Play{GameID: g.ID, Number: 1, Status: "counted", Concept: ptr("smash")}
	var wg sync.WaitGroup
	ids := make([]tags.Play, 20)
	for i := range ids {
		wg.Go(func() {
			var err error
			if ids[i], err = s.Plays().CreateOnce(ctx, p.ID, "k1", play); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	for _, x := range ids[1:] {
		if d := cmp.Diff(ids[0], x); d != "" {
			t.Errorf("the same key gave two answers: %s", d)
		}
	}
	other := play
	other.Down = ptr(1)
	_, err := s.Plays().CreateOnce(ctx, p.ID, "k1", other)
	wantKind(t, "the key with another play", err, tags.Invalid, "already used")
	_, err = s.Opponents().CreateOnce(ctx, p.ID, "k1", tags.Opponent{Code: "o2", Name: "x"})
	wantKind(t, "the key with another noun", err, tags.Invalid, "already used")
	if _, err = s.By("ana").Opponents().CreateOnce(ctx, p.ID, "k1", tags.Opponent{Code: "o2", Name: "x"}); err != nil {
		t.Errorf("somebody else's key of the same name: %v", err)
	}
	// What failed is not an answer: mended, it may be sent under the same key.
	_, err = s.Opponents().CreateOnce(ctx, p.ID, "k2", tags.Opponent{Code: "o2", Name: "x"})
	wantKind(t, "a create that cannot be", err, tags.Conflict, "code")
	if _, err = s.Opponents().CreateOnce(ctx, p.ID, "k2", tags.Opponent{Code: "o3", Name: "x"}); err != nil {
		t.Errorf("the key of a create that failed: %v", err)
	}
	if ps, _ := s.Plays().List(ctx, p.ID, postgres.Page{Limit: 9}); len(ps) != 1 {
		t.Errorf("%d plays; want 1", len(ps))
	}
}

func patch(t *testing.T, s string) (out tags.Patch) {
	t.Helper()
	if err := json.Unmarshal([]byte(s), &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// TestBulkEdit: looked at first, applied to what was looked at, all or nothing.
func TestBulkEdit(t *testing.T) {
	s, p := postgrestest.New(t)
	g := game(t, s, p)
	for i := range 4 {
		if _, err := s.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: i + 1, Status: "counted", Down: ptr(i%2 + 1),
			Motion: nil, Concept: ptr("smash")}); err != nil {
			t.Fatal(err)
		}
	}
	e := tags.PlayEdit{Where: map[string]string{"game_id": g.ID.String(), "down": "1"},
		Set: patch(t, `{"called":"pass","concept":null,"set_name":"2X2"}`)}
	look, err := s.EditPlays(ctx, p.ID, e)
	if err != nil || look.Applied || len(look.Items) != 2 || look.Items[0].Number != 1 || look.Items[1].Number != 3 {
		t.Fatalf("looking at an edit: %+v, %v; want plays 1 and 3", look, err)
	}
	want := map[string]tags.Difference{"called": {After: "pass"}, "concept": {Before: "smash"}, "set_name": {After: "2x2"}}
	if d := cmp.Diff(want, look.Items[0].Changes); d != "" {
		t.Errorf("what it would change (-want +got): %s", d)
	}
	e.Where, e.Apply = nil, true
	for _, x := range look.Items {
		e.Plays = append(e.Plays, x.PlaySeen)
	}
	touched, err := s.Plays().Get(ctx, p.ID, look.Items[1].ID)
	if err != nil || touched.Version != 1 || touched.Concept == nil {
		t.Fatalf("looking changed a play: %+v, %v", touched, err)
	}
	touched.Note = ptr("somebody was faster")
	if _, err := s.Plays().Replace(ctx, p.ID, touched.ID, 1, touched); err != nil {
		t.Fatal(err)
	}
	_, err = s.EditPlays(ctx, p.ID, e)
	wantKind(t, "an edit of what was changed since", err, tags.Stale, "play 3")
	if e := tags.As(err); e == nil || !strings.Contains(fmt.Sprint(e.Current), "somebody was faster") && e.Current == nil {
		t.Errorf("a stale edit does not carry the plays as they are: %v", err)
	}
	if first, _ := s.Plays().Get(ctx, p.ID, look.Items[0].ID); first.Version != 1 {
		t.Error("a stale edit changed one of its plays")
	}
	e.Plays[1].Version = 2
	done, err := s.By("ana").EditPlays(ctx, p.ID, e)
	if err != nil || !done.Applied || done.ChangeID == nil || len(done.Items) != 2 {
		t.Fatalf("applying: %+v, %v", done, err)
	}
	if x, _ := s.Plays().Get(ctx, p.ID, touched.ID); x.Concept != nil || *x.SetName != "2x2" ||
		*x.Note != "somebody was faster" || x.Version != 3 {
		t.Errorf("after the edit: %+v", x)
	}
	back, err := s.Undo(ctx, p.ID, *done.ChangeID)
	if err != nil || len(back) != 2 {
		t.Fatalf("undoing the edit: %d plays, %v; want 2", len(back), err)
	}
	if x, _ := s.Plays().Get(ctx, p.ID, touched.ID); x.Concept == nil || x.SetName != nil ||
		*x.Note != "somebody was faster" {
		t.Errorf("after undoing the edit: %+v", x)
	}
	for set, says := range map[string]string{`{}`: "set", `{"number":3}`: "set.number", `{"down":9}`: "down",
		`{"concept":"smahs"}`: "smash", `{"mood":"x"}`: "set.mood", `{"family":"run","called":"pass"}`: "family"} {
		_, err := s.EditPlays(ctx, p.ID, tags.PlayEdit{Where: map[string]string{"game_id": g.ID.String()},
			Set: patch(t, set)})
		wantKind(t, "set "+set, err, tags.Invalid, says)
	}
	_, err = s.EditPlays(ctx, p.ID, tags.PlayEdit{Where: map[string]string{"game_id": g.ID.String()},
		Set: patch(t, `{"down":1}`), Apply: true})
	wantKind(t, "applying without having looked", err, tags.Invalid, "plays")
}

// TestMerge: statistics follow, history is kept, and it can be taken back.
func TestMerge(t *testing.T) {
	s, p := postgrestest.New(t)
	g := game(t, s, p)
	route := func(w string) []tags.Route {
		return []tags.Route{{Side: "left", Number: 1, Eligible: "receiver", Route: "hitch"}, {Side: "left", Number: 2,
			Eligible: "receiver", Route: w, BreakDepthYd: ptr(12.5), Targeted: true}}
	}
	if err := s.AddWords(ctx, p.ID, []tags.Word{{Field: "concept", Word: "china"}, {Field: "concept", Word: "chn",
		AliasOf: ptr("china")}, {Field: "route", Word: "flag"}}); err != nil {
		t.Fatal(err)
	}
	for i, w := range []string{"smash", "chn", "china"} {
		if _, err := s.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: i + 1, Status: "counted", Concept: &w,
			Routes: route("flag"), TargetRoute: ptr("flag")}); err != nil {
			t.Fatal(err)
		}
	}
	counts := func() string {
		ten, err := s.Tendencies(ctx, p, tags.TendencyQuery{By: []string{"concept"}})
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, c := range ten.Cells {
			out = append(out, fmt.Sprint(*c.Keys[0], " ", c.Plays))
		}
		return strings.Join(out, ", ")
	}
	if got := counts(); got != "china 2, smash 1" {
		t.Fatalf("before the merge: %s", got)
	}
	for _, tt := range []struct{ field, word, into, says string }{
		{"concept", "china", "China", "itself"}, {"concept", "chn", "smash", "alias of \"china\""},
		{"concept", "china", "hitch-corner", "alias of \"smash\""},
		{"concept", "nothing", "smash", "no word"}, {"mood", "china", "smash", "no word"}, {"concept", "\x00", "smash",
			"NUL"}} {
		_, err := s.MergeWords(ctx, p.ID, tt.field, tt.word, tt.into)
		wantKind(t, tt.word+" into "+tt.into, err, tags.Invalid, tt.says)
	}
	film, err := s.Films().Create(ctx, p.ID, tags.Film{GameID: g.ID, Location: "/films/a.mp4"})
	if err != nil {
		t.Fatal(err)
	}
	clip, err := s.Clips().Create(ctx, p.ID, tags.Clip{FilmID: film.ID, StartS: 1, EndS: 9})
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range []string{"china", "smash"} {
		if _, err := s.BlindTags().Create(ctx, p.ID, tags.BlindTag{ClipID: clip.ID, Analyst: w,
			Tags: tags.Seen{Play: tags.Play{Concept: &w}}}); err != nil {
			t.Fatal(err)
		}
	}
	m, err := s.By("owner").MergeWords(ctx, p.ID, "concept", "china", "smash")
	if err != nil || m.Plays != 2 || len(m.Aliases) != 1 || *m.Who != "owner" {
		t.Fatalf("merge: %+v, %v; want 2 plays and the alias", m, err)
	}
	if got := counts(); got != "smash 3" {
		t.Errorf("after the merge: %s; want all three under smash", got)
	}
	bs, err := s.Sightings(ctx, p.ID, g.ID, uuid.Nil)
	if err != nil || len(bs) != 2 || *bs[0].Tags.Concept != "smash" || *bs[1].Tags.Concept != "smash" {
		t.Errorf("what two analysts saw before the merge: %+v, %v; want both to have seen smash", bs, err)
	}
	ps, _ := s.GamePlays(ctx, p.ID, g.ID)
	h, err := s.History(ctx, p.ID, ps[1].ID, 9, 0)
	if err != nil || len(h) != 2 || h[0].How != "merge" || *h[0].Before.Concept != "china" || *h[0].Who != "owner" {
		t.Errorf("history of a play that followed: %+v, %v", h, err)
	}
	if x, err := s.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: 4, Status: "counted",
		Concept: ptr("chn")}); err != nil || *x.Concept != "smash" {
		t.Errorf("the old alias now means %+v, %v; want smash", x.Concept, err)
	}
	touched := ps[1]
	touched.Note = ptr("changed since the merge")
	if _, err := s.Plays().Replace(ctx, p.ID, touched.ID, touched.Version, touched); err != nil {
		t.Fatal(err)
	}
	if back, err := s.Undo(ctx, p.ID, m.ID); err != nil || len(back) != 2 {
		t.Fatalf("undoing a merge: %d plays, %v; want 2", len(back), err)
	}
	if x, err := s.Plays().Get(ctx, p.ID, touched.ID); err != nil || *x.Concept != "china" || x.Note == nil {
		t.Errorf("a play changed between a merge and its undoing: %+v, %v; want its word back and the note kept", x, err)
	}
	if got := counts(); got != "china 2, smash 2" {
		t.Errorf("after undoing the merge: %s; want china's two back, and the later play under smash", got)
	}
	v, _ := s.Vocabulary(ctx, p.ID)
	if w, _ := v.Lookup("concept", "chn"); w != "china" {
		t.Errorf("after undoing the merge chn means %q; want china", w)
	}
	if ms, err := s.Merges(ctx, p.ID, 9); err != nil || len(ms) != 1 || ms[0].UndoneAt == nil {
		t.Errorf("merges: %+v, %v; want the one, undone", ms, err)
	}
	if m, err = s.MergeWords(ctx, p.ID, "route", "flag", "corner"); err != nil || m.Plays != 3 {
		t.Fatalf("merging routes: %+v, %v", m, err)
	}
	ps, _ = s.GamePlays(ctx, p.ID, g.ID)
	if d := cmp.Diff(route("corner"), ps[0].Routes); d != "" || *ps[0].TargetRoute != "corner" {
		t.Errorf("routes after the merge (-want +got): %s, target %s", d, *ps[0].TargetRoute)
	}
	if _, err := s.Undo(ctx, p.ID, m.ID); err != nil {
		t.Fatal(err)
	}
	ps, _ = s.GamePlays(ctx, p.ID, g.ID)
	if d := cmp.Diff(route("flag"), ps[0].Routes); d != "" || *ps[0].TargetRoute != "flag" {
		t.Errorf("routes after undoing the merge (-want +got): %s, target %s", d, *ps[0].TargetRoute)
	}
}

// TestQueue: a program may take unknown words in and look at them later.
func TestQueue(t *testing.T) {
	s, p := postgrestest.New(t)
	g := game(t, s, p)
	p.Settings.NewWords = "queue"
	p, err := s.ReplaceProgram(ctx, p.Code, p.Version, p)
	if err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	for i, w := range []string{"Mesh", "mesh", " mesh", "MESH"} {
		wg.Go(func() {
			if _, err := s.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: i + 1, Status: "counted",
				Concept: &w}); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	queue, err := s.Words().List(ctx, p.ID, postgres.Page{Limit: 9, Filters: map[string]string{"pending": "true"}})
	if err != nil || len(queue) != 1 {
		t.Fatalf("queue %+v, %v; want one word, however it was written", queue, err)
	}
	ten, err := s.Tendencies(ctx, p, tags.TendencyQuery{By: []string{"concept"}})
	if err != nil || len(ten.Cells) != 1 || ten.Cells[0].Plays != 4 {
		t.Errorf("a queued word in four spellings counts as %+v, %v; want one cell of 4", ten.Cells, err)
	}
	if w, err := s.Words().Replace(ctx, p.ID, queue[0].ID, queue[0].Version, tags.Word{Field: "concept",
		Word: queue[0].Word}); err != nil || w.Pending {
		t.Errorf("accepting a queued word: %+v, %v", w, err)
	}
}

// TestBehindTheWall: history, keys, edits and merges work on a store that sees one
// program only, and show nothing of another's.
func TestBehindTheWall(t *testing.T) {
	s, p := postgrestest.New(t)
	g := game(t, s, p)
	other, err := s.EnsureProgram(ctx, tags.Program{Code: "theirs", Name: "x", Level: "college"})
	if err != nil {
		t.Fatal(err)
	}
	w, err := s.Walled(ctx)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(w.Close)
	ours, theirs := postgres.InProgram(ctx, p.ID), postgres.InProgram(ctx, other.ID)
	play := tags.Play{GameID: g.ID, Number: 1, Status: "counted", Concept: ptr("smash")}
	made, err := w.By("ana").Plays().CreateOnce(ours, p.ID, "k", play)
	if err != nil {
		t.Fatal(err)
	}
	if again, err := w.By("ana").Plays().CreateOnce(ours, p.ID, "k", play); err != nil || again.ID != made.ID {
		t.Errorf("repeated: %+v, %v", again, err)
	}
	done, err := w.EditPlays(ours, p.ID, tags.PlayEdit{Plays: []tags.PlaySeen{{ID: made.ID, Version: 1}},
		Set: patch(t, `{"down":2}`), Apply: true})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.AddWords(ctx, p.ID, []tags.Word{{Field: "concept", Word: "china"}}); err != nil {
		t.Fatal(err)
	}
	m, err := w.MergeWords(ours, p.ID, "concept", "smash", "china")
	if err != nil || m.Plays != 1 {
		t.Fatalf("merge: %+v, %v", m, err)
	}
	for name, undo := range map[string]uuid.UUID{"a bulk edit": *done.ChangeID, "a merge": m.ID} {
		_, err := w.Undo(theirs, p.ID, undo)
		wantKind(t, name+" undone from another program", err, tags.NotFound, "change")
	}
	if _, err := w.Undo(ours, p.ID, m.ID); err != nil {
		t.Error(err)
	}
	if h, err := w.History(ours, p.ID, made.ID, 9, 0); err != nil || len(h) != 4 {
		t.Errorf("history behind the wall: %d changes, %v; want 4", len(h), err)
	}
	_, err = w.History(theirs, p.ID, made.ID, 9, 0)
	wantKind(t, "another program's history", err, tags.NotFound, "play")
	if err := w.Plays().Remove(ours, p.ID, made.ID, 4); err != nil {
		t.Error(err)
	}
	if now, err := w.ReplaceProgram(ours, p.Code, p.Version, p); err != nil || now.Version != p.Version+1 {
		t.Errorf("settings behind the wall: %+v, %v", now, err)
	}
}
