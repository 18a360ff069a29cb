package fix

import (
	"context"
	"strings"
	"testing"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
)

// Quarters has nine in the fit (AFM-QR), so its overhang may play the bubble: he has no gap
// of his own in a four-two-five (MQ-2). No fix leaves a gap of the run open for it.
func TestRunRoles(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a quarter of a minute and more")
	}
	found := false
	for _, a := range searched(t, "quarters match", "rpo bubble") {
		found = found || a.Kind == RunRole && strings.Contains(a.Words, "verhang: read pass first; every gap") && a.Cures()
	}
	if !found {
		t.Error("quarters against a bubble: the overhang is not let off his run role")
	}
	ps, names := library(t, false)
	for _, compiled := range call.Book() {
		c := &Case{Compiled: compiled, Pictures: ps, Setting: stress.Usual}
		for k := range ps {
			if !strings.HasPrefix(names[k], "rpo") {
				continue
			}
			r := must(stress.Evaluate(context.Background(), compiled, ps[k].Play, stress.Usual))
			for n := range r.Findings {
				for _, a := range must(Search(context.Background(), c, k, n, 2)) {
					changed, err := call.Compile(a.Call)
					if err != nil {
						t.Fatal(err)
					}
					if open := must(stress.Evaluate(context.Background(), changed, ps[k].Play,
						stress.Usual)).RunFit().Open(); a.Kind == RunRole && len(open) > len(r.RunFit().Open()) {
						t.Errorf("%s against %s: %q opens gaps %v", names[k], compiled.Call.Name, a.Words, open)
					}
				}
			}
		}
	}
}
