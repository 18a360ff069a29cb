package intake

import (
	"regexp"
	"slices"
	"strings"

	"overhang/internal/stress/picture"
)

// A callText is a play call of one text taken apart: "11 trips rt - mesh lt". The parts are
// read as those of columns of their own would be.
type callText struct{ personnel, set, concept string }

var (
	separators   = regexp.MustCompile(` +[-–—|/>] +|[:;|] *|, +`)
	personnelBit = regexp.MustCompile(`^([0-3])([0-4])(?:p|pers|personnel)?$`)
)

// apart takes a call apart; what it does not find stays with the concept.
func (v *lexicon) apart(text string) (out callText) {
	low := strings.ToLower(strings.TrimSpace(text))
	front, rest := "", low
	if at := separators.FindAllStringIndex(low, -1); len(at) > 0 {
		last := at[len(at)-1]
		front, rest = separators.ReplaceAllString(low[:last[0]], " "), low[last[1]:]
	} else {
		front, rest = v.frontOf(strings.Fields(low))
	}
	ws := strings.Fields(front)
	if len(ws) > 0 && personnelBit.MatchString(ws[0]) {
		m := personnelBit.FindStringSubmatch(ws[0])
		out.personnel, ws = m[1]+m[2], ws[1:]
		if len(ws) > 0 && slices.Contains([]string{"p", "pers", "personnel"}, ws[0]) {
			ws = ws[1:]
		}
	}
	out.set, out.concept = strings.Join(ws, " "), strings.TrimSpace(rest)
	return out
}

// frontOf parts words without a mark between them: before the longest known concept they end
// with, where a side, a backfield, a known set or the personnel stands; else behind the
// longest known set they begin with.
func (v *lexicon) frontOf(ws []string) (front, rest string) {
	end := len(ws)
	for end > 1 && sideWords[ws[end-1]] != "" {
		end--
	}
	for i := range end {
		if _, ok := v.word("concept", strings.Join(ws[i:end], " ")); ok && i > 0 && v.marked(ws[:i]) {
			return strings.Join(ws[:i], " "), strings.Join(ws[i:], " ")
		}
	}
	for i := len(ws) - 1; i > 0; i-- {
		if _, ok := v.setIn(ws[:i]); ok {
			return strings.Join(ws[:i], " "), strings.Join(ws[i:], " ")
		}
	}
	return "", strings.Join(ws, " ")
}

// marked reports whether words before a concept say how the offense lines up.
func (v *lexicon) marked(ws []string) bool {
	_, set := v.setIn(ws)
	return set || personnelBit.MatchString(ws[0]) || slices.ContainsFunc(ws, func(w string) bool {
		return sideWords[w] != "" || backWords[w] != ""
	})
}

// setIn is the known set that words are, without the personnel, the side and the backfield.
func (v *lexicon) setIn(ws []string) (string, bool) {
	if len(ws) > 1 && personnelBit.MatchString(ws[0]) {
		ws = ws[1:]
	}
	rest, _ := v.around("set_name", strings.Join(ws, " "))
	return v.word("set_name", rest)
}

// word finds a word of the vocabulary by any of its writings.
func (v *lexicon) word(field, text string) (string, bool) {
	if field == "set_name" {
		text = picture.Written(text)
	}
	if w, ok := v.known[field][letters(text)]; ok {
		return w, true
	}
	w, ok := v.known[field][letters(written[field][letters(text)])]
	return w, ok
}

// calls reports whether the texts of a column mostly say how the offense lines up beside what
// it runs, and whether they begin with the personnel: all of them, since a hole may be called
// by a number too.
func (l *layout) calls(col int, v *lexicon) (whole, personnel bool) {
	n, of, first, holes := 0, 0, 0, 0
	for row := l.header + 1; row < len(l.tab.rows) && of < 300; row++ {
		text := l.tab.cell(row, col)
		if text == "" || unknowns[strings.ToLower(text)] {
			continue
		}
		of++
		if _, known := v.word("concept", text); known {
			continue
		}
		c := v.apart(text)
		if c.set != "" && c.concept != "" {
			n++
		}
		if c.personnel != "" {
			first++
		} else if digit.MatchString(strings.Fields(text)[0]) && len(strings.Fields(text)[0]) == 2 {
			holes++
		}
	}
	return n*2 > of, first*2 > of && holes == 0
}

// call reads a cell of such a column: each part goes where a column of its own would go, but
// where there is one.
func (r *sheetReader) call(l *layout, rec *Record, c *column, row int, text string) {
	parts := r.v.apart(text)
	if c.personnel && parts.personnel != "" && l.column("personnel") == nil {
		rec.Play.Personnel = &parts.personnel
	}
	for _, p := range []struct{ field, text string }{{"set_name", parts.set}, {"concept", parts.concept}} {
		if p.text == "" || p.field == "set_name" && l.column(p.field) != nil {
			continue
		}
		rec.words = append(rec.words, use{p.field, p.text, row, c.at})
		r.count(p.field, p.text)
	}
}
