// Package door finds out who asks, by a session or by a token, and what they may do in the
// program they name: sign-in, roles, invitations, tokens, and the brake on passwords. It
// serves no page and knows no question.
package door

import (
	"net/http"
	"net/url"
	"strings"

	"github.com/labstack/echo/v4"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// A Door decides who comes in. Without keys (the demo, one coach on a machine alone)
// everybody on the machine is an owner.
type Door struct {
	store *postgres.Store // the server's own
	// Keys sees all programs; only the door and its pages use it. Nil: nobody has to sign in.
	Keys  *postgres.Store
	cross *http.CrossOriginProtection
	brake *brake // on passwords, by login and address
}

// New makes a door in front of a store. keys is a store without walls, which looks people
// up; nil: nobody has to sign in. The store itself should be walled where there are keys.
func New(store, keys *postgres.Store) *Door {
	return &Door{store: store, Keys: keys, cross: http.NewCrossOriginProtection(), brake: newBrake()}
}

// Unbraked lets passwords be tried as often as anybody likes: for tests alone.
func (d *Door) Unbraked() { d.brake.open = true }

// Open reports whether a path needs nobody: those show nothing of a program but what a link
// for players opens.
func Open(path string) bool {
	switch path {
	case "/healthz", "/readyz", "/openapi.yaml", "/openapi.json", "/sign-in", "/join", PacketPath, AnswersPath:
		return true
	}
	return strings.HasPrefix(path, "/assets/") || path == "/docs/problems" || strings.HasPrefix(path, "/docs/problems/")
}

const visitor = "visitor"

// Admit finds out who asks, by a token or by a session. A person who is looked up waits for
// turn, which gives back what ends it: a flood of made-up secrets is looked up no faster.
func (d *Door) Admit(turn func(echo.Context) (leave func(), err error)) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			if err := d.cross.Check(c.Request()); err != nil {
				return echo.NewHTTPError(http.StatusForbidden, "a page of another site may not do that")
			}
			if d.Keys == nil && Far(c) { // a name of another site that leads here: its pages could read and write
				return echo.NewHTTPError(http.StatusForbidden,
					"without sign-in the server answers to this machine's own names only, as localhost")
			}
			if d.Keys == nil || Open(c.Request().URL.Path) {
				return next(c)
			}
			who, err := d.lookUp(c, turn)
			if e := tags.As(err); e != nil && e.Kind == tags.NotFound {
				return unknown(c)
			}
			if err != nil {
				return err
			}
			c.Set(visitor, who)
			return next(c)
		}
	}
}

func (d *Door) lookUp(c echo.Context, turn func(echo.Context) (func(), error)) (*postgres.Holder, error) {
	leave, err := turn(c)
	if err != nil {
		return nil, err
	}
	defer leave()
	return d.holder(c)
}

func (d *Door) holder(c echo.Context) (*postgres.Holder, error) {
	ctx := c.Request().Context()
	if h := c.Request().Header.Get(echo.HeaderAuthorization); h != "" {
		secret, ok := strings.CutPrefix(h, "Bearer ")
		if !ok {
			return nil, tags.Errorf(tags.NotFound, "use a Bearer token")
		}
		who, err := d.Keys.TokenHolder(ctx, secret)
		return &who, err
	}
	k, err := c.Cookie(Cookie(c))
	if err != nil {
		return nil, tags.Errorf(tags.NotFound, "nobody")
	}
	who, err := d.Keys.SessionHolder(ctx, k.Value, c.Param("program"))
	return &who, err
}

// unknown answers somebody we do not know: a page is asked to sign in first.
func unknown(c echo.Context) error {
	r := c.Request()
	if r.Method == http.MethodGet && !strings.HasPrefix(r.URL.Path, "/v1/") {
		return c.Redirect(http.StatusSeeOther, "/sign-in?to="+url.QueryEscape(r.URL.RequestURI()))
	}
	c.Response().Header().Set(echo.HeaderWWWAuthenticate, `Bearer realm="overhang"`)
	return echo.NewHTTPError(http.StatusUnauthorized, "sign in, or send a token that still stands")
}

// Visitor returns the visitor, nil where nobody has to sign in.
func Visitor(c echo.Context) *postgres.Holder {
	w, _ := c.Get(visitor).(*postgres.Holder)
	return w
}
