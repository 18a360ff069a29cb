package reports

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/ink"
	"overhang/internal/reports/paper"
	"overhang/internal/study"
	"overhang/internal/tags"
)

// A SelfScout is what our own calls say about us in the games we played.
type SelfScout struct {
	Program    string      `json:"program"`
	Invented   bool        `json:"invented"`
	Situation  string      `json:"situation"`
	in         string      // the situation in a sentence
	Plays      int         `json:"plays"`      // counted plays of our games under the filters
	NotTagged  int         `json:"not_tagged"` // of those, without a coverage: which call it was is unknown
	NoCall     int         `json:"no_call"`    // of those, with a coverage that is none of our calls
	Games      []OurGame   `json:"games"`
	Calls      []CallMade  `json:"calls"` // most frequent first
	Breakdowns []Called    `json:"breakdowns"`
	Tells      study.Tells `json:"tells"` // of our call and of our blitz, in all that they could go by
}

// An OurGame is our own game.
type OurGame struct {
	Opponent string `json:"opponent"`
	Game     string `json:"game"`
	Plays    int    `json:"plays"`
}

// A CallMade is how often we made a call, and what they did against it.
type CallMade struct {
	Call  string  `json:"call"`           // the coverage, as tagged
	Book  string  `json:"book,omitempty"` // the call it means, absent: none
	Plays int     `json:"plays"`
	Of    int     `json:"of_plays"` // plays of the situation whose call is known
	Share float64 `json:"share"`
	Low   float64 `json:"share_low"`
	High  float64 `json:"share_high"`
	Allowed
	Thin bool `json:"thin"`
}

// Allowed is what they did in some plays of ours.
type Allowed struct {
	Successes      int      `json:"successes"`
	SuccessKnown   int      `json:"success_known"`
	SuccessRate    *float64 `json:"success_rate,omitempty"`
	SuccessLow     *float64 `json:"success_low,omitempty"`
	SuccessHigh    *float64 `json:"success_high,omitempty"`
	GainKnown      int      `json:"gain_known"`
	MeanGainYd     *float64 `json:"mean_gain_yd,omitempty"`
	Explosives     int      `json:"explosives"`
	ExplosiveKnown int      `json:"explosive_known"`
}

// Called is our calls by some dimensions.
type Called struct {
	ask.Grouping
	Groups []CalledIn `json:"groups"`
}

// CalledIn is our calls in the plays that share some keys.
type CalledIn struct {
	Keys      []*string `json:"keys"` // null: not tagged
	Plays     int       `json:"plays"`
	NotTagged int       `json:"not_tagged"` // of those, without a coverage
	Allowed
	Thin  bool       `json:"thin"`
	Calls []CallMade `json:"calls"` // most frequent first
}

// BuildSelfScout makes a self-scout of the answer.
func BuildSelfScout(a *ask.SelfScoutAnswer) *SelfScout {
	s := &SelfScout{Program: a.Program.Name, Invented: a.Program.Invented, Situation: situationWords(a.Filters),
		in:    inSituation(a.Filters),
		Plays: a.Calls.Total,
		Games: []OurGame{}, Breakdowns: []Called{}, Tells: a.Tells}
	for i := range a.Games.Cells {
		c := &a.Games.Cells[i]
		s.Games = append(s.Games, OurGame{*c.Keys[0], *c.Keys[1], c.Plays}) // every play has both
	}
	s.Calls, s.NotTagged = made(a.Calls.Cells, a.Book)
	for _, c := range s.Calls {
		if c.Book == "" {
			s.NoCall += c.Plays
		}
	}
	for _, g := range a.Groups {
		s.Breakdowns = append(s.Breakdowns, called(a.Program, a.Book, g))
	}
	return s
}

