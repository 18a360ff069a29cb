package strain

import (
	"cmp"
	"context"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"

	"overhang/db/migrations"
	"overhang/internal/database/localdb"
)

var spreadFor = flag.Duration("spread", 0, "how long TestSpread writes between moves; 0: a short look")

const (
	parts   = 8 // hash partitions of plays
	moved   = 3 // the one that moves
	writers = 12
)

// A node is one PostgreSQL of several.
type node struct {
	name string
	srv  *localdb.Server
	db   *pgxpool.Pool
}

// A spreading is plays in hash partitions over three PostgreSQL servers, written and read through the
// first, and what was acknowledged of every write.
type spreading struct {
	t        *testing.T
	nodes    []*node
	face     *node
	programs [parts]uuid.UUID // one in each partition
	mu       sync.Mutex
	rows     map[uuid.UUID]*written
	acked    [parts]int
	slowest  time.Duration // of a write
	failed   []error
}

// What was acknowledged of a play.
type written struct {
	program int
	version int
	note    string
}

// TestSpread moves a partition, with the programs in it, between three PostgreSQL servers while twelve
// writers store and change plays and readers count them: by logical replication to the new place, and
// a switch in one transaction that waits for the last change. Every acknowledged write is then
// there once, as it was last acknowledged; no reader ever counts fewer than were acknowledged
// before it asked. The checks are arithmetic on the writers' own ledger.
func TestSpread(t *testing.T) {
	s := newSpreading(t)
	plays := 500
	if *spreadFor > 0 {
		plays = 100000
	}
	s.fill(moved, plays)
	ctx, stop := context.WithCancel(t.Context())
	var all sync.WaitGroup
	for w := range writers {
		all.Go(func() { s.write(ctx, w) })
	}
	for range 2 {
		all.Go(func() { s.read(ctx) })
	}
	pause := max(*spreadFor, time.Second)
	time.Sleep(pause)
	at := s.nodes[0]
	for _, to := range []*node{s.nodes[1], s.nodes[2], s.nodes[0], s.nodes[1]} {
		s.move(moved, at, to)
		at = to
		time.Sleep(pause)
	}
	stop()
	all.Wait()
	s.compare(at)
	s.limits()
}

func newSpreading(t *testing.T) *spreading {
	s := &spreading{t: t, rows: map[uuid.UUID]*written{}}
	dir := folder(t)
	for _, name := range []string{"one", "two", "three"} {
		n := &node{name: name}
		o := localdb.Options{Dir: filepath.Join(dir, name), Durable: true}
		n.start(t, o)
		n.must(t, `ALTER SYSTEM SET wal_level = logical`)
		n.db.Close()
		if err := n.srv.Stop(); err != nil {
			t.Fatal(err)
		}
		n.start(t, o)
		t.Cleanup(func() { n.db.Close(); n.srv.Stop() })
		if err := migrations.Up(n.srv.URL("postgres")); err != nil {
			t.Fatal(err)
		}
		n.must(t, `CREATE SCHEMA spread; CREATE TABLE spread.last (id uuid PRIMARY KEY)`)
		s.nodes = append(s.nodes, n)
	}
	s.face = s.nodes[0]
	s.face.must(t, `CREATE EXTENSION postgres_fdw`)
	for _, n := range s.nodes[1:] {
		c := n.db.Config().ConnConfig
		s.face.must(t, fmt.Sprintf(`CREATE SERVER %s FOREIGN DATA WRAPPER postgres_fdw
			OPTIONS (host '%s', port '%d', dbname '%s')`, n.name, c.Host, c.Port, c.Database))
		s.face.must(t, fmt.Sprintf(`CREATE USER MAPPING FOR CURRENT_USER SERVER %s OPTIONS (user '%s', password '%s')`,
			n.name, c.User, c.Password))
	}
	s.divide()
	return s
}

func (n *node) start(t *testing.T, o localdb.Options) {
	t.Helper()
	var err error
	if n.srv, err = localdb.Start(t.Context(), o); err != nil {
		t.Fatal(err)
	}
	if n.db, err = pgxpool.New(t.Context(), n.srv.URL("postgres")+"&pool_max_conns=20"); err != nil {
		t.Fatal(err)
	}
}

func (n *node) must(t *testing.T, sql string) {
	t.Helper()
	if _, err := n.db.Exec(t.Context(), sql, pgx.QueryExecModeSimpleProtocol); err != nil {
		t.Fatalf("%s: %s: %v", n.name, sql, err)
	}
}

