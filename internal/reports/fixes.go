package reports

import (
	"fmt"
	"strings"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/ink"
	"overhang/internal/reports/teach"
	"overhang/internal/stress/call"
)

// Fixes is what would cure one finding of a call against one concept.
type Fixes struct {
	Call       string        `json:"call"`
	SetName    string        `json:"set_name"`
	Concept    string        `json:"concept"`
	Family     string        `json:"family"`
	Plays      int           `json:"plays"`
	Assumed    int           `json:"assumed_plays,omitempty"` // of these, with routes or a set that nobody saw
	Picture    string        `json:"picture"`
	Pictures   int           `json:"pictures"`                    // that each change was played against
	AllPlays   int           `json:"all_plays"`                   // behind them
	AllAssumed int           `json:"all_assumed_plays,omitempty"` // of all of them
	Need       float64       `json:"need_yd"`
	Finding    *plan.Finding `json:"finding,omitempty"`
	Items      []Fix         `json:"items"`
	Instead    *plan.Instead `json:"instead,omitempty"` // no change helps: call this
	// NotTried names the men whose rules hang on too much for all of it to be tried:
	// whether each of them can count was not looked at.
	NotTried []string `json:"not_tried,omitempty"`
	// ChangesNotTried is how many changes were left out, because the call is so large that
	// trying them takes too long.
	ChangesNotTried int `json:"changes_not_tried,omitempty"`
}

// A Fix is one of the plan's with its new rules in a coach's words.
type Fix struct {
	plan.Fix
	Taught []TaughtRule `json:"taught"`
}

// A TaughtRule is a rule as it is said to the man.
type TaughtRule struct {
	Defender string `json:"defender"`
	When     string `json:"when"`
	Do       string `json:"do"`
}

// BuildFixes makes the answers to a finding of what was found.
func BuildFixes(x *ask.FixesAnswer) (Fixes, error) {
	run := x.Bench.Run
	c := &run.Concepts[0]
	out := Fixes{Call: x.Bench.Call.Name, SetName: c.SetName, Concept: c.Concept, Family: c.Family, Plays: c.Plays,
		Assumed: c.Assumed, Picture: c.Routes,
		Pictures: len(run.Concepts), Need: x.Bench.Played.NeedYd, Finding: x.Finding, Items: []Fix{},
		NotTried: x.Bench.Call.Compiled.Untried(), ChangesNotTried: x.Left, Instead: x.Instead}
	for i := range run.Concepts {
		out.AllPlays += run.Concepts[i].Plays
		out.AllAssumed += run.Concepts[i].Assumed
	}
	for _, a := range x.Fixes {
		rules, err := taught(&a)
		if err != nil {
			return out, err
		}
		out.Items = append(out.Items, Fix{a, rules})
	}
	return out, nil
}

// taught puts the new rules of an answer into a coach's words.
func taught(a *plan.Fix) ([]TaughtRule, error) {
	out := []TaughtRule{}
	for _, r := range a.Rules {
		when, do, err := teach.Said(call.Rule{When: r.When, Then: r.Then}, a.Call.Vertical)
		if err != nil {
			return nil, err
		}
		out = append(out, TaughtRule{r.Defender, when, do})
	}
	return out, nil
}

// changeWords says a change in a coach's words, in the engine's where it is no rule.
func changeWords(a *plan.Fix) string {
	rules, err := taught(a)
	if err != nil || len(rules) == 0 {
		return a.Words
	}
	var out []string
	for _, r := range rules {
		out = append(out, fmt.Sprintf("%s: when %s, %s.", ink.Capital(r.Defender), r.When, r.Do))
	}
	return strings.Join(out, " ")
}

// Sheet is the fixes as a table, one line each.
func (a *Fixes) Sheet() Sheet {
	s := Sheet{Name: "answers", Columns: []string{"call", "concept", "set_name", "finding", "kind", "words", "rules",
		"cures", "gain_yd", "net_yd", "stress_before", "stress_after", "worst_before_yd", "worst_after_yd", "open_before_yd",
		"open_after_yd", "sentence_after",
		"all_stress_before", "all_stress_after", "all_worst_before_yd", "all_worst_after_yd", "hurts_concept",
		"hurts_set_name", "hurts_plays", "hurts_from_yd", "hurts_to_yd", "hurts_sentence"},
		Notes: []string{"each line is one change of the call, played again; stress is the chance that the play succeeds; " +
			"worst is the largest finding; all is the mean over everything they run here, by plays; gain and net are by how " +
			"many yards the largest finding shrinks, here and over all"}}
	if why := plan.AssumedText(a.AllAssumed, a.AllPlays); why != "" {
		s.Notes = append(s.Notes, why)
	}
	for i := range a.Items {
		s.Rows = append(s.Rows, a.row(&a.Items[i]))
	}
	return s
}

// row is one change of the call as a line of the sheet.
func (a *Fixes) row(x *Fix) []any {
	var said []string
	for _, t := range x.Taught {
		said = append(said, t.Defender+": "+t.When+": "+t.Do)
	}
	row := []any{a.Call, a.Concept, a.SetName, a.Finding.Sentence, x.Kind, x.Words, strings.Join(said, "; "), x.Cures,
		x.GainYd, x.NetYd, x.StressBefore, x.StressAfter, x.WorstBefore, x.WorstAfter, x.OpenBefore, x.OpenAfter, x.Left,
		x.AllStressBefore, x.AllStressAfter, x.AllWorstBefore, x.AllWorstAfter}
	if h := x.Hurts; h != nil {
		row = append(row, h.Concept, h.SetName, h.Plays, h.From, h.To, h.Sentence)
	} else {
		row = append(row, nil, nil, nil, nil, nil, nil)
	}
	return row
}

// AlignmentSweepSheet is a sweep over an alignment as a table, one line a place.
func AlignmentSweepSheet(s *plan.AlignmentSweep) Sheet {
	out := Sheet{Name: "alignment", Columns: []string{"defender", "on", "offset_yd", "depth_yd", "here", "stress",
		"worst_yd", "to_fit_s"},
		Notes: []string{"offset from the landmark, out is positive; stress and the largest finding over the pictures in " +
			"which this line of his alignment counts, by plays; to_fit_s: from there to his place in the run fit"}}
	for _, row := range s.Spots {
		for _, x := range row {
			out.Rows = append(out.Rows, []any{s.Defender, s.Align.On, x.OffsetYd, x.DepthYd, s.Here(&x), x.Stress, x.WorstYd,
				x.FitS})
		}
	}
	return out
}

// BreakSweepSheet is a sweep over the depth of a break as a table, one line a depth.
func BreakSweepSheet(d *plan.BreakSweep) Sheet {
	out := Sheet{Name: "break", Columns: []string{"receiver", "route", "depth_yd", "owner", "rule", "gray", "stress",
		"worst_yd", "sentence"},
		Notes: []string{"the route broken at another depth: who owes it then by the rules, and what the call gives up; " +
			"gray: in the gray area between under and vertical; the worse of both ways counts"}}
	for _, b := range d.Breaks {
		out.Rows = append(out.Rows, []any{d.Receiver, d.Route, b.DepthYd, b.Owner, b.Rule, b.Gray, b.Stress, b.WorstYd,
			b.Sentence})
	}
	return out
}
