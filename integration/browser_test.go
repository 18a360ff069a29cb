package integration

import (
	"context"
	"os/exec"
	"testing"
	"time"

	"overhang/integration/outside"

	"github.com/chromedp/chromedp"
)

// browser opens a headless Chromium. ask evaluates a script that gives text,
// or a promise of it.
func browser(t *testing.T, more ...chromedp.ExecAllocatorOption) (ctx context.Context, ask func(js string) string) {
	t.Helper()
	if _, err := exec.LookPath("chromium"); err != nil {
		outside.Missing(t, "THE PAGES WERE NOT TESTED: no chromium here (Debian: apt-get install chromium; .ci/run does)")
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("autoplay-policy", "no-user-gesture-required"))
	alloc, stop := chromedp.NewExecAllocator(context.Background(), append(opts, more...)...)
	t.Cleanup(stop)
	// a page that lacks what is waited for fails its test, and no other
	life, end := context.WithTimeout(alloc, 6*time.Minute)
	t.Cleanup(end)
	ctx, cancel := chromedp.NewContext(life)
	t.Cleanup(cancel)
	return ctx, func(js string) string {
		t.Helper()
		c, done := context.WithTimeout(ctx, 20*time.Second)
		defer done()
		out, err := chromedp.Run(c, chromedp.Evaluate[string](js, chromedp.EvalAwaitPromise))
		if err != nil {
			t.Fatalf("%s: %v", js, err)
		}
		return out
	}
}

// demoPages is the demo with a browser before it. do takes steps, which may not fail.
func demoPages(t *testing.T) (p *process, ctx context.Context, ask func(js string) string,
	do func(...chromedp.Action[chromedp.Void])) {
	t.Helper()
	p = start(t, database(t), "-demo")
	ctx, ask = browser(t)
	return p, ctx, ask, doing(t, ctx)
}

// doing takes steps in a browser, which may not fail.
func doing(t *testing.T, ctx context.Context) func(...chromedp.Action[chromedp.Void]) {
	return func(steps ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		if err := chromedp.Do(ctx, steps...); err != nil {
			t.Fatal(err)
		}
	}
}

// killed ends a browser as a dead battery does, a hand's moment after the last key.
func killed(t *testing.T, ctx context.Context) {
	t.Helper()
	time.Sleep(300 * time.Millisecond) // a battery does not wait for the disk, but a hand takes as long
	if err := chromedp.FromContext(ctx).Browser.Process().Kill(); err != nil {
		t.Fatal(err)
	}
}
