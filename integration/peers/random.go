package main

import (
	"cmp"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"overhang/internal/tags"
)

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

// A spent is what a question took.
type spent struct {
	took time.Duration
	what string
}

func sorted(all []spent) {
	slices.SortFunc(all, func(x, y spent) int { return cmp.Compare(x.took, y.took) })
}

// atRandom asks the API random questions, once and again, and prints what they took: the first time nothing
// about them is kept but the plays. What it refuses (filters that exclude each other) is left out.
func atRandom(web, program string, plays []play, n int) error {
	r := rand.New(rand.NewPCG(50, 3))
	client := &http.Client{Transport: &http.Transport{DisableCompression: true}}
	rounds := [3][]spent{}
	refused := 0
	for len(rounds[0]) < n && refused < n {
		by, filters := anyQuestion(r, plays)
		v := url.Values{"by": {strings.Join(by, ",")}}
		for d, w := range filters {
			if w[0] != "" {
				v.Set(d, w[0])
			}
		}
		for i := range rounds {
			took, size, status, err := get(client, web+"/v1/programs/"+program+"/tendencies?"+v.Encode())
			if err != nil {
				return err
			}
			if status != http.StatusOK {
				refused++
				break
			}
			rounds[i] = append(rounds[i], spent{took, fmt.Sprint(by, slices.Sorted(maps.Keys(filters)), " ", size, " bytes")})
		}
	}
	fmt.Printf("\n%d plays, random questions over HTTP, one connection (%d refused)\n%-52s %10s %10s %10s %6s\n",
		len(plays), refused, "", "p50 ms", "p90 ms", "worst ms", "n")
	for i, all := range rounds {
		sorted(all)
		fmt.Printf("%-52s %10.3f %10.3f %10.3f %6d\n", []string{"asked first", "asked again", "asked a third time"}[i],
			ms(all[len(all)/2].took), ms(all[len(all)*9/10].took), ms(all[len(all)-1].took), len(all))
	}
	for _, s := range rounds[0] {
		fmt.Printf("  %10.3f %s\n", ms(s.took), s.what)
	}
	return nil
}

func get(client *http.Client, address string) (took time.Duration, size, status int, err error) {
	at := time.Now()
	r, err := client.Get(address)
	if err != nil {
		return 0, 0, 0, err
	}
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	return time.Since(at), len(body), r.StatusCode, err
}
