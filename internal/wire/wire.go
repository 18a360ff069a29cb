package wire

import (
	"net/http"
	"net/url"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"
)

// Secure sets the headers that keep a page to itself.
func Secure(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		h := c.Response().Header()
		h.Set(echo.HeaderContentSecurityPolicy, "default-src 'none'; font-src 'self'; style-src 'self'; img-src 'self'; "+
			"script-src 'self'; connect-src 'self'; media-src 'self'; form-action 'self'; frame-ancestors 'none'; "+
			"base-uri 'none'")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cache-Control", "no-store")
		return next(c)
	}
}

// Heads answers HEAD wherever GET is answered (RFC 9110, 9.3.2), by what GET would be: the
// server leaves the body out. Paths that own says have a HEAD of their own. It goes before
// all other middleware.
func Heads(e *echo.Echo, own func(path string) bool) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			if r := c.Request(); r.Method == http.MethodHead && !own(r.URL.Path) {
				get := *r // the server looks at its own request to see whether a body may go out
				get.Method = http.MethodGet
				c.SetRequest(&get)
				e.Router().Find(get.Method, echo.GetPath(&get), c)
			}
			return next(c)
		}
	}
}

// Named reads the names in a path as they are meant. The router leaves every escape in them as
// soon as one of the path is written in another way than Go's own, as a browser's comma is.
func Named(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if c.Request().URL.RawPath == "" {
			return next(c)
		}
		names := c.ParamValues()
		for i, name := range names {
			if meant, err := url.PathUnescape(name); err == nil {
				names[i] = meant
			}
		}
		return next(c)
	}
}

const cut = "cut short"

// CutShort says that an answer whose status is out went wrong: what is sent ends without its
// end, so that nobody takes it for a whole one (RFC 9112, 8: an incomplete message). A browser
// shows what came; a script and a cache see that it failed.
func CutShort(c echo.Context) { c.Set(cut, true) }

// Cutting breaks the connection under an answer that is cut short, once all of it is sent and
// told. It goes before all other middleware.
func Cutting(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		err := next(c)
		if c.Get(cut) != nil {
			c.Response().Flush()
			panic(http.ErrAbortHandler)
		}
		return err
	}
}

// Around puts middleware around whatever handler a request finds, the first outermost. The chain
// is made once; the router's own way makes it for every request.
func Around(all ...echo.MiddlewareFunc) echo.MiddlewareFunc {
	chain := func(c echo.Context) error { return c.Handler()(c) }
	for _, m := range slices.Backward(all) {
		chain = m(chain)
	}
	return func(echo.HandlerFunc) echo.HandlerFunc { return chain }
}

// Allow completes the header Allow of a 405: where GET is allowed, so is HEAD.
func Allow(h http.Header) {
	if a := h.Get(echo.HeaderAllow); strings.Contains(a, http.MethodGet) && !strings.Contains(a, http.MethodHead) {
		h.Set(echo.HeaderAllow, a+", "+http.MethodHead)
	}
}

const kind = "kind of answer"

// Choose keeps the media type that an answer is to have, of those that there are: what the
// client's Accept likes best. It reports false where Accept takes none.
func Choose(c echo.Context, offers []string) bool {
	k := Accepted(strings.Join(c.Request().Header.Values(echo.HeaderAccept), ","), offers)
	c.Set(kind, k)
	c.Response().Header().Add(echo.HeaderVary, echo.HeaderAccept)
	return k != ""
}

// Chosen is the media type that was chosen, "" where nobody chose.
func Chosen(c echo.Context) string {
	k, _ := c.Get(kind).(string)
	return k
}
