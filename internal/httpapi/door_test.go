package httpapi_test

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/google/uuid"

	"overhang/api"
	"overhang/internal/httpapi"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

const password = "correct horse battery staple"

// guarded starts the server as cmd/api does: behind its door and its walls.
func guarded(t *testing.T) (*client, *postgres.Store) {
	t.Helper()
	store, _ := postgrestest.New(t)
	return clientFor(t, behindWalls(t, store), httpapi.WithLogin(store)), store
}

// behindWalls is the store as the server has it: a connection sees one program only.
func behindWalls(t testing.TB, store *postgres.Store) *postgres.Store {
	t.Helper()
	walled, err := store.Walled(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(walled.Close)
	return walled
}

// person makes somebody with a role in a program, and a client with the token.
func (c *client) person(s *postgres.Store, code, login string, role staff.Role) *client {
	c.t.Helper()
	own := *c
	own.token = tokenOf(c.t, s, code, login, role)
	return &own
}

// tokenOf makes somebody with a role in a program, and a token of theirs.
func tokenOf(t testing.TB, s *postgres.Store, code, login string, role staff.Role) (secret string) {
	t.Helper()
	ctx := context.Background()
	p, err := s.EnsureProgram(ctx, tags.Program{Code: code, Name: "Invented " + code, Level: "high_school",
		Invented: true})
	if err != nil {
		t.Fatal(err)
	}
	inv, err := s.Invite(ctx, staff.Invitation{Program: uuid.NullUUID{UUID: p.ID, Valid: true}, Login: &login, Role: role})
	if err == nil {
		_, err = s.Accept(ctx, inv, "", login, password, nil)
	}
	if err != nil {
		t.Fatal(err)
	}
	ms, _ := s.Members(ctx, p.ID)
	i := slices.IndexFunc(ms, func(m staff.Member) bool { return m.Login == login })
	_, secret, err = s.MakeToken(ctx, p.ID, staff.Token{Person: ms[i].ID, Label: "test", Role: role,
		ExpiresAt: time.Now().Add(time.Hour)})
	if err != nil {
		t.Fatal(err)
	}
	return secret
}

// TestFirstOwner goes the way of a fresh server: an invitation, a program, a
// session, a colleague, out again.
func TestFirstOwner(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	ctx := t.Context()
	c.must(401, "GET", "/v1/programs", "")
	c.must(401, "GET", ours+"/plays", "")
	c.must(401, "GET", "/v1/programs/no-such/plays", "")
	c.must(401, "POST", "/v1/stress", `{}`)
	c.person(s, "theirs", "stranger", staff.Owner)
	head := "head"
	inv, err := s.Invite(ctx, staff.Invitation{Role: staff.Owner, Login: &head})
	if err != nil {
		t.Fatal(err)
	}
	b := browse(t, c.url)
	if page := b.get("/"); !strings.Contains(page, "Sign in") || b.at != "/sign-in?to=%2F" {
		t.Fatalf("a stranger is shown %s: %s", b.at, page)
	}
	if page := b.get("/join?invitation=" + inv); !strings.Contains(page, `name="program_code"`) {
		t.Fatalf("no form to make a program: %s", page)
	}
	form := url.Values{"invitation": {inv}, "login": {"Head"}, "name": {"Invented head"}, "password": {"short"},
		"program_code": {"fresh"}, "program_name": {"Fresh & new"}, "level": {"high_school"}}
	if page := b.post(422, "/join", form); !strings.Contains(page, "15 or more characters") ||
		strings.Contains(page, "short") {
		t.Errorf("a short password: %s", page)
	}
	form.Set("password", password)
	form.Set("name", "\u200b") // UAX 44: default ignorable, nobody sees it in the list of the staff
	if page := b.post(422, "/join", form); !strings.Contains(page, "shows nothing") {
		t.Errorf("a name that nobody sees: %s", page)
	}
	form.Set("name", "Invented head")
	form.Set("program_code", "Not A Code")
	b.post(422, "/join", form)
	form.Set("program_code", "theirs") // has an owner: an invitation of a first owner does not open it
	if page := b.post(422, "/join", form); !strings.Contains(page, "is taken") {
		t.Errorf("another's program: %s", page)
	}
	form.Set("program_code", "fresh")
	form.Set("field_goal_yd", "ninety")
	if page := b.post(422, "/join", form); !strings.Contains(page,
		`Longest field goal tried: &#34;ninety&#34; is not a number`) || !strings.Contains(page, `value="ninety"`) {
		t.Errorf("a field goal from ninety: %s", page)
	}
	for field, v := range map[string]string{"field_goal_yd": "40", "punt_net_yd": "33", "go_for_it": "yes"} {
		if !strings.Contains(b.get("/join?invitation="+inv), `name="`+field+`"`) {
			t.Errorf("the first run does not ask for %s", field)
		}
		form.Set(field, v)
	}
	if page := b.post(200, "/join", form); b.at != "/" || !strings.Contains(page, "Fresh &amp; new") {
		t.Fatalf("after joining at %s: %s", b.at, page)
	}
	b.post(404, "/join", form) // used up
	if p := b.get("/v1/programs/fresh"); !strings.Contains(p, `"field_goal_yd":40,"punt_net_yd":33,"go_for_it":true`) {
		t.Errorf("what ends a drive is not kept: %s", p)
	}
	if me := b.get("/v1/me"); !strings.Contains(me, `"login":"head"`) {
		t.Errorf("who am I: %s", me)
	}
	if ps := b.get("/v1/programs"); strings.Contains(ps, `"ours"`) || !strings.Contains(ps, `"fresh"`) {
		t.Errorf("programs of the first owner: %s", ps)
	}
	link := regexp.MustCompile(`/join\?invitation=[\w-]+`).FindString(b.json(201, "POST", "/v1/programs/fresh/staff",
		`{"login":"helper","role":"analyst"}`))
	other := browse(t, c.url)
	if page := other.get(link); !strings.Contains(page, `value="helper"`) || !strings.Contains(page, "Fresh &amp; new") {
		t.Errorf("the colleague's page: %s", page)
	}
	_, key, _ := strings.Cut(link, "=")
	other.post(200, "/join", url.Values{"invitation": {key}, "name": {"Invented helper"}, "password": {password + "!"}})
	other.json(403, "POST", "/v1/programs/fresh/staff", `{"role":"owner"}`) // an analyst lets nobody in
	b.post(200, "/sign-out", nil)
	if b.get("/"); b.at != "/sign-in?to=%2F" {
		t.Errorf("signed out, yet at %s", b.at)
	}
	b.post(422, "/sign-in", url.Values{"login": {"head"}, "password": {"wrong"}})
	b.post(422, "/sign-in", url.Values{"login": {"nobody"}, "password": {"wrong"}})
	for _, to := range []string{"//evil.example", "https://evil.example", "/\\evil.example", "javascript:alert(1)"} {
		b.post(200, "/sign-in", url.Values{"login": {"HEAD"}, "password": {password}, "to": {to}})
		if b.at != "/" {
			t.Errorf("after signing in with to=%s at %s", to, b.at)
		}
	}
}

// TestStaffPage does by forms what the API does, with the same limits.
func TestStaffPage(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	c.person(s, "ours", "head", staff.Owner)
	c.person(s, "ours", "ana", staff.Analyst)
	const at = "/programs/ours/staff"
	b, ana := browse(t, c.url), browse(t, c.url)
	b.post(200, "/sign-in", url.Values{"login": {"head"}, "password": {password}, "to": {at}})
	ana.post(200, "/sign-in", url.Values{"login": {"ana"}, "password": {password}})
	page := b.get(at)
	id := func(login string) string {
		p, _ := s.Program(t.Context(), "ours")
		ms, _ := s.Members(t.Context(), p.ID)
		return ms[slices.IndexFunc(ms, func(m staff.Member) bool { return m.Login == login })].ID.String()
	}
	if b.at != at || !strings.Contains(page, "head (you)") || !strings.Contains(page, id("ana")) {
		t.Errorf("the page at %s: %s", b.at, page)
	}
	link := regexp.MustCompile(`/join\?invitation=[\w-]+`).FindString(b.post(200, at, url.Values{"do": {"invite"},
		"login": {"new"}, "role": {"reader"}}))
	if guest := browse(t, c.url).get(link); !strings.Contains(guest, "as reader") {
		t.Errorf("the link of the page: %s", guest)
	}
	for form, want := range map[string]int{"do=invite&role=owner": 403, "do=remove&id=" + id("head"): 403,
		"do=token&label=x&role=owner&days=3":    422,
		"do=token&label=x&role=reader&days=999": 422, "do=token&role=reader&days=3": 422, "do=dance": 403} {
		values, _ := url.ParseQuery(form)
		ana.post(want, at, values)
	}
	if page := ana.post(200, at, url.Values{"do": {"token"}, "label": {"mine"}, "role": {"reader"},
		"days": {"3"}}); !regexp.MustCompile(`<code>overhang_[\w-]{43}</code>`).MatchString(page) {
		t.Errorf("no token on the page: %s", page)
	}
	if page := ana.get(at); strings.Contains(page, "overhang_") || strings.Contains(page, "Invite somebody") ||
		!strings.Contains(page, "mine") {
		t.Errorf("an analyst's page: %s", page)
	}
	b.post(422, at, url.Values{"do": {"remove"}, "id": {id("head")}}) // the last owner
	b.post(200, at, url.Values{"do": {"role"}, "id": {id("ana")}, "role": {"coordinator"}})
	b.post(200, at, url.Values{"do": {"remove"}, "id": {id("ana")}})
	ana.do(func() *http.Request { r, _ := http.NewRequest("GET", c.url+at, nil); return r }(), 404)
}

// TestLostPassword: an owner's invitation gives nobody another's login; the one of
// the administrator does, and ends the old sessions.
func TestLostPassword(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	c.person(s, "ours", "victim", staff.Reader)
	b := browse(t, c.url)
	b.post(200, "/sign-in", url.Values{"login": {"victim"}, "password": {password}})
	p, _ := s.Program(t.Context(), "ours")
	login := "victim"
	for _, resets := range []bool{false, true} {
		inv, err := s.Invite(t.Context(), staff.Invitation{Program: uuid.NullUUID{UUID: p.ID, Valid: true}, Login: &login,
			Role: staff.Reader, Resets: resets})
		if err != nil {
			t.Fatal(err)
		}
		want := map[bool]int{false: 422, true: 200}[resets]
		browse(t, c.url).post(want, "/join", url.Values{"invitation": {inv}, "name": {"x"},
			"password": {"quite another sentence"}})
	}
	if b.get("/"); b.at != "/sign-in?to=%2F" {
		t.Error("the old session still stands")
	}
	b.post(422, "/sign-in", url.Values{"login": {"victim"}, "password": {password}})
	b.post(200, "/sign-in", url.Values{"login": {"victim"}, "password": {"quite another sentence"}})
}

// TestBruteForce: after five tries a login has to wait, whoever guesses right.
func TestBruteForce(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	c.person(s, "ours", "victim", staff.Owner)
	b := browse(t, c.url)
	for range 5 {
		b.post(422, "/sign-in", url.Values{"login": {"victim"}, "password": {"guess guess guess"}})
	}
	b.post(429, "/sign-in", url.Values{"login": {"Victim"}, "password": {password}}) // RFC 6585 section 4
}

// TestForgery: a page of another site cannot use the session (Fetch Metadata,
// W3C; SameSite, RFC 6265bis).
func TestForgery(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	c.person(s, "ours", "victim", staff.Owner)
	b := browse(t, c.url)
	b.post(200, "/sign-in", url.Values{"login": {"victim"}, "password": {password}})
	k := b.cookies["overhang"]
	if k == nil || !k.HttpOnly || k.SameSite != http.SameSiteLaxMode || k.Path != "/" {
		t.Errorf("cookie %+v", k)
	}
	// By another name than this machine's the cookie is for HTTPS alone, and bound to that host.
	far, _ := http.NewRequest("POST", c.url+"/sign-in", strings.NewReader(url.Values{"login": {"victim"},
		"password": {password}}.Encode()))
	far.Host = "staff.example"
	far.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	resp, err := http.DefaultTransport.RoundTrip(far)
	if err != nil {
		t.Fatal(err)
	}
	resp.Body.Close()
	if ks := resp.Cookies(); len(ks) != 1 || ks[0].Name != "__Host-overhang" || !ks[0].Secure || !ks[0].HttpOnly ||
		ks[0].Path != "/" || ks[0].Domain != "" {
		t.Errorf("cookie by another name: %v", ks)
	}
	for _, h := range [][]string{{"Sec-Fetch-Site", "cross-site"}, {"Sec-Fetch-Site", "same-site"},
		{"Origin", "https://evil.example"}} {
		if resp, raw := c.do("POST", ours+"/opponents", `{"code":"x","name":"x"}`, "Cookie", "overhang="+k.Value, h[0],
			h[1]); resp.StatusCode != 403 {
			t.Errorf("%v: %d %s", h, resp.StatusCode, raw)
		}
	}
	c.must(201, "POST", ours+"/opponents", `{"code":"x","name":"x"}`, "Cookie", "overhang="+k.Value, "Sec-Fetch-Site",
		"same-origin")
}

// TestRoles: what each role may do, by the document's word.
func TestRoles(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	byRole := map[staff.Role]*client{}
	for _, r := range staff.Roles {
		byRole[r] = c.person(s, "ours", string(r), r)
	}
	for i, try := range []struct {
		least        staff.Role
		method, path string
		body         string
	}{
		{staff.Reader, "GET", "/plays", ""},
		{staff.Reader, "GET", "/staff", ""},
		{staff.Analyst, "POST", "/opponents", `{"code":"%s","name":"Invented"}`},
		{staff.Coordinator, "POST", "/words", `{"field":"concept","word":"%s"}`},
	} {
		for _, r := range staff.Roles {
			body := try.body
			if body != "" {
				body = fmt.Sprintf(body, r)
			}
			resp, raw := byRole[r].do(try.method, ours+try.path, body)
			if ok := resp.StatusCode < 300; ok != r.Reaches(try.least) || !ok && resp.StatusCode != 403 {
				t.Errorf("%d: %s %s as %s: %d %s", i, try.method, try.path, r, resp.StatusCode, raw)
			}
		}
	}
	// What hangs on it goes too: not for an analyst.
	o := byRole[staff.Analyst].must(201, "POST", ours+"/opponents",
		`{"code":"gone","name":"Invented"}`)["location"].(string)
	byRole[staff.Analyst].must(403, "DELETE", o, "", "If-Match", `"1"`)
	byRole[staff.Coordinator].must(204, "DELETE", o, "", "If-Match", `"1"`)
	// The program's own settings, through the walls.
	p := byRole[staff.Owner].must(200, "GET", ours, "")
	settings, _ := json.Marshal(p["settings"])
	body := `{"name":"Renamed","level":"college","settings":` + string(settings) + `}`
	byRole[staff.Analyst].must(403, "PUT", ours, body, "If-Match", p["etag"].(string))
	byRole[staff.Owner].must(200, "PUT", ours, body, "If-Match", p["etag"].(string))
	// Who is of the program is a person's to say, signed in, and no token's.
	boss := browse(t, c.url)
	boss.post(200, "/sign-in", map[string][]string{"login": {"owner"}, "password": {password}})
	program := must(s.Program(t.Context(), "ours"))
	id := func(login string) string {
		for _, m := range must(s.Members(t.Context(), program.ID)) {
			if m.Login == login {
				return m.ID.String()
			}
		}
		return ""
	}
	boss.json(201, "POST", ours+"/staff", `{"login":"a.friend","role":"reader"}`)
	boss.json(409, "DELETE", ours+"/staff/"+id("owner"), "") // the last owner
	boss.json(204, "PUT", ours+"/staff/"+id("coordinator"), `{"role":"reader"}`)
	// at once, and the token with it
	byRole[staff.Coordinator].must(403, "POST", ours+"/words", `{"field":"concept","word":"later"}`)
	boss.json(204, "DELETE", ours+"/staff/"+id("analyst"), "")
	byRole[staff.Analyst].must(401, "GET", ours+"/plays", "")
}

// TestTokens: made by a session, shown once, no more than its maker, for one
// program, until it ends.
func TestTokens(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	c.person(s, "ours", "ana", staff.Analyst)
	c.person(s, "theirs", "ana2", staff.Owner)
	ctx := t.Context()
	b := browse(t, c.url)
	b.post(200, "/sign-in", url.Values{"login": {"ana"}, "password": {password}})
	b.json(422, "POST", ours+"/tokens", `{"label":"too much","role":"owner","days":3}`)
	b.json(422, "POST", ours+"/tokens", `{"label":"too long","role":"reader","days":400}`)
	made := b.json(201, "POST", ours+"/tokens", `{"label":"weekly script","role":"reader","days":3}`)
	tok := *c
	tok.token = regexp.MustCompile(`overhang_[\w-]+`).FindString(made)
	tok.must(200, "GET", ours+"/plays", "")
	tok.must(403, "POST", ours+"/opponents", `{"code":"x","name":"x"}`)                // wrong scope
	tok.must(403, "POST", ours+"/tokens", `{"label":"more","role":"reader","days":3}`) // breeds no tokens
	tok.must(404, "GET", "/v1/programs/theirs/plays", "")
	list := b.get(ours + "/tokens")
	if strings.Contains(list, tok.token) || !strings.Contains(list, "weekly script") {
		t.Errorf("tokens: %s", list)
	}
	id := regexp.MustCompile(`"id":"([0-9a-f-]{36})","label":"weekly`).FindStringSubmatch(made)[1]
	b.json(204, "DELETE", ours+"/tokens/"+id, "")
	tok.must(401, "GET", ours+"/plays", "") // revoked
	p, _ := s.Program(ctx, "ours")
	ms, _ := s.Members(ctx, p.ID)
	_, old, err := s.MakeToken(ctx, p.ID, staff.Token{Person: ms[0].ID, Label: "old", Role: staff.Reader,
		ExpiresAt: time.Now().Add(-time.Second)})
	if err != nil {
		t.Fatal(err)
	}
	for _, secret := range []string{old, "overhang_nonsense", strings.Repeat("x", 500)} { // expired, made up
		tok.token = secret
		tok.must(401, "GET", ours+"/plays", "")
	}
	tok.token = ""
	tok.must(401, "GET", ours+"/plays", "", "Authorization", "Basic YW5hOmFuYQ==")
}

// TestWalls asks every operation of the document across programs: by a stranger's
// program, and by one's own program with a stranger's identities. Nothing is
// told, and afterwards nothing of the other is changed.
func TestWalls(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	a := c.person(s, "ours", "anna", staff.Owner)
	b := c.person(s, "theirs", "ben", staff.Owner)
	game := a.season()
	film := a.must(201, "POST", ours+"/films", `{"game_id":"`+game+`","location":"secret.mp4"}`)["id"].(string)
	play := a.must(201, "POST", ours+"/plays", `{"game_id":"`+game+`","number":1,`+smash+`}`)["id"].(string)
	a.must(201, "POST", ours+"/clips", `{"film_id":"`+film+`","play_id":"`+play+`","start_s":1,"end_s":2}`)
	a.must(204, "DELETE", a.must(201, "POST", ours+"/films", `{"game_id":"`+game+
		`","location":"gone-secret.mp4"}`)["location"].(string), "", "If-Match", `"1"`)
	opponent := a.must(200, "GET", ours+"/games/"+game, "")["opponent_id"].(string)
	plan := a.must(201, "POST", ours+"/plans", `{"opponent_id":"`+opponent+`","label":"anna's plan"}`)["id"].(string)
	nouns := []string{"seasons", "opponents", "games", "films", "clips", "words", "plays", "calls", "plans", "staff",
		"tokens", "deletions"}
	everything := func() string {
		out := ""
		for _, n := range nouns {
			_, raw := a.do("GET", ours+"/"+n, "")
			out += regexp.MustCompile(`"used_at":"[^"]*"`).ReplaceAllString(raw, "")
		}
		return out
	}
	before := everything()
	ids := regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12}`).FindAllString(before, -1)
	slices.Sort(ids)
	ids = slices.Compact(ids)
	doc, err := openapi3.NewLoader().LoadFromData(api.Document)
	if err != nil {
		t.Fatal(err)
	}
	asked := 0
	for path, item := range doc.Paths.Map() {
		if !strings.Contains(path, "{program}") {
			continue
		}
		for method, op := range item.Operations() {
			body := ""
			if op.RequestBody != nil {
				body = "{}"
			}
			for _, id := range ids[:min(len(ids), 12)] {
				for _, program := range []string{"ours", "theirs"} {
					at := regexp.MustCompile(`\{\w+\}`).ReplaceAllString(strings.Replace(path, "{program}", program, 1), id)
					resp, raw := b.do(method, at, body, "If-Match", `"1"`)
					asked++
					switch {
					case program == "ours" && resp.StatusCode == 403, resp.StatusCode >= 500:
						t.Errorf("%s %s by another program: %d %s", method, at, resp.StatusCode, raw)
					case program == "ours" && resp.StatusCode < 300:
						t.Errorf("%s %s is answered to another program: %s", method, at, raw)
					case program == "theirs" && strings.Contains(path, "{id}") && resp.StatusCode < 300 && method == "GET":
						t.Errorf("%s %s finds what is another program's: %s", method, at, raw)
					}
					if strings.Contains(raw, "Invented opponent") || strings.Contains(raw, "secret.mp4") || strings.Contains(raw,
						"anna") {
						t.Errorf("%s %s tells of another program: %s", method, at, raw)
					}
				}
			}
		}
	}
	// Bodies and queries that name what is another's.
	theirs := b.must(201, "POST", "/v1/programs/theirs/opponents", `{"code":"o1","name":"Other"}`)["id"].(string)
	for path, body := range map[string]string{
		"/games": `{"opponent_id":"` + opponent + `","label":"x"}`, "/films": `{"game_id":"` + game + `","location":"x"}`,
		"/plays": `{"game_id":"` + game + `","number":9,"status":"counted"}`, "/clips": `{"film_id":"` + film +
			`","start_s":1,"end_s":2}`,
		"/plans": `{"opponent_id":"` + opponent + `","label":"x"}`, "/plans?": `{"opponent_id":"` + theirs +
			`","label":"x","copy_of":"` + plan + `"}`,
		"/plans?&": `{"opponent_id":"` + theirs + `","label":"x","game_id":"` + game + `"}`,
	} {
		if resp, raw := b.do("POST", "/v1/programs/theirs"+path, body); resp.StatusCode != 422 {
			t.Errorf("POST %s with another's identity: %d %s", path, resp.StatusCode, raw)
		}
	}
	if n := b.must(200, "GET", "/v1/programs/theirs/plays?game_id="+game, "")["items"].([]any); len(n) != 0 {
		t.Errorf("plays of another's game: %v", n)
	}
	if after := everything(); after != before {
		t.Errorf("another program changed ours:\n%s\n%s", before, after)
	}
	t.Logf("%d requests across programs, %d operations", asked, asked/2/min(len(ids), 12))
}

