package intake

import (
	"fmt"
	"path/filepath"
	"slices"
	"sort"
	"strings"

	"overhang/internal/stress/picture"
	"overhang/internal/tags"
	"overhang/internal/tags/starter"
)

// words gives every word its meaning and puts it into the plays.
func (r *sheetReader) words() {
	cache := map[string]found{}
	fresh := map[string]bool{}
	for _, rec := range r.records {
		for _, u := range rec.words {
			if u.field == opponent {
				continue
			}
			key := u.field + "\x00" + tags.Fold(u.text)
			f, ok := cache[key]
			if !ok {
				f = r.v.read(u.field, u.text, r.counts, r.spelled, r.answers)
				cache[key] = f
			}
			r.meant(rec, u, &f, fresh)
		}
	}
	sort.SliceStable(r.out.Proposal.Words, func(i, j int) bool {
		return slices.Index(order, r.out.Proposal.Words[i].Becomes) < slices.Index(order, r.out.Proposal.Words[j].Becomes)
	})
}

// meant puts what a cell's word means into the row.
func (r *sheetReader) meant(rec *Record, u use, f *found, fresh map[string]bool) {
	if f.word != nil {
		r.tell(rec, f.word, u.field)
	}
	for _, t := range f.tags {
		if u.field == "route" {
			rec.ran[slices.IndexFunc(rec.ran, func(x ran) bool { return x.col == u.col })].route = t.value
			continue
		}
		r.set(rec, u, t, fresh)
	}
}

var order = []string{wordEmpty, wordCorrected, wordNew, wordReadAs}

// tell says what became of a word, once, with where it stands.
func (r *sheetReader) tell(rec *Record, w *Word, field string) {
	p := &r.out.Proposal
	i := slices.IndexFunc(p.Words,
		func(x Word) bool { return x.Field == w.Field && tags.Fold(x.Word) == tags.Fold(w.Word) })
	if i < 0 {
		p.Words = append(p.Words, *w)
		i = len(p.Words) - 1
	}
	q := &p.Words[i]
	if q.Plays++; q.Plays > fewest {
		return
	}
	for _, u := range rec.words {
		if u.field == field && tags.Fold(u.text) == tags.Fold(w.Word) {
			q.Cells = append(q.Cells, place(u.row, u.col))
			return
		}
	}
	if q.Cells == nil {
		q.Cells = []string{}
	}
}

// set puts one tag into a play; what another column said already stays.
func (r *sheetReader) set(rec *Record, u use, t tag, fresh map[string]bool) {
	p := &rec.Play
	switch t.field {
	case "status":
		if rec.kick = t.value == "kick"; !rec.kick {
			p.Status = t.value
		}
		return
	case "touchdown":
		p.Touchdown = true
		return
	}
	if slices.Contains(fieldsOfWords, t.field) {
		if _, known := r.v.known[t.field][letters(t.value)]; !known && !fresh[t.field+letters(t.value)] {
			fresh[t.field+letters(t.value)] = true
			r.out.Fresh = append(r.out.Fresh, tags.Word{Field: t.field, Word: t.value})
		}
	}
	if t.field != u.field && set(p, t.field) {
		return
	}
	setters[t.field](p, t.value)
}

// set reports whether a play has a tag that a word beside it may set too.
func set(p *tags.Play, field string) bool {
	switch field {
	case "strength":
		return p.Strength != nil
	case "backfield":
		return p.Backfield != nil
	case "play_side":
		return p.PlaySide != nil
	case "family":
		return p.Family != nil
	case "result":
		return p.Result != nil
	}
	return false
}

// games finds the game and the season of every play, and numbers those that
// have no number or share one.
func (r *sheetReader) games(file string) {
	many := 0
	for _, t := range r.out.Proposal.Tabs {
		if t.Read {
			many++
		}
	}
	for _, rec := range r.records {
		g := &rec.Game
		switch {
		case r.answers.Game != "":
			g.Label = r.answers.Game
		case g.Label != "":
		case !rec.day.IsZero():
			g.Label = rec.day.Format("2006-01-02")
		case g.Week != nil:
			g.Label = fmt.Sprintf("week %d", *g.Week)
		case many > 1 && rec.tab != "":
			g.Label = rec.tab
		default:
			g.Label = strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))
		}
		if r.answers.Season != "" {
			rec.Season = r.answers.Season
		} else if rec.Season == "" && !rec.day.IsZero() {
			year := rec.day.Year()
			if rec.day.Month() < 3 {
				year-- // January's games end last year's season
			}
			rec.Season = fmt.Sprint(year)
		}
		g.Ours = r.answers.Ours
	}
	r.numbers()
}

// numbers keeps the sheet's numbers where they run through each game; else the
// order of the rows counts (numbers that begin again with every drive), and the
// proposal says so. One number written twice is a slip, however short the sheet.
func (r *sheetReader) numbers() {
	type key struct{ opponent, game string }
	byGame := map[key][]*Record{}
	for _, rec := range r.records {
		k := key{rec.Opponent, rec.Game.Label}
		byGame[k] = append(byGame[k], rec)
	}
	for _, recs := range byGame {
		seen, none, twice := map[int]bool{}, 0, 0
		for _, rec := range recs {
			switch n := rec.Play.Number; {
			case n == 0:
				none++
			case seen[n]:
				twice++
			}
			seen[rec.Play.Number] = true
		}
		if (none+twice)*10 <= len(recs) || none == 0 && twice == 1 {
			continue
		}
		for i, rec := range recs {
			rec.Play.Number = i + 1
		}
		if first := recs[0]; twice > 0 {
			r.out.Proposal.say("notice", first.tab, "number",
				fmt.Sprintf("%d plays have a number that stands in the game already; plays are numbered by their order",
					twice), first.Line-1, 0)
		}
	}
}

