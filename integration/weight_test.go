package integration

import (
	"fmt"
	"strconv"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// heaviest is what a page may weigh, compressed, with all it asks for: kilobytes.
const heaviest = 300

// TestWeights opens every page of the demo as somebody who was never here and holds what
// comes over the line to the look's bound. It prints that, when the answer began and was
// whole and when the page was first painted: times, for reading only. The browser has run
// before, as a person's has. go test ./integration -run Weights -v
func TestWeights(t *testing.T) {
	p := start(t, database(t), "-demo")
	ctx, ask := browser(t)
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	seen(t, ctx, 1366, "light", p.url+"/")
	for _, page := range everyPage(t, p.url) {
		if _, err := chromedp.Call(ctx, network.ClearBrowserCache, cdp.Empty{}); err != nil {
			t.Fatal(err)
		}
		seen(t, ctx, 1366, "light", p.url+page[1])
		weight := ask(`String([...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")]
			.filter(e => e.initiatorType !== "fetch").reduce((sum, e) => sum + e.transferSize, 0) / 1024)`)
		paint := ask(`new Promise(done => { const look = n => {
			const e = performance.getEntriesByName("first-contentful-paint")[0];
			e || n > 60 ? done(e ? String(Math.round(e.startTime)) : "?") : setTimeout(look, 50, n + 1); }; look(0); })`)
		answer := ask(`(([e]) => [e.responseStart, e.responseEnd].map(Math.round).join(" to "))` +
			`(performance.getEntriesByType("navigation"))`)
		t.Logf("%-16s %6s kB, answered after %12s ms, painted after %5s ms", page[0], weight[:min(5, len(weight))],
			answer, paint)
		if kB, err := strconv.ParseFloat(weight, 64); err != nil || kB > heaviest || kB < 5 {
			t.Errorf("%s weighs %s kB, at most %d", page[0], weight, heaviest)
		}
	}
}

// everyPage is what is looked at, with the pages whose address the demo makes.
func everyPage(t *testing.T, url string) [][2]string {
	t.Helper()
	plan := listed(t, url+"/v1/programs/demo/plans")[0]
	at := fmt.Sprintf("/programs/demo/opponents/%s/plans/%s", plan["opponent_id"], plan["id"])
	one := "/programs/demo/calls/" + listed(t, url+"/v1/programs/demo/calls")[0]["id"].(string)
	game := "/programs/demo/games/" + listed(t, url+"/v1/programs/demo/games")[0]["id"].(string)
	link, _ := send(t, 201, url+"/v1/programs/demo/opponents/alder/packet-links", "application/json",
		`{"group":"corner"}`)["link"].(string)
	return append(append([][2]string{}, lookedAt...), [2]string{"packet", link}, [2]string{"quiz", link + "#quiz"},
		[2]string{"call", one}, [2]string{"versions", one + "/versions"},
		[2]string{"self-scout", "/programs/demo/self-scout"}, [2]string{"plan", at}, [2]string{"review", at + "/review"},
		[2]string{"night", at + "/night"}, [2]string{"players", "/programs/demo/opponents/alder/players"},
		[2]string{"snaps", game}, [2]string{"tag", game + "/tag"},
		[2]string{"differ", game + "/differ"})
}
