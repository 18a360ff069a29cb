package integration

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// taggingBusy: a server that has too much to do is a server that is away: the tags
// wait, none is sent before Retry-After (RFC 9110, 10.2.3) is over, then all are.
func taggingBusy(t *testing.T, d *desk) {
	for i, status := range []string{"503", "429"} {
		snap := 10 + 10*i
		d.press(kb.F9, fmt.Sprint(snap), kb.Enter)
		d.where(fmt.Sprintf("Snap %d: not tagged", snap))
		d.ask(`(window.real = window.real || window.fetch, window.sent = [], window.fetch = async (...a) => {
			if (a[1].method === "POST") sent.push(Date.now());
			return sent.length > 1 ? real(...a) : new Response('{"detail":"too much"}', {status: ` + status + `, headers: {"Retry-After": "3"}});
		}, "")`)
		d.press("3", kb.PageDown)
		d.where(fmt.Sprintf("Snap %d", snap+1))
		d.until(`[...document.querySelectorAll("#waiting button")].map(b => b.textContent).join(", ")`,
			fmt.Sprintf("Snap %d waiting to send", snap))
		d.press("4", kb.PageDown) // another snap meanwhile: it waits too, and is not even tried
		d.settled()
		if got := d.ask(`sent.length + " " + (sent[1] - sent[0] >= 3000)`); got != "3 true" {
			t.Errorf("%s: requests and whether the second came after Retry-After: %s", status, got)
		}
		if p := d.play(snap); p == nil || p["down"] != 3.0 || p["version"] != 1.0 {
			t.Errorf("snap %d is stored as %v", snap, p)
		}
		d.ask(`(window.fetch = window.real, "")`)
	}
}
