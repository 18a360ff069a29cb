package wire

import (
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/labstack/echo/v4"
)

// TestNamed: RFC 3986, 6.2.2.2: an address means the same whether or not what needs no escape is
// escaped; of encodeURIComponent of ECMA-262 come the comma and the bare brackets.
func TestNamed(t *testing.T) {
	e, got := echo.New(), ""
	e.Use(Named)
	e.GET("/x/:name", func(c echo.Context) error { got = c.Param("name"); return nil })
	for path, want := range map[string]string{"/x/oak": "oak", "/x/oa%6B": "oak", "/x/oak%2C%20j%20(v)": "oak, j (v)",
		"/x/%3D1%2B1": "=1+1", "/x/a%2Fb": "a/b", "/x/a%252Cb": "a%2Cb", "/x/a%2520b%2C": "a%20b,"} {
		e.ServeHTTP(httptest.NewRecorder(), httptest.NewRequest("GET", path, nil))
		if got != want {
			t.Errorf("%s means %q, want %q", path, got, want)
		}
	}
}

// TestAccepted: RFC 9110, 12.5.1: its table of qualities, and what is chosen by them.
func TestAccepted(t *testing.T) {
	const table = "text/*;q=0.3, text/plain;q=0.7, text/plain;format=flowed, text/plain;format=fixed;q=0.4, */*;q=0.5"
	for kind, want := range map[string]float64{"text/plain": .7, "text/html": .3, "image/jpeg": .5} {
		if got := liked(accepts(table), kind); got != want {
			t.Errorf("%s is liked %v, want %v (the RFC's table)", kind, got, want)
		}
	}
	const browser = "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8"
	forms := []string{"application/json", "text/csv", "text/html"}
	for _, tt := range []struct {
		accept, want string
		offers       []string
	}{
		{"", "application/json", forms},
		{"*/*", "application/json", forms},
		{"text/csv", "text/csv", forms},
		{"text/csv;header=present", "text/csv", forms},
		{"TEXT/CSV", "text/csv", forms},
		{"application/json;q=0.5, text/csv", "text/csv", forms},
		{"text/*", "text/csv", forms},
		{"application/json;q=0, */*", "text/csv", forms},
		{"image/png", "", forms},
		{"text/csv;q=0", "", forms},
		{"application/problem+json, application/json", "application/json", forms},
		{browser, "text/html", forms},
		{browser, "application/json", forms[:2]},
		{"video/webm", "video/*", []string{"video/*"}},
		{"nonsense", "application/json", forms}, // no range at all: as without
	} {
		if got := Accepted(tt.accept, tt.offers); got != tt.want {
			t.Errorf("Accept: %s of %v: %q, want %q", tt.accept, tt.offers, got, tt.want)
		}
	}
}

// TestTakesGzip: RFC 9110, 12.5.3.
func TestTakesGzip(t *testing.T) {
	for header, want := range map[string]bool{"": false, "gzip": true, "gzip;q=0": false,
		"deflate, gzip;q=1.0, *;q=0.5": true,
		"*":                            true, "*;q=0": false, "gzip;q=0, *": false, "br": false, "GZIP ; q=0.1": true} {
		if got := takesGzip(header); got != want {
			t.Errorf("Accept-Encoding: %s: %v, want %v", header, got, want)
		}
	}
}

// TestHas: RFC 9110, 13.1.2 and 8.8.3.2: a list, a star, weak comparison.
func TestHas(t *testing.T) {
	for _, tt := range []struct {
		header, tag string
		want        bool
	}{{`"1"`, `"1"`, true}, {`W/"1"`, `"1"`, true}, {`"1"`, `W/"1"`, true}, {`"2", "1"`, `"1"`, true}, {`*`, `"1"`, true},
		{`"2"`, `"1"`, false}, {`1`, `"1"`, false}, {``, `"1"`, false}} {
		if got := has([]string{tt.header}, tt.tag); got != tt.want {
			t.Errorf("If-None-Match: %s against %s: %v, want %v", tt.header, tt.tag, got, tt.want)
		}
	}
}

// TestProblemTypes: each has a name of its own, a status of its own, and says what to do.
func TestProblemTypes(t *testing.T) {
	names, statuses := map[string]bool{}, map[int]bool{}
	for _, p := range Problems {
		if names[p.Name] || statuses[p.Status] || p.Title == "" || p.About == "" || p.Do == "" {
			t.Errorf("%+v: twice, or says too little", p)
		}
		names[p.Name], statuses[p.Status] = true, true
	}
	if kind, title := ProblemOf(http.StatusTeapot); kind != "about:blank" || title != "I'm a teapot" {
		t.Errorf("a status of nobody's: %s, %s; want about:blank and its phrase (RFC 9457, 4.2.1)", kind, title)
	}
}
