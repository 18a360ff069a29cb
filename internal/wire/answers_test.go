package wire

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"
)

// sent is what comes of one request to a handler behind Answers.
func sent(t *testing.T, method string, header map[string]string, h echo.HandlerFunc) *httptest.ResponseRecorder {
	t.Helper()
	e := echo.New()
	e.Use(Answers(func(c echo.Context) bool { return c.Request().URL.Path == "/film" }))
	e.Any("/*", h)
	r := httptest.NewRequest(method, "/x", nil)
	if header["path"] != "" {
		r.URL.Path = header["path"]
	}
	for k, v := range header {
		if k != "path" {
			r.Header.Set(k, v)
		}
	}
	w := httptest.NewRecorder()
	e.ServeHTTP(w, r)
	return w
}

func says(kind, body string) echo.HandlerFunc {
	return func(c echo.Context) error { return c.Blob(http.StatusOK, kind, []byte(body)) }
}

var (
	long  = strings.Repeat("cover 3 ", 1000)
	short = strings.Repeat("x", worthZipping-1)
)

// TestWhatIsCompressed: an answer is compressed where the client takes gzip, the body shrinks,
// and its ETag is weak (RFC 9110, 8.8.3.3); caches are told that it varies.
func TestWhatIsCompressed(t *testing.T) {
	t.Parallel()
	strong := func(c echo.Context) error {
		c.Response().Header().Set("ETag", `"7"`)
		return c.Blob(http.StatusOK, "application/json", []byte(long))
	}
	coded := func(c echo.Context) error {
		c.Response().Header().Set(echo.HeaderContentEncoding, "br")
		return c.Blob(http.StatusOK, "text/plain", []byte(long))
	}
	for name, tt := range map[string]struct {
		takes string
		h     echo.HandlerFunc
		want  string // Content-Encoding
		vary  bool
	}{
		"a long text":                    {"gzip", says("text/plain", long), "gzip", true},
		"JSON":                           {"gzip", says("application/json", long), "gzip", true},
		"a problem":                      {"gzip", says("application/problem+json", long), "gzip", true},
		"a drawing":                      {"gzip", says("image/svg+xml", long), "gzip", true},
		"a script":                       {"gzip", says("text/javascript; charset=utf-8", long), "gzip", true},
		"a PDF is compressed already":    {"gzip", says("application/pdf", long), "", false},
		"a client that takes none":       {"", says("text/plain", long), "", true},
		"a client that refuses it":       {"gzip;q=0", says("text/plain", long), "", true},
		"too short to be worth it":       {"gzip", says("text/plain", short), "", true},
		"just long enough":               {"gzip", says("text/plain", short+"x"), "gzip", true},
		"a version that If-Match needs":  {"gzip", strong, "", true},
		"what somebody else compressed":  {"gzip", coded, "br", true},
		"a failure's text is compressed": {"gzip", func(c echo.Context) error { return c.String(500, long) }, "gzip", true},
	} {
		w := sent(t, http.MethodGet, map[string]string{"Accept-Encoding": tt.takes}, tt.h)
		got := w.Header().Get("Content-Encoding")
		if varies := w.Header().Get("Vary") == "Accept-Encoding"; got != tt.want || varies != tt.vary {
			t.Errorf("%s: Content-Encoding %q, varies %v; want %q, %v", name, got, varies, tt.want, tt.vary)
		}
		if n := w.Header().Get("Content-Length"); n != strconv.Itoa(w.Body.Len()) {
			t.Errorf("%s: Content-Length %s of %d bytes", name, n, w.Body.Len())
		}
		if got == "gzip" {
			if body := unzipped(t, w.Body); body != long && body != short+"x" {
				t.Errorf("%s: another body comes out", name)
			}
		}
	}
}

func unzipped(t *testing.T, from io.Reader) string {
	t.Helper()
	r, err := gzip.NewReader(from)
	if err != nil {
		t.Fatal(err)
	}
	body, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return string(body)
}

