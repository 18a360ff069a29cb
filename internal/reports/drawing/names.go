package drawing

import (
	"slices"
	"strconv"
	"strings"

	"overhang/internal/stress/duty"
	"overhang/internal/stress/picture"
)

// eligibleMark is the number from the sideline in, or B for a back.
func eligibleMark(r *picture.Receiver) string {
	if r.Back {
		return "B" + strings.TrimPrefix(r.Name, "back")
	}
	return strconv.Itoa(r.Number)
}

// eligibleName says who he is as the engine's sentences do.
func eligibleName(p *picture.Picture, r *picture.Receiver) string {
	switch {
	case r.Back:
		return r.Name
	case r.Side != p.Play:
		return "backside #" + strconv.Itoa(r.Number)
	}
	return "#" + strconv.Itoa(r.Number)
}

// defenderMarks gives every man of a setup a letter or two, from his name without
// its side: the first letter; where two names share it, two words give both
// initials, and one word its first and last letter.
func defenderMarks(s *duty.Setup) []string {
	var names []string
	sharing := map[rune]int{}
	for j := range s.Men {
		n := baseName(s.Men[j].Slot.Name)
		if !slices.Contains(names, n) {
			names = append(names, n)
			sharing[[]rune(n)[0]]++
		}
	}
	lone := map[rune]bool{} // the letter was given to a name of one word
	marks := map[string]string{}
	for _, n := range names {
		letters, words := []rune(n), strings.Fields(n)
		first := letters[0]
		mark := []rune{first}
		switch {
		case len(letters) == 2 && strings.ToUpper(n) == n: // a staff's own: FS
			mark = letters
		case sharing[first] == 1:
		case len(words) > 1:
			mark = append(mark, []rune(words[1])[0])
		case lone[first]:
			mark = append(mark, letters[len(letters)-1])
		default:
			lone[first] = true
		}
		marks[n] = strings.ToUpper(string(mark))
	}
	out := make([]string, len(s.Men))
	for j := range s.Men {
		out[j] = marks[baseName(s.Men[j].Slot.Name)]
	}
	return out
}

// baseName takes the side off a defender's name; a name is never empty.
func baseName(s string) string {
	for _, side := range []string{"strong ", "weak "} {
		s = strings.TrimPrefix(s, side)
	}
	if s = strings.TrimSpace(s); s == "" {
		return "?"
	}
	return s
}
