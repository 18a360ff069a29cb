package door

import (
	"errors"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// asked is a request as a handler sees it, with the answer it writes to.
func asked(method, target string) (echo.Context, *httptest.ResponseRecorder) {
	w := httptest.NewRecorder()
	return echo.New().NewContext(httptest.NewRequest(method, target, nil), w), w
}

// visit is a request of somebody with a role, by a token of a program where one is named.
func visit(role staff.Role, token uuid.NullUUID) (echo.Context, *postgres.Holder) {
	c, _ := asked(http.MethodPost, "http://localhost/")
	who := &postgres.Holder{Person: staff.Person{ID: uuid.New(), Login: "jo"}, Program: token, Role: role}
	c.Set(visitor, who)
	c.Set("role", role)
	c.Set("program", tags.Program{Meta: tags.Meta{ID: uuid.New()}})
	return c, who
}

func status(err error) int {
	var e *echo.HTTPError
	if errors.As(err, &e) {
		return e.Code
	}
	return 0
}

func field(err error) string {
	if e := tags.As(err); e != nil && len(e.Fields) == 1 {
		return e.Fields[0].Field
	}
	return ""
}

var byToken = uuid.NullUUID{UUID: uuid.New(), Valid: true}

// TestOpenPaths: what needs nobody shows nothing of a program; a path that only begins like
// one of those is not open.
func TestOpenPaths(t *testing.T) {
	t.Parallel()
	for path, want := range map[string]bool{"/healthz": true, "/readyz": true, "/openapi.yaml": true,
		"/openapi.json": true, "/sign-in": true, "/join": true, "/packet": true, "/v1/packet/answers": true,
		"/assets/look.css": true, "/docs/problems": true, "/docs/problems/not-here": true,
		"/": false, "/assets": false, "/docs": false, "/docs/problemsome": false, "/packets": false, "/joined": false,
		"/v1/programs": false, "/programs/us/assets/": false, "/metrics": false, "/HEALTHZ": false} {
		if Open(path) != want {
			t.Errorf("%s is open: %v, want %v", path, !want, want)
		}
	}
	for path, want := range map[string]bool{PacketPath: true, AnswersPath: true, "/packet/": false, "/": false} {
		if ForPlayers(path) != want {
			t.Errorf("%s is for players: %v, want %v", path, !want, want)
		}
	}
}

// TestFar: only names of this machine are near (RFC 6761, 6.3; RFC 1122, 3.2.1.3; RFC 4291,
// 2.5.3); the cookie of a far one is bound to the host and to HTTPS (RFC 6265bis, 4.1.3.2).
func TestFar(t *testing.T) {
	t.Parallel()
	for host, far := range map[string]bool{"localhost": false, "localhost:8080": false, "127.0.0.1": false,
		"127.8.9.1:80": false, "[::1]": false, "[::1]:8080": false, "example.com": true, "example.com:8080": true,
		"localhost.example.com": true, "192.0.2.1:80": true, "[2001:db8::1]:80": true, "10.0.0.1": true, "0.0.0.0": true,
		"": true} {
		c, _ := asked(http.MethodGet, "/")
		c.Request().Host = host
		if Far(c) != far {
			t.Errorf("%s is far: %v, want %v", host, !far, far)
		}
		if want := map[bool]string{true: "__Host-overhang", false: "overhang"}[far]; Cookie(c) != want {
			t.Errorf("the cookie at %s is %s, want %s", host, Cookie(c), want)
		}
	}
}

// TestEnterGoesOnlyToItsOwnPages: who signs in is sent to a path of ours, whatever the address
// of the form said, and his cookie is no script's to read.
func TestEnterGoesOnlyToItsOwnPages(t *testing.T) {
	t.Parallel()
	for to, want := range map[string]string{"/programs/us?down=3": "/programs/us?down=3", "/": "/", "": "/",
		"//example.com": "/", `/\example.com`: "/", "https://example.com/": "/", "javascript:alert(1)": "/",
		"programs": "/", "/a\r\nSet-Cookie: x=1": "/", "/\texample": "/", "http:/x": "/", "///example.com": "/",
		"/%2f/example.com": "/%2f/example.com", "mailto:a@b": "/"} {
		for host, secure := range map[string]bool{"localhost": false, "coach.example": true} {
			c, w := asked(http.MethodPost, "/sign-in")
			c.Request().Host = host
			if err := Enter(c, "secret", to); err != nil {
				t.Fatal(err)
			}
			if got := w.Header().Get("Location"); w.Code != http.StatusSeeOther || got != want {
				t.Errorf("%q: %d to %q, want %q", to, w.Code, got, want)
			}
			k := w.Result().Cookies()[0]
			if k.Value != "secret" || !k.HttpOnly || k.Secure != secure || k.SameSite != http.SameSiteLaxMode || k.Path != "/" ||
				k.Domain != "" || time.Duration(k.MaxAge)*time.Second != staff.SessionLife {
				t.Errorf("at %s the cookie is %+v", host, k)
			}
		}
	}
}

// TestUnknownVisitors: a page is asked to sign in and comes back to where it was; the API and
// every change get 401 with the way to sign in (RFC 9110, 11.6.1).
func TestUnknownVisitors(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		method, target string
		status         int
	}{{"GET", "/programs/us/board?down=3&concept=a%26b", 303}, {"GET", "/v1/programs", 401}, {"POST", "/programs/us", 401},
		{"DELETE", "/v1/programs/us", 401}, {"HEAD", "/programs/us", 401}} {
		c, w := asked(tt.method, tt.target)
		err := unknown(c)
		if got := max(status(err), w.Code*map[bool]int{true: 1}[err == nil]); got != tt.status {
			t.Errorf("%s %s: %d, want %d", tt.method, tt.target, got, tt.status)
		}
		if tt.status == 401 {
			if !strings.HasPrefix(w.Header().Get("WWW-Authenticate"), "Bearer ") {
				t.Errorf("%s %s: WWW-Authenticate %q", tt.method, tt.target, w.Header().Get("WWW-Authenticate"))
			}
			continue
		}
		at, err := url.Parse(w.Header().Get("Location"))
		if err != nil || at.Path != "/sign-in" || at.Query().Get("to") != tt.target {
			t.Errorf("%s: sent to %v, %v; want it to lead back", tt.target, at, err)
		}
	}
}