// TestETags: the same body has the same weak tag and another body another one; a handler's
// own tag stays; what is no 200 has none (RFC 9110, 8.8.3).
func TestETags(t *testing.T) {
	t.Parallel()
	tag := func(h echo.HandlerFunc) string { return sent(t, http.MethodGet, nil, h).Header().Get("ETag") }
	first, again, other := tag(says("text/plain", "a")), tag(says("text/plain", "a")), tag(says("text/plain", "b"))
	if first == "" || first != again || first == other || !strings.HasPrefix(first, `W/"`) {
		t.Errorf("tags of a, a and b: %s, %s, %s", first, again, other)
	}
	own := tag(func(c echo.Context) error {
		c.Response().Header().Set("ETag", `"7"`)
		return c.String(http.StatusOK, "a")
	})
	if own != `"7"` {
		t.Errorf("a version's own tag became %s", own)
	}
	for _, status := range []int{http.StatusCreated, http.StatusNotFound, http.StatusInternalServerError} {
		if got := tag(func(c echo.Context) error { return c.String(status, "a") }); got != "" {
			t.Errorf("%d has the tag %s", status, got)
		}
	}
	if got := sent(t, http.MethodPost, nil, says("text/plain", "a")).Header().Get("ETag"); got != "" {
		t.Errorf("the answer to a POST has the tag %s", got)
	}
	film := sent(t, http.MethodGet, map[string]string{"path": "/film"}, says("text/plain", "a"))
	if got := film.Header().Get("ETag"); got != "" {
		t.Errorf("a stream has the tag %s", got)
	}
}

// TestNotModified: who has the answer already gets its head alone (RFC 9110, 15.4.5): no
// body, no type of one, the tag again.
func TestNotModified(t *testing.T) {
	t.Parallel()
	h := func(c echo.Context) error {
		c.Response().Header().Set(echo.HeaderContentDisposition, "attachment")
		return c.Blob(http.StatusOK, "text/csv", []byte(long))
	}
	tag := sent(t, http.MethodGet, nil, h).Header().Get("ETag")
	for header, want := range map[string]int{tag: 304, strings.TrimPrefix(tag, "W/"): 304, `"x", ` + tag: 304, "*": 304,
		`"x"`: 200, "": 200} {
		w := sent(t, http.MethodGet, map[string]string{"If-None-Match": header, "Accept-Encoding": "gzip"}, h)
		if w.Code != want {
			t.Errorf("If-None-Match: %s: %d, want %d", header, w.Code, want)
		}
		if w.Code == http.StatusNotModified && (w.Body.Len() > 0 || w.Header().Get("Content-Type") != "" ||
			w.Header().Get("Content-Disposition") != "" || w.Header().Get("Content-Encoding") != "" ||
			w.Header().Get("ETag") != tag) {
			t.Errorf("If-None-Match: %s: 304 with %d bytes and %v", header, w.Body.Len(), w.Header())
		}
	}
	failed := func(c echo.Context) error { return c.String(http.StatusNotFound, "no") }
	if w := sent(t, http.MethodGet, map[string]string{"If-None-Match": "*"}, failed); w.Code != http.StatusNotFound {
		t.Errorf("what is not there, asked for with If-None-Match: %d", w.Code)
	}
}

// TestAFailureHalfWayIsNoHalfAnswer: what a handler wrote before it failed or panicked is
// thrown away with the headers that belonged to it.
func TestAFailureHalfWayIsNoHalfAnswer(t *testing.T) {
	t.Parallel()
	begin := func(c echo.Context) {
		c.Response().Header().Set("ETag", `"7"`)
		c.Response().Header().Set(echo.HeaderContentDisposition, "attachment")
		c.Response().WriteHeader(http.StatusOK)
		c.Response().Write([]byte("half of it"))
	}
	w := sent(t, http.MethodGet, nil, func(c echo.Context) error {
		begin(c)
		return echo.NewHTTPError(http.StatusTeapot, "the rest is missing")
	})
	if body := w.Body.String(); w.Code != http.StatusTeapot || strings.Contains(body, "half") ||
		!strings.Contains(body, "the rest is missing") {
		t.Errorf("%d %q; want the failure alone", w.Code, body)
	}
	if w.Header().Get("ETag") != "" || w.Header().Get("Content-Disposition") != "" {
		t.Errorf("the failure has the answer's headers: %v", w.Header())
	}
	defer func() {
		if recover() == nil {
			t.Error("the panic was swallowed")
		}
	}()
	w = sent(t, http.MethodGet, nil, func(c echo.Context) error { begin(c); panic(errors.New("gone")) })
	t.Errorf("went on with %d", w.Code)
}

