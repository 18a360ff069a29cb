package intake

import (
	"fmt"
	"strings"
)

// sides finds a staff's own words for the sides: two words that stand last behind the same
// sets, one with an L and one with an R for a first letter ("liz" and "rip"; common practice,
// no source). Two sets at least have both, and no
// other word stands there.
func (l *layout) sides(c *column, v *lexicon) {
	behind := map[string]map[string]bool{} // last word: the words before it
	first := map[string]bool{}
	for row := l.header + 1; row < len(l.tab.rows); row++ {
		ws := strings.Fields(strings.ToLower(l.tab.cell(row, c.at)))
		if len(ws) == 0 {
			continue
		}
		last := ws[len(ws)-1]
		if len(ws) == 1 || v.side(last) != "" {
			continue
		}
		if behind[last] == nil {
			behind[last] = map[string]bool{}
		}
		stem := strings.Join(ws[:len(ws)-1], " ")
		behind[last][stem], first[stem] = true, true
	}
	for left, of := range behind {
		for right := range behind {
			if left[0] != 'l' || right[0] != 'r' || len(behind) > 2 || len(first) < 2 {
				continue
			}
			both := 0
			for stem := range of {
				if behind[right][stem] {
					both++
				}
			}
			if both*2 > len(first) && both > 1 {
				v.sides = map[string]string{left: "left", right: "right"}
				c.why += fmt.Sprintf("; %q and %q behind it are left and right by their first letters", left, right)
			}
		}
	}
}
