package handout

import (
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
			p.Fits = append(p.Fits, RunFit{c.SetName, c.Concept, c.Plays, s.Check, to, fitSaid(r, j)})
		}
	}
}

// passFirst is said to a man without a run role.
const passFirst = "pass first, then run to the ball"

// fitSaid is where a man fits, said to him: his gap, the edge he sets, both or neither.
func fitSaid(r *stress.Result, j int) string {
	f, m := r.RunFit(), &r.Rep.Setup.Men[j]
	var out []string
	for n, who := range f.Man {
		if who != j {
			continue
		}
		gap := f.Gaps[n].Name[len(f.Gaps[n].Name)-1:] + " gap"
		if f.Gaps[n].Side != m.Side {
			gap += " on the other side"
		}
		out = append(out, gap)
	}
	if slices.Contains(f.Force[:], j) {
		out = append(out, "set the edge")
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

// A fitting is one order against a run: when the run goes to him, away or either way, and in
// which calls.
type fitting struct {
	run, do string
	to      string
	calls   []string
}

// fits are the lines of a page: one order a line, calls that ask the same of him together.
// What is nobody's order (he plays the pass first) is left away.
func (x *packet) fits() (out []string) {
	var all []fitting
	var runs []string
	var in []string // calls in which he meets runs
	for _, p := range x.men {
		if name := strings.ToUpper(ink.Name(p.Call)); len(p.Fits) > 0 && !slices.Contains(in, name) {
			in = append(in, name)
		}
		for i := range p.Fits {
			run := p.Fits[i].run()
			if !slices.Contains(runs, run) {
				runs = append(runs, run)
			}
			all = fittingOf(all, &p.Fits[i], strings.ToUpper(ink.Name(p.Call)))
		}
	}
	told := runs[:min(len(runs), runsTold)]
	all = slices.DeleteFunc(all, func(f fitting) bool { return f.do == passFirst || !slices.Contains(told, f.run) })
	for _, f := range together(eitherWay(all)) {
		if len(told) > 1 && strings.Count(f.run, "; ")+1 == len(told) {
			f.run = "Their runs"
		}
		out = append(out, f.run+f.to+f.where(in)+": "+f.do+".")
	}
	return out
}

// where says of which calls it is, the shorter way.
func (f *fitting) where(all []string) string {
	rest := slices.DeleteFunc(slices.Clone(all), func(c string) bool { return slices.Contains(f.calls, c) })
	switch {
	case len(rest) == 0:
		return ""
	case len(rest) < len(f.calls):
		return " (not " + strings.Join(rest, ", ") + ")"
	}
	return " (" + strings.Join(f.calls, ", ") + ")"
}

func (f *RunFit) run() string { return ink.Capital(ink.Name(f.Concept)) + ", " + ink.Name(f.SetName) }

// fittingOf puts a fit to those that ask the same, or as a new one.
func fittingOf(all []fitting, f *RunFit, call string) []fitting {
	o := fitting{run: f.run(), do: f.Do, to: map[bool]string{true: ", to you", false: ", away"}[f.ToHim]}
	at := slices.IndexFunc(all, func(y fitting) bool { return y.run == o.run && y.do == o.do && y.to == o.to })
	if at < 0 {
		at, all = len(all), append(all, o)
	}
	if !slices.Contains(all[at].calls, call) {
		all[at].calls = append(all[at].calls, call)
	}
	return all
}

// eitherWay makes one of two that differ only in where the run goes.
func eitherWay(all []fitting) (out []fitting) {
	for _, f := range all {
		same := func(y fitting) bool { return y.run == f.run && y.do == f.do && slices.Equal(y.calls, f.calls) }
		if at := slices.IndexFunc(out, same); at >= 0 {
			out[at].to = ""
			continue
		}
		out = append(out, f)
	}
	return out
}

// together makes one of those that differ in the run only.
func together(all []fitting) (out []fitting) {
	for _, f := range all {
		same := func(y fitting) bool { return y.to == f.to && y.do == f.do && slices.Equal(y.calls, f.calls) }
		if at := slices.IndexFunc(out, same); at >= 0 {
			out[at].run += "; " + f.run
			continue
		}
		out = append(out, f)
	}
	return out
}
