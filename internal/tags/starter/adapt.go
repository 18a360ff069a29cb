package starter

import (
	"fmt"
	"slices"
	"strings"

	"overhang/internal/stress/picture"
)

// A part is what one man of a concept does, in the short notation: who, and what.
type part struct{ who, what string }

func parts(notation string) (out []part) {
	for _, p := range strings.Split(notation, ", ") {
		who, what, _ := strings.Cut(p, " ")
		out = append(out, part{who, what})
	}
	return out
}

func notation(ps []part) string {
	var out []string
	for _, p := range ps {
		out = append(out, p.who+" "+p.what)
	}
	return strings.Join(out, ", ")
}

// adapt lays a concept out in a set that has other men than the one it is drawn
// from, the way staffs carry a concept over (common practice, no source): with
// too few on the play side a block goes first, then the back takes the flat, then
// the outermost route goes; on the other side the route that crosses stays, else
// the outermost; where nobody is in the backfield his route is the innermost free
// man's. The order from the sideline in stays.
func adapt(routes string, set *picture.Set) string {
	var play, other, backs []part
	for _, p := range parts(routes) {
		switch p.who[0] {
		case 'P':
			play = append(play, p)
		case 'B':
			other = append(other, p)
		default:
			backs = append(backs, p)
		}
	}
	most := len(set.Backfield)
	for len(play) > len(set.Play) {
		i := spare(play, len(backs) < most)
		if strings.Contains(play[i].what, "flat") || strings.Contains(play[i].what, "arrow") {
			backs = append(backs, part{"back", word(play[i].what) + " play side"})
		}
		play = slices.Delete(play, i, i+1)
	}
	for len(other) > len(set.Back) {
		i := slices.IndexFunc(other, func(p part) bool { return !crosses(p.what) })
		if !slices.ContainsFunc(other, func(p part) bool { return crosses(p.what) }) {
			i = len(other) - 1
		}
		other = slices.Delete(other, max(i, 0), max(i, 0)+1)
	}
	slices.SortStableFunc(other, func(a, b part) int { return strings.Compare(a.who, b.who) })
	play, other = numbered(play, "P", len(set.Play)), numbered(other, "B", len(set.Back))
	for len(backs) > most {
		last := backs[len(backs)-1]
		backs = backs[:len(backs)-1]
		if strings.Contains(last.what, "to the B side") {
			other = taken(other, "B", len(set.Back), last)
		} else {
			play = taken(play, "P", len(set.Play), last)
		}
	}
	return notation(slices.Concat(play, other, backs))
}

// spare is the place of the man the play side can do without.
func spare(ps []part, back bool) int {
	if i := slices.IndexFunc(ps, func(p part) bool { return p.what == "block" }); i >= 0 {
		return i
	}
	i := slices.IndexFunc(ps, func(p part) bool {
		return strings.HasPrefix(p.what, "flat") || strings.HasPrefix(p.what, "arrow")
	})
	if back && i >= 0 {
		return i
	}
	return 0
}

func crosses(what string) bool {
	return slices.Contains([]string{"shallow", "over", "cross", "under", "mesh"}, word(what)) ||
		strings.Contains(what, "other side")
}

// word is the route alone, with its depth where it has one.
func word(what string) string {
	name, _, _ := strings.Cut(what, " ")
	return strings.SplitN(name, "@", 2)[0]
}

// numbered keeps the numbers the side has, and closes up where one is beyond them.
func numbered(ps []part, side string, men int) []part {
	out := slices.Clone(ps)
	for i := len(out) - 1; i >= 0; i-- {
		at := int(out[i].who[1] - '0')
		most := men - (len(out) - 1 - i)
		out[i].who = fmt.Sprint(side, min(at, most))
	}
	return out
}

// taken gives a back's route to the innermost man of a side who has none yet.
func taken(ps []part, side string, men int, from part) []part {
	for n := men; n > 0; n-- {
		who := fmt.Sprint(side, n)
		if slices.ContainsFunc(ps, func(p part) bool { return p.who == who }) {
			continue
		}
		what := strings.NewReplacer(" play side", "", " to the B side", "").Replace(from.what)
		return append(ps, part{who, what})
	}
	return ps
}
