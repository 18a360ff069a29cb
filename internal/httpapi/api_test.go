package httpapi_test

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/getkin/kin-openapi/routers/gorillamux"
	"github.com/labstack/echo/v4"

	"overhang/api"
	"overhang/integration/madeup"
	"overhang/internal/httpapi"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

func TestMain(m *testing.M) {
	for _, kind := range []string{"application/yaml", "text/html", "image/svg+xml", "application/pdf", "video/mp4",
		"multipart/byteranges", "application/zip", "application/x-ndjson"} {
		openapi3filter.RegisterBodyDecoder(kind, openapi3filter.FileBodyDecoder)
	}
	staff.Cheap()
	postgrestest.Main(m)
}

// A client calls the running server and validates every answer against the
// document.
type client struct {
	t      *testing.T
	url    string
	router routers.Router
	token  string // sent with every request, if any
	server *httptest.Server
}

// serve starts the real server on a database of its own.
func serve(t *testing.T) (*client, *postgres.Store) {
	t.Helper()
	store, _ := postgrestest.New(t)
	return clientFor(t, store), store
}

func clientFor(t *testing.T, store *postgres.Store, opts ...httpapi.Option) *client {
	t.Helper()
	h, err := httpapi.New(store, slog.New(slog.NewTextHandler(io.Discard, nil)), opts...)
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(h)
	t.Cleanup(srv.Close)
	r, err := documented()
	if err != nil {
		t.Fatal(err)
	}
	return &client{t: t, url: srv.URL, router: r, server: srv}
}

// documented finds requests in the document, which is read once for all tests.
var documented = sync.OnceValues(func() (routers.Router, error) {
	doc, err := openapi3.NewLoader().LoadFromData(api.Document)
	if err != nil {
		return nil, err
	}
	return gorillamux.NewRouter(doc)
})

// do sends a request; header pairs follow the body.
func (c *client) do(method, path, body string, header ...string) (*http.Response, string) {
	c.t.Helper()
	req, err := http.NewRequest(method, c.url+path, strings.NewReader(body))
	if err != nil {
		c.t.Fatal(err)
	}
	if body != "" {
		req.Header.Set("Content-Type", "application/json")
	}
	if c.token != "" {
		req.Header.Set("Authorization", "Bearer "+c.token)
	}
	for i := 0; i+1 < len(header); i += 2 {
		req.Header.Set(header[i], header[i+1])
	}
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		c.t.Fatal(err)
	}
	raw, _ := io.ReadAll(resp.Body)
	resp.Body.Close()
	c.validate(req, resp, raw)
	return resp, string(raw)
}

func (c *client) validate(req *http.Request, resp *http.Response, raw []byte) {
	c.t.Helper()
	route, params, err := c.router.FindRoute(req)
	if err != nil {
		if resp.StatusCode >= 400 && !strings.HasPrefix(resp.Header.Get("Content-Type"), "application/problem+json") {
			c.t.Errorf("%s %s: %d with Content-Type %q, want a problem", req.Method, req.URL.Path, resp.StatusCode,
				resp.Header.Get("Content-Type"))
		}
		return
	}
	in := &openapi3filter.ResponseValidationInput{
		RequestValidationInput: &openapi3filter.RequestValidationInput{Request: req, PathParams: params, Route: route},
		Status:                 resp.StatusCode, Header: resp.Header, Body: io.NopCloser(bytes.NewReader(raw)),
		Options: &openapi3filter.Options{IncludeResponseStatus: true},
	}
	if err := openapi3filter.ValidateResponse(context.Background(), in); err != nil {
		c.t.Errorf("%s %s: the answer breaks the document: %v\n%s", req.Method, req.URL, err, raw)
	}
	var v any
	r := route.Operation.Responses.Status(resp.StatusCode)
	if r == nil || json.Unmarshal(raw, &v) != nil {
		return
	}
	kind, _, _ := strings.Cut(resp.Header.Get("Content-Type"), ";")
	if m := r.Value.Content.Get(kind); m != nil && m.Schema != nil {
		if more := madeup.Undeclared(m.Schema.Value, v); len(more) > 0 {
			c.t.Errorf("%s %s: the document does not tell of %v", req.Method, req.URL, more)
		}
	}
}

