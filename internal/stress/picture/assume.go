package picture

import (
	"fmt"
	"regexp"
	"strings"
	"sync"
)

// A Hint is what is known of a set that nobody can place by its word.
type Hint struct {
	Word      string         // as the staff says it, "" where none is told
	Personnel string         // backs and tight ends, as 11, the one seen most; "" unknown
	drawn     map[string]int // plays by the set their concept is drawn from in the library
	with      map[string]int // plays by personnel
}

// Saw takes in n plays of the set; "" is an unknown concept or personnel.
func (h *Hint) Saw(concept, personnel string, n int) {
	if h.drawn == nil {
		h.drawn, h.with = map[string]int{}, map[string]int{}
	}
	if concept != "" {
		h.drawn[drawnFrom()[strings.ToLower(concept)]] += n
	}
	if personnel == "" {
		return
	}
	h.with[personnel] += n
	if got, most := h.with[personnel], h.with[h.Personnel]; got > most || got == most && personnel < h.Personnel {
		h.Personnel = personnel
	}
}

// Assume is the set a picture is drawn from where nobody knows the word of it, and why: the
// set that is part of the word ("trips tight", "3 by 1 near"); else of the plain sets that the
// personnel leaves, the one most of the concepts are drawn from; else the first of them in the
// order of sets.json. It is assumed, and has to be shown so. Common practice, no source.
func Assume(h Hint) (set, why string) {
	if name, part := setIn(h.Word); name != "" {
		return name, fmt.Sprintf("%q is in it", part)
	}
	var plain []*Set
	for _, s := range setList {
		if s.PlayOff == 0 && len(s.Backfield) > 0 && s.fits(h.Personnel) {
			plain = append(plain, s)
		}
	}
	why = "the plainest set"
	if len(plain) == 0 {
		plain = setList
	} else if h.Personnel != "" {
		why = "the plainest set with " + h.Personnel + " personnel"
	}
	best := plain[0]
	for _, s := range plain {
		if h.drawn[s.Name] > h.drawn[best.Name] {
			best = s
		}
	}
	if h.drawn[best.Name] > 0 {
		why = "most of its concepts are drawn from it"
	}
	return best.Name, why
}

// HasSet reports whether a set is one that pictures can be drawn from.
func HasSet(name string) bool {
	_, err := LookupSet(name)
	return err == nil
}

// drawnFrom are the sets the library draws its concepts from first.
var drawnFrom = sync.OnceValue(func() map[string]string {
	m := map[string]string{}
	for _, e := range Library() {
		if s, err := LookupSet(e.Set); err == nil && m[strings.ToLower(e.Concept)] == "" {
			m[strings.ToLower(e.Concept)] = s.Name
		}
	}
	return m
})

// fits reports whether backs and tight ends are those of a set: a tight end may also stand
// away from the line.
func (s *Set) fits(personnel string) bool {
	if len(personnel) != 2 {
		return len(s.Backfield) == 1
	}
	backs, ends := int(personnel[0]-'0'), int(personnel[1]-'0')
	attached := 0
	for _, n := range []int{s.PlayAttached, s.BackAttached} {
		if n > 0 {
			attached++
		}
	}
	return len(s.Backfield) == max(1, min(backs, 2)) && (attached == 0 || ends > 0) && (ends < 2 || attached > 0)
}

var (
	figures = strings.NewReplacer("one", "1", "two", "2", "three", "3", "four", "4")
	byForm  = regexp.MustCompile(`\b([1-4]) ?(?:x|by|-) ?([0-3])\b`)
)

// Written brings "three by one" and "3 x 1" to the way sets are written here, "3x1".
func Written(word string) string {
	return byForm.ReplaceAllString(figures.Replace(strings.ToLower(word)), "${1}x$2")
}

// setIn is the set whose name is part of a word, whole words only, and the longest of several.
func setIn(word string) (set, part string) {
	text := " " + strings.Join(strings.Fields(Written(word)), " ") + " "
	for _, s := range setList {
		for _, n := range append([]string{s.Name}, s.Also...) {
			if n = strings.ToLower(n); len(n) > max(2, len(part)) && strings.Contains(text, " "+n+" ") {
				set, part = s.Name, n
			}
		}
	}
	return set, part
}
