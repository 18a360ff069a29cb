package httpapi_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/google/uuid"

	"overhang/internal/staff"
)

// TestOtherSites: without sign-in, too, a page of another site does nothing (Fetch
// Metadata, W3C), and no other name than this machine's leads in (DNS rebinding).
func TestOtherSites(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	if resp, raw := c.do("POST", "/v1/stress", `{}`, "Sec-Fetch-Site", "cross-site"); resp.StatusCode != 403 {
		t.Errorf("a cross-site request: %d %s", resp.StatusCode, raw)
	}
	for host, want := range map[string]int{"evil.example": 403, "localhost:8080": 200, "127.0.0.1": 200, "[::1]:8080": 200,
		"192.0.2.1": 403} {
		req, err := http.NewRequest("GET", c.url+"/v1/programs", nil)
		if err != nil {
			t.Fatal(err)
		}
		req.Host = host
		resp, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		if resp.StatusCode != want {
			t.Errorf("Host %s: %d, want %d", host, resp.StatusCode, want)
		}
	}
}

// TestOwnersEnd: a token invites nobody, ranks nobody, makes no token and sees no link.
func TestOwnersEnd(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	by := c.person(s, "ours", "head", staff.Owner)
	c.person(s, "ours", "second", staff.Owner)
	p := must(s.Program(t.Context(), "ours"))
	ms := must(s.Members(t.Context(), p.ID))
	for _, try := range [][3]string{{"POST", "/staff", `{"role":"owner"}`}, {"GET", "/invitations", ""},
		{"DELETE", "/invitations/018f2c3d-0000-7000-8000-000000000000", ""},
		{"PUT", "/staff/" + ms[1].ID.String(), `{"role":"reader"}`}, {"DELETE", "/staff/" + ms[1].ID.String(), ""},
		{"POST", "/tokens", `{"label":"longer","role":"owner","days":366}`}} {
		if resp, raw := by.do(try[0], ours+try[1], try[2]); resp.StatusCode != 403 {
			t.Errorf("a token: %v: %d %s", try, resp.StatusCode, raw)
		}
	}
}

// secretOf is the secret of an invitation's link.
func secretOf(link string) string {
	_, key, _ := strings.Cut(link, "invitation=")
	key, _, _ = strings.Cut(key, `"`)
	return key
}

