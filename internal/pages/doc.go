// Package pages is what a browser shows that is no report: the shell around every
// page, the week, the call book, the tendencies, sign-in, staff. It lays out what
// others found and decides nothing; the scripts of its pages call only the public API, and that of
// the bar the page of its box.
//
// look.css holds the tokens (ink and paper, light and dark) and every component;
// the page /guide/look shows them all in every state. A page is a template of this
// package with data; Write puts the shell around it.
package pages

import (
	"bytes"
	"embed"
	"html/template"
	"io"

	"overhang/internal/reports/ink"
)

//go:embed *.html
var files embed.FS

// templates are never executed themselves: copies with a program's own clock are.
var templates = template.Must(template.New("").Funcs(words).ParseFS(files, "*.html"))

// Write writes the page of a template with the shell around it. All of it is made
// before the first byte is written.
func Write(w io.Writer, s *Shell, name string, data any) error {
	var body bytes.Buffer
	if err := s.templates().ExecuteTemplate(&body, name, data); err != nil {
		return err
	}
	return s.Around(w, template.HTML(body.String())) // a template of ours, which escapes
}

// Around writes the shell around what another room laid out and escaped.
func (s *Shell) Around(w io.Writer, body template.HTML) error {
	var out bytes.Buffer
	err := s.templates().ExecuteTemplate(&out, "shell.html", struct {
		*Shell
		Body template.HTML
	}{s, body})
	if err != nil {
		return err
	}
	_, err = w.Write(out.Bytes())
	return err
}

// Drawn is a drawing as a page takes it in.
func Drawn(l *ink.List) (template.HTML, error) {
	var b bytes.Buffer
	err := l.SVG(&b)
	return template.HTML(b.String()), err // written by package drawing, which escapes
}
