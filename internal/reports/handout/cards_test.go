package handout

import (
	"context"
	"regexp"
	"slices"
	"strings"
	"testing"

	"overhang/integration/outside"
	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/golden"
	"overhang/internal/reports/paper"
	"overhang/internal/stress"
	"overhang/internal/stress/field"
)

// TestQuizAnswers asks the owner of each row of the trade's ownership table what is
// his; his card must name that receiver, or a zone. Source: checks/ownership.csv
// (common practice).
func TestQuizAnswers(t *testing.T) {
	byName, zoned := 0, 0
	for _, row := range outside.Rows(t, "checks", "ownership.csv")[1:] {
		id, set, callName, pic, receiver, owner := row[0], row[1], row[2], row[3], row[4], row[5]
		w := weekOf(named(t, callName), []plan.Concept{{SetName: set, Concept: id, Family: "dropback", Plays: 10,
			Routes: pic}})
		q, err := MakeQuiz(made, w, "", "", 60)
		if err != nil || len(w.Concepts) != 1 {
			t.Fatalf("%s: %v", id, err)
		}
		side, role, _ := strings.Cut(owner, " ")
		if side != "playside" && side != "backside" {
			side, role = "playside", owner
		}
		who := "#" + receiver[1:]
		if (side == "playside") != (receiver[0] == 'P') {
			who += " on the other side"
		}
		found := false
		for _, c := range q.Cards {
			g := c.result.Rep
			for j := range g.Setup.Men {
				m := &g.Setup.Men[j]
				play := m.Side == g.Picture.Play
				if m.Slot.Name != c.Man || !slices.Contains(m.Slot.Roles, role) ||
					role != "middle" && play != (side == "playside") {
					continue
				}
				found = true
				// His own answer, cut before what he merely helps with or leaves alone.
				switch {
				case manRE(who).MatchString(c.Answer) || strings.Contains(strings.ToLower(c.Answer),
					"carry "+who+" ") || strings.Contains(strings.ToLower(c.Answer), "under "+who+" "):
					byName++
				case strings.HasPrefix(c.Answer, "Play the ") || strings.HasPrefix(c.Answer, "Help on "+who):
					zoned++
				default:
					t.Errorf("%s: %s against %q: the %s owes %s, his card says %q", id, callName, pic, owner, receiver, c.Answer)
				}
			}
		}
		if !found {
			t.Errorf("%s: nobody asks the %s", id, owner)
		}
	}
	t.Logf("%d cards name the receiver of the row, %d answer with a zone", byName, zoned)
	if byName < 20 {
		t.Errorf("only %d rows were answered by name", byName)
	}
}

// manRE finds that an answer takes a receiver man to man.
func manRE(who string) *regexp.Regexp { return regexp.MustCompile(`(?i)\bman ` + who + `([,;.]|$)`) }

func TestQuiz(t *testing.T) {
	w := weekOf(named(t, "cover 2 spot", "quarters match", "palms"), shown())
	q, err := MakeQuiz(made, w, "", "", 0)
	if err != nil {
		t.Fatal(err)
	}
	men := map[string]int{}
	for i, c := range q.Cards {
		men[c.Call+c.Man]++
		if c.Number != i+1 || men[c.Call+c.Man] > 2 {
			t.Errorf("card %d: %s, %s for the %d. time", i+1, c.Call, c.Man, men[c.Call+c.Man])
		}
	}
	// CALC: smash (20 plays) asks the corner of cover 2 most: trade notes 0.2, K1.
	if c := q.Cards[0]; c.Concept != "smash" || c.ShortYd == 0 {
		t.Errorf("the first card is %+v", c)
	}
	one, err := MakeQuiz(made, w, "palms", "strong corner", 5)
	if err != nil || len(one.Cards) != 2 {
		t.Fatalf("%d cards for one man, %v; want two", len(one.Cards), err)
	}
	// By hand from palms.json and the picture: the flood is trips, so the question tells three on his side.
	if got := seen(w.Results[2][0].Rep.Picture,
		w.Results[2][0].Rep.Picture.Play); got != "On your side #1 hitch (stops at 6), #2 corner (breaks out at 12); "+
		"on the other, #1 go." {
		t.Errorf("the smash is told as %q", got)
	}
	d := q.Document()
	golden.Document(t, "quiz", d)
	numbersFrom(t, q, html(t, d))
	if ps := sheetPages(t, d); len(ps) != 2*((len(q.Cards)+5)/6) {
		t.Errorf("%d pages for %d cards, six a side", len(ps), len(q.Cards))
	}
	for _, bad := range [][2]string{{"nothing", ""}, {"", "nobody"}} {
		if _, err := MakeQuiz(made, w, bad[0], bad[1], 0); err == nil {
			t.Errorf("quiz of %v: no error", bad)
		}
	}
}

// usages of the invented opponent.
func usages() []plan.Usage {
	return []plan.Usage{
		{SetName: "2x2", Concept: "smash", Down: "3", Band: "7-10", Zone: "RED", Hash: "left", Side: "right", Plays: 12},
		{SetName: "2x2", Concept: "smash", Down: "1", Band: "7-10", Hash: "right", Side: "left", Plays: 8},
		{SetName: "3x1", Concept: "flood", Down: "1", Band: "7-10", Hash: "middle", Side: "left", Plays: 9},
	}
}

