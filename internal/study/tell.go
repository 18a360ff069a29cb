// Package study puts questions to the store's counts: what gives a call away, what
// changed, whom an opponent resembles, what a thin cell is worth. It arranges
// counts for package tendency and words its answers; API and reports show the same.
package study

import (
	"fmt"
	"slices"
	"strings"

	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// A Tell is one question with its answer: n and effect come first, p last.
type Tell struct {
	// what the plays have in common, as in down=3, distance_band=4-6; "" all under the filters
	Situation  string   `json:"situation"`
	Dimension  string   `json:"dimension"` // what was looked at
	Of         string   `json:"of"`        // what it may give away
	Value      string   `json:"value"`     // with this value of the dimension ...
	Outcome    string   `json:"outcome"`   // ... this outcome comes in x of n plays
	N          int      `json:"plays"`     // in the table
	X          int      `json:"with_x"`
	With       int      `json:"with_plays"`
	ShareWith  float64  `json:"share_with"`
	OtherX     int      `json:"without_x"`
	Without    int      `json:"without_plays"`
	ShareOther float64  `json:"share_without"`
	Difference float64  `json:"difference"`
	Low        float64  `json:"difference_low"`
	High       float64  `json:"difference_high"`
	Effect     float64  `json:"cramers_v"`
	Pooled     []string `json:"pooled"` // thin values counted together as (others)
	Method     string   `json:"method"`
	P          float64  `json:"p"`
	Adjusted   float64  `json:"p_adjusted"`
	Stands     bool     `json:"stands"` // a discovery among all questions asked
}

// A Table is the counts of one dimension against one outcome, in each of some
// situations; the keys of a count are the situation's, then the dimension's and
// the outcome's.
type Table struct {
	Within    []string
	Dimension string
	Of        string
	Counts    []tags.Count
}

// Tells are the answers to all questions asked at once.
type Tells struct {
	Asked     int    `json:"asked"`      // all of them are in the adjustment of p
	NotTested int    `json:"not_tested"` // too few plays, or nothing to compare
	LeftOut   int    `json:"left_out"`   // plays on which one of the values is unknown, over all tables
	Tells     []Tell `json:"tells"`      // those tested; what stands first, then by how sure the difference is
}

// FindTells asks every table in every situation whether the dimension gives the
// outcome away. rate is the share of false ones accepted among those that stand.
func FindTells(tables []Table, rate float64) Tells {
	type asked struct {
		table     *Table
		situation string
	}
	var questions []tendency.Question
	about := map[string]asked{}
	out := Tells{Tells: []Tell{}}
	for i := range tables {
		t := &tables[i]
		for _, g := range t.situations(&out.LeftOut) {
			name := fmt.Sprintf("%s\x00%s\x00%s", g.name, t.Dimension, t.Of)
			about[name] = asked{t, g.name}
			questions = append(questions, g.question(name))
		}
	}
	out.Asked = len(questions)
	for _, a := range tendency.Tells(questions, rate) {
		if a.Method == "none" {
			out.NotTested++
			continue
		}
		q := about[a.Question]
		out.Tells = append(out.Tells, Tell{Situation: q.situation, Dimension: q.table.Dimension, Of: q.table.Of, Value: a.Row,
			Outcome: a.Col, N: a.N,
			X: a.With.X, With: a.With.N, ShareWith: a.With.Share(), OtherX: a.Without.X, Without: a.Without.N,
			ShareOther: a.Without.Share(),
			Difference: a.Difference, Low: a.Low, High: a.High, Effect: a.Effect,
			Pooled: append(append([]string{}, a.PooledRows...), a.PooledCols...),
			Method: a.Method, P: a.P, Adjusted: a.Adjusted, Stands: a.Stands})
	}
	return out
}

// A situation holds the counts of one of a table's situations.
type situation struct {
	name   string
	counts []tags.Count // keys: the dimension's value, the outcome
}

// situations splits a table; plays with an unknown value are left out and counted.
func (t *Table) situations(leftOut *int) []situation {
	var out []situation
	at := map[string]int{}
	for _, c := range t.Counts {
		if slices.Contains(c.Keys, nil) {
			*leftOut += c.Plays
			continue
		}
		name := named(t.Within, c.Keys)
		i, ok := at[name]
		if !ok {
			i = len(out)
			at[name] = i
			out = append(out, situation{name: name})
		}
		out[i].counts = append(out[i].counts, tags.Count{Keys: c.Keys[len(t.Within):], Plays: c.Plays})
	}
	return out
}

// named writes dimensions with their values.
func named(dims []string, keys []*string) string {
	var parts []string
	for i, d := range dims {
		v := "(unknown)"
		if keys[i] != nil {
			v = *keys[i]
		}
		parts = append(parts, d+"="+v)
	}
	return strings.Join(parts, ", ")
}

func (g *situation) question(name string) tendency.Question {
	q := tendency.Question{Name: name}
	row, col := map[string]int{}, map[string]int{}
	for _, c := range g.counts {
		q.Rows, q.Cols = place(row, q.Rows, *c.Keys[0]), place(col, q.Cols, *c.Keys[1])
	}
	q.Counts = make([][]int, len(q.Rows))
	for i := range q.Counts {
		q.Counts[i] = make([]int, len(q.Cols))
	}
	for _, c := range g.counts {
		q.Counts[row[*c.Keys[0]]][col[*c.Keys[1]]] += c.Plays
	}
	return q
}

// place gives a value the next place if it has none.
func place(at map[string]int, values []string, v string) []string {
	if _, ok := at[v]; !ok {
		at[v] = len(values)
		values = append(values, v)
	}
	return values
}