// TestAdmitWithoutKeys: where nobody signs in, only this machine's own names are answered, and
// no page of another site may change anything (Fetch metadata, Sec-Fetch-Site).
func TestAdmitWithoutKeys(t *testing.T) {
	t.Parallel()
	d := New(nil, nil)
	for name, tt := range map[string]struct {
		method, host, site string
		want               int
	}{
		"a page here":                     {"GET", "localhost", "", 204},
		"a change here":                   {"POST", "localhost:8080", "same-origin", 204},
		"a script here":                   {"POST", "127.0.0.1", "", 204},
		"a name that leads here":          {"GET", "rebound.example", "", 403},
		"a change from another site":      {"POST", "localhost", "cross-site", 403},
		"a look from another site":        {"GET", "localhost", "cross-site", 204},
		"a change from a subdomain's":     {"DELETE", "localhost", "same-site", 403},
		"a change by the address bar":     {"POST", "localhost", "none", 204},
		"an open path by a far name also": {"GET", "rebound.example", "none", 403},
	} {
		c, _ := asked(tt.method, "/healthz")
		c.Request().Host = tt.host
		c.Request().Header.Set("Sec-Fetch-Site", tt.site)
		turn := func(echo.Context) (func(), error) { t.Errorf("%s: somebody was looked up", name); return nil, nil }
		err := d.Admit(turn)(func(c echo.Context) error { return c.NoContent(204) })(c)
		if got := max(status(err), map[bool]int{true: 204}[err == nil]); got != tt.want {
			t.Errorf("%s: %d, want %d", name, got, tt.want)
		}
	}
}