// must expects a status and decodes the answer.
func (c *client) must(status int, method, path, body string, header ...string) map[string]any {
	c.t.Helper()
	resp, raw := c.do(method, path, body, header...)
	if resp.StatusCode != status {
		c.t.Fatalf("%s %s: %d, want %d: %s", method, path, resp.StatusCode, status, raw)
	}
	out := map[string]any{}
	json.Unmarshal([]byte(raw), &out)
	out["etag"], out["location"], out["allow"], out["retry-after"] = resp.Header.Get("ETag"), resp.Header.Get("Location"),
		resp.Header.Get("Allow"), resp.Header.Get("Retry-After")
	return out
}

const ours = "/v1/programs/ours"

// season stores an opponent with a game and words, and returns the game's id.
func (c *client) season() string {
	c.t.Helper()
	o := c.must(201, "POST", ours+"/opponents", `{"code":"o1","name":"Invented opponent"}`)
	g := c.must(201, "POST", ours+"/games", `{"opponent_id":"`+o["id"].(string)+`","label":"week 1","week":1}`)
	for _, w := range []string{`{"field":"concept","word":"smash"}`, `{"field":"set_name","word":"2x2"}`,
		`{"field":"route","word":"hitch"}`, `{"field":"route","word":"corner"}`} {
		c.must(201, "POST", ours+"/words", w)
	}
	return g["id"].(string)
}

const smash = `"status":"counted","down":3,"distance_yd":6,"called":"pass","family":"dropback","concept":"smash","set_name":"2x2","play_side":"left","result":"complete","gain_yd":8,
	"routes":[{"side":"left","number":1,"eligible":"receiver","route":"hitch","break_depth_yd":6},{"side":"left","number":2,"eligible":"receiver","route":"corner","break_depth_yd":12,"targeted":true}]`

func TestLifeOfAPlay(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	game := c.season()
	p := c.must(201, "POST", ours+"/plays", `{"game_id":"`+game+`","number":1,`+smash+`}`)
	at := p["location"].(string)
	again := c.must(200, "GET", at, "")
	if again["etag"] != `"1"` || again["gain_yd"] != 8.0 {
		t.Errorf("GET %s: %v", at, again)
	}
	changed := `{"game_id":"` + game + `","number":1,"status":"counted","down":3,"distance_yd":6}`
	c.must(428, "PUT", at, changed)                                            // RFC 6585
	c.must(412, "PUT", at, changed, "If-Match", `"9"`)                         // RFC 9110 13.1.1
	c.must(412, "PUT", at, changed, "If-Match", `W/"1"`)                       // weak tags match nothing
	now := c.must(200, "PUT", at, changed, "If-Match", again["etag"].(string)) // the one that was seen
	if now["etag"] != `"2"` || now["gain_yd"] != nil {
		t.Errorf("after PUT: etag %v, gain %v; want \"2\" and no gain", now["etag"], now["gain_yd"])
	}
	c.must(412, "PUT", at, changed, "If-Match", `"1"`) // replayed
	stale := c.must(412, "DELETE", at, "", "If-Match", `"1"`)
	if cur, _ := stale["current"].(map[string]any); stale["etag"] != `"2"` || cur["id"] != again["id"] ||
		cur["version"] != 2.0 {
		t.Errorf("412 carries %v with ETag %v; want the play as it is now", stale["current"], stale["etag"])
	}
	c.must(428, "DELETE", at, "") // RFC 6585 names DELETE too
	c.must(204, "DELETE", at, "", "If-Match", `"2"`)
	c.must(404, "GET", at, "")
	c.must(404, "DELETE", at, "", "If-Match", `"2"`)
}

