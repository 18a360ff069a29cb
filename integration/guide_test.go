package integration

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// guided are the pictures of the guide: a name, and the page of the demo that it shows.
var guided = [][2]string{{"week", "/programs/demo/opponents/alder"}, {"tags", "/programs/demo/opponents/alder/tags"},
	{"tendencies", "/programs/demo/opponents/alder/tendencies?by=concept"},
	{"board", "/programs/demo/opponents/alder/board"},
	{"field", "/programs/demo/opponents/alder/cell?call=cover+1&concept=flood&set_name=3x1&family=dropback,(unknown)"},
	{"call", "/programs/demo/calls/new"}, {"print", "/programs/demo/opponents/alder/print"}}

// TestGuidePictures makes the pictures of the guide from the demo, where it is told to:
//
//	OVERHANG_GUIDE=../internal/pages/assets go test ./integration -run GuidePictures
//
// and holds that each of them is there.
func TestGuidePictures(t *testing.T) {
	dir := os.Getenv("OVERHANG_GUIDE")
	for _, g := range guided {
		if _, err := os.Stat("../internal/pages/assets/guide-" + g[0] + ".webp"); err != nil && dir == "" {
			t.Error(err)
		}
	}
	if dir == "" {
		return
	}
	p := start(t, database(t), "-demo")
	ctx, _ := browser(t)
	for _, g := range guided {
		seen(t, ctx, 1180, "light", p.url+g[1])
		time.Sleep(4 * time.Second) // what the page asks for afterwards: fixes, the field
		if err := os.WriteFile(filepath.Join(dir, "guide-"+g[0]+".webp"), pictured(t, ctx), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// pictured is the upper part of the window, in two thirds of its size.
func pictured(t *testing.T, ctx context.Context) []byte {
	t.Helper()
	quality := int64(60)
	r, err := chromedp.Call(ctx, page.CaptureScreenshot, page.CaptureScreenshotParams{
		Format: "webp", Quality: &quality, Clip: &page.Viewport{Width: 1180, Height: 760, Scale: 2. / 3}})
	if err != nil {
		t.Fatal(err)
	}
	return r.Data
}
