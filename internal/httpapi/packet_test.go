package httpapi_test

import (
	"fmt"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/google/uuid"

	"overhang/api"
	"overhang/internal/httpapi"
	"overhang/internal/staff"
)

// linked is a server behind its door with a week against o1, whose owner has signed in.
func linked(t *testing.T) (c *client, head *browser, at string) {
	t.Helper()
	c, s := guarded(t)
	c.person(s, "ours", "head", staff.Owner).smashes()
	head = browse(t, c.url)
	head.post(200, "/sign-in", url.Values{"login": {"head"}, "password": {password}})
	return c, head, ours + "/opponents/o1"
}

var packetKey = regexp.MustCompile(`/packet\?key=(overhang_[\w-]+)`)

// link makes a link for the corners.
func (b *browser) link(at string) (key, id string) {
	b.t.Helper()
	made := b.json(201, "POST", at+"/packet-links", `{"group":"corner"}`)
	key = packetKey.FindStringSubmatch(made)[1]
	return key, regexp.MustCompile(`"id":"([0-9a-f-]{36})"`).FindStringSubmatch(made)[1]
}

// TestPacketLink: who has a link reads the group's packet without signing in, and nothing else
// of the program: every operation of the document answers 401 to the key, as a token and in the
// query, and the page leads nowhere.
func TestPacketLink(t *testing.T) {
	c, head, at := linked(t)
	key, _ := head.link(at)
	phone := browse(t, c.url)
	page := phone.get("/packet?key=" + key)
	for what, want := range map[string]string{"the packet": "Position packet: Invented opponent",
		"the group": `<h2 dir="auto">Corner`,
		"the quiz":  "Who do you have?", "its end": "works until"} {
		if !strings.Contains(page, want) {
			t.Errorf("%s: the page lacks %q", what, want)
		}
	}
	for _, m := range regexp.MustCompile(`(?:href|src|action)="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		if !strings.HasPrefix(m[1], "/assets/") && !strings.HasPrefix(m[1], "#") {
			t.Errorf("the page leads to %s", m[1])
		}
	}
	for _, other := range []string{"safety\"", "/programs/", "head</", "Sign"} {
		if strings.Contains(page, other) {
			t.Errorf("the page tells %q", other)
		}
	}
	doc, err := openapi3.NewLoader().LoadFromData(api.Document)
	if err != nil {
		t.Fatal(err)
	}
	asked := 0
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			if op.Security != nil && len(*op.Security) == 0 || !strings.HasPrefix(path, "/v1/") {
				continue
			}
			where := strings.NewReplacer("{program}", "ours", "{opponent}", "o1").Replace(path)
			where = regexp.MustCompile(`\{\w+\}`).ReplaceAllString(where, "018f2c3d-0000-7000-8000-000000000000")
			for _, header := range []string{"", "Bearer " + key} {
				asked++
				if resp, raw := c.do(method, where+"?key="+key, "", "Authorization", header); resp.StatusCode != 401 {
					t.Errorf("%s %s with %q: %d %s", method, where, header, resp.StatusCode, raw)
				}
			}
		}
	}
	phone.get("/programs/ours/opponents/o1/print?key=" + key)
	if !strings.HasPrefix(phone.at, "/sign-in") {
		t.Errorf("a page of the program is shown at %s", phone.at)
	}
	t.Logf("%d requests with the key", asked)
}

// TestPacketLinkEnds: with its time, by hand, with its maker; an owner ends anybody's, a
// coordinator their own; a token and an analyst make none.
func TestPacketLinkEnds(t *testing.T) {
	c, s := guarded(t)
	c.person(s, "ours", "head", staff.Owner).smashes()
	token := c.person(s, "ours", "dc", staff.Coordinator)
	c.person(s, "ours", "ana", staff.Analyst)
	const at = ours + "/opponents/o1"
	as := func(login string) *browser {
		b := browse(t, c.url)
		b.post(200, "/sign-in", url.Values{"login": {login}, "password": {password}})
		return b
	}
	head, dc, ana, phone := as("head"), as("dc"), as("ana"), browse(t, c.url)
	opens := func(key string, want int) {
		t.Helper()
		req, _ := http.NewRequest("GET", c.url+"/packet?key="+key, nil)
		phone.do(req, want)
	}
	token.must(403, "POST", at+"/packet-links", `{"group":"corner"}`)
	ana.json(403, "POST", at+"/packet-links", `{"group":"corner"}`)
	ana.post(403, "/programs/ours/opponents/o1/players", url.Values{"do": {"make"}, "group": {"corner"}, "days": {"7"}})
	dc.json(422, "POST", at+"/packet-links", `{"group":"goalkeeper"}`)
	dc.json(422, "POST", at+"/packet-links", `{"group":"corner","days":8}`)
	mine, myID := head.link(at)
	his, hisID := dc.link(at)
	opens(mine, 200)
	opens(his, 200)
	dc.json(404, "DELETE", ours+"/packet-links/"+myID, "")
	head.json(204, "DELETE", ours+"/packet-links/"+hisID, "")
	opens(his, 404)
	opens(mine, 200)
	his, _ = dc.link(at)
	p := must(s.Program(t.Context(), "ours"))
	var dcID string
	for _, m := range must(s.Members(t.Context(), p.ID)) {
		if m.Login == "dc" {
			dcID = m.ID.String()
		}
	}
	head.json(204, "PUT", ours+"/staff/"+dcID, `{"role":"analyst"}`)
	opens(his, 404)
	head.json(204, "PUT", ours+"/staff/"+dcID, `{"role":"coordinator"}`)
	opens(his, 404) // not his way back
	o := must(s.OpponentByCode(t.Context(), p.ID, "o1"))
	old := staff.PacketLink{Program: p.ID, Opponent: o.ID, Group: "corner"}
	_, late, err := s.MakePacketLink(t.Context(), old, -time.Second)
	if err != nil {
		t.Fatal(err)
	}
	opens(late, 404)
	opens("overhang_made-up", 404)
	list := head.get(at + "/packet-links")
	if strings.Count(list, `"stands":true`) != 1 || strings.Contains(list, mine) {
		t.Errorf("the links: %s", list)
	}
	if page := head.get("/programs/ours/opponents/o1/players"); strings.Count(page, "End the link") != 1 {
		t.Errorf("the page's links: %s", page)
	}
	made := head.post(200, "/programs/ours/opponents/o1/players", url.Values{"do": {"make"}, "group": {"corner"},
		"days": {"2"}})
	shown := packetKey.FindStringSubmatch(html.UnescapeString(made))
	if shown == nil {
		t.Fatalf("no link on the page: %s", made)
	}
	opens(shown[1], 200)
}

// TestQuizAnswers: the first answer of a number counts, the server judges it, the staff sees
// rules by position and number, another program nothing.
func TestQuizAnswers(t *testing.T) {
	c, s := guarded(t)
	c.person(s, "ours", "head", staff.Owner).smashes()
	other := c.person(s, "theirs", "ben", staff.Owner)
	other.must(201, "POST", "/v1/programs/theirs/opponents", `{"code":"o1","name":"Other"}`)
	head := browse(t, c.url)
	head.post(200, "/sign-in", url.Values{"login": {"head"}, "password": {password}})
	const at = ours + "/opponents/o1"
	key, _ := head.link(at)
	page := html.UnescapeString(browse(t, c.url).get("/packet?key=" + key))
	q := regexp.MustCompile(`data-id="([0-9a-f]+)" data-runs="[^"]*" data-own="\[(\d+)[,\]]`).FindStringSubmatch(page)
	if q == nil {
		t.Fatalf("no question with an answer: %q", regexp.MustCompile(`data-own="[^"]*"`).FindAllString(page, -1))
	}
	send := func(want int, jersey, receiver string) {
		t.Helper()
		body := fmt.Sprintf(`{"key":"%s","question":"%s","jersey":"%s","receiver":%s}`, key, q[1], jersey, receiver)
		if resp, raw := c.do("POST", "/v1/packet/answers", body); resp.StatusCode != want {
			t.Errorf("%s of %s: %d, want %d: %s", receiver, jersey, resp.StatusCode, want, raw)
		}
	}
	send(204, "7", "-1")
	send(204, "7", q[2]) // too late
	send(204, "21", q[2])
	send(422, "Smith", q[2])
	send(422, "8", "9")
	missed := head.get(at + "/missed-rules")
	if !strings.Contains(missed, `"answered":2,"missed":1,"share":0.5`) ||
		!strings.Contains(missed, `"jerseys":["7"]`) {
		t.Errorf("missed: %s", missed)
	}
	if room := head.get("/programs/ours/opponents/o1/players"); !strings.Contains(room, "1 of 2") {
		t.Errorf("the staff's page: %s", room)
	}
	_, raw := other.do("GET", "/v1/programs/theirs/opponents/o1/missed-rules", "")
	if !strings.Contains(raw, `"items":[]`) {
		t.Errorf("another program sees %s", raw)
	}
	other.must(404, "GET", at+"/missed-rules", "")
	// Through the walls a program finds no link of another.
	w := behindWalls(t, s)
	if _, _, err := w.PacketLink(t.Context(), key); err == nil {
		t.Error("the server's role finds a link without its program")
	}
	p := must(s.Program(t.Context(), "ours"))
	for _, ls := range [][]staff.PacketLink{must(w.PacketLinks(t.Context(), p.ID, uuid.Nil))} {
		if len(ls) > 0 {
			t.Errorf("links through the wall: %v", ls)
		}
	}
}

// TestPlayersPaced: made-up keys from one address are refused once they come too fast.
func TestPlayersPaced(t *testing.T) {
	_, s := guarded(t)
	paced := clientFor(t, behindWalls(t, s), httpapi.WithLogin(s), httpapi.WithRates())
	last := 0
	for range 340 { // more than the burst of writes
		resp, _ := paced.do("POST", "/v1/packet/answers", `{"key":"x","question":"x","jersey":"1","receiver":-1}`)
		if last = resp.StatusCode; last == 429 {
			break
		}
	}
	if last != 429 {
		t.Errorf("340 made-up keys: %d at last, want 429 (RFC 6585, section 4)", last)
	}
}
