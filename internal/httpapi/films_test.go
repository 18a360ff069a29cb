package httpapi_test

import (
	"io"
	"mime"
	"mime/multipart"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"overhang/internal/httpapi"
	"overhang/internal/tags/film"
	"overhang/internal/tags/postgres/postgrestest"
)

// filmed starts a server that may serve ours from a folder with one file of
// 10,000 bytes, the length of the standard's examples.
func filmed(t *testing.T) (c *client, dir, game string, content []byte) {
	t.Helper()
	dir = t.TempDir()
	content = make([]byte, 10000)
	for i := range content {
		content[i] = byte(i / 7)
	}
	if err := os.WriteFile(filepath.Join(dir, "a.mp4"), content, 0o644); err != nil {
		t.Fatal(err)
	}
	var folders film.Folders
	if err := folders.Allow("ours=" + dir); err != nil {
		t.Fatal(err)
	}
	store, _ := postgrestest.New(t)
	c = clientFor(t, store, httpapi.WithFilms(folders))
	return c, dir, c.season(), content
}

func (c *client) film(game, location string) string {
	c.t.Helper()
	return ours + "/films/" + c.must(201, "POST", ours+"/films", `{"game_id":"`+game+`","location":"`+location+
		`"}`)["id"].(string)
}

// TestRanges asks for the ranges of RFC 9110, 14.1.2, of a representation of
// 10,000 bytes, and for what 13 and 15.5.17 say about preconditions and refusals (MEM).
func TestRanges(t *testing.T) {
	t.Parallel()
	c, dir, game, all := filmed(t)
	at := c.film(game, filepath.Join(dir, "a.mp4")) + "/video"
	whole, _ := c.do("GET", at, "")
	tag, date := whole.Header.Get("ETag"), whole.Header.Get("Last-Modified")
	if tag == "" || date == "" || whole.Header.Get("Accept-Ranges") != "bytes" ||
		whole.Header.Get("Content-Type") != "video/mp4" {
		t.Errorf("headers of the whole: %v", whole.Header)
	}
	for _, tt := range []struct {
		name     string
		header   []string
		status   int
		from, to int // of the body, to excluded
	}{
		{"everything", nil, 200, 0, 10000},
		{"the first 500 bytes", []string{"Range", "bytes=0-499"}, 206, 0, 500},
		{"the second 500 bytes", []string{"Range", "bytes=500-999"}, 206, 500, 1000},
		{"the final 500 bytes", []string{"Range", "bytes=-500"}, 206, 9500, 10000},
		{"the final 500 bytes by their first", []string{"Range", "bytes=9500-"}, 206, 9500, 10000},
		{"an end beyond the last byte is the last byte", []string{"Range", "bytes=9990-20000"}, 206, 9990, 10000},
		{"a suffix longer than the film is all of it", []string{"Range", "bytes=-20000"}, 206, 0, 10000},
		{"a unit that is not known is ignored", []string{"Range", "frames=0-1"}, 200, 0, 10000},
		{"the unit's letters may be capitals", []string{"Range", "Bytes=0-1"}, 206, 0, 2},
		{"a start beyond the end", []string{"Range", "bytes=10000-"}, 416, 0, 0},
		{"the range of the version that was seen", []string{"Range", "bytes=0-9", "If-Range", tag}, 206, 0, 10},
		{"the range of another version: all of this one", []string{"Range", "bytes=0-9", "If-Range", `"other"`}, 200, 0,
			10000},
		{"a weak tag never matches If-Range", []string{"Range", "bytes=0-9", "If-Range", "W/" + tag}, 200, 0, 10000},
		{"the date that was seen", []string{"Range", "bytes=0-9", "If-Range", date}, 206, 0, 10},
		{"not changed", []string{"If-None-Match", tag}, 304, 0, 0},
		{"not changed since", []string{"If-Modified-Since", date}, 304, 0, 0},
		{"only another version", []string{"If-Match", `"other"`}, 412, 0, 0},
	} {
		resp, body := c.do("GET", at, "", tt.header...)
		if resp.StatusCode != tt.status {
			t.Errorf("%s: %d; want %d (RFC 9110)", tt.name, resp.StatusCode, tt.status)
		}
		if tt.status < 300 && body != string(all[tt.from:tt.to]) {
			t.Errorf("%s: %d bytes; want %d to %d (RFC 9110, 14.1.2)", tt.name, len(body), tt.from, tt.to)
		}
		if cr := resp.Header.Get("Content-Range"); tt.status == 416 && cr != "bytes */10000" {
			t.Errorf("%s: Content-Range %q; want bytes */10000 (RFC 9110, 14.4)", tt.name, cr)
		}
	}
	if resp, body := c.do("HEAD", at, ""); resp.StatusCode != 200 || resp.ContentLength != 10000 || body != "" {
		t.Errorf("HEAD: %d, length %d, %d bytes", resp.StatusCode, resp.ContentLength, len(body))
	}
	// The first, middle and last 1000 bytes.
	resp, body := c.do("GET", at, "", "Range", "bytes= 0-999, 4500-5499, -1000")
	kind, params, _ := mime.ParseMediaType(resp.Header.Get("Content-Type"))
	if resp.StatusCode != 206 || kind != "multipart/byteranges" {
		t.Fatalf("three ranges: %d %s", resp.StatusCode, kind)
	}
	parts := multipart.NewReader(strings.NewReader(body), params["boundary"])
	for _, from := range []int{0, 4500, 9000} {
		p, err := parts.NextPart()
		if err != nil {
			t.Fatal(err)
		}
		if got, _ := io.ReadAll(p); string(got) != string(all[from:from+1000]) {
			t.Errorf("part %s is not the bytes from %d", p.Header.Get("Content-Range"), from)
		}
	}
}

