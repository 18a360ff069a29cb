package study

import (
	"slices"
	"strings"

	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// A Likeness is how far another opponent is from the one we prepare for.
type Likeness struct {
	Opponent   string  `json:"opponent"`
	Plays      int     `json:"plays"`      // of theirs in the situations compared
	Situations int     `json:"situations"` // with plays of both
	Apart      float64 `json:"apart_bits"` // 0 alike to 1 nothing in common, less what chance gives
	Raw        float64 `json:"apart_raw_bits"`
	P          float64 `json:"p"` // of being so far apart by chance
}

// Likest ranks the other opponents by how like target they are. The keys of a
// count are the opponent, the situation's, and the outcome; unknown situations
// and outcomes are left out and counted. NotFound when target has no play.
func Likest(target string, counts []tags.Count) ([]Likeness, int, error) {
	var names, situations, outcomes []string
	atName, atSituation, atOutcome := map[string]int{}, map[string]int{}, map[string]int{}
	situation := func(c *tags.Count) string {
		var parts []string
		for _, k := range c.Keys[1 : len(c.Keys)-1] {
			parts = append(parts, *k)
		}
		return strings.Join(parts, "\x00")
	}
	known, leftOut := known(counts)
	for _, c := range known {
		names = place(atName, names, *c.Keys[0])
		situations = place(atSituation, situations, situation(&c))
		outcomes = place(atOutcome, outcomes, *c.Keys[len(c.Keys)-1])
	}
	if _, ok := atName[target]; !ok {
		return nil, leftOut, tags.Errorf(tags.NotFound, "%s has no play with all of these known", target)
	}
	profiles := make([]tendency.Profile, len(names))
	for i, n := range names {
		profiles[i] = tendency.Profile{Name: n, Counts: make([][]int, len(situations))}
		for s := range situations {
			profiles[i].Counts[s] = make([]int, len(outcomes))
		}
	}
	for _, c := range known {
		profiles[atName[*c.Keys[0]]].Counts[atSituation[situation(&c)]][atOutcome[*c.Keys[len(c.Keys)-1]]] += c.Plays
	}
	t := profiles[atName[target]]
	out := []Likeness{}
	for _, l := range tendency.Likest(t, slices.DeleteFunc(profiles,
		func(p tendency.Profile) bool { return p.Name == target })) {
		out = append(out, Likeness{l.Name, l.Plays, l.Situations, l.Apart, l.Raw, l.P})
	}
	return out, leftOut, nil
}