// divide makes the partitions, six on the first server and one on each of the others, and finds
// a program for each.
func (s *spreading) divide() {
	s.face.must(s.t, `CREATE TABLE spread.plays (LIKE plays INCLUDING DEFAULTS INCLUDING CONSTRAINTS)
		PARTITION BY HASH (program_id)`)
	for k := range parts {
		at := map[int]*node{6: s.nodes[1], 7: s.nodes[2]}[k]
		if at == nil {
			at = s.face
		}
		at.must(s.t, fmt.Sprintf(`CREATE TABLE spread.plays_%d (LIKE plays INCLUDING ALL)`, k))
		s.face.must(s.t, s.attach(k, at))
		for {
			id := uuid.New()
			var here bool
			err := s.face.db.QueryRow(s.t.Context(),
				`SELECT satisfies_hash_partition('spread.plays'::regclass, $1, $2, $3::uuid)`, parts, k, id).Scan(&here)
			if err != nil {
				s.t.Fatal(err)
			}
			if here {
				s.programs[k] = id
				break
			}
		}
	}
}

// fill stores plays of a program that lie there before anybody writes.
func (s *spreading) fill(k, plays int) {
	var rows [][]any
	for n := range plays {
		id, game := uuid.New(), uuid.NewSHA1(uuid.Nil, fmt.Append(nil, n/999))
		s.rows[id] = &written{k, 1, "before"}
		rows = append(rows, []any{s.programs[k], id, game, game, n%999 + 1, 1, "before"})
	}
	s.acked[k] = plays
	columns := []string{"program_id", "id", "game_id", "opponent_id", "number", "down", "note"}
	if _, err := s.face.db.CopyFrom(s.t.Context(), pgx.Identifier{"spread", "plays"}, columns,
		pgx.CopyFromRows(rows)); err != nil {
		s.t.Fatal(err)
	}
}

// attach and detach are what the first server has to do for a partition on another one, or on itself.
func (s *spreading) attach(k int, at *node) string {
	if at == s.face {
		return fmt.Sprintf(`ALTER TABLE spread.plays ATTACH PARTITION spread.plays_%d
			FOR VALUES WITH (MODULUS %d, REMAINDER %[1]d)`, k, parts)
	}
	return fmt.Sprintf(`CREATE FOREIGN TABLE spread.plays_%d_%s PARTITION OF spread.plays
		FOR VALUES WITH (MODULUS %d, REMAINDER %[1]d) SERVER %[2]s
		OPTIONS (schema_name 'spread', table_name 'plays_%[1]d')`, k, at.name, parts)
}

func (s *spreading) detach(k int, at *node) string {
	if at == s.face {
		return fmt.Sprintf(`ALTER TABLE spread.plays DETACH PARTITION spread.plays_%d`, k)
	}
	return fmt.Sprintf(`DROP FOREIGN TABLE spread.plays_%d_%s`, k, at.name)
}

// move takes a partition from one server to another.
func (s *spreading) move(k int, from, to *node) {
	s.t.Helper()
	began, table := time.Now(), fmt.Sprintf("spread.plays_%d", k)
	s.mu.Lock()
	rows := s.acked[k]
	s.slowest = 0
	s.mu.Unlock()
	to.must(s.t, fmt.Sprintf(`CREATE TABLE %s (LIKE plays INCLUDING ALL)`, table))
	from.must(s.t, `CREATE PUBLICATION moving FOR TABLE spread.last, `+table)
	c := from.db.Config().ConnConfig
	to.must(s.t, fmt.Sprintf(`CREATE SUBSCRIPTION moving CONNECTION
		'host=%s port=%d dbname=%s user=%s password=%s' PUBLICATION moving`, c.Host, c.Port, c.Database, c.User, c.Password))
	s.until("the first copy", to, `SELECT count(*) = 2 AND bool_and(srsubstate = 'r') FROM pg_subscription_rel`)
	copied := time.Since(began)
	for end := time.Now().Add(time.Minute); s.behind(from, to) > 100*time.Millisecond && time.Now().Before(end); {
	}
	caught, switching := time.Since(began)-copied, time.Now()
	err := pgx.BeginFunc(s.t.Context(), s.face.db, func(tx pgx.Tx) error {
		// All writers have ended, on the other servers too, once this is granted.
		if _, err := tx.Exec(s.t.Context(), `LOCK TABLE ONLY spread.plays IN ACCESS EXCLUSIVE MODE`); err != nil {
			return err
		}
		s.behind(from, to)
		_, err := tx.Exec(s.t.Context(), s.detach(k, from)+"; "+s.attach(k, to))
		return err
	})
	if err != nil {
		s.t.Fatal(err)
	}
	paused := time.Since(switching)
	to.must(s.t, `DROP SUBSCRIPTION moving`)
	from.must(s.t, `DROP PUBLICATION moving`)
	from.must(s.t, `DROP TABLE `+table+`; DELETE FROM spread.last`)
	to.must(s.t, `DELETE FROM spread.last`)
	s.mu.Lock()
	defer s.mu.Unlock()
	s.t.Logf("partition %d from %s to %s: %d plays before, %d stored meanwhile, %d ms to copy, %d to catch up, %d to "+
		"switch; slowest write %d ms", k, from.name, to.name, rows, s.acked[k]-rows, copied.Milliseconds(),
		caught.Milliseconds(), paused.Milliseconds(), s.slowest.Milliseconds())
}

