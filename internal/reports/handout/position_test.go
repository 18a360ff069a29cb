package handout

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"overhang/internal/reports/golden"
	"overhang/internal/reports/paper"
	"overhang/internal/reports/teach"
	"overhang/internal/stress/call"
)

// TestEveryRule: over every call of the built-in book each man's sheet has each of
// his alignments, keys and rules, in order, and none of anybody else's. The source
// is the call itself, read here without the code that lays it out; that a sentence
// says what its rule says is held in package teach.
func TestEveryRule(t *testing.T) {
	w := weekOf(whole(), shown())
	s, err := Positions(context.Background(), made, w, "", "")
	if err != nil {
		t.Fatal(err)
	}
	taught := map[string]int{} // call|check|man as written
	for _, p := range s.Positions {
		c, _ := call.Lookup(p.Call)
		for _, tt := range p.Taught {
			taught[p.Call+"|"+tt.Check+"|"+tt.taught.Name+"|"+tt.taught.Side]++
			if len(tt.Sides) != map[string]int{"both": 2}[tt.taught.Side]+map[string]int{"strong": 1,
				"weak": 1}[tt.taught.Side] {
				t.Errorf("%s, %s: sides %v of a man written for %s", p.Call, p.Defender, tt.Sides, tt.taught.Side)
			}
			same(t, p.Call+", "+p.Defender, c.Call, &tt)
		}
	}
	for _, c := range call.Book() {
		want := map[string]int{}
		for _, d := range c.Call.Defenders {
			want[c.Call.Name+"||"+d.Name+"|"+d.Side]++
		}
		for _, ch := range c.Call.Checks {
			for _, d := range ch.Defenders {
				want[c.Call.Name+"|"+ch.Name+"|"+d.Name+"|"+d.Side]++
			}
		}
		for k, n := range want {
			if taught[k] != n {
				t.Errorf("%s stands on %d sheets, want %d", k, taught[k], n)
			}
			delete(taught, k)
		}
	}
	if len(taught) > 0 {
		t.Errorf("sheets for men no call has: %v", taught)
	}
}

// same compares a teaching with the man as the call has him.
func same(t *testing.T, at string, c *call.Call, got *Teaching) {
	t.Helper()
	d := got.taught
	if len(got.Align) != len(d.Align) || len(got.Rules) != len(d.Rules) {
		t.Fatalf("%s: %d alignments and %d rules, want %d and %d", at, len(got.Align), len(got.Rules), len(d.Align),
			len(d.Rules))
	}
	for i := range d.Align {
		when, err := call.ParseCond(d.Align[i].When)
		if err != nil {
			t.Fatal(err)
		}
		words := ""
		if when.Op != call.Else {
			words = teach.When(&when, c.Vertical)
		}
		if got.Align[i].When != words || got.Align[i].Where != teach.Align(&d.Align[i]) {
			t.Errorf("%s: alignment %d reads %q, %q", at, i, got.Align[i].When, got.Align[i].Where)
		}
	}
	for i := range d.Rules {
		when, _ := call.ParseCond(d.Rules[i].When)
		then, err := call.ParseDuties(d.Rules[i].Then)
		if err != nil {
			t.Fatal(err)
		}
		if got.Rules[i] != (Line{teach.When(&when, c.Vertical), teach.Then(then)}) {
			t.Errorf("%s: rule %d reads %v", at, i, got.Rules[i])
		}
	}
	written := ""
	for _, r := range d.Rules {
		written += r.When + "; " + r.Then + "; "
	}
	n := 0
	for _, k := range d.Keys { // "#2", "far #2", "back": common notation of the call's form
		word := strings.TrimPrefix(k, "far ")
		if n++; strings.Contains(written, k) && !strings.Contains(got.Keys, word) {
			t.Errorf("%s: the key %s is not in %q", at, k, got.Keys)
		}
	}
	if said := strings.Count(got.Keys, "#") + strings.Count(got.Keys, "the back"); said > n {
		t.Errorf("%s: %q names %d, want the %d keys a rule uses", at, got.Keys, said, n)
	}
}