// keep finishes every play and sorts the good from the bad.
func (r *sheetReader) keep() {
	p := &r.out.Proposal
	r.place()
	at := map[string]int{}
	for _, rec := range r.records {
		if rec.kick {
			p.leave(rec.tab, "kicks and tries: no plays of the offense", rec.Line-1)
			continue
		}
		if rec.downZero {
			p.say("notice", rec.tab, "down", "0 is no down of a run or a pass; the tag stays empty", rec.Line-1, 0)
		}
		r.finish(rec)
		key := fmt.Sprint(rec.Opponent, "\x00", rec.Game.Label, "\x00", rec.Play.Number)
		if first, ok := at[key]; ok && len(rec.bad) == 0 {
			r.refuse(rec, "number", fmt.Sprintf("play %d of this game is in row %d already", rec.Play.Number, first))
		}
		if _, met := at[key]; !met && rec.Play.Number > 0 {
			at[key] = rec.Line // refused or not: the number stands in the sheet
		}
		if len(rec.bad) > 0 {
			r.out.Bad = append(r.out.Bad, BadRow{rec.Line, rec.bad, rec.cells})
			continue
		}
		r.out.Records = append(r.out.Records, *rec)
	}
	if r.named > 0 {
		p.say("notice", "", "concept", fmt.Sprintf("no concept is told: %d plays are named by the routes of the "+
			"strong side, from outside in", r.named), 0, 0)
	}
	p.Plays, p.Refused = len(r.out.Records), len(r.out.Bad)
	r.summarize()
}

func (r *sheetReader) refuse(rec *Record, field, msg string) {
	rec.bad = append(rec.bad, tags.FieldError{Row: rec.Line, Field: field, Msg: msg})
	r.out.Proposal.say("error", rec.tab, field, msg, rec.Line-1, r.cols[rec.tab+"\x00"+field])
}

// finish works out what follows from what was read.
func (r *sheetReader) finish(rec *Record) {
	p := &rec.Play
	if rec.goalToGo {
		p.DistanceYd = p.YardsToGoal
	}
	concept := ""
	if p.Concept != nil {
		concept = *p.Concept
	}
	run, pass := "run", "pass"
	family := starter.Family(concept)
	if p.Called == nil {
		switch {
		case p.Result != nil && slices.Contains([]string{"complete", "incomplete", "sack", "intercepted", "scramble"},
			*p.Result):
			p.Called = &pass
		case p.Result != nil && *p.Result == "rush", runConcepts[concept]:
			p.Called = &run
		case slices.Contains([]string{"dropback", "quick", "play_action", "boot", "screen"}, family):
			p.Called = &pass
		}
	}
	if p.Family == nil && family != "" && !(p.Called != nil && *p.Called == "run" && family != "run" && family != "draw" &&
		family != "rpo") {
		p.Family = &family
	}
	if p.Result == nil && p.Touchdown && p.Called != nil {
		won := map[string]string{"run": "rush", "pass": "complete"}[*p.Called]
		p.Result = &won
	}
	if p.Family != nil && p.Called != nil && *p.Family == "run" && *p.Called == "pass" {
		p.Family = nil // tagged as a pass with the concept of a run: the tag of the sheet stays
	}
	r.lineUp(rec)
	r.assume(rec)
	if err := p.Validate(); err != nil && len(rec.bad) == 0 {
		for _, f := range tags.As(err).Fields {
			r.refuse(rec, f.Field, f.Msg)
		}
	}
}

// summarize counts opponents and tabs and shows the first plays.
func (r *sheetReader) summarize() {
	p := &r.out.Proposal
	known := map[string]bool{}
	for _, o := range r.v.opponents {
		known[o.Code] = true
	}
	for i := range r.out.Records {
		rec := &r.out.Records[i]
		if rec.Play.RoutesAssumed {
			p.Assumed++
		}
		if rec.Play.Concept != nil && !picture.HasSet(wordOf(rec.Play.SetName)) {
			p.AssumedSets++
		}
		p.opponent(rec, !known[rec.Opponent]).Plays++
		if k := slices.IndexFunc(p.Tabs, func(t TabRead) bool { return t.Name == rec.tab }); k >= 0 {
			p.Tabs[k].Plays++
		}
		if i < 5 {
			p.Sample = append(p.Sample, sample(rec))
		}
	}
}

// opponent finds an opponent of the sheet, or begins it.
func (p *Proposal) opponent(rec *Record, unknown bool) *Opponent {
	j := slices.IndexFunc(p.Opponents, func(o Opponent) bool { return o.Code == rec.Opponent })
	if j < 0 {
		p.Opponents = append(p.Opponents, Opponent{Code: rec.Opponent, Name: rec.opponentName, New: unknown})
		j = len(p.Opponents) - 1
	}
	return &p.Opponents[j]
}
