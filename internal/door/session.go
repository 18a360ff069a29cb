package door

import (
	"net"
	"net/http"
	"net/url"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"overhang/internal/staff"
)

// Cookie is the name of what carries the session's secret: it name binds it to the host and to HTTPS
// (RFC 6265bis section 4.1.3.2), but on this machine.
func Cookie(c echo.Context) string {
	if Far(c) {
		return "__Host-overhang"
	}
	return "overhang"
}

// Far says that the browser reaches the server by a name that is not this
// machine's: then something speaks TLS in front of it, or must.
func Far(c echo.Context) bool {
	host := c.Request().Host
	if h, _, err := net.SplitHostPort(host); err == nil {
		host = h
	}
	ip := net.ParseIP(strings.Trim(host, "[]"))
	return host != "localhost" && (ip == nil || !ip.IsLoopback())
}

// GiveSession gives the browser its session.
func GiveSession(c echo.Context, secret string) {
	c.SetCookie(&http.Cookie{Name: Cookie(c), Value: secret, Path: "/", HttpOnly: true, Secure: Far(c),
		SameSite: http.SameSiteLaxMode, MaxAge: int(staff.SessionLife / time.Second)})
}

// Enter gives the browser its session and sends it on.
func Enter(c echo.Context, secret, to string) error {
	GiveSession(c, secret)
	// Only a path of ours: //host and /\host would leave.
	if u, err := url.Parse(to); err != nil || u.Host != "" || u.Scheme != "" || !strings.HasPrefix(to, "/") ||
		strings.HasPrefix(to, "//") || strings.ContainsAny(to, "\\\r\n") {
		to = "/"
	}
	return c.Redirect(http.StatusSeeOther, to)
}
