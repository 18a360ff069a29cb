package postgres_test

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

var questions = flag.Int("questions", 150, "how many random questions TestKeptIsThePlays asks")

// An archive is a store with random plays on which anything may be unknown.
type archive struct {
	t     *testing.T
	s     *postgres.Store
	p     tags.Program
	url   string
	games []tags.Game
}

func newArchive(t *testing.T, games, each int) *archive {
	t.Helper()
	a := &archive{t: t, url: postgrestest.URL(t)}
	a.s = opened(t, a.url)
	a.p = must[tags.Program](t)(a.s.EnsureProgram(ctx, tags.Program{
		Code: "ours", Name: "Invented staff", Level: "college"}))
	var words []tags.Word
	for field, ws := range archiveWords {
		for _, w := range ws {
			words = append(words, tags.Word{Field: field, Word: w})
		}
	}
	if err := a.s.AddWords(ctx, a.p.ID, words); err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(1, 2))
	var plays []tags.Play
	for i := range games {
		g := tags.Game{Label: fmt.Sprintf("game %d", i), Ours: i%5 == 0}
		if i%3 > 0 {
			g.Week = ptr(i % 17)
		}
		season := []string{"", "2030", "2031"}[i%3]
		g = must[tags.Game](t)(a.s.EnsureGame(ctx, a.p.ID, tags.Opponent{Code: fmt.Sprintf("o%d", i%4),
			Name: "Invented"}, season, g))
		a.games = append(a.games, g)
		for n := range each {
			plays = append(plays, anyPlay(r, g, n+1))
		}
	}
	must[postgres.Loaded](t)(a.s.LoadPlays(ctx, a.p.ID, plays))
	return a
}

// Words whose order differs between bytes and a language's.
var archiveWords = map[string][]string{
	"set_name": {"a b", "ab", "A c", "étoile", "Zed", "2x2"},
	"concept":  {"smash", "Flood", "four verts", "mesh", "y-cross"},
	"coverage": {"cover 2", "Cover 3", "cover-1"}, "motion": {"jet", "none"}, "backfield": {"gun", "Under"},
	"route": {"slant", "go", "out"},
}

// anyPlay is a play on which anything may be unknown.
func anyPlay(r *rand.Rand, game tags.Game, number int) tags.Play {
	p := tags.Play{GameID: game.ID, OpponentID: game.OpponentID, Number: number, Status: "counted",
		Touchdown: r.IntN(20) == 0}
	if r.IntN(25) == 0 {
		p.Status = "kneel"
	}
	maybe := func() bool { return r.IntN(8) > 0 }
	num := func(to **int, from, below int) {
		if maybe() {
			*to = ptr(from + r.IntN(below-from))
		}
	}
	word := func(to **string, ws ...string) {
		if maybe() {
			*to = ptr(ws[r.IntN(len(ws))])
		}
	}
	truth := func(to **bool) {
		if maybe() {
			*to = ptr(r.IntN(2) == 0)
		}
	}
	num(&p.Quarter, 1, 6)
	num(&p.ClockS, 0, 901)
	num(&p.Down, 1, 5)
	num(&p.DistanceYd, 1, 26)
	num(&p.YardsToGoal, 1, 100)
	num(&p.ScoreMargin, -20, 21)
	num(&p.GainYd, -12, 40)
	num(&p.ThrowDepth, -8, 50)
	num(&p.Rushers, 2, 8)
	num(&p.Blitzers, 0, 4)
	word(&p.Hash, "left", "middle", "right")
	word(&p.Personnel, "11", "12", "21")
	word(&p.SetName, archiveWords["set_name"]...)
	word(&p.Strength, "left", "right", "balanced")
	word(&p.Concept, archiveWords["concept"]...)
	word(&p.Coverage, archiveWords["coverage"]...)
	word(&p.Motion, archiveWords["motion"]...)
	word(&p.Backfield, archiveWords["backfield"]...)
	word(&p.PlaySide, "left", "right")
	word(&p.Called, "run", "pass")
	word(&p.Result, "complete", "incomplete", "intercepted", "sack", "scramble")
	if p.Called == nil || *p.Called == "run" {
		p.Result = nil
		word(&p.Result, "rush", "fumble_lost")
	}
	word(&p.Family, "quick", "rpo", "draw", "screen")
	word(&p.Shell, "one_high", "two_high")
	word(&p.TargetRoute, archiveWords["route"]...)
	word(&p.SinceLast, "penalty", "review", "possession", "kick", "half")
	truth(&p.PlayFake)
	truth(&p.RunOption)
	truth(&p.Pressured)
	if maybe() {
		p.ThrowS = ptr(float64(r.IntN(6000)) / 1000)
	}
	if r.IntN(3) == 0 {
		p.TargetRoute = nil
		p.Routes = []tags.Route{{Side: "left", Number: 1, Eligible: "receiver", Route: "slant", Targeted: r.IntN(2) == 0},
			{Side: "right", Number: 2, Eligible: "tight_end", Route: "out", BreakDepthYd: ptr(float64(r.IntN(12)))}}
	}
	return p
}

