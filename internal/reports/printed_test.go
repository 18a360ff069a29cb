package reports

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/golden"
	"overhang/internal/reports/paper"
	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
	"overhang/internal/study"
	"overhang/internal/tags"
)

var day = time.Date(2031, 9, 15, 12, 0, 0, 0, time.UTC)

// Names that are hard to lay out: accents, right to left, a long word, markup.
const (
	hebrew   = "יריב מומצא"
	accented = "Žďár École Ünïted (invented)"
	longName = "Donaudampfschiffahrtsgesellschaftskapitänsmützenträger und eine Reihe weiterer Wörter (invented)"
)

// pictured are n concepts of the library as if each had been tagged, the first
// most often.
func pictured(n int) []plan.Concept {
	var out []plan.Concept
	for _, e := range picture.Library() {
		if len(out) == n {
			break
		}
		if e.Family == "run" {
			continue
		}
		plays := 3 * (n - len(out))
		var rs []plan.Receiver
		for _, r := range strings.Split(e.Routes, ", ") {
			who, route, _ := strings.Cut(r, " ")
			rs = append(rs, plan.Receiver{Name: who, Route: route, N: plays})
		}
		out = append(out, plan.Concept{SetName: e.Set, Concept: e.Concept, Family: e.Family, Plays: plays, Routes: e.Routes,
			Receivers: rs})
	}
	return out
}

func aStressReport(t *testing.T, opponent string, concepts, calls int) *StressReport {
	t.Helper()
	cs := pictured(concepts)
	var named []plan.Named
	for i := range calls {
		p := call.Book()[i%len(call.Book())]
		name := p.Call.Name
		if i >= len(call.Book()) {
			name += fmt.Sprint(" copy ", i)
		}
		named = append(named, plan.Named{Name: name, Compiled: p})
	}
	total := 0
	for i := range cs {
		total += cs[i].Plays
	}
	sit := plan.Terms{Setting: stress.Usual}
	b := must(plan.Build(context.Background(), named, cs, total, field.College, sit))
	of := ask.Scope{Program: tags.Program{Name: accented, Invented: true}, Opponent: tags.Opponent{Code: "o1",
		Name: opponent},
		Filters: map[string][]string{"down": {"3"}, "distance_band": {"4-6", ""}}}
	return BuildStress(&ask.StressAnswer{Scope: of, Board: b, Worst: must(plan.Cases(context.Background(), &b,
		ask.WorstCases, named))})
}

// counted is a tendency of n groups under keys that start with a word.
func counted(word string, keys, n int, concept bool) tags.Tendency {
	var out tags.Tendency
	for i := range n {
		c := tags.Cell{Plays: 5 * (n - i), Runs: 2 * (n - i), Passes: 3*(n-i) - 1, GainSum: 11*(n-i) - 5,
			GainKnown: 5 * (n - i), Successes: 2 * (n - i), SuccessKnown: 5 * (n - i), Explosives: i % 3,
			ExplosiveKnown: 5 * (n - i)}
		for k := range keys {
			c.Keys = append(c.Keys, ptr(fmt.Sprint(word, " ", i+k)))
		}
		if concept {
			c.Keys = append(c.Keys, ptr("concept of "+word))
		}
		if i == n-1 {
			c.Keys[0] = nil
		}
		out.Total += c.Plays
		out.Cells = append(out.Cells, c)
	}
	return out
}

func anOpponentReport(opponent, word string, groups, concepts int) *OpponentReport {
	a := &ask.OpponentAnswer{Level: field.Pro, Concepts: pictured(concepts)}
	a.Program, a.Opponent = tags.Program{Name: accented, Invented: true, Settings: tags.DefaultSettings()},
		tags.Opponent{Code: "o1", Name: opponent}
	for _, g := range ask.OpponentGroupings {
		a.Groups = append(a.Groups, ask.Grouped{Grouping: g, Groups: counted(word, len(g.By), groups, false),
			Within: counted(word, len(g.By), groups, true)})
	}
	a.Tells = study.FindTells([]study.Table{{Dimension: "hash", Of: "called", Counts: told(groups, "left", "right")}},
		0.05)
	a.Trends = []ask.RecentTrend{{Recent: 3, Trend: study.FindTrend("concept", outcomes(word, groups),
		outcomes("late "+word, groups), 0.05)}}
	return BuildOpponent(a)
}

