// Package ink is canvas and page with no football in it: a List of marks in millimeters,
// laid out once and written as SVG or into a PDF; a Placer that puts labels where they
// hide least; the font, which measures text, wraps it and puts right-to-left runs in
// order; and the table of looks a list is drawn by, which its maker hands over.
//
// Text is never smaller than 8.5 pt (LeastText) where sizes are asked of TextSize, so that
// a drawing reads from 60 mm of width on. A list without script, style sheet and font is
// written: it shows under a strict content security policy. The same list gives the same
// bytes.
//
// Text alternatives: an SVG carries title and desc, and a title on every mark that has a
// name. PDF text is text in an embedded subset of DejaVu Sans Condensed: Latin with
// accents, Greek, Cyrillic, Hebrew; right-to-left runs are put in visual order. Not
// covered: joined Arabic letters (they print unjoined), Indic and East Asian scripts.
// PDF files are tagged (ISO 32000-1, 14.8): what is text, heading, table or figure, in the
// order of reading, with words for every figure (Structure).
//
// # The canvas is ours
//
// The canvas is ours (reports/ink, 690 lines): tdewolff/canvas was tried for it (July 2025
// version; it has no tagged one). Its SVG puts looks into style attributes, which the strict
// content policy of the pages forbids, and has no title or description of a drawing or a mark for
// readers who do not see it; by default it embeds the whole font (900 kB for a line of text); its
// PDF of the same drawing has other bytes a second later, and a Hebrew word in a line of English
// came out of it with its neighbors in another order. It brings 20 more modules. What is left is
// done by go-pdf, which paper needs anyway.
//
// # The structure of PDFs is ours
//
// The structure of PDFs is ours (ink/structure.go, structure_write.go, 240 lines): fpdf has none,
// pdfcpu reads and keeps one and makes none, and no other free Go library writes tagged PDFs that
// we found. fpdf lets marks into a page (RawWriteStr); the tree is put behind its objects with a
// new table of all. What holds it: qpdf --check, poppler's pdfinfo -struct-text, and a test that
// every operator that paints stands inside of marked content. There is no checker of PDF/UA in
// Debian; conformance to it is not claimed, and the file does not say so.
package ink
