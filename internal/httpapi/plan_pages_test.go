package httpapi_test

import (
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"overhang/internal/staff"
)

// submit posts a page's form and returns the status, where it leads, and the page.
func (c *client) submit(path string, values url.Values) (status int, to, page string) {
	c.t.Helper()
	req, err := http.NewRequest("POST", c.url+path, strings.NewReader(values.Encode()))
	if err != nil {
		c.t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	if c.token != "" {
		req.Header.Set("Authorization", "Bearer "+c.token)
	}
	resp, err := http.DefaultTransport.RoundTrip(req)
	if err != nil {
		c.t.Fatal(err)
	}
	defer resp.Body.Close()
	raw, _ := io.ReadAll(resp.Body)
	return resp.StatusCode, resp.Header.Get("Location"), string(raw)
}

// TestPlanPages: a plan is made, chosen from, refused, overtaken, refreshed, locked,
// copied and deleted by the forms alone, and the API agrees with each step.
func TestPlanPages(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	_, game := c.drives(3)
	const plans = "/programs/ours/opponents/o1/plans"
	if _, page := c.do("GET", plans, ""); !strings.Contains(page, "<h2>No plan yet</h2><p>Make one") {
		t.Errorf("no plan yet: %s", page)
	}
	if _, page := c.do("GET", "/programs/ours/opponents/o1", ""); !strings.Contains(page, `href="`+plans+`"`) {
		t.Error("the opponent's page does not lead to the plans")
	}
	if status, _, page := c.submit(plans, url.Values{"label": {" "}}); status != 422 || !strings.Contains(page,
		"label: is missing") {
		t.Errorf("a plan without a name: %d %s", status, page)
	}
	status, at, _ := c.submit(plans, url.Values{"label": {"week <5>"}, "game": {game}})
	if status != 303 {
		t.Fatalf("making a plan: %d", status)
	}
	if _, page := c.do("GET", at, ""); !strings.Contains(page, "New plan made. Earlier plans are as they were.") {
		t.Error("it does not say whether the plan is new")
	}
	at, _, _ = strings.Cut(at, "?")
	asAPI := func() map[string]any {
		return c.must(200, "GET", ours+"/plans/"+at[strings.LastIndex(at, "/")+1:], "")
	}
	x := situation(asAPI(), 0)
	calls := callNames(x)
	enter := func(do, version, first, second string, more ...string) url.Values {
		v := url.Values{"do": {do}, "version": {version}, "label": {"week <5>"}, "game": {game},
			"situation.0": {"3rd and 4-6"},
			"call.0.0":    {calls[2]}, "share.0.0": {first}, "call.0.2": {calls[0]}, "share.0.2": {second},
			"note.0": {"wet <b>ball</b>"}}
		for i := 0; i+1 < len(more); i += 2 {
			v.Set(more[i], more[i+1])
		}
		return v
	}
	for _, tt := range []struct {
		name string
		in   url.Values
		code int
		says string
	}{
		{"over 100", enter("save", "1", "60", "50"), 422, "The shares come to more than 100%."},
		{"no number", enter("save", "1", "much", "50"), 422, "A share is a number from 0 to 100."},
		{"below 0", enter("save", "1", "-1", "50"), 422, "A share is a number from 0 to 100."},
		{"an unknown call", enter("save", "1", "10", "10", "call.0.0", "cover 9"), 422, "was no active call"},
		{"a call twice", enter("save", "1", "10", "10", "call.0.0", calls[0]), 422, "is there twice"},
		{"not sure", enter("lock", "1", "60", "20"), 422, "check the box to confirm"},
		{"nothing it can do", enter("fly", "1", "60", "20"), 422, "no button of this page"},
		{"not sure to delete", url.Values{"do": {"delete"}, "version": {"1"}}, 422, "check the box to confirm"},
	} {
		code, _, page := c.submit(at, tt.in)
		if code != tt.code || !strings.Contains(page, tt.says) || !strings.Contains(page, `value="week &lt;5&gt;"`) {
			t.Errorf("%s: %d, want %d saying %q: %s", tt.name, code, tt.code, tt.says, page)
		}
		if tt.in.Get("do") != "delete" && !strings.Contains(page, "wet &lt;b&gt;ball") {
			t.Errorf("%s: what was entered is lost", tt.name)
		}
	}
	if _, _, page := c.submit(at, enter("save", "1", "60", "50")); !strings.Contains(page,
		`<a href="#situation-0">3rd and 4-6</a>: The shares`) {
		t.Error("what is wrong is not said, with a link to its row, at the top")
	}
	if p := asAPI(); p["version"] != 1.0 {
		t.Errorf("refused forms made version %v", p["version"])
	}
	// A call without a share gets what is left; a comma is a point.
	if status, to, _ := c.submit(at, enter("save", "1", "62,5", "")); status != 303 || to != at+"?done=save" {
		t.Errorf("saving: %d to %s", status, to)
	}
	// What is printed is the plan's, though it is a draft, unless something else is chosen.
	for ask, plan := range map[string]string{"": at[strings.LastIndex(at, "/")+1:], "?plan=none": "none"} {
		want := "sheets/call?plan=" + plan + "&amp;format=pdf"
		if _, page := c.do("GET", "/programs/ours/opponents/o1/print"+ask, ""); !strings.Contains(page, want) {
			t.Errorf("print%s lacks %q: %s", ask, want, page)
		}
	}
	chosen := situation(asAPI(), 0)["choice"].(map[string]any)["calls"].([]any)
	if chosen[0].(map[string]any)["share"] != .625 || chosen[1].(map[string]any)["share"] != .375 {
		t.Errorf("chosen: %v; want 0.625 and the rest", chosen)
	}
	_, page := c.do("GET", at+"?done=save", "")
	for _, want := range []string{"Saved.", "You've set calls in 1 of 1 situation", `value="62.5"`, `value="37.5"`,
		`value="` + calls[2] + `" selected`, "than the mix", "for week 1", "n = 12"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page has no %q", want)
		}
	}
	// Someone else saved first: what was entered stands there, and saving again puts it over theirs.
	code, _, page := c.submit(at, enter("save", "1", "10", "20"))
	if code != 409 || !strings.Contains(page, "Somebody changed the plan") || !strings.Contains(page,
		`name="version" value="2"`) || !strings.Contains(page, `value="10"`) {
		t.Errorf("an old version: %d %s", code, page)
	}
	c.must(201, "POST", ours+"/plays", `{"game_id":"`+game+`","number":99,`+smash+`}`)
	if status, to, _ := c.submit(at, enter("refresh", "2", "10", "20")); status != 303 || !strings.HasSuffix(to,
		"done=refresh") || situation(asAPI(), 0)["plays"] != 13.0 {
		t.Errorf("refreshing: %d %s, %v plays", status, to, situation(asAPI(), 0)["plays"])
	}
	if status, to, _ := c.submit(at, enter("lock", "3", "30", "20", "sure", "yes")); status != 303 ||
		!strings.HasSuffix(to, "done=lock") {
		t.Errorf("locking: %d %s", status, to)
	}
	locked := asAPI()
	if locked["locked_at"] == nil ||
		situation(locked, 0)["choice"].(map[string]any)["calls"].([]any)[0].(map[string]any)["share"] != .3 {
		t.Errorf("locked: %v; want what was entered with it", locked)
	}
	if _, page = c.do("GET", at, ""); !strings.Contains(page, "Locked") || strings.Contains(page, "<select") ||
		!strings.Contains(page, "<strong>"+calls[2]+"</strong> 30%") {
		t.Errorf("a locked plan: %s", page)
	}
	if code, _, page := c.submit(at, enter("save", "4", "1", "1")); code != 409 || !strings.Contains(page,
		"The plan is locked") {
		t.Errorf("changing a locked plan: %d %s", code, page)
	}
	status, copied, _ := c.submit(plans, url.Values{"label": {"a copy"}, "copy": {locked["id"].(string)}, "game": {""}})
	if status != 303 || copied == at {
		t.Errorf("copying: %d %s", status, copied)
	}
	if status, to, _ := c.submit(at, url.Values{"do": {"delete"}, "version": {"4"}, "sure": {"yes"}}); status != 303 ||
		to != plans {
		t.Errorf("deleting: %d %s", status, to)
	}
	c.must(404, "GET", at, "")
	// The plan of another opponent is not this one's.
	c.must(201, "POST", ours+"/opponents", `{"code":"o2","name":"Other"}`)
	c.must(404, "GET", strings.Replace(copied, "/o1/", "/o2/", 1), "")
	_, empty, _ := c.submit("/programs/ours/opponents/o2/plans", url.Values{"label": {"nothing yet"}})
	if _, page := c.do("GET", empty, ""); !strings.Contains(page, "There is nothing to plan with yet") ||
		!strings.Contains(page, "tag plays") {
		t.Errorf("a plan of nothing: %s", page)
	}
}

