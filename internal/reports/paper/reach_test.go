package paper

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/go-fonts/dejavu/dejavusanscondensedbold"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// TestCallsAtArmsLength: the capitals of a call are 20 minutes of arc high at 70 cm; their
// height is that of the font's own OS/2 table (sfnt), the arc is geometry.
func TestCallsAtArmsLength(t *testing.T) {
	f, err := sfnt.Parse(dejavusanscondensedbold.TTF)
	if err != nil {
		t.Fatal(err)
	}
	m, err := f.Metrics(nil, fixed.I(2048), font.HintingNone)
	if err != nil {
		t.Fatal(err)
	}
	got := CallSize * math.Abs(float64(m.CapHeight)) / 64 / 2048 // y goes down
	if want := 2 * 700 * math.Tan(10./60*math.Pi/180); got < want {
		t.Errorf("capitals of %.2f mm; 20 minutes of arc at 70 cm are %.2f", got, want)
	}
}

// TestBookmarks: qpdf finds no fault in a PDF, and its outline, title and language.
func TestBookmarks(t *testing.T) {
	at := filepath.Join(t.TempDir(), "x.pdf")
	if err := os.WriteFile(at, write(t, hard(t), "pdf"), 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("qpdf", "--check", at).CombinedOutput(); err != nil {
		t.Errorf("qpdf --check: %v\n%s", err, out)
	}
	out, err := exec.Command("qpdf", "--json", at).Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Everything at once", "Words", "en-US", "/Outlines"} {
		if !bytes.Contains(out, []byte(want)) {
			t.Errorf("the PDF lacks %q", strings.TrimSpace(want))
		}
	}
}
