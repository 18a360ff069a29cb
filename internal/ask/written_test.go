package ask_test

import (
	"context"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"overhang/internal/ask"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
)

// question is smash against cover 3, both written out.
func question(change func(*ask.PlayQuestion)) ask.PlayQuestion {
	q := ask.UsualPlay()
	q.Call, q.Picture, q.Concept = json.RawMessage(`"cover 3 spot"`), "P1 hitch@5, P2 corner@12, B1 go", "smash"
	if change != nil {
		change(&q)
	}
	return q
}

// TestAPlayThatCannotBeIsRefusedByField: the call, the level or the picture.
func TestAPlayThatCannotBeIsRefusedByField(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		change func(*ask.PlayQuestion)
		field  string
	}{
		"a call of no book":       {func(q *ask.PlayQuestion) { q.Call = []byte(`"cover 9"`) }, "call"},
		"a call that is a number": {func(q *ask.PlayQuestion) { q.Call = []byte(`9`) }, "call"},
		"a call without men":      {func(q *ask.PlayQuestion) { q.Call = []byte(`{"name":"x"}`) }, "call"},
		"no call":                 {func(q *ask.PlayQuestion) { q.Call = nil }, "call"},
		"a level nobody plays":    {func(q *ask.PlayQuestion) { q.Level = "sandlot" }, "level"},
		"no level":                {func(q *ask.PlayQuestion) { q.Level = "" }, "level"},
		"a route nobody runs":     {func(q *ask.PlayQuestion) { q.Picture = "P1 waltz" }, "picture"},
		"a depth that is none":    {func(q *ask.PlayQuestion) { q.Picture = "P1 hitch@NaN" }, "picture"},
		"a set nobody stands in":  {func(q *ask.PlayQuestion) { q.SetName = "7x4" }, "picture"},
		"a family there is not":   {func(q *ask.PlayQuestion) { q.Family = "waltz" }, "picture"},
	} {
		if p, err := ask.Play(context.Background(), question(tt.change)); !slices.Equal(
			wrongFields(err),
			[]string{tt.field},
		) {
			t.Errorf("%s: %v, %v; want a refusal of %s", name, p, err, tt.field)
		}
		if _, err := ask.PlayBench(context.Background(), question(tt.change), true,
			""); !slices.Equal(wrongFields(err), []string{tt.field}) {
			t.Errorf("%s, on a bench: %v; want a refusal of %s", name, err, tt.field)
		}
	}
	gone, leave := context.WithCancel(context.Background())
	leave()
	if _, err := ask.PlayBench(gone, question(nil), false, ""); err != context.Canceled {
		t.Errorf("the caller left: %v", err)
	}
}

// TestAFaultOfAWrittenCallHasItsPlace: a word that is wrong in a call is told with a pointer
// to it (RFC 6901).
func TestAFaultOfAWrittenCallHasItsPlace(t *testing.T) {
	t.Parallel()
	body := string(book(t, "cover 3 spot", true).Body)
	q := question(func(q *ask.PlayQuestion) {
		q.Call = []byte(strings.Replace(body, "zone middle third", "zone upper deck", 1))
	})
	_, err := ask.Play(context.Background(), q)
	e := tags.As(err)
	if e == nil {
		t.Fatal(err)
	}
	k := slices.IndexFunc(e.Faults, func(f tags.Fault) bool { return f.Severity == "refused" })
	if k < 0 || e.Faults[k].Defender != "free safety" {
		t.Fatalf("%+v; want a fault of the free safety that is refused", e.Faults)
	}
	var doc any
	if err := json.Unmarshal(q.Call, &doc); err != nil {
		t.Fatal(err)
	}
	for _, token := range strings.Split(e.Faults[k].Path, "/")[1:] { // RFC 6901, section 4
		switch x := doc.(type) {
		case map[string]any:
			doc = x[token]
		case []any:
			var i int
			if err := json.Unmarshal([]byte(token), &i); err != nil || i >= len(x) {
				t.Fatalf("%s: no element %s", e.Faults[k].Path, token)
			}
			doc = x[i]
		}
	}
	if s, _ := doc.(string); !strings.Contains(s, "upper deck") {
		t.Errorf("%s leads to %v", e.Faults[k].Path, doc)
	}
}

