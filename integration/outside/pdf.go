package outside

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// tool runs a program of poppler or qpdf, readers that are not ours, on a PDF; FILE in its
// arguments stands for it. What it complains of fails the test.
func tool(t testing.TB, pdf []byte, name string, args ...string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "a.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	for i := range args {
		if args[i] == "FILE" {
			args[i] = file
		}
	}
	cmd := exec.Command(name, args...)
	var out, said bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &said
	if err := cmd.Run(); err != nil || said.Len() > 0 {
		t.Errorf("%s (Debian: poppler-utils, qpdf): %v %.500s", name, err, said.String())
	}
	return out.String()
}

// SoundPDF fails the test when qpdf finds a fault in the file.
func SoundPDF(t testing.TB, pdf []byte) {
	t.Helper()
	if out := tool(t, pdf, "qpdf", "--check", "FILE"); !strings.Contains(out, "No syntax or stream encoding errors") {
		t.Errorf("qpdf: %s", out)
	}
}

// PDFStructure is the structure of a tagged PDF as poppler reads it.
func PDFStructure(t testing.TB, pdf []byte) string {
	t.Helper()
	return tool(t, pdf, "pdfinfo", "-struct", "FILE")
}

// PDFStructureText is the same with its text; poppler takes its time over long documents.
func PDFStructureText(t testing.TB, pdf []byte) string {
	t.Helper()
	return tool(t, pdf, "pdfinfo", "-struct-text", "FILE")
}

var fontSizes = regexp.MustCompile(`<fontspec [^>]*size="(\d+)"`)

// LeastPDFText is the smallest text of a PDF in points, as poppler draws it, to a third of a
// point: pages are three times as large as they print, and sizes in whole numbers, rounded.
func LeastPDFText(t testing.TB, pdf []byte) float64 {
	t.Helper()
	least := 1e9
	out := tool(t, pdf, "pdftohtml", "-xml", "-i", "-zoom", "3", "-stdout", "FILE")
	for _, m := range fontSizes.FindAllStringSubmatch(out, -1) {
		n, _ := strconv.ParseFloat(m[1], 64)
		least = min(least, n/3)
	}
	return least
}

// UnmarkedPDF lists operators of a PDF's pages that paint outside of marked content, or marks
// that stand inside of others, where a reader of the structure would not find them (ISO 32000-1,
// 14.6 to 14.8). qpdf lays the pages open.
func UnmarkedPDF(t testing.TB, pdf []byte) (out []string) {
	t.Helper()
	open := tool(t, pdf, "qpdf", "--qdf", "--object-streams=disable", "FILE", "-")
	paints := map[string]bool{"Tj": true, "TJ": true, "'": true, "S": true, "s": true, "f": true, "F": true, "B": true,
		"b": true, "Do": true, "f*": true, "B*": true, "sh": true}
	depth := 0
	for _, part := range strings.Split(open, "\nstream\n")[1:] {
		content, _, _ := strings.Cut(part, "\nendstream")
		if !strings.Contains(content, "BDC\n") && !strings.Contains(content, " Tj ET") {
			continue // a font, an image
		}
		for _, line := range strings.Split(content, "\n") {
			op := line[strings.LastIndexByte(line, ' ')+1:]
			if strings.HasSuffix(line, "Tj ET") || strings.HasSuffix(line, "Tj ET Q") {
				op = "Tj"
			}
			switch {
			case op == "BDC" || op == "BMC":
				if depth++; depth > 1 {
					out = append(out, "a mark inside of a mark: "+line)
				}
			case op == "EMC":
				depth--
			case depth == 0 && paints[op]:
				out = append(out, line)
			}
		}
	}
	if depth != 0 {
		out = append(out, "marks that do not end: "+strconv.Itoa(depth))
	}
	return out
}