// TestAdmitWaitsForItsTurn: a person is looked up only in turn, what ends the turn is called,
// and who has no cookie or another scheme is nobody.
func TestAdmitWaitsForItsTurn(t *testing.T) {
	t.Parallel()
	d := New(nil, &postgres.Store{})
	busy := errors.New("no room")
	for name, tt := range map[string]struct {
		path, authorization string
		turn                error
		status, left        int
		through             bool
	}{
		"no room":        {"/v1/programs", "", busy, 0, 0, false},
		"no cookie":      {"/v1/programs", "", nil, 401, 1, false},
		"another scheme": {"/v1/programs", "Basic am86eA==", nil, 401, 1, false},
		"an open path":   {"/healthz", "", busy, 0, 0, true},
	} {
		c, _ := asked(http.MethodGet, tt.path)
		c.Request().Header.Set("Authorization", tt.authorization)
		left, through := 0, false
		turn := func(echo.Context) (func(), error) { return func() { left++ }, tt.turn }
		err := d.Admit(turn)(func(echo.Context) error { through = true; return nil })(c)
		if through != tt.through || left != tt.left || status(err) != tt.status ||
			!tt.through && tt.turn != nil && !errors.Is(err, busy) {
			t.Errorf("%s: %v, through %v, left %d times", name, err, through, left)
		}
	}
}

// TestWhatATokenMayNotDo: who lets people in, ranks them or makes links has to be here in
// person; nothing is stored (the store is nil).
func TestWhatATokenMayNotDo(t *testing.T) {
	t.Parallel()
	d := New(nil, &postgres.Store{})
	c, _ := visit(staff.Owner, byToken)
	for name, err := range map[string]error{
		"rank": d.Rank(c, uuid.New(), staff.Owner), "invite": second(d.Invite(c, nil, staff.Reader)),
		"end an invitation": d.EndInvitation(c, uuid.New()), "end a link": d.EndPlayers(c, uuid.New()),
		"make a token": third(d.MakeToken(c, "x", staff.Reader, 1)),
		"make a link":  third(d.LinkPlayers(c, uuid.New(), "safeties", 1)),
	} {
		if status(err) != http.StatusForbidden {
			t.Errorf("%s by a token: %v; want 403", name, err)
		}
	}
	if c, _ = visit(staff.Owner, uuid.NullUUID{}); InPerson(c) != nil {
		t.Error("who signed in is not here in person")
	}
}

func second[A any](_ A, err error) error        { return err }
func third[A, B any](_ A, _ B, err error) error { return err }

// TestTokensAreBounded: no more than one's own role, 1 to 366 days.
func TestTokensAreBounded(t *testing.T) {
	t.Parallel()
	d := New(nil, &postgres.Store{})
	for _, tt := range []struct {
		own, asked staff.Role
		days       int
		field      string
	}{{staff.Analyst, staff.Coordinator, 1, "role"}, {staff.Reader, staff.Owner, 1, "role"},
		{staff.Owner, staff.Reader, 0, "days"}, {staff.Owner, staff.Owner, -1, "days"},
		{staff.Owner, staff.Owner, staff.MostTokenDays + 1, "days"}, {staff.Owner, "king", 1, "role"}} {
		c, _ := visit(tt.own, uuid.NullUUID{})
		if err := third(d.MakeToken(c, "x", tt.asked, tt.days)); field(err) != tt.field {
			t.Errorf("%s asks for %s and %d days: %v; want a refusal of %s", tt.own, tt.asked, tt.days, err, tt.field)
		}
	}
}

// TestLinksForPlayersLastAWeekAtMost, however long the number of days is.
func TestLinksForPlayersLastAWeekAtMost(t *testing.T) {
	t.Parallel()
	d := New(nil, nil)
	for _, days := range []int{-1, 8, 365, 106_752, 213_504, -213_504, 1 << 62} { // 213,504 days are 25 minutes in int64
		c, _ := visit(staff.Owner, uuid.NullUUID{})
		if err := third(d.LinkPlayers(c, uuid.New(), "safeties", days)); field(err) != "days" {
			t.Errorf("%d days: %v; want a refusal of days", days, err)
		}
	}
}