// told is a dimension with a value a group, run and pass; the first gives the run away.
func told(n int, values ...string) []tags.Count {
	var out []tags.Count
	for i := range min(n, len(values)) {
		out = append(out, tags.Count{Keys: []*string{&values[i], ptr("run")}, Plays: 40 - 30*i},
			tags.Count{Keys: []*string{&values[i], ptr("pass")}, Plays: 5 + 40*i})
	}
	return out
}

func outcomes(word string, n int) []tags.Count {
	var out []tags.Count
	for i := range n {
		out = append(out, tags.Count{Keys: []*string{ptr(fmt.Sprint(word, i))}, Plays: 12 - i%12})
	}
	return out
}

func written(t *testing.T, d *paper.Document, format string) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := d.Write(&b, format); err != nil {
		t.Fatalf("%s as %s: %v", d.Title, format, err)
	}
	return b.Bytes()
}

// TestPrintedGolden keeps bytes stable and proves nothing else.
func TestPrintedGolden(t *testing.T) {
	st, op := aStressReport(t, hebrew, 4, 5), anOpponentReport(longName, "words", 5, 4)
	for _, d := range []*paper.Document{st.Document(day), op.Document(day)} {
		golden.Document(t, d.Name, d)
	}
}

// TestPrintedLaysOut tries what is hard: nobody's plays, one play, many, names of
// every kind; and what a page must never lack.
func TestPrintedLaysOut(t *testing.T) {
	sheets := map[string]*paper.Document{}
	for name, size := range map[string][2]int{"no calls": {3, 0}, "one concept and call": {1, 1},
		"all there is": {20, 40}} {
		r := aStressReport(t, longName, size[0], size[1])
		sheets["stress, "+name] = r.Document(day)
	}
	none := aStressReport(t, accented, 0, 2)
	sheets["stress, no plays"] = none.Document(day)
	empty, one := anOpponentReport(hebrew, "x", 0, 0), anOpponentReport(accented, "<b>&", 1, 1)
	many := anOpponentReport(hebrew, longName, 60, 15)
	sheets["opponent, no plays"], sheets["opponent, one group"], sheets["opponent, sixty groups"] = empty.Document(day),
		one.Document(day), many.Document(day)
	for name, d := range sheets {
		html := string(written(t, d, "html"))
		for what, want := range map[string]string{"the mark of invented data": "Invented data",
			"the date": "Sep 15, 2031", "how much is behind it": "based on "} {
			if !strings.Contains(html, want) {
				t.Errorf("%s: the page lacks %s", name, what)
			}
		}
		if strings.Contains(html, "<b>&") {
			t.Errorf("%s: a word of the vocabulary came through as markup", name)
		}
		for end, step := range map[string]string{"no plays": "import a spreadsheet", "no calls": "call book"} {
			if strings.HasSuffix(name, end) && !strings.Contains(html, step) {
				t.Errorf("%s: the page names no next step", name)
			}
		}
		if strings.Contains(html, "NaN") || strings.Contains(html, "%!") {
			t.Errorf("%s: the page has a number that is none", name)
		}
		if pdf := written(t, d, "pdf"); !bytes.HasPrefix(pdf, []byte("%PDF-")) || len(pdf) < 2000 {
			t.Errorf("%s: a PDF of %d bytes", name, len(pdf))
		}
		written(t, d, "csv")
		written(t, d, "xlsx")
	}
}
