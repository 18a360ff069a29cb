package reports

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/paper"
	"overhang/internal/tendency"
)

// A ReviewReport holds a plan against what happened.
type ReviewReport struct {
	Program   string     `json:"program"`
	Invented  bool       `json:"invented"`
	Opponent  string     `json:"opponent"`
	PlanID    string     `json:"plan_id"`
	Plan      string     `json:"plan"`
	MadeAt    time.Time  `json:"made_at"`
	LockedAt  *time.Time `json:"locked_at,omitempty"`
	Situation string     `json:"situation"`
	in        string     // the situation in a sentence
	Gone      []string   `json:"gone"` // situations of the plan that the program's bands do not define any more
	plan.Review
}

// BuildReview makes a review of the answer.
func BuildReview(a *ask.ReviewAnswer) *ReviewReport {
	return &ReviewReport{Program: a.Program.Name, Invented: a.Program.Invented, Opponent: a.Opponent.Name,
		PlanID: a.Head.ID.String(), Plan: a.Head.Label,
		MadeAt: a.MadeAt, LockedAt: a.Head.LockedAt, Situation: situationWords(a.Filters),
		in: inSituation(a.Filters), Gone: append([]string{},
			a.Gone...), Review: a.Review}
}

// Document lays the report out; at is the date it carries.
func (r *ReviewReport) Document(at time.Time) *paper.Document {
	d := &paper.Document{Name: "review", Title: "Review",
		Furniture: paper.Furniture{Program: r.Program, Opponent: r.Opponent, Game: r.Plan, Plays: r.Plays, Date: at,
			Invented: r.Invented}}
	add := func(bs ...paper.Block) { d.Blocks = append(d.Blocks, bs...) }
	locked := "It isn't locked: it can still change."
	if r.LockedAt != nil {
		locked = "Locked " + minute(*r.LockedAt) + "."
	}
	add(paper.P("How the plan \"%s\", made %s, held %s. %s", r.Plan, minute(r.MadeAt), r.in, locked))
	if r.Plays == 0 {
		add(paper.P("%s", r.nothing()))
		return d
	}
	add(paper.N("Shares carry their 95%% interval (Wilson); lines under 8 plays are gray: a small sample. " +
		"The coverage tagged in our own game is the call we made. During a game: devices only where the rules of your " +
		"association allow them."))
	add(r.left()...)
	add(r.ran()...)
	add(r.calibrated()...)
	add(r.threats()...)
	add(r.called()...)
	return d
}

// minute is a moment on the clock it was told on.
func minute(t time.Time) string { return t.Format("Jan 2, 3:04 pm") }

// nothing says why there is nothing to review, and what to do.
func (r *ReviewReport) nothing() string {
	if r.Earlier > 0 {
		return fmt.Sprintf("Nothing to review: all %d plays of our games were tagged before the plan was made or "+
			"refreshed, so it was built on them. You can still compare them with the plan, but that does not test "+
			"it.", r.Earlier)
	}
	return "Nothing to review yet: no play of our own game against this opponent is tagged in this situation. Mark " +
		"the game as ours on its page in the film room, and tag on its plays, as coverage, the call you made."
}

// left says which plays the parts below do without.
func (r *ReviewReport) left() []paper.Block {
	var out []string
	switch {
	case r.Earlier > 0 && r.WithEarlier:
		out = append(out, fmt.Sprintf("%d of these plays were tagged before the plan was made: it was built on them, "+
			"so they don't test it.", r.Earlier))
	case r.Earlier > 0:
		out = append(out, fmt.Sprintf("%d plays tagged before the plan was made are left out: it was built on them.",
			r.Earlier))
	}
	if r.Elsewhere > 0 {
		out = append(out, fmt.Sprintf("%d of the %d plays are in no situation of the plan, or their down and distance are "+
			"not tagged.", r.Elsewhere, r.Plays))
	}
	if len(r.Gone) > 0 {
		out = append(out, "The program's bands do not define these situations anymore: "+strings.Join(r.Gone, ", ")+".")
	}
	if out == nil {
		return nil
	}
	return []paper.Block{paper.P("%s", strings.Join(out, " "))}
}

// because lists plays that are left out.
func because(left map[string]int) string {
	var out []string
	for why, n := range left {
		out = append(out, fmt.Sprintf("%d (%s)", n, why))
	}
	if out == nil {
		return ""
	}
	slices.SortFunc(out, func(a, b string) int {
		return strings.Compare(a[strings.Index(a, "("):],
			b[strings.Index(b, "("):])
	})
	return " Left out: " + strings.Join(out, "; ") + "."
}