// TestAFlushedAnswerGoesOutAtOnce: what there is goes out when a handler flushes, compressed
// where that is taken, and without a tag: nobody knows the whole yet.
func TestAFlushedAnswerGoesOutAtOnce(t *testing.T) {
	t.Parallel()
	for takes, coding := range map[string]string{"": "", "gzip": "gzip"} {
		var atOnce int
		var w *httptest.ResponseRecorder
		e := echo.New()
		e.Use(Answers(func(echo.Context) bool { return false }))
		e.GET("/", func(c echo.Context) error {
			c.Response().Header().Set(echo.HeaderContentType, "text/html")
			c.Response().Write([]byte("<p>first</p>"))
			c.Response().Flush()
			atOnce = w.Body.Len()
			c.Response().Write([]byte("<p>then</p>"))
			return nil
		})
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.Header.Set("Accept-Encoding", takes)
		w = httptest.NewRecorder()
		e.ServeHTTP(w, r)
		body := w.Body.String()
		if coding == "gzip" {
			body = unzipped(t, bytes.NewReader(w.Body.Bytes()))
		}
		if body != "<p>first</p><p>then</p>" || w.Header().Get("Content-Encoding") != coding ||
			w.Header().Get("ETag") != "" {
			t.Errorf("taking %q: %q, %v", takes, body, w.Header())
		}
		if atOnce == 0 || atOnce == w.Body.Len() || !w.Flushed {
			t.Errorf("taking %q: %d of %d bytes were out after the flush, flushed %v", takes, atOnce, w.Body.Len(), w.Flushed)
		}
	}
}

// TestNoContentHasNoLength: 204 has no Content-Length (RFC 9110, 8.6).
func TestNoContentHasNoLength(t *testing.T) {
	t.Parallel()
	w := sent(t, http.MethodGet, nil, func(c echo.Context) error { return c.NoContent(http.StatusNoContent) })
	if w.Code != http.StatusNoContent || w.Header().Get("Content-Length") != "" || w.Body.Len() > 0 {
		t.Errorf("%d, %v, %d bytes", w.Code, w.Header(), w.Body.Len())
	}
}

// TestABodyIsNobodyElses: the buffers that are used again never show an answer to another.
func TestABodyIsNobodyElses(t *testing.T) {
	t.Parallel()
	for i := range 50 {
		body := strings.Repeat(strconv.Itoa(i), 5000-90*i)
		if got := sent(t, http.MethodGet, nil, says("text/plain", body)).Body.String(); got != body {
			t.Fatalf("answer %d is not its own", i)
		}
	}
}

// TestHeadIsGetWithoutABody: HEAD answers wherever GET does, with GET's headers (RFC 9110,
// 9.3.2), but where a path has its own; where only POST is, it is no method of the path.
func TestHeadIsGetWithoutABody(t *testing.T) {
	t.Parallel()
	e := echo.New()
	e.Use(Around(Heads(e, func(path string) bool { return path == "/own" }),
		Answers(func(echo.Context) bool { return false })))
	e.GET("/x/:id", func(c echo.Context) error {
		c.Response().Header().Set("Id", c.Param("id"))
		return c.String(http.StatusOK, "body")
	})
	e.HEAD("/own", func(c echo.Context) error { return c.NoContent(http.StatusAccepted) })
	e.POST("/post", func(c echo.Context) error { return c.NoContent(http.StatusCreated) })
	server := httptest.NewServer(e)
	defer server.Close()
	for path, want := range map[string]int{"/x/7": 200, "/own": 202, "/post": 405, "/nowhere": 404} {
		resp, err := http.Head(server.URL + path)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		if resp.StatusCode != want {
			t.Errorf("HEAD %s: %d, want %d", path, resp.StatusCode, want)
		}
		if path == "/x/7" && (resp.Header.Get("Id") != "7" || resp.ContentLength != 4 || resp.Header.Get("ETag") == "") {
			t.Errorf("HEAD %s: %v, length %d; want what GET has", path, resp.Header, resp.ContentLength)
		}
	}
}

