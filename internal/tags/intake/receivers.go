package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"overhang/internal/stress/picture"
	"overhang/internal/tags"
	"overhang/internal/tags/starter"
)

// routeOf is the field of a column that has one man's route.
const routeOf = "<route>"

// menLetters are the letters staffs give the five eligibles, in the order in which they are put
// into a set: who stands outside first, who is in the backfield last (common practice, no
// source).
const menLetters = "XZYHSWUAFTRB"

var (
	manHead = regexp.MustCompile(`(?i)^([XZYHSWUAFTRB]|te|rb|fb|hb)(?: (?:route|rt))?$`)
	// A depth beside a route: "10 out", "out @ 10", "12 yd dig", "hitch (6)".
	depthFirst = regexp.MustCompile(`(?i)^(\d{1,2}) ?(?:yds?|yards?)?\.? +(\D+)$`)
	depthLast  = regexp.MustCompile(`(?i)^(\D+?) *(?:@|at)? *\(?(\d{1,2}) ?(?:yds?|yards?)?\)?$`)
)

// A ran is what a sheet says one man did.
type ran struct {
	man   string // his letter
	route string
	depth *float64
	col   int
}

// manOf is the letter of the man a head means, "" for any other head.
func manOf(head string) string {
	m := manHead.FindStringSubmatch(headWords(head))
	if m == nil {
		return ""
	}
	if two := map[string]string{"te": "Y", "rb": "R", "fb": "F", "hb": "B"}[strings.ToLower(m[1])]; two != "" {
		return two
	}
	return strings.ToUpper(m[1])
}

// routeColumns takes the columns under the letters of men whose values are mostly routes, two
// of them at least.
func (l *layout) routeColumns(v *lexicon, a *Answers, done map[int]bool) {
	var found []*column
	for col, head := range l.heads {
		man := manOf(head)
		if _, said := a.column(head, col); said || done[col] || man == "" {
			continue
		}
		if n, of := l.routes(col, v); of > 0 && n*10 >= of*6 {
			found = append(found, &column{at: col, head: head, field: routeOf, man: man, why: fmt.Sprintf("the route of %s: "+
				"%d of %d values are routes; where he lines up is assumed from the letter, the set and its strength", man, n, of)})
		}
	}
	if len(found) < 2 {
		return
	}
	for _, c := range found {
		done[c.at] = true
	}
	l.columns = append(l.columns, found...)
	slices.SortStableFunc(l.columns, func(a, b *column) int { return a.at - b.at })
}

// routes counts the values of a column that are routes.
func (l *layout) routes(col int, v *lexicon) (n, of int) {
	for row := l.header + 1; row < len(l.tab.rows) && of < 300; row++ {
		text := l.tab.cell(row, col)
		if text == "" || unknowns[strings.ToLower(text)] {
			continue
		}
		of++
		name, _ := depthOf(text)
		if _, ok := v.word("route", name); ok {
			n++
		}
	}
	return n, of
}

// depthOf parts a route from the depth beside it.
func depthOf(text string) (route string, depth *float64) {
	number, name := "", text
	if m := depthFirst.FindStringSubmatch(text); m != nil {
		number, name = m[1], m[2]
	} else if m := depthLast.FindStringSubmatch(text); m != nil {
		number, name = m[2], m[1]
	}
	if n, err := strconv.ParseFloat(number, 64); err == nil {
		return strings.TrimSpace(name), &n
	}
	return text, nil
}

// route notes what a man did; the word is read with all others.
func (r *sheetReader) route(rec *Record, c *column, row int, text string) {
	name, depth := depthOf(text)
	rec.ran = append(rec.ran, ran{man: c.man, depth: depth, col: c.at})
	rec.words = append(rec.words, use{"route", name, row, c.at})
	r.count("route", name)
}