// TestPlanPageRoles: a reader sees, without a form; his forms are refused.
func TestPlanPageRoles(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	own, reader, ana := c.person(s, "ours", "head", staff.Coordinator), c.person(s, "ours", "rea", staff.Reader),
		c.person(s, "ours", "ana", staff.Analyst)
	own.drives(2)
	const plans = "/programs/ours/opponents/o1/plans"
	_, at, _ := own.submit(plans, url.Values{"label": {"week 5"}})
	for _, who := range []*client{reader, ana} {
		for _, path := range []string{plans, at} {
			if resp, page := who.do("GET", path, ""); resp.StatusCode != 200 || strings.Contains(page, `method="post"><input`) ||
				strings.Contains(page, `class="plan"`+` autocomplete`) || !strings.Contains(page, "week 5") {
				t.Errorf("%s: %d %s", path, resp.StatusCode, page)
			}
			if status, _, _ := who.submit(path, url.Values{"label": {"x"}, "do": {"save"}, "version": {"1"}}); status != 403 {
				t.Errorf("a form to %s: %d; want 403", path, status)
			}
		}
	}
	if status, _, _ := own.submit(at, url.Values{"label": {"week five"}, "do": {"save"},
		"version": {"1"}}); status != 303 {
		t.Errorf("a coordinator's form: %d", status)
	}
}
