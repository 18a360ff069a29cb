// Package drawing turns what the stress engine says into pictures a staff can
// carry onto the field: a scene as data, built from the engine's own types, laid
// out once as a short list of marks in millimeters, and written from that list as
// SVG or into a PDF.
//
//	scene := drawing.Finding(result, 0, drawing.Options{}) // or Call, or Concept
//	err := scene.SVG(w, 180)                               // 180 mm wide
//	scene.PDF(pdf, x, y, 180)                              // into a go-pdf page in millimeters
//
// The field is to scale: width, hash marks, numbers and yard lines are those of
// the rule book of the level (package field); men stand where the engine put
// them. The offense goes up the page unless Options.FromDefense turns it.
//
// Every symbol, color and dash is named in one table (style.go) and shown in the
// drawn legend. Nothing is told by color alone: the open threat is a thick
// unbroken line, the other one thick and dashed; the man in conflict is filled.
// Colors are of the set of Okabe and Ito (2008), made for color-blind readers.
package drawing
