package handout

import (
	"cmp"
	"slices"
	"strings"

	"overhang/internal/plan"
	"overhang/internal/reports/ink"
	"overhang/internal/stress"
	"overhang/internal/stress/motion"
)

// spare is 1 of a run against which he has no order of his own.
func (s *Shown) spare() int {
	if len(s.Do) == 1 && s.Do[0] == ink.Capital(passFirst)+"." {
		return 1
	}
	return 0
}

// A RunFit is what a man does against one of their runs.
type RunFit struct {
	SetName string `json:"set_name"`
	Concept string `json:"concept"`
	Plays   int    `json:"plays"`
	Check   string `json:"check,omitempty"`
	ToHim   bool   `json:"to_him"` // the run goes to his side
	Do      string `json:"do"`
	side    string
}

// fit finds his fits against the run of a result, to his side first.
func (p *Position) fit(c *plan.Concept, r *stress.Result) {
	s := r.Rep.Setup
	for _, to := range []bool{true, false} {
		for j := range s.Men {
			m := &s.Men[j]
			if to != (m.Side == r.Rep.Picture.Play) || !slices.Contains(p.names, m.Slot.Name) {
				continue
			}
			p.Fits = append(p.Fits, RunFit{c.SetName, c.Concept, c.Plays, s.Check, to, fitSaid(r, j),
				sideNames[m.Slot.Side]})
		}
	}
}

// edge is said to who has the force where the run comes, backside to who has it where the run
// goes away: what can still come back to him. Common practice, no source.
const (
	edge     = "set the edge"
	backside = "hold the backside edge: cutback, boot, reverse"
)

// passFirst is said to a man without a run role.
const passFirst = "pass first, then run to the ball"

// fitSaid is where a man fits, said to him: his gap, the edge he sets, both or neither.
func fitSaid(r *stress.Result, j int) string {
	f, m := r.RunFit(), &r.Rep.Setup.Men[j]
	var out []string
	for n, who := range f.Man {
		if who == j {
			out = append(out, gapSaid(f.Gaps[n].Name, f.Gaps[n].Side == m.Side))
		}
	}
	if slices.Contains(f.Force[:], j) {
		say := backside
		if m.Side == r.Rep.Picture.Play {
			say = edge
		}
		out = append(out, say)
	}
	switch {
	case len(out) > 0:
		return strings.Join(out, " and ")
	case slices.Contains(f.Spare, j):
		return spareSaid(m.Slot.Fit)
	case motion.Rushes(m):
		return "chase, flat to the ball"
	}
	return passFirst
}

// gapSaid names a gap to the man who fits it.
func gapSaid(name string, his bool) string {
	gap := name[len(name)-1:] + " gap"
	if !his {
		gap += " on the other side"
	}
	return gap
}

// spareSaid is said to a man whose gap others have: by his run role. Common practice, no source.
func spareSaid(role string) string {
	switch role {
	case "cutback":
		return "slow, take the cutback"
	case "alley":
		return "fill the alley, inside out"
	case "force":
		return "second force, stay outside"
	}
	return "free hitter, inside out"
}

// runsTold is of how many runs a page tells the fits.
const runsTold = 3

// fits are his orders against the runs they run most, to him and away: what most of their plays
// ask first, behind it the runs that ask for something else. What is nobody's order (he plays
// the pass first) is left away.
func (p *Position) fits(told []string) (out []string) {
	for _, to := range []bool{true, false} {
		var dos []string
		n := map[string]int{}
		for i := range p.Fits {
			f := &p.Fits[i]
			if f.ToHim != to || !slices.Contains(told, f.run()) {
				continue
			}
			if n[f.Do] == 0 {
				dos = append(dos, f.Do)
			}
			n[f.Do] += max(f.Plays, 1)
		}
		if role, ok := strings.CutPrefix(p.Taught[0].Fit, "Run: "); ok && to && len(p.Fits) > 0 && len(dos) == 0 {
			out = append(out, "Run to you: "+strings.Replace(role, "force", edge, 1)) // none of theirs has come to him yet
		}
		slices.SortStableFunc(dos, func(a, b string) int { return cmp.Compare(n[b], n[a]) })
		if len(dos) == 0 || len(dos) == 1 && dos[0] == passFirst {
			continue
		}
		line := map[bool]string{true: "Run to you: ", false: "Run away: "}[to] + dos[0] + "."
		for _, do := range dos[1:] {
			var at []string
			for i := range p.Fits {
				if f := &p.Fits[i]; f.ToHim == to && f.Do == do && slices.Contains(told, f.run()) {
					at = append(at, f.against(told))
				}
			}
			if gap, ok := strings.CutSuffix(do, " and "+dos[0]); ok && (dos[0] == edge || dos[0] == backside) {
				do = gap + " too"
			}
			line += " " + ink.Capital(strings.Join(at, ", ")) + ": " + do + "."
		}
		out = append(out, line)
	}
	return out
}

// told are the runs of a page's men that are told: those run most.
func (x *packet) told() (out []string) {
	for _, p := range x.men {
		for i := range p.Fits {
			if run := p.Fits[i].run(); len(out) < runsTold && !slices.Contains(out, run) {
				out = append(out, run)
			}
		}
	}
	return out
}

// usualFits are those of most calls of a page, none where no two calls have the same; ends and
// tackles, who share one, have none in common.
func (x *packet) usualFits(told []string) (out []string) {
	if x.group == rushers {
		return nil
	}
	n := map[string]int{}
	most := 1
	for _, p := range x.men {
		lines := p.fits(told)
		key := strings.Join(lines, "\n")
		if n[key]++; n[key] > most && key != "" {
			most, out = n[key], lines
		}
	}
	return out
}

// against names a run beside the others that are told: its set alone where all are the same run.
func (f *RunFit) against(told []string) string {
	name := ink.Name(f.Concept) + " "
	if slices.ContainsFunc(told, func(run string) bool { return !strings.HasPrefix(run, name) }) {
		return f.run()
	}
	return ink.Name(f.SetName)
}

func (f *RunFit) run() string { return ink.Name(f.Concept) + " " + ink.Name(f.SetName) }
