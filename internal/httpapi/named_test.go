package httpapi

import (
	"mime"
	"strings"
	"testing"
)

// TestNamed: whatever stands in a code, the file name is one parameter of the header and comes
// out of it as it went in (RFC 6266 with RFC 8187, read by the standard library).
func TestNamed(t *testing.T) {
	for _, file := range []string{"ours.zip", `a"; filename="b.exe`, `a\b.pdf`, "ünï.csv", "💥.pdf", "a;b=c.pdf",
		"שלום.pdf", "two words.pdf", "a\r\nX: y.pdf"} {
		h := named("attachment", file)
		how, ps, err := mime.ParseMediaType(h)
		if err != nil || how != "attachment" || ps["filename"] != file || strings.ContainsAny(h, "\r\n") {
			t.Errorf("%q: header %q read as %q, %v", file, h, ps["filename"], err)
		}
	}
}