// called sums our calls up by a grouping.
func called(p tags.Program, book plan.Callbook, k ask.Counted) Called {
	out := Called{Grouping: k.Grouping, Groups: []CalledIn{}}
	at := map[string][]tags.Cell{}
	for _, c := range k.Cells.Cells { // most frequent first
		keys := c.Keys[:len(k.By)]
		id := joined(keys)
		if at[id] == nil {
			out.Groups = append(out.Groups, CalledIn{Keys: keys})
		}
		c.Keys = c.Keys[len(k.By):]
		at[id] = append(at[id], c)
	}
	for i := range out.Groups {
		g := &out.Groups[i]
		cs := at[joined(g.Keys)]
		var all tags.Cell
		for i := range cs {
			all.Add(&cs[i])
		}
		g.Plays, g.Allowed = all.Plays, allowed(&all)
		g.Calls, g.NotTagged = made(cs, book)
		g.Thin = ask.Score(&all, g.Plays).Thin
	}
	slices.SortStableFunc(out.Groups, func(a, b CalledIn) int {
		return cmp.Or(order(p, k.By, a.Keys, b.Keys),
			b.Plays-a.Plays)
	})
	return out
}

// made sums up the cells of one situation, counted by coverage alone.
func made(cells []tags.Cell, book plan.Callbook) (out []CallMade, notTagged int) {
	out = []CallMade{}
	known := 0
	for i := range cells {
		if c := &cells[i]; c.Keys[0] != nil {
			known += c.Plays
		} else {
			notTagged += c.Plays
		}
	}
	for i := range cells {
		if c := &cells[i]; c.Keys[0] != nil {
			out = append(out, callMade(c, known, book))
		}
	}
	return out, notTagged
}

func callMade(c *tags.Cell, of int, book plan.Callbook) CallMade {
	x := ask.Score(c, of)
	m := CallMade{Call: *c.Keys[0], Plays: c.Plays, Of: of, Share: x.Share.Share, Low: x.Share.Low, High: x.Share.High,
		Allowed: allowed(c), Thin: x.Thin}
	if call := book.Call(m.Call); call != nil {
		m.Book = call.Name
	}
	return m
}

func allowed(c *tags.Cell) Allowed {
	x := ask.Score(c, c.Plays)
	a := Allowed{Successes: c.Successes, SuccessKnown: c.SuccessKnown, GainKnown: c.GainKnown, MeanGainYd: x.MeanGain,
		Explosives: c.Explosives, ExplosiveKnown: c.ExplosiveKnown}
	a.SuccessRate, a.SuccessLow, a.SuccessHigh = x.Success.Split()
	return a
}

// Document lays the report out; at is the date it carries.
func (s *SelfScout) Document(at time.Time) *paper.Document {
	d := &paper.Document{Name: "self-scout", Title: "Self-scout",
		Furniture: paper.Furniture{Program: s.Program, Opponent: "our own calls", Plays: s.Plays, Date: at,
			Invented: s.Invented}}
	add := func(bs ...paper.Block) { d.Blocks = append(d.Blocks, bs...) }
	if s.Plays == 0 {
		add(paper.P("No play of our own game is tagged %s. Mark a game as ours on its page in the film room, "+
			"and tag on its plays, as coverage, the call you made.", s.in))
		return d
	}
	add(paper.P("What opponents will have on us %s, from the games we played.", s.in),
		paper.N("The coverage tagged in our own game is the call we made. Shares are of the plays whose call is known "+
			"and carry their 95%% interval (Wilson); lines under 8 plays are gray: a small sample. Success is "+
			"theirs, as defined in your settings."),
		s.counted(), paper.H2("Our calls"), s.calls())
	add(tellBlocks(&s.Tells, "Does what we line up against change our call, or whether we blitz?",
		"Nothing that they see or know before the snap changes our call, or our blitz, more than chance would.",
		"When it is")...)
	for _, b := range s.Breakdowns {
		add(paper.H2(calledTitles[b.Name]), b.table(), b.numbers())
	}
	return d
}

var calledTitles = map[string]string{"situations": "By down and distance", "field position": "By field position",
	"personnel": "By personnel", "sets": "By set"}

// counted says which games are behind it, and what could not be counted.
func (s *SelfScout) counted() paper.Block {
	var out []string
	for _, g := range s.Games {
		out = append(out, fmt.Sprintf("%s, %s (n = %d)", g.Opponent, g.Game, g.Plays))
	}
	text := "Games: " + strings.Join(out, "; ") + "."
	if s.NotTagged > 0 {
		text += fmt.Sprintf(" %d of %d plays have no coverage tagged, so their call is unknown.", s.NotTagged, s.Plays)
	}
	if s.NoCall > 0 {
		text += fmt.Sprintf(" %d are tagged with a coverage that isn't one of our calls.", s.NoCall)
	}
	return paper.P("%s", text)
}