// TestWallsInTheDatabase goes round the handlers: the walled store itself, told
// one program and asked for another.
func TestWallsInTheDatabase(t *testing.T) {
	t.Parallel()
	_, s := guarded(t)
	ctx := t.Context()
	w := behindWalls(t, s)
	a, _ := s.EnsureProgram(ctx, tags.Program{Code: "a", Name: "A", Level: "college"})
	b, _ := s.EnsureProgram(ctx, tags.Program{Code: "b", Name: "B", Level: "college"})
	o, err := w.Opponents().Create(postgres.InProgram(ctx, a.ID), a.ID, tags.Opponent{Code: "o", Name: "O"})
	if err != nil {
		t.Fatal(err)
	}
	for name, in := range map[string]context.Context{"another": postgres.InProgram(ctx, b.ID), "none": ctx} {
		if _, err := w.Opponents().Get(in, a.ID, o.ID); tags.As(err) == nil || tags.As(err).Kind != tags.NotFound {
			t.Errorf("in %s: read a's opponent: %v", name, err)
		}
		if _, err := w.Opponents().Create(in, a.ID, tags.Opponent{Code: "p", Name: "P"}); err == nil {
			t.Errorf("in %s: wrote into a", name)
		}
		if ps, err := w.Programs(in); err != nil || name == "none" && len(ps) != 0 || name == "another" && (len(ps) != 1 ||
			ps[0].Code != "b") {
			t.Errorf("in %s: programs %v %v", name, ps, err)
		}
		if _, err := w.SignIn(in, "x", "y"); err == nil || tags.As(err) != nil {
			t.Errorf("in %s: the server's role looked at passwords: %v", name, err)
		}
	}
	// The same connection serves one program after another.
	for range 50 {
		for _, p := range []uuid.UUID{a.ID, b.ID} {
			got, err := w.Opponents().List(postgres.InProgram(ctx, p), p, postgres.Page{Limit: 10})
			if want := map[uuid.UUID]int{a.ID: 1}[p]; err != nil || len(got) != want {
				t.Fatalf("%v: %d opponents, %v", p, len(got), err)
			}
		}
	}
	bare, err := s.Bare(ctx)
	if err != nil || len(bare) > 0 {
		t.Errorf("tables keyed by program without a wall: %v %v", bare, err)
	}
}