func TestRefusals(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	game := c.season()
	film := c.must(201, "POST", ours+"/films", `{"game_id":"`+game+`","location":"/films/a.mp4"}`)["id"].(string)
	clip := `{"film_id":"` + film + `","start_s":1,"end_s":8.5}`
	c.must(201, "POST", ours+"/clips", clip)
	play := func(more string) string {
		return `{"game_id":"` + game + `","number":7,"status":"counted"` + more + `}`
	}
	for _, tt := range []struct {
		name, method, path, body string
		status                   int
		word                     string // that must stand in the answer
	}{
		{"a down of 5", "POST", ours + "/plays", play(`,"down":5`), 422, `"field":"down"`},
		{"two bad fields are both named", "POST", ours + "/plays", play(`,"down":0,"hash":"center"`), 422, `"field":"hash"`},
		{"a wrong type", "POST", ours + "/plays", play(`,"down":"third"`), 422, `"field":"down"`},
		{"an unknown field", "POST", ours + "/plays", play(`,"donw":3`), 422, "donw"},
		{"an unknown concept names the nearest", "POST", ours + "/plays", play(`,"concept":"smahs"`), 422, "smash"},
		{"a bad route names its place", "POST", ours + "/plays",
			play(`,"routes":[{"side":"left","number":1,"eligible":"receiver","route":"hitch","break_depth_yd":99}]`), 422,
			"routes"},
		{"a family that does not go with the call", "POST", ours + "/plays", play(`,"called":"pass","family":"run"`), 422,
			"family"},
		{"broken JSON", "POST", ours + "/plays", `{"game_id":`, 400, "JSON"},
		{"no body", "POST", ours + "/plays", "", 422, "body"},
		{"a duplicate clip", "POST", ours + "/clips", clip, 409, "start_s"},
		{"a clip that ends before it starts", "POST", ours + "/clips", `{"film_id":"` + film + `","start_s":9,"end_s":8}`,
			422, "end_s"},
		{"a missing id", "GET", ours + "/plays/018f2c3d-0000-7000-8000-000000000000", "", 404, "play"},
		{"no id at all", "GET", ours + "/plays/seven", "", 404, "play"},
		{"no such program", "GET", "/v1/programs/theirs/plays", "", 404, "theirs"},
		{"no such path", "GET", "/v1/nothing", "", 404, "/docs/problems/not-here"},
		{"a wrong method", "PATCH", ours + "/plays", "", 405, "/docs/problems/no-such-method"},
		{"a NUL in a filter", "GET", ours + "/plays?concept=%00", "", 400, "concept"},
		{"bytes that are no UTF-8 in a filter", "GET", ours + "/plays?concept=%ff", "", 400, "concept"},
		{"a down that is no number in a filter", "GET", ours + "/plays?down=third", "", 400, "down"},
		{"an id that is none in a filter", "GET", ours + "/plays?game_id=seven", "", 400, "game_id"},
		{"a NUL in a tendency's filter", "GET", ours + "/tendencies?by=down&game=%00", "", 400, "game"},
		{"a NUL in a program's code", "GET", "/v1/programs/%00/plays", "", 404, "program"},
		{"a NUL in an opponent's code", "GET", ours + "/opponents/%00/stress", "", 404, "opponent"},
		{"a NUL in a word", "POST", ours + "/plays", play(`,"concept":"sm\u0000ash"`), 422, "concept"},
		{"a NUL in a note", "POST", ours + "/plays", play(`,"note":"\u0000"`), 422, "note"},
		{"six backs and ends", "POST", ours + "/plays", play(`,"personnel":"33"`), 422, "personnel"},
		{"a limit of 0", "GET", ours + "/plays?limit=0", "", 400, "limit"},
		{"an unknown parameter", "GET", ours + "/plays?dwon=3", "", 400, "dwon"},
		{"a foreign cursor", "GET", ours + "/plays?cursor=zzz", "", 400, "cursor"},
		{"an unknown dimension", "GET", ours + "/tendencies?by=mood", "", 400, "mood"},
		{"nothing asked", "GET", ours + "/tendencies", "", 400, "by"},
		{"a call nobody can play", "POST", ours + "/calls",
			`{"name":"x","active":true,"body":{"name":"x","defenders":[{"name":"corner","side":"left","align":[],"rules":[]}]}}`,
			422, "side"},
		{"a picture with an unknown route", "POST", "/v1/stress", `{"call":"cover 2 spot","picture":"P1 zigzag@6"}`, 422,
			"zigzag"},
		{"a call that is not in the book", "POST", "/v1/stress", `{"call":"cover 9","picture":"P1 go"}`, 422, "cover 9"},
	} {
		resp, raw := c.do(tt.method, tt.path, tt.body)
		if resp.StatusCode != tt.status || !strings.Contains(raw, tt.word) {
			t.Errorf("%s: %d %s; want %d naming %q", tt.name, resp.StatusCode, raw, tt.status, tt.word)
		}
		var p struct{ Status int }
		if json.Unmarshal([]byte(raw), &p); p.Status != resp.StatusCode ||
			resp.Header.Get("Content-Type") != "application/problem+json" {
			t.Errorf("%s: the problem says %d as %s (RFC 9457: the same status)", tt.name, p.Status,
				resp.Header.Get("Content-Type"))
		}
	}
	if resp, _ := c.do("PATCH", ours+"/plays", ""); resp.Header.Get("Allow") == "" {
		t.Error("405 without Allow (RFC 9110, 15.5.6)")
	}
	if resp, raw := c.do("POST", ours+"/plays", play(""), "Content-Type", "text/plain"); resp.StatusCode != 415 {
		t.Errorf("text/plain: %d %s; want 415", resp.StatusCode, raw)
	}
	if resp, _ := c.do("POST", ours+"/plays", strings.Repeat(" ", 50<<20)); resp.StatusCode != 413 {
		t.Errorf("a body of 50 MB: %d; want 413", resp.StatusCode)
	}
	if n := len(c.must(200, "GET", ours+"/plays", "")["items"].([]any)); n != 0 {
		t.Errorf("%d plays were stored by refused requests", n)
	}
}

