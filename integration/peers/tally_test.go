package main

import (
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"syscall"
	"testing"
	"time"

	"overhang/internal/tags/tally"
)

var keep = flag.Int("keep", 300_000, "plays that BenchmarkKept keeps (10000000: an archive; a minute and 8 GB)")

var cubed = flag.Int("cubed", 50_000,
	"plays from which BenchmarkKept makes cubes (1000000000: never, the columns alone)")

// kept is the image of plays.
func kept(b *testing.B, plays []play) *tally.Image {
	build := tally.New(*cubed)
	game, of, words := make([][]byte, len(tally.OfGame)), make([][]byte, len(tally.OfPlay)), map[string][]byte{}
	place := map[string]*[]byte{}
	for i, d := range tally.OfGame {
		place[d] = &game[i]
	}
	for i, d := range tally.OfPlay {
		place[d] = &of[i]
	}
	say := func(d, v string) {
		w, ok := words[v]
		if !ok {
			w = []byte(v)
			words[v] = w
		}
		*place[d] = w
	}
	for i := range plays {
		p, before := &plays[i], (*play)(nil)
		if i%ofGame > 0 {
			before = &plays[i-1]
		}
		clear(of)
		wordsOf(p, before, say)
		if before == nil {
			build.Game(p.game, tally.ID{}, game)
		}
		if err := build.Play(p.game, of); err != nil {
			b.Fatal(err)
		}
		if i%(300*ofGame) == 300*ofGame-1 {
			build.Flush()
		}
	}
	im, err := build.Settle()
	if err != nil {
		b.Fatal(err)
	}
	for at, ws := range im.Unranked() {
		im.Rank(at, slices.Sorted(slices.Values(ws)))
	}
	return im
}

// BenchmarkKept is what counting takes in the image alone: the three questions that all peers are
// asked, and sixty random ones of any dimensions and filters that the API offers. -keep
// says of how many plays.
func BenchmarkKept(b *testing.B) {
	plays := invent(*keep)
	began := time.Now()
	im := kept(b, plays)
	b.Logf("%d plays, %.1f MB, made in %.1f s", im.Plays(), float64(im.Bytes())/1e6, time.Since(began).Seconds())
	for _, q := range questions {
		filters := map[string][]string{}
		for _, f := range q.filters {
			filters[f[0]] = []string{f[1]}
		}
		b.Run(q.name[:1], func(b *testing.B) {
			least, cores := time.Hour, time.Hour // what it takes where nothing else has the cores
			for b.Loop() {
				at, used := time.Now(), processor()
				im.Count(q.by, filters)
				least, cores = min(least, time.Since(at)), min(cores, processor()-used)
			}
			b.ReportMetric(ms(least), "least-ms")
			b.ReportMetric(ms(cores), "core-ms")
		})
	}
	b.Run("random", func(b *testing.B) { randomly(b, im, plays) })
}

// processor is how long this process has had a core.
func processor() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

func randomly(b *testing.B, im *tally.Image, plays []play) {
	all := make([]spent, 60)
	for b.Loop() {
		r := rand.New(rand.NewPCG(50, 2))
		for i := range all {
			by, filters := anyQuestion(r, plays)
			at := time.Now()
			cells := len(im.Count(by, filters))
			took := time.Since(at)
			if all[i].what == "" || took < all[i].took {
				all[i] = spent{took, fmt.Sprint(by, slices.Sorted(maps.Keys(filters)), " ", cells, " cells")}
			}
		}
	}
	sorted(all)
	for _, s := range all[len(all)-5:] {
		b.Logf("%8.2f ms %s", ms(s.took), s.what)
	}
	b.ReportMetric(ms(all[len(all)/2].took), "p50-ms")
	b.ReportMetric(ms(all[len(all)*9/10].took), "p90-ms")
	b.ReportMetric(ms(all[len(all)-1].took), "worst-ms")
}
