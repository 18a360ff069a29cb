package httpapi_test

import (
	"compress/gzip"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"
	"testing"

	"overhang/internal/staff"
)

// raw sends a request as it is: the usual client would ask for gzip itself and undo it.
func (c *client) raw(method, path string, header ...string) (*http.Response, []byte) {
	c.t.Helper()
	req, err := http.NewRequest(method, c.url+path, nil)
	if err != nil {
		c.t.Fatal(err)
	}
	for i := 0; i+1 < len(header); i += 2 {
		req.Header.Set(header[i], header[i+1])
	}
	resp, err := (&http.Transport{DisableCompression: true}).RoundTrip(req)
	if err != nil {
		c.t.Fatal(err)
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	if err != nil {
		c.t.Fatal(err)
	}
	return resp, body
}

// plays is a program with a dozen plays, and the address of one.
func plays(t *testing.T) (c *client, one string) {
	t.Helper()
	c, _ = serve(t)
	game := c.season()
	for i := range 12 {
		one = c.must(201, "POST", ours+"/plays", fmt.Sprintf(`{"game_id":"%s","number":%d,%s}`, game, i+1,
			smash))["location"].(string)
	}
	return c, one
}

// TestNotAgain: who has an answer is not sent it again (RFC 9110, 13.1.2), and HEAD is GET
// without the body (9.3.2), for a list, a single thing, a table and the document.
func TestNotAgain(t *testing.T) {
	t.Parallel()
	c, one := plays(t)
	for _, path := range []string{ours + "/plays", one, ours + "/tendencies?by=down&format=csv", "/openapi.json", "/v1/me",
		ours + "/opponents/o1/concepts"} {
		got, body := c.raw("GET", path)
		tag := got.Header.Get("ETag")
		if got.StatusCode != 200 || tag == "" {
			t.Fatalf("%s: %d with ETag %q", path, got.StatusCode, tag)
		}
		for _, have := range []string{tag, `"other", ` + tag, "*"} {
			if again, more := c.raw("GET", path, "If-None-Match", have); again.StatusCode != 304 || len(more) > 0 ||
				again.Header.Get("ETag") != tag {
				t.Errorf("%s with %s: %d, %d bytes, ETag %s", path, have, again.StatusCode, len(more), again.Header.Get("ETag"))
			}
		}
		if fresh, _ := c.raw("GET", path, "If-None-Match", `"other"`); fresh.StatusCode != 200 {
			t.Errorf("%s with another tag: %d", path, fresh.StatusCode)
		}
		head, none := c.raw("HEAD", path)
		if head.StatusCode != 200 || len(none) > 0 || head.Header.Get("ETag") != tag ||
			head.Header.Get("Content-Length") != strconv.Itoa(len(body)) ||
			head.Header.Get("Content-Type") != got.Header.Get("Content-Type") {
			t.Errorf("HEAD %s: %d, %d bytes, %v", path, head.StatusCode, len(none), head.Header)
		}
	}
	stored, _ := c.raw("GET", one)
	c.must(204, "DELETE", one, "", "If-Match", stored.Header.Get("ETag"))
	if gone, _ := c.raw("HEAD", one); gone.StatusCode != 404 {
		t.Errorf("HEAD of what is gone: %d", gone.StatusCode)
	}
}

// TestCompressed: a list comes compressed to who asks for it and says the same; a single
// thing does not, since its ETag is good for If-Match (RFC 9110, 8.8.3.3 and 13.1.1).
func TestCompressed(t *testing.T) {
	t.Parallel()
	c, one := plays(t)
	for _, path := range []string{ours + "/plays", "/v1/book", "/openapi.yaml"} {
		_, plain := c.raw("GET", path)
		resp, small := c.raw("GET", path, "Accept-Encoding", "gzip")
		if resp.Header.Get("Content-Encoding") != "gzip" || !strings.Contains(strings.Join(resp.Header.Values("Vary"), ","),
			"Accept-Encoding") || len(small) >= len(plain) {
			t.Fatalf("%s: %d of %d bytes, %v", path, len(small), len(plain), resp.Header)
		}
		r, err := gzip.NewReader(strings.NewReader(string(small)))
		if err != nil {
			t.Fatal(err)
		}
		if back, _ := io.ReadAll(r); string(back) != string(plain) {
			t.Errorf("%s says something else compressed", path)
		}
		if !strings.HasPrefix(resp.Header.Get("ETag"), "W/") {
			t.Errorf("%s: two forms under one strong ETag %s", path, resp.Header.Get("ETag"))
		}
		t.Logf("%s: %d of %d bytes", path, len(small), len(plain))
	}
	resp, _ := c.raw("GET", one, "Accept-Encoding", "gzip")
	if resp.Header.Get("Content-Encoding") != "" || resp.Header.Get("ETag") != `"1"` {
		t.Errorf("a single thing: %v", resp.Header)
	}
}

// TestAccept: a form is chosen by Accept as by the parameter, which goes first; what takes
// none of the forms is 406, and nothing is stored for it.
func TestAccept(t *testing.T) {
	t.Parallel()
	c, _ := plays(t)
	const table = ours + "/tendencies?by=down"
	for _, tt := range []struct{ path, accept, want string }{
		{table, "", "application/json"}, {table, "text/csv", "text/csv"}, {table, "text/csv;q=0.4, application/json",
			"application/json"}, {table, "text/html,*/*;q=0.8", "application/json"},
		{table + "&format=csv", "application/json", "text/csv"},
		{ours + "/opponents/o1/reports/opponent", "text/html,*/*;q=0.8", "text/html"},
		{ours + "/opponents/o1/reports/opponent", "application/pdf", "application/pdf"},
		{"/v1/drawing/legend", "", "image/svg+xml"}, {"/v1/drawing/legend", "application/pdf;q=1, image/*;q=0.2",
			"application/pdf"},
	} {
		resp, _ := c.raw("GET", tt.path, "Accept", tt.accept)
		if kind, _, _ := strings.Cut(resp.Header.Get("Content-Type"), ";"); resp.StatusCode != 200 || kind != tt.want ||
			!strings.Contains(strings.Join(resp.Header.Values("Vary"), ","), "Accept") {
			t.Errorf("%s, Accept %s: %d %s, want %s", tt.path, tt.accept, resp.StatusCode, kind, tt.want)
		}
	}
	if r := c.must(406, "GET", table, "", "Accept", "image/png"); !strings.Contains(r["detail"].(string), "text/csv") {
		t.Errorf("406 does not say which forms there are: %v", r)
	}
	c.must(406, "POST", ours+"/seasons", `{"label":"2031"}`, "Accept", "image/png")
	if n := len(c.must(200, "GET", ours+"/seasons", "")["items"].([]any)); n != 0 {
		t.Error("a refused form was stored")
	}
}

// TestProblemPages: the type of every problem is an address that a person can read, signed in
// or not (RFC 9457, 3.1.1), and 405 says what is allowed (RFC 9110, 15.5.6).
func TestProblemPages(t *testing.T) {
	t.Parallel()
	c, store := guarded(t)
	own := c.person(store, "ours", "reads", staff.Reader)
	for _, tt := range []struct {
		status       int
		who          *client
		method, path string
		header       []string
	}{
		{401, c, "GET", "/v1/programs", nil}, {403, own, "POST", ours + "/seasons", nil},
		{404, own, "GET", ours + "/plays/seven", nil}, {405, own, "PATCH", ours + "/plays", nil},
		{400, own, "GET", ours + "/plays?dwon=3", nil}, {406, own, "GET", ours + "/plays", []string{"Accept", "image/png"}},
	} {
		got := tt.who.must(tt.status, tt.method, tt.path, "", tt.header...)
		kind, _ := got["type"].(string)
		if !strings.HasPrefix(kind, "/docs/problems/") {
			t.Errorf("%d is of type %q", tt.status, kind)
			continue
		}
		page, body := c.raw("GET", kind)
		if page.StatusCode != 200 || !strings.Contains(string(body), got["title"].(string)) ||
			!strings.Contains(string(body), "Status "+strconv.Itoa(tt.status)) {
			t.Errorf("%s: %d %.300s", kind, page.StatusCode, body)
		}
	}
	r, raw := own.do("PATCH", ours+"/plays", "")
	for _, m := range []string{"GET", "HEAD", "POST"} {
		if a := r.Header.Get("Allow"); !strings.Contains(a, m) {
			t.Errorf("405 allows %q, without %s", a, m)
		}
	}
	var p struct{ Status int }
	if json.Unmarshal([]byte(raw), &p); p.Status != 405 {
		t.Errorf("405: %s", raw)
	}
	if page, _ := c.raw("GET", "/docs/problems/no-such"); page.StatusCode != 404 {
		t.Errorf("a type that there is not: %d", page.StatusCode)
	}
}
