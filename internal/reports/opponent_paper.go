package reports

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/drawing"
	"overhang/internal/reports/ink"
	"overhang/internal/reports/paper"
)

// Document lays the report out; at is the date it carries.
func (r *OpponentReport) Document(at time.Time) *paper.Document {
	d := &paper.Document{Name: "opponent-" + r.code, Title: "Opponent report",
		Furniture: paper.Furniture{Program: r.Program, Opponent: r.Opponent, Plays: r.Plays, Date: at, Invented: r.Invented}}
	add := func(bs ...paper.Block) { d.Blocks = append(d.Blocks, bs...) }
	add(paper.P("What they do %s.", r.in))
	if r.Plays == 0 {
		add(paper.P("No play of this opponent is tagged in this situation yet: import a spreadsheet, tag plays, or ask " +
			"for a wider situation."))
		return d
	}
	add(paper.N("Shares carry their 95%% interval (Wilson); lines under 8 plays are gray: a small sample. " +
		"Success and explosive as defined in your settings."))
	for _, b := range r.Breakdowns {
		if b.Name == "concepts" {
			add(slices.Concat(r.tells(), r.pictures(), explosives(b))...)
		} else {
			add(paper.H2(titles[b.Name]), b.table(), b.tops())
		}
	}
	add(r.trends()...)
	if len(r.Pictures) > 0 {
		add(paper.H2("Key"), &paper.Figure{Drawing: drawing.Signs{}})
	}
	return d
}

// titles are the headings of the breakdowns that stand as tables.
var titles = map[string]string{"personnel": "By personnel", "sets": "By set", "situations": "By down and distance",
	"coverages": "Against each coverage", "games": "Game by game"}

// heads are the words over the keys; a key without one is for programs only.
var heads = map[string]string{"personnel": "Personnel", "set_name": "Set", "down": "Down", "distance_band": "To go",
	"concept": "Concept", "coverage": "Coverage", "game": "Game", "field_zone": "Ball at"}

func columns(k ask.Grouping) []paper.Column {
	var out []string
	for _, d := range k.By {
		out = append(out, d, heads[d])
	}
	return paper.Cols(out...)
}

func (g *Group) keys(k ask.Grouping) []paper.Cell { return keyCells(k, g.Keys) }

func keyCells(k ask.Grouping, keys []*string) []paper.Cell {
	var out []paper.Cell
	for i, d := range k.By {
		switch v := keys[i]; {
		case v == nil:
			out = append(out, paper.Cell{Text: "not tagged"})
		default:
			out = append(out, paper.Cell{Text: valueSaid(d, *v), Value: *v})
		}
	}
	return out
}

// valueSaid is a value of a dimension as a coach says it: a down, a stretch of the field.
func valueSaid(dimension, v string) string {
	switch dimension {
	case "down":
		return cmp.Or(ordinal(v), v)
	case "field_zone":
		switch {
		case v == "RED":
			return "red zone"
		case v == "GOAL":
			return "goal line"
		case strings.HasPrefix(v, "OWN"), strings.HasPrefix(v, "OPP"):
			return strings.ToLower(v[:3]) + " " + v[3:]
		}
	}
	return v
}

// table is one line a group.
func (b *Breakdown) table() *paper.Table {
	most := ""
	if slices.ContainsFunc(b.Groups, func(g Group) bool { return len(g.Top) > 0 }) {
		most = "Most often"
	}
	t := &paper.Table{Name: b.Name, Columns: append(columns(b.Grouping), paper.Cols("plays", "Plays#", "share", "Share#",
		"share_low", "", "share_high", "", "", "95%#",
		"call_known", "", "run_share", "Run#", "run_low", "", "run_high", "", "", "95%#", "success_rate", "Success#",
		"mean_gain_yd", "Gain (yd)#",
		"explosives", "Explosive#", "explosive_rate", "", "explosive_low", "", "explosive_high", "", "", most)...)}
	for i := range b.Groups {
		g := &b.Groups[i]
		run, between := paper.Share(g.RunShare), interval(g.RunLow, g.RunHigh)
		if g.RunKnown == 0 {
			run, between = paper.Unknown(), paper.Unknown()
		}
		t.Rows = append(t.Rows, paper.Row{Thin: g.Thin, Cells: append(g.keys(b.Grouping), paper.I(g.Plays),
			paper.Share(g.Share), paper.Share(g.Low), paper.Share(g.High), interval(g.Low, g.High),
			paper.I(g.RunKnown), run, paper.Share(g.RunLow), paper.Share(g.RunHigh), between, share(g.SuccessRate),
			number(g.MeanGainYd),
			paper.I(g.Explosives), share(g.ExplosiveRate), share(g.ExplosiveLow), share(g.ExplosiveHigh),
			paper.Cell{Text: topWords(g.Top)})})
	}
	return t
}

// interval is for people; programs get both ends.
func interval(low, high float64) paper.Cell {
	return paper.Cell{Text: fmt.Sprintf("%.0f to %.0f", 100*low, 100*high)}
}

func share(v *float64) paper.Cell {
	if v == nil {
		return paper.Unknown()
	}
	return paper.Share(*v)
}

func number(v *float64) paper.Cell {
	if v == nil {
		return paper.Unknown()
	}
	return yards(*v)
}

func topWords(ts []Top) string {
	var out []string
	for _, t := range ts {
		out = append(out, fmt.Sprintf("%s %d (%.0f to %.0f%%)", ink.Name(t.Concept), t.Plays, 100*t.Low, 100*t.High))
	}
	if out == nil {
		return "no concept tagged"
	}
	return strings.Join(out, "; ")
}

