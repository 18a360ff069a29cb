package httpapi_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"overhang/api"
	"overhang/internal/demo"
	"overhang/internal/staff"
)

var update = flag.Bool("update", false, "write the examples of the document anew")

// TestExamplesOfAll: every operation of the document has an example of what it is sent, or
// answers, or is asked with; with -update those are made anew from the invented season. That
// each fits its schema is the contract's own test.
func TestExamplesOfAll(t *testing.T) {
	if *update {
		rewrite(t, samples(t).kept)
		return
	}
	doc, err := openapi3.NewLoader().LoadFromData(api.Document)
	if err != nil {
		t.Fatal(err)
	}
	used, size := map[string]bool{}, 0
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			if !exampled(item, op, used) {
				t.Errorf("%s %s (%s) has no example", method, path, op.OperationID)
			}
		}
	}
	for name, x := range doc.Components.Examples {
		raw, _ := json.Marshal(x.Value.Value)
		if size += len(raw); len(raw) > longestExample {
			t.Errorf("the example %s has %d bytes; at most %d, please", name, len(raw), longestExample)
		}
		if !used[name] {
			t.Errorf("the example %s is shown nowhere", name)
		}
	}
	if size > allExamples {
		t.Errorf("the examples have %d bytes; at most %d, please", size, allExamples)
	}
	t.Logf("%d examples, %d bytes", len(doc.Components.Examples), size)
}

// exampled reports whether an operation shows what it is sent or answers, or else an example
// of each parameter it must have; the names of the examples are added to used.
func exampled(item *openapi3.PathItem, op *openapi3.Operation, used map[string]bool) (any bool) {
	look := func(c openapi3.Content) {
		for _, m := range c {
			for _, x := range m.Examples {
				used[x.Ref[strings.LastIndex(x.Ref, "/")+1:]] = true
				any = true
			}
		}
	}
	if op.RequestBody != nil {
		look(op.RequestBody.Value.Content)
	}
	for _, r := range op.Responses.Map() {
		look(r.Value.Content)
	}
	params, all := append(append(openapi3.Parameters{}, item.Parameters...), op.Parameters...), true
	for _, p := range params {
		all = all && (!p.Value.Required || p.Value.Example != nil)
	}
	return any || len(params) > 0 && all
}

// A signedIn asks as the owner of the invented season.
type signedIn struct {
	*sampler
	cookie string
}

const ofDemo = "/v1/programs/demo"

func (s *signedIn) call(method, path, body string, header ...string) (map[string]any, string) {
	s.t.Helper()
	return s.ask(method, path, body, append(header, "Cookie", s.cookie)...)
}

// first asks for a list and returns its first item's identity.
func (s *signedIn) first(path string) string {
	s.t.Helper()
	got, _ := s.call("GET", path, "")
	items, _ := got["items"].([]any)
	if len(items) == 0 {
		s.t.Fatalf("%s is empty", path)
	}
	id, _ := items[0].(map[string]any)["id"].(string)
	return id
}

// samples asks a server with the invented season everything once.
func samples(t *testing.T) *sampler {
	c, store := guarded(t)
	if err := demo.Load(t.Context(), store); err != nil {
		t.Fatal(err)
	}
	c.person(store, "demo", "head", staff.Owner)
	c.person(store, "demo", "helper", staff.Analyst)
	b := browse(t, c.url)
	b.post(200, "/sign-in", url.Values{"login": {"head"}, "password": {password}})
	s := &signedIn{&sampler{client: c, kept: map[string]any{}, names: map[string]string{}}, "overhang=" +
		b.cookies["overhang"].Value}
	s.questions()
	s.engine()
	s.nouns()
	s.history()
	s.plansAndSheets()
	s.people(c)
	return s.sampler
}

// questions are asked of plays; nothing is stored.
func (s *signedIn) questions() {
	for _, path := range []string{"/healthz", "/readyz", "/v1/programs", "/v1/me", "/v1/book",
		ofDemo + "/tendencies?by=down,distance_band&opponent=alder", ofDemo + "/tells?opponent=alder",
		ofDemo + "/snaps?opponent=alder&down=3&concept=flood", ofDemo + "/trend?opponent=alder",
		ofDemo + "/estimates?chain=down,distance_band,hash&opponent=alder",
		ofDemo + "/depths?opponent=alder", "likeness", "concepts", "concept-suggestions", "stress?down=3", "report",
		"reports/stress?down=3", "reports/opponent?down=3", ofDemo + "/reports/self-scout", "sheets/call",
		"answers?call=cover+2+spot&concept=flood", "sweeps/break?call=cover+2+spot&concept=flood&receiver=P2",
		"sweeps/alignment?call=cover+2+spot&concept=flood&defender=strong+corner"} {
		if !strings.HasPrefix(path, "/") {
			path = ofDemo + "/opponents/alder/" + path
		}
		s.call("GET", path, "")
	}
}