// TestAllow: where GET is allowed so is HEAD, named once (RFC 9110, 10.2.1).
func TestAllow(t *testing.T) {
	t.Parallel()
	for was, want := range map[string]string{"OPTIONS, GET": "OPTIONS, GET, HEAD", "OPTIONS, POST": "OPTIONS, POST",
		"OPTIONS, GET, HEAD": "OPTIONS, GET, HEAD", "": ""} {
		h := http.Header{}
		h.Set("Allow", was)
		if Allow(h); h.Get("Allow") != want {
			t.Errorf("%q became %q, want %q", was, h.Get("Allow"), want)
		}
	}
}

// TestChoose: the form that was asked for is kept for the handler, and caches are told.
func TestChoose(t *testing.T) {
	t.Parallel()
	for accept, want := range map[string]string{"": "application/json", "text/csv": "text/csv", "image/png": ""} {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.Header.Set("Accept", accept)
		w := httptest.NewRecorder()
		c := echo.New().NewContext(r, w)
		if Chosen(c) != "" {
			t.Error("something was chosen before anybody chose")
		}
		ok := Choose(c, []string{"application/json", "text/csv"})
		if Chosen(c) != want || ok != (want != "") || w.Header().Get("Vary") != "Accept" {
			t.Errorf("Accept: %s: %q, %v, Vary %q; want %q", accept, Chosen(c), ok, w.Header().Get("Vary"), want)
		}
	}
}

// TestSecure: nothing of a page comes from elsewhere, no page of elsewhere frames it, and
// nothing of it is kept by a cache.
func TestSecure(t *testing.T) {
	t.Parallel()
	w := httptest.NewRecorder()
	c := echo.New().NewContext(httptest.NewRequest(http.MethodGet, "/", nil), w)
	if err := Secure(func(echo.Context) error { return errBeyond })(c); !errors.Is(err, errBeyond) {
		t.Errorf("the handler's error became %v", err)
	}
	policy := w.Header().Get("Content-Security-Policy")
	for _, part := range strings.Split(policy, ";") {
		if name, from, _ := strings.Cut(strings.TrimSpace(part), " "); from != "'self'" && from != "'none'" {
			t.Errorf("the policy lets %s come from %q", name, from)
		}
	}
	for _, must := range []string{"default-src 'none'", "frame-ancestors 'none'", "base-uri 'none'",
		"form-action 'self'"} {
		if !strings.Contains(policy, must) {
			t.Errorf("the policy has no %s: %s", must, policy)
		}
	}
	for name, want := range map[string]string{"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer",
		"Cache-Control": "no-store"} {
		if got := w.Header().Get(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}

var errBeyond = errors.New("beyond")

// TestQualitiesThatAreNone: a weight is 0 to 1 (RFC 9110, 12.4.2); a range with another one
// is left out, and weights are the same in capitals (RFC 5234, 2.3).
func TestQualitiesThatAreNone(t *testing.T) {
	t.Parallel()
	for _, q := range []string{"NaN", "-0.1", "1.1", "Inf", "high", ""} {
		if got := accepts("text/csv;q=" + q); len(got) != 0 {
			t.Errorf("text/csv;q=%s is liked %v", q, got)
		}
	}
	if got := accepts("text/csv;Q=0.5"); len(got) != 1 || got[0].quality != .5 {
		t.Errorf("text/csv;Q=0.5 is liked %v", got)
	}
	for header, want := range map[string]bool{"gzip;Q=0": false, "gzip;Q=0.5": true, "x-gzip": true, "gzip;q=NaN": false,
		"identity;q=1, gzip;q=0.000": false, "gzip ; q = 0": false} {
		if got := takesGzip(header); got != want {
			t.Errorf("Accept-Encoding: %s: %v, want %v", header, got, want)
		}
	}
}
