package tags

import (
	"encoding/json"
	"reflect"
	"slices"
	"testing"

	"github.com/google/uuid"
	"pgregory.net/rapid"
)

func patchOf(t *testing.T, s string) (x Patch) {
	t.Helper()
	if err := json.Unmarshal([]byte(s), &x); err != nil {
		t.Fatal(err)
	}
	return x
}

// TestPatch: a value sets, null removes, what is absent stays (RFC 7396, 1: SEEN).
func TestPatch(t *testing.T) {
	p := Play{Meta: Meta{ID: uuid.New(), Version: 4}, GameID: uuid.New(), Number: 7, Status: "counted", Down: ptr(3),
		Concept: ptr("smash"), Touchdown: true,
		Routes: []Route{{Side: "left", Number: 1, Eligible: "receiver", Route: "go"}}}
	got, err := patchOf(t, `{"down":null,"gain_yd":-4,"touchdown":null,"routes":null,"hash":"left"}`).Apply(p)
	if err != nil {
		t.Fatal(err)
	}
	want := p
	want.Down, want.GainYd, want.Touchdown, want.Routes, want.Hash = nil, ptr(-4), false, []Route{}, ptr("left")
	if !reflect.DeepEqual(got, want) {
		t.Errorf("patched: %+v\nwant %+v", got, want)
	}
	if d := p.Changes(&got); len(d) != 5 || d["gain_yd"].Before != nil || d["gain_yd"].After != -4.0 ||
		d["down"].After != nil {
		t.Errorf("changes: %v; want the five fields that differ", d)
	}
}

// FuzzPatch: whatever is set, the play that comes out is valid, and is the play
// that went in.
func FuzzPatch(f *testing.F) {
	for _, s := range []string{`{"down":2}`, `{"concept":null}`,
		`{"routes":[{"side":"left","number":1,"eligible":"back","route":"x"}]}`, `{"number":3}`, `{"status":null}`,
		`{"ID":"x","Down":3}`, `{"down":1e99}`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		var x Patch
		if json.Unmarshal(raw, &x) != nil {
			return
		}
		p := Play{Meta: Meta{ID: uuid.Max, Version: 4}, GameID: uuid.Max, OpponentID: uuid.Max, Number: 7, Status: "counted"}
		got, err := x.Apply(p)
		if err != nil {
			if As(err) == nil {
				t.Errorf("%s: %v; want the caller's mistake", raw, err)
			}
			return
		}
		if e := got.Validate(); e != nil {
			t.Errorf("%s: an invalid play came out: %v", raw, e)
		}
		if got.Meta != p.Meta || got.GameID != p.GameID || got.OpponentID != p.OpponentID || got.Number != p.Number {
			t.Errorf("%s: another play came out: %+v", raw, got)
		}
	})
}

// TestProposedChainHolds: plays that are tagged as proposed add up, whatever they
// gain; and one that is put a yard off inside a series does not.
func TestProposedChainHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := Start{Quarter: ptr(1), ClockS: ptr(900), Down: ptr(1), DistanceYd: ptr(10), YardsToGoal: ptr(75),
			ScoreMargin: ptr(0)}
		var ps []Play
		var within []int // plays before and after which the series goes on
		for i := range rapid.IntRange(2, 60).Draw(t, "plays") {
			p := Play{Number: i + 1, Status: "counted", Quarter: at.Quarter, ClockS: at.ClockS, Down: at.Down,
				DistanceYd: at.DistanceYd, YardsToGoal: at.YardsToGoal,
				ScoreMargin: at.ScoreMargin, GainYd: ptr(rapid.IntRange(-9, 30).Draw(t, "gain")),
				Result: ptr(rapid.SampledFrom([]string{"rush", "complete", "sack", "intercepted"}).Draw(t, "result"))}
			p.Touchdown = *p.GainYd >= *p.YardsToGoal
			ps = append(ps, p)
			next := Propose(&p)
			if at = next.Start; next.Series == SeriesGoesOn {
				within = append(within, i)
				continue
			}
			spot := rapid.IntRange(1, 99).Draw(t, "spot")
			at.Down, at.DistanceYd, at.YardsToGoal, at.ScoreMargin = ptr(1), ptr(min(10, spot)), &spot, ptr(3)
		}
		if c := CheckChain(ps); len(c.Breaks) > 0 {
			t.Fatalf("breaks in a chain as proposed: %v", c.Breaks)
		}
		for _, i := range within {
			if i == 0 || !slices.Contains(within, i-1) || *ps[i].Down == 1 || *ps[i].YardsToGoal > 98 {
				continue
			}
			off := slices.Clone(ps)
			off[i].YardsToGoal = ptr(*ps[i].YardsToGoal + 1)
			if len(CheckChain(off).Breaks) == 0 {
				t.Fatalf("play %d put a yard off is not seen", i+1)
			}
		}
	})
}