// tops is the numbers of the last column.
func (b *Breakdown) tops() *paper.Table {
	t := &paper.Table{Name: b.Name + ": concepts", DataOnly: true, Columns: append(columns(b.Grouping),
		paper.Cols("concept", "Concept", "plays", "Plays#", "share", "Share#", "share_low", "", "share_high", "")...)}
	for i := range b.Groups {
		for _, x := range b.Groups[i].Top {
			t.Rows = append(t.Rows, paper.Cells(append(b.Groups[i].keys(b.Grouping), paper.T(x.Concept), paper.I(x.Plays),
				paper.Share(x.Share), paper.Share(x.Low), paper.Share(x.High))...))
		}
	}
	return t
}

// explosives is the concepts that made explosive plays, most of them first.
func explosives(b Breakdown) []paper.Block {
	t := &paper.Table{Name: b.Name, Empty: "No explosive play yet.", Columns: append(columns(b.Grouping),
		paper.Cols("explosives", "Explosive#", "plays", "of plays#", "explosive_rate", "Rate#", "explosive_low", "",
			"explosive_high", "", "", "95%#",
			"share", "Share of all#", "share_low", "", "share_high", "", "mean_gain_yd", "Gain (yd)#", "success_rate",
			"Success#")...)}
	groups := slices.Clone(b.Groups)
	slices.SortStableFunc(groups, func(a, b Group) int { return cmp.Compare(b.Explosives, a.Explosives) })
	for i := range groups {
		g := &groups[i]
		between := paper.Unknown()
		if g.ExplosiveLow != nil {
			between = interval(*g.ExplosiveLow, *g.ExplosiveHigh)
		}
		t.Rows = append(t.Rows, paper.Row{Thin: g.Thin, Cells: append(g.keys(b.Grouping), paper.I(g.Explosives),
			paper.I(g.Plays), share(g.ExplosiveRate), share(g.ExplosiveLow), share(g.ExplosiveHigh), between,
			paper.Share(g.Share), paper.Share(g.Low), paper.Share(g.High), number(g.MeanGainYd), share(g.SuccessRate))})
	}
	return []paper.Block{paper.H2("Explosive plays by concept"), t}
}

// pictures draws the concepts he runs most from what was tagged.
func (r *OpponentReport) pictures() []paper.Block {
	out := []paper.Block{paper.H2("What they run most"),
		paper.N("Each picture is what most of its plays had in common: every route the one run most, broken at its median " +
			"depth.")}
	g := &paper.Grid{Columns: 2}
	routes := &paper.Table{Name: "pictures", DataOnly: true, Columns: paper.Cols("set_name", "", "concept", "", "family",
		"", "plays", "", "receiver", "", "route", "", "route_plays", "", "depth_known", "", "median_depth_yd", "",
		"lower_quartile_yd", "", "upper_quartile_yd", "", "disagreements", "", "assumed_plays", "")}
	for i := range r.Pictures {
		c := &r.Pictures[i]
		card := paper.Card{Title: fmt.Sprintf("%d. %s from %s (n = %d%s)", i+1, ink.Name(c.Concept),
			ink.Name(c.SetName), c.Plays, behind(c.AssumedText()))}
		if pic, err := c.Picture(r.level); err != nil {
			card.Blocks = append(card.Blocks, paper.N("Not drawn: %v.", err))
		} else {
			scene := drawing.Concept(pic, drawing.Options{})
			card.Blocks = append(card.Blocks, &paper.Figure{Drawing: &scene})
		}
		card.Blocks = append(card.Blocks, paper.N("%s", routeWords(c)))
		g.Cards = append(g.Cards, card)
		for _, x := range c.Receivers {
			routes.Rows = append(routes.Rows, paper.Cells(paper.T(c.SetName), paper.T(c.Concept), paper.T(c.Family),
				paper.I(c.Plays), paper.T(x.Name), paper.T(x.Route), paper.I(x.N), paper.I(x.Known),
				number(x.Median), number(x.Lower), number(x.Upper), paper.T(strings.Join(x.Others, "; ")), paper.I(c.Assumed)))
		}
	}
	if len(g.Cards) == 0 {
		return append(out, paper.P("No concept of theirs has routes tagged in this situation yet."))
	}
	return append(out, g, routes)
}

// receiverSaid is a receiver of the short notation as a coach says him: "#2", "backside #1".
func receiverSaid(name string) string {
	if n, ok := strings.CutPrefix(name, "P"); ok {
		return "#" + n
	}
	if n, ok := strings.CutPrefix(name, "B"); ok {
		return "backside #" + n
	}
	return name
}

// routeWords says how sure a picture is: how often each route if not always, how deep.
func routeWords(c *plan.Concept) string {
	var out []string
	for _, x := range c.Receivers {
		s := receiverSaid(x.Name) + " " + x.Route
		if x.N < c.Plays {
			s += fmt.Sprintf(" (in %d)", x.N)
		}
		if x.Median != nil && x.Known > 1 {
			s += fmt.Sprintf(" at %.3g (middle half %.3g to %.3g)", *x.Median, *x.Lower, *x.Upper)
		}
		if len(x.Others) > 0 {
			s += ", also " + strings.Join(x.Others, ", ")
		}
		out = append(out, s)
	}
	return strings.Join(out, "; ")
}
