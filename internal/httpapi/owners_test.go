package httpapi_test

import (
	"net/http"
	"strings"
	"testing"

	"overhang/internal/staff"
)

// TestOtherSites: without sign-in, too, a page of another site does nothing (Fetch
// Metadata, W3C), and no other name than this machine's leads in (DNS rebinding).
func TestOtherSites(t *testing.T) {
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

// TestOwnersEnd: a token invites nobody and ranks nobody; the links of a program die with
// an owner's role.
func TestOwnersEnd(t *testing.T) {
	c, s := guarded(t)
	by := c.person(s, "ours", "head", staff.Owner)
	c.person(s, "ours", "second", staff.Owner)
	if resp, raw := by.do("POST", ours+"/staff", `{"role":"owner"}`); resp.StatusCode != 403 {
		t.Errorf("a token invites: %d %s", resp.StatusCode, raw)
	}
	p := must(s.Program(t.Context(), "ours"))
	ms := must(s.Members(t.Context(), p.ID))
	if resp, raw := by.do("PUT", ours+"/staff/"+ms[1].ID.String(), `{"role":"reader"}`); resp.StatusCode != 403 {
		t.Errorf("a token ranks: %d %s", resp.StatusCode, raw)
	}
	b, second := browse(t, c.url), browse(t, c.url)
	b.post(200, "/sign-in", map[string][]string{"login": {"head"}, "password": {password}})
	second.post(200, "/sign-in", map[string][]string{"login": {"second"}, "password": {password}})
	made := second.json(201, "POST", ours+"/staff", `{"role":"owner"}`)
	_, key, _ := strings.Cut(made, "invitation=")
	key, _, _ = strings.Cut(key, `"`)
	b.json(204, "DELETE", ours+"/staff/"+ms[1].ID.String(), "")
	second.post(404, "/join", map[string][]string{"invitation": {key}}) // not his way back
}
