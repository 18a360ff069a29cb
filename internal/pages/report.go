package pages

import (
	"html/template"
	"net/url"
)

// A Report is a document of package paper in the frame of a page.
type Report struct {
	Body  template.HTML
	Forms []Way
}

// A Way is another way the same report comes in.
type Way struct{ Name, At string }

// NewReport frames the report at an address; body was escaped by package paper.
func NewReport(at *url.URL, body string) *Report {
	r := &Report{Body: template.HTML(body)}
	for _, f := range [][2]string{{"PDF", "pdf"}, {"Excel", "xlsx"}, {"CSV", "csv"}} {
		there := *at
		q := there.Query()
		q.Set("format", f[1])
		there.RawQuery = q.Encode()
		r.Forms = append(r.Forms, Way{f[0], there.RequestURI()})
	}
	return r
}
