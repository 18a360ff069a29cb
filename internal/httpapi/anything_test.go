package httpapi_test

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"overhang/api"
	"overhang/integration/madeup"
	"overhang/internal/staff"
)

var (
	requests = flag.Int("requests", 1500,
		"how many made-up requests TestAnything sends, half of them to a server with sign-in")
	seed = flag.Uint64("seed", 1, "of TestAnything")
)

// A guest is somebody who sends requests, with a role in our program; "" for
// who has none.
type guest struct {
	*client
	madeup.Guest
	header []string // of the session
}

// TestAnything sends requests that the OpenAPI document describes, and some that
// it does not, to a server without sign-in and to one with, as people of every role,
// by tokens and by sessions, as a stranger and as nobody: whatever comes, no answer
// is a 5xx, none breaks the document, and nobody is served above his role.
// Run with -requests 100000 for the whole suite.
func TestAnything(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a quarter of a minute and more")
	}
	t.Run("open", func(t *testing.T) {
		c, _ := serve(t)
		anything(t, []*guest{{client: c, Guest: madeup.Guest{Role: staff.Owner, Known: true}}})
	})
	t.Run("behind the door", func(t *testing.T) {
		c, s := guarded(t)
		guests := []*guest{}
		for _, role := range slices.Backward(staff.Roles) { // the owner first: he makes the season
			own := c.person(s, "ours", "by-"+string(role), role)
			known := madeup.Guest{Role: role, Known: true}
			guests = append(guests, &guest{client: own, Guest: known})
			b := browse(t, c.url)
			b.post(200, "/sign-in", url.Values{"login": {"by-" + string(role)}, "password": {password}})
			guests = append(guests, &guest{client: c, Guest: known, header: []string{"Cookie", "overhang=" +
				b.cookies["overhang"].Value}})
		}
		forged := *c
		forged.token = "overhang_" + strings.Repeat("x", 43)
		anything(t, append(guests, &guest{client: c.person(s, "theirs", "stranger", staff.Owner),
			Guest: madeup.Guest{Known: true}}, &guest{client: c}, &guest{client: &forged}))
	})
}

// anything sends half of the requests as the guests, of whom the first may do all.
func anything(t *testing.T, guests []*guest) {
	g, c := &madeup.Maker{R: rand.New(rand.NewPCG(*seed, 7)), Words: []string{"ours", "o1", "smash", "2x2", "hitch",
		"cover 1", "week 1"}}, guests[0]
	game := c.season()
	for i := range 12 {
		c.must(201, "POST", ours+"/plays", fmt.Sprintf(`{"game_id":"%s","number":%d,%s}`, game, i+1, smash))
	}
	c.must(201, "POST", ours+"/films", `{"game_id":"`+game+`","location":"a.mp4"}`)
	opponent := c.must(200, "GET", ours+"/games/"+game, "")["opponent_id"].(string)
	for _, label := range []string{"a", "b", "c"} {
		c.must(201, "POST", ours+"/plans", `{"opponent_id":"`+opponent+`","label":"`+label+`"}`)
	}
	for _, gone := range []string{"b.mp4", "c.mp4"} {
		c.deleteAt(c.must(201, "POST", ours+"/films", `{"game_id":"`+game+`","location":"`+gone+`"}`)["location"].(string))
	}
	for _, n := range []string{"opponents", "games", "plays", "words", "films", "plans", "deletions"} {
		_, raw := c.do("GET", ours+"/"+n, "")
		g.Words = append(g.Words, regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f-]{27}`).FindAllString(raw, 20)...)
	}
	ops, statuses, good := must(madeup.Operations(api.Document)), map[int]int{}, 0
	for n := range *requests / 2 {
		o := &ops[n%len(ops)]
		method, path, body, header := g.Request(o)
		who := guests[g.R.IntN(len(guests))]
		if _, err := http.NewRequest(method, who.url+path, nil); err != nil {
			continue
		}
		resp, raw := who.do(method, path, body, append(header, who.header...)...)
		statuses[resp.StatusCode]++
		if resp.StatusCode < 300 {
			good++
		}
		if what := o.Wrong(who.Guest, path, resp.StatusCode); what != "" {
			t.Errorf("-seed %d, request %d as %q: %s %s %v %s: %d, %s: %s", *seed, n, who.Role, method, path, header, body,
				resp.StatusCode, what, raw)
		}
		if t.Failed() && n > 20000 {
			break
		}
	}
	t.Logf("-seed %d: %d requests over %d operations as %d guests: %v", *seed, *requests/2, len(ops), len(guests),
		statuses)
	if good*20 < *requests/2 {
		t.Errorf("only %d of %d were answered: the values made up are too wild to reach the code", good, *requests/2)
	}
}
