package pages

import (
	"bufio"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"

	"overhang/internal/wire"
)

// TestLate: what takes long is said to be worked out before it is there, in the same answer,
// compressed or not; what goes wrong then stands on the page, and no client takes it for a whole
// answer (RFC 9112, 8); what is quick, or wrong at once,
// is answered whole with its own status.
func TestLate(t *testing.T) {
	site := &Site{failure: func(err error, _ echo.Context) *Failure {
		return &Failure{Status: http.StatusServiceUnavailable, Detail: err.Error()}
	}}
	answer := make(chan any)
	e := echo.New()
	e.Use(wire.Cutting, middleware.RecoverWithConfig(middleware.RecoverConfig{LogErrorFunc: quiet}),
		wire.Answers(func(echo.Context) bool { return false }))
	e.GET("/:how", func(c echo.Context) error {
		return site.showLate(c, &Shell{Title: "Some page"}, "the board", "error.html", func() (any, error) {
			switch c.Param("how") {
			case "quick":
				return &Failure{Detail: "the answer stands here"}, nil
			case "wrong":
				return nil, echo.NewHTTPError(http.StatusConflict)
			}
			switch x := (<-answer).(type) {
			case error:
				return nil, x
			case string:
				return &Failure{Detail: x}, nil
			}
			panic("nobody thought of this")
		})
	})
	server := httptest.NewServer(e)
	defer server.Close()
	for _, at := range []struct {
		status     int
		path, says string
	}{{200, "/quick", "The answer stands here."}, {409, "/wrong", "Conflict"}} {
		got, err := http.Get(server.URL + at.path)
		if err != nil {
			t.Fatal(err)
		}
		body, _ := io.ReadAll(got.Body)
		if s := string(body); got.StatusCode != at.status || !strings.Contains(s, at.says) ||
			strings.Contains(s, "Working out") || at.status == 200 && got.Header.Get("ETag") == "" {
			t.Errorf("%s: %d with the ETag %q, %s", at.path, got.StatusCode, got.Header.Get("ETag"), s)
		}
	}
	for _, x := range []struct {
		comes any
		says  string
	}{{"the answer stands here", "The answer stands here."}, {errors.New("no time for it"), "No time for it."},
		{nil, "The answer broke."}} {
		for _, coding := range []string{"gzip", "identity"} {
			_, whole := x.comes.(string)
			held(t, server.URL+"/slow", coding, func() { answer <- x.comes }, x.says, whole)
		}
	}
}

// quiet writes no line about a panic.
func quiet(_ echo.Context, err error, _ []byte) error { return err }

// held asks for a page whose answer is given once its bar was read.
func held(t *testing.T, url, coding string, give func(), says string, whole bool) {
	t.Helper()
	req, _ := http.NewRequest(http.MethodGet, url, nil)
	if coding == "identity" {
		req.Header.Set("Accept-Encoding", coding) // else the client asks for gzip, and unpacks it
	}
	got, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer got.Body.Close()
	in, head := bufio.NewReader(got.Body), ""
	for !strings.Contains(head, "Working out the board") {
		line, err := in.ReadString('\n')
		if err != nil {
			t.Fatalf("%s: it ended after %q: %v", coding, head, err)
		}
		head += line
	}
	if got.Uncompressed != (coding == "gzip") || got.Header.Get("ETag") != "" ||
		!strings.Contains(head, "<title>Some page") {
		t.Errorf("%s: compressed %v, ETag %q, %s", coding, got.Uncompressed, got.Header.Get("ETag"), head)
	}
	give()
	rest, err := io.ReadAll(in)
	if s := string(rest); (err == nil) != whole || !strings.Contains(s, says) ||
		!strings.HasSuffix(strings.TrimSpace(s), "</html>") {
		t.Errorf("%s: then %q (%v), want %q", coding, s, err, says)
	}
}
