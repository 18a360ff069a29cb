package plan

import (
	"cmp"
	"slices"
	"sync"

	"overhang/internal/stress"
	"overhang/internal/stress/points"
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// Terms are what plays are judged by: the program's rule for each play's own down and
// distance, and a situation for plays on which nobody tagged them.
type Terms struct {
	stress.Setting
	Percent [3]int // of the distance that is a success, on 1st, 2nd, 3rd and 4th down
}

// SituationOf returns what a down and distance needs under a program's rule.
// Without a down it is first and ten. A distance of 0 is not told: it is the
// middle of the distance band of that name, of a band without an end its first
// three yards, else ten yards. It stands for plays whose own is unknown only.
func SituationOf(down, distance int, band string, set tags.Settings) Terms {
	if down == 0 {
		down, distance = 1, 10
	}
	if distance == 0 {
		distance = 10
		for _, b := range set.DistanceBands {
			if b.Name == band {
				distance = b.From + min((b.To-b.From)/2, 2)
			}
		}
	}
	t := Terms{stress.Usual, set.SuccessPercent}
	t.Points = worth(&set)
	t.Explosive, t.ExplosiveRun = float64(set.ExplosivePassYd), float64(set.ExplosiveRunYd)
	t.ToGain = stress.ToGain{Need: float64(tendency.Needed(down, distance, set.SuccessPercent)), Down: down,
		Distance: float64(distance)}
	return t
}

// tables are what downs are worth, by the kicking of programs.
var tables sync.Map

// worth is what downs are worth under a program's settings.
func worth(set *tags.Settings) *points.Table {
	key := points.Settings{FieldGoal: float64(set.FieldGoalYd), Punt: float64(set.PuntNetYd), GoForIt: set.GoForIt}
	if t, ok := tables.Load(key); ok {
		return t.(*points.Table)
	}
	t, _ := tables.LoadOrStore(key, points.Season(key))
	return t.(*points.Table)
}

// stretches of the field that a picture is played on: up to so many yards to the goal
// line, and where the ball then lies, about their middle. Further out no throw of a
// dropback gets to the end line, and the whole field stands for it. Assumed.
var stretches = []struct{ to, at int }{{5, 3}, {10, 8}, {20, 15}, {30, 25}, {99, 0}}

// stretchOf is the place in stretches of the yards to the goal line, 0 unknown.
func stretchOf(toGoal int) int {
	if toGoal == 0 {
		return len(stretches) - 1
	}
	return slices.IndexFunc(stretches, func(s struct{ to, at int }) bool { return toGoal <= s.to })
}

// A stretch is where a concept was run, with the downs there.
type stretch struct {
	yardsToGoal float64 // 0: the whole field
	plays       int
	downs       []stress.Down
}

// stretches sorts the downs of a concept by where on the field they were, that with most
// plays first. There is one at least: a concept of which no down is known is run on the
// terms' situation, on the whole field.
func (t *Terms) stretches(c *Concept) []stretch {
	out := make([]stretch, len(stretches))
	for i, s := range stretches {
		out[i].yardsToGoal = float64(s.at)
	}
	for _, f := range c.Faced {
		s := &out[stretchOf(f.YardsToGoal)]
		s.plays += f.Plays
		s.downs = append(s.downs, stress.Down{ToGain: t.of(f), Plays: float64(f.Plays)})
	}
	out = slices.DeleteFunc(out, func(s stretch) bool { return s.plays == 0 })
	if len(out) == 0 {
		return []stretch{{plays: c.Plays}}
	}
	slices.SortStableFunc(out, func(a, b stretch) int { return cmp.Compare(b.plays, a.plays) })
	return out
}

// Moved are concepts as if all their plays had been on the terms' down and distance, each from
// where on the field it was; with toGoal above 0, on their own downs that far from the goal line.
// So a situation in which too few plays were seen borrows what an opponent runs, not the downs
// it was run on. (Assumed: that it is run there as often as elsewhere.)
func (t *Terms) Moved(cs []Concept, toGoal int) []Concept {
	out := slices.Clone(cs)
	for i := range out {
		c := &out[i]
		c.Faced = slices.Clone(c.Faced)
		if len(c.Faced) == 0 {
			c.Faced = []tags.Faced{{Plays: c.Plays}}
		}
		for k := range c.Faced {
			f := &c.Faced[k]
			if toGoal > 0 {
				f.YardsToGoal = toGoal
				continue
			}
			f.Down, f.DistanceYd = t.ToGain.Down, int(t.ToGain.Distance)
			if f.YardsToGoal < f.DistanceYd { // nobody has longer than to the goal line
				f.YardsToGoal = 0
			}
		}
	}
	return out
}

// of is what one down asks for: its own distance, and never more than the goal line.
func (t *Terms) of(f tags.Faced) stress.ToGain {
	s := t.ToGain
	s.YardsToGoal = float64(f.YardsToGoal)
	if f.Down > 0 && f.DistanceYd > 0 {
		s.Down, s.Distance = f.Down, float64(f.DistanceYd)
		s.Need = float64(tendency.Needed(f.Down, f.DistanceYd, t.Percent))
	}
	if f.YardsToGoal > 0 {
		s.Need, s.Distance = min(s.Need, s.YardsToGoal), min(s.Distance, s.YardsToGoal)
	}
	return s
}

// need is what the plays of concepts need on average.
func (t *Terms) need(cs []Concept) float64 {
	sum, n := 0.0, 0
	for i := range cs {
		for _, f := range cs[i].Faced {
			sum, n = sum+float64(f.Plays)*t.of(f).Need, n+f.Plays
		}
	}
	if n == 0 {
		return t.ToGain.Need
	}
	return sum / float64(n)
}