// TestPlayAnswer: all findings of a written play are told, what does not hold is left empty,
// never null, and chances are chances.
func TestPlayAnswer(t *testing.T) {
	t.Parallel()
	p, err := ask.Play(context.Background(), question(nil))
	if err != nil {
		t.Fatal(err)
	}
	a := p.Answer(false)
	if a.Call != "cover 3 spot" || a.Picture != "P1 hitch@5, P2 corner@12, B1 go" ||
		len(a.Findings) != len(p.Result.Findings) ||
		a.Timeline != nil ||
		a.Run != nil {
		t.Errorf("%+v", a)
	}
	// First and ten at 40% needs 4 yards (the usual cut of the settings).
	if a.NeedYd != 4 {
		t.Errorf("a success needs %v yards, want 4", a.NeedYd)
	}
	shares := 0.0
	for _, x := range a.Throws {
		shares += x.Share
		if !(x.Success >= 0 && x.Success <= x.Complete && x.Complete <= 1) {
			t.Errorf("%s: succeeds %v, complete %v", x.Receiver, x.Success, x.Complete)
		}
	}
	if shares > 1+1e-9 || shares == 0 {
		t.Errorf("the throws' shares come to %v", shares)
	}
	raw, err := json.Marshal(a)
	if err != nil || strings.Contains(string(raw), ":null") {
		t.Errorf("%v: %s", err, raw)
	}
	third := question(func(q *ask.PlayQuestion) { q.Down, q.DistanceYd = 3, 7 })
	if p, err = ask.Play(context.Background(), third); err != nil || p.NeedYd != 7 {
		t.Errorf("third and seven needs %v, %v; want all 7 yards", p.NeedYd, err)
	}
	run := question(func(q *ask.PlayQuestion) { q.Family, q.Picture, q.Concept = "run", "B1 block", "inside zone" })
	if p, err = ask.Play(context.Background(), run); err != nil {
		t.Fatal(err)
	}
	if a = p.Answer(false); a.Run == nil || a.RunFit == nil || len(a.RunFit.Gaps) == 0 || len(a.RunFit.Force) != 2 {
		t.Errorf("a run: %+v", a)
	}
}