// of prints a fraction for people; fractionCells is it for both.
func of(f plan.Fraction) paper.Cell {
	if f.N == 0 {
		return paper.Unknown()
	}
	return outOf(f.X, f.N, f.Share)
}

func between(f plan.Fraction) paper.Cell {
	if f.N == 0 {
		return paper.Unknown()
	}
	return interval(f.Low, f.High)
}

// fractionCols and fractionCells are a fraction in a table: of name, under head.
func fractionCols(name, head string) []string {
	return []string{name + "_x", "", name + "_plays", "", name + "_share", "", name + "_low", "", name + "_high", "", "",
		head + "#", "", "95%#"}
}

// numbersOnly is fractionCols for data only tables.
func numbersOnly(name string) []string {
	return []string{name + "_x", "", name + "_plays", "", name + "_share", "", name + "_low", "", name + "_high", "", "",
		"", "", ""}
}

func fractionCells(f plan.Fraction) []paper.Cell {
	if f.N == 0 {
		return []paper.Cell{paper.I(0), paper.I(0), paper.Unknown(), paper.Unknown(), paper.Unknown(), of(f), between(f)}
	}
	return []paper.Cell{paper.I(f.X), paper.I(f.N), paper.Share(f.Share), paper.Share(f.Low), paper.Share(f.High), of(f),
		between(f)}
}

// ran is what they ran against the forecast.
func (r *ReviewReport) ran() []paper.Block {
	t := &paper.Table{Name: "situations", Columns: paper.Cols("situation", "Situation", "plays", "Plays#", "ran",
		"With a concept#", "plays_behind", "Built on#", "from_all_plays", "", "", "Most often run (forecast)",
		"method", "", "cramers_v", "", "p", "", "p_adjusted", "Chance alone#", "stands", "More than chance",
		"assumed_behind", "", "assumed_ran", ""),
		Empty: "No play is in a situation of the plan."}
	all := &paper.Table{Name: "concepts", DataOnly: true, Columns: conceptCols("situation")}
	var parts []paper.Block
	var guessed []string
	for i := range r.Situations {
		x := &r.Situations[i]
		t.Rows = append(t.Rows, paper.Row{Thin: x.Thin, Cells: situationCells(x)})
		own := &paper.Table{Columns: conceptCols("")}
		for k := range own.Columns {
			own.Columns[k].Key = "" // the other table has them
		}
		for _, k := range x.Concepts {
			row := conceptCells(&k)
			all.Rows = append(all.Rows, paper.Cells(append([]paper.Cell{paper.T(x.Name)}, row...)...))
			if k.Telling() {
				own.Rows = append(own.Rows, paper.Cells(row...))
			}
		}
		if said := x.AssumedText(); said != "" {
			guessed = append(guessed, x.Name+" ("+said+")")
		}
		if !x.Thin {
			parts = append(parts, paper.H3(x.Name), own)
		}
	}
	out := []paper.Block{paper.H2("What they ran, against the forecast"),
		paper.N("Counts plays with concept, set, play side and routes tagged, like the forecast; a play can fall in more " +
			"than one situation. More than chance: they ran something else than the forecast was built on, by Fisher's exact " +
			"test or chi-square, adjusted for all situations (Benjamini and Hochberg).")}
	if guessed != nil {
		out = append(out, paper.N("Routes assumed from the library: %s.", strings.Join(guessed, ", ")))
	}
	out = append(append(out, t), parts...)
	if len(parts) > 0 {
		out = append(out, paper.N("Includes concepts forecast at 10%% or more that they didn't run; the spreadsheet has "+
			"all."))
	}
	return append(out, all)
}

func situationCells(x *plan.Reviewed) []paper.Cell {
	behind := paper.I(x.Behind)
	if x.Whole {
		behind.Text += ", all situations"
	}
	var most []string
	for _, k := range x.Concepts[:min(3, len(x.Concepts))] {
		if k.Ran.X > 0 {
			most = append(most, fmt.Sprintf("%s: %d (%.0f%%)", k.Concept, k.Ran.X, 100*k.Predicted.Share))
		}
	}
	p, verdict := chance(x.Test.Adjusted), stands(x.Test.Stands)
	if x.Test.Method == "none" {
		p, verdict = paper.Unknown(), paper.Cell{Text: "too few to test", Value: "no"}
	}
	return []paper.Cell{paper.T(x.Name), paper.I(x.Plays), paper.I(x.Ran), behind, stands(x.Whole),
		paper.Cell{Text: strings.Join(most, "; ")}, paper.T(x.Test.Method), paper.F("%.2f", x.Test.Effect),
		paper.F("%.3f", x.Test.P), p, verdict, paper.I(x.AssumedBehind), paper.I(x.AssumedRan)}
}