// TestPages follows RFC 8288 links and sees every row once.
func TestPages(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	for i := range 23 {
		c.must(201, "POST", ours+"/opponents", `{"code":"o`+string(rune('a'+i))+`","name":"Invented"}`)
	}
	seen, path := map[string]bool{}, ours+"/opponents?limit=5"
	for path != "" {
		resp, raw := c.do("GET", path, "")
		var page struct {
			Items []tags.Opponent
			Next  string `json:"next_cursor"`
		}
		json.Unmarshal([]byte(raw), &page)
		for _, o := range page.Items {
			if seen[o.Code] {
				t.Errorf("%s was visited twice", o.Code)
			}
			seen[o.Code] = true
		}
		link := resp.Header.Get("Link")
		if (link == "") != (page.Next == "") {
			t.Errorf("Link %q and next_cursor %q disagree", link, page.Next)
		}
		path, _, _ = strings.Cut(strings.TrimPrefix(link, "<"), ">")
	}
	if len(seen) != 23 {
		t.Errorf("visited %d of 23", len(seen))
	}
}

// TestContract compares the routes of the server with the paths of the document.
func TestContract(t *testing.T) {
	t.Parallel()
	store, _ := postgrestest.New(t)
	h, err := httpapi.New(store, slog.New(slog.NewTextHandler(io.Discard, nil)))
	if err != nil {
		t.Fatal(err)
	}
	doc, _ := openapi3.NewLoader().LoadFromData(api.Document)
	var served, written []string
	for _, r := range h.Routes() {
		if r.Method == echo.RouteNotFound || !strings.HasPrefix(r.Path, "/v1") && !slices.Contains([]string{"/healthz",
			"/readyz", "/openapi.yaml", "/openapi.json"}, r.Path) {
			continue // pages and their style are no API
		}
		parts := strings.Split(r.Path, "/")
		for i, p := range parts {
			if name, ok := strings.CutPrefix(p, ":"); ok {
				parts[i] = "{" + name + "}"
			}
		}
		served = append(served, r.Method+" "+strings.Join(parts, "/"))
	}
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			written = append(written, method+" "+path)
			if len(op.Tags) != 1 || doc.Tags.Get(op.Tags[0]) == nil {
				t.Errorf("%s %s: tags %v; want one of those that the document lists", method, path, op.Tags)
			}
		}
	}
	slices.Sort(served)
	slices.Sort(written)
	if !slices.Equal(served, written) {
		t.Errorf("router and document differ:\nserved  %v\nwritten %v", served, written)
	}
}

