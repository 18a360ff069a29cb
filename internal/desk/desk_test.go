package desk

import (
	"encoding/base64"
	"errors"
	"maps"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// request is one as a handler sees it, in a program of usual settings.
func request(target string) echo.Context {
	c := echo.New().NewContext(httptest.NewRequest(http.MethodGet, target, nil), httptest.NewRecorder())
	c.Set("program", tags.Program{Meta: tags.Meta{ID: uuid.New()}, Code: "us", Name: "We", Level: "high_school",
		Settings: tags.DefaultSettings()})
	return c
}

// by lets somebody ask.
func by(c echo.Context, login string, role staff.Role) echo.Context {
	c.Set("visitor", &postgres.Holder{Person: staff.Person{ID: uuid.New(), Login: login}})
	c.Set("role", role)
	return c
}

func refused(err error) (kind tags.Kind, fields string) {
	e := tags.As(err)
	if e == nil {
		return 0, ""
	}
	var names []string
	for _, f := range e.Fields {
		names = append(names, f.Field)
	}
	return e.Kind, strings.Join(names, " ")
}

// TestIdentity: what is no id does not exist, and the refusal says what was looked for.
func TestIdentity(t *testing.T) {
	t.Parallel()
	id := uuid.Must(uuid.NewV7())
	for word, ok := range map[string]bool{id.String(): true, strings.ToUpper(id.String()): true, "": false, "7": false,
		id.String()[:35]: false} {
		c := request("/")
		c.SetParamNames("id")
		c.SetParamValues(word)
		got, err := Identity(c, "games")
		if kind, _ := refused(err); ok && got != id || !ok && (kind != tags.NotFound || !strings.Contains(err.Error(),
			"no game ")) {
			t.Errorf("%q: %v, %v", word, got, err)
		}
	}
}

// TestAnalyst: who signed in goes before what the header says; without sign-in the header
// counts, without blanks around it, as long as it is text.
func TestAnalyst(t *testing.T) {
	t.Parallel()
	for said, want := range map[string]string{"": "", " ana ": "ana", "Ana María": "Ana María"} {
		c := request("/")
		c.Request().Header.Set("Analyst", said)
		if got, err := Analyst(c); err != nil || got != want {
			t.Errorf("%q: %q, %v; want %q", said, got, err, want)
		}
		if got, err := Analyst(by(c, "jo", staff.Analyst)); err != nil || got != "jo" {
			t.Errorf("%q by jo: %q, %v", said, got, err)
		}
	}
	for _, bad := range []string{"ana\xff", "a\x00b"} {
		c := request("/")
		c.Request().Header["Analyst"] = []string{bad}
		if kind, fields := refused(second(Analyst(c))); kind != tags.Invalid || fields != "Analyst" {
			t.Errorf("%q: kind %v, fields %q; want a refusal of Analyst", bad, kind, fields)
		}
	}
}

func second[A any](_ A, err error) error { return err }

// TestCursorOf: only what this list gave out is a cursor: 16 bytes in base64 for addresses
// without padding (RFC 4648, 5).
func TestCursorOf(t *testing.T) {
	t.Parallel()
	id := uuid.Must(uuid.NewV7())
	word := base64.RawURLEncoding.EncodeToString(id[:])
	if got, err := CursorOf(word); err != nil || got != id {
		t.Errorf("%s: %v, %v", word, got, err)
	}
	for _, bad := range []string{"", "x", word[:21], word + "AA", base64.URLEncoding.EncodeToString(id[:]), id.String(),
		"!" + word[1:]} {
		if kind, fields := refused(second(CursorOf(bad))); kind != tags.Invalid || fields != "cursor" {
			t.Errorf("%q: kind %v, fields %q; want a refusal of cursor", bad, kind, fields)
		}
	}
}

// TestListed: an empty parameter is no list, and an empty place in one is kept: it may mean
// what is not known.
func TestListed(t *testing.T) {
	t.Parallel()
	for s, want := range map[string][]string{"": nil, "a": {"a"}, "a,b": {"a", "b"}, ",": {"", ""}, "a,": {"a", ""}} {
		if got := Listed(s); !slices.Equal(got, want) || (got == nil) != (want == nil) {
			t.Errorf("%q: %#v, want %#v", s, got, want)
		}
	}
}

// TestScopeTakesItsOwnCutPoints: one request's cut points are of that request alone, and one
// that cannot be is refused by its field.
func TestScopeTakesItsOwnCutPoints(t *testing.T) {
	t.Parallel()
	d := &Desk{}
	c := request("/?success_percent=50,70,90&explosive_run_yd=10&explosive_pass_yd=20&down=3&last_games=2&by=down")
	in, err := d.Scope(c)
	if err != nil {
		t.Fatal(err)
	}
	if got := in.Program.Settings; got.SuccessPercent != [3]int{50, 70, 90} || got.ExplosiveRunYd != 10 ||
		got.ExplosivePassYd != 20 {
		t.Errorf("%+v", got)
	}
	if got := strings.Join(slices.Sorted(maps.Keys(in.Filters)), " "); got != "down games_ago" {
		t.Errorf("filters %s", got)
	}
	if again, err := d.Scope(sameProgram(c, "/?explosive_run_yd=11")); err != nil ||
		again.Program.Settings.SuccessPercent != tags.DefaultSettings().SuccessPercent ||
		again.Program.Settings.ExplosiveRunYd != 11 {
		t.Errorf("the next request has %+v, %v; want the program's own and 11", again.Program.Settings, err)
	}
	for query, field := range map[string]string{"success_percent=0,60,100": "settings.success_percent",
		"success_percent=40,60,101": "settings.success_percent", "explosive_run_yd=0": "settings.explosive_run_yd",
		"explosive_run_yd=100": "settings.explosive_run_yd", "explosive_pass_yd=100": "settings.explosive_pass_yd"} {
		if kind, fields := refused(second(d.Scope(request("/?" + query)))); kind != tags.Invalid || fields != field {
			t.Errorf("%s: kind %v, fields %q; want a refusal of %s", query, kind, fields, field)
		}
	}
}

func sameProgram(c echo.Context, target string) echo.Context {
	out := request(target)
	out.Set("program", c.Get("program"))
	return out
}

// TestCell: the words of a cell as they stand in the query, a comma among them.
func TestCell(t *testing.T) {
	t.Parallel()
	d := &Desk{}
	q, err := d.Cell(request("/?concept=mesh%2C+rub&call=cover+1&finding=2&down=3"))
	if err != nil || q.Concept != "mesh, rub" || q.Call != "cover 1" || q.Finding != "2" || q.Filters["down"][0] != "3" {
		t.Errorf("%+v, %v", q, err)
	}
	if _, err := d.Cell(request("/?concept=a&explosive_run_yd=0")); err == nil {
		t.Error("a cell with cut points that cannot be was taken")
	}
}

// TestRestores: bringing back takes the role that deleting takes, and what somebody else
// tagged blind a coordinator's.
func TestRestores(t *testing.T) {
	t.Parallel()
	var asked []string
	d := &Desk{Needs: func(method, path string) staff.Role {
		asked = append(asked, method+" "+path)
		return staff.Analyst
	}}
	jo, ann := "jo", "ann"
	for name, tt := range map[string]struct {
		del  tags.Deletion
		who  string
		want staff.Role
	}{
		"a play":                        {tags.Deletion{Kind: "plays", Who: &ann}, jo, staff.Analyst},
		"his own blind tag":             {tags.Deletion{Kind: "blind_tags", Who: &jo}, jo, staff.Analyst},
		"another's blind tag":           {tags.Deletion{Kind: "blind_tags", Who: &ann}, jo, staff.Coordinator},
		"nobody's blind tag":            {tags.Deletion{Kind: "blind_tags"}, jo, staff.Coordinator},
		"a blind tag where all are one": {tags.Deletion{Kind: "blind_tags", Who: &ann}, "", staff.Analyst},
	} {
		c := request("/")
		if tt.who != "" {
			by(c, tt.who, staff.Analyst)
		}
		if got := d.Restores(c, &tt.del); got != tt.want {
			t.Errorf("%s: %s, want %s", name, got, tt.want)
		}
	}
	for _, a := range asked {
		if a != "DELETE /v1/programs/{program}/plays/{id}" && a != "DELETE /v1/programs/{program}/blind-tags/{id}" {
			t.Errorf("the document was asked for %s", a)
		}
	}
}

// TestLock: a plan is locked now, by who asks; where nobody says who he is, by nobody.
func TestLock(t *testing.T) {
	t.Parallel()
	for login, want := range map[string]string{"jo": "jo", "": ""} {
		c, p := request("/"), &ask.OpenPlan{Plan: &tags.Plan{}}
		if login != "" {
			by(c, login, staff.Coordinator)
		}
		before := time.Now()
		if err := Lock(c, p); err != nil || p.LockedAt.Before(before) || p.LockedAt.After(time.Now()) {
			t.Errorf("%v at %v", err, p.LockedAt)
		}
		if got := p.LockedBy; (got == nil) != (want == "") || got != nil && *got != want {
			t.Errorf("by %v, want %q", got, want)
		}
	}
	c := request("/")
	c.Request().Header["Analyst"] = []string{"\xff"}
	if _, fields := refused(Lock(c, &ask.OpenPlan{Plan: &tags.Plan{}})); fields != "Analyst" {
		t.Errorf("by what is no text: %q", fields)
	}
}

// TestBadNamesStopBeforeTheStore: the store is nil, and who asks is looked at first.
func TestBadNamesStopBeforeTheStore(t *testing.T) {
	t.Parallel()
	d := &Desk{}
	c := request("/")
	c.Request().Header["Analyst"] = []string{"\xff"}
	if _, fields := refused(second(d.NewPlan(c, ask.PlanQuestion{}, ""))); fields != "Analyst" {
		t.Errorf("a new plan: %q", fields)
	}
	change := func(*ask.OpenPlan) error { return errors.New("changed") }
	if _, fields := refused(second(d.StorePlan(c, uuid.New(), 1, change))); fields != "Analyst" {
		t.Errorf("a change: %q", fields)
	}
	if _, fields := refused(second(d.Deletions(request("/?cursor=x")))); fields != "cursor" {
		t.Errorf("a list from a made-up cursor: %q", fields)
	}
}
