// Package filmroom is what an analyst works on in a dark room: the list of a
// game's snaps with what is not tagged yet, and the page on which one snap after
// the other is tagged by keyboard, its film beside it.
//
// The tagging page is written here as plain HTML; its one script (tagging.js)
// talks to the API as any other caller does, and keeps in the browser what the
// server could not take yet.
package filmroom

import (
	"embed"
	"html/template"
	"io"

	"overhang/internal/tags"
)

//go:embed *.html tagging.js filmroom.css
var files embed.FS

// Script and Style are the assets of the pages.
func Script() []byte { return asset("tagging.js") }
func Style() []byte  { return asset("filmroom.css") }

func asset(name string) []byte {
	b, err := files.ReadFile(name)
	if err != nil {
		panic(err)
	}
	return b
}

var templates = template.Must(template.New("").Funcs(template.FuncMap{"label": Label}).ParseFS(files, "*.html"))

// A Head is what both pages stand under.
type Head struct {
	Program  tags.Program
	Opponent tags.Opponent
	Game     tags.Game
}

// WriteHTML writes the tagging page.
func (t *Tagging) WriteHTML(w io.Writer) error {
	return templates.ExecuteTemplate(w, "tagging.html", t)
}

// WriteHTML writes the list of a game's snaps.
func (g *Snaps) WriteHTML(w io.Writer) error { return templates.ExecuteTemplate(w, "snaps.html", g) }

// WriteHTML writes the list of games.
func (g *Games) WriteHTML(w io.Writer) error { return templates.ExecuteTemplate(w, "games.html", g) }
