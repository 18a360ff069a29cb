package httpapi_test

import (
	"html"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// TestFindsTheBoxsExample: the page of the box finds the situation that the box itself offers as
// an example, and every page it finds answers.
func TestFindsTheBoxsExample(t *testing.T) {
	t.Parallel()
	c, s := serve(t)
	red := snap(4, 3, 6, 14, "pass", "complete")
	red.YardsToGoal = ptr(15)
	load(t, s, "early", 1, red, snap(1, 1, 10, 2, "run", "rush"))
	_, home := c.do("GET", "/programs/ours", "", "Accept", "text/html")
	example := regexp.MustCompile(`a situation, such as ([^"]+)"`).FindStringSubmatch(home)
	if example == nil {
		t.Fatal("the box offers no example")
	}
	hit := regexp.MustCompile(`<th><a href="([^"]+)">([^<]+)</a></th><td>([a-z]+)</td>`)
	asked := "/programs/ours/find?against=o1&q=" + url.QueryEscape(example[1])
	_, page := c.do("GET", asked, "", "Accept", "text/html")
	kinds := ""
	for _, m := range hit.FindAllStringSubmatch(page, -1) {
		kinds += m[3] + " "
		if r, body := c.do("GET", html.UnescapeString(m[1]), "", "Accept", "text/html"); r.StatusCode != 200 ||
			m[3] == "snaps" && strings.Count(body, `data-of="snap"`) != 1 {
			t.Errorf("%q leads to %s: %d", m[2], m[1], r.StatusCode)
		}
	}
	if kinds != "board tendencies snaps " {
		t.Errorf("%q finds %q:\n%s", example[1], kinds, page)
	}
	if _, page := c.do("GET", "/programs/ours/find?q=opponents", "", "Accept", "text/html"); !hit.MatchString(page) {
		t.Error("a page is not found by its name")
	}
}
