package stress

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"overhang/internal/stress/motion"
)

// A drawn finding is one over two yards, as doc_thirty.go lists it.
type drawnFinding struct{ key, timeline string }

// TestThirty draws thirty findings over two yards of book x library by a fixed seed. They
// were read against the timeline by the trade notes; what was seen is listed in
// doc_thirty.go. It fails when more than six of the list are told no more: read them again
// then (-findings prints the draw with its timeline).
func TestThirty(t *testing.T) {
	var all []drawnFinding
	told := map[string]bool{}
	everyFinding(t, func(pl *motion.Play, r *Result, f *Finding) {
		if f.Size <= 2 || f.Open == r.Rep.Run {
			return
		}
		x := drawnFinding{keyOf(pl, r, f), timelineOf(r, f)}
		all, told[x.key] = append(all, x), true
	})
	draw := rand.New(rand.NewPCG(15, 30)).Perm(len(all))[:30]
	if *verbose {
		for n, at := range draw {
			fmt.Printf("%d. %s\n%s", n+1, all[at].key, all[at].timeline)
		}
	}
	doc, err := os.ReadFile("doc_thirty.go")
	if err != nil {
		t.Fatal(err)
	}
	listed, gone := 0, 0
	whole := strings.ReplaceAll(string(doc), "\n//\t    ", " ") // a long line goes on indented by four
	for _, line := range strings.Split(whole, "\n") {
		key, ok := strings.CutPrefix(line, "//\t")
		if !ok || strings.HasPrefix(key, " ") {
			continue
		}
		if listed++; !told[key] {
			gone++
		}
	}
	if listed != 30 || gone > 6 {
		t.Errorf("%d findings are listed, %d of them told no more; want 30, at most 6 gone", listed, gone)
	}
}

func keyOf(pl *motion.Play, r *Result, f *Finding) string {
	held := ""
	if f.Other != NoThreat {
		held = " | " + r.Threat(f.Other)
	}
	return fmt.Sprintf("%s, %s: %s, %s%s", r.Rep.Setup.Compiled.Call.Name, pl.Picture, r.Defender(f.Man),
		r.Threat(f.Open), held)
}

func timelineOf(r *Result, f *Finding) string {
	g, k := r.Rep, releaseOf(r.Rep, f)
	th, m := &g.Of(f.Open)[k], &g.Setup.Men[f.Man]
	text := fmt.Sprintf("    %s %.1f yd over %.1f, %.1f to %.1f at %.1f, catch %.0f,%.0f after %.1f s; rule %s\n", f.Kind,
		f.Size, f.Over, f.From, f.To, f.At, th.At.X, th.At.Y, th.Flight, r.Rule(f))
	text += "    he is"
	for _, at := range []float64{0, 1, f.At, f.At + th.Flight} {
		p, _ := g.Tracks[f.Man].At(at)
		text += fmt.Sprintf(" %.0f,%.0f", p.X, p.Y)
	}
	text += "; owes"
	for _, d := range m.Owed(f.At) {
		text += fmt.Sprintf(" %v/%d", d.Verb, d.Target)
	}
	for _, a := range g.Arrivals(f.Open, k) {
		if a.Distance < 9 {
			text += fmt.Sprintf("; %s %.1f owes %d", r.Defender(a.Man), a.Distance, a.Owes)
		}
	}
	return text + "\n"
}
