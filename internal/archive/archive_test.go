package archive_test

import (
	"archive/zip"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"overhang/db/migrations"
	"overhang/internal/archive"
	"overhang/internal/demo"
	"overhang/internal/plan"
	"overhang/internal/staff"
	"overhang/internal/stress/call"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

func TestMain(m *testing.M) { postgrestest.Main(m) }

func ptr[T any](v T) *T { return &v }

var moment = time.Date(2031, 10, 4, 12, 0, 0, 0, time.UTC)

func open(t testing.TB, address string) *postgres.Store {
	t.Helper()
	s, err := postgres.Open(t.Context(), address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	return s
}

func export(t testing.TB, s *postgres.Store, code string) []byte {
	t.Helper()
	p, err := s.Program(t.Context(), code)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := s.Export(t.Context(), p.ID, func(e *postgres.Export) error {
		return archive.Write(t.Context(), &b, e,
			moment)
	}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func load(s *postgres.Store, raw []byte, code string) (archive.Imported, error) {
	return archive.Import(context.Background(), s, bytes.NewReader(raw), int64(len(raw)), code)
}

// files unpacks a zip.
func files(t testing.TB, raw []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		b, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		out[f.Name] = string(b)
	}
	return out
}

// busy makes a program in which everything has happened: edits, merges of words,
// one undone, clips, what was tagged blind, deletions, and texts that are hard to keep.
func busy(t testing.TB, s *postgres.Store, code string) tags.Program {
	t.Helper()
	ctx := t.Context()
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	p, err := s.EnsureProgram(ctx, tags.Program{Code: code, Name: "=Invented \"staff\", ünï", Level: "college",
		Invented: true})
	must(err)
	must(s.AddWords(ctx, p.ID, []tags.Word{{Field: "concept", Word: "smash"}, {Field: "concept", Word: "@china"},
		{Field: "concept", Word: "chn", AliasOf: ptr("@china")},
		{Field: "concept", Word: "mesh"}, {Field: "route", Word: "hitch"}, {Field: "concept", Word: "unused"}}))
	g, err := s.EnsureGame(ctx, p.ID, tags.Opponent{Code: "o1", Name: "-Invented",
		Note: ptr("two\r\nlines, \"quoted\" and '=1+1")}, "2031", tags.Game{Label: "week 1"})
	must(err)
	film, err := s.Films().Create(ctx, p.ID, tags.Film{GameID: g.ID, Location: "/films/a, b.mp4"})
	must(err)
	body, err := call.Book()[0].Call.Encode()
	must(err)
	_, err = s.Calls().Create(ctx, p.ID, tags.Call{Name: "+one", Active: true, Body: body})
	must(err)
	ana := s.By("ana")
	notes := []string{"=cmd()", "+1", "-1", "@x", "\tx", "'apostrophe", " leading", "trailing ", "a\nb", "a\r\nb", "a\rb",
		`"`, `""`, ",", "\u2028x", "\u200f\u202e", "\x01", "💥", "null", "{}", "[1]", `\N`, `'"x"`}
	for i, note := range notes {
		pl, err := ana.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: i + 1, Status: "counted",
			Concept: ptr([]string{"chn", "smash", "mesh"}[i%3]), Note: &note, GainYd: ptr(-i),
			ThrowS: ptr(0.1 + float64(i)/3), Routes: []tags.Route{{Side: "left", Number: 1, Eligible: "receiver", Route: "hitch",
				BreakDepthYd: ptr(5.1)}, {Side: "right", Number: 1, Eligible: "back", Route: "hitch"}}})
		must(err)
		clip, err := s.Clips().Create(ctx, p.ID, tags.Clip{FilmID: film.ID, PlayID: &pl.ID, StartS: float64(i) + 1.0/3,
			EndS: float64(i) + 0.7})
		must(err)
		_, err = s.BlindTags().Create(ctx, p.ID, tags.BlindTag{ClipID: clip.ID, Analyst: "ben",
			Tags: tags.Seen{Play: tags.Play{Status: "counted", Note: &note}}})
		must(err)
		if i%4 == 0 {
			pl.Down = ptr(2)
			_, err = s.By("ben").Plays().Replace(ctx, p.ID, pl.ID, pl.Version, pl)
			must(err)
		}
		if i%5 == 0 {
			now, err := s.Plays().Get(ctx, p.ID, pl.ID)
			must(err)
			must(s.By("=cleo").Plays().Remove(ctx, p.ID, pl.ID, now.Version))
		}
	}
	_, err = ana.MergeWords(ctx, p.ID, "concept", "@china", "smash")
	must(err)
	m, err := ana.MergeWords(ctx, p.ID, "concept", "mesh", "smash")
	must(err)
	_, err = ana.Undo(ctx, p.ID, m.ID)
	must(err)
	ws, err := s.Words().List(ctx, p.ID, postgres.Page{Limit: 50})
	must(err)
	for _, w := range ws {
		if w.Word == "unused" {
			must(ana.Words().Remove(ctx, p.ID, w.ID, w.Version))
		}
	}
	for i, label := range []string{"=locked", "draft", "gone"} {
		pl := tags.Plan{PlanHead: tags.PlanHead{OpponentID: g.OpponentID, GameID: &g.ID, Label: label}, Content: snapshot(t)}
		pl, err = s.Plans().Create(ctx, p.ID, pl)
		must(err)
		switch i {
		case 0:
			pl.LockedAt, pl.LockedBy = ptr(time.Now()), ptr("=ana")
			_, err = s.Plans().Replace(ctx, p.ID, pl.ID, 1, pl)
			must(err)
		case 2:
			must(ana.Plans().Remove(ctx, p.ID, pl.ID, 1))
		}
	}
	o, err := s.Opponents().Create(ctx, p.ID, tags.Opponent{Code: "o2", Name: "Invented"})
	must(err)
	must(ana.Opponents().Remove(ctx, p.ID, o.ID, 1))
	return p
}

// snapshot is what a plan says that has one situation.
func snapshot(t testing.TB) json.RawMessage {
	t.Helper()
	b := plan.Board{Plays: 5, Covered: 3, NeedYd: 6.5, Concepts: []plan.Concept{{SetName: "2x2", Concept: "smash",
		Family: "dropback", Plays: 3, Routes: "P1 hitch@5.5"}},
		Rows: []plan.Row{{Call: "+one", Stress: 1. / 3, High: 1, Share: 1, Cells: []plan.Cell{{Stress: 1. / 3}}}}}
	c := plan.Content{MadeAt: time.Date(2031, 9, 1, 12, 0, 0, 0, time.UTC),
		Situations: []plan.Situation{plan.Take("3rd and 4-6", map[string]string{"down": "3"}, &b, false)}}
	if err := c.Choose([]plan.ChoiceIn{{Situation: "3rd and 4-6",
		Choice: plan.Choice{Calls: []plan.Chosen{{Call: "+one", Share: .7}}, Note: "=1+1\r\n💥"}}}); err != nil {
		t.Fatal(err)
	}
	raw, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

// TestRoundTrip: the export of an import is the export, byte for byte: of the
// demo season, and of a program in which everything has happened.
func TestRoundTrip(t *testing.T) {
	from, to := open(t, postgrestest.URL(t)), open(t, postgrestest.URL(t))
	if err := demo.Load(t.Context(), from); err != nil {
		t.Fatal(err)
	}
	busy(t, from, "busy")
	if _, err := to.EnsureProgram(t.Context(), tags.Program{Code: "another", Name: "x", Level: "college"}); err != nil {
		t.Fatal(err)
	}
	for _, code := range []string{demo.Code, "busy"} {
		first := export(t, from, code)
		made, err := load(to, first, "")
		if err != nil || made.Code != code {
			t.Fatalf("%s: %+v, %v", code, made, err)
		}
		if second := export(t, to, code); !bytes.Equal(first, second) {
			t.Errorf("%s (-exported +exported of the import):\n%s", code, cmp.Diff(files(t, first), files(t, second)))
		}
		t.Logf("%s: %d bytes, rows %v", code, len(first), made.Rows)
		// Beside the original, under another code.
		if _, err := load(from, first, ""); tags.As(err) == nil || tags.As(err).Kind != tags.Conflict {
			t.Errorf("%s: imported over itself: %v; want Conflict", code, err)
		}
		if made, err = load(from, first, code+"-2"); err != nil || made.Code != code+"-2" {
			t.Fatalf("%s: %v", code, err)
		}
		a, b := files(t, first), files(t, export(t, from, code+"-2"))
		for name := range a {
			same := a[name] == b[name]
			if own := name == "programs.csv" || name == "datapackage.json"; same == own {
				t.Errorf("%s under another code: %s the same: %v", code, name, same)
			}
		}
	}
	if _, err := load(to, export(t, from, "busy"), "Not A Code"); err == nil || !strings.Contains(err.Error(),
		"programs.csv:2: code:") {
		t.Errorf("a code that is none: %v", err)
	}
}

// TestImportLives: what was imported can be undone, restored and read as before.
func TestImportLives(t *testing.T) {
	from, to := open(t, postgrestest.URL(t)), open(t, postgrestest.URL(t))
	old := busy(t, from, "busy")
	if _, err := load(to, export(t, from, "busy"), ""); err != nil {
		t.Fatal(err)
	}
	p, err := to.Program(t.Context(), "busy")
	if err != nil || p.ID == old.ID {
		t.Fatalf("the imported program: %v, %v; want an identity of its own", p, err)
	}
	ds, err := to.Deletions(t.Context(), p.ID, 100, uuid.Nil)
	if err != nil || len(ds) != 8 {
		t.Fatalf("%d deletions, %v; want 8", len(ds), err)
	}
	for _, d := range ds {
		if _, err := to.Restore(t.Context(), p.ID, d.ID); err != nil {
			t.Errorf("restoring %s: %v", d.What, err)
		}
	}
	plans, err := to.PlanHeads().List(t.Context(), p.ID, postgres.Page{Limit: 100})
	if err != nil || len(plans) != 3 {
		t.Fatalf("%d plans, %v; want 3", len(plans), err)
	}
	whole, err := to.Plans().Get(t.Context(), p.ID, plans[0].ID)
	if err != nil || whole.LockedAt == nil {
		t.Fatalf("the locked plan: %+v, %v", whole, err)
	}
	if c, err := plan.Read(whole.Content); err != nil || len(c.Choices()) != 1 {
		t.Errorf("what it says: %+v, %v", c, err)
	}
	whole.Label = "changed"
	if _, err := to.Plans().Replace(t.Context(), p.ID, whole.ID, whole.Version, whole); tags.As(err) == nil ||
		tags.As(err).Kind != tags.Conflict {
		t.Errorf("a locked plan that was imported is changed: %v", err)
	}
	plays, err := to.Plays().List(t.Context(), p.ID, postgres.Page{Limit: 100})
	if err != nil || len(plays) != 23 {
		t.Errorf("%d plays, %v; want 23", len(plays), err)
	}
	h, err := to.History(t.Context(), p.ID, plays[0].ID, 10, 0)
	// Its word was merged while it was away.
	if err != nil || h[0].How != "merge" || h[1].How != "restore" || *h[2].Who != "=cleo" || h[len(h)-1].Before != nil {
		t.Errorf("history goes on after what was imported, in its order: %+v, %v", h, err)
	}
	ms, err := to.Merges(t.Context(), p.ID, 10)
	if err != nil || len(ms) != 2 || ms[0].UndoneAt == nil || ms[1].UndoneAt != nil {
		t.Fatalf("merges: %+v, %v", ms, err)
	}
	if _, err := to.Undo(t.Context(), p.ID, ms[1].ID); err != nil {
		t.Errorf("undoing an imported merge: %v", err)
	}
}

var update = flag.Bool("update", false, "write an export of this schema into testdata")

// TestOldExports: an export of every schema since the first can be imported. With
// -update it adds one of this schema, which a step that changes exported tables should.
func TestOldExports(t *testing.T) {
	s := open(t, postgrestest.URL(t))
	if *update {
		busy(t, s, "busy")
		if err := os.WriteFile(fmt.Sprintf("testdata/schema-%d.zip", migrations.Newest()), export(t, s, "busy"),
			0o644); err != nil {
			t.Fatal(err)
		}
	}
	old, err := filepath.Glob("testdata/schema-*.zip")
	if err != nil || len(old) == 0 {
		t.Fatalf("old exports: %v, %v", old, err)
	}
	for i, name := range old {
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if made, err := load(s, raw, fmt.Sprint("old-", i)); err != nil || made.Rows["plays"] != 18 {
			t.Errorf("%s: %v, %v; want 18 plays", name, made, err)
		}
	}
}

// TestNothingSecret: nothing that lets anybody in goes out, no name, and nothing of
// another program; and every table is either exported or left out on purpose.
func TestNothingSecret(t *testing.T) {
	address := postgrestest.URL(t)
	s := open(t, address)
	ctx := t.Context()
	p := busy(t, s, "busy")
	busy(t, s, "zzother")
	inv, err := s.Invite(ctx, staff.Invitation{Program: uuid.NullUUID{UUID: p.ID, Valid: true}, Login: ptr("zzlogin"),
		Role: staff.Owner})
	if err != nil {
		t.Fatal(err)
	}
	session, err := s.Accept(ctx, inv, "", "zzname", "correct horse battery staple", nil)
	if err != nil {
		t.Fatal(err)
	}
	ms, _ := s.Members(ctx, p.ID)
	_, token, err := s.MakeToken(ctx, p.ID, staff.Token{Person: ms[0].ID, Label: "zzlabel", Role: staff.Owner,
		ExpiresAt: time.Now().Add(time.Hour)})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Plays().CreateOnce(ctx, p.ID, "zzkey", tags.Play{}); err == nil {
		t.Fatal("an empty play was stored")
	}
	out := fmt.Sprint(files(t, export(t, s, "busy")))
	for _, secret := range []string{"zz", session, token, inv, "argon2id", hex.EncodeToString(staff.Hash(token)),
		p.ID.String(), ms[0].ID.String()} {
		if strings.Contains(out, secret) {
			t.Errorf("the export has %q", secret)
		}
	}
	c, err := pgx.Connect(ctx, address)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close(ctx)
	rows, err := c.Query(ctx,
		`SELECT attrelid::regclass::text FROM pg_attribute a JOIN pg_class t ON t.oid = attrelid WHERE attname = `+
			`'program_id' AND relkind = 'r' ORDER BY 1`)
	if err != nil {
		t.Fatal(err)
	}
	keyed, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	known := append(postgres.Exported(), "members", "tokens", "invitations", "creations", "data_logins", "packet_links",
		"quiz_answers", "touched_games", "associations", "shares")
	for _, table := range keyed {
		if !slices.Contains(known, table) {
			t.Errorf("%s is keyed by program and neither exported nor named here: add it to exported in postgres/export.go",
				table)
		}
	}
}

// TestOpenStandard holds the descriptor against the Tabular Data Package profile
// (specs.frictionlessdata.io; testdata/tabular-data-package.json is its JSON Schema
// as published, MIT license, Open Knowledge), and the files against what it says,
// by means of the standard library alone.
func TestOpenStandard(t *testing.T) {
	s := open(t, postgrestest.URL(t))
	busy(t, s, "busy")
	fs := files(t, export(t, s, "busy"))
	var m any
	if err := json.Unmarshal([]byte(fs["datapackage.json"]), &m); err != nil {
		t.Fatal(err)
	}
	profile, err := jsonschema.NewCompiler().Compile("testdata/tabular-data-package.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := profile.Validate(m); err != nil {
		t.Errorf("datapackage.json: %v", err)
	}
	delete(m.(map[string]any), "resources")
	if profile.Validate(m) == nil {
		t.Error("the profile finds nothing wrong with a package of nothing: it checks nothing")
	}
	var d struct {
		Resources []struct {
			Path, Hash string
			Bytes      int
			Rows       int
			Schema     struct{ Fields []struct{ Name string } }
		}
	}
	json.Unmarshal([]byte(fs["datapackage.json"]), &d)
	for _, r := range d.Resources {
		raw := fs[r.Path]
		sum := sha256.Sum256([]byte(raw))
		if r.Hash != "sha256:"+hex.EncodeToString(sum[:]) || r.Bytes != len(raw) {
			t.Errorf("%s: bytes or hash are not the file's", r.Path)
		}
		rows, err := csv.NewReader(strings.NewReader(raw)).ReadAll()
		if err != nil || len(rows) != r.Rows+1 || strings.Count(raw, "\r\n") != len(rows) ||
			strings.Count(raw, "\n") != len(rows) {
			t.Errorf("%s: %d rows, %v; want %d, each a line", r.Path, len(rows)-1, err, r.Rows)
			continue
		}
		for i, f := range r.Schema.Fields {
			if rows[0][i] != f.Name {
				t.Errorf("%s: column %d is %s, the descriptor has %s", r.Path, i, rows[0][i], f.Name)
			}
		}
		for _, row := range rows[1:] {
			for i, cell := range row {
				// What a spreadsheet takes for a formula (OWASP ASVS 5.0, 1.2.10); a number may be negative.
				if cell != "" && strings.ContainsRune("=+@\t\r-", rune(cell[0])) && json.Unmarshal([]byte(cell),
					new(float64)) != nil {
					t.Errorf("%s: %s begins as a formula: %q", r.Path, rows[0][i], cell)
				}
			}
		}
	}
}
