package ask_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"testing"

	"github.com/google/uuid"

	"overhang/internal/demo"
	"overhang/internal/plan"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

func TestMain(m *testing.M) { postgrestest.Main(m) }

// planted is cover 3 with the deep middle left empty: the free safety plays a hook.
func planted(t *testing.T) plan.Named {
	t.Helper()
	good, err := call.Lookup("cover 3 spot")
	if err != nil {
		t.Fatal(err)
	}
	raw, err := json.Marshal(good.Call)
	if err != nil {
		t.Fatal(err)
	}
	bad := bytes.Replace(raw, []byte("zone middle third"), []byte("zone hook"), 1)
	bad = bytes.Replace(bad, []byte(`"depth_yd":13`), []byte(`"depth_yd":5`), 1)
	c, err := call.Decode(bytes.NewReader(bad))
	if err != nil || bytes.Equal(raw, bad) {
		t.Fatal(err, string(raw))
	}
	compiled, err := call.Compile(c)
	if err != nil {
		t.Fatal(err)
	}
	return plan.Named{Name: "deep middle empty", Compiled: compiled}
}

var six = []map[string][]string{
	{"down": {"1"}}, {"down": {"2"}, "distance_band": {"1-3"}}, {"down": {"2"}, "distance_band": {"7-10"}},
	{"down": {"3"}, "distance_band": {"1-3"}}, {"down": {"3"}}, {"field_zone": {"RED"}},
}

// TestBoardsOfTheDemo prints how often each call stands first on the invented season's
// boards, alone or in a group that cannot be told apart. No call leads alone on more than
// half of them. One with the deep middle left empty leads nowhere and is worse beyond doubt
// on a third of the boards at least; that it is on every one is the goal, missed: on 11 of
// 24 the counts are few and it stops the run, with two safeties' men near the line.
func TestBoardsOfTheDemo(t *testing.T) {
	ctx := context.Background()
	s, _ := postgrestest.New(t)
	if err := demo.Load(ctx, s); err != nil {
		t.Fatal(err)
	}
	p, err := s.Program(ctx, demo.Code)
	if err != nil {
		t.Fatal(err)
	}
	calls := []plan.Named{planted(t)}
	for _, name := range []string{"cover 0", "cover 1", "cover 2 spot", "cover 3 spot", "cover 3 match", "cover 6",
		"quarters match", "palms", "tampa 2", "two-man"} {
		c, err := call.Lookup(name)
		if err != nil {
			t.Fatal(err)
		}
		calls = append(calls, plan.Named{Name: name, Compiled: c})
	}
	opponents, err := s.Opponents().List(ctx, p.ID, postgres.Page{Limit: 50})
	if err != nil {
		t.Fatal(err)
	}
	alone, group, boards, bad := map[string]int{}, map[string]int{}, 0, 0
	for _, o := range opponents {
		for _, f := range six {
			b := board(ctx, t, s, p, o, calls, f)
			if b.TooFew != "" {
				fmt.Printf("%s %v: %s\n", o.Code, f, b.TooFew)
				continue
			}
			boards++
			first := 0
			for _, r := range b.Rows {
				if r.Group == 1 {
					group[r.Call]++
					first++
				}
			}
			if first == 1 {
				alone[b.Rows[0].Call]++
			}
			at := slices.IndexFunc(b.Rows, func(r plan.Row) bool { return r.Call == calls[0].Name })
			if b.Rows[at].Group == 1 {
				bad++
			}
			fmt.Printf("%s %v: %d plays, first %s %.3f of %d alike, worst %s %.3f, planted %.3f group %d\n",
				o.Code, f, b.Covered,
				b.Rows[0].Call, b.Rows[0].Points, first, b.Rows[len(b.Rows)-1].Call, b.Rows[len(b.Rows)-1].Points,
				b.Rows[at].Points, b.Rows[at].Group)
		}
	}
	for _, c := range calls {
		fmt.Printf("%-20s first alone %d, in the first group %d of %d boards\n", c.Name, alone[c.Name], group[c.Name], boards)
		if 2*alone[c.Name] > boards {
			t.Errorf("%s leads alone on %d of %d boards", c.Name, alone[c.Name], boards)
		}
	}
	if alone[calls[0].Name] > 0 || 3*(boards-bad) < boards {
		t.Errorf("the planted call is in the first group on %d of %d boards", bad, boards)
	}
	fmt.Printf("planted in the first group on %d of %d boards\n", bad, boards)
}

func board(ctx context.Context, t *testing.T, s interface {
	ConceptRows(context.Context, tags.Program, uuid.UUID, map[string][]string) ([]tags.ConceptRow, error)
	CountPlays(context.Context, tags.Program, uuid.UUID, map[string][]string) (int, error)
}, p tags.Program, o tags.Opponent, calls []plan.Named, f map[string][]string) plan.Board {
	t.Helper()
	rows, err := s.ConceptRows(ctx, p, o.ID, f)
	if err != nil {
		t.Fatal(err)
	}
	n, err := s.CountPlays(ctx, p, o.ID, f)
	if err != nil {
		t.Fatal(err)
	}
	b, err := plan.Build(ctx, calls, plan.Concepts(rows), n, field.HighSchool, plan.SituationOf(0, 0, "", p.Settings))
	if err != nil {
		t.Fatal(err)
	}
	return b
}