// TestTheStaffsWordsAreUsed for a defender wherever an answer names him.
func TestTheStaffsWordsAreUsed(t *testing.T) {
	t.Parallel()
	q := question(func(q *ask.PlayQuestion) {
		q.PositionNames = []tags.PositionName{{Position: "free safety", Name: "Eyes"}}
	})
	p, err := ask.Play(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	if men := p.Answer(true).Timeline.Defense; !slices.Contains(men, "Eyes") || slices.Contains(men, "free safety") {
		t.Errorf("defense %v", men)
	}
}

// TestTimeline: eleven against eleven at every tenth of a second; nobody is faster than 11
// yards a second (a sprinter's best is 12.4 m/s, 13.6 yd/s: trade notes; no player's), all are in
// bounds at the snap, and each finding names men that are there.
func TestTimeline(t *testing.T) {
	t.Parallel()
	for _, side := range []string{"right", "left"} {
		q := question(func(q *ask.PlayQuestion) { q.PlaySide, q.Hash = side, "left" })
		p, err := ask.Play(context.Background(), q)
		if err != nil {
			t.Fatal(err)
		}
		tl := p.Answer(true).Timeline
		if len(tl.Offense) != 11 || len(tl.Defense) != 11 || len(tl.Men) != 11 || len(tl.Routes) != 5 {
			t.Fatalf("%d against %d, %d men, %d routes", len(tl.Offense), len(tl.Defense), len(tl.Men), len(tl.Routes))
		}
		var last ask.Frame
		for n, f := range tl.Frames {
			if math.Abs(f.TimeS-float64(n)/10) > 1e-9 || len(f.Offense) != 11 || len(f.Defense) != 11 {
				t.Fatalf("frame %d is of %v s, %d against %d", n, f.TimeS, len(f.Offense), len(f.Defense))
			}
			for k, at := range slices.Concat(f.Offense, f.Defense) {
				if n == 0 && math.Abs(at[0]) > float64(field.Width) {
					t.Errorf("%s: man %d stands at %v", side, k, at)
				}
				if n == 0 {
					continue
				}
				was := slices.Concat(last.Offense, last.Defense)[k]
				if v := math.Hypot(at[0]-was[0], at[1]-was[1]) * 10; v > 11 {
					t.Errorf("%s: man %d runs %.1f yd/s at %v s", side, k, v, f.TimeS)
				}
			}
			last = f
		}
		for _, x := range tl.Threats {
			if x.Man < 0 || x.Man > 10 || x.Open > 4 || x.Other > 4 || x.Open >= 0 && x.Throw == nil {
				t.Errorf("threat %+v", x)
			}
			if x.Throw != nil && !(x.Throw.FlightS > 0 && x.Throw.At[1] > x.Throw.From[1]) {
				t.Errorf("throw %+v", x.Throw)
			}
		}
		for _, r := range tl.Routes {
			if r.Breaks && (!r.Named || r.Blocks || r.BreakS <= 0) {
				t.Errorf("route %+v", r)
			}
		}
	}
}

// TestThePlayRunLeftIsTheMirror: the same play to the other side from the middle gives up the
// same (the frame of package field).
func TestThePlayRunLeftIsTheMirror(t *testing.T) {
	t.Parallel()
	of := func(side string) (*ask.PlayAnswer, error) {
		p, err := ask.Play(context.Background(), question(func(q *ask.PlayQuestion) { q.PlaySide = side }))
		if err != nil {
			return nil, err
		}
		return p.Answer(true), nil
	}
	right, err := of("right")
	if err != nil {
		t.Fatal(err)
	}
	left, err := of("left")
	if err != nil || math.Abs(left.Stress-right.Stress) > 1e-9 || math.Abs(left.Points-right.Points) > 1e-9 {
		t.Errorf("left %v (%v), right %v", left.Stress, err, right.Stress)
	}
	l, r := left.Timeline.Frames[10], right.Timeline.Frames[10]
	for k := range l.Offense[:5] {
		if math.Abs(l.Offense[k][0]+r.Offense[k][0]) > .011 || math.Abs(l.Offense[k][1]-r.Offense[k][1]) > .011 {
			t.Errorf("%s after a second: %v to the left, %v to the right", left.Timeline.Offense[k], l.Offense[k], r.Offense[k])
		}
	}
}

// TestFixesOfAWrittenPlay: a bench beside the built-in pictures looks for changes; where
// nothing is told there is nothing to cure.
func TestFixesOfAWrittenPlay(t *testing.T) {
	t.Parallel()
	alone, err := ask.PlayBench(context.Background(), question(func(q *ask.PlayQuestion) {
		q.Picture, q.Concept = "P1 curl@12, P2 flat@3, B1 go", "curl-flat"
	}), true, "")
	if err != nil || len(alone.Run.Concepts) != 1 {
		t.Fatal(err)
	}
	if alone.Found < 0 {
		t.Fatal("curl-flat against cover 3 has no finding: choose another play for this test")
	}
	f, err := alone.Fixes(context.Background(), 1)
	if err != nil || f.Finding == nil {
		t.Errorf("%+v, %v; want the finding with its fixes", f, err)
	}
	seen := map[string]int{}
	for _, x := range f.Fixes {
		if seen[x.Kind]++; seen[x.Kind] > 1 {
			t.Errorf("one of a kind was asked for: %s is there twice", x.Kind)
		}
	}
	alone.Found = -1
	if f, err = alone.Fixes(context.Background(), 1); err != nil || f.Finding != nil || len(f.Fixes) > 0 {
		t.Errorf("nothing told: %+v, %v", f, err)
	}
}
