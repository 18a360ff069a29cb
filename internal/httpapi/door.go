package httpapi

import (
	"net"
	"net/http"
	"net/url"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// A door decides who comes in. Without one (the demo, one coach on his own
// machine) everybody on the machine is an owner.
type door struct {
	store *postgres.Store // sees all programs; only the door and its pages use it
	brake *brake          // on passwords, by login and address
}

// WithLogin lets in only who has signed in or shows a token. door is a store
// without walls: it looks people up; the server's own store should be walled.
func WithLogin(store *postgres.Store) Option {
	return func(s *server) {
		s.door = &door{store, newBrake()}
	}
}

// cookie carries the session's secret. Its name binds it to the host and to HTTPS
// (RFC 6265bis section 4.1.3.2), but on this machine.
func cookie(c echo.Context) string {
	if far(c) {
		return "__Host-overhang"
	}
	return "overhang"
}

// far says that the browser reaches the server by a name that is not this
// machine's: then something speaks TLS in front of it, or must.
func far(c echo.Context) bool {
	host := c.Request().Host
	if h, _, err := net.SplitHostPort(host); err == nil {
		host = h
	}
	ip := net.ParseIP(strings.Trim(host, "[]"))
	return host != "localhost" && (ip == nil || !ip.IsLoopback())
}

// open are the paths that need nobody: they show nothing of a program.
func open(path string) bool {
	switch path {
	case "/healthz", "/readyz", "/openapi.yaml", "/openapi.json", "/sign-in", "/join":
		return true
	}
	return strings.HasPrefix(path, "/assets/")
}

const visitor = "visitor"

// admit finds out who asks, by a token or by a session.
func (s *server) admit(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if err := s.cross.Check(c.Request()); err != nil {
			return echo.NewHTTPError(http.StatusForbidden, "a page of another site may not do that")
		}
		if s.door == nil {
			if far(c) { // a name of another site that leads here: its pages could read and write
				return echo.NewHTTPError(http.StatusForbidden,
					"without sign-in the server answers to this machine's own names only, as localhost")
			}
			return next(c)
		}
		if open(c.Request().URL.Path) {
			return next(c)
		}
		who, err := s.lookUp(c)
		if e := tags.As(err); e != nil && e.Kind == tags.NotFound {
			return s.unknown(c)
		}
		if err != nil {
			return err
		}
		c.Set(visitor, who)
		return next(c)
	}
}

// lookUp is holder in turn: a flood of made-up secrets is looked up no faster.
func (s *server) lookUp(c echo.Context) (*postgres.Holder, error) {
	leave, err := s.enter(c, s.lanes.door, party{}, func() error { return nil })
	if err != nil {
		return nil, err
	}
	defer leave()
	return s.holder(c)
}

func (s *server) holder(c echo.Context) (*postgres.Holder, error) {
	ctx := c.Request().Context()
	if h := c.Request().Header.Get(echo.HeaderAuthorization); h != "" {
		secret, ok := strings.CutPrefix(h, "Bearer ")
		if !ok {
			return nil, tags.Errorf(tags.NotFound, "only Bearer tokens are known")
		}
		who, err := s.door.store.TokenHolder(ctx, secret)
		return &who, err
	}
	k, err := c.Cookie(cookie(c))
	if err != nil {
		return nil, tags.Errorf(tags.NotFound, "nobody")
	}
	who, err := s.door.store.SessionHolder(ctx, k.Value)
	return &who, err
}

// unknown answers somebody we do not know: a page is asked to sign in first.
func (s *server) unknown(c echo.Context) error {
	r := c.Request()
	if r.Method == http.MethodGet && !strings.HasPrefix(r.URL.Path, "/v1/") {
		return c.Redirect(http.StatusSeeOther, "/sign-in?to="+url.QueryEscape(r.URL.RequestURI()))
	}
	c.Response().Header().Set(echo.HeaderWWWAuthenticate, `Bearer realm="overhang"`)
	return echo.NewHTTPError(http.StatusUnauthorized, "sign in, or send a token that still stands")
}

// who returns the visitor, nil where nobody has to sign in.
func who(c echo.Context) *postgres.Holder {
	w, _ := c.Get(visitor).(*postgres.Holder)
	return w
}

// program finds the program of a path that names one, and hands it on to those
// who may do there what they ask for; to others it does not exist. It runs for
// every route: middleware of an echo group turns a 405 into a 404.
func (s *server) program(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		code := c.Param("program")
		if code == "" && strings.Contains(c.Request().URL.Path, "/programs//") {
			return tags.Errorf(tags.NotFound, "there is no program of that name")
		}
		if code == "" {
			return next(c)
		}
		ctx := c.Request().Context()
		p, role, err := s.programFor(c, code)
		if err != nil {
			return err
		}
		if need := needs(c); !role.Reaches(need) {
			return echo.NewHTTPError(http.StatusForbidden, "that is for a program's "+string(need)+"; you are its "+string(role))
		}
		c.Set("program", p)
		c.Set("role", role)
		c.SetRequest(c.Request().WithContext(postgres.InProgram(ctx, p.ID)))
		return next(c)
	}
}

