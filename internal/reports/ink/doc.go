// Package ink is canvas and page with no football in it: a List of marks in millimeters,
// laid out once and written as SVG or into a PDF; a Placer that puts labels where they
// hide least; the font, which measures text, wraps it and puts right-to-left runs in
// order; and the table of looks a list is drawn by, which its maker hands over.
//
// Text is never smaller than 5 pt (LeastText) where sizes are asked of TextSize, so that
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
package ink