// engine asks without a database.
func (s *signedIn) engine() {
	const smash = `{"call": "cover 2 spot", "set_name": "2x2", "picture": "P1 hitch@5, P2 corner@12"}`
	s.call("POST", "/v1/stress", smash)
	s.call("POST", "/v1/drawing", smash)
	s.call("POST", "/v1/answers", smash)
	s.call("POST", "/v1/sweeps/alignment?defender=strong+corner", smash)
	s.call("POST", "/v1/sweeps/break?receiver=P2", smash)
	s.call("POST", ofDemo+"/opponents/alder/try",
		`{"call": "cover 2 spot", "concept": "flood", "set_name": "3x1", "family": "dropback"}`)
}

// again replaces a noun by itself, with its ETag: by what of it the document lets be sent.
func (s *signedIn) again(path string) {
	s.t.Helper()
	got, _ := s.call("GET", path, "")
	req, _ := http.NewRequest("PUT", s.url+path, nil)
	route, _, err := s.router.FindRoute(req)
	if err != nil {
		s.t.Fatal(err)
	}
	sent := map[string]any{}
	for name := range route.Operation.RequestBody.Value.Content["application/json"].Schema.Value.Properties {
		if v, ok := got[name]; ok {
			sent[name] = v
		}
	}
	raw, _ := json.Marshal(sent)
	s.call("PUT", path, string(raw), "If-Match", got["etag"].(string))
}

// made stores a noun, replaces it, and deletes another of its kind.
func (s *signedIn) made(path, body, other string) (at string) {
	s.t.Helper()
	_, at = s.call("POST", ofDemo+path, body)
	s.call("GET", ofDemo+path, "")
	s.again(at)
	got, gone := s.call("POST", ofDemo+path, other)
	s.call("DELETE", gone, "", "If-Match", got["etag"].(string))
	return at
}

// nouns stores one of each kind.
func (s *signedIn) nouns() {
	last := func(at string) string { return at[strings.LastIndex(at, "/")+1:] }
	s.again(ofDemo)
	s.made("/seasons", `{"label": "2032 (invented)"}`, `{"label": "2033 (invented)"}`)
	opponent := last(s.made("/opponents", `{"code": "heron", "name": "Heron (invented)"}`,
		`{"code": "wren", "name": "Wren (invented)"}`))
	game := func(n int) string {
		return fmt.Sprintf(`{"opponent_id": "%s", "label": "week %d at Heron", "week": %d}`, opponent, n, n)
	}
	g := s.made("/games", game(3), game(4))
	film := func(name string) string {
		return fmt.Sprintf(`{"game_id": "%s", "location": "week3/%s.mp4", "angle": "high"}`, last(g), name)
	}
	f := s.made("/films", film("first-half"), film("second-half"))
	play := func(n int) string {
		return fmt.Sprintf(`{"game_id": "%s", "number": %d, %s}`, last(g), n, `"status": "counted", "quarter": 1,
"down": 3, "distance_yd": 6, "yards_to_goal": 55, "hash": "left", "personnel": "11", "set_name": "2x2",
"called": "pass", "family": "dropback", "concept": "smash", "play_side": "left", "result": "complete", "gain_yd": 8,
"routes": [{"side": "left", "number": 1, "eligible": "receiver", "route": "hitch", "break_depth_yd": 6},
{"side": "left", "number": 2, "eligible": "receiver", "route": "corner", "break_depth_yd": 12, "targeted": true}]`)
	}
	s.made("/plays", play(1), play(2))
	clip := func(n int) string {
		return fmt.Sprintf(`{"film_id": "%s", "number": %d, "start_s": %d.5, "end_s": %d}`, last(f), n, n*40, n*40+9)
	}
	k := s.made("/clips", clip(1), clip(2))
	s.call("POST", f+"/clips", "number,start_s,end_s\r\n3,120,131.5\r\n4,160,168\r\n", "Content-Type", "text/csv")
	s.call("GET", f+"/clips", "")
	s.blindTags(last(k))
	s.made("/words", `{"field": "concept", "word": "heron special"}`, `{"field": "concept", "word": "wren special"}`)
	s.calls()
	sheet := "Down,Dist,Play,Gain\r\n1,10,IZ,4\r\n2,6,Smash,8\r\n"
	const query = "?name=week3.csv&opponent=heron&game=week+5"
	s.call("POST", ofDemo+"/imports/proposals"+query, sheet, "Content-Type", "application/octet-stream")
	s.call("POST", ofDemo+"/imports"+query, sheet, "Content-Type", "application/octet-stream")
	s.call("GET", g+"/next", "")
	s.call("GET", g+"/check", "")
}

func (s *signedIn) blindTags(clip string) {
	seen := func(who string, down int) string {
		return fmt.Sprintf(`{"clip_id": "%s", "analyst": "%s", "tags": {"down": %d, "called": "run", "gain_yd": 4}}`, clip,
			who, down)
	}
	_, at := s.call("POST", ofDemo+"/blind-tags", seen("head", 1))
	s.call("GET", ofDemo+"/blind-tags?analyst=head", "")
	s.again(at)
	got, gone := s.call("POST", ofDemo+"/blind-tags", seen("third", 1))
	s.call("DELETE", gone, "", "If-Match", got["etag"].(string))
	s.call("POST", ofDemo+"/blind-tags", seen("helper", 2))
	s.call("GET", ofDemo+"/agreement", "")
	s.call("POST", ofDemo+"/clips/"+clip+"/settle", `{"number": 9, "choices": {"down": "head"}}`)
}