func TestScout(t *testing.T) {
	w := weekOf(named(t, "cover 2 spot", "quarters match"), shown())
	s, err := Scout(context.Background(), made, w, usages(), 0, 2)
	if err != nil || len(s.Cards) != 3 {
		t.Fatalf("%d cards, %v; want the three concepts", len(s.Cards), err)
	}
	c := &s.Cards[0]
	if c.Concept != "smash" || c.Usual.Down != "3" || c.Usual.SituationPlays != 12 || c.Usual.Hash != "left" ||
		c.Call == "" {
		t.Errorf("first card %+v", c)
	}
	// High-school field diagram: hash marks divide the 160 ft of width in thirds; a ball on the
	// left hash is 80/3 ft, 8.89 yd, left of the middle (MEM).
	if got := c.pic.Spot.FromMiddle; got > -8.8 || got < -9 {
		t.Errorf("the ball is %.2f yd from the middle, want 8.89 to the left", got)
	}
	if s.Cards[1].pic.Play != -1 || c.pic.Play != 1 {
		t.Error("the concepts are not drawn to the side they are run to")
	}
	d := s.Document()
	golden.Document(t, "scout", d)
	numbersFrom(t, s, html(t, d), "1st 2nd 3rd 4th")
	if ps := sheetPages(t, d); len(ps) != 4 || !strings.Contains(ps[0], "3rd & 7-10, left hash") ||
		!strings.Contains(ps[1], "Our call") {
		t.Errorf("%d pages, want two fronts with their backs", len(ps))
	}
}

func TestPractice(t *testing.T) {
	calls := named(t, "cover 2 spot", "quarters match", "cover 3 sky", "palms")
	var xs []ask.Stretch
	for _, p := range plan.UsualPeriods {
		xs = append(xs, ask.Stretch{Period: p, Board: must(plan.Build(context.Background(), calls, withRuns(), 33,
			field.HighSchool, plan.Terms{Setting: stress.Usual})), Usages: p.In(usages(), []string{"RED"}), Plays: 33})
	}
	p, err := MakePractice(made, field.HighSchool, xs, nil)
	if err != nil {
		t.Fatal(err)
	}
	minutes, reps := 0.0, 0
	for _, x := range p.Totals {
		minutes += x.Minutes
	}
	for _, x := range p.Periods {
		reps += len(x.Reps)
		// CALC: as many reps as the minutes hold.
		if want := int(x.Minutes * 60 / x.RepS); len(x.Reps) != want {
			t.Errorf("%s: %d reps, want %d", x.Name, len(x.Reps), want)
		}
	}
	if minutes != p.Minutes || p.Minutes != 75 || reps != p.Reps || p.Reps == 0 {
		t.Errorf("%v minutes by contact, %v in all; %d reps, %d in all", minutes, p.Minutes, reps, p.Reps)
	}
	d := p.Document()
	golden.Document(t, "practice", d)
	numbersFrom(t, p, html(t, d), "1st 2nd 3rd 4th")
	// Product notes: practice scripts state contact levels and carry the caution line.
	text := strings.Join(sheetPages(t, d), " ")
	for _, want := range []string{"Contact limits, heat and concussion rules are those of your association and of " +
		"licensed medical staff, and come before this script.", "75 minutes", "controlled", "Our call:"} {
		if !strings.Contains(text, want) {
			t.Errorf("the script lacks %q", want)
		}
	}
}

// TestHardCards: nothing tagged, no calls, one play, long and right-to-left names.
func TestHardCards(t *testing.T) {
	f := made
	f.Opponent, f.Program = "מגן "+strings.Repeat("Ångström-Überlänge ", 12), strings.Repeat("x", 300)
	one := shown()[:1]
	one[0].Plays = 1
	long := shown()[:1]
	long[0].Concept = strings.Repeat("a-very-long-name-", 12)
	for what, w := range map[string]*plan.Week{
		"nothing tagged": weekOf(named(t, "palms"), nil), "no calls": weekOf(nil, shown()),
		"one play": weekOf(named(t, "palms"), one), "a long name": weekOf(named(t, "palms"), long),
	} {
		scout, err1 := Scout(context.Background(), f, w, nil, 0, 4)
		quiz, err2 := MakeQuiz(f, w, "", "", 0)
		script, err3 := MakePractice(f, field.HighSchool, []ask.Stretch{{Period: plan.UsualPeriods[1],
			Board: must(plan.Build(context.Background(), w.Calls, w.Concepts, 1, field.HighSchool,
				plan.Terms{Setting: stress.Usual}))}}, nil)
		if err1 != nil || err2 != nil || err3 != nil {
			t.Fatal(what, err1, err2, err3)
		}
		for _, s := range []interface{ Document() *paper.Document }{scout, quiz, script} {
			d := s.Document()
			for format := range paper.Formats {
				var b strings.Builder
				if err := d.Write(&b, format); err != nil || b.Len() == 0 {
					t.Errorf("%s, %s as %s: %v", what, d.Title, format, err)
				}
			}
			if text := strings.Join(sheetPages(t, d), " "); what == "nothing tagged" && !strings.Contains(text,
				"routes tagged") {
				t.Errorf("%s of an opponent without plays does not say what is missing: %s", d.Title, text)
			}
		}
	}
}