// kept waits until the archive's plays are kept: the second question over many makes the image.
func (a *archive) kept() {
	a.t.Helper()
	for range 600 {
		must[tags.Tendency](a.t)(a.s.Tendencies(ctx, a.p, tags.TendencyQuery{By: []string{"down"}}))
		if a.s.Kept().Images > 0 {
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
	a.t.Fatalf("nothing was kept: %+v", a.s.Kept())
}

// An asker makes questions up out of the values that occur.
type asker struct {
	r      *rand.Rand
	values map[string][]string
}

func (a *archive) asker(seed uint64) *asker {
	out := &asker{rand.New(rand.NewPCG(seed, 7)), map[string][]string{}}
	for _, d := range tags.Dimensions {
		for _, c := range must[[]tags.Count](a.t)(a.s.Counts(ctx, a.p, []string{d}, nil)) {
			out.values[d] = append(out.values[d], word(c.Keys[0]))
		}
	}
	return out
}

func (q *asker) question() (by []string, filters map[string][]string) {
	all := slices.Clone(tags.Dimensions)
	q.r.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	n := 1 + q.r.IntN(4)
	by, filters = all[:n], map[string][]string{}
	for _, d := range all[len(all)-q.r.IntN(3):] {
		for range 1 + q.r.IntN(3) {
			filters[d] = append(filters[d], q.values[d][q.r.IntN(len(q.values[d]))])
		}
	}
	return by, filters
}

// TestKeptIsThePlays asks random questions of the kept plays and of the plays themselves, both
// as of one moment, while eight writers change plays, games, opponents and seasons: every
// count, sum and median and their order are the same. The plays are the reference.
func TestKeptIsThePlays(t *testing.T) {
	t.Parallel()
	a := newArchive(t, 40, 60)
	a.kept()
	q := a.asker(3)
	wrote := a.write(8)
	asked, changed := 0, 0
	before := ""
	for asked < *questions {
		by, filters := q.question()
		kept, counted, keptN, countedN, err := a.s.BothWays(ctx, a.p, by, filters)
		if e := tags.As(err); e != nil && e.Kind == tags.Invalid {
			continue // filters that exclude each other
		}
		if err != nil {
			t.Fatal(err)
		}
		asked++
		if diff := cmp.Diff(counted, kept); diff != "" {
			t.Fatalf("question %d, by %v under %v (-plays +kept):\n%s", asked, by, filters, diff)
		}
		if diff := cmp.Diff(countedN, keptN); diff != "" {
			t.Fatalf("question %d, counts by %v under %v (-plays +kept):\n%s", asked, by, filters, diff)
		}
		all, _, _, _, err := a.s.BothWays(ctx, a.p, []string{"down", "gain"}, nil)
		if err != nil {
			t.Fatal(err)
		}
		if now := fmt.Sprint(all.Total, all.Skip); now != before {
			changed, before = changed+1, now
		}
	}
	n := wrote()
	cubes := a.s.Kept().Cubes
	t.Logf("%d questions, %d writes, the whole had changed before %d of them; %d cubes", asked, n, changed, cubes)
	if cubes < asked/4 && cubes < 100 {
		t.Errorf("only %d cubes", cubes)
	}
	if changed < asked/4 || int(n) < asked/4 {
		t.Errorf("only %d writes, seen before %d of %d questions: this tried little", n, changed, asked)
	}
}

// write starts writers, by hand at the database and through the store, some in long
// transactions and some that take all back; the function ends them and says how often they
// wrote.
func (a *archive) write(writers int) func() int64 {
	var wrote atomic.Int64
	var wg sync.WaitGroup
	ctx, stop := context.WithCancel(ctx)
	for w := range writers {
		c, err := pgx.Connect(ctx, a.url)
		if err != nil {
			a.t.Fatal(err)
		}
		wg.Add(1)
		go func() {
			defer wg.Done()
			defer c.Close(context.Background())
			r := rand.New(rand.NewPCG(uint64(w), 99))
			for ctx.Err() == nil {
				if err := a.change(ctx, c, r); err != nil && ctx.Err() == nil {
					a.t.Errorf("writer %d: %v", w, err)
					return
				}
				wrote.Add(1)
				time.Sleep(time.Duration(r.IntN(30)) * time.Millisecond)
			}
		}()
	}
	return func() int64 { stop(); wg.Wait(); return wrote.Load() }
}

func (a *archive) change(ctx context.Context, c *pgx.Conn, r *rand.Rand) error {
	g := a.games[r.IntN(len(a.games))]
	if r.IntN(10) == 0 {
		some := []tags.Play{anyPlay(r, g, 1+r.IntN(70)), anyPlay(r, g, 71+r.IntN(70))}
		_, err := a.s.LoadPlays(ctx, a.p.ID, some)
		return quiet(err)
	}
	tx, err := c.Begin(ctx)
	if err != nil {
		return err
	}
	defer tx.Rollback(context.Background())
	if _, err := tx.Exec(ctx, `SET LOCAL lock_timeout = '300ms'`); err != nil {
		return err
	}
	for range 1 + r.IntN(3) {
		sql, args := a.statement(r, g.ID)
		if _, err := tx.Exec(ctx, sql, args...); err != nil {
			return quiet(err)
		}
		time.Sleep(time.Duration(r.IntN(25)) * time.Millisecond)
	}
	if r.IntN(6) == 0 {
		return nil // taken back
	}
	return quiet(tx.Commit(ctx))
}

// quiet leaves out what writers do to each other.
func quiet(err error) error {
	if e := tags.As(err); e != nil && e.Kind == tags.Unavailable {
		return nil
	}
	var pg *pgconn.PgError
	if errors.As(err, &pg) && slices.Contains([]string{"40001", "40P01", "55P03", "23505"}, pg.Code) {
		return nil
	}
	return err
}

func (a *archive) statement(r *rand.Rand, game uuid.UUID) (string, []any) {
	args := []any{a.p.ID, game, r.IntN(70)}
	of := ` WHERE program_id = $1 AND game_id = $2 AND number % 70 = $3`
	switch r.IntN(9) {
	case 0:
		return `UPDATE plays SET gain_yd = $4, touchdown = NOT touchdown` + of, append(args, r.IntN(50)-10)
	case 1:
		return `UPDATE plays SET concept = $4, down = 1 + number % 4` + of, append(args, []*string{nil, ptr("mesh"),
			ptr(fmt.Sprintf("new %d", r.IntN(20)))}[r.IntN(3)])
	case 2:
		return `UPDATE plays SET status = CASE status WHEN 'counted' THEN 'spike' ELSE 'counted' END` + of, args
	case 3:
		return `DELETE FROM plays` + of, args
	case 4: // a game may lose all of its counted plays, and get them back
		return `UPDATE plays SET status = $3 WHERE program_id = $1 AND game_id = $2`,
			append(args[:2:2], []string{"counted", "no_play"}[r.IntN(2)])
	case 5:
		return `UPDATE games SET week = $3, ours = NOT ours WHERE program_id = $1 AND id = $2`,
			append(args[:2:2], r.IntN(60))
	case 6:
		return `UPDATE opponents SET code = left(code, 2) || $3::text WHERE program_id = $1 AND id =
			(SELECT opponent_id FROM games WHERE program_id = $1 AND id = $2)`, append(args[:2:2], fmt.Sprint(r.IntN(9)))
	case 7:
		return `UPDATE seasons SET label = label || 'x' WHERE program_id = $1 AND length(label) < 9 AND id =
			(SELECT season_id FROM games WHERE program_id = $1 AND id = $2)`, args[:2:2]
	}
	return `UPDATE plays SET since_last = 'half', throw_s = $4, quarter = NULL` + of, append(args, float64(r.IntN(50))/10)
}

// TestSmallIsKept: an opponent's plays are kept too, once enough questions were asked of them,
// each under a filter that leaves few; not for the first ones.
func TestSmallIsKept(t *testing.T) {
	t.Parallel()
	a := newArchive(t, 4, 60)
	q := tags.TendencyQuery{By: []string{"concept"}, Filters: map[string][]string{"down": {"3"}}}
	want := must[tags.Tendency](t)(a.s.Tendencies(ctx, a.p, q))
	if k := a.s.Kept(); k.Images > 0 || k.Made > 0 {
		t.Fatalf("kept for one question over %d plays: %+v", want.Total, k)
	}
	for range 600 {
		if got := must[tags.Tendency](t)(a.s.Tendencies(ctx, a.p, q)); !cmp.Equal(want, got) {
			t.Fatalf("kept or not, the counts differ: %s", cmp.Diff(want, got))
		}
		if a.s.Kept().Answered > 2 {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatalf("nothing was kept: %+v", a.s.Kept())
}