// behind waits until the new place has what was committed at the old one before now, and says how
// long it took: what is replicated arrives in the order it was committed, so a row of ours is the
// last.
func (s *spreading) behind(from, to *node) time.Duration {
	s.t.Helper()
	began, last := time.Now(), uuid.New().String()
	from.must(s.t, `INSERT INTO spread.last VALUES ('`+last+`')`)
	s.until("the last change", to, `SELECT EXISTS (SELECT FROM spread.last WHERE id = $1)`, last)
	return time.Since(began)
}

// until waits for a question to be answered yes.
func (s *spreading) until(what string, n *node, sql string, args ...any) {
	s.t.Helper()
	for end := time.Now().Add(time.Minute); ; time.Sleep(2 * time.Millisecond) {
		var yes bool
		if err := n.db.QueryRow(s.t.Context(), sql, args...).Scan(&yes); err != nil {
			s.t.Fatal(err)
		}
		if yes {
			return
		}
		if time.Now().After(end) {
			s.t.Fatalf("%s is not there after a minute", what)
		}
	}
}

// write stores plays of a program and changes them again, one after another, and notes what was
// acknowledged. Half of the writers write to the program that moves.
func (s *spreading) write(ctx context.Context, w int) {
	k := w % parts
	if w%2 == 1 {
		k = moved
	}
	r := rand.New(rand.NewPCG(uint64(w), 1))
	var mine []uuid.UUID
	game := uuid.New()
	for n := 1; ctx.Err() == nil; n++ {
		if n%999 == 0 { // a game has no more
			game = uuid.New()
		}
		id, note := uuid.New(), fmt.Sprint(w, " ", n)
		s.ack(id, k, note, 1, func() (pgconn.CommandTag, error) {
			return s.face.db.Exec(context.Background(), `
				INSERT INTO spread.plays (program_id, id, game_id, opponent_id, number, down, note)
				VALUES ($1, $2, $3, $3, $4, 1, $5)`,
				s.programs[k], id, game, n%999+1, note)
		})
		mine = append(mine, id)
		id = mine[r.IntN(len(mine))]
		note = fmt.Sprint(note, " changed")
		s.ack(id, k, note, 0, func() (pgconn.CommandTag, error) {
			return s.face.db.Exec(context.Background(), `
				UPDATE spread.plays SET version = version + 1, note = $3 WHERE program_id = $1 AND id = $2`,
				s.programs[k], id, note)
		})
	}
}

// ack does a write and notes it where it was acknowledged.
func (s *spreading) ack(id uuid.UUID, k int, note string, stores int, do func() (pgconn.CommandTag, error)) {
	began := time.Now()
	tag, err := do()
	s.mu.Lock()
	defer s.mu.Unlock()
	s.slowest = max(s.slowest, time.Since(began))
	switch {
	case err != nil:
		s.failed = append(s.failed, err)
	case tag.RowsAffected() != 1:
		s.failed = append(s.failed, fmt.Errorf("%d rows", tag.RowsAffected()))
	case stores == 1:
		s.rows[id] = &written{k, 1, note}
		s.acked[k]++
	default:
		s.rows[id].version++
		s.rows[id].note = note
	}
}

