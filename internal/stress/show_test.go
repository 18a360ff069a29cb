package stress

import (
	"flag"
	"fmt"
	"strings"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

var shown = flag.String("show", "",
	"CONCEPT/CALL: print the throws of a library concept against a call, and where everybody is")

func TestShow(t *testing.T) {
	concept, name, ok := strings.Cut(*shown, "/")
	if !ok {
		t.Skip("asked for by -show")
	}
	params := motion.Defaults(field.Pro)
	tuneParams(&params)
	compiled, err := call.Lookup(name)
	if err != nil {
		t.Fatal(err)
	}
	for n, e := range picture.Library() {
		if e.Concept != concept {
			continue
		}
		pl := libraryPlays(t, &params)[n]
		r := must(Evaluate(t.Context(), compiled, pl, Usual))
		g := r.Rep
		fmt.Println(pl.Picture.String(), "|", e.Rest)
		for j := range g.Setup.Men {
			m := &g.Setup.Men[j]
			if motion.Rushes(m) {
				continue
			}
			fmt.Printf("%-15s", m.Slot.Name)
			for _, u := range []field.Seconds{0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5} {
				p, _ := g.Tracks[j].At(u)
				fmt.Printf(" %5.1f,%4.1f", p.X, p.Y)
			}
			for _, s := range m.Shifts {
				fmt.Printf(" | %.1f %s", s.From, m.Slot.Rules[s.Rule].Rule.Then)
			}
			fmt.Println()
		}
		for i := range pl.Picture.Receivers {
			rec := &pl.Picture.Receivers[i]
			if rec.Blocks() {
				continue
			}
			fmt.Printf("%-15s", rec.Name+" "+rec.Route.Name)
			for _, u := range []field.Seconds{0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5} {
				p := rec.Path.At(u)
				fmt.Printf(" %5.1f,%4.1f", p.X, p.Y)
			}
			fmt.Println()
		}
		for _, th := range r.Throws {
			fmt.Printf("%-18s at %.1f flight %.1f catch %5.1f,%4.1f open %.1f complete %.2f share %.2f:", r.Threat(th.Receiver),
				th.Release, th.Flight, th.At.X, th.At.Y, th.Separation, th.Complete, th.Share)
			for _, a := range g.Arrivals(th.Receiver, th.K) {
				if a.Distance < 9 {
					fmt.Printf(" %s %.1f%s/%d", g.Setup.Men[a.Man].Slot.Name, a.Distance, map[bool]string{true: "*",
						false: ""}[a.Sees], a.Owes)
				}
			}
			fmt.Println()
		}
	}
}