// TestStands: the yards of a set are those of the call and the set by hand.
func TestStands(t *testing.T) {
	s, err := Positions(context.Background(), made, weekOf(named(t, "quarters match"), shown()), "quarters match",
		"safety")
	if err != nil || len(s.Positions) != 1 {
		t.Fatalf("%v, %d positions; want the one safety of both sides", err, len(s.Positions))
	}
	p := &s.Positions[0]
	find := func(check, set, side string) string {
		for _, tt := range p.Taught {
			for _, a := range tt.Align {
				for _, x := range a.Sets {
					if tt.Check == check && x.SetName == set && x.Side == side {
						return fmt.Sprintf("%s: %g / %g", a.Where, x.OutYd, x.DeepYd)
					}
				}
			}
		}
		return "nowhere"
	}
	for _, c := range []struct{ check, set, side, want string }{
		// CALC: #2 of a 2x2 stands 9.5 from the ball (sets.json), 1.5 inside him is 8.
		{"", "2x2", "strong",
			"1.5 yards inside #2, 9.5 yards deep (no #2: 7 yards outside the ball): 8 / 9.5"},
		// CALC: 2x2 attached, #2 is the end man at 4.5; 2 outside him is 6.5.
		{"", "2x2 attached", "strong", "2 yards outside the end man on the line, 9 yards deep: 6.5 / 9"},
		// CALC: trips make the check; the far safety stands 2.5 to his own side.
		{"solo", "3x1", "weak", "2.5 yards outside the ball, 11 yards deep: 2.5 / 11"},
		{"", "3x1", "weak", "nowhere"},
	} {
		if got := find(c.check, c.set, c.side); got != c.want {
			t.Errorf("check %q, %s, %s: %s\nwant %s", c.check, c.set, c.side, got, c.want)
		}
	}
}

// TestConflictOnSheet: the corner of cover 2 between hitch and corner route. Source:
// conflicts of trade.md 0.2, K1: cover 2 corner, hitch under, corner route over.
func TestConflictOnSheet(t *testing.T) {
	w := weekOf(named(t, "cover 2 spot", "cover 1"), shown()[:1])
	s, err := Positions(context.Background(), made, w, "cover 2 spot", "strong corner")
	if err != nil {
		t.Fatal(err)
	}
	c := s.Positions[0].Conflict
	if c == nil || c.Concept != "smash" || c.Finding.Kind != "high-low" || c.Finding.Defender != "strong corner" {
		t.Fatalf("conflict %+v; want the strong corner high-low by the smash", c)
	}
	if c.Rule != (Line{teach.Otherwise, "play the cloud flat; bump #1 on the way"}) {
		t.Errorf("rule %v", c.Rule)
	}
	if c.Helper == "" || c.Helper == "strong corner" || c.LeastStress > c.Stress {
		t.Errorf("helper %q, least stress %v of %v", c.Helper, c.LeastStress, c.Stress)
	}
	if p := s.Positions[0].Shown[0]; p.Concept != "smash" || p.finding < 0 || len(p.Do) != 1 ||
		p.Do[0] != "At the snap: play the cloud flat; bump #1 on the way." {
		t.Errorf("first picture %+v", p)
	}
}

// TestAssumedOnHandouts: whatever carries a count of plays onto the field says how many of
// them have routes that nobody saw: the box of a position's conflict, the quiz, the watch of a call
// sheet, in data and in words.
func TestAssumedOnHandouts(t *testing.T) {
	cs := shown()[:1]
	cs[0].Plays, cs[0].Assumed = 42, 14
	w := weekOf(named(t, "cover 2 spot", "cover 1"), cs)
	s, err := Positions(context.Background(), made, w, "cover 2 spot", "strong corner")
	if err != nil {
		t.Fatal(err)
	}
	if c := s.Positions[0].Conflict; c == nil || c.Plays != 42 || c.Assumed != 14 {
		t.Errorf("the conflict is %+v", c)
	}
	q, err := MakeQuiz(made, w, "cover 2 spot", "", 0)
	if err != nil {
		t.Fatal(err)
	}
	if c := q.Cards[0]; c.Assumed != 14 {
		t.Errorf("the card has %d assumed", c.Assumed)
	}
	if page := html(t, q.Document()); !strings.Contains(page, "n = 42; routes or set of 14 of 42 assumed") {
		t.Error("the quiz does not say that routes are assumed")
	}
}

