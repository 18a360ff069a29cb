package strain

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"overhang/integration/built"
)

const sheetRows = 400

// ingestCut loads a sheet over a wire that is cut after a number of bytes chosen by
// chance, every second time among the last, then again over a whole one: after the cut all of it is there or nothing,
// after that all of it once.
func ingestCut(t *testing.T, r *rig, times int) (out row) {
	dir := folder(t)
	mapping, sheet := filepath.Join(dir, "map.yaml"), filepath.Join(dir, "plays.csv")
	os.WriteFile(mapping,
		[]byte("new_words: add\nopponent: {column: opp}\ngame: {column: game}\nfields:\n  number: {column: no}\n  down: "+
			"{column: dn}\n  concept: {column: play}\n"), 0o644)
	var b strings.Builder
	b.WriteString("opp,game,no,dn,play\n")
	for i := range sheetRows {
		fmt.Fprintf(&b, "o%d,week %d,%d,%d,invented %d\n", i%2, i/100, i%100+1, 1+i%4, i%40)
	}
	os.WriteFile(sheet, []byte(b.String()), 0o644)
	// A wire of its own, so that nobody else's bytes are counted.
	w := newWire(t, fmt.Sprint("127.0.0.1:", r.db.port))
	address := strings.Replace(r.db.url(), fmt.Sprint(":", r.db.port, "/"), fmt.Sprint(":", w.port(), "/"), 1)
	load := func(program string) (code int, said string) {
		cmd := exec.Command(filepath.Join(built.Dir, "ingest"), "-program", program, "-map", mapping, sheet)
		cmd.Env = append(os.Environ(), "OVERHANG_DATABASE_URL="+address)
		raw, err := cmd.CombinedOutput()
		if err != nil && cmd.ProcessState == nil {
			t.Fatal(err)
		}
		return cmd.ProcessState.ExitCode(), string(raw)
	}
	label := fmt.Sprint("sheet-", time.Now().UnixNano())
	if code, said := load(label); code != 0 {
		t.Fatalf("a whole sheet over a whole wire: %d %s", code, said)
	}
	whole := w.sent.Load()
	rng, cuts := rand.New(rand.NewPCG(3, 4)), map[string]int{}
	for i := range times {
		program := fmt.Sprint(label, "-", i)
		if w.left.Store(1 + rng.Int64N(whole)); i%2 == 1 { // at the end, where all of it is stored
			w.left.Store(whole - rng.Int64N(300))
		}
		code, said := load(program)
		w.left.Store(-1)
		stored := inSheet(t, r, program)
		cuts[fmt.Sprintf("exit %d with %d of %d plays", code, stored.plays, sheetRows)]++
		if stored != (sheetCount{}) && stored != wholeSheet {
			t.Errorf("cut, half of the sheet is there: %+v; it said %s", stored, said)
		}
		if code != 0 {
			out.unsaid += stored.plays
		}
		from := time.Now()
		if code, said := load(program); code != 0 {
			t.Errorf("again over a whole wire: %d %s", code, said)
		}
		out.back = append(out.back, time.Since(from))
		out.acknowledged += sheetRows
		switch stored := inSheet(t, r, program); {
		case stored == wholeSheet:
			out.found += sheetRows
		case stored.plays > sheetRows || stored.created > sheetRows || stored.games > wholeSheet.games:
			out.doubled++
			t.Errorf("doubled: %+v", stored)
		default:
			out.lost++
			t.Errorf("lost: %+v", stored)
		}
	}
	out.note = fmt.Sprintf("a sheet of %d plays is %d bytes on the wire; after the cut: %v; recovery is the time of "+
		"the second run", sheetRows, whole, cuts)
	return out
}

// A sheetCount is what is there of a sheet.
type sheetCount struct{ plays, created, games, opponents, words int }

var wholeSheet = sheetCount{sheetRows, sheetRows, 8, 2, 40}

func inSheet(t *testing.T, r *rig, program string) (n sheetCount) {
	t.Helper()
	db := r.connect()
	defer db.Close(context.Background())
	err := db.QueryRow(context.Background(), `
		SELECT (SELECT count(*) FROM plays WHERE program_id = p.id), (SELECT count(*) FROM play_changes WHERE program_id = p.id AND before IS NULL),
			(SELECT count(*) FROM games WHERE program_id = p.id), (SELECT count(*) FROM opponents WHERE program_id = p.id), (SELECT count(*) FROM words WHERE program_id = p.id)
		FROM programs p
		WHERE code = $1`, program).Scan(&n.plays, &n.created, &n.games, &n.opponents, &n.words)
	if err != nil && err != pgx.ErrNoRows {
		t.Fatal(err)
	}
	return n
}
