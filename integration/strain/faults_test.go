package strain

import (
	"bytes"
	"flag"
	"fmt"
	"slices"
	"strings"
	"testing"
	"text/tabwriter"
	"time"
)

var inFull = flag.Bool("faults", false, "inject every fault many times: a few minutes; without it some, once or twice")
var more = flag.Int("more", 1, "with -faults: so many times as often")

const (
	crewSize = 20
	pause    = 120 * time.Millisecond // between one analyst's plays, about
)

// A fault is something that goes wrong while a crew is at work.
type fault struct {
	name   string
	few    int // how often it is injected in short, 0: not
	often  int // with -faults
	needs  func(*testing.T) string
	strain func(*testing.T, *rig, int) row // injects it so many times
	own    func(*testing.T) *rig           // where it needs a rig of its own
}

// A row is what the table says of a fault.
type row struct {
	count
	back []time.Duration // from the end of the fault until every analyst's next write was acknowledged
	note string
}

var faults = []fault{
	{name: "server killed (kill -9)", few: 2, often: 20, strain: underCrew(serverKilled)},
	{name: "PostgreSQL killed (kill -9, all of it)", few: 1, often: 15, strain: underCrew(databaseKilled)},
	{name: "slow database (100 ms either way)", few: 1, often: 5, strain: underCrew(slowDatabase)},
	{name: "locked table, and a flood of reads", few: 1, often: 4, strain: underCrew(lockedTable)},
	{name: "ingest cut at a random byte", few: 2, often: 40, strain: ingestCut},
	{name: "two servers migrate an empty database", few: 1, often: 15, strain: migrateTogether},
	{name: "replay of the replica stands still", few: 1, often: 5, strain: replicaLags},
	{name: "full disk", often: 5, needs: needsMount, own: smallDisk, strain: underCrew(fullDisk)},
	{name: "database's clock jumps", often: 6, needs: needsFaketime, own: fakedTime, strain: clockJumps},
}

// TestFaults injects faults while twenty analysts tag and prints what became of
// every write they were told is stored. Each must be there exactly once, in its row
// and in the history, and the service must recover with no hand but a supervisor's.
func TestFaults(t *testing.T) {
	var table bytes.Buffer
	w := tabwriter.NewWriter(&table, 2, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "fault\ttimes\tacknowledged\tfound once\tlost\tdoubled\tnot acknowledged, yet there\trecovery "+
		"median\tworst\t")
	var common *rig // of all faults that leave it whole
	whole := t
	for _, f := range faults {
		times := f.few
		if *inFull {
			times = f.often * *more
		}
		if times == 0 {
			continue
		}
		if f.needs != nil {
			if why := f.needs(t); why != "" {
				fmt.Fprintf(w, "%s\tNOT INJECTED: %s\t\n", f.name, why)
				continue
			}
		}
		t.Run(strings.ReplaceAll(f.name, " ", "_"), func(t *testing.T) {
			var r *rig
			if f.own != nil {
				r = f.own(t)
			} else if r = common; r == nil {
				common = newRig(whole, folder(whole))
				r = common
			}
			x := f.strain(t, r, times)
			if x.lost > 0 || x.doubled > 0 || x.found != x.acknowledged || x.acknowledged == 0 {
				t.Errorf("of %d acknowledged writes %d are there once, %d lost, %d doubled", x.acknowledged, x.found, x.lost,
					x.doubled)
			}
			slices.Sort(x.back)
			fmt.Fprintf(w, "%s\t%d\t%d\t%d\t%d\t%d\t%d\t%s\t%s\t\n", f.name, times, x.acknowledged, x.found, x.lost, x.doubled,
				x.unsaid,
				seconds(x.back[len(x.back)/2]), seconds(x.back[len(x.back)-1]))
			t.Logf("answers by status (0: none): %v %s", x.states, x.note)
		})
	}
	t.Run("what is lost or doubled is seen", func(t *testing.T) { countSees(t, common) })
	w.Flush()
	t.Logf("%d analysts at once; recovery: from the end of the fault until every one of them had a write acknowledged "+
		"that he began after it\n%s", crewSize, table.String())
}

func seconds(d time.Duration) string { return fmt.Sprintf("%.2f s", d.Seconds()) }

// underCrew injects a fault, again and again, while a crew is at work. inject
// returns the moment from which nothing stands in the way of recovery.
func underCrew(inject func(*testing.T, *rig, int) time.Time) func(*testing.T, *rig, int) row {
	return func(t *testing.T, r *rig, times int) (out row) {
		c := newCrew(t, r, t.Name(), crewSize, pause)
		c.recovered(time.Now()) // all are at work
		for i := range times {
			from := inject(t, r, i)
			out.back = append(out.back, c.recovered(from))
			time.Sleep(200 * time.Millisecond)
		}
		c.stop()
		out.count = c.audit()
		return out
	}
}

// countSees takes one acknowledged play away and doubles another behind the server's
// back: a count that did not notice would prove nothing.
func countSees(t *testing.T, r *rig) {
	if r == nil {
		r = newRig(t, folder(t))
	}
	c := newCrew(t, r, t.Name(), 2, pause)
	c.recovered(time.Now())
	c.stop()
	before := c.audit()
	db := r.connect()
	for _, sql := range []string{
		`DELETE FROM plays WHERE game_id = $1 AND number = 1`,
		`INSERT INTO plays (program_id, id, game_id, opponent_id, number, status, note)
			SELECT program_id, gen_random_uuid(), game_id, opponent_id, 950, status, $2 FROM plays WHERE game_id = $1 LIMIT 1`,
	} {
		args := []any{c.taggers[1].games[0]}
		if strings.Contains(sql, "$2") {
			args = []any{c.taggers[0].games[0], c.taggers[0].acks[0].key}
		}
		if tag, err := db.Exec(t.Context(), sql, args...); err != nil || tag.RowsAffected() != 1 {
			t.Fatalf("%v %v", tag, err)
		}
	}
	if x := c.audit(); before.lost+before.doubled > 0 || x.lost == 0 || x.doubled != 1 {
		t.Errorf("before %+v, after one play was taken away and one doubled %+v", before, x)
	}
}