// A browser keeps cookies and follows redirects; at is where it arrived.
type browser struct {
	t       *testing.T
	url, at string
	http    *http.Client
	cookies map[string]*http.Cookie
}

func browse(t *testing.T, url string) *browser {
	jar, _ := cookiejar.New(nil)
	b := &browser{t: t, url: url, cookies: map[string]*http.Cookie{}}
	b.http = &http.Client{Jar: jar, CheckRedirect: func(r *http.Request, via []*http.Request) error {
		for _, k := range r.Response.Cookies() {
			b.cookies[k.Name] = k
		}
		return nil
	}}
	return b
}

func (b *browser) do(req *http.Request, want int) string {
	b.t.Helper()
	resp, err := b.http.Do(req)
	if err != nil {
		b.t.Fatal(err)
	}
	defer resp.Body.Close()
	raw, _ := io.ReadAll(resp.Body)
	b.at = resp.Request.URL.RequestURI()
	if want != 0 && resp.StatusCode != want {
		b.t.Errorf("%s %s: %d, want %d: %s", req.Method, req.URL.Path, resp.StatusCode, want, raw)
	}
	return string(raw)
}

func (b *browser) get(path string) string {
	b.t.Helper()
	req, _ := http.NewRequest("GET", b.url+path, nil)
	return b.do(req, 200)
}

func (b *browser) post(want int, path string, form url.Values) string {
	b.t.Helper()
	req, _ := http.NewRequest("POST", b.url+path, strings.NewReader(form.Encode()))
	req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	req.Header.Set("Sec-Fetch-Site", "same-origin")
	return b.do(req, want)
}

func (b *browser) json(want int, method, path, body string) string {
	b.t.Helper()
	req, _ := http.NewRequest(method, b.url+path, strings.NewReader(body))
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Sec-Fetch-Site", "same-origin")
	return b.do(req, want)
}