// TestLongWatch: whoever watches for longer than an answer may take otherwise,
// and takes less than the film has, still gets all of it.
func TestLongWatch(t *testing.T) {
	c, dir, game, _ := filmed(t)
	const size = 24 << 20 // more than the sockets between the two hold
	if err := os.WriteFile(filepath.Join(dir, "long.mp4"), make([]byte, size), 0o644); err != nil {
		t.Fatal(err)
	}
	at := c.film(game, "long.mp4") + "/video"
	srv := httptest.NewUnstartedServer(c.server.Config.Handler)
	srv.Config.WriteTimeout = 500 * time.Millisecond
	srv.Start()
	t.Cleanup(srv.Close)
	resp, err := http.Get(srv.URL + at)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	n, err := io.CopyN(io.Discard, resp.Body, 1<<20)
	time.Sleep(1500 * time.Millisecond)
	if err == nil {
		var rest int64
		rest, err = io.Copy(io.Discard, resp.Body)
		n += rest
	}
	if err != nil || n != size {
		t.Errorf("%d of %d bytes: %v", n, size, err)
	}
}

// TestFilmStaysInside: what is outside a program's folders is not served, nor
// fetched, and the answer does not say whether it is there.
func TestFilmStaysInside(t *testing.T) {
	t.Parallel()
	c, dir, game, _ := filmed(t)
	fetched := make(chan string, 1)
	trap := http.Server{Handler: http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) { fetched <- r.URL.Path })}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	go trap.Serve(l)
	t.Cleanup(func() { trap.Close() })
	secret := filepath.Join(t.TempDir(), "secret.mp4")
	os.WriteFile(secret, []byte("secret"), 0o644)
	os.Symlink(secret, filepath.Join(dir, "link.mp4"))
	var told []string
	for _, tt := range []struct {
		location string
		status   int
	}{
		{secret, 409}, {secret + "x.mp4", 409}, {"link.mp4", 409}, {"../" + filepath.Base(filepath.Dir(secret)) +
			"/secret.mp4", 409}, {"/etc/passwd", 409},
		{"missing.mp4", 404}, {"http://" + l.Addr().String() + "/film.mp4", 409},
	} {
		resp, body := c.do("GET", c.film(game, tt.location)+"/video", "")
		if resp.StatusCode != tt.status || strings.Contains(body, "secret") && !strings.Contains(tt.location, "secret") {
			t.Errorf("%s: %d %s; want %d", tt.location, resp.StatusCode, body, tt.status)
		}
		told = append(told, body)
	}
	if told[0] != told[1] {
		t.Errorf("a file outside that is there is told apart from one that is not:\n%s\n%s", told[0], told[1])
	}
	select {
	case path := <-fetched:
		t.Errorf("the server fetched %s (OWASP API7:2023)", path)
	default:
	}
	c.must(404, "GET", ours+"/films/018f2c3d-0000-7000-8000-000000000000/video", "")
}

