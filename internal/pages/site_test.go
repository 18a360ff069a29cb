package pages

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/handout"
	"overhang/internal/staff"
	"overhang/internal/stress/call"
	"overhang/internal/stress/picture"
	"overhang/internal/study"
	"overhang/internal/tags"
	"overhang/internal/wire"
)

// got is what a site without a store answers: pages that need nobody.
func got(t *testing.T, path string, header ...string) *httptest.ResponseRecorder {
	t.Helper()
	e, s := echo.New(), &Site{}
	s.assets(e)
	s.guide(e)
	e.GET("/docs", func(c echo.Context) error {
		return s.Documented(c, []Operation{{ID: "getX", Method: "GET", Path: "/v1/x", Summary: "<b>All</b> of x",
			Needs:      "reader",
			Parameters: []Parameter{{Name: "down", In: "query", About: "a down", Required: true}},
			Answers:    []Response{{Status: "200", About: "here", Kinds: []string{"text/csv", "application/json"}}},
			Got:        `{"x": "<script>"}`}})
	})
	e.GET("/problems", func(c echo.Context) error { return s.Problems(c, wire.Problems) })
	e.GET("/problems/one", func(c echo.Context) error { return s.Problems(c, wire.Problems[:1]) })
	e.Any("/fails/:how", func(c echo.Context) error {
		f := &Failure{Status: http.StatusNotFound, Detail: "there is no <game>"}
		if c.Param("how") == "late" {
			ctx, cancel := context.WithCancel(c.Request().Context())
			cancel()
			c.SetRequest(c.Request().WithContext(ctx))
			f = &Failure{Status: http.StatusServiceUnavailable}
		}
		c.Response().Header().Set(echo.HeaderXRequestID, "7c1e")
		return s.Fail(c, f)
	})
	method := http.MethodGet
	r := httptest.NewRequest(method, path, nil)
	for i := 0; i+1 < len(header); i += 2 {
		if header[i] == "method" {
			r.Method = header[i+1]
			continue
		}
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	e.ServeHTTP(w, r)
	return w
}

var (
	inline = regexp.MustCompile(`(?i)\son[a-z]+=|\sstyle=|<script>|<style|href="javascript:`)
	named  = regexp.MustCompile(`(?:src|href)="(/assets/[^"]+)"`)
)

// TestPagesThatNeedNobody: each is whole, has a title and a language, runs nothing inline (the
// policy forbids it), and names only assets that are there.
func TestPagesThatNeedNobody(t *testing.T) {
	t.Parallel()
	for path, title := range map[string]string{"/guide": "Guide", "/guide/key": "Key to the drawings",
		"/guide/look": "The look", "/docs": "The API", "/problems": "Problems", "/problems/one": wire.Problems[0].Title,
		"/fails/now": "Nothing here"} {
		w := got(t, path)
		body := w.Body.String()
		if want := map[bool]int{true: 404, false: 200}[path == "/fails/now"]; w.Code != want ||
			w.Header().Get("Content-Type") != "text/html; charset=utf-8" {
			t.Errorf("%s: %d, %s", path, w.Code, w.Header().Get("Content-Type"))
		}
		for _, must := range []string{"<title>" + title, `<html lang="en"`, "</html>"} {
			if !strings.Contains(body, must) {
				t.Errorf("%s has no %s", path, must)
			}
		}
		if at := inline.FindString(body); at != "" {
			t.Errorf("%s runs something inline: %s", path, at)
		}
		for _, a := range named.FindAllStringSubmatch(body, -1) {
			if AssetNamed(strings.TrimPrefix(a[1], "/assets/")) == nil {
				t.Errorf("%s names %s, which is not there", path, a[1])
			}
		}
		if len(named.FindAllString(body, -1)) == 0 {
			t.Errorf("%s has no stylesheet", path)
		}
	}
	if body := got(t, "/docs").Body.String(); strings.Contains(body, "<b>All") || !strings.Contains(body,
		"text/csv, application/json") ||
		!strings.Contains(body, "down (required)") || !strings.Contains(body, "1 operations") && !strings.Contains(body,
		"getX") {
		t.Error("the operation is not shown as it is")
	}
	for _, p := range wire.Problems {
		if !strings.Contains(got(t, "/problems").Body.String(), p.Name) {
			t.Errorf("the page of problems lacks %s", p.Name)
		}
	}
}

// TestAssetsAreKeptForGood: the right kind (the server says nosniff), compressed for who takes
// it, the same either way; a name with another hash is not there.
func TestAssetsAreKeptForGood(t *testing.T) {
	t.Parallel()
	for name, a := range byName {
		w := got(t, "/assets/"+a.Name)
		if w.Code != 200 || !bytes.Equal(w.Body.Bytes(), a.Body) ||
			w.Header().Get("Cache-Control") != "public, max-age=31536000, immutable" {
			t.Errorf("%s: %d, %d bytes, %s", name, w.Code, w.Body.Len(), w.Header().Get("Cache-Control"))
		}
		want := map[string]string{".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8",
			".woff2": "font/woff2", ".txt": "text/plain; charset=utf-8", ".webp": "image/webp"}[name[strings.LastIndex(name,
			"."):]]
		if kind := w.Header().Get("Content-Type"); want == "" || kind != want {
			t.Errorf("%s is sent as %q, want %q", name, kind, want)
		}
		w = got(t, "/assets/"+a.Name, "Accept-Encoding", "br, gzip")
		if coded := w.Header().Get("Content-Encoding") == "gzip"; coded != (a.Zipped != nil) {
			t.Errorf("%s is sent compressed: %v", name, coded)
		} else if coded {
			r, err := gzip.NewReader(w.Body)
			if err != nil {
				t.Fatal(err)
			}
			if body, err := io.ReadAll(r); err != nil || !bytes.Equal(body, a.Body) {
				t.Errorf("%s comes out as something else: %v", name, err)
			}
		}
		if w = got(t, "/assets/"+name); w.Code != http.StatusNotFound {
			t.Errorf("%s without its hash: %d", name, w.Code)
		}
	}
}

// TestFail: what happened stands there escaped, with the request's number; a change says that
// nothing was saved; a question that took too long has its bar all the same.
func TestFail(t *testing.T) {
	t.Parallel()
	w := got(t, "/fails/now")
	if body := w.Body.String(); !strings.Contains(body, "There is no &lt;game&gt;.") || !strings.Contains(body, "7c1e") ||
		!strings.Contains(body, "Everything you saved is safe.") {
		t.Errorf("%s", body)
	}
	if body := got(t, "/fails/now", "method", "POST").Body.String(); !strings.Contains(body, "Nothing was saved.") {
		t.Errorf("a change: %s", body)
	}
	if w = got(t, "/fails/late"); w.Code != 503 || !strings.Contains(w.Body.String(), "Busy right now") {
		t.Errorf("too late: %d", w.Code)
	}
}

// TestFailureWords: title, what happened, what is safe and the way on, by status.
func TestFailureWords(t *testing.T) {
	t.Parallel()
	bad := []tags.FieldError{{Field: "down", Msg: "x"}}
	for _, tt := range []struct {
		f                       Failure
		title, what, safe, back string
	}{
		{Failure{Status: 404, Back: "/"}, "Nothing here", "doesn't exist", "you saved is safe", "front page"},
		{Failure{Status: 403, Detail: "ask an owner", Back: "/programs/us"}, "Not yours to do", "Ask an owner.", "is safe",
			"the week"},
		{Failure{Status: 401}, "Not yours to do", "The server said: unauthorized.", "is safe", "the week"},
		{Failure{Status: 429, Detail: "Wait!"}, "Busy right now", "Wait!", "is safe", "the week"},
		{Failure{Status: 503, Wrote: true}, "Busy right now", "service unavailable", "may not be saved", "the week"},
		{Failure{Status: 500}, "Our mistake", "written down", "is safe", "the week"},
		{Failure{Status: 500, Wrote: true}, "Our mistake", "written down", "Look before you try again", "the week"},
		{Failure{Status: 405}, "That didn't work", "cannot do that", "is safe", "the week"},
		{Failure{Status: 400, Errors: bad, Detail: "no"}, "That didn't work", "asks for something there can't be", "is safe",
			"the week"},
		{Failure{Status: 422, Errors: bad, Detail: "é is none?", Wrote: true}, "That didn't work", "É is none?",
			"Nothing was saved", "the week"},
	} {
		f := tt.f
		for got, want := range map[string]string{f.Title(): tt.title, f.What(): tt.what, f.Safe(): tt.safe,
			f.BackTo(): tt.back} {
			if !strings.Contains(got, want) {
				t.Errorf("%+v: %q, want %q", f, got, want)
			}
		}
	}
}

// TestShell: where its links lead with and without a program and an opponent, and which of
// them is here; codes are escaped.
func TestShell(t *testing.T) {
	t.Parallel()
	bare := Shell{}
	if bare.Home() != "/" || bare.Base() != "/" || bare.Names() != "" || bare.Steps()[0].Link != "/" {
		t.Errorf("a page of no program: %s, %s, %+v", bare.Home(), bare.Base(), bare.Steps()[0])
	}
	p := &tags.Program{Code: "us", Settings: tags.Settings{PositionNames: []tags.PositionName{{Position: "free safety",
		Name: `"Eyes"`}}}}
	of := Shell{Program: p, Step: "board", Place: "calls"}
	for _, s := range of.Steps() {
		if s.Link != "/programs/us/opponents" || s.Here != (s.Name == "Board") {
			t.Errorf("without an opponent: %+v", s)
		}
	}
	of.Opponent = &tags.Opponent{Code: "A/M 2"}
	var links []string
	for _, s := range of.Steps() {
		links = append(links, strings.TrimPrefix(s.Link, "/programs/us/opponents/A%2FM%202/"))
	}
	if strings.Join(links, " ") != "film tags tendencies board plans print" {
		t.Errorf("steps lead to %v", links)
	}
	for _, x := range of.Places() {
		if !strings.HasPrefix(x.Link, "/programs/us/") || x.Here != (x.Name == "Call book") {
			t.Errorf("%+v", x)
		}
	}
	var names []tags.PositionName
	if err := json.Unmarshal([]byte(of.Names()), &names); err != nil || names[0].Name != `"Eyes"` {
		t.Errorf("names %s: %v", of.Names(), err)
	}
}

// TestWeekSteps: the first step that is not done is the next, and says what it lacks.
func TestWeekSteps(t *testing.T) {
	t.Parallel()
	full := Week{Opponent: tags.Opponent{Code: "A&M"}, Base: "/b", Program: "/p", Games: 3, Filmed: 2, Plays: 100,
		Concepts: 60,
		Calls:    4, Plans: 2, Locked: 1}
	with := func(change func(*Week)) *Week { w := full; change(&w); return &w }
	for name, tt := range map[string]struct {
		week       *Week
		next, said string
		link       string
	}{
		"no game": {with(func(w *Week) { w.Games = 0 }), "Film", "No game of theirs yet.",
			"/p/games/new?against=A%26M"},
		"no play": {with(func(w *Week) { w.Plays, w.Concepts = 0, 0 }), "Tags", "0 plays, 0 with a concept.",
			"/b/tags"},
		"under half tagged": {with(func(w *Week) { w.Concepts = 49 }), "Tags", "100 plays, 49 with a concept.",
			"/b/tags"},
		"half tagged, no call": {with(func(w *Week) { w.Concepts, w.Calls = 50, 0 }), "Board",
			"None of our calls is turned on.", "/p/calls"},
		"no plan": {with(func(w *Week) { w.Plans, w.Locked = 0, 0 }), "Plan", "No plan yet.", "/b/plans"},
		"one plan, not locked": {with(func(w *Week) { w.Plans, w.Locked = 1, 0 }), "Plan", "1 plan, none locked.",
			"/b/plans"},
		"a plan that is locked": {&full, "Print", "Call sheet", "/b/print"},
	} {
		var next []WeekStep
		for _, s := range tt.week.Steps() {
			if s.Next {
				next = append(next, s)
			}
		}
		if len(next) != 1 || next[0].Name != tt.next || !strings.HasPrefix(next[0].Said, tt.said) || next[0].Link != tt.link {
			t.Errorf("%s: next is %+v; want %s: %s at %s", name, next, tt.next, tt.said, tt.link)
		}
	}
	steps := full.Steps()
	if steps[0].Said != "2 of 3 games with film." || steps[4].Said != "2 plans, 1 locked." ||
		steps[3].Said != "4 calls turned on." {
		t.Errorf("%+v", steps)
	}
}

// TestEditorOffersWhatReads: every word that is offered reads as a rule, says something to a
// player, and stands once; every look can be drawn.
func TestEditorOffersWhatReads(t *testing.T) {
	t.Parallel()
	e := NewEditor()
	once := func(what string, ws []Word, read func(string) error) {
		seen := map[string]bool{}
		for _, w := range ws {
			if err := read(w.Word); err != nil || strings.TrimSpace(w.Said) == "" || seen[w.Word] {
				t.Errorf("%s %q says %q: %v, twice %v", what, w.Word, w.Said, err, seen[w.Word])
			}
			seen[w.Word] = true
		}
	}
	once("when", e.Whens, func(w string) error { _, err := call.ParseCond(w); return err })
	once("then", e.Thens, func(w string) error { _, err := call.ParseDuties(w); return err })
	once("a fact", e.Facts(), func(w string) error { _, err := call.ParseCond(w); return err })
	if len(e.Facts()) != len(call.Facts()) || len(e.Whens) < 100 || len(e.Thens) < 60 {
		t.Errorf("%d facts, %d whens, %d thens", len(e.Facts()), len(e.Whens), len(e.Thens))
	}
	for i, l := range e.Looks {
		if i > 0 && l.Set < e.Looks[i-1].Set {
			t.Errorf("%s from %s stands after %s", l.Name, l.Set, e.Looks[i-1].Set)
		}
		if _, err := picture.New(picture.Spec{Set: l.Set, Family: l.Family, Concept: l.Run, Routes: l.Routes}); err != nil {
			t.Errorf("%s from %s: %v", l.Name, l.Set, err)
		}
	}
	if want := len(picture.Library()) + 2*len(picture.Runs()); len(e.Looks) != want {
		t.Errorf("%d looks, want %d", len(e.Looks), want)
	}
}

// TestNewReport: the same report in three other forms, its question kept.
func TestNewReport(t *testing.T) {
	t.Parallel()
	at, _ := url.Parse("/v1/programs/us/self-scout?down=3&format=html")
	r := NewReport(at, "<p>x</p>")
	var ways []string
	for _, w := range r.Forms {
		ways = append(ways, w.Name+" "+w.At)
	}
	if want := []string{"PDF /v1/programs/us/self-scout?down=3&format=pdf",
		"Excel /v1/programs/us/self-scout?down=3&format=xlsx",
		"CSV /v1/programs/us/self-scout?down=3&format=csv"}; !slices.Equal(ways, want) {
		t.Errorf("%q", ways)
	}
	if at.RawQuery != "down=3&format=html" || r.Body != "<p>x</p>" {
		t.Errorf("the address became %s, the body %s", at, r.Body)
	}
}

// TestReviewPage: what was meant goes by the coordinator's own choice; conflicts that nobody
// met twice and nobody found are left out.
func TestReviewPage(t *testing.T) {
	t.Parallel()
	r := NewReview(tags.Opponent{}, "/b", "/programs/us", "first", &ask.ReviewAnswer{})
	r.ReviewAnswer.Review.Threats.Conflicts = []plan.FoundIn{{Met: 1}, {Met: 2}, {Met: 1, Found: 1}, {}}
	if n := len(r.Found()); n != 2 || len(r.ReviewAnswer.Review.Threats.Conflicts) != 4 {
		t.Errorf("%d told of %d", n, len(r.ReviewAnswer.Review.Threats.Conflicts))
	}
	for want, c := range map[float64]plan.CallRun{.7: {Own: ptr(.7), Recommended: ptr(.2)}, .2: {Recommended: ptr(.2)},
		0: {Own: ptr(0.0), Recommended: ptr(.5)}, -1: {}} {
		if got := r.Meant(c); got != want {
			t.Errorf("%+v was meant %v, want %v", c, got, want)
		}
	}
	if _, q := asks(t, r.Asked("csv")); q != "format=csv&half=first" {
		t.Errorf("asked by %s", q)
	}
	r.Half = ""
	if _, q := asks(t, r.Asked("csv")); q != "format=csv" {
		t.Errorf("both halves: %s", q)
	}
	// 5 of 10 is 23.7 to 76.3 (published.md 1.1)
	if f := r.Share(5, 10); f.Share != .5 || f.Low < .2365 || f.Low > .2367 {
		t.Errorf("%+v", f)
	}
}

// TestSelfScoutPage tells what stands, in words of what we do.
func TestSelfScoutPage(t *testing.T) {
	t.Parallel()
	s := &SelfScout{Tells: study.Tells{Tells: []study.Tell{{Of: "blitz", Outcome: "yes", Stands: true},
		{Of: "blitz", Outcome: "no", Stands: true}, {Of: "coverage", Outcome: "cover 1", Stands: true},
		{Of: "coverage", Outcome: "cover 3"}}}}
	var does []string
	for _, x := range s.Surest() {
		does = append(does, s.Do(x))
	}
	if strings.Join(does, ", ") != "blitz, don't blitz, call cover 1" {
		t.Errorf("%q", does)
	}
}

// TestSmallPages: the data that pages show.
func TestSmallPages(t *testing.T) {
	t.Parallel()
	w := Words{Aliases: map[string][]tags.Word{}}
	w.take([]tags.Word{{Word: "smash"}, {Word: "smsh", AliasOf: ptr("smash")}, {Word: "new", Pending: true},
		{Word: "newer", AliasOf: ptr("smash"), Pending: true}})
	if len(w.Words) != 2 || len(w.Pending) != 2 || len(w.Aliases["smash"]) != 1 {
		t.Errorf("%+v", w)
	}
	ps := Players{Links: []staff.PacketLink{{Group: "a", Stands: true}, {Group: "b"}}}
	if l := ps.Standing(); len(l) != 1 || l[0].Group != "a" {
		t.Errorf("standing %v", l)
	}
	for kind, rank := range map[string]int{"call": 0, "stress": len(abouts) - 1, "nothing": len(abouts)} {
		if p := NewPrinted(kind, "call sheet", "/x"); p.Rank() != rank || p.Name != "Call sheet" ||
			(p.About == "") != (kind == "nothing") {
			t.Errorf("%+v at %d, want %d", p, p.Rank(), rank)
		}
	}
	n := Night{Night: &ask.Night{Calls: []string{"</script>"}}}
	if raw, err := n.JSON(); err != nil || !json.Valid([]byte(raw)) || strings.Contains(raw, "</script>") {
		t.Errorf("%s, %v", raw, err)
	}
}

// TestQuestionsOfAPacket: who fits, and what the script reads: lists, never null.
func TestQuestionsOfAPacket(t *testing.T) {
	t.Parallel()
	nobody, two := Question{Pointed: &handout.Pointed{}}, Question{Pointed: &handout.Pointed{Mine: []int{1, 3}}}
	for _, tt := range []struct {
		q        *Question
		receiver int
		fits     bool
	}{{&nobody, -1, true}, {&nobody, 0, false}, {&two, 1, true}, {&two, 3, true}, {&two, 2, false}, {&two, -1, false}} {
		if tt.q.Fits(tt.receiver) != tt.fits {
			t.Errorf("%d fits %v: %v", tt.receiver, tt.q.Mine, !tt.fits)
		}
	}
	for q, want := range map[*Question][2]string{&nobody: {"[]", "[]"}, &two: {"[]", "[1,3]"}} {
		runs, err := q.Runs()
		own, err2 := q.Own()
		if err != nil || err2 != nil || runs != want[0] || own != want[1] {
			t.Errorf("%s, %s, %v, %v; want %v", runs, own, err, err2, want)
		}
	}
	if (&Packet{}).Question("x") != nil {
		t.Error("a packet without questions has one")
	}
}