// TestWithoutSignIn there is no staff list, and nobody to invite.
func TestWithoutSignIn(t *testing.T) {
	t.Parallel()
	d := New(nil, nil)
	c, _ := asked(http.MethodPost, "/")
	if err := third(d.MakeToken(c, "x", staff.Reader, 1)); !errors.Is(err, ErrNoLogin) {
		t.Errorf("a token: %v", err)
	}
	if err := second(d.Invite(c, nil, staff.Reader)); !errors.Is(err, ErrNoLogin) {
		t.Errorf("an invitation: %v", err)
	}
	if is, err := d.Invitations(c); is != nil || err != nil {
		t.Errorf("invitations: %v, %v", is, err)
	}
	if err := d.EndInvitation(c, uuid.New()); !errors.Is(err, ErrNoInvitation) {
		t.Errorf("ending one: %v", err)
	}
	if Own(c).Valid || Visitor(c) != nil || d.Nameless(c) != "" {
		t.Error("nobody has something of his own")
	}
}

// TestOwn: what is shown is one's own, to an owner everybody's.
func TestOwn(t *testing.T) {
	t.Parallel()
	for _, role := range staff.Roles {
		c, who := visit(role, uuid.NullUUID{})
		if got := Own(c); got.Valid != (role != staff.Owner) || got.Valid && got.UUID != who.ID {
			t.Errorf("%s sees only %v", role, got)
		}
	}
}

// TestNeeds: the document's role goes before; else a reader reads and an analyst writes, but
// the forms of the staff's page ask for more themselves.
func TestNeeds(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		method, path string
		says         any
		want         staff.Role
	}{{"GET", "/x", nil, staff.Reader}, {"HEAD", "/x", nil, staff.Reader}, {"POST", "/x", nil, staff.Analyst},
		{"DELETE", "/x", nil, staff.Analyst}, {"POST", StaffPath, nil, staff.Reader}, {"GET", "/x", staff.Owner, staff.Owner},
		{"POST", StaffPath, staff.Coordinator, staff.Coordinator}, {"PUT", "/x", "owner", staff.Analyst}} {
		c, _ := asked(tt.method, "/")
		c.SetPath(tt.path)
		if tt.says != nil {
			c.Set("needs", tt.says)
		}
		if got := needs(c); got != tt.want {
			t.Errorf("%s %s with %v: %s, want %s", tt.method, tt.path, tt.says, got, tt.want)
		}
	}
}

// TestProgramOfAnEmptyName is none; a path without a program goes on.
func TestProgramOfAnEmptyName(t *testing.T) {
	t.Parallel()
	d := New(nil, nil)
	through := false
	next := func(echo.Context) error { through = true; return nil }
	c, _ := asked(http.MethodGet, "/v1/programs//games")
	if e := tags.As(d.Program(next)(c)); e == nil || e.Kind != tags.NotFound || through {
		t.Errorf("an empty name: %v, through %v", e, through)
	}
	c, _ = asked(http.MethodGet, "/v1/programs")
	if err := d.Program(next)(c); err != nil || !through {
		t.Errorf("no program in the path: %v, through %v", err, through)
	}
}

// TestNetwork: an IPv4 address is itself, mapped or not; of IPv6 the /64 (RFC 4291, 2.5.1: a
// subscriber has all of its interface identifiers).
func TestNetwork(t *testing.T) {
	t.Parallel()
	for address, want := range map[string]string{"192.0.2.1": "192.0.2.1", "::ffff:192.0.2.1": "192.0.2.1",
		"2001:db8:1:2:3:4:5:6": "2001:db8:1:2::/64", "2001:db8:1:2::": "2001:db8:1:2::/64", "::1": "::/64", "pipe": "pipe",
		"": ""} {
		if got := Network(address); got != want {
			t.Errorf("%q: %q, want %q", address, got, want)
		}
	}
}

