package ink

import (
	"bytes"
	"testing"

	"codeberg.org/go-pdf/fpdf"
)

// TestWideCharacters: a name with characters above U+FFFF is written, not a panic.
func TestWideCharacters(t *testing.T) {
	pdf := fpdf.New("P", "mm", "A4", "")
	AddFonts(pdf)
	pdf.AddPage()
	pdf.SetFont(Family, "", 12)
	for _, s := range []string{"Emoji \U0001F3C8 invented", "\U0001D4D0\U00020000", "\U0010FFFF"} {
		pdf.Text(10, 10, Visual(s))
	}
	var b bytes.Buffer
	if err := pdf.Output(&b); err != nil {
		t.Fatal(err)
	}
}