// lineUp puts the routes of a record's men where the men line up in its set; that is assumed,
// and marked so.
func (r *sheetReader) lineUp(rec *Record) {
	p := &rec.Play
	men := slices.DeleteFunc(rec.ran, func(x ran) bool { return x.route == "" || x.route == "block" })
	if len(men) == 0 || p.Called != nil && *p.Called == "run" {
		return
	}
	set, err := picture.LookupSet(r.setOf(p))
	if err != nil {
		return
	}
	slices.SortStableFunc(men, func(a, b ran) int {
		return strings.Index(menLetters, a.man) - strings.Index(menLetters, b.man)
	})
	free := placesOf(set)
	for _, m := range men {
		at := free.take(m.man)
		if at == nil {
			return // more men than the set has: nothing is guessed
		}
		side := tags.AssumedSide(&tags.Play{Strength: p.Strength})
		if !at.play {
			side = map[string]string{"left": "right", "right": "left"}[side]
		}
		p.Routes = append(p.Routes, tags.Route{Side: side, Number: at.number, Eligible: at.eligible, Route: m.route,
			BreakDepthYd: m.depth})
	}
	p.RoutesAssumed = true
	r.nameByRoutes(rec)
}

// A spotInSet is one eligible's place.
type spotInSet struct {
	play     bool
	number   int
	eligible string
}

type spots []spotInSet

// placesOf lists the places of a set: the strong side from outside in, the other, the backs.
func placesOf(set *picture.Set) (out spots) {
	for i := range set.Play {
		out = append(out, spotInSet{true, i + 1, kind(i+1 == set.PlayAttached)})
	}
	for i := range set.Back {
		out = append(out, spotInSet{false, i + 1, kind(i+1 == set.BackAttached)})
	}
	for i := range set.Backfield {
		out = append(out, spotInSet{true, len(set.Play) + i + 1, "back"})
	}
	return out
}

func kind(attached bool) string {
	if attached {
		return "tight_end"
	}
	return "receiver"
}

// take is the place of a man: X outside on the weak side, Z outside on the strong one, Y inside
// on it, backs in the backfield, others from the strong side's outside in; nil when none is left.
func (s *spots) take(man string) *spotInSet {
	if len(*s) == 0 {
		return nil
	}
	best := 0
	for i := range *s {
		if (*s)[i].fits(man) < (*s)[best].fits(man) {
			best = i
		}
	}
	at := (*s)[best]
	*s = slices.Delete(*s, best, best+1)
	return &at
}

// fits says how well a place fits a man's letter: the least fits best.
func (p *spotInSet) fits(man string) int {
	back, inner := p.eligible == "back", p.number
	switch {
	case strings.Contains("FTRB", man):
		return map[bool]int{true: 0, false: 10}[back] - inner
	case back:
		return 100
	case man == "X":
		return inner + map[bool]int{true: 10, false: 0}[p.play]
	case man == "Y":
		return map[bool]int{true: 0, false: 10}[p.play] - inner
	}
	return inner + map[bool]int{true: 0, false: 10}[p.play]
}

// nameByRoutes names the concept of a play that has none by the routes of its strong side,
// from outside in: the library's where it has one of just these, else "go-out-flat".
func (r *sheetReader) nameByRoutes(rec *Record) {
	p := &rec.Play
	if p.Concept != nil {
		return
	}
	names := routesToStrength(p)
	if len(names) == 0 {
		return
	}
	word := strings.Join(names, "-")
	if w := starter.OfRoutes(r.setOf(p), names); w != "" {
		word = w
	} else if w, ok := r.v.word("concept", word); ok {
		word = w
	} else {
		r.fresh("concept", word)
	}
	p.Concept = &word
	r.named++
}

// routesToStrength are the routes of the strong side from the outside in.
func routesToStrength(p *tags.Play) (names []string) {
	side := tags.AssumedSide(&tags.Play{Strength: p.Strength})
	for i := range p.Routes {
		if x := &p.Routes[i]; x.Side == side && x.Eligible != "back" {
			names = append(names, fmt.Sprint(x.Number, x.Route))
		}
	}
	slices.Sort(names)
	for i := range names {
		names[i] = names[i][1:]
	}
	return names
}

// fresh makes a word of the program's, once.
func (r *sheetReader) fresh(field, word string) {
	known := func(w tags.Word) bool { return w.Field == field && tags.Fold(w.Word) == tags.Fold(word) }
	if !slices.ContainsFunc(r.out.Fresh, known) {
		r.out.Fresh = append(r.out.Fresh, tags.Word{Field: field, Word: word})
	}
}