func TestTendenciesAndStress(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	game := c.season()
	for i := range 10 {
		c.must(201, "POST", ours+"/plays", `{"game_id":"`+game+`","number":`+string(rune('1'+i%9))+strings.Repeat("0", i/9)+
			`,`+smash+`}`)
	}
	ten := c.must(200, "GET", ours+"/tendencies?by=down,concept&within=down&opponent=o1", "")
	cell := ten["cells"].([]any)[0].(map[string]any)
	// 10 of 10: Wilson 0.722467 to 1 (published.md 1.1, CALC; SEEN-code as 0.7225).
	if cell["plays"] != 10.0 || cell["share_low"].(float64) < .722466 || cell["share_low"].(float64) > .722468 ||
		cell["share_high"] != 1.0 {
		t.Errorf("tendency cell %v", cell)
	}
	resp, csv := c.do("GET", ours+"/tendencies?by=down&format=csv", "")
	if !strings.HasPrefix(resp.Header.Get("Content-Type"), "text/csv") || !strings.HasPrefix(csv, "down,plays,") ||
		!strings.Contains(csv, "\r\n3,10,0,10,") {
		t.Errorf("CSV: %q", csv)
	}
	if empty := c.must(200, "GET", ours+"/opponents/o1/stress", ""); len(empty["calls"].([]any)) != 0 {
		t.Error("a board without calls has rows")
	}
	book := c.must(200, "GET", "/v1/book", "")["items"].([]any)
	for _, b := range book[:4] {
		body, _ := json.Marshal(b)
		c.must(201, "POST", ours+"/calls", `{"name":"`+b.(map[string]any)["name"].(string)+`","active":true,"body":`+
			string(body)+`}`)
	}
	board := c.must(200, "GET", ours+"/opponents/o1/stress?down=3", "")
	if n := len(board["calls"].([]any)); n != 4 || board["covered"] != 10.0 || board["need_yd"] != 6.0 {
		t.Errorf("board: %d calls, %v covered, %v needed; want 4, 10 and 6 (each is 3rd and 6)", n, board["covered"],
			board["need_yd"])
	}
	if pic := board["concepts"].([]any)[0].(map[string]any)["picture"]; pic != "P1 hitch@6, P2 corner@12" {
		t.Errorf("concept picture %v", pic)
	}
	one := c.must(200, "POST", "/v1/stress", `{"call":"cover 2 spot","picture":"P1 hitch@6, P2 corner@12"}`)
	// Smash puts the cover 2 corner between hitch and corner route: USA-SM, HW-SM, BR-CB.
	if f := one["findings"].([]any)[0].(map[string]any); f["defender"] != "strong corner" || f["kind"] != "high-low" {
		t.Errorf("smash against cover 2: %v", f)
	}
	full := c.must(200, "POST", "/v1/stress",
		`{"call":"quarters match","set_name":"3x1","picture":"P1 go, P2 seam, P3 `+
			`seam","hash":"left","timeline":true,"level":"college"}`)
	tl := full["timeline"].(map[string]any)
	frames := tl["frames"].([]any)
	if n := len(tl["offense"].([]any)) + len(tl["defense"].([]any)); n != 22 || len(frames) < 30 {
		t.Errorf("timeline: %d men, %d frames; want all twenty-two for more than three seconds", n, len(frames))
	}
	for _, a := range full["best_answer"].([]any) {
		if x := a.(map[string]any); x["best_yd"].(float64) > x["taught_yd"].(float64) {
			t.Errorf("best answer above as taught: %v", x)
		}
	}
	// Quarters has up to nine in the fit of a run: AFM-QR.
	run := c.must(200, "POST", "/v1/stress", `{"call":"quarters match","family":"rpo","picture":"P1 block, P2 bubble"}`)
	fit := run["run_fit"].(map[string]any)
	if n := len(fit["gaps"].([]any)) + len(fit["spare"].([]any)); n != 9 || len(fit["force"].([]any)) != 2 {
		t.Errorf("quarters against a run: %v; want nine men for six gaps", fit)
	}
	if f := run["findings"].([]any)[0].(map[string]any); f["kind"] != "run-pass" || f["instead"] == "" {
		t.Errorf("a bubble with a run: %v", f)
	}
	for _, format := range []string{"html", "csv", "json"} {
		if resp, raw := c.do("GET", ours+"/opponents/o1/report?format="+format, ""); resp.StatusCode != 200 ||
			!strings.Contains(raw, "smash") {
			t.Errorf("report as %s: %d %.200s", format, resp.StatusCode, raw)
		}
	}
}