// read counts the plays of programs: never fewer than were acknowledged before it asked.
func (s *spreading) read(ctx context.Context) {
	for n := 0; ctx.Err() == nil; n++ {
		k := []int{moved, n % parts}[n%2]
		s.mu.Lock()
		least := s.acked[k]
		s.mu.Unlock()
		got := 0
		err := s.face.db.QueryRow(context.Background(), `SELECT count(*) FROM spread.plays WHERE program_id = $1`,
			s.programs[k]).Scan(&got)
		if err != nil || got < least {
			s.mu.Lock()
			s.failed = append(s.failed, cmp.Or(err, fmt.Errorf("%d plays read, %d were acknowledged", got, least)))
			s.mu.Unlock()
		}
	}
}

// compare holds every acknowledged write against what is there, and where.
func (s *spreading) compare(at *node) {
	for _, err := range s.failed[:min(len(s.failed), 5)] {
		s.t.Errorf("a write or a reading failed: %v", err)
	}
	rows, err := s.face.db.Query(s.t.Context(), `SELECT id, program_id, version, note FROM spread.plays`)
	if err != nil {
		s.t.Fatal(err)
	}
	found := 0
	var id, program uuid.UUID
	var version int
	var note string
	_, err = pgx.ForEachRow(rows, []any{&id, &program, &version, &note}, func() error {
		found++
		if want := s.rows[id]; want == nil || s.programs[want.program] != program || want.version != version ||
			want.note != note {
			return fmt.Errorf("play %v: version %d, %q; acknowledged was %+v", id, version, note, want)
		}
		return nil
	})
	if err != nil || found != len(s.rows) { // as many, each of them acknowledged: none is missing, none twice
		s.t.Errorf("%d plays are there, %d were acknowledged: %v", found, len(s.rows), err)
	}
	there := 0
	err = at.db.QueryRow(s.t.Context(), fmt.Sprintf(`SELECT count(*) FROM spread.plays_%d`, moved)).Scan(&there)
	if err != nil || there != s.acked[moved] || there == 0 {
		s.t.Errorf("%d plays of the program that moved are on %s, want %d: %v", there, at.name, s.acked[moved], err)
	}
	changes := 0
	for _, w := range s.rows {
		changes += w.version - 1
	}
	s.t.Logf("%d plays stored and %d changes acknowledged, %d writes or readings failed", found, changes, len(s.failed))
}

// limits holds what RUNNING.md says keeps this program's own schema off partitions on other
// servers: PostgreSQL refuses each (manual, CREATE FOREIGN TABLE and 5.11.2: MEM).
func (s *spreading) limits() {
	t := s.t
	s.face.must(t, `CREATE FUNCTION spread.told() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RETURN NULL; END $$`)
	store := func(more string) string {
		return fmt.Sprintf(`INSERT INTO spread.plays (program_id, id, game_id, opponent_id, number)
			VALUES ('%s', gen_random_uuid(), gen_random_uuid(), gen_random_uuid(), 1) %s`, s.programs[6], more)
	}
	for _, c := range []struct{ what, sql, code string }{
		{"a key", `CREATE UNIQUE INDEX ON spread.plays (program_id, id)`, "42809"},
		{"a reference to plays", `CREATE TABLE spread.clips (program_id uuid, play_id uuid,
			FOREIGN KEY (program_id, play_id) REFERENCES spread.plays (program_id, id))`, "42830"},
		{"a create that may be repeated", store(`ON CONFLICT (program_id, id) DO NOTHING`), "42P10"},
		{"history by statement", `CREATE TRIGGER told AFTER INSERT ON spread.plays REFERENCING NEW TABLE AS n
			FOR EACH STATEMENT EXECUTE FUNCTION spread.told(); ` + store(""), "0A000"},
	} {
		_, err := s.face.db.Exec(t.Context(), c.sql, pgx.QueryExecModeSimpleProtocol)
		var pg *pgconn.PgError
		if !errors.As(err, &pg) || pg.Code != c.code {
			t.Errorf("%s: %v, want SQLSTATE %s", c.what, err, c.code)
			continue
		}
		t.Logf("%s: %s (%s)", c.what, pg.Message, pg.Detail)
	}
	plan, err := s.face.db.Query(t.Context(), `EXPLAIN (VERBOSE, COSTS OFF) SELECT down, count(*) FROM spread.plays
		WHERE program_id = '`+s.programs[6].String()+`' GROUP BY down`)
	if err != nil {
		t.Fatal(err)
	}
	lines, err := pgx.CollectRows(plan, pgx.RowTo[string])
	if text := strings.Join(lines, "\n"); err != nil || strings.Count(text, "Scan") != 1 ||
		!strings.Contains(text, "WHERE ((program_id = ") {
		t.Errorf("a program's plays are not read where they are alone:\n%s %v", text, err)
	}
}