func (s *signedIn) calls() {
	_, raw := s.do("GET", "/v1/book", "", "Cookie", s.cookie)
	var book struct{ Items []map[string]any }
	json.Unmarshal([]byte(raw), &book)
	named := func(name string) string {
		c := book.Items[0]
		c["name"] = name
		body, _ := json.Marshal(map[string]any{"name": name, "active": false, "body": c})
		return string(body)
	}
	at := s.made("/calls", named("heron call"), named("wren call"))
	s.call("GET", at+"/versions", "")
}

// history edits, undoes, merges, restores and purges.
func (s *signedIn) history() {
	got, _ := s.call("GET", ofDemo+"/plays?down=3", "")
	p := got["items"].([]any)[0].(map[string]any)
	edit := fmt.Sprintf(`{"plays": [{"id": "%s", "version": %v}], "set": {"hash": "right"}, "apply": true}`, p["id"],
		p["version"])
	done, _ := s.call("POST", ofDemo+"/play-edits", edit)
	change := ofDemo + "/changes/" + done["change_id"].(string)
	s.call("GET", change, "")
	s.call("GET", ofDemo+"/plays/"+p["id"].(string)+"/history", "")
	s.call("POST", change+"/undo", "")
	s.call("POST", ofDemo+"/merges", `{"field": "concept", "word": "heron special", "into": "smash"}`)
	s.call("GET", ofDemo+"/merges", "")
	s.call("POST", ofDemo+"/deletions/"+s.first(ofDemo+"/deletions")+"/restore", "")
	s.call("DELETE", ofDemo+"/deletions/"+s.first(ofDemo+"/deletions"), "")
	s.call("DELETE", ofDemo+"/deletions?older_than_days=365", "")
}

func (s *signedIn) plansAndSheets() {
	got, _ := s.call("GET", ofDemo+"/opponents?code=alder", "")
	alder := got["items"].([]any)[0].(map[string]any)["id"]
	plan := func(label string) string { return fmt.Sprintf(`{"opponent_id": "%s", "label": "%s"}`, alder, label) }
	got, at := s.call("POST", ofDemo+"/plans", plan("first thoughts"))
	s.call("GET", ofDemo+"/plans", "")
	s.call("GET", at, "")
	got, _ = s.call("PUT", at, `{"label": "second thoughts", "choices": []}`, "If-Match", got["etag"].(string))
	got, _ = s.call("POST", at+"/refresh", "", "If-Match", got["etag"].(string))
	s.call("POST", at+"/lock", "", "If-Match", got["etag"].(string))
	s.call("GET", at+"/review", "")
	got, gone := s.call("POST", ofDemo+"/plans", plan("third thoughts"))
	s.call("DELETE", gone, "", "If-Match", got["etag"].(string))
}

// people lets in and out.
func (s *signedIn) people(c *client) {
	got, _ := s.call("GET", ofDemo+"/staff", "")
	for _, m := range got["items"].([]any) {
		if x := m.(map[string]any); x["login"] == "helper" {
			at := ofDemo + "/staff/" + x["id"].(string)
			s.call("PUT", at, `{"role": "coordinator"}`)
			s.call("DELETE", at, "")
		}
	}
	s.call("POST", ofDemo+"/staff", `{"login": "fourth", "role": "analyst"}`)
	s.call("DELETE", ofDemo+"/invitations/"+s.first(ofDemo+"/invitations"), "")
	s.call("POST", ofDemo+"/tokens", `{"label": "weekly script", "role": "reader", "days": 90}`)
	s.call("DELETE", ofDemo+"/tokens/"+s.first(ofDemo+"/tokens"), "")
	s.call("PUT", ofDemo+"/association", `{"open": true}`)
	s.call("PUT", ofDemo+"/shares/demo", "")
	s.call("GET", ofDemo+"/shares", "")
	s.call("GET", ofDemo+"/league?by=down,called", "")
	s.call("DELETE", ofDemo+"/shares/demo", "")
	const at = ofDemo + "/opponents/alder"
	made, _ := s.call("POST", at+"/packet-links", `{"group": "corner", "days": 3}`)
	key := packetKey.FindStringSubmatch(made["link"].(string))[1]
	page := html.UnescapeString(browse(s.t, c.url).get("/packet?key=" + key))
	q := regexp.MustCompile(`data-id="([0-9a-f]+)" data-runs="[^"]*" data-own="\[(\d+)[,\]]`).FindStringSubmatch(page)
	s.call("POST", "/v1/packet/answers", fmt.Sprintf(`{"key":"%s","question":"%s","jersey":"7","receiver":-1}`, key,
		q[1]))
	s.call("GET", at+"/missed-rules", "")
	s.call("DELETE", ofDemo+"/packet-links/"+s.first(at+"/packet-links"), "")
}
