package main

import (
	"cmp"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strconv"
	"syscall"
	"testing"
	"time"

	"overhang/internal/tags"
	"overhang/internal/tags/tally"
)

var keep = flag.Int("keep", 300_000, "plays that BenchmarkKept keeps (10000000: an archive; a minute and 8 GB)")

var cubed = flag.Int("cubed", 50_000, "plays from which BenchmarkKept makes cubes (1000000000: never, the columns alone)")

// wordsOf is a play by dimension, as the store would read it, nil where unknown; before is the play before
// it, nil in another game.
func wordsOf(p, before *play, say func(dimension, word string)) {
	yes := func(is bool) string {
		if is {
			return "yes"
		}
		return "no"
	}
	for _, w := range [][2]string{{"opponent", p.opponent}, {"game", p.gameLabel}, {"ours", "no"},
		{"quarter", strconv.Itoa(p.quarter)}, {"half", cut(p.quarter, []int{2}, "first", "second")},
		{"down", strconv.Itoa(p.down)}, {"distance", strconv.Itoa(p.distance)}, {"distance_band", p.band},
		{"field_zone", p.zone}, {"personnel", p.personnel}, {"set_name", p.set}, {"called", p.called},
		{"family", p.family}, {"concept", p.concept}, {"result", p.result}, {"gain", strconv.Itoa(p.gain)},
		{"first_down", yes(p.first)}, {"success", yes(p.success)}, {"explosive", yes(p.explosive)},
		{"touchdown", yes(p.touchdown)}, {"coverage", p.coverage}} {
		say(w[0], w[1])
	}
	if p.depth != noDepth {
		say("throw_depth", strconv.Itoa(p.depth))
		say("throw_time", strconv.FormatFloat(p.throwS, 'f', -1, 64))
		say("throw_depth_band", cut(p.depth, []int{-1, 9, 19}, "behind the line", "0-9", "10-19", "20+"))
	}
	if before == nil {
		say("previous_called", tags.NewPossession)
		return
	}
	say("previous_called", before.called)
	say("previous_family", before.family)
	say("previous_concept", before.concept)
	say("previous_result", before.result)
}

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
		order := slices.Sorted(slices.Values(ws))
		ranks := make([]uint32, len(ws))
		for i, w := range ws {
			n, _ := slices.BinarySearch(order, w)
			ranks[i] = uint32(n + 1)
		}
		im.Rank(at, ranks)
	}
	return im
}

// anyQuestion has one to four dimensions of all the API offers and up to three filters, of
// values that a play has.
func anyQuestion(r *rand.Rand, plays []play) (by []string, filters map[string][]string) {
	dims := slices.Clone(tags.Dimensions)
	r.Shuffle(len(dims), func(i, j int) { dims[i], dims[j] = dims[j], dims[i] })
	filters = map[string][]string{}
	of := map[string]string{}
	wordsOf(&plays[r.IntN(len(plays))], nil, func(d, w string) { of[d] = w })
	for d := range dims[4:][:r.IntN(4)] {
		filters[dims[4+d]] = []string{of[dims[4+d]]}
	}
	return dims[:1+r.IntN(4)], filters
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

// A spent is what a random question took at the least.
type spent struct {
	took time.Duration
	what string
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
	slices.SortFunc(all, func(x, y spent) int { return cmp.Compare(x.took, y.took) })
	for _, s := range all {
		fmt.Printf("%8.2f ms %s\n", ms(s.took), s.what)
	}
	b.ReportMetric(ms(all[len(all)/2].took), "p50-ms")
	b.ReportMetric(ms(all[len(all)*9/10].took), "p90-ms")
	b.ReportMetric(ms(all[len(all)-1].took), "worst-ms")
}