func conceptCols(first string) []paper.Column {
	var cols []string
	if first != "" {
		cols = append(cols, first, "Situation")
	}
	cols = append(cols, "concept", "Concept")
	cols = append(append(cols, fractionCols("predicted", "Forecast")...), fractionCols("ran", "Run")...)
	return paper.Cols(append(cols, "difference", "Difference#", "difference_low", "", "difference_high", "", "",
		"95%#")...)
}

func conceptCells(k *plan.ConceptRun) []paper.Cell {
	out := append([]paper.Cell{paper.T(k.Concept)}, fractionCells(k.Predicted)...)
	return append(append(out, fractionCells(k.Ran)...), points(k.Difference), points(k.Low), points(k.High),
		span(k.Low, k.High))
}

// aside puts a remark in brackets, "" for none.
func aside(said string) string {
	if said == "" {
		return ""
	}
	return " (" + said + ")"
}

// metOf is a count of plays that says how many have routes that nobody saw.
func metOf(plays, assumed int) paper.Cell {
	c := paper.I(plays)
	if assumed > 0 {
		c.Text += fmt.Sprintf(" (%d assumed)", assumed)
	}
	return c
}

// asMeant says to people what programs get the other way round.
func asMeant(x *plan.Reviewed, c *plan.CallRun) paper.Cell {
	out := stands(c.Outside)
	switch {
	case x.Known == 0:
		out.Text = "?"
	case c.Outside:
		out.Text = "no"
	default:
		out.Text = "yes"
	}
	return out
}

// called says whether we called what we meant to.
func (r *ReviewReport) called() []paper.Block {
	t := &paper.Table{Name: "calls",
		Columns: paper.Cols(append(append([]string{"situation", "Situation", "chosen", "", "call", "Call", "own_share",
			"Your call#", "mix_share", "Recommended#"}, fractionCols("made", "Called")...), "outside", "On plan")...),
		Empty: "No call is known in a situation of the plan."}
	kept := &paper.Table{Name: "kept", DataOnly: true, Columns: paper.Cols(append([]string{"situation", "", "calls_known",
		"", "chosen", ""}, numbersOnly("kept")...)...)}
	unknown := 0
	for i := range r.Situations {
		x := &r.Situations[i]
		unknown += x.Plays - x.Known
		kept.Rows = append(kept.Rows, paper.Cells(append([]paper.Cell{paper.T(x.Name), paper.I(x.Known), stands(x.Chosen)},
			fractionCells(x.Kept)...)...))
		for k := range x.Calls {
			c := &x.Calls[k]
			own, mix := paper.Cell{Text: "-"}, paper.Cell{Text: "not in the plan"}
			if c.Own != nil {
				own = paper.Share(*c.Own)
			}
			if c.Recommended != nil {
				mix = paper.Share(*c.Recommended)
			}
			t.Rows = append(t.Rows, paper.Row{Thin: x.Known < tendency.Thin,
				Cells: append(append([]paper.Cell{paper.T(x.Name), stands(x.Chosen), paper.T(c.Call), own, mix},
					fractionCells(c.Made)...), asMeant(x, c))})
		}
	}
	out := []paper.Block{paper.H2("Did we call the plan?"),
		paper.N("Meant: your own choice where you made one, else the recommended mix. On plan: your call rate is "+
			"consistent with the plan (within the 95%% interval). On %d plays in these situations the call is unknown.",
			unknown)}
	var items []string
	for i := range r.Situations {
		x := &r.Situations[i]
		if x.Known == 0 {
			continue
		}
		whose := "from the recommended mix"
		if x.Chosen {
			whose = "ones you had set"
		}
		items = append(items, fmt.Sprintf("%s: %d of %d calls were %s (%.0f%%, 95%% interval %.0f to %.0f)", x.Name, x.Kept.X,
			x.Kept.N, whose, 100*x.Kept.Share, 100*x.Kept.Low, 100*x.Kept.High))
	}
	if items != nil {
		out = append(out, &paper.Items{Texts: items})
	}
	return append(out, t, kept)
}
