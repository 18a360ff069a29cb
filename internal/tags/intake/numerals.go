package intake

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// Numbers as they are said.
var (
	spoken1 = map[string]int{"zero": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7,
		"eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15,
		"sixteen": 16, "seventeen": 17, "eighteen": 18, "nineteen": 19}
	spoken10 = map[string]int{"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70,
		"eighty": 80, "ninety": 90}
	saidNumber = regexp.MustCompile(`\b(?:(twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety)(?:[- ]([a-z]+))?|` +
		`([a-z]+))\b`)
)

// numerals writes the numbers of a text in figures: "third and ten" is "third and 10".
func numerals(s string) string {
	return saidNumber.ReplaceAllStringFunc(strings.ToLower(s), func(w string) string {
		m := saidNumber.FindStringSubmatch(w)
		if n, ok := spoken1[m[3]]; ok {
			return strconv.Itoa(n)
		}
		tens, ok := spoken10[m[1]]
		if !ok {
			return w
		}
		if n, ok := spoken1[m[2]]; ok && n > 0 && n < 10 {
			return strconv.Itoa(tens + n)
		}
		return strings.TrimSpace(fmt.Sprint(tens, " ", m[2]))
	})
}

// inFigures are the fields whose numbers may be written in words.
var inFigures = map[string]bool{"number": true, "quarter": true, "down": true, "distance_yd": true,
	downAndDistance: true, spot: true, "yards_to_goal": true, "personnel": true, "gain_yd": true, "rushers": true,
	"blitzers": true, "score_margin": true, week: true}

var digit = regexp.MustCompile(`\d`)

// figured is a cell's text with its numbers in figures, where its field has numbers and the
// text no figure.
func figured(field, text string) string {
	if !inFigures[field] || digit.MatchString(text) {
		return text
	}
	if out := numerals(text); digit.MatchString(out) {
		return out
	}
	return text
}

// worded reports whether a column mostly has its numbers in words.
func (l *layout) worded(c *column) bool {
	words, of := 0, 0
	for row := l.header + 1; row < len(l.tab.rows) && of < 300; row++ {
		if text := l.tab.cell(row, c.at); text != "" {
			if of++; figured(c.field, text) != text {
				words++
			}
		}
	}
	return words*2 > of
}