// allowedColumns and cells are what they did; callColumns also how often a call was made.
var (
	allowedColumns = []string{"successes", "", "success_known", "", "success_rate", "", "success_low", "", "success_high",
		"", "", "They succeed#", "", "95%#",
		"gain_known", "", "mean_gain_yd", "Gain (yd)#", "explosives", "Explosive#", "explosive_known", ""}
	callColumns = append([]string{"plays", "Plays#", "of_plays", "", "share", "Share#", "share_low", "", "share_high", "",
		"", "95%#"}, allowedColumns...)
)

func (a *Allowed) cells() []paper.Cell {
	rate, between := paper.Unknown(), paper.Unknown()
	if a.SuccessRate != nil {
		rate, between = outOf(a.Successes, a.SuccessKnown, *a.SuccessRate), interval(*a.SuccessLow, *a.SuccessHigh)
	}
	return []paper.Cell{paper.I(a.Successes), paper.I(a.SuccessKnown), share(a.SuccessRate), share(a.SuccessLow),
		share(a.SuccessHigh), rate, between,
		paper.I(a.GainKnown), number(a.MeanGainYd), paper.I(a.Explosives), paper.I(a.ExplosiveKnown)}
}

func (m *CallMade) cells() []paper.Cell {
	return append([]paper.Cell{paper.I(m.Plays), paper.I(m.Of), paper.Share(m.Share), paper.Share(m.Low),
		paper.Share(m.High), interval(m.Low, m.High)}, m.Allowed.cells()...)
}

func (s *SelfScout) calls() *paper.Table {
	t := &paper.Table{Name: "calls", Columns: paper.Cols(append([]string{"call", "Call", "book_call", "In the book as"},
		callColumns...)...), Empty: "No coverage is tagged on our own plays yet."}
	for i := range s.Calls {
		m := &s.Calls[i]
		book := paper.Cell{Text: "no call of that name"}
		if m.Book != "" {
			book = paper.T(m.Book)
		}
		t.Rows = append(t.Rows, paper.Row{Thin: m.Thin, Cells: append([]paper.Cell{paper.T(m.Call), book}, m.cells()...)})
	}
	return t
}

// table is one line a situation.
func (b *Called) table() *paper.Table {
	t := &paper.Table{Name: b.Name, Columns: append(columns(b.Grouping),
		paper.Cols(append(append([]string{"plays", "Plays#", "not_tagged", "Call unknown#"}, allowedColumns...), "",
			"Our calls, most frequent first, with 95% range")...)...)}
	for i := range b.Groups {
		g := &b.Groups[i]
		var calls []string
		for _, m := range g.Calls {
			calls = append(calls, fmt.Sprintf("%s: %d (%.0f to %.0f%%)", ink.Name(m.Call), m.Plays, 100*m.Low, 100*m.High))
		}
		t.Rows = append(t.Rows, paper.Row{Thin: g.Thin,
			Cells: append(append(append(keyCells(b.Grouping, g.Keys), paper.I(g.Plays), paper.I(g.NotTagged)),
				g.Allowed.cells()...), paper.Cell{Text: cmp.Or(strings.Join(calls, "; "), "none tagged")})})
	}
	return t
}

// numbers are those of the last column, and what each call gave up.
func (b *Called) numbers() *paper.Table {
	t := &paper.Table{Name: b.Name + ": calls", DataOnly: true, Columns: append(columns(b.Grouping),
		paper.Cols(append([]string{"call", "Call"}, callColumns...)...)...)}
	for i := range b.Groups {
		for k := range b.Groups[i].Calls {
			m := &b.Groups[i].Calls[k]
			t.Rows = append(t.Rows, paper.Cells(append(append(keyCells(b.Grouping, b.Groups[i].Keys), paper.T(m.Call)),
				m.cells()...)...))
		}
	}
	return t
}