func TestClipLists(t *testing.T) {
	t.Parallel()
	c, _, game, _ := filmed(t)
	wide, high := c.film(game, "a.mp4"), c.film(game, "https://film.example.invalid/high.mp4")
	play := c.must(201, "POST", ours+"/plays", `{"game_id":"`+game+`","number":2,`+smash+`}`)["id"].(string)
	const list = "start_s,end_s,number,angle\n10,18.5,1,\n0:00:40,50,2,\n60,70,2,end zone\n"
	counts := func(got map[string]any) [4]any {
		return [4]any{got["added"], got["changed"], got["unchanged"], got["texts_ignored"]}
	}
	if got := counts(c.must(200, "POST", wide+"/clips", list, "Content-Type", "text/csv")); got != [4]any{3.0, 0.0, 0.0,
		0.0} {
		t.Errorf("first load: %v", got)
	}
	if got := counts(c.must(200, "POST", wide+"/clips", list, "Content-Type",
		"text/csv; charset=utf-8")); got != [4]any{0.0, 0.0, 3.0, 0.0} {
		t.Errorf("second load: %v", got)
	}
	if got := counts(c.must(200, "POST", wide+"/clips", "start_s,end_s,angle\n10,18.5,tight\n40,50,\n", "Content-Type",
		"text/csv")); got != [4]any{0.0, 1.0, 1.0, 0.0} {
		t.Errorf("an angle that is new: %v; want one clip changed and no number lost", got)
	}
	// A second angle of the same snap from a second film.
	if got := counts(c.must(200, "POST", high+"/clips", "WEBVTT\n\n2\n00:05.000 --> 00:15.000\nthe second snap\n",
		"Content-Type", "text/vtt")); got != [4]any{1.0, 0.0, 0.0, 1.0} {
		t.Errorf("WebVTT: %v", got)
	}
	resp, vtt := c.do("GET", wide+"/clips", "")
	if resp.Header.Get("Content-Type") != "text/vtt; charset=utf-8" || !strings.Contains(vtt,
		"00:00:40.000 --> 00:00:50.000\n{") || strings.Count(vtt, `"play":{"id":"`+play) != 2 {
		t.Errorf("track: %s", vtt)
	}
	if got := counts(c.must(200, "POST", wide+"/clips", vtt, "Content-Type", "text/vtt")); got != [4]any{0.0, 0.0, 3.0,
		0.0} {
		t.Errorf("our own track taken back: %v", got)
	}
	if _, csv := c.do("GET", wide+"/clips?format=csv",
		""); csv != "start_s,end_s,number,angle\r\n10,18.5,1,tight\r\n40,50,2,\r\n60,70,2,end zone\r\n" {
		t.Errorf("CSV: %q", csv)
	}
	resp, body := c.do("POST", high+"/clips", "start_s,end_s\n1,2\n3,x\n9,8\n", "Content-Type", "text/csv")
	if resp.StatusCode != 422 || !strings.Contains(body, `"row":3,"field":"end_s"`) || !strings.Contains(body,
		`"row":4,"field":"end_s"`) {
		t.Errorf("bad rows: %d %s", resp.StatusCode, body)
	}
	if n := len(c.must(200, "GET", ours+"/clips?film_id="+high[len(ours+"/films/"):], "")["items"].([]any)); n != 1 {
		t.Errorf("%d clips after a refused list, want the one that was there", n)
	}
	if resp, body := c.do("POST", high+"/clips", "{}"); resp.StatusCode != 415 || !strings.Contains(body,
		"text/csv or text/vtt") {
		t.Errorf("JSON: %d %s", resp.StatusCode, body)
	}
	missing := ours + "/films/018f2c3d-0000-7000-8000-000000000000/clips"
	c.must(404, "GET", missing, "")
	c.must(404, "POST", missing, list, "Content-Type", "text/csv")
	// A clip of one game cannot show a play of another.
	o := c.must(201, "POST", ours+"/opponents", `{"code":"o2","name":"Invented"}`)["id"].(string)
	other := c.must(201, "POST", ours+"/games", `{"opponent_id":"`+o+`","label":"week 2"}`)["id"].(string)
	id := c.film(other, "b.mp4")[len(ours+"/films/"):]
	if resp, body := c.do("POST", ours+"/clips", `{"film_id":"`+id+`","play_id":"`+play+
		`","start_s":1,"end_s":2}`); resp.StatusCode != 422 || !strings.Contains(body, "play_id") {
		t.Errorf("a clip across games: %d %s", resp.StatusCode, body)
	}
}
