package plan

import (
	"cmp"
	"slices"

	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// UsageBy are the dimensions a count of where concepts are run is grouped by.
var UsageBy = []string{"set_name", "concept", "down", "distance_band", "field_zone", "hash", "play_side"}

// A Usage counts plays of one concept in one place; "" is unknown.
type Usage struct {
	SetName, Concept, Down, Band, Zone, Hash, Side string
	Plays                                          int
}

// Usages reads a count by UsageBy.
func Usages(t tags.Tendency) []Usage {
	var out []Usage
	for i := range t.Cells {
		c := &t.Cells[i]
		var k [7]string
		for n, v := range c.Keys {
			if v != nil {
				k[n] = *v
			}
		}
		out = append(out, Usage{k[0], k[1], k[2], k[3], k[4], k[5], k[6], c.Plays})
	}
	return out
}

// A Usual is where a concept is run most: down and distance together; the hash by
// itself, and the side from that hash; with the plays behind each. "" where it was
// never tagged.
type Usual struct {
	Plays          int    `json:"plays"`
	Down           string `json:"down,omitempty"`
	Band           string `json:"distance_band,omitempty"`
	SituationPlays int    `json:"situation_plays"`
	Hash           string `json:"hash,omitempty"`
	HashPlays      int    `json:"hash_plays"`
	Side           string `json:"play_side,omitempty"`
	SidePlays      int    `json:"side_plays"`
}

// UsualOf finds it among usages; of equals the first in alphabetical order counts.
func UsualOf(us []Usage, set, concept string) Usual {
	var out Usual
	at, hash := map[[2]string]int{}, map[[2]string]int{}
	for i := range us {
		u := &us[i]
		if u.SetName != set || u.Concept != concept {
			continue
		}
		out.Plays += u.Plays
		if u.Down != "" && u.Band != "" {
			at[[2]string{u.Down, u.Band}] += u.Plays
		}
		hash[[2]string{u.Hash}] += u.Plays
	}
	delete(hash, [2]string{})
	k, n := mode(at)
	out.Down, out.Band, out.SituationPlays = k[0], k[1], n
	k, n = mode(hash)
	out.Hash, out.HashPlays = k[0], n
	out.Side, out.SidePlays = sideFrom(us, set, concept, out.Hash)
	return out
}

// sideFrom is the side a concept is run to most from a hash, from any when the hash
// is unknown; "" where the side was never tagged.
func sideFrom(us []Usage, set, concept, hash string) (side string, plays int) {
	sides := map[[2]string]int{}
	for i := range us {
		if u := &us[i]; u.SetName == set && u.Concept == concept && u.Side != "" && (hash == "" || u.Hash == hash) {
			sides[[2]string{u.Side}] += u.Plays
		}
	}
	k, n := mode(sides)
	return k[0], n
}

func mode(m map[[2]string]int) (best [2]string, n int) {
	keys := make([][2]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b [2]string) int {
		return cmp.Or(cmp.Compare(m[b], m[a]), cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
	})
	if len(keys) == 0 {
		return best, 0
	}
	return keys[0], m[keys[0]]
}

// SpotOn puts the ball on a hash as the offense sees it, in the middle for any
// other word.
func SpotOn(l field.Level, hash string) field.Spot {
	s := field.Spot{Level: l}
	switch hash {
	case "left":
		s.FromMiddle = -l.HashSpot()
	case "right":
		s.FromMiddle = l.HashSpot()
	}
	return s
}

// On is the concept with the ball on a hash and run to a side (left, else right).
// It fails as Picture does.
func (c *Concept) On(level field.Level, hash, side string) (*picture.Picture, error) {
	s := c.spec(level)
	s.Spot, s.Left = SpotOn(level, hash), (side == "left") != c.away
	return read(s, level)
}