// TestMakers: a link names who made it, owners see and end it, and it ends with its maker's
// ownership: taken out, lowered, or with a new password by reset; those of others stand.
func TestMakers(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	c.person(s, "ours", "head", staff.Owner)
	c.person(s, "ours", "ana", staff.Analyst)
	p := must(s.Program(t.Context(), "ours"))
	head := browse(t, c.url)
	head.post(200, "/sign-in", url.Values{"login": {"head"}, "password": {password}})
	kept := secretOf(head.json(201, "POST", ours+"/staff", `{"role":"reader"}`))
	for i, end := range []string{"out", "lowered", "reset"} {
		login := "second" + end
		token := c.person(s, "ours", login, staff.Owner)
		second := browse(t, c.url)
		second.post(200, "/sign-in", url.Values{"login": {login}, "password": {password}})
		link := secretOf(second.json(201, "POST", ours+"/staff", `{"role":"owner"}`))
		list := head.get(ours + "/invitations")
		if !strings.Contains(list, `"maker":"`+login+`"`) || !strings.Contains(list, `"maker":"head"`) ||
			strings.Contains(list, link) {
			t.Fatalf("the open links: %s", list)
		}
		if page := head.get("/programs/ours/staff"); !strings.Contains(page, "<td>"+login+"</td>") {
			t.Errorf("the page's open links: %s", page)
		}
		id := ""
		for _, m := range must(s.Members(t.Context(), p.ID)) {
			if m.Login == login {
				id = m.ID.String()
			}
		}
		switch end {
		case "out":
			head.json(204, "DELETE", ours+"/staff/"+id, "")
		case "lowered":
			head.json(204, "PUT", ours+"/staff/"+id, `{"role":"reader"}`)
		case "reset":
			reset := must(s.Invite(t.Context(), staff.Invitation{Login: &login, Role: staff.Reader, Resets: true}))
			other := must(s.Invite(t.Context(), staff.Invitation{Login: &login, Role: staff.Reader, Resets: true}))
			browse(t, c.url).post(200, "/join", url.Values{"invitation": {reset}, "password": {"quite another sentence"}})
			browse(t, c.url).post(404, "/join", url.Values{"invitation": {other}, "password": {"a third long sentence"}})
			token.must(401, "GET", ours+"/plays", "")
			second.get("/")
			if second.at != "/sign-in?to=%2F" {
				t.Errorf("a session outlives a reset: at %s", second.at)
			}
			if role := must(s.RoleOf(t.Context(), p.ID, uuid.MustParse(id))); role != staff.Owner {
				t.Errorf("a reset made an owner %q", role)
			}
		}
		browse(t, c.url).post(404, "/join", url.Values{"invitation": {link}}) // not his way back
		if list := head.get(ours + "/invitations"); strings.Count(list, `"id"`) != 1 {
			t.Errorf("%d %s: the open links then: %s", i, end, list)
		}
	}
	own := must(s.Invitations(t.Context(), p.ID))[0]
	ana := browse(t, c.url)
	ana.post(200, "/sign-in", url.Values{"login": {"ana"}, "password": {password}})
	ana.json(403, "DELETE", ours+"/invitations/"+own.ID.String(), "")
	ana.post(403, "/programs/ours/staff", url.Values{"do": {"uninvite"}, "id": {own.ID.String()}})
	head.post(200, "/programs/ours/staff", url.Values{"do": {"uninvite"}, "id": {own.ID.String()}})
	head.json(404, "DELETE", ours+"/invitations/"+own.ID.String(), "")
	browse(t, c.url).post(404, "/join", url.Values{"invitation": {kept}})
}

// TestOpenLinkTellsNothing: who holds an open link is answered alike whether a login exists
// or not, and who is taken out has no way back by a link for his login.
func TestOpenLinkTellsNothing(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	c.person(s, "theirs", "victim", staff.Owner)
	c.person(s, "ours", "head", staff.Owner)
	head := browse(t, c.url)
	head.post(200, "/sign-in", url.Values{"login": {"head"}, "password": {password}})
	own := regexp.MustCompile(`<strong>(\w+)-\d{4}</strong>`)
	for _, login := range []string{"victim", "nobody"} {
		b, link := browse(t, c.url), secretOf(head.json(201, "POST", ours+"/staff", `{"role":"reader"}`))
		form := url.Values{"invitation": {link}, "login": {login}, "name": {"x"}, "password": {"too short"}}
		if page := b.post(422, "/join", form); !strings.Contains(page, "15 or more characters") {
			t.Errorf("a short password as %s: %s", login, page)
		}
		form.Set("password", "quite another sentence")
		page := b.post(200, "/join", form)
		if m := own.FindStringSubmatch(page); m == nil || m[1] != login {
			t.Errorf("joining as %s: %s", login, page)
		}
		if me := b.get("/v1/me"); !strings.Contains(me, `"login":"`+login+`-`) {
			t.Errorf("signed in as %s", me)
		}
	}
	browse(t, c.url).post(200, "/sign-in", url.Values{"login": {"victim"}, "password": {password}}) // his still
	p := must(s.Program(t.Context(), "ours"))
	c.person(s, "ours", "gone", staff.Analyst)
	link := secretOf(head.json(201, "POST", ours+"/staff", `{"login":"gone","role":"coordinator"}`))
	for _, m := range must(s.Members(t.Context(), p.ID)) {
		if m.Login == "gone" {
			head.json(204, "DELETE", ours+"/staff/"+m.ID.String(), "")
		}
	}
	gone := browse(t, c.url)
	gone.post(200, "/sign-in", url.Values{"login": {"gone"}, "password": {password}})
	gone.post(404, "/join", url.Values{"invitation": {link}})
}