func TestPositionPages(t *testing.T) {
	s, err := Positions(context.Background(), made, weekOf(named(t, "cover 2 spot", "quarters match"), shown()), "",
		"corner")
	if err != nil {
		t.Fatal(err)
	}
	d := s.Document()
	golden.Document(t, "position", d)
	numbersFrom(t, s, html(t, d), "1st 2x2")
	var page strings.Builder
	d.Write(&page, "html")
	for _, want := range []string{"COVER 2 SPOT", "QUARTERS MATCH", "Anything else: cloud flat.",
		"What I will see most", "60 counted plays"} {
		if !strings.Contains(page.String(), want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	for _, coach := range []string{"For the coach", "My conflict", "roposed", "succeeds", "short, at"} {
		if strings.Contains(page.String(), coach) {
			t.Errorf("a player's page says %q, which is for his coach", coach)
		}
	}
}

// TestHardPositions: no plays, no calls, one play, long and right-to-left names.
func TestHardPositions(t *testing.T) {
	f := made
	f.Opponent, f.Program = "מגן "+strings.Repeat("Ångström-Überlänge ", 12), strings.Repeat("x", 300)
	for what, s := range map[string]func() (*PositionSheet, error){
		"no plays": func() (*PositionSheet, error) {
			return Positions(context.Background(), f, weekOf(named(t, "cover 3 sky"), nil), "", "")
		},
		"no calls": func() (*PositionSheet, error) {
			return Positions(context.Background(), f, weekOf(nil, shown()), "", "")
		},
		"one play": func() (*PositionSheet, error) {
			c := shown()[:1]
			c[0].Plays = 1
			return Positions(context.Background(), f, weekOf(named(t, "palms"), c), "", "")
		},
	} {
		got, err := s()
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		for format := range paper.Formats {
			var b strings.Builder
			if err := got.Document().Write(&b, format); err != nil || b.Len() == 0 {
				t.Errorf("%s as %s: %v", what, format, err)
			}
		}
	}
	none, _ := Positions(context.Background(), made, weekOf(named(t, "cover 3 sky"), nil), "", "")
	if sets := none.Positions[0].Taught[0].Align; !slices.ContainsFunc(sets,
		func(l Lineup) bool { return len(l.Sets) > 5 }) {
		t.Errorf("without plays a man lines up against the standard sets: %+v", sets)
	}
	for _, bad := range [][2]string{{"no such call", ""}, {"", "no such man"}} {
		if _, err := Positions(context.Background(), made, weekOf(named(t, "palms"), shown()), bad[0], bad[1]); err == nil {
			t.Errorf("call %q, defender %q: no error", bad[0], bad[1])
		}
	}
}

// tenCalls are ten calls of the built-in book, of every kind it has.
var tenCalls = []string{"cover 0", "cover 1", "cover 2 spot", "cover 3 sky", "cover 3 match", "fire zone", "palms",
	"quarters match", "tampa 2", "two-man"}

// TestPacketPages: the packets of ten calls take twelve pages at most, one a man, on either
// paper: every page begins one, and all but that of the rushers end with what he will see.
func TestPacketPages(t *testing.T) {
	s, err := Positions(context.Background(), made, weekOf(named(t, tenCalls...), library()), "", "")
	if err != nil {
		t.Fatal(err)
	}
	for _, a4 := range []bool{false, true} {
		d := s.Document()
		d.A4 = a4
		ps := sheetPages(t, d)
		if len(ps) > 12 {
			t.Errorf("A4 %v: %d pages; want twelve at most", a4, len(ps))
		}
		for i, page := range ps {
			_, page, _ = strings.Cut(page, "no real team, player or place ")
			group, _, _ := strings.Cut(page, " ")
			group = strings.ToLower(strings.Trim(group, ",:"))
			if !slices.ContainsFunc(s.packets(), func(x packet) bool { return x.group == group }) {
				t.Errorf("A4 %v: page %d begins %q; want the name of a man", a4, i+1, page[:min(len(page), 60)])
			}
			if !strings.Contains(page, "What I will see most") && group != rushers {
				t.Errorf("A4 %v: page %d of the %s goes on on another", a4, i+1, group)
			}
		}
	}
	if got := len(s.packets()); got > 11 {
		t.Errorf("%d packets for eleven men", got)
	}
}