// TestAddressesBehindSeveralProxies: the last one that is none of ours counts, and a header
// that is no address leaves the connection's.
func TestAddressesBehindSeveralProxies(t *testing.T) {
	t.Parallel()
	_, ours, _ := net.ParseCIDR("10.0.0.0/8")
	for header, want := range map[string]string{"203.0.113.9": "203.0.113.9", "203.0.113.9, 10.1.1.1": "203.0.113.9",
		"1.2.3.4, 203.0.113.9, 10.1.1.1, 10.2.2.2": "203.0.113.9", "": "10.9.9.9", "nonsense": "10.9.9.9",
		"127.0.0.1": "127.0.0.1"} {
		r := httptest.NewRequest("GET", "/", nil)
		r.RemoteAddr = "10.9.9.9:1"
		r.Header.Set("X-Forwarded-For", header)
		if got := Addresses([]*net.IPNet{ours})(r); got != want {
			t.Errorf("X-Forwarded-For: %s: %s, want %s", header, got, want)
		}
	}
}

// TestTooMany: Retry-After is whole seconds, one at least and never too few (RFC 9110, 10.2.3).
func TestTooMany(t *testing.T) {
	t.Parallel()
	for wait, want := range map[time.Duration]string{0: "1", time.Millisecond: "1", time.Second: "1",
		time.Second + 1: "2", 90 * time.Second: "90"} {
		c, w := asked(http.MethodGet, "/")
		if err := TooMany(c, wait, "why"); status(err) != 429 || w.Header().Get("Retry-After") != want {
			t.Errorf("%v: %v, Retry-After %s; want 429 and %s", wait, err, w.Header().Get("Retry-After"), want)
		}
	}
}

// TestSlow: after the free tries a login waits, and who knew the password in the end is free.
func TestSlow(t *testing.T) {
	t.Parallel()
	d := New(nil, nil)
	c, w := asked(http.MethodPost, "/sign-in")
	for n := range freeTries {
		if err := d.Slow(c, "jo"); err != nil {
			t.Fatalf("try %d: %v", n+1, err)
		}
	}
	if err := d.Slow(c, "JO"); status(err) != 429 || w.Header().Get("Retry-After") != "3" {
		t.Errorf("one more: %v, Retry-After %s; want 429 and 3", err, w.Header().Get("Retry-After"))
	}
	d.Fits(c, "jo")
	if err := d.Slow(c, "jo"); err != nil {
		t.Errorf("after the right password: %v", err)
	}
	d.Unbraked()
	for range 3 * freeTries {
		if err := d.Slow(c, "jo"); err != nil {
			t.Fatalf("without a brake: %v", err)
		}
	}
}

// TestNameless: a person is the same in the log while a server runs, another than others, and
// neither his name nor his id.
func TestNameless(t *testing.T) {
	t.Parallel()
	d, other := New(nil, &postgres.Store{}), New(nil, &postgres.Store{})
	jo, who := visit(staff.Reader, uuid.NullUUID{})
	ann, _ := visit(staff.Reader, uuid.NullUUID{})
	name := d.Nameless(jo)
	if len(name) != 12 || name != d.Nameless(jo) || name == d.Nameless(ann) || name == other.Nameless(jo) ||
		strings.Contains(who.ID.String(), name) {
		t.Errorf("%s, again %s, another person %s, another run %s", name, d.Nameless(jo), d.Nameless(ann),
			other.Nameless(jo))
	}
	if Asker(jo) != who.ID.String() {
		t.Errorf("a person counts as %s, want the id", Asker(jo))
	}
	if c, _ := asked(http.MethodGet, "/"); Asker(c) != "192.0.2.1" {
		t.Errorf("where nobody signs in the address counts: %s", Asker(c))
	}
}