// programFor returns a program and the visitor's role in it, NotFound in the
// same words whether it does not exist or is not his.
func (s *server) programFor(c echo.Context, code string) (tags.Program, staff.Role, error) {
	ctx := c.Request().Context()
	if s.door == nil {
		p, err := s.store.Program(ctx, code)
		return p, staff.Owner, err
	}
	p, err := s.door.store.Program(ctx, code)
	if e := tags.As(err); err != nil && (e == nil || e.Kind != tags.NotFound) {
		return p, "", err
	}
	w := who(c)
	role := w.Role
	if w.Program.Valid && w.Program.UUID != p.ID {
		role = ""
	} else if !w.Program.Valid { // asked also where there is no program: both take as long
		if role, err = s.door.store.RoleOf(ctx, p.ID, w.ID); err != nil {
			return p, "", err
		}
	}
	if role == "" {
		return p, "", tags.Errorf(tags.NotFound, "there is no program %q", code)
	}
	return p, role, nil
}

// needs is the role a request needs: the one the document names, else a reader
// to read and an analyst to write.
func needs(c echo.Context) staff.Role {
	if r, ok := c.Get("needs").(staff.Role); ok {
		return r
	}
	// its forms ask for more themselves
	if m := c.Request().Method; m == http.MethodGet || m == http.MethodHead || c.Path() == staffPath {
		return staff.Reader
	}
	return staff.Analyst
}

func roleOf(c echo.Context) staff.Role { r, _ := c.Get("role").(staff.Role); return r }

// programs lists those the visitor may see.
func (s *server) programs(c echo.Context) ([]tags.Program, error) {
	ctx := c.Request().Context()
	if s.door == nil {
		return s.store.Programs(ctx)
	}
	ps, err := s.door.store.ProgramsOf(ctx, who(c).ID)
	if only := who(c).Program; only.Valid {
		var one []tags.Program
		for _, p := range ps {
			if p.ID == only.UUID {
				one = append(one, p)
			}
		}
		ps = one
	}
	return ps, err
}

// slow refuses a password that is tried too soon after too many, wherever it is tried.
func (d *door) slow(c echo.Context, login string) error {
	wait := d.brake.try(login, c.RealIP())
	if wait == 0 {
		return nil
	}
	wait = wait.Round(time.Second) + time.Second
	return tooMany(c, wait, "too many tries: wait "+wait.String())
}

// WithProxies believes X-Forwarded-For of these networks and of nobody else: a header
// that anybody may write is no address.
func WithProxies(networks []*net.IPNet) Option {
	return func(s *server) { s.proxies = networks }
}

// addresses says how a request's address is found.
func addresses(proxies []*net.IPNet) echo.IPExtractor {
	if len(proxies) == 0 {
		return echo.ExtractIPDirect() // a header could be forged
	}
	trust := []echo.TrustOption{echo.TrustLoopback(false), echo.TrustLinkLocal(false), echo.TrustPrivateNet(false)}
	for _, n := range proxies {
		trust = append(trust, echo.TrustIPRange(n))
	}
	return echo.ExtractIPFromXFFHeader(trust...)
}

// giveSession gives the browser its session.
func giveSession(c echo.Context, secret string) {
	c.SetCookie(&http.Cookie{Name: cookie(c), Value: secret, Path: "/", HttpOnly: true, Secure: far(c),
		SameSite: http.SameSiteLaxMode, MaxAge: int(staff.SessionLife / time.Second)})
}

// enter gives the browser its session and sends it on.
func enter(c echo.Context, secret, to string) error {
	giveSession(c, secret)
	// Only a path of ours: //host and /\host would leave.
	if u, err := url.Parse(to); err != nil || u.Host != "" || u.Scheme != "" || !strings.HasPrefix(to, "/") ||
		strings.HasPrefix(to, "//") || strings.ContainsAny(to, "\\\r\n") {
		to = "/"
	}
	return c.Redirect(http.StatusSeeOther, to)
}

var errNoLogin = tags.Errorf(tags.Conflict, "this server runs without sign-in: there is no staff to look after")

// person is the visitor's id; without sign-in there is none.
func person(c echo.Context) (uuid.UUID, error) {
	if w := who(c); w != nil {
		return w.ID, nil
	}
	return uuid.Nil, errNoLogin
}
